"""Importing is quick and quiet, asks for nothing that is optional, and finds its plugins in build and install trees."""
import os
import pathlib
import subprocess
import sys

import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "scenarios" / "saltmarsh-lane.json"
PACKAGE = pathlib.Path(lh.__file__).parent  # not resolved: sources are linked into the build tree
BUILD = PACKAGE.parents[1]
OPTIONAL = ("matplotlib", "pandas", "scipy", "IPython", "ipywidgets", "jsonschema", "nbclient")


def python(code, path=PACKAGE.parent, **environment):
    """Runs code in a clean interpreter that sees only this package, and no LEAFHUNGER_ variable but those given."""
    env = {k: v for k, v in os.environ.items() if not k.startswith("LEAFHUNGER_")} | {"PYTHONPATH": str(path)} | environment
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, cwd="/")


def answer(code, **more):
    done = python(code, **more)
    assert done.returncode == 0 and done.stderr == "", done.stderr
    return done.stdout


def test_import_brings_little_beside_numpy():
    """Importing is to take under 100 ms on top of NumPy's own; what would take it longest stays out until it is used. How long it takes is measured
    by hand (python -X importtime): the clock would tell how busy the machine is with something else."""
    code = """
import sys, numpy
before = set(sys.modules)
import leafhunger
print(sorted({m.split('.')[0] for m in set(sys.modules) - before}))
"""
    brought = set(eval(answer(code)))
    small = {"leafhunger", "typing", "_typing", "dataclasses", "copy", "signal", "textwrap", "inspect", "ast", "dis", "opcode", "_opcode", "tokenize", "token", "linecache"}
    assert brought <= small, f"{sorted(brought - small)} would do where they are used"


def test_import_says_nothing():
    assert answer("import leafhunger") == ""


def test_import_brings_no_optional_package():
    code = f"import sys, leafhunger; print([m for m in {OPTIONAL!r} if m in sys.modules])"
    assert answer(code) == "[]\n"


def test_no_plugin_is_opened_before_first_use():
    code = """
import leafhunger as lh
opened = lambda: sum("lib/leafhunger/plugins/" in line for line in open("/proc/self/maps"))
before = opened()
lh.plugins()
print(before, opened() > 0)
"""
    assert answer(code) == "0 True\n"


@pytest.mark.parametrize("missing", OPTIONAL)
def test_works_without(missing):
    code = f"""
import sys
sys.modules[{missing!r}] = None
import leafhunger as lh
run = lh.load({str(DEMO)!r}).season(reasons=False)
print(len(run.series["Bananas"]["nni"]) in (365, 366))
"""
    assert answer(code) == "True\n"


def test_without_matplotlib_a_plot_says_so_in_a_sentence():
    code = f"""
import sys
sys.modules["matplotlib"] = None
import leafhunger as lh
try:
    lh.plot_supply(lh.load({str(DEMO)!r}).season(reasons=False), "Bananas")
except ImportError as e:
    print(e)
"""
    assert answer(code) == ("a picture needs matplotlib, which is not installed (Debian: python3-matplotlib); the numbers are in run.series\n")


def test_the_modules_version_is_the_projects():
    assert f"project(leafhunger VERSION {lh.__version__} " in (ROOT / "CMakeLists.txt").read_text()
    assert f'version = "{lh.__version__}"' in (ROOT / "pyproject.toml").read_text()


FIRST_QUESTION = f"""
import leafhunger as lh
print(lh.plugins().searched[-1])
print(lh.load({str(DEMO)!r}).season(reasons=False).verdict["Bananas"].outcome)
"""


def test_plugins_are_found_in_the_build_tree():
    folder, outcome = answer(FIRST_QUESTION).splitlines()
    assert pathlib.Path(folder) == BUILD / "lib" / "leafhunger" / "plugins" and outcome


def test_plugins_are_found_where_it_is_installed(tmp_path):
    if not (BUILD / "CMakeCache.txt").exists():
        pytest.skip("the package does not stand in a build tree")
    subprocess.run(["cmake", "--install", BUILD, "--prefix", tmp_path], check=True, capture_output=True)
    packages = tmp_path / "lib" / "python3" / "dist-packages"
    assert not any(f.is_symlink() for f in (packages / "leafhunger").iterdir())
    assert {"py.typed", "_engine.pyi"} <= {f.name for f in (packages / "leafhunger").iterdir()}
    folder, outcome = answer(FIRST_QUESTION, path=packages).splitlines()
    assert pathlib.Path(folder) == tmp_path / "lib" / "leafhunger" / "plugins"
    assert outcome == answer(FIRST_QUESTION).splitlines()[1]


def test_pip_installs_it_without_an_index(tmp_path):
    """PEP 517 and 427, judged by pip itself: package, command, plugins and catalogue in a clean environment that only borrows Debian's NumPy."""
    pytest.importorskip("pip", reason="pip is not installed (Debian: python3-pip)")
    if not (BUILD / "CMakeCache.txt").exists() or not sys.executable.startswith("/usr/bin/"):
        pytest.skip("the package does not stand in a build tree of Debian's Python")
    place = tmp_path / "environment"
    subprocess.run([sys.executable, "-m", "venv", "--system-site-packages", "--without-pip", place], check=True)
    clean = {k: v for k, v in os.environ.items() if not k.startswith("LEAFHUNGER_") and k != "PYTHONPATH"} | {"HOME": str(tmp_path), "PIP_CONFIG_FILE": os.devnull}
    subprocess.run([sys.executable, "-m", "pip", "--python", place / "bin" / "python", "install", "--no-index", "--no-build-isolation", "--no-cache-dir",
                    f"--config-settings=build-dir={BUILD}", ROOT], check=True, capture_output=True, env=clean, timeout=300)
    inside = lambda *command: subprocess.run(command, check=True, capture_output=True, text=True, env=clean, cwd="/").stdout  # noqa: E731
    folder, outcome = inside(place / "bin" / "python", "-c", FIRST_QUESTION).splitlines()
    assert pathlib.Path(folder) == place / "lib" / "leafhunger" / "plugins" and outcome == answer(FIRST_QUESTION).splitlines()[1]
    assert "good" in inside(place / "bin" / "leafhunger", "check", DEMO)
    assert not (ROOT / "build" / "lib").exists() and not list(ROOT.glob("*.egg-info")), "leaves nothing in the tree"


def test_the_environment_may_add_a_folder(tmp_path):
    code = "import leafhunger as lh; print(lh.plugins().searched[0])"
    assert answer(code, LEAFHUNGER_PLUGIN_PATH=str(tmp_path)) == f"{tmp_path}\n"


def test_the_environment_may_name_another_catalogue(tmp_path):
    done = python("import leafhunger as lh; lh.materials()", LEAFHUNGER_CATALOGUE=str(tmp_path))
    assert done.returncode == 1 and "InputError" in done.stderr and str(tmp_path) in done.stderr
