"""Where the page build and the command lie, and the engine of the page run by node."""
import json
import os
import pathlib
import shutil
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = pathlib.Path(os.environ.get("LEAFHUNGER_WEB", ROOT / "build" / "web" / "web"))
CLI = os.environ.get("LEAFHUNGER_CLI", str(ROOT / "build" / "release" / "bin" / "leafhunger"))
SCENARIOS = ROOT / "scenarios"
EXAMPLES = sorted(f.name for f in SCENARIOS.glob("*.json") if "beds" in json.loads(f.read_text()))


class WebEngine:
    def __init__(self):
        self.node = subprocess.Popen([shutil.which("node") or "node", str(ROOT / "tests" / "page" / "ask.js"), str(BUILT)], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                     text=True, encoding="utf-8")

    def ask(self, files=(), **question):
        self.node.stdin.write(json.dumps({"files": list(files), "question": question}) + "\n")
        self.node.stdin.flush()
        return json.loads(self.node.stdout.readline())

    def close(self):
        self.node.stdin.close()
        self.node.wait(10)


def scenario_files(name):
    """A scenario of the examples, and the weather beside it."""
    text = (SCENARIOS / name).read_text(encoding="utf-8")
    weather = json.loads(text)["weather"].get("file")
    return [[name, text]] + ([[weather, (SCENARIOS / weather).read_text(encoding="utf-8")]] if weather else [])


def command(*arguments, cwd=SCENARIOS):
    return subprocess.run([CLI, *arguments], capture_output=True, text=True, encoding="utf-8", cwd=cwd)
