"""Makes the wheel that `pip install .` asks for (PEP 517, PEP 427), with CMake and nothing from an index: Debian has no build backend for CMake
projects. Package, command, plugins and catalogue go in; they find each other as in any other installation.

    pip install --no-build-isolation .
    pip install --no-build-isolation --config-settings=build-dir=build/release .     # takes that build tree in place of a fresh one
"""
from __future__ import annotations

import base64
import hashlib
import os
import pathlib
import stat
import subprocess
import sys
import sysconfig
import tempfile
import tomllib
import zipfile

ROOT = pathlib.Path(__file__).resolve().parents[1]


def _run(*command: object) -> None:
    subprocess.run([str(part) for part in command], check=True, stdout=sys.stderr)


def _installed(build: pathlib.Path, stage: pathlib.Path) -> None:
    if not (build / "CMakeCache.txt").exists():
        _run("cmake", "-S", ROOT, "-B", build, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release", "-DLEAFHUNGER_TESTS=OFF", "-DLEAFHUNGER_PYTHON=ON",
             f"-DPython3_EXECUTABLE={sys.executable}")
        _run("cmake", "--build", build)
    _run("cmake", "--install", build, "--prefix", stage)


def _members(stage: pathlib.Path, data: str) -> dict[str, pathlib.Path]:
    """Names in the wheel: the package at its top, the rest below the prefix that it is installed to."""
    package = next(stage.glob("lib/**/leafhunger/py.typed")).parent
    places = [(package, "leafhunger"), (stage / "lib" / "leafhunger", f"{data}/data/lib/leafhunger"), (stage / "share" / "leafhunger", f"{data}/data/share/leafhunger"),
              (stage / "bin", f"{data}/scripts")]
    return {f"{name}/{file.relative_to(folder).as_posix()}": file for folder, name in places for file in sorted(folder.rglob("*")) if file.is_file()}


def _description(project: dict[str, object]) -> str:
    needs = [f"Requires-Dist: {need}" for need in project["dependencies"]]  # type: ignore[attr-defined]
    for extra, wanted in project["optional-dependencies"].items():  # type: ignore[attr-defined]
        needs += [f"Provides-Extra: {extra}", *(f"Requires-Dist: {need}; extra == '{extra}'" for need in wanted)]
    return "\n".join(["Metadata-Version: 2.1", f"Name: {project['name']}", f"Version: {project['version']}", f"Summary: {project['description']}",
                      f"Requires-Python: {project['requires-python']}", "License: MIT", *needs, ""])


def build_wheel(wheel_directory: str, config_settings: dict[str, str] | None = None, metadata_directory: str | None = None) -> str:
    """The hook that pip calls; returns the wheel's name. The same tree gives the same bytes."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    stem = f"{project['name']}-{project['version']}"
    python, platform = f"cp{sys.version_info.major}{sys.version_info.minor}", sysconfig.get_platform().replace("-", "_").replace(".", "_")
    tag = f"{python}-{python}-{platform}"
    with tempfile.TemporaryDirectory() as folder:
        given = (config_settings or {}).get("build-dir")
        stage = pathlib.Path(folder, "stage")
        _installed(ROOT / given if given else pathlib.Path(folder, "build"), stage)
        content = {name: (file.read_bytes(), os.access(file, os.X_OK)) for name, file in _members(stage, f"{stem}.data").items()}
    info = f"{stem}.dist-info"
    content[f"{info}/METADATA"] = (_description(project).encode(), False)
    content[f"{info}/WHEEL"] = (f"Wheel-Version: 1.0\nGenerator: leafhunger\nRoot-Is-Purelib: false\nTag: {tag}\n".encode(), False)
    record = []
    for name, (data, _) in content.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
        record.append(f"{name},sha256={digest},{len(data)}")
    content[f"{info}/RECORD"] = ("\n".join([*record, f"{info}/RECORD,,", ""]).encode(), False)
    wheel = f"{stem}-{tag}.whl"
    with zipfile.ZipFile(pathlib.Path(wheel_directory, wheel), "w", zipfile.ZIP_DEFLATED) as out:
        for name, (data, runs) in content.items():
            entry = zipfile.ZipInfo(name)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = (stat.S_IFREG | (0o755 if runs else 0o644)) << 16
            out.writestr(entry, data)
    return wheel
