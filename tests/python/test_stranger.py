"""A scenario downloaded from a stranger: what it may do (DEVELOPERS.md, "A scenario from a stranger") and what its texts may become.

It is read, its weather file is read, and nothing else happens outside --out: no plugin of its folder is loaded, no network asked, no other file
written. Its texts stay texts in the page, the calendar, the table and the terminal.
"""
import csv
import html.parser
import json
import os
import re
import shutil
import subprocess
import xml.etree.ElementTree

import pytest
from trust import CLI, garden, lay, one_sentence, run

pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI names no command")

WICKED = {
    "script": "<script>alert(1)</script>",
    "attribute": "\"><img src=x onerror=alert(1)> ' onload='",
    "entities": "&lt;b&gt; &amp; &#60; ]]> <!-- --!> <![CDATA[",
    "style": "</style></title></svg><style>*{display:none}",
    "calendar": "x; y, z \\ \\n END:VEVENT BEGIN:VEVENT \\,",
    "separators": "a\u2028b\u2029c\u200bd\ufeffe",
    "formula": "=HYPERLINK(\"http://example.org\",\"x\")",
    "plus": "+1+cmd|' /C calc'!A0",
    "minus": "-2+3",
    "at": "@SUM(A1:A9)",
    "quotes": "\"\"\", \"\", ','",
    "right to left": "\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627 \u200f",
    "long": "x" * 76,
    "long and wide": "\U0001f33f" * 70,
    "combining": "o" + "\u0301" * 70,
}


def wicked_garden(text):
    """`text` wherever a person may write something: names, remarks, titles, sources, cautions' neighbours, comments."""
    made = garden()
    made["comment"] = text
    made["garden"].update(name=text, note=text + "\n" + text, currency=text[:12], comment=text)
    bed = made["beds"][0]
    bed.update(name=text, comment=text)
    bed["plantings"] = [{"name": text, "plant": "own-leaf", "count": 2, "size": "young"}, {"name": "Bananas", "plant": "hardy-banana", "count": 3}]
    made["materials"] = {"own-feed": {"title": text, "model": "organic-two-pool", "n_percent": 4, "carbon_to_nitrogen": 7, "form": "pellet", "price_per_kg": 2, "bulk_density_kg_m3": 700,
                                      "parameters": {}, "sources": {"n_percent": text}, "comment": text}}
    made["plants"] = {"own-leaf": {"title": text, "botanical": text, "model": "herbaceous", "parameters": {}, "hunger": "greedy", "crown_m2": 0.9,
                                   "sizes": {"young": {"crown_m2": 0.5, "parameters": {}}}, "sources": {"crown_m2": text}}}
    made["feedings"] = [{"material": "own-feed", "on": "04-15", "plantings": [text, "Bananas"], "amount": {"grams": 60, "per": "plant"}},
                        {"material": "own-feed", "on": "05-20", "bed": text, "amount": {"grams": 30, "per": "m2"}}]
    return made


