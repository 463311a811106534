"""A second opinion on what a plant says each morning: waking, sleep, frost, warmth, hardening, roots, and the twin never short of N.

From the equation sheet, 6-8, 13.1, 13.3, 13.11, 13.12. It needs the weather file and, of the engine, soil temperature and water.
What a plant is follows from the parameters that its model has: one with `flush_frac` or `drought_power` keeps its leaves, one with
`scorch_per_c_day` loses some on hot days. The root front of 1 November is taken from the engine; it moves from 1 February on, an
evergreen's all year (13.11, 13.12).
"""
from __future__ import annotations

import datetime as dt

import numpy as np

from oracle.column_oracle import Column, beta_plant, cold_root


def lagged_air(column: Column, days: int):
    """The 7-day lag on each day of the season, that day included; run in over the 365 days before (or the season's own, sheet 13.3)."""
    first = dt.date(column.season - 1, 11, 1)
    air = [(low + high) / 2 for _, low, high in column.weather]
    at = next(i for i, (date, _, _) in enumerate(column.weather) if date == first)
    before = air[at - 365:at] if at >= 365 else air[at:at + 365]
    lag, out = before[0], []
    for i, t in enumerate(before + air[at:at + days]):
        lag += (t - lag) / 7
        if i >= 365:
            out.append(lag)
    return np.array(out)


def root_share(ground, front_mm, scale_mm):
    """x_l: share of each layer that roots can draw on (sheet 8)."""
    bottom = np.cumsum(ground.thickness)
    top = bottom - ground.thickness
    explored = np.clip((front_mm - top) / ground.thickness, 0, 1)
    density = np.exp(-(top + bottom) / 2 / scale_mm)
    return explored * density / (density + 0.2)


class PlantDays:
    """Rows of a season: awake, f_t, growth (t/ha a day under full leaf without stress), keep_frac, reserve_frac, reach_per_day, w_twin_t_ha,
    root_front_mm."""

    def __init__(self, column: Column, t_c, available_frac, radiation, stress, first_front_mm):
        p, host, days = column.plant, column.host, len(t_c)
        first = dt.date(column.season - 1, 11, 1)
        weather = {date: (low, high) for date, low, high in column.weather}
        lag = lagged_air(column, days)
        base, standing_t_ha = p["base_c"], p.get("standing_leaf_t_ha", 0)
        herbaceous = bool(p.get("dies_back", "flush_frac" not in p and "drought_power" not in p))
        leaf_frost_c = p.get("frost_c", -2 if herbaceous else -15)
        awake, front, w, warmth = False, first_front_mm, p["start_t_ha"], 0.0

        def rate(x, light):
            return light * (1 - np.exp(-(x + standing_t_ha) / p["closure_t_ha"])) * (1 - x / p["ceiling_t_ha"])

        out = {k: [] for k in ("awake", "f_t", "growth", "keep_frac", "reserve_frac", "reach_per_day", "w_twin_t_ha", "root_front_mm")}
        for d in range(days):
            today = first + dt.timedelta(d)
            low, high = weather[today]
            in_year = today >= dt.date(column.season, 1, 1)
            after = lambda month, day: in_year and (today.month, today.day) >= (month, day)
            keep, reserve = 1.0, 0.0
            if herbaceous:
                if after(8, 1):
                    was, awake = awake, awake and lag[d] >= base - 2 and low > leaf_frost_c
                    if was and not awake:                                  # 0.46 of the shoot's N goes to the reserve (sheet 7)
                        keep, reserve = min(1.0, p["start_t_ha"] / w), 0.46
                elif after(2, 1):
                    was, awake = awake, awake or lag[d] > base
                    if was and low <= leaf_frost_c and not after(7, 1):
                        keep = min(1.0, p["start_t_ha"] / w)
                if awake and keep == 1 and high > p["ceiling_c"] and "scorch_per_c_day" in p:  # never below the shoots of a start
                    keep = max(1 - p["scorch_per_c_day"] * (high - p["ceiling_c"]), min(1.0, p["start_t_ha"] / w))
            else:
                awake = lag[d] > base
                if (today.month, today.day) == (2, 1):                     # 0.19 of what falls is drawn back first (sheet 13.12)
                    cut = min(1.0, p["start_t_ha"] / w)
                    standing_t_ha = min(standing_t_ha + w * (1 - cut), p["standing_leaf_t_ha"])
                    keep, reserve = cut, 0.19
                if low <= leaf_frost_c:
                    keep, reserve = min(1.0, p["start_t_ha"] / w), 0.0
                    standing_t_ha = 0.0 if "flush_frac" in p else standing_t_ha
            # The front moves by the temperature of layer 2 of the day before (sheet 13.1).
            if d > 0 and (after(2, 1) or not herbaceous):
                front = min(p["root_depth_mm"], front + p["root_mm_per_c_day"] * max(t_c[d - 1][1] - (base - 4), 0))
            f_t = beta_plant(low, high, base, p["optimum_c"], p["ceiling_c"]) if awake else 0.0
            growth = 0.01 * p["radiation_use_g_mj"] * radiation[d] * f_t
            if herbaceous and after(8, 15):
                growth *= min(max((lag[d] - base + 2) / 4, 0), 1)
            if "flush_frac" in p:                                          # 0.3 to 1.7 of the mean where flush_frac is 0.7
                warmth += max((low + high) / 2 - base, 0) if awake else 0
                growth *= 1 - p["flush_frac"] * np.cos(2 * np.pi * warmth / p["flush_period_c_day"])
            w *= keep
            dry = stress[d] ** p.get("drought_power", 1)
            for _ in range(4):                                             # classical RK4, four steps a day (sheet 13.1)
                k1 = rate(w, growth * dry)
                k2 = rate(w + k1 / 8, growth * dry)
                k3 = rate(w + k2 / 8, growth * dry)
                k4 = rate(w + k3 / 4, growth * dry)
                w += (k1 + 2 * k2 + 2 * k3 + k4) / 24
            roots = root_share(column.ground, front, host["root_scale_mm"])
            reach = host["uptake_per_day"] * roots * cold_root(t_c[d]) * (0.1 + 0.9 * available_frac[d])
            for key, value in dict(awake=float(awake), f_t=f_t, growth=growth, keep_frac=keep, reserve_frac=reserve, reach_per_day=reach,
                                   w_twin_t_ha=w, root_front_mm=front).items():
                out[key].append(value)
        for key, values in out.items():
            setattr(self, key, np.array(values))
