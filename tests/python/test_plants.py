"""The shipped plants: what they are, that their figures agree with what was published, and what each wants in a cool summer.

Sources of the checks stand beside them. equations.md is engine/equations.md. That every figure has a source is tested in test_catalogue.py.
"""
import json
import pathlib
import re

import numpy as np
import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
CATALOGUE = ROOT / "plugins" / "catalogue"
PLANTS = json.loads((CATALOGUE / "plants.json").read_text(encoding="utf-8"))["plants"]
each_plant = pytest.mark.parametrize("key", PLANTS)

DIES_BACK = {"herbaceous", "waterside-giant", "large-grass"}
FIXERS = {"waterside-giant", "creeping-gunnera"}


def keeps_leaves(key):
    plant = PLANTS[key]
    return plant["model"] not in DIES_BACK or plant["parameters"].get("dies_back", 1) == 0


# ---- what is there --------------------------------------------------------------------------------------------------

# What grows in a lush garden in a cool climate: the genera that the shelf must hold.
GENERA = """Musa Ensete Canna Hedychium Colocasia Alocasia Gunnera Rheum Tetrapanax Fatsia Dicksonia Cyathea Fargesia Phyllostachys
Trachycarpus Chamaerops Phoenix Miscanthus Arundo Cortaderia Ricinus Dahlia Echium Yucca Agave Aloiampelos Hylotelephium Phormium Cordyline
Melianthus Hosta Rodgersia Zantedeschia Crocosmia Agapanthus"""


@pytest.mark.parametrize("genus", GENERA.split())
def test_the_shelf_holds(genus):
    assert any(re.search(rf"\b{genus}\b", p["botanical"]) for p in PLANTS.values())


def test_there_are_enough_of_them_of_every_kind():
    assert len(PLANTS) >= 38
    models = {p["model"] for p in PLANTS.values()}
    assert models == {"herbaceous", "waterside-giant", "evergreen", "large-grass", "frugal"}
    for hunger in ("greedy", "moderate", "frugal"):
        assert sum(p["hunger"] == hunger for p in PLANTS.values()) >= 8


@each_plant
def test_botanical_names_begin_with_a_genus(key):
    assert re.match(r"[A-Z][a-z]+ (x )?[a-z]", PLANTS[key]["botanical"])


@each_plant
def test_temperatures_roots_and_sizes_are_in_order(key):
    p = PLANTS[key]["parameters"]
    assert p["base_c"] < p["optimum_c"] < p["ceiling_c"]
    assert p["start_t_ha"] < p["ceiling_t_ha"]
    assert p["root_start_mm"] <= p["root_depth_mm"]
    assert 0.005 <= PLANTS[key]["crown_m2"] <= 400
    # Frost kills below what growth bears; a hardy leaf bears more than a soft one, never the other way round.
    assert p.get("frost_c", -2) < p["base_c"]


@each_plant
def test_evergreens_keep_a_standing_leaf_and_the_others_none(key):
    """equations.md 11: W_s 0; evergreen 4, a rosette half of it, a leaf area of 9.7 (Embaye et al. 2005) more."""
    standing = PLANTS[key]["parameters"].get("standing_leaf_t_ha", 0)
    assert standing in ({2, 4, 6} if keeps_leaves(key) else {0})


@pytest.mark.parametrize("key", [k for k, p in PLANTS.items() if "sizes" in p])
def test_sizes_bracket_the_usual_plant(key):
    plant = PLANTS[key]
    for name, size in plant["sizes"].items():
        smaller = name in {"first-year", "new-rhizome", "newly-planted", "young"}
        assert (size["crown_m2"] < plant["crown_m2"]) == smaller, name
        assert set(size.get("parameters", {})) <= set(plant["parameters"]), name


# ---- published figures ----------------------------------------------------------------------------------------------

