"""The shipped catalogue: every figure has a source, no figure contradicts what was published, no caution is missing.

Sources of the checks stand beside them. equations.md is engine/equations.md, the project's own list of formulas and defaults.
"""
import json
import math
import os
import pathlib
import re
import subprocess

import numpy as np
import pytest
from scipy.linalg import expm

ROOT = pathlib.Path(__file__).resolve().parents[2]


def read(part):
    document = json.loads((ROOT / "plugins" / "catalogue" / f"{part}.json").read_text(encoding="utf-8"))
    assert document["format"] == 1 and set(document) == {"format", part}
    return document[part]


MATERIALS, PLANTS, CAUTIONS = read("materials"), read("plants"), read("cautions")
ENTRIES = {**MATERIALS, **PLANTS}
ORGANIC = {k: m for k, m in MATERIALS.items() if m["model"] == "organic-two-pool"}
each_entry = pytest.mark.parametrize("key", ENTRIES)
each_material = pytest.mark.parametrize("key", MATERIALS)
each_plant = pytest.mark.parametrize("key", PLANTS)


def figures(entry):
    """Every number of an entry by its own name."""
    found = {k: v for k, v in entry.items() if isinstance(v, (int, float))}
    for group in ("parameters", "surface", "host"):
        found.update(entry.get(group, {}))
    return found


# ---- shape ----------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("key", [*ENTRIES, *CAUTIONS])
def test_ids_are_lower_case_letters_digits_and_hyphens(key):
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key)


def test_no_material_and_plant_share_an_id():
    assert not set(MATERIALS) & set(PLANTS)


def test_titles_are_unique():
    titles = [e["title"] for e in ENTRIES.values()]
    assert len(titles) == len(set(titles))


@each_entry
def test_every_figure_has_a_source_and_no_source_lacks_its_figure(key):
    entry = ENTRIES[key]
    needed = set(figures(entry)) | ({"hunger"} if key in PLANTS else set())
    assert needed == set(entry["sources"])
    assert all(len(text) > 10 for text in entry["sources"].values())


@each_entry
def test_a_source_is_a_publication_or_says_what_it_is(key):
    honest = ("our own guess", "from memory", "common practice, no source", "invented", "estimated by analogy", "derived", "trade value", "by its formula")
    habits = ("dies_back", "perennial_roots", "hunger", "fixed_frac", "standing_leaf_t_ha", "reserve_share")  # words on the plant's habit
    for figure, text in ENTRIES[key]["sources"].items():
        published = re.search(r"(19|20)\d\d|FAO-56|RB209|IFA|NOFA", text)
        assert published or any(word in text for word in honest) or figure in habits, (figure, text)


@each_entry
def test_cautions_exist(key):
    assert set(ENTRIES[key]["cautions"]) <= set(CAUTIONS)


# ---- materials ------------------------------------------------------------------------------------------------------

# Pure compounds and published ranges, % of N as bought.
NITROGEN = {
    "concentrated-manure-powder": (4.5, 4.5, "invented label"),
    "dried-blood": (11.7, 15.8, "Hartz & Johnstone 2006, HortTechnology 16(1):39-42: range of four meals"),
    "feather-meal": (11.7, 15.8, "Hartz & Johnstone 2006"),
    "hoof-and-horn": (7, 15.54, "7-13 garden handbook; 15.54 horn shavings, Pekarskas et al. 2015"),
    "seed-meal": (4.5, 7.5, "cottonseed meal 6, trade value quoted, +-1.5"),
    "alfalfa-pellets": (1.0, 4.0, "2.5, Penhallegon 2008, +-1.5"),
    "stacked-farmyard-manure": (0.6, 0.6, "6.0 kg/t, RB209 cattle farmyard manure"),
    "garden-compost": (0.5 * 0.6, 2.5 * 0.6, "0.5-2.5 % of dry matter, Clemson Univ., at 60 % dry matter"),
    "sulphate-of-ammonia": (20.5, 21.2, "21 label, IFA; 21.20 pure, Virginia Cooperative Extension SPES-201NP"),
    "calcium-ammonium-nitrate": (26, 30, "27 (26-30), IFA"),
}


@pytest.mark.parametrize("key", NITROGEN)
def test_nitrogen_lies_in_the_published_range(key):
    low, high, _ = NITROGEN[key]
    assert low <= MATERIALS[key]["n_percent"] <= high


@each_material
def test_a_material_is_no_more_than_all_of_itself(key):
    m = MATERIALS[key]
    carbon = m["n_percent"] * m.get("carbon_to_nitrogen", 0)
    dry = m.get("dry_matter_percent", 90)
    assert carbon <= 0.55 * dry, "more carbon than dry organic matter holds (common practice, no source)"
    # Organic matter is 1.72 times its carbon (common practice, no source).
    assert 1.72 * carbon + m.get("p2o5_percent", 0) + m.get("k2o_percent", 0) <= dry


