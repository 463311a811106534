"""Fitting a material's numbers to what jars or bags of one's own showed."""
from __future__ import annotations

import dataclasses
import json
import math
import os
import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from os import PathLike
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check, _engine, _html, _places
from ._incubation import Incubation
from ._jar import Material, for_engine, materials
from ._plugins import Parameter, plugins as list_plugins
from ._sobol import need_scipy
from .plots import _ACCENT, _INK, _SOFT, _axes, _label_ends, _title

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ._run import Array

_USUAL = ("ready_frac", "fast_frac", "fast_per_day")  # where neither caller nor catalogue says which
_STEP = 1e-4  # of central differences, as a share of a figure's range


class _Jars:
    """The engine's jars for the rows of a diary, as a function of some parameters of one material.

    A rate ("1/d") is looked for by its logarithm: it cannot fall below 0, and twice is as far as half. The rest stays as it is.
    """

    def __init__(self, material: Material, data: Incubation, names: tuple[str, ...], known: Mapping[str, Parameter], moisture: float | None, texture: str,
                 opened: _engine.Plugins) -> None:
        self.names, self._known, self._material, self._texture, self._opened = names, known, for_engine(material), texture, opened
        self.log = np.array([known[n].unit == "1/d" for n in names])
        floor = {} if "ammonium_frac" in names else {"ready_frac": material.ammonium_frac}
        lower = [max(known[n].lower, floor.get(n, known[n].lower)) for n in names]
        self.lower = np.array([max(low, 1e-5) if rate else low for low, rate in zip(lower, self.log)])
        self.upper = np.array([known[n].upper for n in names])
        self._groups = []
        wet = [moisture if math.isnan(w) else float(w) for w in data.moisture]
        for level in dict.fromkeys(wet):
            rows = [i for i, w in enumerate(wet) if w == level]
            self._groups.append((level, *_grid([float(data.temperature_c[i]) for i in rows], [data.day[i] for i in rows]), rows))
        self._count = len(data)
        have = {**material.estimated, **material.parameters, "ammonium_frac": material.ammonium_frac}
        self._ready = float(have.get("ready_frac", 0.0))
        self.before = np.array([float(have.get(n, known[n].default)) for n in names])

    def scaled(self, values: Array) -> Array:
        return np.where(self.log, np.log(np.maximum(values, 1e-300)), values)

    def natural(self, x: Array) -> Array:
        return np.where(self.log, np.exp(np.minimum(x, 700)), x)

    def with_values(self, values: Array) -> dict[str, Any]:
        """The material as the engine takes it."""
        given = dict(self._material)
        given["parameters"] = {**given["parameters"], **dict(zip(self.names, (float(v) for v in values)))}
        if "ammonium_frac" in self.names:
            given["ammonium_frac"] = given["parameters"].pop("ammonium_frac")
            if "ready_frac" in self._known:  # the ammonium is a part of it
                given["parameters"]["ready_frac"] = max(given["parameters"].get("ready_frac", self._ready), given["ammonium_frac"])
        return given

    def freed(self, x: Array) -> Array:
        """Share that is mineral in each row."""
        material, answer = self.with_values(np.clip(self.natural(x), self.lower, self.upper)), np.empty(self._count)
        for level, warmth, days, which_t, which_d, rows in self._groups:
            answer[rows] = _engine.incubate(self._opened, material, warmth, days, level, self._texture)[which_t, which_d]
        return answer

    def line(self, x: Array, warmth: float, days: list[int], level: float | None) -> Array:
        material = self.with_values(np.clip(self.natural(x), self.lower, self.upper))
        line: Array = _engine.incubate(self._opened, material, [warmth], days, level, self._texture)[0]
        return line


def _grid(warmth: list[float], days: list[int]) -> tuple[list[float], list[int], list[int], list[int]]:
    all_t, all_d = sorted(set(warmth)), sorted(set(days))
    return all_t, all_d, [all_t.index(t) for t in warmth], [all_d.index(d) for d in days]


def _quick_slopes(f: Any, x: Array, low: Array, high: Array) -> Array:
    """One-sided differences, into the bounds: (rows, parameters). Good enough to find the way down."""
    here, columns = f(x), []
    for i in range(len(x)):
        step = _STEP * (high[i] - low[i])
        moved = x.copy()
        moved[i] += step if x[i] + step <= high[i] else -step
        columns.append((f(moved) - here) / (moved[i] - x[i]))
    return np.stack(columns, axis=-1)


