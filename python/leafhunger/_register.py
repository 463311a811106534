"""Release models written in Python, for this process: slower than a compiled plugin, the same contract, and good for trying an idea.

A model is an object that declares what a compiled plugin declares (name, parameters, pools, the flows between them) and has two methods. It never
steps time: once a day it gives each flow a coefficient per day, and the engine takes coefficient x what is there. So nothing can be lost, no more
can leave than is there, and every gram can be labelled.
"""
from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import numpy as np

from . import _engine, _places
from ._plugins import Parameter
from .errors import PluginError

if TYPE_CHECKING:
    from ._run import Array

_NONE = -1  # LH_NONE of plugin.h, as are the numbers below
_PLACES = {"surface": 0, "soil": 1}
_KINDS = {"unfreed": 0, "microbes": 1, "humus": 2}
_ENDS = {"ammonium": -2, "nitrate": -3, "mineral": -4, "surface ammonium": -5, "air": -6}
_TOLERANCE = 1e-12


@dataclasses.dataclass(frozen=True)
class Pool:
    """Nitrogen of the feed in one state. Rain carries a surface pool to `wash_to` (a pool in the soil, "ammonium" or "nitrate"): all but 1/e of it
    with as many mm as the parameter called `wash_mm` says, and `mix_per_day` of it by soil life. `kind` is what a ledger calls it: "unfreed",
    "microbes" or "humus"."""

    name: str
    place: str = "soil"  # or "surface"
    kind: str = "unfreed"
    wash_to: str | None = None
    wash_mm: str | None = None  # name of a parameter, mm
    mix_per_day: str | None = None  # name of a parameter, per day


@dataclasses.dataclass(frozen=True)
class Flow:
    """A way out of a pool: `coefficient x what is in it` goes to another pool, "ammonium", "nitrate", "surface ammonium" or "air" each day.

    From `donor="mineral"` (the soil's ammonium and nitrate: microbes take it) it is coefficient x what is in the pool called `driver`, and it starves.
    What `starves` slows down where mineral nitrogen is scarce."""

    name: str
    donor: str
    to: str
    driver: str | None = None
    starves: bool = False


@dataclasses.dataclass(frozen=True)
class Response:
    """A factor that the engine computes each day: law of warmth x law of moisture (see `responses()`), over where the feed lies. `reference_c` and `q`
    name parameters, where the law takes them."""

    name: str
    temperature: str = "flat"
    moisture: str = "flat"
    place: str = "soil"  # or "surface"
    reference_c: str | None = None
    q: str | None = None


class Rows(Mapping[str, "Array"]):
    """Arrays by name, one value for each member: `rows["fast"]`, or by index, `rows[0]`; `rows.array` is all of them, shaped (rows, members)."""

    def __init__(self, names: Sequence[str], array: Array) -> None:
        self._names, self.array = names, array

    def __getitem__(self, key: str | int) -> Array:
        if isinstance(key, str):
            if key not in self._names:
                near = _engine.nearest_name(key, list(self._names))
                raise KeyError(f'no "{key}"; ' + (f'the nearest is "{near}"' if near else f"there are {', '.join(self._names) or 'none'}"))
            key = self._names.index(key)
        row: Array = self.array[key]
        return row

    def __array__(self, dtype: Any = None) -> Array:
        return np.asarray(self.array, dtype)

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def __repr__(self) -> str:
        return f"<Rows {', '.join(self._names)}: {self.array.shape[1]} members>"


class Day:
    """What a model may know of a day; each an array with one value for each member.

    Attributes:
        members: how many there are.
        response: factors of the responses that the model declared, by name.
        t_soil_c, wfps_frac, rel_water_frac: warmth, share of pores with water, share of available water where the feed lies.
        t_min_c, t_max_c, rain_mm, rain3_mm (of three days), radiation_mj_m2, day_length_h, day_of_year: of the weather.
        age_d: days since it was first given.
        given_kg_n_ha, given_t_dm_ha: all that was given until now.
        mulch_t_dm_ha: all bulky material on the surface, dry.
    """

    members: int
    response: Rows
    day_of_year: Array
    t_min_c: Array
    t_max_c: Array
    radiation_mj_m2: Array
    day_length_h: Array
    rain_mm: Array
    rain3_mm: Array
    t_soil_c: Array
    wfps_frac: Array
    rel_water_frac: Array
    age_d: Array
    given_kg_n_ha: Array
    given_t_dm_ha: Array
    mulch_t_dm_ha: Array

    def __init__(self, told: Mapping[str, Any], responses: Sequence[str]) -> None:
        self.members = told["members"]
        none = np.empty((0, self.members))
        self.response = Rows(responses, none if told["response"] is None else told["response"])
        for name, row in told.items():
            if name not in ("members", "response"):
                setattr(self, name, None if row is None else row[0])


