"""A jar's or bag's diary: what of a feed's nitrogen was mineral on which day, from a file."""
from __future__ import annotations

import io
import math
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn, TextIO

import numpy as np

from . import _check, _engine, _html
from ._jar import temperature_response
from .errors import InputError

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ._run import Array

_PERCENT, _MG = "mineral_n_percent_of_total", "mineral_n_mg_per_kg"
_GIVEN, _CONTROL, _WET, _ERROR = "given_n_mg_per_kg", "control_n_mg_per_kg", "moisture_frac", "standard_error"
# Name: (from, to, what it is, hint where it is out of that).
_COLUMNS: Mapping[str, tuple[float, float, str, str]] = {
    "day": (0, 3650, "whole days from 0 to 3650", "count days from the one on which the feed was mixed in"),
    "temperature_c": (-20, 60, "-20 to 60 degC", "write degrees Celsius"),
    _PERCENT: (-1000, 200, "-1000 to 200 percent", "write percent of the nitrogen given, less what the same soil without feed held"),
    _MG: (-10000, 100000, "-10000 to 100000 mg/kg", "write mg of ammonium and nitrate N in a kg of dry soil"),
    _GIVEN: (0.001, 100000, "above 0, at most 100000 mg/kg", "write mg of the feed's N given to a kg of dry soil"),
    _CONTROL: (0, 100000, "0 to 100000 mg/kg", "write mg of mineral N in a kg of the same soil without feed, on the same day"),
    _WET: (0.001, 1, "above 0, at most 1", "write the share of the soil's pores that hold water"),
    _ERROR: (1e-9, 100000, "above 0", "write it in the unit of the reading, or leave the column out"),
}


@dataclass(frozen=True)
class Incubation:
    """Readings of one feed in jars, or in bags in the ground; a row each.

    Attributes:
        day: whole days after mixing in.
        temperature_c: of the jar from the first day to this one; of a bag, see `equivalent_temperature()`.
        freed_frac: share of the feed's nitrogen that was mineral, less what soil without feed held. Below 0: tied up.
        moisture: share of the soil's pores that held water, NaN where not said.
        standard_error: of `freed_frac`, NaN where not said.
        file: where it came from.
        notes: what was noticed on reading.
    """

    day: tuple[int, ...]
    temperature_c: Array
    freed_frac: Array
    moisture: Array
    standard_error: Array
    file: str = ""
    notes: tuple[str, ...] = ()

    def __len__(self) -> int:
        return len(self.day)

    def _repr_html_(self) -> str:
        rows = [(d, f"{t:g}", f"{100 * s:.1f}") for d, t, s in zip(self.day, self.temperature_c, self.freed_frac)]
        return _html.table(self.file or "Readings", ("day", "°C", "mineral, % of the N given"), rows)


def _shown(text: str, most: int = 60) -> str:
    """What stands in a file, as a sentence may repeat it: short, and nothing in it that steers a terminal."""
    plain = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text[:most])
    return plain + "..." if len(text) > most else plain


def _refuse(file: str, place: str, found: str, allowed: str, hint: str) -> NoReturn:
    found, hint = _shown(found, 200), _shown(hint, 200)
    sentence = _engine.sentence(place, found, allowed, hint)
    raise InputError(f"{file}, {sentence}" if file else sentence, file=file, place=place, found=found, allowed=allowed, hint=hint)


def _text(source: object) -> tuple[str, str]:
    if hasattr(source, "read"):
        return source.read(), getattr(source, "name", "")
    path = _check.path(source, "source")
    try:
        with open(path, encoding="utf-8-sig", newline="") as stream:
            return stream.read(), path
    except UnicodeDecodeError:
        _refuse(path, "the file", "bytes that are no text", "text in UTF-8, columns parted by commas", "save the table as CSV")
    except OSError as fault:
        found = "a folder" if os.path.isdir(path) else "no file of that name" if not os.path.exists(path) else fault.strerror or "a file that cannot be read"
        _refuse(path, "the file", found, "a CSV file", "check the name and the folder")


