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
NEEM = "known: another seed, which slows the soil's life; its C:N was not published"
FEEDLOT = "known: feedlot manure without straw, richer in nitrogen than ours; field"
CABRERA = "Cabrera 2019, Southern SARE report LS16-269 (25 degC taken)"

GREENS = {n: material(f"green matter of {n} % N", 42 / n, 0, 0.8) for n in (1.5, 2.0, 2.5, 3.0, 3.5)}  # 42 % carbon
NEEM_CAKE = lh.from_label(4, "seed-meal", title="neem seed residue")  # its nitrogen from memory
PART_COMPOSTED_CHICKEN = material("part-composted chicken manure", 8, 0.12, 0.5)
MANURE = MATERIALS["stacked-farmyard-manure"]


def ready_share(m):
    """What needs no decay: measurements in % of organic N leave it out."""
    return {**DEFAULTS, **m.estimated, **m.parameters}["ready_frac"]


def row(use, of, m, temperatures, day, published, tolerance, source, why=None):
    """A published figure. `use` says whether it steered the parameters by origin (equation sheet 4.2) or tested them; `why` why it is missed."""
    m = MATERIALS[m] if isinstance(m, str) else m
    marks = [] if why is None else [pytest.mark.xfail(reason=why, strict=True)]
    return pytest.param(use, of, m, temperatures, day, published, tolerance, source, marks=marks, id=f"{m.id or m.title}-{day}d-{use}-{source[:8]}")


def miss(*what, why):
    return pytest.param(*what, marks=pytest.mark.xfail(reason=why, strict=True))


