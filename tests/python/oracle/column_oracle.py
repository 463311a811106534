"""A second opinion on the nitrogen column: its ODE, its events and its day factors, in NumPy and SciPy.

Written from the equation sheet alone, before any of the engine's column, stepper or plugin code was looked at; "sheet 4.2" below is section
4.2 of equations.md. It shares nothing with the engine but the two things that are handed to it: the soil climate of a trace (temperature,
water, drainage, root reach, the plant's constants of the day) and the catalogue's parameters.

Two habits differ from the engine's on purpose: flows that are linear within a day are gathered in one matrix, and carbon is counted as the
sheet counts it (kg C/ha, stoichiometry nu) before it is put back into nitrogen.

Units: N kg/ha of the column, dry matter t/ha of covered ground, water and depth mm, temperature degC, time d.
"""
from __future__ import annotations

import datetime as dt
import json
import math
import pathlib
from dataclasses import dataclass, field
from types import SimpleNamespace

import numpy as np
from scipy.integrate import solve_ivp

# ---- constants of the host (sheet 3, 4.2, 4.6, 5, 10, 11) -------------------------------------------------------------------------------
FAST_FREED, FAST_WASHED = 0.66, 0.53      # phi_f, phi_w: shares of new nitrate that go to fast water
V_FAST, V_SLOW = 1.25, 0.22               # v_f, v_s
K_N_MG_KG, K_IMM_PER_DAY = 0.8, 1.0       # half-starvation; fastest take
CN_SOM, FREED_A_YEAR, EA_SOM = 11.6, 0.02, 43.7e3
OM_COUNTED_MOST = 6.0                     # sheet 13.17
V_NIT, K_NIT = 17.0, 60.0                 # mg/kg/d at 35 degC, mg/kg
V_DEN, K_DEN, Q_DEN = 2.0, 10.0, 3.0      # mg/kg/d at 15 degC, mg/kg, per 10 degC
START_KG_HA, START_AMMONIUM = 20.0, 0.20
GAS_J_MOL_K, ZERO_C_K = 8.314, 273.15     # the sheet gives no digits; these are the prototype's

# Soil by texture: field capacity, wilting, all pores; bulk density, ammonium sorption. Data, copied from the engine's own table (its header
# `soil.hpp` says where each figure comes from) for those textures that the test's gardens use.
TEXTURES = {
    "sandy loam": (0.23, 0.11, 0.46, 1.40, 3.5),
    "loam": (0.27, 0.12, 0.48, 1.30, 4.0),
    "silty clay loam": (0.34, 0.19, 0.50, 1.25, 5.5),
    "clay": (0.36, 0.22, 0.52, 1.20, 6.0),
    "sand": (0.12, 0.045, 0.43, 1.50, 2.6),
}

# Defaults of the organic model (sheet 4.2 and 11; parameter names as in the catalogue's format).
ORGANIC = dict(carbon_to_nitrogen=None, ready_frac=0.0, ammonium_frac=0.0, fast_frac=0.5, fast_per_day=0.20, slow_per_day=0.0007, death_per_day=0.010,
               efficiency=1 / 3, microbial_c_to_n=8.0, humus_frac=0.30, starved_frac=0.05, ready_per_day=0.6, ready_reference_c=20.0,
               ready_activation_kj_mol=36.0, particle_wash_mm=10.0, mix_per_day=0.01, contact_frac=0.5)
SALT = dict(nitrate_frac=0.5, dissolved_wash_mm=4.0, dew_per_day=0.05)
SURFACE = dict(volatile_per_day=0.085, fixed_per_day=0.065, ph_factor=1.0)
DISSOLVED_WASH_MM = {"powder": 5.5, "pellet": 5.5, "granule": 4.0, "liquid": 0.0, "bulky": 25.0}  # w_dis by form (sheet 4.1)
HOST = dict(catch_up_d=2.0, reserve_share=0.20, reserve_per_day=0.05, uptake_per_day=0.10, ammonium_reach=0.2, unreachable_kg_ha=1.0,
            root_scale_mm=220.0)