class _Fault(Exception):
    """What a model did wrong, in words that follow "model NAME: `rates` "."""


def _said(error: BaseException) -> str:
    words = " ".join(str(error).split())
    return f"raised {type(error).__name__}" + (f": {words[:300]}" if words else "")


def _row(value: object, members: int, what: str) -> Array:
    try:
        row = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise _Fault(f"returned {type(value).__name__} for {what} (wanted: numbers)") from None
    if row.shape not in ((), (1,), (members,)):
        raise _Fault(f"returned an array shaped {row.shape} for {what} (wanted: one value, or ({members},))")
    return np.broadcast_to(row, (members,))


def _answer(answer: object, names: Sequence[str], members: int, what: str, missing: float | None) -> Array:
    """An answer by name, or as rows in order, as (rows, members). A name left out is `missing`, or a fault where that is None."""
    if isinstance(answer, Mapping):
        for name in answer:
            if name not in names:
                near = _engine.nearest_name(str(name), list(names))
                raise _Fault(f'returned a {what} "{name}" that it never declared' + (f'; did you mean "{near}"?' if near else ""))
        for name in names:
            if name not in answer and missing is None:
                raise _Fault(f'returned nothing for the {what} "{name}"')
        rows = [_row(answer.get(name, missing), members, f'the {what} "{name}"') for name in names]
        return np.array(rows, dtype=float).reshape(len(names), members)
    if answer is None:
        if not names:
            return np.empty((0, members))
        raise _Fault(f"returned nothing (wanted: a dict by {what}, or an array)")
    try:
        whole = np.asarray(answer, dtype=float)
    except (TypeError, ValueError):
        raise _Fault(f"returned {type(answer).__name__} (wanted: a dict by {what}, or an array)") from None
    if whole.shape != (len(names), members):
        raise _Fault(f"returned an array shaped {whole.shape} (wanted: ({len(names)}, {members}), a row for each {what}, a column for each member)")
    return np.ascontiguousarray(whole)


def _refuse_numbers(rows: Array, names: Sequence[str], what: str) -> None:
    for name, row in zip(names, rows):
        bad = row[~(np.isfinite(row) & (row >= 0))]
        if bad.size:
            raise _Fault(f'returned {bad[0]:g} for the {what} "{name}" (wanted: 0 or above)')


def _initial(method: Callable[..., object], pools: Sequence[str], parameters: Sequence[str]) -> Callable[[Array, Array | None], Array]:
    names = [*pools, "surface ammonium"]

    def initial(given: Array, parameter: Array | None) -> Array:
        members = given.shape[1]
        try:
            answer = method(given[0].copy(), Rows(parameters, np.empty((0, members)) if parameter is None else parameter))
        except Exception as e:
            raise _Fault(_said(e)) from e
        if not isinstance(answer, Mapping) and answer is not None and np.asarray(answer).shape[:1] == (len(pools),):
            answer = [*answer, np.zeros(members)]  # type: ignore[misc]
        rows = _answer(answer, names, members, "pool", 0.0)
        _refuse_numbers(rows, names, "pool")
        out = rows.sum(axis=0)
        wrong = np.abs(out - given[0]) > _TOLERANCE * given[0]
        if wrong.any():
            i = int(np.argmax(wrong))
            ratio = out[i] / given[0, i] if given[0, i] > 0 else np.inf
            raise _Fault(f"hands out {ratio:.6g} of each 1 that was given (pools and surface ammonium must add up to it)")
        return rows

    return initial


def _rates(method: Callable[..., object], pools: Sequence[str], parameters: Sequence[str], responses: Sequence[str],
           flows: Sequence[str]) -> Callable[[dict[str, Any], Array, Array | None], Array]:
    def rates(told: dict[str, Any], pool: Array, parameter: Array | None) -> Array:
        members = told["members"]
        try:
            answer = method(Day(told, responses), Rows(pools, pool), Rows(parameters, np.empty((0, members)) if parameter is None else parameter))
        except Exception as e:
            raise _Fault(_said(e)) from e
        rows = _answer(answer, flows, members, "flow", None)
        _refuse_numbers(rows, flows, "flow")
        return rows

    return rates