@each_material
def test_a_handful_weighs_what_a_hand_holds(key):
    m = MATERIALS[key]
    if m["form"] in ("powder", "pellet"):
        # 30 to 60 g of pellets (common practice, no source), 80 ml.
        assert 30 <= 0.080 * m["bulk_density_kg_m3"] <= 60
    assert m["price_per_kg"] > 0 and "invented" in m["sources"]["price_per_kg"]


def test_the_demo_feed_is_that_of_the_equations():
    """Bird manure, raw: ready 0.33, x_F 0.50; powder: w_in 10, w_dis 5.5, contact 0.5 (equations.md 4.1, 4.2)."""
    m = MATERIALS["concentrated-manure-powder"]
    assert (m["n_percent"], m["carbon_to_nitrogen"], m["price_per_kg"], m["form"]) == (4.5, 8, 1.6, "powder")
    assert m["parameters"] == {"ready_frac": 0.33, "fast_frac": 0.50, "particle_wash_mm": 10, "mix_per_day": 0.01, "contact_frac": 0.5}
    assert m["surface"] == {"volatile_per_day": 0.085, "fixed_per_day": 0.065, "dissolved_wash_mm": 5.5}


def jar(key, temperatures_c, day):
    """Mineral share of the N in a jar at constant warmth with ample mineral N, mean over temperatures: an independent solution (matrix
    exponential) of the two-pool equations with the shared constants of equations.md 11."""
    p, m = MATERIALS[key]["parameters"], MATERIALS[key]
    e, cnb, k_f, k_s, k_b, hum = 1 / 3, 8.0, p.get("fast_per_day", 0.20), 0.0007, 0.010, 0.30
    ready = p["ready_frac"]
    cn = m["carbon_to_nitrogen"] / (1 - ready)
    free = 1 / cn - e / cnb
    flow = np.array([[-k_f, 0, 0, 0], [0, -k_s, 0, 0], [e * k_f / cnb, e * k_s / cnb, -k_b, 0], [free * k_f, free * k_s, (1 - hum) * k_b, 0]])
    start = np.array([p["fast_frac"] * cn, (1 - p["fast_frac"]) * cn, 0, 0]) * (1 - ready)
    warmth = [math.exp(308.56 * (1 / 71.02 - 1 / (t + 46.02))) for t in temperatures_c]  # Lloyd & Taylor 1994, 1 at 25 degC
    return ready + float(np.mean([(expm(flow * w * day) @ start)[3] for w in warmth]))


def of_organic(key, temperatures_c, day):
    ready = MATERIALS[key]["parameters"]["ready_frac"]
    return 100 * (jar(key, temperatures_c, day) - ready) / (1 - ready)


WARM4 = (10, 15, 20, 25)
THREE = (12.9, 17.9, 22.9)  # 14 h at 15, 20, 25 and 10 h at 10, 15, 20 degC
MISS_BIRD = pytest.mark.xfail(reason="bird manure spans 38-62 % at the same label; the fitted mean runs high against this soil")
MISS_HEAP = pytest.mark.xfail(reason="the fit frees some 3 points more than plant and yard composts did: their carbon is stabler than a fast share of 0.02 says")


@pytest.mark.parametrize("key, temperatures, day, published, tolerance, source", [
    ("dried-blood", WARM4, 56, 66, 8, "Hartz & Johnstone 2006"),
    ("feather-meal", WARM4, 56, 60, 8, "Hartz & Johnstone 2006"),
    ("fish-blood-and-bone", WARM4, 56, 62, 8, "Hartz & Johnstone 2006, fish powder"),
    ("alfalfa-pellets", THREE, 84, 46.5, 5.5 + 5, "Agehara & Warncke 2005: 41-52, band +-5"),
    ("stacked-farmyard-manure", (25,), 84, 16, 5, "Hartz, Mitchell & Giannini 2000, manure"),
    ("stacked-farmyard-manure", (25,), 168, 15, 5, "Hartz, Mitchell & Giannini 2000, manure"),
    pytest.param("garden-compost", (25,), 84, 1, 2, "Hartz, Mitchell & Giannini 2000, plant compost", marks=MISS_HEAP),
])
def test_jar_frees_the_published_share_of_organic_nitrogen(key, temperatures, day, published, tolerance, source):
    assert of_organic(key, temperatures, day) == pytest.approx(published, abs=tolerance), source


