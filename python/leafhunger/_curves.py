"""Release curves: what feeds free in jars, at several temperatures and moistures."""
from __future__ import annotations

from collections.abc import Iterable
from os import PathLike
from typing import TYPE_CHECKING, Any

from . import _check, _engine, _html, _places
from ._jar import Material, for_engine, materials

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ._run import Array


class Curves:
    """What jars freed. Made by `curves()`; `print` it for the command's words.

    Attributes:
        materials: the feeds, in order.
        moisture: each "field-capacity" or the share of pores that hold water.
        temperature_c: degrees Celsius.
        days: whole days after mixing in.
        freed_frac: share of the nitrogen given that is mineral, shaped (materials, moistures, temperatures, days). Below 0: tied up.
        spread_frac: +- of the same, a standard deviation: each parameter whose spread is known moved by it, squares added; NaN where none is known.
    """

    def __init__(self, engine: _engine.Curves, fed: tuple[Material, ...], moisture: tuple[str | float, ...], temperature_c: tuple[float, ...],
                 days: tuple[int, ...]) -> None:
        self._engine = engine
        self.materials, self.moisture, self.temperature_c, self.days = fed, moisture, temperature_c, days
        self.freed_frac: Array = engine.freed_frac(False)
        self.spread_frac: Array = engine.spread_frac(False)

    def daily(self) -> tuple[Array, Array]:
        """`freed_frac` and `spread_frac` of every day from 0 to the last, shaped (materials, moistures, temperatures, last day + 1)."""
        return self._engine.freed_frac(True), self._engine.spread_frac(True)

    def to_dataframe(self) -> Any:
        """A pandas DataFrame with a row for each material, moisture, temperature and day."""
        try:
            import pandas
        except ImportError:
            raise ImportError("to_dataframe() needs pandas, which is not installed (Debian: python3-pandas); freed_frac holds the same numbers") from None
        names = ("material", "moisture", "temperature_c", "day")
        index = pandas.MultiIndex.from_product([[m.id or m.title for m in self.materials], self.moisture, self.temperature_c, self.days], names=names)
        return pandas.DataFrame({"freed_frac": self.freed_frac.ravel(), "spread_frac": self.spread_frac.ravel()}, index=index).reset_index()

    def to_json(self) -> str:
        """The same text as `leafhunger curves --json`."""
        return self._engine.json()

    def to_csv(self) -> str:
        """Every day, as `leafhunger curves --out FILE.csv` writes it."""
        return self._engine.csv()

    def to_svg(self) -> str:
        """The command's picture, self-contained SVG."""
        return self._engine.svg()

    def words(self, *, more: bool = False) -> str:
        """The command's words."""
        return self._engine.words(more).removesuffix("\n")

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        return f"<leafhunger.Curves: {', '.join(m.title for m in self.materials)}; {len(self.temperature_c)} temperatures, {len(self.moisture)} moistures, to day {self.days[-1]}>"

    def _repr_html_(self) -> str:
        rows = []
        for m, fed in enumerate(self.materials):
            for w, wet in enumerate(self.moisture):
                rows += [(fed.title, wet, day, *(f"{100 * v:.0f}" for v in self.freed_frac[m, w, :, d])) for d, day in enumerate(self.days)]
        heads = ("feed", "pores with water", "days", *(f"{t:g} °C" for t in self.temperature_c))
        return _html.table("Freed of each 100 g of nitrogen given, in a jar", heads, rows, "One warmth and one moisture all the time, no plant, no rain.")


def _moistures(moisture: Any) -> tuple[str | float, ...]:
    given = [moisture] if isinstance(moisture, str) or not isinstance(moisture, Iterable) else list(moisture)
    return tuple(_check.one_of(m, "moisture", ("field-capacity",)) if isinstance(m, str) else _check.number(m, "moisture") for m in given)


def curves(feeds: str | Material | Iterable[str | Material], *, temps: ArrayLike = (5, 10, 15, 20, 25), moisture: Any = "field-capacity",
           days: ArrayLike = (7, 14, 28, 42, 56, 84, 112, 140), texture: str = "loam", catalogue: str | PathLike[str] | None = None,
           plugins: object = ()) -> Curves:
    """What feeds free of their nitrogen in jars: as `incubate()`, for several feeds and moistures at once and with how sure it is.

    Args:
        feeds: one or several ids of the catalogue or Materials, at most 12.
        temps: temperatures in degrees Celsius, -20 to 60, at most 12.
        moisture: one or several of "field-capacity" and shares of the soil's pores that hold water (above 0, at most 1), at most 12.
        days: whole days after mixing in, 0 to 3650.
        texture: of the soil in the jar.
        catalogue: folder of another catalogue.
        plugins: folders to look for plugins in first.

    Returns:
        Curves; its `freed_frac` is shaped (materials, moistures, temperatures, days).

    Raises:
        InputError: an unknown material, model, parameter or texture, or a number outside its bounds.

    Example:
        >>> lh.curves(["dried-blood", "seed-meal"], temps=[8, 15], days=[28, 56]).freed_frac[:, 0].round(2)
    """
    opened = _places.open_plugins(plugins)
    known = None
    fed: list[Material] = []
    for feed in [feeds] if isinstance(feeds, (str, Material)) or not isinstance(feeds, Iterable) else feeds:
        if not isinstance(feed, Material):
            known = materials(catalogue) if known is None else known
            feed = known[_check.one_of(feed, "material", tuple(known))]
        fed.append(feed)
    warmth = tuple(_check.number(t, "temps") for t in _check.each(temps, "temps", "degrees Celsius"))
    looked_at = tuple(sorted({_check.whole(d, "days", least=0) for d in _check.each(days, "days", "whole days")}))
    wet = _moistures(moisture)
    engine = _engine.curves(opened, [for_engine(m) for m in fed], warmth, [None if isinstance(w, str) else w for w in wet], looked_at,
                            _check.one_of(texture, "texture", _engine.textures()))
    return Curves(engine, tuple(fed), wet, warmth, looked_at)