# ---- responses and smooth helpers (sheet 6 and 10) --------------------------------------------------------------------------------------
def lloyd_taylor(t_c):
    return np.exp(308.56 * (1 / 71.02 - 1 / (np.clip(t_c, -20, 35) + 46.02)))


def arrhenius(t_c, activation_j_mol, reference_c):
    return np.exp(activation_j_mol / GAS_J_MOL_K * (1 / (reference_c + ZERO_C_K) - 1 / (np.asarray(t_c) + ZERO_C_K)))


def nitrifier(t_c):
    return (np.clip(t_c, 0, 35) / 35) ** 1.4 * np.clip((50 - np.asarray(t_c)) / 15, 0, 1)


def relative_wet(theta, theta_fc, theta_wp, wfps):
    a = np.clip((theta - theta_wp / 2) / (theta_fc - theta_wp / 2), 0, 1)
    return a * (3 - a) / 2 * np.clip((1 - wfps) / 0.4, 0, 1) ** 0.75


def wet_end(wfps):
    return np.clip((wfps - 0.6) / 0.4, 0, 1) ** 2


def cold_root(t_c):
    return np.minimum(1, 3 ** ((np.asarray(t_c) - 13) / 10))


def beta_plant(t_min_c, t_max_c, base, optimum, ceiling):
    """Mean of eight points of the day's sine."""
    t = (t_min_c + t_max_c) / 2 + (t_max_c - t_min_c) / 2 * np.sin(2 * np.pi * (np.arange(8) + 0.5) / 8)
    rise, fall = np.clip((t - base) / (optimum - base), 0, None), np.clip((ceiling - t) / (ceiling - optimum), 0, None)
    return float((rise ** ((optimum - base) / (ceiling - optimum)) * fall).mean())


def smin(a, b, e=0.05):
    total = a + b + math.sqrt((a - b) ** 2 + 4 * e * e * a * b)
    return 2 * (1 - e * e) * a * b / total if total > 0 else 0.0


def ramp(x, delta):
    return 0.0 if x <= 0 else x * x / (2 * delta) if x < delta else x - delta / 2


# ---- what a scenario says of one column -------------------------------------------------------------------------------------------------
@dataclass
class Ground:
    thickness: np.ndarray
    theta_fc: float
    theta_wp: float
    theta_sat: float
    density: float
    sorption: float
    organic_matter: np.ndarray
    ph: float

    @property
    def kg_ha_per_mg_kg(self):  # KG_l
        return self.thickness * self.density / 100


@dataclass
class Dose:
    day: int
    slot: int
    kg_n_ha: float
    watered_in_mm: float


@dataclass
class Slot:
    """Feedings of one material and placement share one set of pools (sheet 13.6)."""
    material: str
    model: str
    parameter: dict
    surface: dict
    forked_in_mm: float
    first: int = 0  # row of its first state

    @property
    def pools(self):
        return (["fast on top", "slow on top", "ready on top", "fast in soil", "slow in soil", "ready in soil", "microbes", "humus"]
                if self.model == "organic-two-pool" else ["nitrate on top"])


@dataclass
class Column:
    name: str
    ground: Ground
    plant: dict | None
    host: dict
    cover: float
    slots: list
    doses: list
    season: int
    weather: list = field(default_factory=list)  # [(date, t_min, t_max)]
    by_date_mm: dict = field(default_factory=dict)  # watering by date, day of the season to mm


def layer_shares(thickness, depth_mm):
    """d_l: what lies in each layer of a thing forked in to depth_mm, by thickness; layer 1 where nothing is forked (sheet 13.7)."""
    if not depth_mm:
        return np.eye(len(thickness))[0]
    covered = np.clip(depth_mm - (np.cumsum(thickness) - thickness), 0, thickness)
    return covered / covered.sum()


