"""Jars on a shelf, and the response functions behind them."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from os import PathLike
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check, _engine, _html, _places
from ._by_name import ByName

if TYPE_CHECKING:
    from numpy.typing import ArrayLike  # slow to import, and never needed to run

    from ._run import Array


@dataclass(frozen=True)
class Material:
    """What can be fed: a release model of a plugin and the numbers for it.

    `carbon_to_nitrogen` is the label's, of the whole material; 0 where it holds no carbon. `parameters` are the model's own (see `plugins()`);
    what is left out is taken from `estimated` (what follows from label and origin, see `from_label`), else from the model's defaults. `spread`
    says how far a parameter may lie from the truth, as a standard deviation. To ask "what if", copy one: `dataclasses.replace(m,
    carbon_to_nitrogen=80)` or `m.but(fast_frac=0.8)`.
    """

    title: str
    model: str
    n_percent: float = 1.0
    carbon_to_nitrogen: float = 0.0
    parameters: Mapping[str, float] = field(default_factory=dict)
    id: str = ""
    form: str = "powder"
    price_per_kg: float = 0.0
    bulk_density_kg_m3: float = 650.0
    sources: Mapping[str, str] = field(default_factory=dict, repr=False)
    ammonium_frac: float = 0.0  # share of the nitrogen that is ammonium as bought
    origin: str = ""
    estimated: Mapping[str, float] = field(default_factory=dict)
    spread: Mapping[str, float] = field(default_factory=dict)
    responses: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)  # laws chosen in place of the model's own, as in a catalogue

    @classmethod
    def from_engine(cls, d: dict[str, Any]) -> Material:
        """From the engine's dict."""
        for group in ("parameters", "sources", "estimated", "spread", "responses"):
            d[group] = MappingProxyType(d[group])
        return cls(**d)

    def but(self, **parameters: float) -> Material:
        """A copy with some of the model's parameters set anew."""
        return replace(self, parameters={**self.parameters, **parameters})


def materials(catalogue: str | PathLike[str] | None = None) -> Mapping[str, Material]:
    """The shipped catalogue's materials by id, or those of another catalogue folder."""
    found = _engine.materials(_places.catalogue_folder(catalogue))
    return ByName("material", {id: Material.from_engine(d) for id, d in found.items()})


def _share(value: object, place: str) -> float:
    share = _check.number(value, place)
    if not 0 <= share <= 1:
        _check.refuse(place, share, "0 to 1")
    return share


def from_label(n_percent: float, origin: str, *, carbon_to_nitrogen: float | None = None, ammonium_frac: float | None = None,
               dry_matter_percent: float = 90.0, title: str = "From a label", model: str = "organic-two-pool") -> Material:
    """A material from what its bag says and one word on what it came from.

    Args:
        n_percent: nitrogen, percent of the weight as bought.
        origin: "animal-meal", "seed-meal", "green-plant", "straw", "bird-manure", "bird-manure-composted", "herbivore-manure" or "matured-heap".
        carbon_to_nitrogen: total carbon to total nitrogen; left out, it follows from the nitrogen and the carbon that such dry matter holds.
        ammonium_frac: share of the nitrogen that is ammonium, where the bag says it.
        dry_matter_percent: what is left after drying.
        title: what to call it.
        model: release model; "bulky-mulch" for what lies on top in a layer.

    Returns:
        A Material whose `estimated` and `spread` hold the parameters that follow, and whose `sources` say where from.

    Raises:
        InputError: an unknown origin, or a number outside its bounds.

    Example:
        >>> lh.incubate(lh.from_label(4, "bird-manure"), 15, [28, 140]).round(2)
    """
    nitrogen, dry = _check.number(n_percent, "n_percent"), _check.number(dry_matter_percent, "dry_matter_percent")
    if not 0 < nitrogen <= 100:
        _check.refuse("n_percent", nitrogen, "above 0 and at most 100")
    if not 0 < dry <= 100:
        _check.refuse("dry_matter_percent", dry, "above 0 and at most 100")
    word = _check.one_of(origin, "origin", tuple(word for word, _ in _engine.origins()))
    carbon = None if carbon_to_nitrogen is None else _check.number(carbon_to_nitrogen, "carbon_to_nitrogen")
    if carbon is not None and not 0 < carbon <= min(1000, dry / nitrogen):
        _check.refuse("carbon_to_nitrogen", carbon, f"above 0 and at most {min(1000, dry / nitrogen):.3g}, since carbon cannot outweigh the dry matter")
    ammonium = None if ammonium_frac is None else _share(ammonium_frac, "ammonium_frac")
    found = _engine.from_label(nitrogen, dry, carbon, ammonium, word)
    return Material(title, model, nitrogen, ammonium_frac=ammonium or 0.0, origin=word, **found)


def incubate(material: str | Material, temperature_c: ArrayLike, days: ArrayLike, *, moisture: str | float = "field-capacity", texture: str = "loam",
             catalogue: str | PathLike[str] | None = None, plugins: object = ()) -> Array:
    """What a material frees in a jar of soil at constant warmth and moisture: no plant, no leaching, no loss to the air, mineral nitrogen in
    plenty. It is the garden's own column with everything else switched off.

    Args:
        material: id of the catalogue, or a Material.
        temperature_c: one or several, -20 to 60.
        days: one or several whole days, 0 (just mixed in) to 3650.
        moisture: "field-capacity", or the share of the soil's pores that hold water, above 0 and at most 1.
        texture: of the soil in the jar.
        catalogue: folder of another catalogue.
        plugins: folders to look for plugins in first.

    Returns:
        Share of the material's nitrogen that is mineral (ammonium and nitrate), shaped (temperatures, days). Below 0: tied up.

    Raises:
        InputError: an unknown material, model, parameter or texture, or a number outside its bounds.

    Example:
        >>> lh.incubate("dried-blood", [8, 15, 22], [14, 28]).round(2)
    """
    opened = _places.open_plugins(plugins)
    if not isinstance(material, Material):
        known = materials(catalogue)
        material = known[_check.one_of(material, "material", tuple(known))]
    warmth = [_check.number(t, "temperature_c") for t in _check.each(temperature_c, "temperature_c", "degrees Celsius")]
    looked_at = [_check.whole(d, "days") for d in _check.each(days, "days", "whole days")]
    wet = None
    if isinstance(moisture, str):
        _check.one_of(moisture, "moisture", ("field-capacity",))
    else:
        wet = _check.number(moisture, "moisture")
    return _engine.incubate(opened, for_engine(material), warmth, looked_at, wet, _check.one_of(texture, "texture", _engine.textures()))


