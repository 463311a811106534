"""A mapping by the names that a gardener gave; an unknown name is answered with the nearest one."""
from collections.abc import Iterator, Mapping
from typing import TypeVar

from . import _engine

T = TypeVar("T")


class ByName(Mapping[str, T]):
    """Read-only, in the scenario's order."""

    def __init__(self, what: str, items: Mapping[str, T]) -> None:
        self._what, self._items = what, items

    def __getitem__(self, name: str) -> T:
        if name not in self._items:
            near = _engine.nearest_name(str(name), list(self._items))
            raise KeyError(f'no {self._what} "{name}"; ' + (f'the nearest is "{near}"' if near else f"there are {', '.join(self._items) or 'none'}"))
        return self._items[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __repr__(self) -> str:
        return repr(dict(self._items))
