"""Unit conversions used at the edges; inside everything is SI and radians."""

from __future__ import annotations

from math import pi
from typing import Any

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity, m/s2 (exact; 3rd CGPM 1901, ISO 80000-3)."""

MILLIMETRE = 1e-3
GRAM = 1e-3
DEGREE = pi / 180.0
NEWTON_PER_MILLIMETRE = 1e3
NEWTON_MILLIMETRE = 1e-3
KILOGRAM_SQUARE_MILLIMETRE = 1e-6


def force_of_grams(reading_g: Any) -> Any:
    """Newtons on a kitchen scale that reads `reading_g` grams."""
    return reading_g * (STANDARD_GRAVITY * GRAM)


def grams_of_force(force_n: Any) -> Any:
    """Reading in grams of a kitchen scale that carries `force_n` newtons."""
    return force_n / (STANDARD_GRAVITY * GRAM)