@pytest.mark.parametrize("key, day, published, tolerance, source", [
    pytest.param("garden-compost", 84, 3, 4, "Lazicki, Geisseler & Lloyd 2020: yard-trimmings compost, up to 5 at 23 degC", marks=MISS_HEAP),
    ("dried-blood", 84, 75, 15, "Lazicki, Geisseler & Lloyd 2020: quick-release products, 60-90 at 23 degC"),
    ("poultry-manure-pellets", 7, 39, 5 + 4, "Hadas et al. 1983: 34-44, +-4; taken at 23 degC (not stated)"),
    pytest.param("poultry-manure-pellets", 75, 42, 8 + 4, "Hadas et al. 1983: 34-50, +-4; taken at 23 degC (not stated)", marks=MISS_BIRD),
])
def test_jar_frees_the_published_share_of_total_nitrogen(key, day, published, tolerance, source):
    assert 100 * jar(key, (23,), day) == pytest.approx(published, abs=tolerance), source


def test_quick_before_slow():
    """Order of the trade: blood and feather, then alfalfa, then farmyard manure, then compost (Lazicki et al. 2020; RB209)."""
    shares = [jar(k, (14,), 140) for k in ("dried-blood", "seed-meal", "alfalfa-pellets", "stacked-farmyard-manure", "garden-compost")]
    assert shares == sorted(shares, reverse=True) and min(-np.diff(shares)) > 0.02


def test_salts_hold_no_carbon_and_their_formula_gives_the_nitrate():
    salts = {k: m for k, m in MATERIALS.items() if m["model"] == "soluble-salt"}
    assert len(salts) == 3 and not any("carbon_to_nitrogen" in m for m in salts.values())
    assert salts["sulphate-of-ammonia"]["parameters"]["nitrate_frac"] == 0
    assert salts["calcium-ammonium-nitrate"]["parameters"]["nitrate_frac"] == 0.5


# ---- plants ---------------------------------------------------------------------------------------------------------

@each_plant
def test_temperatures_roots_and_sizes_are_in_order(key):
    p = PLANTS[key]["parameters"]
    assert p["base_c"] < p["optimum_c"] < p["ceiling_c"]
    assert p["start_t_ha"] < p["ceiling_t_ha"]
    assert p["root_start_mm"] <= p["root_depth_mm"]
    assert 0.005 <= PLANTS[key]["crown_m2"] <= 400


@each_plant
def test_evergreens_keep_a_standing_leaf_and_the_others_none(key):
    """equations.md 11: W_s 0, evergreen 4."""
    p = PLANTS[key]["parameters"]
    assert (p["dies_back"], p["standing_leaf_t_ha"]) in {(1, 0), (0, 4)}


def test_the_hungry_and_the_frugal_plant_are_those_of_the_equations():
    shared = {"closure_t_ha": 2.0, "ceiling_t_ha": 40, "start_t_ha": 0.2, "luxury": 1.2, "fixed_frac": 0, "root_mm_per_c_day": 0.8, "ceiling_c": 38}
    hungry = {**shared, "base_c": 10, "optimum_c": 20, "radiation_use_g_mj": 1.2, "critical_a_percent": 4.8, "critical_b": 0.34, "basal_coefficient": 1.1,
              "depletion_frac": 0.35, "root_start_mm": 200, "root_depth_mm": 400, "standing_leaf_t_ha": 0, "dies_back": 1, "perennial_roots": 0}
    frugal = {**shared, "base_c": 8, "optimum_c": 22, "radiation_use_g_mj": 0.25, "critical_a_percent": 2.4, "critical_b": 0.15, "basal_coefficient": 0.95,
              "depletion_frac": 0.65, "root_start_mm": 400, "root_depth_mm": 500, "standing_leaf_t_ha": 4, "dies_back": 0, "perennial_roots": 1}
    assert PLANTS["hardy-banana"]["parameters"] == hungry
    assert PLANTS["fan-palm"]["parameters"] == frugal


@pytest.mark.parametrize("key", ["hardy-banana", "red-abyssinian-banana", "canna", "ginger-lily"])
def test_the_banana_group_shares_its_temperatures(key):
    """Base 10, optimum 20 (of dry matter), ceiling 38: equations.md 7, from Tropical Fruits citing Turner 1994."""
    p = PLANTS[key]["parameters"]
    assert (p["base_c"], p["optimum_c"], p["ceiling_c"]) == (10, 20, 38)


def test_the_waterside_giant_wants_nothing_from_the_soil_and_says_the_law():
    """Osborne et al. 1992: fixed nitrogen can meet all vegetative need."""
    giant = PLANTS["waterside-giant"]
    assert giant["parameters"]["fixed_frac"] == 1 and "legal-gunnera" in giant["cautions"]
    assert all(p["parameters"]["fixed_frac"] == 0 for k, p in PLANTS.items() if k != "waterside-giant")


