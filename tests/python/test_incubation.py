"""Jars: the engine's column against the closed form of the same equations, and against published incubations.

Two-pool release without starvation is linear, so it has an exact solution; "equation sheet" is the project's own list of formulas and defaults.
Run with `-rP` to see every row beside what was measured.
"""
import dataclasses
import json

import numpy as np
import pytest
from scipy.linalg import expm

import leafhunger as lh

MATERIALS = lh.materials()
ORGANIC = sorted(k for k, m in MATERIALS.items() if m.model in ("organic-two-pool", "bulky-mulch"))  # buried in a jar they are the same
SALTS = sorted(k for k, m in MATERIALS.items() if m.model == "soluble-salt")
DEFAULTS = {p.name: p.default for p in lh.plugins().models["organic-two-pool"].parameters}
DAYS = [0, 1, 7, 14, 28, 84, 140, 365]


def material(title, carbon_to_nitrogen, ready, fast, **more):
    """A material of our own: C:N of the whole, share ready at once, fast share of the rest."""
    return lh.Material(title, "organic-two-pool", 1, carbon_to_nitrogen, {"ready_frac": ready, "fast_frac": fast, **more})


STRAW = material("straw", 80, 0, 0.8)


# ---- the closed form ------------------------------------------------------------------------------------------------

def closed_form(m, temperature_c, days, wetness=1.0):
    """Share of N that is mineral, from dy/dt = A y with y = fast C, slow C, microbial N, mineral N (equation sheet 4.2), and ready N by itself."""
    p = {**DEFAULTS, **m.estimated, **m.parameters}
    e, cnb, k_f, k_s, k_b, hum = (p[k] for k in ("efficiency", "microbial_c_to_n", "fast_per_day", "slow_per_day", "death_per_day", "humus_frac"))
    ready, ammonium = p["ready_frac"], m.ammonium_frac  # the ammonium is a part of what is ready, and there from the first hour
    cn = m.carbon_to_nitrogen / (1 - ready)
    free = 1 / cn - e / cnb  # N set free for each C that decays; below 0 it is taken up
    a = np.array([[-k_f, 0, 0, 0], [0, -k_s, 0, 0], [e * k_f / cnb, e * k_s / cnb, -k_b, 0], [free * k_f, free * k_s, (1 - hum) * k_b, 0]])
    start = np.array([p["fast_frac"] * cn, (1 - p["fast_frac"]) * cn, 0, 0]) * (1 - ready)
    warmth = np.exp(308.56 * (1 / 71.02 - 1 / (temperature_c + 46.02)))  # Lloyd & Taylor 1994, eq. 11, 1 at 25 degC
    # Ready N: Arrhenius, 36 kJ/mol, 0.6 a day at 20 degC.
    k_ready = p["ready_per_day"] * np.exp(36e3 / 8.314 * (1 / 293.15 - 1 / (temperature_c + 273.15)))
    return [(expm(a * warmth * wetness * d) @ start)[3] + ammonium + (ready - ammonium) * (1 - np.exp(-k_ready * wetness * d)) for d in days]


@pytest.mark.parametrize("key", ORGANIC)
def test_a_jar_follows_the_closed_form(key):
    """Same equations, solved two ways: within 1e-6 of the N given."""
    warmth = [8, 15, 22, 30]
    want = [closed_form(MATERIALS[key], t, DAYS) for t in warmth]
    np.testing.assert_allclose(lh.incubate(key, warmth, DAYS), want, rtol=0, atol=1e-6)


@pytest.mark.parametrize("m", [STRAW, material("leaves", 15, 0, 0.8), material("stems", 60, 0, 0.8, fast_per_day=0.03),
                               material("all at once", 3, 0.9, 1.0, efficiency=0.5, humus_frac=0.0)], ids=lambda m: m.title)
def test_so_do_materials_of_ones_own(m):
    """Straw takes from the soil's mineral N: with plenty of it, nothing starves."""
    np.testing.assert_allclose(lh.incubate(m, [8, 22], DAYS), [closed_form(m, t, DAYS) for t in (8, 22)], rtol=0, atol=1e-6)