def test_the_hungry_and_the_frugal_plant_are_those_of_the_equations():
    shared = {"closure_t_ha": 2.0, "ceiling_t_ha": 40, "start_t_ha": 0.2, "luxury": 1.2, "root_mm_per_c_day": 0.8, "ceiling_c": 38}
    hungry = {**shared, "base_c": 10, "optimum_c": 20, "radiation_use_g_mj": 1.2, "critical_a_percent": 4.8, "critical_b": 0.34, "basal_coefficient": 1.1,
              "depletion_frac": 0.35, "root_start_mm": 200, "root_depth_mm": 400, "standing_leaf_t_ha": 0, "fixed_frac": 0, "dies_back": 1, "perennial_roots": 0}
    frugal = {**shared, "base_c": 8, "optimum_c": 22, "radiation_use_g_mj": 0.25, "critical_a_percent": 2.4, "critical_b": 0.15, "basal_coefficient": 0.95,
              "depletion_frac": 0.65, "root_start_mm": 400, "root_depth_mm": 500, "standing_leaf_t_ha": 4, "perennial_roots": 1,
              "frost_c": -15, "reserve_return": 0.19, "flush_frac": 0.3, "flush_period_c_day": 400}
    assert PLANTS["hardy-banana"]["parameters"] == hungry
    assert PLANTS["fan-palm"]["parameters"] == frugal


@pytest.mark.parametrize("key", ["hardy-banana", "red-abyssinian-banana", "dwarf-banana", "canna", "ginger-lily"])
def test_the_banana_group_shares_its_temperatures(key):
    """Base 10, optimum 20 (of dry matter), ceiling 38: equations.md 7, from Tropical Fruits citing Turner 1994."""
    p = PLANTS[key]["parameters"]
    assert (p["base_c"], p["optimum_c"], p["ceiling_c"]) == (10, 20, 38)


def test_those_that_house_nostoc_want_nothing_from_the_soil():
    """Osborne et al. 1992: fixed nitrogen can meet all vegetative need."""
    assert {k for k, p in PLANTS.items() if p["parameters"].get("fixed_frac", 0) == 1} == FIXERS
    assert {k for k, p in PLANTS.items() if p["parameters"].get("fixed_frac", 0) > 0} == FIXERS
    assert all(PLANTS[k]["hunger"] == "frugal" for k in FIXERS)


# FAO-56 Table 12 (Kc mid or, for palms, ini) and Table 22 (p), of those plants that the tables list.
@pytest.mark.parametrize("key, kc, p", [("hardy-banana", 1.10, 0.35), ("fan-palm", 0.95, 0.65), ("castor-bean", 1.15, 0.50), ("maize", 1.20, 0.55),
                                        ("cardoon", 1.00, 0.45)])
def test_water_figures_follow_fao56(key, kc, p):
    parameters = PLANTS[key]["parameters"]
    assert parameters["basal_coefficient"] == pytest.approx(kc, abs=0.0501)  # basal lies 0.05 or less below Kc mid
    assert parameters["depletion_frac"] == p


# Critical curves that were published, not borrowed.
@pytest.mark.parametrize("key, a, b, source", [("maize", 3.40, 0.37, "Plénet & Lemaire 2000"), ("pumpkin", 5.1, 0.33, "Ekbladh & Witter 2010, cabbage"),
                                               ("ornamental-rhubarb", 5.1, 0.33, "Ekbladh & Witter 2010, cabbage")])
def test_critical_curves_are_as_published(key, a, b, source):
    p = PLANTS[key]["parameters"]
    assert (p["critical_a_percent"], p["critical_b"]) == (a, b), source


# ---- cautions: law and handling -------------------------------------------------------------------------------------