# FAO-56 Table 12 (Kc mid or, for palms, ini) and Table 22 (p), of those plants that the tables list.
@pytest.mark.parametrize("key, kc, p", [("hardy-banana", 1.10, 0.35), ("fan-palm", 0.95, 0.65), ("castor-bean", 1.15, 0.50)])
def test_water_figures_follow_fao56(key, kc, p):
    parameters = PLANTS[key]["parameters"]
    assert parameters["basal_coefficient"] == pytest.approx(kc, abs=0.05)  # basal lies 0.05 or less below Kc mid
    assert parameters["depletion_frac"] == p


# ---- cautions -------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("key", CAUTIONS)
def test_a_caution_is_one_line_that_ends_with_its_source(key):
    text = CAUTIONS[key]
    assert "\n" not in text and 40 < len(text) <= 300
    source = re.search(r"\(([^()]*(\([^()]*\))?[^()]*)\)$", text)
    assert source, "no source in brackets at the end"
    assert re.search(r"\d|[Cc]ommon practice, no source|helpline|GOV.UK|flora|arboretum|leaflet|From memory", source.group(1))


DO = ("Split", "Water", "Fork", "Ask", "Cut", "Do not", "Keep", "Open", "Wear", "Before you spread it", "Better stop", "Give", "Plant it away")


@pytest.mark.parametrize("key", CAUTIONS)
def test_a_caution_says_first_what_to_do(key):
    """Short answers print its first sentence alone."""
    first = CAUTIONS[key].split(". ")[0]
    assert first.startswith(DO) and 40 < len(first) <= 160


# What the safety pages of the reference notes say must be said, and in which figures.
@pytest.mark.parametrize("key, words", [
    ("castor-cake", ["of 15", "13 died", "vet"]),
    ("pets-meals", ["Bone meal", "store it sealed", "vet"]),
    ("pets-pellets", ["vet"]),
    ("cocoa-shell", ["theobromine", "0.19 to 2.98", "vet"]),
    ("iron", ["20 mg", "60", "vet"]),
    ("manure-hygiene", ["120 days", "90", "tetanus"]),
    ("farm-animals", ["2 months", "21 days", "Local rules"]),
    ("legionella", ["gloves", "wash your hands"]),
    ("herbicide-residue", ["peas", "2 to 3 weeks"]),
    ("oxalate-sap", ["calcium oxalate", "Wear gloves"]),
    ("legal-gunnera", ["the law restricts", "do not plant", "Not legal advice"]),
    ("watercourse", ["10 m", "50 m", "local rules"]),
    ("scorch", ["5 g", "Split"]),
    ("manure-yearly-limit", ["25 g", "17"]),
])
def test_what_must_be_said_is_said(key, words):
    missing = [w for w in words if w not in CAUTIONS[key]]
    assert not missing


@pytest.mark.parametrize("key, cautions", [
    ("concentrated-manure-powder", {"pets-pellets", "manure-hygiene", "dust", "watercourse"}),
    ("poultry-manure-pellets", {"pets-pellets", "manure-hygiene"}),
    ("dried-blood", {"pets-meals", "scorch"}),
    ("fish-blood-and-bone", {"pets-meals"}),
    ("seed-meal", {"castor-cake"}),
    ("stacked-farmyard-manure", {"manure-hygiene", "herbicide-residue"}),
    ("garden-compost", {"legionella"}),
    ("mushroom-compost", {"legionella"}),
    ("sulphate-of-ammonia", {"scorch"}),
    ("elephant-ear", {"oxalate-sap"}),
    ("rice-paper-plant", {"irritant-hairs"}),
    ("castor-bean", {"castor-plant"}),
])
def test_dangerous_things_carry_their_caution(key, cautions):
    assert cautions <= set(ENTRIES[key]["cautions"])


# ---- against the plugins --------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def models():
    """Parameters of every model by name, as the built command lists them."""
    command = os.environ.get("LEAFHUNGER_CLI")
    if not command:
        pytest.skip("LEAFHUNGER_CLI does not name the built command")
    listed = json.loads(subprocess.run([command, "plugins", "--json"], check=True, capture_output=True, text=True).stdout)
    return {m["name"]: {p["name"]: p for p in m["parameters"]} for m in listed["models"]}


@each_entry
def test_parameters_are_known_to_the_model_and_within_its_bounds(key, models):
    entry = ENTRIES[key]
    known = models[entry["model"]]
    for name, value in entry["parameters"].items():
        assert name in known
        assert known[name]["lower"] <= value <= known[name]["upper"], name
