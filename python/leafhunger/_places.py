"""Where plugins and catalogue lie, and opening them on first use."""
from __future__ import annotations

import functools
import os

from . import _check, _engine
from .errors import PluginError


# Models that `register()` brought, by name; every later opening sees them.
registered: dict[str, _engine.PythonModel] = {}


@functools.lru_cache(maxsize=None)
def beside() -> str:
    """A folder X with X/../lib/leafhunger/plugins and X/../share/leafhunger/catalogue.

    In a build tree the package is BUILD/python/leafhunger and X is BUILD/python. Installed, it is a few folders below PREFIX/lib, and X is
    PREFIX/lib: the first folder above the package that has the catalogue next to it.
    """
    above = here = os.path.dirname(os.path.abspath(__file__))
    for _ in range(5):
        above = os.path.dirname(above)
        if os.path.isdir(os.path.join(above, "..", "share", "leafhunger", "catalogue")):
            return above
    return os.path.dirname(here)


def open_plugins(extra: object = ()) -> _engine.Plugins:
    """Opens the installation's plugins and those of the folders `extra`, which come first. Opening nothing extra is done once a process.

    Raises InputError where a folder of `extra` is not there, PluginError where a file in one was refused.
    """
    folders = tuple(_check.paths(extra, "plugins"))
    opened = _opened(folders, os.environ.get("LEAFHUNGER_PLUGIN_PATH", ""))
    for folder in folders:
        if folder in opened.missing:
            _check.refuse("plugins", _check.Words(f'no folder "{folder}"'), "a folder with plugins (*.so)", "check the path")
    for file, refused in opened.files:
        if refused and os.path.dirname(file) in {os.path.normpath(f) for f in folders} | set(folders):
            raise PluginError(refused, at_load=True)
    return opened


def _opened(folders: tuple[str, ...], environment: str) -> _engine.Plugins:
    # A folder's content may change between two calls; the installation's does not.
    if folders:
        return _engine.Plugins(_engine.plugin_folders(list(folders), beside()), list(registered.values()))
    return _opened_once(environment)


@functools.lru_cache(maxsize=8)
def _opened_once(environment: str) -> _engine.Plugins:
    return _engine.Plugins(_engine.plugin_folders([], beside()), list(registered.values()))


def register(model: _engine.PythonModel) -> None:
    """From now on every opening brings this model too, in place of one of its name registered before."""
    before = dict(registered)
    registered[model.name] = model
    _opened_once.cache_clear()
    try:
        open_plugins()
    except PluginError:  # a plugin has that name
        registered.clear()
        registered.update(before)
        _opened_once.cache_clear()
        raise


def unregister(name: str) -> None:
    """Later openings do without it."""
    del registered[name]
    _opened_once.cache_clear()


def catalogue_folder(given: object = None) -> str:
    """The folder given, else $LEAFHUNGER_CATALOGUE, else the installation's."""
    return _engine.catalogue_folder(beside()) if given is None else _check.path(given, "catalogue")