def _slopes(f: Any, x: Array, low: Array, high: Array) -> Array:
    """Central differences, one-sided at a bound: (rows, parameters)."""
    columns = []
    for i in range(len(x)):
        step = _STEP * (high[i] - low[i])
        up, down = x.copy(), x.copy()
        up[i], down[i] = min(x[i] + step, high[i]), max(x[i] - step, low[i])
        columns.append((f(up) - f(down)) / (up[i] - down[i]))
    return np.stack(columns, axis=-1)


@dataclass(frozen=True)
class Calibration:
    """What jars taught about a material. Made by `calibrate()`; `print` it for words.

    Attributes:
        material: as fitted; its `spread` holds what is still unsure.
        before: as it was.
        data: the readings.
        estimate: fitted parameters by name.
        interval: (low, high) of each, which holds the truth in 19 of 20 such trials.
        at_bound: names of those that ended where they may go no further; their intervals are no good.
        correlation: of the estimates, shaped (parameters, parameters).
        fitted_frac: the model's answer for each reading.
        rms_points: root mean square of reading less model, in grams of 100 g of nitrogen.
    """

    material: Material
    before: Material
    data: Incubation
    estimate: Mapping[str, float]
    interval: Mapping[str, tuple[float, float]]
    at_bound: tuple[str, ...]
    correlation: Array
    fitted_frac: Array
    rms_points: float
    _jars: _Jars = dataclasses.field(repr=False)
    _x: Array = dataclasses.field(repr=False)
    _covariance: Array = dataclasses.field(repr=False)
    _quantile: float = dataclasses.field(repr=False)
    _moisture: float | None = dataclasses.field(repr=False)
    _catalogue: str = dataclasses.field(repr=False)

    def band(self, temperature_c: float, days: Iterable[int], *, moisture: float | None = None) -> tuple[Array, Array, Array]:
        """The fitted line at a temperature, and its 95 % band: (line, low, high), shares of the nitrogen given.

        The band is for the line, not for a single reading, which strays farther.
        """
        looked_at = [_check.whole(d, "days", least=0) for d in days]
        warmth, level = _check.number(temperature_c, "temperature_c"), self._moisture if moisture is None else _check.number(moisture, "moisture")
        j = self._jars

        def line(x: Array) -> Array:
            return j.line(x, warmth, looked_at, level)

        slopes = _slopes(line, self._x, j.scaled(j.lower), j.scaled(j.upper))
        middle = line(self._x)
        half = self._quantile * np.sqrt(np.maximum(np.einsum("di,ij,dj->d", slopes, self._covariance, slopes), 0))
        return middle, middle - half, middle + half

    def entry(self) -> dict[str, Any]:
        """The material as an entry for "materials" of a scenario or a catalogue. What a jar says nothing about (form, price, what it does on top) is taken
        over from the catalogue where the material came from there."""
        entry = _catalogue_entry(self._catalogue, self.before)
        spread = self.material.spread
        entry["parameters"] = {k: v for k, v in {**entry.get("parameters", {}), **self.material.parameters}.items() if k != "comment"}
        entry["spread"] = {**{k: v for k, v in entry.get("spread", {}).items() if k != "comment"}, **spread}
        if self.material.ammonium_frac:
            entry["ammonium_frac"] = self.material.ammonium_frac
        told = f"fitted to {len(self.data)} readings" + (f" of {os.path.basename(self.data.file)}" if self.data.file else "")
        entry["sources"] = {**entry.get("sources", {}), **{name: told for name in self.estimate}}
        return entry

    def to_json(self, id: str) -> str:
        """`entry()` under an id of yours, as text to paste into a scenario's "materials"."""
        return json.dumps({id: self.entry()}, indent=2, ensure_ascii=False)

    def words(self) -> str:
        """What was found, in words."""
        degrees = sorted(set(float(t) for t in self.data.temperature_c))
        warmth = f"{degrees[0]:g} °C" if len(degrees) == 1 else f"{degrees[0]:g} to {degrees[-1]:g} °C"
        title = self.material.title
        lines = [f"{title}: {len(self.data)} readings at {warmth}, to day {max(self.data.day)}.", ""]
        wide = max(len(n) for n in self.estimate)
        lines += [f"  {'':{wide}}     best   19 times in 20    before"]
        for (name, best), was in zip(self.estimate.items(), self._jars.before):
            low, high = self.interval[name]
            sure = "at its bound" if name in self.at_bound else f"{low:.3g} to {high:.3g}"
            lines.append(f"  {name:{wide}} {best:8.3g}   {sure:<16} {was:7.3g}")
        more = [f"The line misses a reading by {self.rms_points:.1f} g of 100 (root mean square)."]
        names = list(self.estimate)
        for i in range(len(names)):
            for j in range(i):
                if abs(self.correlation[i, j]) > 0.95:
                    more.append(f"{names[j]} and {names[i]} can hardly be told apart by these readings: other days or another temperature would help.")
        more += [f"{name} wants to go further than it may: another model, or another C:N, may suit this feed better." for name in self.at_bound]
        more += list(self.data.notes)
        return "\n".join([*lines, "", *(textwrap.fill(m, 80, initial_indent="  ", subsequent_indent="  ") for m in more)])

    def __str__(self) -> str:
        return self.words()

    def _repr_html_(self) -> str:
        rows = [(n, f"{v:.3g}", "at its bound" if n in self.at_bound else "{:.3g} to {:.3g}".format(*self.interval[n])) for n, v in self.estimate.items()]
        return _html.table(f"{self.material.title}, fitted to {len(self.data)} readings", ("parameter", "best", "19 times in 20"), rows,
                           f"misses a reading by {self.rms_points:.1f} g of 100")


