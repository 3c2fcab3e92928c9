"""The colours keep their order and can be told apart, whatever the eye or the printer.

Colours are compared in CIELAB (ISO/CIE 11664-4:2019) under D65, which the map was not made in.
Colour-vision deficiency is simulated with the matrices for complete deficiency of G. M. Machado,
M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for simulation of color
vision deficiency", IEEE Trans. Vis. Comput. Graph. 15(6), 2009, doi 10.1109/TVCG.2009.113.
"""

from itertools import combinations

import numpy as np
import pytest

from brinewright.report.colour import (
    INKS,
    STEPS,
    hexadecimal,
    ink_on,
    linear,
    oklab,
    srgb,
    temperature_colour,
    temperature_map,
)

EYES = {
    "trichromat": np.eye(3),
    "protanope": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deuteranope": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritanope": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}

# IEC 61966-2-1:1999, primaries and white of sRGB.
XYZ_FROM_RGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = XYZ_FROM_RGB.sum(axis=1)


def cielab(light):
    """CIELAB of linear sRGB light, by ISO/CIE 11664-4."""
    share = light @ XYZ_FROM_RGB.T / WHITE
    bent = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.column_stack(
        [116 * bent[:, 1] - 16, 500 * (bent[:, 0] - bent[:, 1]), 200 * (bent[:, 1] - bent[:, 2])]
    )


def seen(rgb, eye):
    return cielab(np.clip(linear(rgb) @ EYES[eye].T, 0.0, 1.0))


def rgb_of(colour):
    return [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]


@pytest.mark.parametrize("eye", EYES)
def test_lightness_of_the_map_rises_with_every_step(eye):
    assert np.diff(seen(temperature_map(), eye)[:, 0]).min() > 0


def test_the_map_spans_enough_lightness_to_be_read_in_grey():
    lightness = seen(temperature_map(), "trichromat")[:, 0]

    assert lightness[0] < 25
    assert lightness[-1] > 85


def test_steps_of_the_map_look_equally_large():
    steps = np.linalg.norm(np.diff(oklab(temperature_map()), axis=0), axis=1)

    # The curve is followed in 4096 chords, so equal steps along it are equal to a few parts in 10**3.
    assert steps.max() / steps.min() < 1.01


def test_the_map_stays_within_what_a_screen_can_show():
    colours = temperature_map()

    assert colours.shape == (STEPS, 3)
    assert colours.min() > 0.0
    assert colours.max() < 1.0


# A difference of 2.3 is just noticeable: M. Mahy, L. Van Eycken and A. Oosterlinck,
# "Evaluation of uniform color spaces developed after the adoption of CIELAB and CIELUV",
# Color Res. Appl. 19(2), 1994. Three times that is asked of nine steps of the map.
@pytest.mark.parametrize("eye", EYES)
def test_nine_temperatures_can_be_told_apart(eye):
    nine = seen(temperature_map()[np.linspace(0, STEPS - 1, 9).round().astype(int)], eye)

    assert min(np.linalg.norm(a - b) for a, b in combinations(nine, 2)) > 3 * 2.3


@pytest.mark.parametrize("eye", EYES)
def test_the_inks_of_curves_can_be_told_apart(eye):
    inks = seen(np.array([rgb_of(ink.colour) for ink in INKS]), eye)

    assert min(np.linalg.norm(a - b) for a, b in combinations(inks, 2)) > 10 * 2.3


def test_every_ink_stands_out_from_paper():
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.11: at least 3 to 1.
    luminance = linear(np.array([rgb_of(ink.colour) for ink in INKS])) @ XYZ_FROM_RGB[1]

    assert (1.05 / (luminance + 0.05)).min() >= 3.0


# B. Ottosson, "A perceptual color space for image processing", 2020: white has L = 1, a = b = 0.
# W3C, CSS Color Module Level 4: oklab(62.796% 0.22486 0.12585) is the red of sRGB.
@pytest.mark.parametrize(
    ("rgb", "lab"), [((1, 1, 1), (1, 0, 0)), ((0, 0, 0), (0, 0, 0)), ((1, 0, 0), (0.62796, 0.22486, 0.12585))]
)
def test_oklab_agrees_with_its_publication(rgb, lab):
    # The published values have five decimals.
    assert oklab(np.array([rgb], dtype=float))[0] == pytest.approx(lab, abs=2e-5)


def test_oklab_and_back_is_the_same_colour():
    colours = np.random.default_rng(7).uniform(size=(200, 3))

    # The published matrices have ten decimals.
    assert srgb(oklab(colours)) == pytest.approx(colours, abs=1e-8)


def test_beyond_the_range_the_end_colours_are_used():
    assert temperature_colour(-3.0) == temperature_colour(0.0) == hexadecimal(temperature_map()[0])
    assert temperature_colour(3.0) == temperature_colour(1.0)
    assert temperature_colour(0.0) != temperature_colour(1.0)


@pytest.mark.parametrize("share", np.linspace(0, 1, 11))
def test_text_on_any_temperature_can_be_read(share):
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: at least 4.5 to 1.
    colour = temperature_colour(float(share))
    ground, ink = (
        float(linear(np.array([rgb_of(one)]))[0] @ XYZ_FROM_RGB[1]) for one in (colour, ink_on(colour))
    )
    light, dark = max(ground, ink), min(ground, ink)

    assert (light + 0.05) / (dark + 0.05) >= 4.5