def layer_covered(thickness, depth_mm):
    """The part of each layer that it covers."""
    if not depth_mm:
        return np.eye(len(thickness))[0]
    return np.clip(depth_mm - (np.cumsum(thickness) - thickness), 0, thickness) / thickness


def _ground(bed):
    if "container" in bed:
        pot = bed["container"]
        fc, wp, sat, rho, kd = TEXTURES[pot.get("mix", "loam")]
        rest = pot["depth_mm"] - 150                                      # sheet 13.14
        n = math.ceil(rest / 150)
        thickness = np.array([50.0, 100.0] + [rest / n] * n)
        return Ground(thickness, fc, wp, sat, rho, kd, np.full(len(thickness), float(pot.get("organic_matter_percent", 0))), 6.5)
    soil = bed["soil"]
    fc, wp, sat, rho, kd = TEXTURES[soil["texture"]]
    fc, wp, sat = soil.get("field_capacity", fc), soil.get("wilting_point", wp), soil.get("porosity", sat)
    thickness = np.array(soil.get("layers_mm", [50, 100, 150, 300]), float)
    above = np.clip((300 - (np.cumsum(thickness) - thickness)) / thickness, 0, 1)
    organic_matter = soil.get("organic_matter_percent", 3) * (above + (1 - above) / 6)  # that of 0-300 mm; a sixth of it below (sheet 11)
    return Ground(thickness, fc, wp, sat, rho, kd, organic_matter, soil.get("ph", 6.5))


def _season_day(month_day, season):
    """Index of a calendar date in the season that runs 1 November to 31 October."""
    month, day = map(int, month_day.split("-"))
    return (dt.date(season - (month >= 11), month, day) - dt.date(season - 1, 11, 1)).days


def read_column(scenario_path, catalogue_folder, name, season):
    """Bed, plant, cover, slots and doses of the column called `name` ("BED: bare ground" for what no plant stands on)."""
    path, catalogue = pathlib.Path(scenario_path), pathlib.Path(catalogue_folder)
    scenario = json.loads(path.read_text())
    materials = json.loads((catalogue / "materials.json").read_text())["materials"] | scenario.get("materials", {})
    plants = json.loads((catalogue / "plants.json").read_text())["plants"] | scenario.get("plants", {})

    bare = name.endswith(": bare ground")
    bed = next(b for b in scenario["beds"]
               if (b["name"] == name.removesuffix(": bare ground") if bare else any(p["name"] == name for p in b.get("plantings", []))))
    area_of_bed = math.pi * (bed["container"]["diameter_mm"] / 2000) ** 2 if "container" in bed else bed["area_m2"]

    def crown(planting):
        return planting.get("count", 1) * planting.get("crown_m2", plants[planting["plant"]]["crown_m2"])

    crowns = sum(crown(p) for p in bed.get("plantings", []))

    def area(planting):                                                    # sheet 13.4
        if "container" in bed:
            return area_of_bed * crown(planting) / crowns
        return planting.get("ground_m2", crown(planting) / 0.8 if crowns / 0.8 <= area_of_bed else area_of_bed * crown(planting) / crowns)

    planting = None if bare else next(p for p in bed["plantings"] if p["name"] == name)
    cover = 0.0 if bare else crown(planting) / area(planting)

    slots, doses = [], []
    for f in scenario.get("feedings", []):                                 # sheet 13.5
        if not (f.get("bed") == bed["name"] or name in f.get("plantings", [])):
            continue
        entry, amount = materials[f["material"]], dict(f["amount"])
        per, (unit, number) = amount.pop("per"), next(iter((k, v) for k, v in amount.items() if k != "comment"))
        a_ml = entry["bulk_density_kg_m3"] / 1000
        handful = scenario.get("handful_g", {}).get(f["material"], scenario.get("handful_ml", 80) * a_ml)
        grams = number * {"grams": 1, "kilograms": 1000, "millilitres": a_ml, "litres": 1000 * a_ml, "handfuls": handful,
                          "trowels": scenario.get("trowel_ml", 300) * a_ml}[unit]
        if per == "plant":
            grams_m2 = grams * planting.get("count", 1) / area(planting)
        else:
            grams_m2 = grams / area_of_bed if per == "bed" else grams
        key = (f["material"], float(f.get("forked_in_mm", 0)))
        if key not in [(s.material, s.forked_in_mm) for s in slots]:
            slots.append(_slot(entry, *key))
        first, again = _season_day(f["on"], season), f.get("again")
        last = _season_day(again["until"], season) if again else first
        for day in range(first, last + 1, again["every_days"] if again else 1):
            doses.append(Dose(day, [(s.material, s.forked_in_mm) for s in slots].index(key), grams_m2 * 10 * entry["n_percent"] / 100,
                              float(f.get("watered_in_mm", 0))))
    doses.sort(key=lambda d: d.day)

    by_date_mm = {}                                                        # sheet 13.2
    for w in bed.get("waterings", []):
        mm = w.get("give_mm", 0.0)
        if "sprinkler" in w:
            mm = w["sprinkler"]["minutes"] / 60 * w["sprinkler"]["mm_per_hour"]
        if "hose" in w:
            mm = w["hose"]["minutes"] * w["hose"]["litres_per_minute"] / area_of_bed
        first, again = _season_day(w["on"], season), w.get("again")
        last = _season_day(again["until"], season) if again else first
        for day in range(first, last + 1, again["every_days"] if again else 1):
            by_date_mm[day] = by_date_mm.get(day, 0.0) + mm

    plant = None if bare else plants[planting["plant"]]
    weather = []
    with open(path.parent / scenario["weather"]["file"], encoding="utf-8") as lines:
        rows = [line.strip().split(",") for line in lines if not line.startswith("#")]
    head = rows[0]
    for row in rows[1:]:
        record = dict(zip(head, row))
        weather.append((dt.date.fromisoformat(record["date"]), float(record["tmin_c"]), float(record["tmax_c"])))
    return Column(name, _ground(bed), plant["parameters"] if plant else None, HOST | (plant or {}).get("host", {}), cover, slots, doses, season,
                  weather, by_date_mm)