# ---- what a model declares -------------------------------------------------------------------------------------------

_T = TypeVar("_T")


class _Declared:
    """Reads an object's declarations; refuses with one sentence that names the model."""

    def __init__(self, model: object) -> None:
        self.model = model
        self.who = type(model).__name__
        name = getattr(model, "name", None)
        if not isinstance(name, str) or not name.strip():
            self.refuse(f"`name` is {name!r}, where a text belongs, such as \"nut-shells\"")
        self.who = name

    def refuse(self, why: str) -> NoReturn:
        raise PluginError(f"model {self.who}: {why}", at_load=True)

    def text(self, attribute: str, otherwise: str | None = None) -> str:
        value = getattr(self.model, attribute, otherwise)
        if not isinstance(value, str) or not value.strip():
            self.refuse(f"`{attribute}` must be a text that is not empty")
        return value

    def rows(self, attribute: str, kind: type[_T], needed: bool = False) -> list[_T]:
        given = getattr(self.model, attribute, ())
        if isinstance(given, (str, bytes, Mapping)) or not isinstance(given, Iterable):
            self.refuse(f"`{attribute}` must be a list of {kind.__name__}")
        rows = [self.row(attribute, kind, one) for one in given]
        if needed and not rows:
            self.refuse(f"`{attribute}` is empty")
        return rows

    def row(self, attribute: str, kind: type[_T], one: object) -> _T:
        if isinstance(one, kind):
            return one
        try:
            if isinstance(one, Mapping):
                return kind(**one)
            if isinstance(one, Sequence) and not isinstance(one, (str, bytes)):
                return kind(*one)
        except TypeError as e:
            fields = ", ".join(f.name for f in dataclasses.fields(kind))
            self.refuse(f"a row of `{attribute}` does not fit ({e}); its parts are {fields}")
        self.refuse(f"a row of `{attribute}` is {type(one).__name__}, where {kind.__name__} or a dict belongs")

    def index(self, name: str | None, known: Sequence[str], what: str, where: str) -> int:
        if name is None:
            return _NONE
        if name not in known:
            near = _engine.nearest_name(str(name), list(known))
            self.refuse(f'{where} names the {what} "{name}", which is not declared' + (f'; did you mean "{near}"?' if near else ""))
        return list(known).index(name)

    def choice(self, name: str, known: Mapping[str, int], where: str) -> int:
        if name not in known:
            self.refuse(f'{where} is "{name}"; allowed is ' + " or ".join(f'"{k}"' for k in known))
        return known[name]


def _described(d: _Declared) -> tuple[dict[str, Any], list[str], list[str], list[str], list[str]]:
    parameters, pools = d.rows("parameters", Parameter), d.rows("pools", Pool, needed=True)
    responses, flows = d.rows("responses", Response), d.rows("flows", Flow)
    by = {kind: [row.name for row in rows] for kind, rows in (("parameter", parameters), ("pool", pools), ("response", responses), ("flow", flows))}  # type: ignore[attr-defined]
    for kind, names in by.items():
        for name in names:
            if not isinstance(name, str) or not name:
                d.refuse(f"a {kind} has no name")
            if name in _ENDS and kind == "pool":
                d.refuse(f'the pool "{name}" is called like something of the host\'s; choose another name')
    for p in parameters:
        for part in ("default", "lower", "upper"):
            value = getattr(p, part)
            if isinstance(value, bool) or not isinstance(value, (int, float, np.number)):
                d.refuse(f'{part} of the parameter "{p.name}" is {value!r}, where a number belongs')

    def parameter(name: str | None, where: str) -> int:
        return d.index(name, by["parameter"], "parameter", where)

    def end(name: str, where: str) -> int:
        return _ENDS[name] if name in _ENDS else d.index(name, by["pool"], "pool", where)

    about: dict[str, Any] = {
        "name": d.who, "version": d.text("version"), "summary": d.text("summary"), "licence": d.text("licence", "not given"), "source": d.text("source"),
        "origin": f"Python: {type(d.model).__name__}",
        "parameters": [{f.name: getattr(p, f.name) for f in dataclasses.fields(p)} for p in parameters],
        "responses": [{"name": r.name, "temperature": r.temperature, "moisture": r.moisture, "place": d.choice(r.place, _PLACES, f'place of the response "{r.name}"'),
                       "reference_c": parameter(r.reference_c, f'the response "{r.name}"'), "q": parameter(r.q, f'the response "{r.name}"')} for r in responses],
        "pools": [{"name": p.name, "place": d.choice(p.place, _PLACES, f'place of the pool "{p.name}"'), "kind": d.choice(p.kind, _KINDS, f'kind of the pool "{p.name}"'),
                   "wash_to": _NONE if p.wash_to is None else end(p.wash_to, f'the pool "{p.name}"'), "wash_mm": parameter(p.wash_mm, f'the pool "{p.name}"'),
                   "mix_per_day": parameter(p.mix_per_day, f'the pool "{p.name}"')} for p in pools],
        "flows": [],
    }
    for f in flows:
        where = f'the flow "{f.name}"'
        donor = end(f.donor, where)
        driver = donor if f.driver is None else d.index(f.driver, by["pool"], "pool", where)
        about["flows"].append({"name": f.name, "donor": donor, "to": end(f.to, where), "driver": driver, "starves": bool(f.starves) or f.donor == "mineral"})
    return about, by["pool"], by["parameter"], by["response"], by["flow"]


