"""Sobol indices against functions whose indices are known exactly."""
import numpy as np
import pytest
from scipy import integrate

import leafhunger as lh

PI = np.pi


def ishigami(x, a=7.0, b=0.1):
    return np.sin(x[:, 0]) + a * np.sin(x[:, 1]) ** 2 + b * x[:, 2] ** 4 * np.sin(x[:, 0])


SPANS = {"x1": (-PI, PI), "x2": (-PI, PI), "x3": (-PI, PI)}
# Ishigami & Homma 1990 (First International Symposium on Uncertainty Modelling and Analysis, IEEE, 398-403), a = 7 and b = 0.1 as Sobol' & Levitan 1999
# took them. Papers and figures from memory; the figures follow from integrals, and `test_the_published_figures_follow_from_integrals` does those anew.
FIRST, TOTAL = [0.3139, 0.4424, 0.0], [0.5576, 0.4424, 0.2437]


def test_the_published_figures_follow_from_integrals():
    """By quadrature of the definitions, V(E(Y | x)) and E(V(Y | all others)): no formula that ours could share."""
    a, b = 7.0, 0.1
    def mean(f):
        return integrate.quad(f, -PI, PI)[0] / (2 * PI)

    s2, s4 = mean(lambda x: np.sin(x) ** 2), mean(lambda x: np.sin(x) ** 4)
    x4, x8 = mean(lambda x: x**4), mean(lambda x: x**8)
    # Y = sin x1 (1 + b x3^4) + a sin^2 x2; sin x1 has mean 0.
    v1 = s2 * (1 + b * x4) ** 2
    v2 = a**2 * (s4 - s2**2)
    v13 = s2 * b**2 * (x8 - x4**2)
    v = v1 + v2 + v13
    np.testing.assert_allclose([v1 / v, v2 / v, 0], FIRST, atol=5e-5)
    np.testing.assert_allclose([(v1 + v13) / v, v2 / v, v13 / v], TOTAL, atol=5e-5)


def test_ishigami():
    """At 4,096 rows within 0.01 of every published index."""
    found = lh.sobol(ishigami, SPANS, samples=4096)
    print("Ishigami, first", found.first.round(4), "published", FIRST, "; total", found.total.round(4), "published", TOTAL)
    np.testing.assert_allclose(found.first, FIRST, atol=0.01)
    np.testing.assert_allclose(found.total, TOTAL, atol=0.01)
    assert found.evaluations == 4096 * 5 and found.names == ("x1", "x2", "x3")
    # Mean a/2 = 3.5, variance 13.8446 (from the same integrals).
    assert found.mean == pytest.approx(3.5, abs=0.01) and found.variance == pytest.approx(13.8446, rel=0.01)


def test_the_intervals_hold_the_truth_and_shrink():
    """95 % intervals, 40 seeds: at least 90 of 100 hold the truth, and four times the rows at least halve them."""
    truth = np.array([FIRST, TOTAL])
    inside, widths = [], []
    for seed in range(40):
        s = lh.sobol(ishigami, SPANS, samples=256, resamples=300, seed=seed)
        low, high = np.array([s.first_low, s.total_low]), np.array([s.first_high, s.total_high])
        inside.append((low <= truth) & (truth <= high))
        widths.append(high - low)
    print("intervals that hold the truth:", np.mean(inside))
    assert np.mean(inside) >= 0.90
    wider = lh.sobol(ishigami, SPANS, samples=1024, resamples=300)
    assert np.mean(np.concatenate([wider.first_high - wider.first_low, wider.total_high - wider.total_low])) < 0.6 * np.mean(widths)


def test_a_sum():
    """Y = 1 x + 2 y + 3 z of independent uniform inputs: variances 1, 4, 9 of 14, and nothing together."""
    found = lh.sobol(lambda x: x @ [1.0, 2.0, 3.0], {"x": (0, 1), "y": (0, 1), "z": (0, 1)}, samples=2048)
    np.testing.assert_allclose(found.first, np.array([1, 4, 9]) / 14, atol=0.005)
    np.testing.assert_allclose(found.total, np.array([1, 4, 9]) / 14, atol=0.005)


def test_a_product_is_all_together():
    """Y = x y with means 0: neither says anything alone."""
    found = lh.sobol(lambda x: x[:, 0] * x[:, 1], {"x": (-1, 1), "y": (-1, 1)}, samples=4096)
    np.testing.assert_allclose(found.first, 0, atol=0.02)
    np.testing.assert_allclose(found.total, 1, atol=0.02)


def test_spans_of_every_kind_are_drawn_as_they_say():
    """Deciles of what the function was asked, against each law's own."""
    seen = []
    spans = {"even": (2, 4), "log": lh.Span(1, 100, log=True), "normal": lh.Span(0, 1, middle=0.5, sd=0.1), "cut": lh.Span(0, 1, middle=0.0, sd=0.2)}
    lh.sobol(lambda x: seen.append(x) or x.sum(axis=1), spans, samples=1024)
    a = seen[0][:1024]
    deciles = np.percentile(a, [10, 50, 90], axis=0)
    np.testing.assert_allclose(deciles[:, 0], [2.2, 3, 3.8], atol=0.01)
    np.testing.assert_allclose(np.log10(deciles[:, 1]), [0.2, 1, 1.8], atol=0.01)
    np.testing.assert_allclose(deciles[:, 2], 0.5 + 0.1 * np.array([-1.2816, 0, 1.2816]), atol=0.002)  # quantiles of the normal law
    np.testing.assert_allclose(deciles[1, 3], 0.2 * 0.6745, atol=0.002)  # half normal: median 0.6745 sd
    assert (a >= [2, 1, 0, 0]).all() and (a <= [4, 100, 1, 1]).all()


def test_the_same_seed_gives_the_same_and_another_another():
    one, same, other = (lh.sobol(ishigami, SPANS, samples=64, seed=s) for s in (3, 3, 4))
    np.testing.assert_array_equal(one.total, same.total)
    np.testing.assert_array_equal(one.total_low, same.total_low)
    assert (one.total != other.total).all()


def test_nothing_matters_to_a_constant():
    found = lh.sobol(lambda x: np.full(len(x), 0.1), SPANS, samples=16)
    assert found.variance == 0 and (found.first == 0).all() and (found.total_high == 0).all()


@pytest.mark.filterwarnings("error")
def test_very_few_rows_give_wide_intervals_and_no_warning():
    found = lh.sobol(ishigami, SPANS, samples=2)
    assert np.isfinite([found.first_low, found.first_high, found.total_low, found.total_high]).all()


@pytest.mark.parametrize("call, place", [
    (lambda: lh.sobol(ishigami, SPANS, samples=100), "samples"),
    (lambda: lh.sobol(ishigami, SPANS, samples=1), "samples"),
    (lambda: lh.sobol(ishigami, {}), "spans"),
    (lambda: lh.sobol(ishigami, {"x1": (1, 1)}), "span"),
    (lambda: lh.Span(0, 1, log=True), "span"),
    (lambda: lh.sobol(lambda x: x, SPANS, samples=4), "function"),
    (lambda: lh.sobol(lambda x: np.full(len(x), np.nan), SPANS, samples=4), "function"),
    (lambda: lh.sobol(ishigami, SPANS, samples=4, seed=-1), "seed"),
])
def test_a_wrong_question_is_refused(call, place):
    with pytest.raises(lh.InputError) as caught:
        call()
    assert caught.value.place == place and str(caught.value).endswith(".")