class Page(html.parser.HTMLParser):
    """The tags with their attributes' names, all text, and what a page must not have."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.shape, self.texts, self.open = set(), [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.shape.add((tag, tuple(sorted(name for name, _ in attributes))))
        if tag not in ("meta", "link", "img", "br", "hr", "input"):
            self.open.append(tag)
        for name, value in attributes:
            assert not name.startswith("on"), name
            assert name not in ("src", "href", "action", "srcset") or (value or "").startswith("#"), (name, value)

    def handle_startendtag(self, tag, attributes):
        self.shape.add((tag, tuple(sorted(name for name, _ in attributes))))

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, tag

    def handle_data(self, data):
        self.texts.append(data)

    def handle_comment(self, data):
        raise AssertionError("a comment: " + data)


def report_of(tmp_path, text, name="garden"):
    path = lay(tmp_path / name, wicked_garden(text))
    answer = run("season", path, "--more", "--figures", "--out", tmp_path / name / "out")
    assert answer.status == 0, answer
    return answer, tmp_path / name / "out"


@pytest.fixture(scope="module")
def plain_shape(tmp_path_factory):
    _, folder = report_of(tmp_path_factory.mktemp("plain"), "Plain name")
    return Page((folder / "report.html").read_text(encoding="utf-8")).shape


@pytest.mark.parametrize("name", WICKED)
def test_texts_stay_texts(tmp_path, plain_shape, name):
    text = WICKED[name]
    answer, folder = report_of(tmp_path, text)
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", answer.out), answer

    page = Page((folder / "report.html").read_bytes().decode("utf-8"))
    assert page.open == []
    assert page.shape <= plain_shape, page.shape - plain_shape
    assert any(text in t for t in page.texts), "the name cannot be read on the page"

    drawn = sorted(f.name for f in folder.iterdir() if f.suffix == ".svg")
    assert drawn and all(re.fullmatch(r"[a-z0-9-]{1,80}\.svg", n) for n in drawn), drawn
    for f in drawn:
        for element in xml.etree.ElementTree.parse(folder / f).iter():
            assert element.tag.split("}")[1] not in ("script", "image", "foreignObject", "a", "use"), element.tag
            assert not any(a.split("}")[-1].startswith("on") or a.endswith("href") for a in element.attrib), element.attrib

    icalendar = pytest.importorskip("icalendar")
    calendar = icalendar.Calendar.from_ical((folder / "calendar.ics").read_bytes())
    events = calendar.walk("VEVENT")
    assert len(events) == 2
    # 4.0.3 takes the backslash of "\\n" for a line end before it takes "\\\\" for a backslash; by hand, as RFC 5545 3.3.11 has it:
    raw = (folder / "calendar.ics").read_bytes().replace(b"\r\n ", b"").decode("utf-8")
    summaries = [re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], s) for s in re.findall(r"^SUMMARY:(.*)\r$", raw, re.M)]
    assert len(summaries) == 2 and all(text in s or text[:1].lower() + text[1:] in s for s in summaries), summaries
    assert all(len(line) <= 75 for line in (folder / "calendar.ics").read_bytes().split(b"\r\n"))

    with (folder / "series.csv").open(encoding="utf-8", newline="") as stream:
        names = {row["planting"] for row in csv.DictReader(stream)}
    shown = "'" + text if text[0] in "=+-@" else text
    assert shown in names and not any(n[0] in "=+-@\t\r" for n in names), names

    said = json.loads(run("season", tmp_path / "garden" / "garden.json", "--json").out)
    assert text in json.dumps(said, ensure_ascii=False) or json.dumps(text, ensure_ascii=False)[1:-1] in json.dumps(said, ensure_ascii=False)


@pytest.mark.parametrize("text", ["\x1b[31mred", "a\x00b", "\x08\x08\x08", "\x7f", "\u009b31m", "\u0085", "\u202egnp.exe", "\u2066x", "a\u2069"])
@pytest.mark.parametrize("where", ["garden/name", "garden/note", "garden/currency", "material/title", "plant/botanical"])
def test_what_steers_a_terminal_is_refused(tmp_path, text, where):
    made = wicked_garden("Plain name")
    part, key = where.split("/")
    {"garden": made["garden"], "material": made["materials"]["own-feed"], "plant": made["plants"]["own-leaf"]}[part][key] = text
    said = one_sentence(run("check", lay(tmp_path, made)))
    assert "steers what is shown" in said
    assert "\x1b" not in said and not re.search("[\u0080-\u009f\u202a-\u202e\u2066-\u2069]", said)


def test_no_plugin_of_its_folder_is_loaded(tmp_path):
    own = os.environ["LEAFHUNGER_PLUGIN_PATH"]
    path = lay(tmp_path)
    for name in ("evil.so", "plugins/evil.so", "lib/leafhunger/plugins/evil.so", "../evil.so"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(os.path.join(own, "urea.so"), tmp_path / name)
    # A key that would name plugins is no key at all.
    for key in ("plugins", "plugin_path", "catalogue"):
        assert f'unknown key "{key}"' in one_sentence(run("season", lay(tmp_path / "asks", garden(**{key: ["."]}))))
    assert "evil.so" not in run("plugins", cwd=tmp_path).out
    assert run("season", path, cwd=tmp_path).status == 0
    # Asked by the flag it is looked at, and here refused: the shipped model has the same name.
    asked = run("--plugins", tmp_path, "plugins", cwd=tmp_path)
    assert "evil.so" in asked.out + asked.err


def traced(*words, cwd, log):
    """Every file opened and every name changed or network asked, by strace."""
    calls = "trace=%network,open,openat,openat2,creat,rename,renameat,renameat2,link,linkat,symlink,symlinkat,unlink,unlinkat,mkdir,mkdirat,rmdir,truncate,execve"
    answer = run(*words, cwd=cwd, prefix=("strace", "-f", "-qq", "-s", "4096", "-e", calls, "-o", str(log)))
    return answer, [line.split(None, 1)[1] for line in log.read_text(errors="replace").splitlines() if " ENOENT " not in line]


def can_trace(tmp_path):
    if shutil.which("strace") is None:
        return "strace is not installed"
    done = subprocess.run(["strace", "-o", tmp_path / "try", "true"], capture_output=True, text=True)
    return "" if done.returncode == 0 else "strace may not run here: " + done.stderr.strip()


def test_touches_nothing_but_its_weather_and_out(tmp_path):
    if why := can_trace(tmp_path):
        pytest.skip(why)
    folder, out = tmp_path / "garden", tmp_path / "out"
    path = lay(folder, garden(**{"$schema": "evil.so"}))
    shutil.copy(os.path.join(os.environ["LEAFHUNGER_PLUGIN_PATH"], "urea.so"), folder / "evil.so")
    answer, calls = traced("season", path, "--out", out, cwd=folder, log=tmp_path / "log")
    assert answer.status == 0, answer
    read_from = ("/etc/ld.so", "/lib", "/usr/lib", "/proc/", "/sys/", "/dev/", os.path.realpath(os.environ["LEAFHUNGER_PLUGIN_PATH"]),
                 os.path.realpath(os.environ["LEAFHUNGER_CATALOGUE"]), os.environ["LEAFHUNGER_PLUGIN_PATH"], os.environ["LEAFHUNGER_CATALOGUE"])
    opened = 0
    for call in calls:
        name = call.split("(")[0]
        paths = re.findall(r'"((?:[^"\\]|\\.)*)"', call)
        if name in ("open", "openat", "openat2") and "O_WRONLY" not in call and "O_RDWR" not in call and "O_CREAT" not in call:
            opened += 1
            where = os.path.join(folder, paths[0]) if paths else ""
            ours = (str(path), str(folder / "weather.csv"), str(out))
            program = os.path.normpath(where).startswith(os.path.dirname(os.path.dirname(os.path.realpath(CLI))))
            assert where in ours or where.startswith(read_from) or program, call
            assert not where.endswith("evil.so"), call
        elif name in ("open", "openat", "openat2", "creat", "rename", "renameat", "renameat2", "link", "linkat", "unlink", "unlinkat", "mkdir", "mkdirat"):
            assert all(p.startswith(str(out)) for p in paths) and paths, call
        elif name == "execve":
            assert paths[0] == CLI, call
        else:
            assert name.startswith(("+++", "---")) or "resumed" in call, call  # no socket, no link, nothing else
    assert opened > 5


@pytest.mark.parametrize("written", ["/etc/passwd", "../../../../../../../../../../etc/passwd", "notes.txt", "keys.json", "bank.csv"])
def test_a_file_that_is_no_weather_is_not_read_out(tmp_path, written):
    secret = "root:x:0:0:hunter2 4929-1111"
    folder = tmp_path / "garden"
    path = lay(folder, garden(weather={"file": written}))
    (folder / "notes.txt").write_text(f"{secret}\n{secret}\n")
    (folder / "keys.json").write_text('{"password": "hunter2"}\n')
    (folder / "bank.csv").write_text(f"date,amount,account\n2024-01-01,12.50,{secret}\n")
    said = one_sentence(run("season", path))
    assert "hunter2" not in said and "4929" not in said and "root:" not in said, said


def test_weather_may_lie_elsewhere(tmp_path):
    lay(tmp_path / "station")
    for written in ("../station/weather.csv", str(tmp_path / "station" / "weather.csv")):
        assert run("season", lay(tmp_path / "garden", garden(weather={"file": written}))).status == 0


def test_weather_that_never_ends_is_refused(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    os.symlink("/dev/zero", tmp_path / "link")
    for written in ("pipe", "link", "/dev/zero", "/dev/stdin", "/dev/null", "."):
        answer = run("season", lay(tmp_path, garden(weather={"file": written})), timeout=20)
        said = one_sentence(answer)
        assert "no plain file" in said or "folder" in said, said


def test_another_format_is_told_how_to_mend_it(tmp_path):
    """The format has a version, 1, since the first release; there is no older one to read. Files of a later one, or without it, are told."""
    for written, found in ((2, "2"), (0, "0"), (1.5, "1.5")):
        said = one_sentence(run("check", lay(tmp_path, garden(format=written))))
        assert found in said and 'write "format": 1' in said and "/format" in said, said
    without = garden()
    del without["format"]
    said = one_sentence(run("check", lay(tmp_path, without)))
    assert '"format"' in said and 'write "format": 1' in said, said