@pytest.mark.parametrize("wfps", [0.2, 0.45, 0.6, 0.85])
def test_moisture_slows_all_alike(wfps):
    wetness = float(lh.moisture_response("relative_wet")(wfps))
    want = [closed_form(MATERIALS["dried-blood"], 15, DAYS, wetness)]
    np.testing.assert_allclose(lh.incubate("dried-blood", 15, DAYS, moisture=wfps), want, rtol=0, atol=1e-6)


def test_field_capacity_is_the_moisture_at_which_nothing_is_slowed():
    assert float(lh.moisture_response("relative_wet")(0.27 / 0.48)) == pytest.approx(1)  # loam of the equation sheet: 0.27 of 0.48 pores
    np.testing.assert_allclose(lh.incubate("dried-blood", 15, DAYS), lh.incubate("dried-blood", 15, DAYS, moisture=0.27 / 0.48), atol=1e-9)


@pytest.mark.parametrize("key", SALTS)
def test_a_salt_is_all_there_at_once(key):
    np.testing.assert_allclose(lh.incubate(key, [8, 22], [0, 1, 100]), 1, atol=1e-12)


# ---- what must hold of any jar --------------------------------------------------------------------------------------

def test_shape_order_and_repetition_do_not_matter():
    all_days = lh.incubate("seed-meal", [8, 15], range(0, 61))
    assert all_days.shape == (2, 61) and all_days.dtype == np.float64
    np.testing.assert_array_equal(lh.incubate("seed-meal", (15, 8), [60, 0, 28, 28]), all_days[::-1][:, [60, 0, 28, 28]])
    assert lh.incubate("seed-meal", 15, 28).shape == (1, 1) and lh.incubate("seed-meal", 15, 28)[0, 0] == all_days[1, 28]
    np.testing.assert_array_equal(lh.incubate("seed-meal", np.array([8.0, 15.0]), np.arange(61)), all_days)


@pytest.mark.parametrize("key", ORGANIC)
def test_nothing_but_ammonium_is_free_at_first_and_never_more_than_all(key):
    share = lh.incubate(key, [5, 15, 25], DAYS)
    np.testing.assert_allclose(share[:, 0], MATERIALS[key].ammonium_frac, atol=1e-12)
    assert share.max() < 1


@pytest.mark.parametrize("key", ["dried-blood", "feather-meal", "seed-meal", "concentrated-manure-powder"])
def test_more_heat_never_frees_less_where_nothing_is_tied_up(key):
    assert (np.diff(lh.incubate(key, range(0, 36, 5), range(1, 200, 7)), axis=0) > 0).all()


def test_straw_ties_up_more_at_first_when_warm():
    """Equation sheet 12: straw is more locked up when warm (14 days)."""
    cold, warm = lh.incubate(STRAW, [8, 22], 14)[:, 0]
    assert warm < cold < 0


def test_quick_before_slow():
    """Order of the trade: blood, seed meal, alfalfa, stacked manure, compost (Lazicki et al. 2020; RB209)."""
    keys = ("dried-blood", "seed-meal", "alfalfa-pellets", "stacked-farmyard-manure", "garden-compost")
    at_28_days = [lh.incubate(k, 14, 28)[0, 0] for k in keys]
    assert at_28_days == sorted(at_28_days, reverse=True)


def test_a_copy_with_another_number_is_another_material():
    m = MATERIALS["dried-blood"]
    slower = m.but(fast_frac=0.4)
    assert m.parameters["fast_frac"] == 0.7 and slower.parameters["fast_frac"] == 0.4
    assert lh.incubate(slower, 15, 28)[0, 0] < lh.incubate(m, 15, 28)[0, 0]
    leaner = dataclasses.replace(m, carbon_to_nitrogen=12)
    assert lh.incubate(leaner, 15, 28)[0, 0] < lh.incubate(m, 15, 28)[0, 0]


def turning_point(day):
    """C:N below which fresh plant matter at 15 degC has freed N by that day."""
    low, high = 15.0, 60.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if lh.incubate(material("greens", middle, 0, 0.8), 15, day)[0, 0] > 0 else (low, middle)
    return low


