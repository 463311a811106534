"""What models there are and where they came from."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from . import _engine, _html, _places


@dataclass(frozen=True)
class Parameter:
    """A number that a catalogue entry may set."""

    name: str
    unit: str
    default: float
    lower: float
    upper: float
    meaning: str
    source: str


@dataclass(frozen=True)
class Model:
    """A release model (how a material frees nitrogen) or a demand model (what a plant wants)."""

    name: str
    kind: str  # "release" or "demand"
    version: str
    summary: str
    source: str
    licence: str
    origin: str  # the library's path, or "Python: CLASS"
    parameters: tuple[Parameter, ...]


class PluginList:
    """Models of the plugins that were opened, and what happened to each file looked at. `print` it for the command's words."""

    def __init__(self, opened: _engine.Plugins) -> None:
        self._opened = opened
        self._models = MappingProxyType({m["name"]: _model(m) for m in opened.models()})

    @property
    def models(self) -> Mapping[str, Model]:
        """Models by name."""
        return self._models

    @property
    def searched(self) -> tuple[str, ...]:
        """Folders that were looked through, in order."""
        return tuple(self._opened.searched)

    @property
    def missing(self) -> tuple[str, ...]:
        """Folders that were to be looked through and are not there."""
        return tuple(self._opened.missing)

    @property
    def refused(self) -> Mapping[str, str]:
        """Files that were refused, each with the reason in one sentence."""
        return MappingProxyType({file: why for file, why in self._opened.files if why})

    def to_json(self, *, responses: bool = False) -> str:
        """The same text as `leafhunger plugins --json`."""
        return self._opened.json(responses)

    def __str__(self) -> str:
        return self._opened.words(False).removesuffix("\n")

    def __repr__(self) -> str:
        return f"<leafhunger.PluginList: {', '.join(self._models) or 'no model'}>"

    def _repr_html_(self) -> str:
        rows = [(m.name, m.kind, m.version, m.summary) for m in self._models.values()]
        return _html.table("Models", ("name", "kind", "version", "what it does"), rows)


def _model(d: dict[str, Any]) -> Model:
    d["parameters"] = tuple(Parameter(**p) for p in d["parameters"])
    return Model(**d)


def plugins(extra: object = ()) -> PluginList:
    """Opens the plugins and lists their models.

    Args:
        extra: folders to look in first, beside $LEAFHUNGER_PLUGIN_PATH and the installation's own.

    Raises:
        InputError: a folder of `extra` is not there.
        PluginError: a file of `extra` was refused.

    Example:
        >>> lh.plugins().models["soluble-salt"].summary
        'nitrate and ammonium salts, free at once'
    """
    return PluginList(_places.open_plugins(extra))