# "organic" or "total" N, material, degC (mean of jars), day, published %, tolerance in points, source. C:N of the materials is ours, mostly from
# memory, so part of each difference is its. The eleven rows "fitted" are those that the shares of equation sheet 4.2 were fitted to; what other
# rows say was never used, but the parting of meals from green matter was made after seeing residuals, so they are no clean hold-out.
# Left out, since a jar cannot say them: field figures with winter between (RB209's farmyard manures, feedlot and general manure by the year), a
# slurry, solids of unknown C:N (screened dairy solids), carbon mineralised, what crops took over several years.
ROWS = [
    row("fitted", "organic", "feather-meal", WARM4, 56, 60, 8, HARTZ2006),
    row("fitted", "organic", "dried-blood", WARM4, 56, 66, 8, HARTZ2006),
    row("tested", "organic", "fish-blood-and-bone", WARM4, 56, 62, 8, HARTZ2006 + ", fish powder"),
    row("tested", "organic", "fish-meal", WARM4, 56, 62, 8, HARTZ2006 + ", fish powder"),
    row("tested", "organic", "seabird-guano", WARM4, 56, 61, 8, HARTZ2006),
    row("fitted", "organic", "feather-meal", WARM4, 14, 53, 7, HARTZ2006 + ", mean of four meals"),
    row("fitted", "organic", "alfalfa-pellets", WARM3, 84, 46.5, 6, AGEHARA),
    row("fitted", "organic", PART_COMPOSTED_CHICKEN, WARM3, 84, 41, 5, AGEHARA),
    row("tested", "organic", "dried-blood", WARM3, 84, 58, 5, AGEHARA, why=BLOOD),
    row("tested", "total", "poultry-manure-pellets", (23,), 0, 10, 4, HADAS),
    row("fitted", "total", "poultry-manure-pellets", (23,), 7, 39, 5, HADAS, why=BIRD),
    row("tested", "total", "poultry-manure-pellets", (23,), 75, 42, 8, HADAS, why=BIRD),
    row("fitted", "organic", MANURE, (25,), 84, 16, 5, HARTZ2000),
    row("tested", "organic", MANURE, (25,), 168, 15, 5, HARTZ2000),
    row("fitted", "organic", "composted-manure", (25,), 84, 7, 4, HARTZ2000),
    row("tested", "organic", "composted-manure", (25,), 168, 6, 4, HARTZ2000),
    row("fitted", "organic", "garden-compost", (25,), 84, 1, 2, HARTZ2000, why=HEAP),
    row("tested", "organic", "garden-compost", (25,), 168, 2, 2, HARTZ2000, why=HEAP),
    row("tested", "total", "mushroom-compost", (25,), 56, 6, 8, "Stewart, Cameron & Cornforth 1998"),
    row("tested", "total", "poultry-manure-pellets-composted", (23,), 84, 22, 7, LAZICKI + ", poultry-manure compost 15 to 30", why=BIRD),
    row("tested", "total", "green-waste-compost", (23,), 84, 3, 4, LAZICKI + ", yard trimmings, up to 5"),
    row("tested", "total", "mixed-organic-granules", (23,), 84, 45, 10, LAZICKI + ", granular organic fertilisers 35 to 55"),
    row("tested", "total", "dried-blood", (23,), 84, 75, 15, LAZICKI + ", quick-release products 60 to 90"),
    row("tested", "total", "fish-emulsion", (23,), 84, 75, 15, LAZICKI + ", quick-release products 60 to 90"),
    *[row("tested", "total", key, (25,), 100, 54, 33, CABRERA + ", commercial organic fertilisers 21 to 87")
      for key in ("hoof-and-horn", "horn-shavings", "bone-meal-raw", "bone-meal-steamed", "wool-pellets", "bat-guano", "cottonseed-meal", "rapeseed-meal", "soya-meal")],
    row("tested", "total", "broiler-litter", (25,), 100, 22.5, 14.5, CABRERA + ", poultry litters 8 to 37", why=BIRD),
    row("tested", "total", "garden-compost", (25,), 100, 2.5, 1.5, CABRERA + ", composts 1 to 4", why=HEAP),
    row("tested", "total", NEEM_CAKE, (25,), 98, 37.5, 5.5, "Neem seed residue in a savanna soil 32 to 43 (25 degC taken)", why=NEEM),
    *[row("fitted" if n in (2.0, 3.5) else "tested", "total", GREENS[n], (18,), 35, pan, 8, SULLIVAN)
      for n, pan in ((1.5, 0), (2.0, 22), (2.5, 35), (3.0, 44), (3.5, 50))],
    row("tested", "total", "green-manure", (18,), 35, 44, 8, SULLIVAN + ", 3 % N"),
    row("tested", "organic", "broiler-litter", (25,), 112, 62, 15, "Gordillo & Cabrera 1997, 15 litters", why=BIRD),
    row("tested", "organic", "broiler-litter", (25,), 146, 57, 21, "Gordillo & Cabrera 1997, one litter in nine soils 36 to 78"),
    row("tested", "organic", "stacked-farmyard-manure", (15,), 199, 6, 4, CHADWICK + ", beef farmyard manure", why=HERBIVORE),
    row("tested", "organic", "layer-manure-fresh", (15,), 199, 56, 10, CHADWICK + ", layer manure", why=BIRD),
    row("tested", "organic", "stacked-farmyard-manure", (20,), 140, 20, 5, "Eghball, Wienhold & Gilley 2001, feedlot, June to October (20 degC taken)", why=FEEDLOT),
]


def release_of(of, m, temperatures, day):
    share = 100 * lh.incubate(m, temperatures, day).mean()
    ready = 100 * ready_share(m)
    return (share - ready) / (1 - ready / 100) if of == "organic" else share  # what was ready is not counted


@pytest.mark.parametrize("use, of, m, temperatures, day, published, tolerance, source", ROWS)
def test_published_release(use, of, m, temperatures, day, published, tolerance, source):
    ours = release_of(of, m, temperatures, day)
    print(f"{use}: {m.title}, {day} days: ours {ours:.0f}, published {published} +- {tolerance} % of {of} N ({source})")
    assert ours == pytest.approx(published, abs=tolerance)


def test_fitted_rows_and_tested_rows_are_told_apart():
    """Both misfits are printed. The rows that steered the fit must not be left alone to look good: the others are within twice their misfit plus
    the spread of bird manure, which none of them knew."""
    off = {"fitted": [], "tested": []}
    for use, of, m, temperatures, day, published, _, _ in (r.values for r in ROWS):
        off[use].append(release_of(of, m, temperatures, day) - published)
    rms = {use: float(np.sqrt(np.mean(np.square(values)))) for use, values in off.items()}
    print(f"misfit, points: {len(off['fitted'])} rows fitted RMS {rms['fitted']:.1f}, {len(off['tested'])} rows tested RMS {rms['tested']:.1f}")
    assert len(off["fitted"]) == 11 and len(off["tested"]) >= 25
    assert rms["fitted"] <= 6 and rms["tested"] <= 13


