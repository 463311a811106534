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
ORGANIC = {k: m for k, m in MATERIALS.items() if m["model"] in ("organic-two-pool", "bulky-mulch")}
# What follows from one word on the origin (equations.md 4.2, "From a label"): ready share, fast share, decay of the fast pool at 25 degC.
ORIGINS = {
    "animal-meal": (0.02, 0.70, 0.20), "seed-meal": (0.02, 0.70, 0.20), "green-plant": (0, 0.80, 0.20), "straw": (0, 0.80, 0.03),
    "bird-manure": (0.33, 0.50, 0.20), "bird-manure-composted": (0.12, 0.50, 0.20), "herbivore-manure": (0.10, 0.20, 0.20),
    "matured-heap": (0.06, 0.02, 0.20),
}
each_entry = pytest.mark.parametrize("key", ENTRIES)
each_material = pytest.mark.parametrize("key", MATERIALS)


def figures(entry):
    """Every number of an entry by its own name."""
    found = {k: v for k, v in entry.items() if isinstance(v, (int, float))}
    for group in ("parameters", "spread", "surface", "host"):  # a parameter and its spread have one source
        found.update(entry.get(group, {}))
    return found


def decay(key):
    """Ready share, fast share and decay of the fast pool of an organic entry: its own figures, else those of its origin."""
    m = MATERIALS[key]
    ready, fast, per_day = ORIGINS[m["origin"]]
    ammonium = m.get("ammonium_frac", 0)
    if ammonium:  # on the bag of manure or compost it says what is ready; elsewhere it is the least
        ready = ammonium if m["origin"] in ("herbivore-manure", "matured-heap") else max(ready, ammonium)
    own = m.get("parameters", {})
    return own.get("ready_frac", ready), own.get("fast_frac", fast), own.get("fast_per_day", per_day)


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
    needed = set(figures(entry)) | ({"hunger"} if key in PLANTS else set()) | ({"origin", "sizes"} & set(entry))
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
    "bone-meal-raw": (2.5, 5.5, "4, trade value quoted, +-1.5"),
    "bone-meal-steamed": (0.5, 3.5, "2, trade value quoted, +-1.5"),
    "horn-shavings": (14.04, 17.04, "15.54 +-1.5, Pekarskas et al. 2015"),
    "fish-meal": (7.5, 10.5, "fish scrap 9, trade value quoted, +-1.5"),
    "seabird-guano": (11.7, 15.8, "Hartz & Johnstone 2006"),
    "bat-guano": (6.5, 9.5, "8, Penhallegon 2008, +-1.5"),
    "cottonseed-meal": (4.5, 7.5, "6, trade value quoted, +-1.5"),
    "layer-manure-fresh": (1.4, 2.1, "35 lb a short ton, Kansas State University, +-20 %"),
    "broiler-litter": (2.6, 3.4, "derived from Foy, Ball & George 2014: 30 +-4 kg/t"),
    "fresh-farmyard-manure": (0.6, 0.6, "6.0 kg/t, RB209"),
    "horse-manure": (0.7, 0.7, "7.0 kg/t, RB209"),
    "sheep-manure": (0.7, 0.7, "7.0 kg/t, RB209"),
    "pig-manure": (0.7, 0.7, "7.0 kg/t, RB209"),
    "green-waste-compost": (0.5 * 0.6, 2.5 * 0.6, "0.5-2.5 % of dry matter, Clemson Univ., at 60 % dry matter"),
    "urea": (45.5, 46.65, "46 label, 46.65 pure, IFA"),
    "ammonium-nitrate": (32, 34.5, "33.5 (32-34.5), IFA"),
    "methylene-urea": (36, 44, "about 40, turf trade article 2016"),
    "isobutylidene-diurea": (31, 33, "about 32, turf trade article 2016"),
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
    m = MATERIALS[key]
    ready, fast, k_f = decay(key)
    e, cnb, k_s, k_b, hum = 1 / 3, 8.0, 0.0007, 0.010, 0.30
    cn = m["carbon_to_nitrogen"] / (1 - ready)
    free = 1 / cn - e / cnb
    flow = np.array([[-k_f, 0, 0, 0], [0, -k_s, 0, 0], [e * k_f / cnb, e * k_s / cnb, -k_b, 0], [free * k_f, free * k_s, (1 - hum) * k_b, 0]])
    start = np.array([fast * cn, (1 - fast) * cn, 0, 0]) * (1 - ready)
    warmth = [math.exp(308.56 * (1 / 71.02 - 1 / (t + 46.02))) for t in temperatures_c]  # Lloyd & Taylor 1994, 1 at 25 degC
    return ready + float(np.mean([(expm(flow * w * day) @ start)[3] for w in warmth]))


