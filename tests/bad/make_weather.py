"""Writes weather.csv of this folder: one invented season in every column that a weather file may have. No randomness."""
import datetime
import math
import pathlib

lines = ["# INVENTED weather for the tests of bad input: smooth curves, no place has it. Made by make_weather.py.",
         "date,tmin_c,tmax_c,rain_mm,sun_h,radiation_mj_m2,rh_mean_percent,rh_max_percent,rh_min_percent,vapour_pressure_kpa,wind_m_s"]
first, last = datetime.date(2003, 11, 1), datetime.date(2004, 10, 31)
for k in range((last - first).days + 1):
    day = first + datetime.timedelta(k)
    year = math.cos(2 * math.pi * (day.timetuple().tm_yday - 200) / 366)  # 1 in mid July, -1 in mid January
    wave = math.sin(0.9 * k)
    tmin, tmax = 8 + 5 * year + 2 * wave, 14 + 6 * year + 2 * wave
    rain = max(0.0, 9 * math.sin(1.7 * k) - 4)
    sun = max(0.0, 6 + 3.5 * year + 2 * wave)
    sun_text = "" if k % 50 == 49 else f"{sun:.1f}"  # an instrument fails at times
    radiation = 10 + 8 * year + 1.5 * wave
    vapour = 0.6108 * math.exp(17.27 * tmin / (tmin + 237.3))  # FAO-56 equation 11: dew point at tmin
    lines.append(f"{day},{tmin:.1f},{tmax:.1f},{rain:.1f},{sun_text},{radiation:.1f},{80 - 5 * year:.0f},{94 - 2 * year:.0f},"
                 f"{66 - 8 * year:.0f},{vapour:.2f},{4 - year + wave:.1f}")
pathlib.Path(__file__).with_name("weather.csv").write_text("\n".join(lines) + "\n")