# Agehara & Warncke 2005: what 10 degC more and a moister jar did to the share freed in 12 weeks, percent of it. Order, +-10 points. Water-holding
# capacity is taken as field capacity.
@pytest.mark.parametrize("m, published", [("alfalfa-pellets", 25), ("dried-blood", 10), ("poultry-manure-pellets-composted", 13)])
def test_warmth_tells_where_little_is_freed_at_first(m, published):
    cold, warm = (release_of("organic", MATERIALS[m], (t,), 84) for t in (12.9, 22.9))
    print(f"{m}: {100 * (warm / cold - 1):.0f} % more when 10 degC warmer, published {published}")
    assert 100 * (warm / cold - 1) == pytest.approx(published, abs=10)


@pytest.mark.parametrize("m, published", [("alfalfa-pellets", 12), ("dried-blood", 0), miss("poultry-manure-pellets-composted", 21, why="known: our dry jar slows manure too little")])
def test_water_tells_for_plants_and_manure_and_not_for_blood(m, published):
    ready = ready_share(MATERIALS[m])
    dry, wet = ((float(lh.incubate(m, WARM3, 84, moisture=x * 0.27 / 0.48).mean()) - ready) / (1 - ready) for x in (0.5, 0.9))
    print(f"{m}: {100 * (wet / dry - 1):.0f} % more when moist, published {published}")
    assert 100 * (wet / dry - 1) == pytest.approx(published, abs=10)


def test_a_plateau_hides_the_pace():
    """Hartz & Johnstone 2006: 56 % at 10 degC and 66 % at 25 after 8 weeks, an apparent Q10 of 1.12, though decay itself doubles and more."""
    for key in ("dried-blood", "feather-meal", "fish-meal"):
        late = [release_of("organic", MATERIALS[key], (t,), 56) for t in (10, 25)]
        early = [release_of("organic", MATERIALS[key], (t,), 3) for t in (10, 20)]
        assert (late[1] / late[0]) ** (10 / 15) < 1.4 < 1.8 < early[1] / early[0]


@pytest.mark.parametrize("what, carbon_to_nitrogen, origin, frees, days", [
    ("potato shoots", 10, "green-plant", True, [14, 28, 56, 112, 182]), ("brassica shoots", 15, "green-plant", True, [14, 28, 56, 112, 182]),
    ("ryegrass roots", 38, "straw", False, [14, 28, 56, 112]), ("straw", 85, "straw", False, [14, 28, 56, 112, 182]),
    miss("ryegrass roots", 38, "straw", False, [182], why="known: our microbes die, and free their N, sooner than in six months")])
def test_shoots_free_and_roots_and_straw_tie_up(what, carbon_to_nitrogen, origin, frees, days):
    """Bending & Turner 1999: over six months the first two freed nitrogen, the last two tied it up (20 degC taken)."""
    m = lh.from_label(42 / carbon_to_nitrogen, origin, carbon_to_nitrogen=carbon_to_nitrogen, dry_matter_percent=100)
    share = lh.incubate(m, 20, days)[0]
    assert ((share > 0) if frees else (share < 0)).all(), (what, share)


# ---- from a label ---------------------------------------------------------------------------------------------------

def test_a_bag_alone_gives_an_answer_with_its_spread():
    """N % and origin, nothing else: near the catalogue's entry of that kind, whose carbon and parameters are written out."""
    for key in ("poultry-manure-pellets", "dried-blood", "alfalfa-pellets", "stacked-farmyard-manure", "cottonseed-meal"):
        entry = MATERIALS[key]
        bag = lh.from_label(entry.n_percent, entry.origin, dry_matter_percent=25 if key == "stacked-farmyard-manure" else 90)
        assert "memory" in bag.sources["carbon_to_nitrogen"] and bag.spread["carbon_to_nitrogen"] > 0
        assert bag.parameters == {} and set(bag.estimated) <= set(bag.spread)
        np.testing.assert_allclose(lh.incubate(bag, 14, [28, 140]), lh.incubate(key, 14, [28, 140]), atol=0.12)