def of_organic(key, temperatures_c, day):
    ready = decay(key)[0]
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
    assert len(salts) >= 6 and not any("carbon_to_nitrogen" in m for m in salts.values())
    assert salts["sulphate-of-ammonia"]["parameters"]["nitrate_frac"] == 0
    assert salts["calcium-ammonium-nitrate"]["parameters"]["nitrate_frac"] == salts["ammonium-nitrate"]["parameters"]["nitrate_frac"] == 0.5
    assert salts["potassium-nitrate"]["parameters"]["nitrate_frac"] == 1
    # KNO3: N 14.007, K 39.0983, O 15.999, so 13.85 % N and 46.6 % K2O when pure.
    molar = 39.0983 + 14.007 + 3 * 15.999
    assert MATERIALS["potassium-nitrate"]["n_percent"] == pytest.approx(1400.7 / molar, abs=0.5)
    assert MATERIALS["potassium-nitrate"]["k2o_percent"] == pytest.approx(100 * (2 * 39.0983 + 15.999) / 2 / molar, abs=1)


def test_there_are_feeds_of_every_kind():
    """At least 42 materials; every form and every origin; nothing twice but for what a gardener would call by two names."""
    assert len(MATERIALS) >= 42
    assert {m["form"] for m in MATERIALS.values()} == {"powder", "pellet", "granule", "liquid", "bulky"}
    assert {m["origin"] for m in MATERIALS.values() if "origin" in m} == set(ORIGINS)
    assert all("origin" in m for m in ORGANIC.values())


@each_material
def test_a_title_is_plain_words_and_no_brand(key):
    """Names of goods are written large, or mix letters and figures; kinds of goods are not."""
    title = MATERIALS[key]["title"]
    first, *rest = title.split()
    assert re.fullmatch(r"[A-Z][a-z-]+,?", first), first
    for word in rest:
        assert re.fullmatch(r"\(?[a-z][a-z-]*[,)]*|[0-9]+(-[0-9]+)*", word), word
    assert not re.search(r"[®™©]|\b(Ltd|Inc|GmbH|plc)\b", json.dumps(MATERIALS[key], ensure_ascii=False))


@each_material
def test_a_spread_belongs_to_what_is_uncertain(key):
    """A standard deviation above 0, and of a share below 0.5: a wider one would say nothing."""
    for name, spread in MATERIALS[key].get("spread", {}).items():
        assert spread > 0
        if name.endswith("_frac"):
            assert spread < 0.5


def test_guesses_and_fits_of_organic_feeds_carry_their_spread():
    """What an organic entry sets itself is no better known than what follows from its origin."""
    for key, m in ORGANIC.items():
        own = {"ready_frac", "fast_frac", "fast_per_day"} & set(m.get("parameters", {}))
        assert own <= set(m.get("spread", {})), key


def test_bird_manure_brings_a_tenth_of_its_nitrogen_as_ammonium():
    """Hadas et al. 1983: about 10 % of total N at the start, raw and pelleted."""
    for key in ("concentrated-manure-powder", "poultry-manure-pellets", "poultry-manure-powder", "layer-manure-fresh", "broiler-litter"):
        assert MATERIALS[key]["ammonium_frac"] == pytest.approx(0.10, abs=0.02), key


# RB209, farmyard manures, kg of readily available nitrogen in a tonne: old or fresh. Printed to 0.1.
@pytest.mark.parametrize("key, kg_t", [("stacked-farmyard-manure", 0.6), ("fresh-farmyard-manure", 1.2), ("pig-manure", 1.0), ("sheep-manure", 0.7)])
def test_readily_available_nitrogen_of_farmyard_manure(key, kg_t):
    m = MATERIALS[key]
    assert 10 * m["n_percent"] * m["ammonium_frac"] == pytest.approx(kg_t, abs=0.05)
    assert decay(key)[0] == m["ammonium_frac"]


def test_wet_fresh_manure_loses_a_fifth_of_its_ammonium_as_it_is_spread():
    """equations.md 5: with that fifth the ammonium kept fits Alberta Agriculture 2006, Table 4.3.4."""
    losing = {k: m["surface"]["lost_at_once_frac"] for k, m in MATERIALS.items() if "lost_at_once_frac" in m.get("surface", {})}
    assert losing == {"layer-manure-fresh": 0.2, "fresh-farmyard-manure": 0.2}


def test_mulches_lie_on_top_and_say_how_they_conduct_heat():
    for key, m in MATERIALS.items():
        assert ("conductivity_w_m_k" in m) == (m["model"] == "bulky-mulch"), key
        assert m["model"] != "bulky-mulch" or m["form"] == "bulky"


