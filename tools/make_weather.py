"""Make the invented weather of Deepstead, a cold still plain, in EPW form.

    python tools/make_weather.py [--check]

The place does not exist (its coordinates lie in the open sea) and no measured year
went into it.  Season, day, passing fronts and clear spells are sums of sines, so that
every machine makes the same file; the sun follows the textbook geometry, and what
reaches the ground follows published rules:

- declination: Cooper (1969); clear sky: Haurwitz (1945), J. Meteorol. 2, 154
- clouds: Kasten and Czeplak (1980), Solar Energy 24, 177
- diffuse share: Erbs, Klein and Duffie (1982), Solar Energy 28, 293
- longwave of the sky and pressure of the elevation: `brinewright.files.weather_rules`
"""

import sys
from math import cos, exp, pi, radians, sin
from pathlib import Path

import numpy as np

from brinewright.files.weather_rows import MONTHS, YEARS
from brinewright.files.weather_rules import (
    ICE,
    saturation_pressure,
    sky_emissivity,
    sky_radiation,
    standard_pressure,
)

TARGET = Path(__file__).parents[1] / "src" / "brinewright" / "data" / "weather" / "deepstead.epw"
LATITUDE, ELEVATION = 64.0, 310.0
SOLAR_CONSTANT = 1367.0  # W/m2
YEAR = 2001  # any year without a leap day
HOURS = YEARS[0]
HEADER = (
    f"LOCATION,Deepstead,-,-,invented,000000,{LATITUDE},0.0,0.0,{ELEVATION}",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    'COMMENTS 1,"Invented weather of an invented place; no measured year went into it"',
    'COMMENTS 2,"Made by tools/make_weather.py"',
    "DATA PERIODS,1,1,Data,Monday, 1/ 1,12/31",
)
FLAGS = "?9?9?9?9E0E9E9E9E9E9?9?9?9?9E9E9E9?9?9?9?9"
UNKNOWN_LIGHT = (999999, 999999, 999999, 9999)
UNKNOWN_REST = (9999, 99999, 9, 999999999, 999, 0.999, 999, 99, 999, 999, 99)


def fronts(hour: float) -> float:
    """Return the state of the passing weather, about -1 (clear, cold) to 1 (overcast, mild)."""
    waves = ((0.45, 58, 0.4), (0.3, 99, 2.1), (0.2, 25, 5.0), (0.12, 193, 1.2))  # whole waves in a year
    return sum(size * sin(2.0 * pi * count * hour / HOURS + phase) for size, count, phase in waves)


def sun_height(hour: float) -> float:
    """Return the sine of the sun's height at `hour` of the year, local solar time."""
    declination = radians(23.45) * sin(2.0 * pi * (284.0 + 1.0 + hour // 24) / 365.0)
    angle = pi * (hour % 24.0 - 12.0) / 12.0
    latitude = radians(LATITUDE)
    return sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(angle)


def radiation(hour: float, cover: float) -> tuple[float, float, float, float, float]:
    """Return extraterrestrial horizontal and normal, global, direct normal, diffuse irradiance [W/m2]."""
    height = sun_height(hour)
    normal = SOLAR_CONSTANT * (1.0 + 0.033 * cos(2.0 * pi * (1.0 + hour // 24) / 365.0))
    if height <= 0.02:
        return (max(height, 0.0) * normal, normal if height > 0.0 else 0.0, 0.0, 0.0, 0.0)
    total = 1098.0 * height * exp(-0.057 / height) * (1.0 - 0.75 * (cover / 10.0) ** 3.4)
    clearness = total / (normal * height)
    if clearness <= 0.22:
        share = 1.0 - 0.09 * clearness
    elif clearness <= 0.8:
        share = 0.9511 - 0.1604 * clearness + 4.388 * clearness**2
        share += -16.638 * clearness**3 + 12.336 * clearness**4
    else:
        share = 0.165
    return height * normal, normal, total, total * (1.0 - share) / height, total * share


def row(hour: int, stamp: tuple[int, int, int]) -> str:
    """Return the row whose time stamp is `hour` (1 to 8760) of the year."""
    front = fronts(hour)
    cover = float(round(min(max(5.0 + 6.0 * front, 0.0), 10.0)))
    season = -cos(2.0 * pi * (hour / 24.0 - 24.0) / 365.0)  # coldest late in January
    swing = (1.5 + 4.5 * max(0.0, sin(pi * (hour / 24.0 - 50.0) / 250.0))) * (1.0 - 0.06 * cover)
    day = -cos(2.0 * pi * (hour % 24 - 4.0) / 24.0)
    temperature = round(-3.0 + 13.5 * season + swing * day + 5.0 * front * (1.3 - season), 1)
    dew_point = round(temperature - (1.2 + 0.35 * (10.0 - cover) * (1.2 + 0.5 * season + 0.3 * day)), 1)
    kelvin, dew = np.array([temperature + ICE]), np.array([dew_point + ICE])
    humidity = 100.0 * float((saturation_pressure(dew) / saturation_pressure(kelvin))[0])
    pressure = standard_pressure(ELEVATION) - 1300.0 * front
    wind = max(0.0, 1.1 + 0.9 * front + 0.5 * day)
    longwave = float(sky_radiation(kelvin, sky_emissivity(dew, np.array([cover])))[0])
    sun = radiation(hour - 0.5, cover)
    air = (f"{temperature:.1f}", f"{dew_point:.1f}", round(humidity), round(pressure / 10.0) * 10)
    light = (sun[0], sun[1], longwave, sun[2], sun[3], sun[4])
    still = (0 if wind < 0.3 else 240, f"{wind:.1f}", int(cover), int(cover))
    start = (YEAR, *stamp, 60, FLAGS, *air, *(round(value) for value in light))
    return ",".join(str(value) for value in (*start, *UNKNOWN_LIGHT, *still, *UNKNOWN_REST))


def make_weather() -> str:
    """Return the whole file."""
    stamps = (
        (month, day, hour)
        for month, days in enumerate(MONTHS, start=1)
        for day in range(1, days + 1)
        for hour in range(1, 25)
    )
    rows = [row(number, stamp) for number, stamp in enumerate(stamps, start=1)]
    return "\n".join((*HEADER, *rows)) + "\n"


def main() -> int:
    """Write the file, or with --check compare it with the stored one."""
    text = make_weather()
    if "--check" in sys.argv[1:]:
        is_same = TARGET.is_file() and TARGET.read_text(encoding="utf-8") == text
        print(f"{TARGET.name} {'is up to date' if is_same else 'differs: run tools/make_weather.py'}")
        return 0 if is_same else 1
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_text(text, encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