@pytest.mark.parametrize("day, low, high, source", [
    (1, 23.8, 24.2, "microbes keep 1/3 of carbon and build 8 C for 1 N: balance at C:N 24 (attributed to Brady & Weil)"),
    (28, 20, 28, "47 crop residues at 15 degC, SSSAJ 2000: threshold 20 to 28"),
    (56, 20, 28, "47 crop residues at 15 degC, SSSAJ 2000: threshold 20 to 28"),
    pytest.param(168, 20, 28, "47 crop residues at 15 degC, SSSAJ 2000: only those below 24 had a surplus after 168 days",
                 marks=pytest.mark.xfail(strict=True, reason="known: our microbes die, and free their N, sooner than in those 168 days")),
])
def test_the_carbon_to_nitrogen_threshold(day, low, high, source):
    found = turning_point(day)
    print(f"C:N threshold at {day} days: {found:.1f}; published {low} to {high} ({source})")
    assert low <= found <= high


# ---- published incubations ------------------------------------------------------------------------------------------

WARM4, WARM3 = (10, 15, 20, 25), (12.9, 17.9, 22.9)  # the second: 14 h at 15, 20, 25 and 10 h at 10, 15, 20 degC
HARTZ2006, AGEHARA = "Hartz & Johnstone 2006", "Agehara & Warncke 2005"
HARTZ2000, LAZICKI = "Hartz, Mitchell & Giannini 2000", "Lazicki, Geisseler & Lloyd 2020"
HADAS = "Hadas et al. 1983 (temperature not stated, 23 taken)"
SULLIVAN = "Sullivan & Andrews 2012, 4 to 6 weeks (18 degC taken)"
CHADWICK = "Chadwick et al. 2000 (15 degC taken)"
BIRD = "known: bird manure spans 38 to 62 % at the same label; one fast share cannot meet all of these"
HEAP = "known: the carbon of composts is stabler than a fast share of 0.02 says"
BLOOD = "known: 12 weeks here gave less than 8 weeks in another soil (66 %); we lie between"
HERBIVORE = "known: nothing about this manure but its kind was published; straw in it would lower it"

GREENS = {n: material(f"green matter of {n} % N", 42 / n, 0, 0.8) for n in (1.5, 2.0, 2.5, 3.0, 3.5)}  # 42 % carbon
PART_COMPOSTED_CHICKEN = material("part-composted chicken manure", 8, 0.12, 0.5)
MANURE_COMPOST = material("manure compost", 12, 0.06, 0.02)
LITTER = material("broiler litter", 10, 0.33, 0.5)
MANURE = MATERIALS["stacked-farmyard-manure"]


def ready_share(m):
    """What needs no decay: measurements in % of organic N leave it out."""
    return {**DEFAULTS, **m.estimated, **m.parameters}["ready_frac"]


def miss(*row, why):
    return pytest.param(*row, marks=pytest.mark.xfail(reason=why, strict=True))


