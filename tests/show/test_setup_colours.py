"""Colours of setups by numbers: told apart with and without red and green, seen on white, different from the base's ink.

Colour blindness: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Transactions on Visualization and Computer
Graphics 15 (2009), matrices of severity 1.0 (memory). Distance: CIE 1976 L*a*b*, ISO/CIE 11664-4, white D65.
"""

from itertools import combinations

import numpy as np
import pytest

from noseload.pages.colours import contrast, linear
from noseload.pictures.style import AXLE_INKS, FAINT, SETUP_LOOKS, look

SIGHT = {
    "all colours": np.eye(3),
    "no green": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "no red": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
}
TO_XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
"""Linear sRGB, IEC 61966-2-1."""
APART = 25.0
"""Two colours 10 apart are seen as different side by side; thin lines far from each other need more (our choice)."""
LEAST_LINE_CONTRAST = 3.0
"""W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.11."""


def lab(colour, sight):
    x = TO_XYZ @ np.clip(SIGHT[sight] @ np.array(linear(colour)), 0.0, 1.0) / TO_XYZ.sum(axis=1)
    f = np.where(x > 216 / 24389, np.cbrt(x), (24389 / 27 * x + 16) / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("sight", SIGHT)
def test_setups_are_told_apart_by_colour(sight):
    """Once the third and the sixth were 5 apart without green."""
    colours = [look(k)[0] for k in range(len(SETUP_LOOKS))]
    assert len(colours) >= 7
    least = min((float(np.linalg.norm(lab(a, sight) - lab(b, sight))), a, b) for a, b in combinations(colours, 2))
    assert least[0] >= APART, least


def test_lines_and_numbers_are_seen_on_paper():
    for colour in (*(colour for colour, _ in SETUP_LOOKS), *AXLE_INKS.values(), FAINT):
        assert contrast(colour, "#ffffff") >= LEAST_LINE_CONTRAST, colour


def test_axles_have_no_setup_s_colour_and_are_told_apart():
    rear, front = (AXLE_INKS[end] for end in ("rear", "front"))
    assert all(np.linalg.norm(lab(rear, sight) - lab(front, sight)) >= APART for sight in SIGHT)
    for ink in (rear, front):
        assert (
            min(np.linalg.norm(lab(ink, "all colours") - lab(c, "all colours")) for c, _ in SETUP_LOOKS) >= 0.5 * APART
        )
