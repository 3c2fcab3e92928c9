"""Colours made for this project: a map of temperatures, and inks for curves.

The map is built in OKLab, a space in which equal steps look equally large, with lightness
that only rises; so cold is dark, hot is light, and the order survives grey printing and every
kind of colour vision.

References
----------
B. Ottosson, "A perceptual color space for image processing", 2020, taken up as Oklab by the
W3C in CSS Color Module Level 4, section 9.2; IEC 61966-2-1:1999 for sRGB.
"""

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_CONE_FROM_RGB = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_LAB_FROM_CONE = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)

COLD_TO_HOT = (
    (0.28, 0.105, 262.0),
    (0.44, 0.115, 300.0),
    (0.60, 0.125, 355.0),
    (0.76, 0.115, 45.0),
    (0.92, 0.085, 92.0),
)
"""Lightness, chroma and hue [deg] in OKLab that the temperature map passes through."""

STEPS = 256
"""Number of colours in the map."""


class Ink(NamedTuple):
    """How one curve is drawn; the dash tells curves apart where colour does not."""

    colour: str
    dash: tuple[float, ...]


INKS = (
    Ink("#11005f", ()),
    Ink("#c87b74", ()),
    Ink("#034c01", (6.0, 2.0)),
    Ink("#7b86eb", ()),
    Ink("#804f7e", (6.0, 2.0)),
    Ink("#899605", ()),
    Ink("#2c0519", (1.5, 1.5)),
)
"""Inks for up to seven curves in one frame, in the order of use."""


@cache
def temperature_map() -> Array:
    """Return the temperature map [STEPS, 3] as sRGB from 0 to 1, coldest first."""
    lightness, chroma, hue = np.array(COLD_TO_HOT).T
    knots = np.arange(len(lightness))
    fine = np.linspace(0, knots[-1], 4096)
    angle = np.radians(np.interp(fine, knots, np.unwrap(hue, period=360.0)))
    radius = np.interp(fine, knots, chroma)
    lab = np.column_stack([np.interp(fine, knots, lightness), radius * np.cos(angle), radius * np.sin(angle)])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(lab, axis=0), axis=1))])
    even = np.linspace(0.0, along[-1], STEPS)
    steps = np.column_stack([np.interp(even, along, lab[:, axis]) for axis in range(3)])
    return np.clip(srgb(steps), 0.0, 1.0)


def temperature_colour(share: float) -> str:
    """Return the colour "#rrggbb" at this share of the range, 0 coldest and 1 hottest.

    >>> temperature_colour(0.0) == temperature_colour(-1.0)
    True
    """
    step = round(min(max(share, 0.0), 1.0) * (STEPS - 1))
    return hexadecimal(temperature_map()[step])


def ink_on(colour: str) -> str:
    """Return black or white, whichever is the easier to read on this colour.

    >>> ink_on("#ffff00"), ink_on("#102040")
    ('#000000', '#ffffff')
    """
    red, green, blue = linear([int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)])
    luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    # The contrast of WCAG 2 with white equals that with black at this luminance.
    return "#000000" if luminance > 0.179 else "#ffffff"


def hexadecimal(rgb: ArrayLike) -> str:
    """Return sRGB from 0 to 1 as "#rrggbb"."""
    return "#" + "".join(f"{round(255 * float(part)):02x}" for part in np.asarray(rgb))


def oklab(rgb: ArrayLike) -> Array:
    """Return OKLab [n, 3] of sRGB [n, 3] from 0 to 1."""
    lab: Array = np.cbrt(linear(rgb) @ _CONE_FROM_RGB.T) @ _LAB_FROM_CONE.T
    return lab


def srgb(lab: ArrayLike) -> Array:
    """Return sRGB [n, 3] of OKLab [n, 3]; outside 0 to 1 the screen can't show it."""
    cone = np.linalg.solve(_LAB_FROM_CONE, np.asarray(lab).T) ** 3
    light = np.linalg.solve(_CONE_FROM_RGB, cone).T
    bent = 1.055 * np.abs(light) ** (1 / 2.4) - 0.055
    return np.where(light <= 0.0031308, 12.92 * light, bent)


def linear(rgb: ArrayLike) -> Array:
    """Return the linear light of sRGB, both from 0 to 1."""
    stated = np.asarray(rgb, dtype=np.float64)
    return np.where(stated <= 0.04045, stated / 12.92, ((stated + 0.055) / 1.055) ** 2.4)