def _catalogue_entry(folder: str, m: Material) -> dict[str, Any]:
    if m.id:
        with open(os.path.join(folder, "materials.json"), encoding="utf-8") as stream:
            found = json.load(stream)["materials"].get(m.id)
        if found is not None:
            return dict(found)
    entry = {"title": m.title, "model": m.model, "n_percent": m.n_percent, "ammonium_frac": m.ammonium_frac, "carbon_to_nitrogen": m.carbon_to_nitrogen,
             "form": m.form, "bulk_density_kg_m3": m.bulk_density_kg_m3, "price_per_kg": m.price_per_kg, "spread": dict(m.spread),
             "parameters": {**m.estimated, **m.parameters}, "responses": {k: {n: x for n, x in v.items() if x != ""} for k, v in m.responses.items()}}
    if m.origin:
        entry["origin"] = m.origin
    return entry


def _which(material: Material, parameters: object, known: Mapping[str, Parameter]) -> tuple[str, ...]:
    if parameters is None:
        # A label or a laboratory tells carbon and ammonium better than a curve can.
        names = [n for n in material.spread if n in known and n not in ("carbon_to_nitrogen", "ammonium_frac")] or [n for n in _USUAL if n in known]
        if not names:
            _check.refuse("parameters", _check.Words("none"), "names of what to fit", f"the model has {', '.join(known)}")
    else:
        names = [_check.one_of(n, "parameters", tuple(known)) for n in _check.names(parameters, "parameters")]
        if not names or len(set(names)) < len(names):
            _check.refuse("parameters", _check.Words(", ".join(names) or "none"), "at least one name, each once")
    return tuple(names)


def _profile(miss: Any, best: Any, quantile: float, sd: Array, low: Array, high: Array) -> Array:
    """Ends of the intervals by the profile, (2, parameters): a bound where it is reached first."""
    from scipy.optimize import least_squares

    x, free = best.x, len(best.fun) - len(best.x)
    limit = best.cost * (1 + quantile**2 / free)
    answer = np.empty((2, len(x)))

    def least(i: int, at: float, others: Array) -> tuple[float, Array]:
        """Half the least sum of squares with figure i held, and where the others then are."""
        rest = [k for k in range(len(x)) if k != i]
        whole = np.insert(others, i, at)
        if not rest:
            return float(0.5 * (miss(whole) ** 2).sum()), others

        def with_rest(y: Array) -> Array:
            moved: Array = miss(np.insert(y, i, at))
            return moved

        inside = 1e-9 * (high - low)[rest]
        found = least_squares(with_rest, np.clip(others, low[rest] + inside, high[rest] - inside), lambda y: _quick_slopes(with_rest, y, low[rest], high[rest]),
                              bounds=(low[rest], high[rest]), x_scale=(high - low)[rest], xtol=1e-5, ftol=1e-4, gtol=1e-12, max_nfev=30)
        return float(found.cost), found.x

    for i in range(len(x)):
        for side, bound in ((0, low[i]), (1, high[i])):
            way = 1.0 if side else -1.0
            # The root of the excess grows about linearly with the way, so aim by that; a bracket keeps the aim honest.
            near, far, step = 0.0, abs(bound - x[i]), quantile * float(sd[i])
            others, at = np.delete(x, i), min(step, far) if np.isfinite(step) and step > 0 else far
            if best.cost <= 0 or far <= 0:
                answer[side, i] = x[i] if far > 0 else bound
                continue
            seen_far = False
            for _ in range(25):
                cost, there = least(i, x[i] + way * at, others)
                ratio = math.sqrt(max(cost - best.cost, 0) / (limit - best.cost))
                if abs(ratio - 1) < 0.01 or (at >= far and ratio < 1 and not seen_far):
                    break
                if ratio < 1:
                    near, others = at, there
                else:
                    far, seen_far = at, True
                aimed = at / ratio if ratio > 0.2 else 4 * at
                at = aimed if near < aimed < far else (far if not seen_far and aimed >= far else (near + far) / 2)
            answer[side, i] = x[i] + way * at
    return answer