def _slot(entry, material, forked_in_mm):
    if entry["model"] == "organic-two-pool":
        if "lost_at_once_frac" in entry.get("surface", {}) or "parameters" not in entry:
            raise NotImplementedError("what follows from a label, and ammonia lost as it is spread")
        parameter = ORGANIC | {"ammonium_frac": entry.get("ammonium_frac", 0.0)} | {k: v for k, v in entry["parameters"].items() if k != "comment"}
        if parameter["carbon_to_nitrogen"] is None:                        # CN_o = CN_total/(1 - ready)
            parameter["carbon_to_nitrogen"] = entry["carbon_to_nitrogen"] / (1 - parameter["ready_frac"])
    elif entry["model"] == "soluble-salt":
        parameter = SALT | entry["parameters"]
    else:
        raise NotImplementedError(entry["model"])
    surface = SURFACE | {"dissolved_wash_mm": DISSOLVED_WASH_MM[entry["form"]]} | entry.get("surface", {})
    return Slot(material, entry["model"], parameter, surface, forked_in_mm)


# ---- the column -------------------------------------------------------------------------------------------------------------------------
@dataclass
class Starving:
    """All that starve in one placement: one lambda (sheet 13.8)."""
    covered: np.ndarray        # part of each layer
    half_kg_ha: float          # K_N times KG of what is covered
    decay: np.ndarray          # matrix of what moves at lambda, the gain of microbes from mineral N included
    ask: np.ndarray            # what would be taken from mineral N at lambda = 1, per unit of each state