def for_engine(material: Material) -> dict[str, Any]:
    """What a jar needs of a material, checked."""
    def numbers(given: Mapping[str, float], what: str) -> dict[str, float]:
        return {str(name): _check.number(value, f"{what} {name}") for name, value in given.items()}

    label = {"n_percent": _check.number(material.n_percent, "n_percent"),
             "carbon_to_nitrogen": _check.number(material.carbon_to_nitrogen, "carbon_to_nitrogen")}
    if not 0 < label["n_percent"] <= 100:
        _check.refuse("n_percent", label["n_percent"], "above 0 and at most 100")
    if not 0 <= label["carbon_to_nitrogen"] <= 1000:
        _check.refuse("carbon_to_nitrogen", label["carbon_to_nitrogen"], "0 to 1000")
    laws = {}
    for group, law in material.responses.items():
        known = responses()
        temperature, moisture = law.get("temperature", ""), law.get("moisture", "")
        if temperature:
            _check.one_of(temperature, f"response {group}, temperature", tuple(known.temperature))
        if moisture:
            _check.one_of(moisture, f"response {group}, moisture", tuple(known.moisture))
        laws[str(group)] = {"temperature": temperature, "moisture": moisture, "reference_c": _check.number(law.get("reference_c", 25.0), f"response {group}, reference_c"),
                            "q": _check.number(law.get("q", 2.0), f"response {group}, q")}
    return {"id": material.id or material.title, "title": material.title, "model": material.model, **label,
            "ammonium_frac": _share(material.ammonium_frac, "ammonium_frac"), "parameters": numbers(material.parameters, "parameter"),
            "estimated": numbers(material.estimated, "estimated"), "spread": numbers(material.spread, "spread of"), "responses": laws}


@dataclass(frozen=True)
class TemperatureResponse:
    """A named law of warmth. Call it with temperatures: `law(t_c)`, `law(t_c, reference_c=10, q=43.7)`."""

    name: str
    formula: str
    source: str

    def __call__(self, t_c: ArrayLike, *, reference_c: float | None = None, q: float | None = None) -> Array:
        """Factor at each temperature, shaped as they are.

        Args:
            t_c: degrees Celsius.
            reference_c: temperature at which it is 1, for laws that take one.
            q: what the law's formula calls Q, Ea (kJ/mol) or Tb (degrees Celsius).

        Raises:
            InputError: the law needs `reference_c` or `q` and did not get it.
        """
        warmth = np.asarray(t_c, dtype=float)
        given = [None if v is None else _check.number(v, place) for v, place in ((reference_c, "reference_c"), (q, "q"))]
        answer = _engine.temperature_response(self.name, warmth, *given)
        if np.isnan(answer[np.isfinite(warmth)]).any():
            _check.refuse(f'temperature response "{self.name}"', _check.Words(f"reference_c={reference_c}, q={q}"), self.formula, "give both numbers that the formula names")
        return answer


@dataclass(frozen=True)
class MoistureResponse:
    """A named law of moisture. Call it with the share of the soil's pores that hold water: `law(wfps_frac, texture="loam")`."""

    name: str
    formula: str
    source: str

    def __call__(self, wfps_frac: ArrayLike, *, texture: str = "loam") -> Array:
        """Factor at each moisture (0 to 1), shaped as they are."""
        wet = np.asarray(wfps_frac, dtype=float)
        return _engine.moisture_response(self.name, wet, _check.one_of(texture, "texture", _engine.textures()))


@dataclass(frozen=True)
class Responses:
    """All response functions by name."""

    temperature: Mapping[str, TemperatureResponse]
    moisture: Mapping[str, MoistureResponse]

    def __iter__(self) -> Iterator[TemperatureResponse | MoistureResponse]:
        yield from self.temperature.values()
        yield from self.moisture.values()

    def _repr_html_(self) -> str:
        return _html.table("Response functions", ("name", "formula", "source"), [(r.name, r.formula, r.source) for r in self])


def responses() -> Responses:
    """The response functions that models choose from, by name, each with formula and source. Temperature and moisture multiply."""
    return Responses(MappingProxyType({r[0]: TemperatureResponse(*r) for r in _engine.temperature_responses()}),
                     MappingProxyType({r[0]: MoistureResponse(*r) for r in _engine.moisture_responses()}))


def temperature_response(name: str) -> TemperatureResponse:
    """The law of warmth of that name: `lh.temperature_response("lloyd_taylor")([8, 15, 22])`."""
    known = responses().temperature
    return known[_check.one_of(name, "temperature response", tuple(known))]


def moisture_response(name: str) -> MoistureResponse:
    """The law of moisture of that name: `lh.moisture_response("relative_wet")(0.6)`."""
    known = responses().moisture
    return known[_check.one_of(name, "moisture response", tuple(known))]