def calibrate(material: str | Material, data: Incubation, *, parameters: str | Iterable[str] | None = None, moisture: str | float = "field-capacity",
              texture: str = "loam", intervals: str = "profile", catalogue: str | PathLike[str] | None = None, plugins: object = ()) -> Calibration:
    """Fits a material's release parameters to readings of jars or bags, with `incubate()` as the model: least squares, bounded by what the model allows.

    Intervals are 95 % and say how far the readings pin a figure down *if the model's form is right*: how far one figure may be moved, all others following
    it as best they can, until the sum of squares is 1 + t²/f times the least one (f = readings less parameters, t of Student's law with f degrees of
    freedom; profile likelihood, Bates & Watts 1988, chapter 6, from memory). "slopes" takes the slopes at the best fit instead, rates ("1/d") by their
    logarithm: quicker, and less true where figures can hardly be told apart or a bound is near.

    Args:
        material: id of the catalogue, or a Material, to start from.
        data: the readings, see `read_incubation()`.
        parameters: what to fit; those with a spread where none is named, or ready_frac, fast_frac and fast_per_day where none has.
        moisture: of rows that say nothing: "field-capacity", or the share of the soil's pores that held water.
        texture: of the soil in the jar.
        intervals: "profile" or "slopes".
        catalogue: folder of another catalogue.
        plugins: folders to look for plugins in first.

    Raises:
        InputError: an unknown name, fewer readings than parameters and one, or readings that say nothing about a parameter.

    Example:
        >>> fit = lh.calibrate("dried-blood", lh.read_incubation("my-jars.csv"))
        >>> print(fit); lh.plot_fit(fit); print(fit.to_json("my-blood"))
    """
    need_scipy("calibrate()")
    from scipy.optimize import least_squares
    from scipy.stats import t as student

    folder = _places.catalogue_folder(catalogue)
    if not isinstance(material, Material):
        all_of_them = materials(catalogue)
        material = all_of_them[_check.one_of(material, "material", tuple(all_of_them))]
    if not isinstance(data, Incubation):
        _check.refuse("data", data, "an Incubation, see read_incubation()")
    models = list_plugins(plugins).models
    model = models[_check.one_of(material.model, "model", [n for n, m in models.items() if m.kind == "release"])]
    known = {p.name: p for p in model.parameters}
    names = _which(material, parameters, known)
    if len(data) <= len(names):
        _check.refuse("data", _check.Words(f"{len(data)} readings for {len(names)} parameters"), "more readings than parameters", "fit fewer, or read more jars")
    level = None if isinstance(moisture, str) else _check.number(moisture, "moisture")
    if isinstance(moisture, str):
        _check.one_of(moisture, "moisture", ("field-capacity",))
    how = _check.one_of(intervals, "intervals", ("profile", "slopes"))
    jars = _Jars(material, data, names, known, level, _check.one_of(texture, "texture", _engine.textures()), _places.open_plugins(plugins))

    low, high = jars.scaled(jars.lower), jars.scaled(jars.upper)
    weight = np.where(np.isnan(data.standard_error), 1.0, 1 / data.standard_error)
    weight = weight / weight.mean()

    def miss(x: Array) -> Array:
        missed: Array = weight * (jars.freed(x) - data.freed_frac)
        return missed

    def sink(start: Array, most: int) -> Any:
        return least_squares(miss, start, lambda x: _quick_slopes(miss, x, low, high), bounds=(low, high), x_scale=high - low, xtol=1e-8, ftol=1e-9,
                             gtol=1e-9, max_nfev=most)

    # From what the entry says; then a few steps from two other corners, and on from there if it is deeper: a hollow beside the deepest is no answer.
    inside = (high - low) * 1e-3
    best = sink(np.clip(jars.scaled(jars.before), low + inside, high - inside), 200)
    for share in (0.3, 0.7):
        other = sink(low + share * (high - low), 6)
        if other.cost < 0.999 * best.cost:
            other = sink(other.x, 200)
            best = other if other.cost < best.cost else best
    x, free = best.x, len(data) - len(names)
    at_slope = _slopes(miss, x, low, high)
    scale = np.sqrt((at_slope**2).sum(axis=0))
    for name, size in zip(names, scale * (high - low)):
        if size < 1e-6:
            _check.refuse("parameters", name, "what the readings say something about", "leave it out: it changes none of them")
    lean = at_slope / scale
    spare = 2 * best.cost / free
    inverse = np.linalg.pinv(lean.T @ lean, rcond=1e-12)
    covariance = spare * inverse / np.outer(scale, scale)
    quantile = float(student.ppf(0.975, free))
    sd = np.sqrt(np.diag(covariance))
    edge = 1e-5 * (high - low)
    if how == "profile":
        ends = jars.natural(_profile(miss, best, quantile, sd, low, high))
    else:
        ends = jars.natural(np.clip([x - quantile * sd, x + quantile * sd], low, high))
    values = jars.natural(x)
    estimate = dict(zip(names, (float(v) for v in values)))
    fitted = jars.freed(x)
    spread = {**material.spread, **{n: float(b - a) / (2 * quantile) for n, a, b in zip(names, *ends)}}
    ammonium = estimate.get("ammonium_frac", material.ammonium_frac)
    after = dataclasses.replace(material, parameters=MappingProxyType(jars.with_values(values)["parameters"]), spread=MappingProxyType(spread), ammonium_frac=ammonium)
    return Calibration(after, material, data, MappingProxyType(estimate), MappingProxyType({n: (float(a), float(b)) for n, a, b in zip(names, *ends)}),
                       tuple(n for n, v, a, b, e in zip(names, x, low, high, edge) if v - a < e or b - v < e), covariance / np.outer(sd, sd), fitted,
                       float(100 * np.sqrt(np.mean((fitted - data.freed_frac) ** 2))), jars, x, covariance, quantile, level, folder)