def _number(file: str, line: int, name: str, cell: str) -> float:
    low, high, allowed, hint = _COLUMNS[name]
    place, text = f"line {line}, column {name}", cell.strip()
    if not text:
        _refuse(file, place, "an empty cell", allowed, "leave the whole row out where nothing was measured")
    try:
        value = float(text)
    except ValueError:
        _refuse(file, place, _shown(text), allowed, "write a number with a decimal point")
    if not math.isfinite(value) or not low <= value <= high or (name == "day" and value != int(value)):
        _refuse(file, place, _shown(text), allowed, hint)
    return value


def _columns(file: str, line: int, heads: Sequence[str], given: float | None, logged: bool) -> None:
    place = f"line {line}"
    for name in heads:
        if heads.count(name) > 1:
            _refuse(file, place, f'the column "{_shown(name)}" twice', "each column once", "take one out")
    wanted = f"day,temperature_c,{_PERCENT} or day,temperature_c,{_MG},{_GIVEN}"
    if logged and "temperature_c" in heads:
        _refuse(file, place, "a column temperature_c, and log_c besides", "one of them", "leave out the column for bags, log_c for jars")
    for name in ("day",) if logged else ("day", "temperature_c"):
        if name not in heads:
            near = _engine.nearest_name(name, list(heads))
            _refuse(file, place, f"no column {name}", wanted, f'is it the one called "{near}"?' if near else "name the columns in the first line")
    if (_PERCENT in heads) == (_MG in heads):
        found = "both" if _PERCENT in heads else f"neither {_PERCENT} nor {_MG}"
        _refuse(file, place, found, "one of them", "name the column for what was measured")
    if _MG in heads and _GIVEN not in heads and given is None:
        _refuse(file, place, f"{_MG} and nothing that says how much was given", f"a column {_GIVEN} beside it, or the argument given_n_mg_per_kg",
                "say how many mg of the feed's N went into a kg of dry soil")


def read_incubation(source: str | os.PathLike[str] | TextIO, *, given_n_mg_per_kg: float | None = None, log_c: ArrayLike | None = None) -> Incubation:
    """Reads the diary of jars or bags: CSV, the columns named in the first line, a row for each reading. Lines that begin with # are comments.

    | column | |
    |---|---|
    | `day` | whole days after mixing in |
    | `temperature_c` | of the jar; it may differ from row to row |
    | `mineral_n_percent_of_total` | percent of the feed's nitrogen that is ammonium or nitrate, less that of the same soil without feed; or |
    | `mineral_n_mg_per_kg` | ammonium and nitrate N, mg in a kg of dry soil, with |
    | `given_n_mg_per_kg` | the feed's N, mg given to a kg of dry soil (or the argument of that name), and, unless it was taken off before, |
    | `control_n_mg_per_kg` | what the same soil without feed held that day |
    | `moisture_frac` | if known: share of the soil's pores that hold water |
    | `standard_error` | if known: of the reading, in its unit; readings that are surer then count for more |

    Several jars on one day are several rows. Other columns are left alone, and a note names them.

    Args:
        source: path, or something to read text from.
        given_n_mg_per_kg: mg of the feed's N given to a kg of dry soil, where no column says so.
        log_c: for bags in the ground, in place of the column `temperature_c`: the soil thermometer's mean of each day, from the day on which they were
            buried. A bag lifted on day 28 gets the `equivalent_temperature()` of the first 28.

    Raises:
        InputError: the file is missing, a column is, or a cell is out of bounds; with line and column.

    Example:
        >>> lh.read_incubation(io.StringIO("day,temperature_c,mineral_n_percent_of_total\\n7,20,31\\n28,20,48\\n")).freed_frac
        array([0.31, 0.48])
    """
    given = None if given_n_mg_per_kg is None else _check.number(given_n_mg_per_kg, "given_n_mg_per_kg")
    if given is not None and given <= 0:
        _check.refuse("given_n_mg_per_kg", given, "above 0")
    log = None if log_c is None else [_check.number(t, "log_c") for t in _check.each(log_c, "log_c", "degrees Celsius")]
    text, file = _text(source)
    import csv

    reader = csv.reader(io.StringIO(text))
    heads: list[str] = []
    rows: list[dict[str, float]] = []
    try:
        for cells in reader:
            line = reader.line_num
            if not any(c.strip() for c in cells) or cells[0].lstrip().startswith("#"):
                continue
            if not heads:
                heads = [c.strip().lower() for c in cells]
                if len(heads) == 1 and any(mark in heads[0] for mark in ";\t"):
                    _refuse(file, f"line {line}", "columns parted by semicolons or tabs", "commas between columns", "and decimal points in the numbers")
                _columns(file, line, heads, given, log is not None)
                continue
            if len(cells) != len(heads):
                _refuse(file, f"line {line}", f"{len(cells)} cells", f"{len(heads)}, as many as there are columns", "write numbers with a decimal point, not a comma")
            row = {name: _number(file, line, name, cell) for name, cell in zip(heads, cells)
                   if name in _COLUMNS and not (name in (_WET, _ERROR) and not cell.strip())}
            if log is not None:
                if row["day"] > len(log) or not log:
                    _refuse(file, f"line {line}, column day", f"{row['day']:.0f}", f"at most {len(log)}, the days of log_c", "give the log from burying to the last bag")
                row["temperature_c"] = equivalent_temperature(log[:max(1, int(row["day"]))])
            rows.append(row)
    except csv.Error as fault:
        _refuse(file, f"line {reader.line_num}", "no table", "cells parted by commas", str(fault))
    if not rows:
        _refuse(file, "the file", "no reading", "at least one row below the names of the columns", "write a row for each jar and day")
    return _made(rows, heads, given, file)


