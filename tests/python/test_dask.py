"""A study of many gardens on a real Dask cluster, a worker of which is killed: a small one of what `dask_study.py` does at any size."""
import importlib.util
import pathlib
import subprocess
import sys

import pytest

SCRIPT = pathlib.Path(__file__).with_name("dask_study.py")


@pytest.mark.skipif(importlib.util.find_spec("distributed") is None, reason="Dask's distributed is not installed (Debian: python3-distributed)")
def test_a_killed_worker_changes_nothing():
    """12 gardens x 3 years; the script itself compares every row with this machine's one process, and fails where no worker died."""
    done = subprocess.run([sys.executable, SCRIPT], capture_output=True, text=True, timeout=300)
    print(done.stdout)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "one worker was killed" in done.stdout and "the same to the last digit" in done.stdout


def test_without_dask_the_script_says_so_in_a_sentence():
    code = f"import sys; sys.modules['distributed'] = None; sys.argv = ['dask_study.py']; import runpy; runpy.run_path({str(SCRIPT)!r}, run_name='__main__')"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0 and done.stdout == "skipped: Dask's distributed is not installed (Debian: python3-distributed)\n"