@pytest.mark.parametrize("key, caution", [
    ("waterside-giant", "legal-gunnera"),         # Order 2019; Defra FAQ 2023
    ("skunk-cabbage", "legal-skunk-cabbage"),     # from memory
    ("pampas-grass", "legal-pampas"),             # from memory
    ("crocosmia", "legal-montbretia"),            # from memory
    ("castor-bean", "castor-plant"),              # ricin: Hong et al. 2011 (of the cake)
    ("agave", "agave-sap"), ("agave", "sharp-tips"), ("yucca", "sharp-tips"),
    ("honey-spurge", "spurge-sap"),
    ("elephant-ear", "oxalate-sap"), ("alocasia", "oxalate-sap"), ("arum-lily", "oxalate-sap"),  # Pet poison helpline
    ("prickly-pear", "spines"),
    ("giant-viper-bugloss", "bristly-hairs"), ("rice-paper-plant", "irritant-hairs"),
    ("aloe", "aloe-dogs"),
    ("ornamental-rhubarb", "rhubarb-leaves"),     # Western Australia DPIRD
    ("angels-trumpet", "poison-brugmansia"), ("honey-bush", "poison-melianthus"), ("tobacco-plant", "poison-nicotine"),
    ("timber-bamboo", "running-roots"),
    ("fan-palm", "palm-potassium"), ("date-palm", "palm-potassium"),  # Broschat 2015
    ("pumpkin", "herbicide-sensitive"), ("giant-sunflower", "herbicide-sensitive"),  # broad leaves: Florida EDIS AG416
])
def test_dangerous_and_restricted_plants_carry_their_caution(key, caution):
    assert caution in PLANTS[key]["cautions"]


def test_plants_of_wet_ground_say_what_feed_does_to_water():
    assert all("watercourse" in PLANTS[k]["cautions"] for k in ("waterside-giant", "umbrella-plant", "creeping-gunnera", "skunk-cabbage"))


# ---- what each wants ------------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def wanted(tmp_path_factory):
    """Critical N of each plant's greatest dry matter in a season with water and nitrogen enough, g a square metre of covered ground: mean of
    four made-up years by the normals of Heathrow, and of Camborne."""
    out = {}
    for place in ("Heathrow", "Camborne"):
        for first in range(0, len(PLANTS), 30):
            some = list(PLANTS)[first:first + 30]
            beds = [{"name": k, "area_m2": 500, "soil": {"texture": "loam"}, "watering": {"when_below_percent": 70, "give_mm": 12},
                     "plantings": [{"name": k, "plant": k, "count": 1, "ground_m2": PLANTS[k]["crown_m2"] / 0.8}]} for k in some]
            path = tmp_path_factory.mktemp("plants") / "all.json"
            path.write_text(json.dumps({"format": 1, "garden": {"name": "All", "note": "invented", "latitude_deg": 51}, "beds": beds,
                                        "weather": {"place": place, "years": 5}, "question": {"season": 2003}, "feedings": []}), encoding="utf-8")
            garden = lh.load(path, catalogue=CATALOGUE)
            for k in some:
                p = PLANTS[k]["parameters"]
                w = np.array([max(garden.trace(k, season).forcings["w_twin_t_ha"]) for season in (2002, 2003, 2004, 2005)])
                n = p["critical_a_percent"] * (1 + w ** 4) ** (-p["critical_b"] / 4) * w  # % of t/ha is 10 kg/ha is g/m2
                out[place, k] = float(n.mean())
    return out


def test_hunger_says_what_is_wanted(wanted):
    """In a warm cool-climate summer no frugal plant wants more than any greedy one; what fixes its own is frugal however much that is."""
    of = {h: [wanted["Heathrow", k] for k, p in PLANTS.items() if p["hunger"] == h and k not in FIXERS] for h in ("greedy", "moderate", "frugal")}
    assert max(of["frugal"]) < min(of["greedy"])
    assert np.median(of["frugal"]) < np.median(of["moderate"]) < np.median(of["greedy"])
    assert max(of["frugal"]) < 11  # 4 to 12 for palms, 2 to 5 for tree ferns: our own guess


@each_plant
def test_every_plant_wakes_and_grows(key, wanted):
    assert wanted["Heathrow", key] > 1
    assert wanted["Camborne", key] > 1
