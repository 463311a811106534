"""One planting of a garden as a garden by itself, and many variants of it in one scenario.

Columns exchange neither water nor nitrogen, so a planting alone, on the ground that it had, does what it did among the others. Fifty beds in one file read
their weather once.
"""
from __future__ import annotations

import copy
import json
import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from . import _places
from ._garden import Garden
from ._scenario import with_absolute_weather

_COVER = 0.8  # leaves over ground where a bed has room: equations.md 13.4
_LEAST_BED_M2 = 0.05  # of the file format


@dataclass
class Alone:
    """A planting by itself. Everything in it may be changed before it is packed.

    Attributes:
        bed: its bed, with no other planting in open ground.
        planting: its entry in the bed, `crown_m2` written out.
        plant: its catalogue entry, of its size.
        feedings: what it is given.
        materials: entries by id.
    """

    frame: dict[str, Any]
    bed: dict[str, Any]
    planting: dict[str, Any]
    plant: dict[str, Any]
    feedings: list[dict[str, Any]]
    materials: dict[str, dict[str, Any]]
    room_m2: float | None  # of the bed, shared by crowns; None where the ground stays as it is
    others_m2: float  # ground that the others of the bed want

    def settle(self) -> None:
        """Gives it the ground that goes with its crown, as the engine shares out a bed."""
        if self.room_m2 is not None:
            wants = self.planting.get("count", 1) * self.planting["crown_m2"] / _COVER
            whole = wants + self.others_m2
            self.planting["ground_m2"] = wants if whole <= self.room_m2 else self.room_m2 * wants / whole
        if "container" not in self.bed:
            self.bed["area_m2"] = max(self.planting["ground_m2"], _LEAST_BED_M2)


def _catalogue(name: str, folder: str) -> dict[str, Any]:
    with open(os.path.join(folder, f"{name}.json"), encoding="utf-8") as stream:
        found: dict[str, Any] = json.load(stream)[name]
    return found


def _sized(planting: dict[str, Any], plants: dict[str, Any]) -> tuple[dict[str, Any], float]:
    """The plant's entry with its size written into it, and the crown of this planting."""
    entry = copy.deepcopy(plants[planting["plant"]])
    size = entry.pop("sizes", {}).get(planting.get("size", ""), {})
    if isinstance(size, dict):
        entry["parameters"] = {**entry["parameters"], **size.get("parameters", {})}
        entry["crown_m2"] = size.get("crown_m2", entry["crown_m2"])
    return entry, planting.get("crown_m2", entry["crown_m2"])


def alone(garden: Garden, name: str, ground_m2: float, catalogue: str | None) -> Alone:
    """The planting called so, which in the garden stands on that ground."""
    with open(garden.file, encoding="utf-8") as stream:
        scenario = with_absolute_weather(json.load(stream), os.path.dirname(os.path.abspath(garden.file)))
    folder = _places.catalogue_folder(catalogue)
    plants = {**_catalogue("plants", folder), **scenario.get("plants", {})}
    known = {**_catalogue("materials", folder), **scenario.get("materials", {})}
    bed = next(b for b in scenario["beds"] if any(p["name"] == name for p in b["plantings"]))
    all_of_bed = bed["plantings"]
    planting = copy.deepcopy(next(p for p in all_of_bed if p["name"] == name))
    plant, planting["crown_m2"] = _sized(planting, plants)
    planting.pop("size", None)
    area, potted = bed.get("area_m2", 0.0), "container" in bed
    shared = not potted and not any("ground_m2" in p for p in all_of_bed)
    others = sum(p.get("count", 1) * _sized(p, plants)[1] / _COVER for p in all_of_bed if p["name"] != name) if shared else 0.0
    own = copy.deepcopy({k: v for k, v in bed.items() if k != "plantings"})
    if not potted:
        planting["ground_m2"] = ground_m2
        for watering in own.get("waterings", []):
            if hose := watering.pop("hose", None):  # its litres fell on the whole bed
                watering["give_mm"] = hose["minutes"] * hose["litres_per_minute"] / area
    feedings = []
    for given in copy.deepcopy(scenario["feedings"]):
        if given.get("bed") == bed["name"]:
            amount = given["amount"]
            if amount["per"] == "bed" and not potted:
                given["amount"] = {k: "m2" if k == "per" else v / area if isinstance(v, (int, float)) else v for k, v in amount.items()}
        elif name in given.get("plantings", []):
            given["plantings"] = [name]
        else:
            continue
        feedings.append(given)
    frame = {k: scenario[k] for k in ("format", "garden", "weather", "question", "handful_ml", "trowel_ml") if k in scenario}
    weights = {k: {m: g for m, g in scenario[k].items() if m != "comment"} for k in ("handful_g", "trowel_g", "litre_g") if k in scenario}
    own["plantings"] = [planting, *(p for p in all_of_bed if p["name"] != name and potted)]
    result = Alone({**frame, "weights": weights, "plants": plants}, own, planting, plant, feedings, {f["material"]: copy.deepcopy(known[f["material"]]) for f in feedings},
                   area if shared else None, others)
    result.settle()
    return result


def pack(variants: Sequence[Alone]) -> str:
    """One scenario of many variants; the planting of the k-th is called "vk"."""
    frame = dict(variants[0].frame)
    weights, plants = frame.pop("weights"), frame.pop("plants")
    out: dict[str, Any] = {**frame, "beds": [], "feedings": [], "plants": {}, "materials": {}, **{k: {} for k in weights}}
    for k, v in enumerate(variants):
        called = {p["name"]: f"v{k}" if p is v.planting else f"v{k} beside {j}" for j, p in enumerate(v.bed["plantings"])}
        bed: dict[str, Any] = {**v.bed, "name": f"bed v{k}", "plantings": [{**p, "name": called[p["name"]]} for p in v.bed["plantings"]]}
        bed["plantings"][0]["plant"] = f"plant-v{k}"
        out["plants"][f"plant-v{k}"] = v.plant
        for p in bed["plantings"][1:]:
            out["plants"].setdefault(p["plant"], plants[p["plant"]])
        out["beds"].append(bed)
        ids = {id: f"feed-{n}-v{k}" for n, id in enumerate(v.materials)}
        for id, entry in v.materials.items():
            out["materials"][ids[id]] = entry
            for measure, by_id in weights.items():
                if id in by_id:
                    out[measure][ids[id]] = by_id[id]
        for given in v.feedings:
            where: dict[str, Any] = {"bed": bed["name"]} if "bed" in given else {"plantings": [called[n] for n in given["plantings"] if n in called]}
            out["feedings"].append({**given, **where, "material": ids[given["material"]]})
    return json.dumps({k: v for k, v in out.items() if v != {} or k == "feedings"})
