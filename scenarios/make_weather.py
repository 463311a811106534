#!/usr/bin/env python3
"""Makes saltmarsh-weather.csv: invented daily weather of a mild south-west coast that is nowhere.

The kind of generator that Richardson (1981, Water Resources Research 17:182-190) describes: whether a day is wet depends on whether the
day before was (two-state Markov chain), wet days get a gamma-distributed amount, and the temperatures and the sunshine swing about means
that differ between wet and dry days, each remembering the day before. To that we add one slow swing, so that whole months and seasons
differ as they do in life (our own guess). Every monthly figure below is invented.

    python3 make_weather.py [FILE]        writes FILE; without it, saltmarsh-weather.csv beside this script

NumPy's RandomState is used on purpose: its stream is frozen for good, so the file comes out the same, byte for byte, anywhere.
"""
import datetime as dt
import os
import sys

import numpy as np

SEED = 20101101
FIRST, LAST = dt.date(2010, 11, 1), dt.date(2024, 10, 31)
LATITUDE_DEG = 50.3

# Invented monthly values, January first.
TMIN_C = np.array([5.2, 4.9, 5.7, 7.1, 9.5, 12.1, 14.0, 14.2, 12.6, 10.4, 7.8, 6.0])   # mean of the nights
TMAX_C = np.array([9.8, 9.9, 11.3, 13.6, 16.4, 19.0, 20.8, 20.8, 18.9, 15.6, 12.6, 10.5])  # mean of the days
RAIN_MM = np.array([104., 82., 66., 60., 56., 54., 58., 66., 70., 98., 112., 112.])    # a month
WET_FRAC = np.array([.55, .50, .45, .41, .38, .34, .35, .38, .41, .51, .56, .56])      # share of days with rain
SUN_FRAC = np.array([.25, .31, .38, .46, .47, .46, .45, .45, .42, .34, .28, .23])      # sunshine over daylight
SD_C = np.array([3.0, 2.9, 2.3, 2.1, 2.1, 1.9, 1.8, 1.7, 1.9, 2.2, 2.6, 3.0])          # day to day, of either temperature
GAMMA_SHAPE = 0.78         # of a wet day's amount
WET_AFTER = 0.40           # by how much yesterday's rain raises today's chance
RAIN_COOLS_DAY_C = 0.9     # the tmax of a wet day lies so much below that of a dry one, summer half; the reverse in winter nights
RAIN_WARMS_NIGHT_C = 1.3
SUN_WET_SHARE = 0.55       # sunshine of a wet day over that of a dry one
REMEMBERS_C, REMEMBERS_SUN = 0.68, 0.25   # lag-1 of the daily swings
SHARED = 0.62              # correlation of the day's and the night's swing
SLOW_LAG, SLOW_C, SLOW_WET = 0.985, 0.75, 0.30   # the slow swing: memory of a day, its size in degC and on the chance of rain

HEADER = """\
# INVENTED weather: no station measured it, and no place has it. Made by make_weather.py (seed {seed}).
# A mild south-west coast that is nowhere, latitude {lat} degrees north; for the demo garden Saltmarsh Lane and the examples.
# date (ISO), lowest and highest air temperature (degC), rain (mm), bright sunshine (hours)
date,tmin_c,tmax_c,rain_mm,sun_h
"""


def days():
    return [FIRST + dt.timedelta(i) for i in range((LAST - FIRST).days + 1)]


def month_mean(table, date):
    """Straight lines between the middles of the months, so that no month begins with a step."""
    position = date.month - 1 + (date.day - 15.5) / 30.4
    low = int(np.floor(position))
    share = position - low
    return table[low % 12] * (1 - share) + table[(low + 1) % 12] * share


def daylight_h(date):
    """FAO-56 equations 24, 25 and 34."""
    declination = 0.409 * np.sin(2 * np.pi / 365 * date.timetuple().tm_yday - 1.39)
    return 24 / np.pi * np.arccos(-np.tan(np.radians(LATITUDE_DEG)) * np.tan(declination))


def generate():
    """Rows (date, tmin_c, tmax_c, rain_mm, sun_h), before rounding."""
    random = np.random.RandomState(SEED)
    month_days = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
    amount_mm = RAIN_MM / (WET_FRAC * month_days)      # mean of a wet day
    wet, slow, slow_wet, swing, sun_swing = True, 0.0, 0.0, np.zeros(2), 0.0
    rows = []
    for date in days():
        z = random.standard_normal(5)
        slow = SLOW_LAG * slow + np.sqrt(1 - SLOW_LAG**2) * z[0]
        slow_wet = SLOW_LAG * slow_wet + np.sqrt(1 - SLOW_LAG**2) * z[1]
        wet_frac = month_mean(WET_FRAC, date)
        # Chance after a dry and after a wet day, such that the long-run share of wet days is wet_frac.
        chance = wet_frac * (1 - WET_AFTER) + (WET_AFTER if wet else 0.0)
        odds = chance / (1 - chance) * np.exp(SLOW_WET * slow_wet)
        wet = random.random_sample() < odds / (1 + odds)
        mean_mm = month_mean(amount_mm, date)
        amount = random.gamma(GAMMA_SHAPE, mean_mm / GAMMA_SHAPE)   # drawn on dry days too: one stream whatever the weather
        rain = max(amount, 0.1) if wet else 0.0

        own = np.array([z[2], SHARED * z[2] + np.sqrt(1 - SHARED**2) * z[3]])
        swing = REMEMBERS_C * swing + np.sqrt(1 - REMEMBERS_C**2) * own
        sun_swing = REMEMBERS_SUN * sun_swing + np.sqrt(1 - REMEMBERS_SUN**2) * z[4]
        summer = 0.5 - 0.5 * np.cos(2 * np.pi * (date.timetuple().tm_yday - 15) / 365.25)   # 0 mid-January, 1 mid-July
        rainy = (1.0 if wet else 0.0) - wet_frac       # mean 0 over the month, so the monthly means stay as given
        sd = month_mean(SD_C, date)
        tmax = month_mean(TMAX_C, date) + SLOW_C * slow + sd * swing[0] - RAIN_COOLS_DAY_C * (2 * summer - 0.6) * rainy
        tmin = month_mean(TMIN_C, date) + SLOW_C * slow + sd * swing[1] + RAIN_WARMS_NIGHT_C * (1.2 - 0.7 * summer) * rainy

        mean_share = month_mean(SUN_FRAC, date)
        dry_share = mean_share / (1 - wet_frac * (1 - SUN_WET_SHARE))
        level = dry_share * (SUN_WET_SHARE if wet else 1.0)
        # A logistic curve keeps the share between 0 and 1; the factor 1.5 spreads it over dull and bright days.
        share = 1 / (1 + np.exp(-(np.log(level / (1 - level)) * 1.25 + 1.5 * sun_swing)))
        sun = share * daylight_h(date) if share > 0.04 else 0.0
        rows.append((date, min(tmin, tmax - 0.6), tmax, rain, sun))
    return rows


def text():
    lines = [HEADER.format(seed=SEED, lat=LATITUDE_DEG)]
    for date, *values in generate():
        # + 0.0 turns -0.0 into 0.0
        lines.append(date.isoformat() + "," + ",".join(f"{round(float(v), 1) + 0.0:.1f}" for v in values) + "\n")
    return "".join(lines)


def main():
    here = os.path.dirname(os.path.abspath(__file__))
    path = sys.argv[1] if len(sys.argv) > 1 else os.path.join(here, "saltmarsh-weather.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write(text())


if __name__ == "__main__":
    main()