def register(model: Any) -> Any:
    """Makes a release model that is written in Python known in this process: a material (a scenario's own, or a `Material`) may then name it.

    `leafhunger` the command never sees it. Runs with such models are single-threaded. Registering a name again replaces the model for gardens that
    are loaded afterwards; 32 of them can live at once.

    Args:
        model: an object, or a class that can be made without arguments, with
            name, version, summary, source: texts (`licence` may be given too).
            parameters: list of `Parameter` (or dicts with its parts).
            pools: list of `Pool`.
            flows: list of `Flow`.
            responses: list of `Response`.
            initial(given, parameters): how what is given (kg N/ha, one for each member) is shared over the pools: a dict by pool, in which
                "surface ammonium" may stand too, or an array (pools, members). Adds up to what was given.
            rates(day, pools, parameters): the coefficient of each flow, per day, 0 or above: a dict by flow, or an array (flows, members).
                `day` is a `Day`; `pools` and `parameters` are `Rows`, kg N/ha and in the parameter's unit.
            Both are pure: same input, same output. Arrays are copies.

    Returns:
        The model, so that it may stand above a class as a decorator.

    Raises:
        PluginError: what it declares is malformed, a plugin has its name, or there is no room. `at_load` is True.

    A method that raises, or returns a wrong shape, a number below 0 or none at all, stops the run with a PluginError that names the model, the method
    and the day; what was raised is its `__cause__`.

    Example:
        >>> @lh.register
        ... class Shells:
        ...     name, version, summary, source = "shells", "1", "frees a share each day", "invented"
        ...     parameters = [lh.Parameter("per_day", "1/d", 0.05, 0, 1, "share freed each day", "invented")]
        ...     pools = [lh.Pool("shells")]
        ...     flows = [lh.Flow("freed", "shells", "ammonium")]
        ...     def initial(self, given, parameters):
        ...         return {"shells": given}
        ...     def rates(self, day, pools, parameters):
        ...         return {"freed": parameters["per_day"]}
        >>> lh.incubate(lh.Material("Shells", "shells"), 15, [7, 28])
    """
    made = model
    if isinstance(model, type):
        try:
            made = model()
        except Exception as e:
            raise PluginError(f"model {model.__name__}: cannot be made without arguments ({_said(e)})", at_load=True) from e
    d = _Declared(made)
    for method in ("initial", "rates"):
        if not callable(getattr(made, method, None)):
            d.refuse(f"has no method `{method}`")
    about, pools, parameters, responses, flows = _described(d)
    _places.register(_engine.PythonModel(about, _initial(made.initial, pools, parameters), _rates(made.rates, pools, parameters, responses, flows)))
    return model


def unregister(name: str) -> None:
    """Forgets a registered model. Gardens that are loaded already keep it.

    Raises:
        PluginError: no model of that name is registered.
    """
    if name not in _places.registered:
        near = _engine.nearest_name(str(name), list(_places.registered))
        raise PluginError(f"model {name}: not registered" + (f'; did you mean "{near}"?' if near else ""), at_load=True)
    _places.unregister(name)
