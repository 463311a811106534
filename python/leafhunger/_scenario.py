"""Scenarios that may stand in a file or only in memory, and that can be sent to another process."""
from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import _check
from ._garden import Garden, load
from .errors import InputError


@dataclass(frozen=True)
class Source:
    """Where a garden comes from: a path, or the text of a scenario. With the folders that it is to be read with; all paths absolute, so that a process
    elsewhere on the machine reads the same."""

    path: str
    text: str
    plugins: tuple[str, ...]
    catalogue: str | None

    def load(self) -> Garden:
        """Reads it. What is wrong with a scenario in memory is said of "scenario"."""
        if not self.text:
            return load(self.path, self.plugins, catalogue=self.catalogue)
        import tempfile

        with tempfile.TemporaryDirectory(prefix="leafhunger-") as folder:
            path = os.path.join(folder, "scenario.json")
            with open(path, "w", encoding="utf-8") as stream:
                stream.write(self.text)
            try:
                return load(path, self.plugins, catalogue=self.catalogue)
            except InputError as e:
                if e.file != path:
                    raise
                raise InputError(str(e).replace(path, "scenario"), file="scenario", place=e.place, found=e.found, allowed=e.allowed, hint=e.hint) from None


def source(given: object, plugins: object = (), catalogue: object = None) -> Source:
    """A Source of a path, of a scenario in memory (a dict as the JSON file would be; its weather file stands relative to where we are), or of a Garden,
    which is read anew."""
    folders = tuple(os.path.abspath(f) for f in _check.paths(plugins, "plugins"))
    known = None if catalogue is None else os.path.abspath(_check.path(catalogue, "catalogue"))
    if isinstance(given, Mapping):
        return Source("", json.dumps(with_absolute_weather(given, os.getcwd())), folders, known)
    path = given.file if isinstance(given, Garden) else _check.path(given, "path")
    return Source(os.path.abspath(path), "", folders, known)


def with_absolute_weather(scenario: Mapping[str, Any], folder: str) -> dict[str, Any]:
    """A copy whose weather file stands as an absolute path."""
    copied = dict(scenario)
    weather = copied.get("weather")
    if isinstance(weather, Mapping) and isinstance(weather.get("file"), str):
        copied["weather"] = {**weather, "file": os.path.abspath(os.path.join(folder, weather["file"]))}
    return copied
