"""Sobol indices of any function: which of its inputs its answer hangs on."""
from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check

if TYPE_CHECKING:
    from ._run import Array


@dataclass(frozen=True)
class Span:
    """What we know of a figure before measuring it.

    With `sd` it is normal about `middle`, cut off at `low` and `high`; without, every value from low to high is as likely as another, on a scale of
    logarithms where `log` is set. Make one by `Span(low, high)`.
    """

    low: float
    high: float
    log: bool = False
    middle: float = 0.0
    sd: float = 0.0

    def __post_init__(self) -> None:
        low, high = _check.number(self.low, "span"), _check.number(self.high, "span")
        if not low < high:
            _check.refuse("span", _check.Words(f"{low:g} to {high:g}"), "a lower and a greater number")
        if self.log and low <= 0:
            _check.refuse("span", low, "above 0 on a scale of logarithms")
        if self.sd < 0:
            _check.refuse("span", self.sd, "a standard deviation above 0")

    def at(self, share: Array) -> Array:
        """Values below which those shares (0 to 1) of what is likely lie."""
        from scipy.special import ndtr, ndtri

        if self.sd > 0:
            below, above = ndtr((self.low - self.middle) / self.sd), ndtr((self.high - self.middle) / self.sd)
            answer: Array = np.clip(self.middle + self.sd * ndtri(below + share * (above - below)), self.low, self.high)
            return answer
        if self.log:
            answer = self.low * (self.high / self.low) ** share
            return answer
        return self.low + share * (self.high - self.low)


@dataclass(frozen=True)
class Sobol:
    """Shares of a function's variance that hang on its inputs.

    Attributes:
        names: of the inputs.
        first: share that would go if that input alone were known (first-order index).
        total: share that would stay if all the others were known: alone and together with others (total index).
        first_low, first_high, total_low, total_high: 95 % intervals by bootstrap over rows.
        mean, variance: of the function over the spans.
        evaluations: how often it was asked.
    """

    names: tuple[str, ...]
    first: Array
    first_low: Array
    first_high: Array
    total: Array
    total_low: Array
    total_high: Array
    mean: float
    variance: float
    evaluations: int


def design(spans: Sequence[Span], samples: int, seed: int) -> Array:
    """Points at which the function is asked, shaped (samples x (inputs + 2), inputs): A, B, then for each input A with that column of B."""
    from scipy.stats import qmc

    count = len(spans)
    halves = qmc.Sobol(2 * count, scramble=True, seed=seed).random_base2(samples.bit_length() - 1)
    a, b = (np.column_stack([span.at(halves[:, half * count + i]) for i, span in enumerate(spans)]) for half in (0, 1))
    mixed = []
    for i in range(count):
        m = a.copy()
        m[:, i] = b[:, i]
        mixed.append(m)
    return np.concatenate([a, b, *mixed])


def _indices(a: Array, b: Array, mixed: Array) -> tuple[Array, Array]:
    """First-order and total indices along the last axis. First: Saltelli et al. 2010, Computer Physics Communications 181(2), 259-270, table 2 (b); of
    values less their mean, which changes no index and makes the estimate tighter. Total: Jansen 1999, the same journal 117, 35-43. Both papers'
    formulas as other texts quote them."""
    both = np.concatenate([a, b], axis=-1)
    middle, variance = both.mean(axis=-1, keepdims=True), both.var(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        first = np.mean((b - middle) * (mixed - a), axis=-1) / variance
        total = np.mean((a - mixed) ** 2, axis=-1) / (2 * variance)
    return first, total


def from_answers(names: Sequence[str], answers: Array, samples: int, *, resamples: int, seed: int) -> Sobol:
    """Indices from a function's answers at the points of `design()`."""
    count = len(names)
    rows = answers.reshape(count + 2, samples)
    a, b, mixed = rows[0], rows[1], rows[2:]
    both = rows[:2]
    if not np.ptp(both) > 0:
        nothing = np.zeros(count)
        return Sobol(tuple(names), *(nothing,) * 6, float(both[0, 0]), 0.0, answers.size)
    first, total = _indices(a, b, mixed)
    # Rows of a Sobol sequence spread more evenly than independent ones, so that these intervals are rather too wide than too narrow.
    drawn = np.random.default_rng(seed).integers(0, samples, (resamples, samples))
    again = [_indices(a[drawn], b[drawn], m[drawn]) for m in mixed]
    low_high = []
    for k, estimate in enumerate((first, total)):
        drawings = np.array([pair[k] for pair in again])
        # Of very few rows a drawing may repeat one alone, and then it says nothing.
        drawings = np.where(np.isfinite(drawings), drawings, estimate[:, None])
        low_high.append(np.percentile(drawings, [2.5, 97.5], axis=1))
    return Sobol(tuple(names), first, low_high[0][0], low_high[0][1], total, low_high[1][0], low_high[1][1], float(both.mean()), float(both.var()), answers.size)


def sample_size(samples: object) -> int:
    """A power of two: only then is a Sobol sequence balanced."""
    n = _check.whole(samples, "samples", least=2)
    if n & (n - 1) or n > 2**20:
        _check.refuse("samples", n, "a power of two from 2 to 1048576")
    return n


def need_scipy(what: str) -> None:
    """SciPy is not needed for anything else."""
    try:
        import scipy.special  # noqa: F401
    except ImportError:
        raise ImportError(f"{what} needs SciPy, which is not installed (Debian: python3-scipy)") from None


def sobol(function: Callable[[Array], Any], spans: Mapping[str, Span | tuple[float, float]], *, samples: int = 1024, resamples: int = 1000,
          seed: int = 1) -> Sobol:
    """First-order and total Sobol indices of a function: on which of its inputs does its answer hang?

    Args:
        function: takes an array shaped (points, inputs), in the order of `spans`, and returns one number for each point.
        spans: what is known of each input, by name: a Span, or (low, high).
        samples: rows of the design, a power of two; the function is asked samples x (inputs + 2) times.
        resamples: of the bootstrap that gives the intervals.
        seed: the same seed gives the same answer.

    Returns:
        Sobol. Where the function always answers the same, all indices are 0.

    Raises:
        InputError: an argument is out of bounds, or the function did not return a finite number for each point.

    Example:
        >>> lh.sobol(lambda x: x[:, 0] + 2 * x[:, 1], {"a": (0, 1), "b": (0, 1)}).first.round(2)
        array([0.2, 0.8])
    """
    need_scipy("sobol()")
    if not isinstance(spans, Mapping) or not spans:
        _check.refuse("spans", _check.Words("none"), "at least one, by name")
    known = [s if isinstance(s, Span) else Span(*s) for s in spans.values()]
    n, repeats = sample_size(samples), _check.whole(resamples, "resamples", least=1)
    points = design(known, n, _check.whole(seed, "seed", least=0))
    answers = np.asarray(function(points), dtype=float)
    if answers.shape != (len(points),):
        _check.refuse("function", _check.Words(f"an answer shaped {answers.shape}"), f"one number for each point, shaped ({len(points)},)")
    if not np.isfinite(answers).all():
        _check.refuse("function", _check.Words("an answer that is no finite number"), "one finite number for each point")
    return from_answers(list(spans), answers, n, resamples=repeats, seed=seed)