@pytest.mark.parametrize("n", [1.5, 2.0, 2.5, 3.0, 3.5, 4.0])
def test_fresh_residue_is_near_its_plant_available_nitrogen(n):
    """Sullivan & Andrews 2012: 0 at 1.5 % N, 17.5 kg/t at 3.5 %, at most 20, four to six weeks after it was dug in (18 degC taken): +-5 kg/t."""
    published = min(20, max(0, 17.5 * (n - 1.5) / 2))
    bag = lh.from_label(n, "green-plant", dry_matter_percent=100)
    ours = 10 * n * float(lh.incubate(bag, 18, 35)[0, 0])
    print(f"{n} % N: ours {ours:.1f}, published {published:.1f} kg of plant-available N a tonne of dry matter")
    assert ours == pytest.approx(published, abs=5)


@pytest.mark.parametrize("call, place, found", [
    (lambda: lh.from_label(0, "straw"), "n_percent", "0"), (lambda: lh.from_label(4, "bird-manur"), "origin", "bird-manur"),
    (lambda: lh.from_label(4, "bird-manure", carbon_to_nitrogen=30), "carbon_to_nitrogen", "30"),
    (lambda: lh.from_label(4, "bird-manure", ammonium_frac=1.5), "ammonium_frac", "1.5"), (lambda: lh.from_label(4, "bird-manure", dry_matter_percent=101), "dry_matter_percent", "101")])
def test_a_label_that_cannot_be_is_refused_in_a_sentence(call, place, found):
    with pytest.raises(lh.InputError) as caught:
        call()
    assert caught.value.place == place and found in caught.value.found


# ---- every feed, four weeks and a season ----------------------------------------------------------------------------

def spread_of(m, day):
    """Lowest and highest share at 14 degC with the fast share a spread lower and higher."""
    fast = {**DEFAULTS, **m.estimated, **m.parameters}.get("fast_frac")
    if fast is None or "fast_frac" not in m.spread:
        return None
    return sorted(float(lh.incubate(m.but(fast_frac=min(1, max(0, fast + sign * m.spread["fast_frac"]))), 14, day)[0, 0]) for sign in (-1, 1))


def test_available_nitrogen_of_every_feed():
    """Plant-available nitrogen after 28 days and a season of 140, 14 degC, moist: printed for all; what is measured stands in ROWS."""
    found = {}
    print(f"{'feed':36}{'28 days':>18}{'140 days':>18}   % of its N")
    for key, m in sorted(MATERIALS.items()):
        shares = lh.incubate(m, 14, [28, 140])[0]
        cells = []
        for day, share in zip((28, 140), shares):
            span = spread_of(m, day)
            cells.append(f"{100 * share:.0f}" + (f" ({100 * span[0]:.0f} to {100 * span[1]:.0f})" if span else ""))
            assert span is None or span[0] - 1e-9 <= share <= span[1] + 1e-9
        print(f"{key:36}{cells[0]:>18}{cells[1]:>18}")
        found[key] = shares
    assert len(found) >= 15 and max(s.max() for s in found.values()) <= 1 + 1e-9

    def at(key, day):
        return found[key][(28, 140).index(day)]

    # Order of the trade (common practice, no source): salts at once; meals before pelleted manure's rest, farmyard manure, compost; coats by months.
    assert at("calcium-nitrate", 28) > at("dried-blood", 28) > at("seed-meal", 28) > at("alfalfa-pellets", 28) > at("stacked-farmyard-manure", 28) > at("garden-compost", 28)
    assert at("coated-granules-3-4-months", 140) > at("coated-granules-5-6-months", 140) > at("coated-granules-8-9-months", 140)
    assert at("feather-meal", 28) > at("horn-shavings", 28) > at("wool-pellets", 28)
    assert all(at(key, 140) < 0 for key in ("straw", "wood-chips", "bark"))


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