# Of what ("organic" or "total" N), material, degC (mean of jars), day, published %, tolerance in points, source. C:N of the materials is ours,
# mostly from memory, so part of each difference is its.
ROWS = [
    ("organic", MATERIALS["feather-meal"], WARM4, 56, 60, 8, HARTZ2006),
    ("organic", MATERIALS["dried-blood"], WARM4, 56, 66, 8, HARTZ2006),
    ("organic", MATERIALS["fish-blood-and-bone"], WARM4, 56, 62, 8, HARTZ2006 + ", fish powder"),
    ("organic", MATERIALS["feather-meal"], WARM4, 14, 53, 7, HARTZ2006 + ", mean of four meals"),
    ("organic", MATERIALS["alfalfa-pellets"], WARM3, 84, 46.5, 6, AGEHARA),
    ("organic", PART_COMPOSTED_CHICKEN, WARM3, 84, 41, 5, AGEHARA),
    miss("organic", MATERIALS["dried-blood"], WARM3, 84, 58, 5, AGEHARA, why=BLOOD),
    miss("total", MATERIALS["poultry-manure-pellets"], (23,), 7, 39, 5, HADAS, why=BIRD),
    miss("total", MATERIALS["poultry-manure-pellets"], (23,), 75, 42, 8, HADAS, why=BIRD),
    ("organic", MANURE, (25,), 84, 16, 5, HARTZ2000),
    ("organic", MANURE, (25,), 168, 15, 5, HARTZ2000),
    ("organic", MANURE_COMPOST, (25,), 84, 7, 4, HARTZ2000),
    ("organic", MANURE_COMPOST, (25,), 168, 6, 4, HARTZ2000),
    miss("organic", MATERIALS["garden-compost"], (25,), 84, 1, 2, HARTZ2000, why=HEAP),
    miss("organic", MATERIALS["garden-compost"], (25,), 168, 2, 2, HARTZ2000, why=HEAP),
    ("total", MATERIALS["mushroom-compost"], (25,), 56, 6, 8, "Stewart, Cameron & Cornforth 1998"),
    miss("total", MANURE_COMPOST, (23,), 84, 22, 7, LAZICKI + ", poultry-manure compost", why=BIRD),
    ("total", MATERIALS["dried-blood"], (23,), 84, 75, 15, LAZICKI + ", quick-release products"),
    *[("total", GREENS[n], (18,), 35, pan, 8, SULLIVAN) for n, pan in ((1.5, 0), (2.0, 22), (2.5, 35), (3.0, 44), (3.5, 50))],
    miss("organic", LITTER, (25,), 112, 62, 15, "Gordillo & Cabrera 1997", why=BIRD),
    miss("organic", MANURE, (15,), 199, 6, 5, CHADWICK + ", beef manure", why=HERBIVORE),
    miss("organic", LITTER, (15,), 199, 56, 15, CHADWICK + ", layer manure", why=BIRD),
]


@pytest.mark.parametrize("of, m, temperatures, day, published, tolerance, source", ROWS)
def test_published_release(of, m, temperatures, day, published, tolerance, source):
    share = 100 * lh.incubate(m, temperatures, day).mean()
    ready = 100 * ready_share(m)
    if of == "organic":  # what was ready is not counted
        share = (share - ready) / (1 - ready / 100)
    print(f"{m.title}, {day} days: ours {share:.0f}, published {published} +- {tolerance} % of {of} N ({source})")
    assert share == pytest.approx(published, abs=tolerance)


RYE = {  # % of total N on days 1, 15, 29, 57, 85, 112; Gomes et al. 2024 (preprint; public data), dry rye shoots
    (14, 10): (17.8, 22.3, 20.9, 26.3, 31.7, 33.1), (14, 20): (14.8, 19.0, 23.3, 38.0, 31.0, 42.2),
    (30, 10): (5.6, -4.9, -9.7, -14.3, -17.0, -12.5), (30, 20): (1.5, -15.9, -18.2, -3.0, 18.5, 10.9),
}
YOUNG = "known: young shoots bring 15 to 18 % of their N with them, and the default for green matter frees too much from day 57 on"
TIMING = "known: at C:N 30 the deepest point comes weeks too soon when cold, and release begins days too soon when warm"


@pytest.mark.parametrize("cn, temperature", [miss(14, 10, why=YOUNG), miss(14, 20, why=YOUNG), miss(30, 10, why=TIMING), miss(30, 20, why=TIMING)])
def test_rye_shoots(cn, temperature):
    ours = 100 * lh.incubate(material("rye", cn, 0, 0.8), temperature, [1, 15, 29, 57, 85, 112])[0]
    rms = float(np.sqrt(np.mean((ours - RYE[cn, temperature]) ** 2)))
    print(f"rye of C:N {cn} at {temperature} degC: ours {ours.round(0)}, published {RYE[cn, temperature]}, RMS {rms:.1f} points, allowed 6")
    assert rms <= 6


