"""axe.py AXE_SCRIPT PAGE...: runs axe-core on each page in Chromium, at the width of a telephone and of a desk, all that can open opened.
Prints what it finds; fails where anything of any weight is found."""
import pathlib
import sys
import tempfile

import chromium
from selenium.webdriver.support.ui import WebDriverWait

# A page with an engine inside is looked at once it has answered.
ANSWERED = "return !document.getElementById('engine') || Boolean(document.body.dataset.ready)"


def main(script, pages):
    found = 0
    axe = pathlib.Path(script).read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        driver = chromium.start(folder)
        try:
            driver.set_script_timeout(60)
            for page in pages:
                for width in (400, 1400):
                    chromium.show(driver, width, 900)
                    driver.get(pathlib.Path(page).resolve().as_uri())
                    WebDriverWait(driver, 60).until(lambda d: d.execute_script(ANSWERED))
                    driver.execute_script("document.querySelectorAll('details').forEach(d => d.open = true)")
                    driver.execute_script(axe)
                    said = driver.execute_async_script("const done = arguments[0]; axe.run(document, {resultTypes: ['violations', 'incomplete']}).then(done)")
                    name = f"{pathlib.Path(page).parent.name}/{pathlib.Path(page).stem} at {width}"
                    print(f"web: axe-core {said['testEngine']['version']}, {name}: {len(said['passes'])} rules passed, {len(said['violations'])} broken, "
                          f"{len(said['incomplete'])} undecided")
                    for rule in said["violations"] + said["incomplete"]:
                        print(f"  {rule['impact']}: {rule['id']}: {rule['help']}")
                        for node in rule["nodes"][:3]:
                            print(f"    {node['html'][:150]}")
                    found += len(said["violations"])
        finally:
            driver.quit()
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
