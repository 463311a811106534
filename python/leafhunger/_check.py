"""Arguments as a person types them: turned into what the engine takes, or refused in one sentence."""
import math
import numbers
import operator
import os
from collections.abc import Iterable, Sequence
from typing import NoReturn

from . import _engine
from .errors import InputError


class Words(str):
    """A text that says what was found, where the thing itself would say less."""


def refuse(place: str, found: object, allowed: str, hint: str = "") -> NoReturn:
    """Raises InputError, worded by the engine: PLACE: found FOUND; allowed is ALLOWED; HINT. FOUND is shown as JSON would, unless it is Words."""
    shown = found if isinstance(found, Words) else '"' + repr(found)[1:-1] + '"' if isinstance(found, str) else repr(found)
    if len(shown) > 80:
        shown = shown[:77] + "..."
    raise InputError(_engine.sentence(place, shown, allowed, hint), place=place, found=shown, allowed=allowed, hint=hint)


def of_kind(value: object, kind: type, place: str, allowed: str, hint: str) -> None:
    """One of the package's own things; any other is refused, with how to come by the right one."""
    if not isinstance(value, kind):
        what = type(value).__name__.replace("ndarray", "array")
        plain = value is None or isinstance(value, (str, bool, int, float))
        refuse(place, value if plain else Words(f"{'an' if what[0] in 'AEIOUaeiou' else 'a'} {what}"), allowed, hint)


def whole(value: object, place: str, least: int | None = None) -> int:
    """An int, NumPy's included; no bool, no text, no 2.0."""
    bounds = "a whole number" + ("" if least is None else f" from {least}")
    if isinstance(value, bool):
        refuse(place, value, bounds)
    try:
        number = operator.index(value)  # type: ignore[arg-type]
    except TypeError:
        refuse(place, value, bounds)
    if (least is not None and number < least) or abs(number) > 10**9:
        refuse(place, value, bounds)
    return number


def number(value: object, place: str) -> float:
    """A finite float."""
    if isinstance(value, bool) or not isinstance(value, numbers.Real) or not math.isfinite(value):
        refuse(place, value, "a number")
    return float(value)


def flag(value: object, place: str) -> bool:
    """True or False, NumPy's included."""
    if type(value).__name__ not in ("bool", "bool_"):
        refuse(place, value, "True or False")
    return bool(value)


def each(values: object, place: str, one_of: str) -> list[object]:
    """A list of what was given: a single number counts as a list of one, a text never does."""
    if isinstance(values, numbers.Number):
        return [values]
    if isinstance(values, (str, bytes)) or not isinstance(values, Iterable):
        refuse(place, values, f"a list of {one_of}")
    flat = values.ravel() if hasattr(values, "ravel") else values
    return list(flat)


def names(values: object, place: str) -> list[str]:
    """A list of texts; one text counts as a list of one."""
    if values is None:
        return []
    if isinstance(values, str):
        return [values]
    if not isinstance(values, Iterable):
        refuse(place, values, "a list of names")
    found = list(values)
    for name in found:
        if not isinstance(name, str):
            refuse(place, name, "a name, in quotation marks")
    return found


def path(value: object, place: str) -> str:
    """A path as text."""
    if not isinstance(value, (str, os.PathLike)):
        refuse(place, value, "a path")
    text = os.fspath(value)
    if not isinstance(text, str) or "\0" in text:
        refuse(place, value, "a path")
    return text


def paths(values: object, place: str) -> list[str]:
    """A list of paths; one path counts as a list of one."""
    if isinstance(values, (str, os.PathLike)):
        return [path(values, place)]
    if not isinstance(values, Iterable):
        refuse(place, values, "a list of folders")
    return [path(v, place) for v in values]


def one_of(value: object, place: str, known: Sequence[str]) -> str:
    """A known name; another is refused with the nearest one."""
    if isinstance(value, str) and value in known:
        return value
    listed = ", ".join(f'"{k}"' for k in known) if known else "nothing: there is none"
    near = _engine.nearest_name(value, list(known)) if isinstance(value, str) else ""
    refuse(place, value, listed, f'the nearest is "{near}"' if near else "")


def told(progress: object) -> None:
    """A function of how many of how many are done, or None."""
    if progress is not None and not callable(progress):
        refuse("progress", progress, "a function of two numbers, or None")