def test_straw_locks_up_what_the_worked_example_says():
    """Fully decayed, 1 kg of straw carbon at C:N 80 ties up 1/24 - 1/80 kg N: 29.2 g (derived from the rule of 24). At the peak of the jar part of
    it is still to decay and part is already free again; 47 residues peaked at 1 to 33 g a kg of carbon (SSSAJ 2000)."""
    share = lh.incubate(STRAW, 25, range(0, 120))[0]
    peak = -share.min() * 1000 / 80  # g N a kg of straw carbon
    assert 1 < peak < 29.2
    for_good = material("straw that never dies", 80, 0, 1.0, death_per_day=0, slow_per_day=0)
    assert -lh.incubate(for_good, 25, 365)[0, 0] * 1000 / 80 == pytest.approx(29.17, rel=0.005)


# ---- response functions ---------------------------------------------------------------------------------------------

def instantaneous_q10(law, t, **more):
    return float((law(t + 0.01, **more) / law(t - 0.01, **more)) ** (10 / 0.02))


@pytest.mark.parametrize("t, relative_to_10, q10", [(0, 0.3021, 4.293), (20, 2.3032, 2.030), (30, 4.2593, 1.706)])
def test_lloyd_taylor(t, relative_to_10, q10):
    """Lloyd & Taylor 1994, eq. 11 (as quoted): arithmetic on it, 0.5 %."""
    law = lh.temperature_response("lloyd_taylor")
    assert law(25) == pytest.approx(1) and law(t) / law(10) == pytest.approx(relative_to_10, rel=0.005)
    assert instantaneous_q10(law, t) == pytest.approx(q10, rel=0.005)


@pytest.mark.parametrize("t, published, exact", [(0, 8, 7.69), (10, 4.5, 4.42), (20, 2.5, 2.55)])
def test_kirschbaum(t, published, exact):
    """Kirschbaum 1995: Q10 almost 8, 4.5 and 2.5 at 0, 10 and 20 degC, +-0.4."""
    found = instantaneous_q10(lh.temperature_response("kirschbaum"), t, reference_c=25)
    assert found == pytest.approx(published, abs=0.4) and found == pytest.approx(exact, rel=0.005)


@pytest.mark.parametrize("t, relative", [(2, 0.017), (7, 0.083), (15.5, 0.375), (21, 0.50), (27, 0.75), (35, 1.0)])
def test_nitrifier(t, relative):
    """Frederick 1956, SSSA Proc. 20(4):496-500, relative to 35 degC; tolerance 0.1."""
    assert lh.temperature_response("nitrifier")(t) == pytest.approx(relative, abs=0.1)


def test_soil_organic_matter_warms_as_five_soils_did():
    """Campbell, Myers & Weier 1981: log10 k = 6.14 - 2285/T, that is 43.7 kJ/mol."""
    t = np.array([5.0, 15, 25, 35])
    published = 10 ** (6.14 - 2285 / (t + 273.15))
    ours = lh.temperature_response("arrhenius")(t, reference_c=15, q=43.7)
    np.testing.assert_allclose(ours, published / published[1], rtol=0.005)


@pytest.mark.parametrize("name", ["wfps_beta", "two_limb"])
def test_microbes_work_best_with_60_per_cent_of_pores_filled(name):
    """Linn & Doran 1984: peak within 55 to 65 % water-filled pores."""
    wet = np.linspace(0, 1, 1001)
    assert 0.55 <= wet[np.argmax(lh.moisture_response(name)(wet))] <= 0.65


def test_responses_take_any_shape_and_say_where_they_come_from():
    grid = np.linspace(0, 30, 12).reshape(3, 4)
    for law in lh.responses():
        assert law.name and law.formula and law.source
    answer = lh.temperature_response("q10")(grid, reference_c=15, q=2)
    assert answer.shape == (3, 4)
    np.testing.assert_allclose(answer, 2 ** ((grid - 15) / 10), rtol=1e-14)
    assert lh.temperature_response("flat")(7.0).shape == () and float(lh.temperature_response("flat")(7.0)) == 1
    assert np.isnan(lh.temperature_response("lloyd_taylor")([np.nan, 25])).tolist() == [True, False]
    assert set(lh.responses().temperature) == {r["name"] for r in json.loads(lh.plugins().to_json(responses=True))["temperature_responses"]}
