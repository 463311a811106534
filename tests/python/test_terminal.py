"""What a terminal of 80 columns sees: errors are folded between words there, and stay one line where a program reads them."""
import os
import pathlib
import pty
import subprocess

import pytest

import leafhunger as lh

DEMO = pathlib.Path(__file__).resolve().parents[2] / "scenarios" / "saltmarsh-lane.json"
CLI = os.environ.get("LEAFHUNGER_CLI") or pathlib.Path(lh.__file__).parents[2] / "bin" / "leafhunger"


def on_terminal(*words, folder):
    """Status, standard output, what the terminal saw of the output of errors."""
    terminal, theirs = pty.openpty()
    done = subprocess.run([CLI, *words], stdout=subprocess.PIPE, stderr=theirs, cwd=folder, text=True, timeout=60)
    os.close(theirs)
    seen = b""
    try:
        while more := os.read(terminal, 1000):
            seen += more
    except OSError:  # the other end is closed and all is read
        pass
    os.close(terminal)
    return done.returncode, done.stdout, seen.decode().replace("\r\n", "\n")


@pytest.mark.parametrize("words", [("season", "garden.json"), ("seson", "garden.json"), ("topup", str(DEMO), "--material", "manure"), ("lasts", str(DEMO), "--sures")])
def test_an_error_is_folded_for_a_person_alone(words, tmp_path):
    (tmp_path / "garden.json").write_text('{"format": 1, "garden": {"name": "A garden", "latitude_deg": 50.3, "lattitude": 50}}')
    piped = subprocess.run([CLI, *words], capture_output=True, text=True, cwd=tmp_path, timeout=60)
    status, out, seen = on_terminal(*words, folder=tmp_path)
    assert piped.returncode == status == 2 and piped.stdout == out == ""
    assert piped.stderr.count("\n") == 1 and len(piped.stderr) > 160
    lines = seen.splitlines()
    assert len(lines) > 2 and all(len(line) <= 80 for line in lines), lines
    assert " ".join(line.strip() for line in lines) == piped.stderr.strip()
    assert all(line.startswith("  ") for line in lines[1:])


def test_progress_is_a_share_whatever_the_number_of_ways():
    status, _, seen = on_terminal("lasts", DEMO.with_name("one-bed.json"), "--sure", "2", folder=DEMO.parent)
    assert status == 0 and "trying ways it may be: 100 %" in seen
    assert "of 100" not in seen and seen.split("\r")[-1].strip() == "", "two ways are not a hundred; the line is wiped in the end"