def _made(rows: list[dict[str, float]], heads: Sequence[str], given: float | None, file: str) -> Incubation:
    def column(name: str) -> Array:
        return np.array([row.get(name, math.nan) for row in rows])

    if _PERCENT in heads:
        unit, reading = np.full(len(rows), 100.0), column(_PERCENT)
    else:
        unit = column(_GIVEN) if _GIVEN in heads else np.full(len(rows), given)
        reading = column(_MG) - (column(_CONTROL) if _CONTROL in heads else 0.0)
    notes = []
    if _MG in heads and _CONTROL not in heads:
        notes.append("No control_n_mg_per_kg: the readings count as what the feed alone brought.")
    over = [h for h in heads if h and h not in _COLUMNS]
    if over:
        notes.append(f"Left alone: {', '.join(map(_shown, over[:12]))}{', and more' if len(over) > 12 else ''}.")
    return Incubation(tuple(int(row["day"]) for row in rows), column("temperature_c"), reading / unit, column(_WET), column(_ERROR) / unit, file, tuple(notes))


def equivalent_temperature(log_c: ArrayLike | Iterable[float], *, law: str = "lloyd_taylor", reference_c: float | None = None, q: float | None = None) -> float:
    """The constant warmth at which as much decays as under a thermometer's log: for a bag in the ground, whose days differ.

    Decay follows the law, so its *mean* counts, and a mean of the law is that of a higher temperature than the mean. For what follows one law (the fast
    and slow pools and the microbes of `organic-two-pool` follow `lloyd_taylor`) this is exact.

    Args:
        log_c: temperatures at equal steps of time, degrees Celsius, from burying to lifting.
        law: name of a temperature response that rises with warmth.
        reference_c, q: what that law takes.

    Raises:
        InputError: no temperature, or one out of -20 to 60, or no warmth of that range gives the mean.

    Example:
        >>> round(lh.equivalent_temperature([5, 25]), 1)
        18.0
    """
    log = np.asarray([_check.number(t, "log_c") for t in _check.each(log_c, "log_c", "degrees Celsius")])
    if not log.size:
        _check.refuse("log_c", _check.Words("no temperature"), "at least one")
    for t in log[(log < -20) | (log > 60)]:
        _check.refuse("log_c", float(t), "-20 to 60 degC")
    factor = temperature_response(law)
    mean = float(np.mean(factor(log, reference_c=reference_c, q=q)))
    low, high = float(log.min()), float(log.max())
    at_low, at_high = (float(factor(t, reference_c=reference_c, q=q)) for t in (low, high))
    if not at_low <= mean * (1 + 1e-12) or not mean <= at_high * (1 + 1e-12):
        _check.refuse("law", law, "one that rises with warmth over these temperatures", "lloyd_taylor does")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if float(factor(middle, reference_c=reference_c, q=q)) < mean else (low, middle)
    return (low + high) / 2