def plot_fit(fit: Calibration, *, ax: Axes | None = None) -> Axes:
    """What the jars showed and what the fitted material does: a mark for each reading, a line for each temperature, and a pale band that holds the line
    19 times in 20. Below zero it ties up more than it frees.

    Args:
        fit: from `calibrate()`.
        ax: to draw on; new ones where none is given.

    Returns:
        The Axes.
    """
    _check.of_kind(fit, Calibration, "fit", "a Calibration, which calibrate() returns", "call it first, with a material and the readings of read_incubation()")
    ax = _axes(ax, (7.6, 4.2))
    data = fit.data
    last = max(1, max(data.day))
    days = list(range(last + 1))
    warmth = sorted(set(float(t) for t in data.temperature_c))
    lined = warmth if len(warmth) <= 4 else [warmth[0], warmth[len(warmth) // 2], warmth[-1]]
    styles: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 2)), (0, (6, 2, 1, 2)))
    colours = (_ACCENT, _INK, _SOFT, _INK)
    ends = []
    lows, highs = [0.0, 100 * float(data.freed_frac.min())], [5.0, 100 * float(data.freed_frac.max())]
    for k, t in enumerate(reversed(lined)):
        line, low, high = (100 * v for v in fit.band(t, days))
        ax.fill_between(days, low, high, color=colours[k], alpha=0.14, lw=0)
        ax.plot(days, line, color=colours[k], lw=1.8, ls=styles[k])
        lows.append(float(low.min()))
        highs.append(float(high.max()))
        ends.append((float(line[-1]), f"at {t:g} °C", colours[k]))
    for t in warmth:
        k = min(range(len(lined)), key=lambda i: abs(lined[len(lined) - 1 - i] - t))
        here = data.temperature_c == t
        ax.plot(np.array(data.day)[here], 100 * data.freed_frac[here], ls="", marker="os^D"[k], ms=5.5, mfc="white", mec=colours[k], mew=1.4)
    ax.set_xlim(0, 1.02 * last)
    ax.set_ylim(1.08 * min(lows), 1.08 * max(highs))
    if min(float(line.get_ydata().min()) for line in ax.lines) < -0.5:
        ax.axhline(0, color=_SOFT, lw=0.8)
        ax.annotate("below this line: tied up by microbes", (last, 0), xytext=(-4, -4), textcoords="offset points", ha="right", va="top", fontsize=9,
                    color=_SOFT)
    ax.annotate(f"misses a reading by {fit.rms_points:.1f} g", (0.02, 0.97), xycoords="axes fraction", va="top", fontsize=10, fontweight="bold", color=_INK)
    ax.set_xlabel("days after mixing into soil", fontsize=9, color=_INK)
    title = fit.material.title
    _title(ax, f"What did the jars teach about {title[0].lower() + title[1:] if title[1:2].islower() else title}?",
           "of each 100 g of its nitrogen, grams that plants can take up")
    _label_ends(ax, ends)
    return ax