@pytest.mark.parametrize("key", [k for k, m in MATERIALS.items() if m["model"] == "coated-granule"])
def test_a_coated_granule_lasts_what_its_title_says(key):
    """Months of 30 days; the middle of the span, stated at 21 degC."""
    low, high = map(int, re.search(r"(\d+) to (\d+) months", MATERIALS[key]["title"]).groups())
    p = MATERIALS[key]["parameters"]
    assert p["longevity_d"] == 30 * (low + high) / 2 and p["longevity_c"] == 21


def test_straw_is_as_poor_as_measured():
    """Bending & Turner 1999: C:N 80 to 91."""
    assert 80 <= MATERIALS["straw"]["carbon_to_nitrogen"] <= 91
    assert MATERIALS["straw"]["n_percent"] * 80 / MATERIALS["straw"]["dry_matter_percent"] == pytest.approx(0.45, abs=0.07)  # 38 to 52 % carbon


# ---- cautions -------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("key", CAUTIONS)
def test_a_caution_is_one_line_that_ends_with_its_source(key):
    text = CAUTIONS[key]
    assert "\n" not in text and 40 < len(text) <= 300
    source = re.search(r"\(([^()]*(\([^()]*\))?[^()]*)\)$", text)
    assert source, "no source in brackets at the end"
    assert re.search(r"\d|[Cc]ommon practice, no source|helpline|GOV.UK|flora|arboretum|leaflet|From memory", source.group(1))


DO = ("Split", "Water", "Fork", "Ask", "Cut", "Do not", "Keep", "Open", "Wear", "Before you spread it", "Better stop", "Give", "Plant away")


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
    ("herbicide-sensitive", ["peas", "2 to 3 weeks", "sensitive to weedkiller"]),
    ("oxalate-sap", ["calcium oxalate", "Wear gloves"]),
    ("legal-gunnera", ["the law restricts", "do not plant", "Not legal advice"]),
    ("watercourse", ["10 m", "50 m", "local rules"]),
    ("scorch", ["5 g", "Split"]),
    ("manure-yearly-limit", ["25 g", "17"]),
])
def test_what_must_be_said_is_said(key, words):
    missing = [w for w in words if w not in CAUTIONS[key]]
    assert not missing


@pytest.mark.parametrize("key", sorted({c for p in PLANTS.values() for c in p["cautions"]}))
def test_a_plants_caution_fits_one_planting_and_many(key):
    """It follows the names of plantings: "Yuccas and Agaves: ..."."""
    first = CAUTIONS[key].split(":")[0]
    assert not re.search(r"\b(it|its)\b", first)


def test_no_plant_carries_the_caution_of_what_is_spread():
    assert all("herbicide-residue" not in p["cautions"] for p in PLANTS.values())


# Which kinds must carry which warning.
@each_material
def test_every_kind_carries_the_cautions_of_its_kind(key):
    m = MATERIALS[key]
    said, origin = set(m["cautions"]), m.get("origin")
    if origin == "animal-meal":
        assert said & {"pets-meals", "pets-pellets"} and "farm-animals" in said
    if m["form"] == "pellet":
        assert said & {"pets-pellets", "pets-meals"}, "dogs eat pellets"
    if origin in ("bird-manure", "bird-manure-composted", "herbivore-manure"):
        assert {"manure-hygiene"} <= said and said & {"watercourse", "herbicide-residue"}
    if origin == "herbivore-manure" and "rabbit" not in key:
        assert "herbicide-residue" in said
    if origin == "matured-heap":
        assert "legionella" in said
    if m["form"] == "powder" and origin in ("animal-meal", "seed-meal"):
        assert "dust" in said
    if m["model"] == "soluble-salt" and m["parameters"]["nitrate_frac"] > 0.2 and m["form"] == "granule":
        assert "oxidiser" in said
    if m["model"] in ("urea", "inhibited-urea", "soluble-salt") and m["n_percent"] > 3:
        assert "scorch" in said
    if m.get("carbon_to_nitrogen", 0) > 50:
        assert "ties-up" in said


@pytest.mark.parametrize("key, cautions", [
    ("castor-meal", {"castor-cake"}),
    ("cocoa-shell", {"cocoa-shell"}),
    ("mushroom-compost", {"lime"}),
    ("straw", {"herbicide-residue"}),
    ("grass-cuttings", {"herbicide-residue"}),
    ("urea", {"urea-in"}),
    ("coated-granules-3-4-months", {"coats"}),
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
    for name, value in entry.get("parameters", {}).items():
        assert name in known
        assert known[name]["lower"] <= value <= known[name]["upper"], name
    assert set(entry.get("spread", {})) <= set(known)


def test_every_release_model_has_a_material(models):
    listed = json.loads(subprocess.run([os.environ["LEAFHUNGER_CLI"], "plugins", "--json"], check=True, capture_output=True, text=True).stdout)
    release = {m["name"] for m in listed["models"] if m["kind"] == "release"}
    assert release <= {m["model"] for m in MATERIALS.values()}
