"""What the tests of files and of strangers' scenarios share: gardens to spoil, and the command run under limits."""
import copy
import json
import os
import pathlib
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
SCENARIOS = ROOT / "scenarios"
CLI = os.environ.get("LEAFHUNGER_CLI", "")
DEEP = os.environ.get("LEAFHUNGER_DEEP") == "1"


def garden(**parts):
    """One bed, one planting, one feeding; `parts` replace keys at the top."""
    made = json.loads((SCENARIOS / "one-bed.json").read_text(encoding="utf-8"))
    made["weather"] = {"file": "weather.csv"}
    made.update(copy.deepcopy(parts))
    return made


def weather(years=2, first=2021):
    """Days of a mild coast, the same every year; seasons `first` + 1 and on."""
    import datetime
    import math

    day, rows = datetime.date(first - 1, 11, 1), ["date,tmin_c,tmax_c,rain_mm"]
    while day < datetime.date(first - 1 + years, 11, 1):
        warm = math.cos(2 * math.pi * (day.timetuple().tm_yday - 205) / 365.25)
        rows.append(f"{day},{7 + 4.5 * warm:.1f},{14 + 6.5 * warm:.1f},{(day.toordinal() * 7919 % 97) / 12 if day.toordinal() % 2 else 0:.1f}")
        day += datetime.timedelta(days=1)
    return "\n".join(rows) + "\n"


def lay(folder, scenario=None, days=None):
    """Writes a scenario and its weather into `folder`; answers the scenario's path."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "weather.csv").write_text(weather() if days is None else days, encoding="utf-8")
    path = folder / "garden.json"
    text = scenario if isinstance(scenario, str) else json.dumps(scenario or garden(), ensure_ascii=False)
    path.write_text(text, encoding="utf-8")
    return path


class Answer:
    def __init__(self, status, out, err, peak_mib, seconds):
        self.status, self.out, self.err, self.peak_mib, self.seconds = status, out, err, peak_mib, seconds

    def __repr__(self):
        return f"status {self.status}, {self.peak_mib:.0f} MiB, {self.seconds:.1f} s\n{self.out[:2000]}\n{self.err[:2000]}"


def run(*words, cwd=None, before=None, stdout=None, timeout=120, prefix=()):
    """The command with the most memory that it held, MiB."""
    begun = time.monotonic()
    child = subprocess.Popen([*prefix, CLI, *map(str, words)], cwd=cwd, stdin=subprocess.DEVNULL, stdout=stdout or subprocess.PIPE, stderr=subprocess.PIPE,
                             preexec_fn=before, text=True, encoding="utf-8")
    try:
        out, err = child.communicate(timeout=timeout)
    except subprocess.TimeoutExpired:
        child.kill()
        child.communicate()
        raise
    return Answer(child.returncode, out or "", err, 0, time.monotonic() - begun)


def run_weighed(*words, timeout=120):
    """As run(), in a process of its own, so that its greatest memory is known."""
    script = ("import json,resource,subprocess,sys\n"
              "r=subprocess.run(sys.argv[1:],stdin=subprocess.DEVNULL,capture_output=True,text=True,encoding='utf-8')\n"
              "print(json.dumps([r.returncode,r.stdout,r.stderr,resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss/1024]))\n")
    begun = time.monotonic()
    done = subprocess.run([sys.executable, "-c", script, CLI, *map(str, words)], capture_output=True, text=True, timeout=timeout, check=True)
    status, out, err, peak = json.loads(done.stdout)
    return Answer(status, out, err, peak, time.monotonic() - begun)


def one_sentence(answer, status=2):
    """Refused: nothing on standard output, one line on the other."""
    assert answer.status == status, answer
    assert answer.out == "", answer
    assert answer.err.startswith("leafhunger: ") and answer.err.count("\n") == 1, answer
    assert len(answer.err) < 1500 and answer.err.rstrip().endswith("."), answer
    return answer.err