class ColumnOracle:
    """`forcings` by name. Per layer [day, layer]: t_c, theta, wfps_frac, drained_mm, reach_per_day; a day: rain_mm, stress, f_t, luxury,
    fixed_frac, keep_frac, reserve_frac, factor [day, 2]. w_reference_t_ha: dry matter that the reserve at the start is reckoned from."""

    def __init__(self, column: Column, forcings, w_reference_t_ha=0.0):
        self.column, self.n = column, len(column.ground.thickness)
        self.climate = SimpleNamespace(**forcings, w_reference_t_ha=w_reference_t_ha)
        rows = []
        for i, slot in enumerate(column.slots):
            slot.first = len(rows)
            rows += [f"slot {i}: {p}" for p in slot.pools] + [f"slot {i}: surface ammonium"]
        self.first_layer = len(rows)
        for kind in ("ammonium", "nitrate in fast water", "nitrate in slow water"):
            rows += [f"{kind}, layer {l + 1}" for l in range(self.n)]
        if column.plant is not None:
            rows += ["plant", "reserve", "litter"]
        rows += ["leached", "volatilised", "denitrified", "taken up", "from soil"]
        if column.plant is not None:
            rows += ["fixed", "dry matter"]
        self.rows, self.at = rows, {name: i for i, name in enumerate(rows)}
        n, o = self.n, self.first_layer
        self.nh, self.nf, self.ns, self.mineral = slice(o, o + n), slice(o + n, o + 2 * n), slice(o + 2 * n, o + 3 * n), slice(o, o + 3 * n)

    # -- start (sheet 11, 13.3, 13.11) --
    def start(self):
        y, ground = np.zeros(len(self.rows)), self.column.ground
        by_thickness = START_KG_HA * ground.thickness / ground.thickness.sum()
        y[self.nh] = START_AMMONIUM * by_thickness
        y[self.nf] = (1 - START_AMMONIUM) * FAST_FREED * by_thickness
        y[self.ns] = (1 - START_AMMONIUM) * (1 - FAST_FREED) * by_thickness
        if self.column.plant is not None:
            p, w_ref = self.column.plant, self.climate.w_reference_t_ha
            y[self.at["dry matter"]] = p["start_t_ha"]
            y[self.at["plant"]] = p["luxury"] * self.critical(p["start_t_ha"])
            y[self.at["reserve"]] = self.column.host["reserve_share"] * self.critical(w_ref)
        return y

    def critical(self, w):
        """N_crit, kg/ha of the column (sheet 7)."""
        p = self.column.plant
        return 10 * self.column.cover * p["critical_a_percent"] * (1 + w ** 4) ** (-p["critical_b"] / 4) * w

    # -- events at 00 (sheet 13.1: cutting, forking, feeding, watering-in) --
    def events(self, y, day):
        y = y.copy()
        if self.column.plant is not None and self.climate.keep_frac[day] != 1:
            keep, back = self.climate.keep_frac[day], self.climate.reserve_frac[day]
            lost = y[self.at["plant"]] * (1 - keep)
            y[self.at["plant"]] -= lost
            y[self.at["dry matter"]] *= keep
            y[self.at["reserve"]] += back * lost
            y[self.at["litter"]] += (1 - back) * lost
        today = [d for d in self.column.doses if d.day == day]
        for dose in today:
            slot = self.column.slots[dose.slot]
            self._feed(y, slot, dose.kg_n_ha)
            self._water_in(y, slot, 0.0)                                   # 0 mm of wash: a liquid goes in within the event
        water = sum(d.watered_in_mm for d in today) + self.column.by_date_mm.get(day, 0.0)
        if water:
            for slot in self.column.slots:
                self._water_in(y, slot, water)
        return y

    def _feed(self, y, slot, kg):
        p, o = slot.parameter, slot.first
        shares = layer_shares(self.column.ground.thickness, slot.forked_in_mm)
        if slot.model == "organic-two-pool":
            parts = kg * np.array([(1 - p["ready_frac"]) * p["fast_frac"], (1 - p["ready_frac"]) * (1 - p["fast_frac"]),
                                   p["ready_frac"] - p["ammonium_frac"]])
            y[o + (3 if slot.forked_in_mm else 0):][:3] += parts
            if slot.forked_in_mm:
                y[self.nh] += kg * p["ammonium_frac"] * shares
            else:
                y[o + len(slot.pools)] += kg * p["ammonium_frac"]
        elif slot.forked_in_mm:
            y[self.nh] += kg * (1 - p["nitrate_frac"]) * shares
            y[self.nf] += kg * p["nitrate_frac"] * FAST_WASHED * shares
            y[self.ns] += kg * p["nitrate_frac"] * (1 - FAST_WASHED) * shares
        else:
            y[o] += kg * p["nitrate_frac"]
            y[o + 1] += kg * (1 - p["nitrate_frac"])

    def _wash_in(self, slot):
        """[(from row, [(to row, share)], mm, per day beside rain)] of a slot's surface pools (sheet 4.1)."""
        o, p = slot.first, slot.parameter
        nh, nf, ns = self.nh.start, self.nf.start, self.ns.start
        if slot.model == "organic-two-pool":
            pools = [(o + i, [(o + 3 + i, 1.0)], p["particle_wash_mm"], p["mix_per_day"]) for i in range(3)]
        else:
            pools = [(o, [(nf, FAST_WASHED), (ns, 1 - FAST_WASHED)], p["dissolved_wash_mm"], p["dew_per_day"])]
        return pools + [(o + len(slot.pools), [(nh, 1.0)], slot.surface["dissolved_wash_mm"], slot.surface["fixed_per_day"])]

    def _water_in(self, y, slot, mm):
        for row, ends, wash_mm, _ in self._wash_in(slot):
            gone = y[row] * (1 - math.exp(-mm / wash_mm) if wash_mm else 1.0)
            y[row] -= gone
            for end, share in ends:
                y[end] += share * gone

    # -- what is constant within a day --
    def day(self, d):
        """The right-hand side of day d, a function of (t, y)."""
        c, g, n, size = self.climate, self.column.ground, self.n, len(self.rows)
        t, theta, wfps, rain = c.t_c[d], c.theta[d], c.wfps_frac[d], c.rain_mm[d]
        f_w = relative_wet(theta, g.theta_fc, g.theta_wp, wfps)
        kg = g.kg_ha_per_mg_kg
        linear, inflow = np.zeros((size, size)), np.zeros(size)
        nh, nf, ns = (np.arange(s.start, s.stop) for s in (self.nh, self.nf, self.ns))

        def flow(matrix, source, ends, rate):
            """`rate` per day of `source`, shared over `ends`."""
            matrix[source, source] -= rate
            for row, share in ends:
                matrix[row, source] += share * rate

        starving = {}
        for slot in self.column.slots:
            o, p, a_row = slot.first, slot.parameter, slot.first + len(slot.pools)
            for row, ends, wash_mm, per_day in self._wash_in(slot):
                flow(linear, row, ends, (rain / wash_mm if wash_mm else 0.0) + per_day)  # a liquid's surface pools are empty
            k_v = slot.surface["volatile_per_day"] * 2 ** ((t[0] - 15) / 10) * slot.surface["ph_factor"]
            flow(linear, a_row, [(self.at["volatilised"], 1.0)], k_v)
            if slot.model != "organic-two-pool":
                continue
            shares = layer_shares(g.thickness, slot.forked_in_mm)
            ammonium = [(row, s) for row, s in zip(nh, shares)]
            microbes, humus = o + 6, o + 7
            decay = lloyd_taylor(t) * f_w                                 # g, per layer
            free = arrhenius(t, p["ready_activation_kj_mol"] * 1e3, p["ready_reference_c"]) * f_w
            cn, e_per_cn_b = p["carbon_to_nitrogen"], p["efficiency"] / p["microbial_c_to_n"]
            nu = 1 / cn - e_per_cn_b                                      # N set free a kg of C decayed
            for k, top in ((p["fast_per_day"], o), (p["slow_per_day"], o + 1)):
                on_top, in_soil = k * p["contact_frac"] * decay[0], k * float(shares @ decay)
                for row, rate, freed_to in ((top, on_top, [(a_row, 1.0)]), (top + 3, in_soil, ammonium)):
                    if nu >= 0:
                        # C falls by rate C; e/CN_b of it is microbial N, nu of it is set free; as N: C = CN_o N.
                        flow(linear, row, [(microbes, e_per_cn_b * cn)] + [(r, s * nu * cn) for r, s in freed_to], rate)
                        continue
                    covered = layer_covered(g.thickness, slot.forked_in_mm)
                    key = tuple(covered)                                  # on top, washed in and forked in to layer 1's depth are one place
                    if key not in starving:
                        starving[key] = Starving(covered, K_N_MG_KG * float(covered @ kg), np.zeros((size, size)), np.zeros(size))
                    place, rest = starving[key], p["starved_frac"]
                    flow(linear, row, [(microbes, 1.0)], rest * rate)                  # decay at lambda + lambda_0 (1 - lambda)
                    flow(place.decay, row, [(microbes, 1.0)], (1 - rest) * rate)
                    place.decay[microbes, row] += -nu * cn * rate                      # |nu| x, the take at lambda alone
                    place.ask[row] += -nu * cn * rate
            h = p["ready_per_day"]
            flow(linear, o + 2, [(a_row, 1.0)], h * p["contact_frac"] * free[0])
            flow(linear, o + 5, ammonium, h * float(shares @ free))
            die = p["death_per_day"] * float(shares @ decay)
            flow(linear, microbes, [(humus, p["humus_frac"])] + [(r, s * (1 - p["humus_frac"])) for r, s in ammonium], die)

        # Soil organic matter (sheet 4.6) and movement (sheet 3; a negative net drainage carries nothing).
        n_org = np.minimum(g.organic_matter, OM_COUNTED_MOST) / 100 * 0.58 / CN_SOM * g.density * g.thickness * 1e4
        som = n_org * FREED_A_YEAR / 365 * arrhenius(t, EA_SOM, 10.0) * f_w
        inflow[nh] += som
        inflow[self.at["from soil"]] += som.sum()
        q = np.maximum(c.drained_mm[d], 0)
        retardation = 1 + g.density * g.sorption / g.theta_fc
        for speed, rows in ((1 / retardation, nh), (V_FAST, nf), (V_SLOW, ns)):
            for l in range(n):
                below = rows[l + 1] if l + 1 < n else self.at["leached"]
                flow(linear, rows[l], [(below, 1.0)], speed * q[l] / (g.theta_fc * g.thickness[l]))

        nitrify = V_NIT * nitrifier(t) * f_w * np.clip((g.ph - 4) / 2, 0.1, 1)
        denitrify = np.minimum(1, g.organic_matter / 3) * V_DEN * Q_DEN ** ((t - 15) / 10) * wet_end(wfps)
        places = list(starving.values())
        denitrified, taken = self.at["denitrified"], self.at["taken up"]
        s_nh, s_nf, s_ns = self.nh, self.nf, self.ns
        has_plant = self.column.plant is not None
        if has_plant:
            plant, reserve, fixed_row, dry = (self.at[k] for k in ("plant", "reserve", "fixed", "dry matter"))
            p, host = self.column.plant, self.column.host
            reach, n_r, psi = c.reach_per_day[d], host["unreachable_kg_ha"], host["ammonium_reach"]
            grow, standing, lowered = c.factor[d]
            grow_dry = grow * c.stress[d]
            luxury, phi_x, readiness = c.luxury[d], c.fixed_frac[d], min(1, c.f_t[d] / 0.02)

        def rhs(_, y):
            dy = linear @ y + inflow
            h, f, s = y[s_nh], y[s_nf], y[s_ns]
            no = f + s
            for place in places:
                stock = float(place.covered @ (h + no))
                asked = float(place.ask @ y)
                if stock <= 0:
                    continue
                share = stock / (stock + place.half_kg_ha + asked / K_IMM_PER_DAY)     # lambda
                dy += share * (place.decay @ y)
                take = share * asked / stock * place.covered
                dy[s_nh] -= take * h
                dy[s_nf] -= take * f
                dy[s_ns] -= take * s
            nitrified = nitrify * h / (h / kg + K_NIT)
            gas = denitrify / (no / kg + K_DEN)
            dy[s_nh] -= nitrified
            dy[s_nf] += FAST_FREED * nitrified - gas * f
            dy[s_ns] += (1 - FAST_FREED) * nitrified - gas * s
            dy[denitrified] += (gas * no).sum()
            if has_plant:
                w, n_p = y[dry], y[plant]
                crit = self.critical(w) * (1 - lowered)
                want = ramp(luxury * crit - n_p, 0.05 * crit) / host["catch_up_d"] * readiness
                back = smin(want, host["reserve_per_day"] * max(y[reserve], 0.0))
                fixed = phi_x * (want - back)
                per_no, per_nh = reach * no / (no + n_r), psi * reach * h / (h + n_r)  # supply per kg of each
                supply = float((per_no * no + per_nh * h).sum())
                up = smin(max(want - back - fixed, 0.0), supply)
                k = up / supply if supply > 0 else 0.0
                dy[s_nh] -= k * per_nh * h
                dy[s_nf] -= k * per_no * f
                dy[s_ns] -= k * per_no * s
                dy[taken] += up
                dy[plant] += up + back + fixed
                dy[reserve] -= back
                dy[fixed_row] += fixed
                leaf, room = 1 - math.exp(-(w + standing) / p["closure_t_ha"]), 1 - w / p["ceiling_t_ha"]
                dy[dry] += grow_dry * leaf * room * smin(n_p / crit, 1.0, 0.02)
            return dy

        return rhs

    def run(self, y=None, first=0, last=None, rtol=1e-10, atol=1e-12):
        """States [days][rows] at 24:00 of days first..last, each day's leg integrated afresh; and the greatest value of each state, those
        right after an event included."""
        y = self.start() if y is None else np.array(y, float)
        out, greatest = [], np.abs(y)
        for d in range(first, len(self.climate.rain_mm) if last is None else last + 1):
            y = self.events(y, d)
            greatest = np.maximum(greatest, np.abs(y))
            leg = solve_ivp(self.day(d), (0.0, 1.0), y, method="LSODA", rtol=rtol, atol=atol)
            if not leg.success:
                raise RuntimeError(f"day {d}: {leg.message}")
            y = leg.y[:, -1]
            greatest = np.maximum(greatest, np.abs(y))
            out.append(y)
        return np.array(out), greatest

    # -- what a reader is told (sheet 7, 9) --
    def reported(self, states):
        """Plant N, index, taken, leached, volatilised, denitrified, unfreed, mineral; [days] each, from states [days][rows]."""
        rows = {"leached": "leached", "volatilised": "volatilised", "denitrified": "denitrified"}
        if self.column.plant is not None:
            rows |= {"plant N": "plant", "taken": "taken up"}
        told = {name: states[:, self.at[row]] for name, row in rows.items()}
        told["mineral"] = states[:, self.mineral].sum(axis=1)
        feed = [self.at[r] for r in self.rows if r.startswith("slot") and not r.endswith(("microbes", "humus"))]
        told["unfreed"] = states[:, feed].sum(axis=1)
        if self.column.plant is not None:
            told["index"] = told["plant N"] / self.critical(states[:, self.at["dry matter"]])
        return told

    def nitrogen(self, y):
        """All N there is, less what came in from soil and air: constant but for doses."""
        inflow = [self.at[r] for r in ("from soil", "fixed") if r in self.at]
        apart = inflow + [self.at[r] for r in ("taken up", "dry matter") if r in self.at]
        return y.sum(axis=-1) - y[..., apart].sum(axis=-1) - y[..., inflow].sum(axis=-1)
