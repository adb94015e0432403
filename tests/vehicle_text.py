"""Vehicle files as text for the tests: read, changed by a line, and their faults caught."""

from pathlib import Path

import pytest

from noseload.model import load_vehicle
from noseload.model.errors import VehicleFileError

DATA = Path(__file__).parent / "data"
CHECK = DATA / "check.toml"
ROUND_OFF = 1e-12
"""Relative: a handful of products and sums in double precision."""

LEVEL_A = """
wheelbase_mm = 300
[weighed]
rear_g = 1200
front_g = 1500
centre_of_gravity_height_mm = 80
[tyre]
loaded_radius_mm = 55
"""


def near(value):
    return pytest.approx(value, rel=ROUND_OFF, abs=1e-15)


def read(text, **options):
    return load_vehicle("test.toml", text=text, **options)


def faults_of(text, **options):
    with pytest.raises(VehicleFileError, match=r"^test\.toml: \d+ faults? in this vehicle file:") as caught:
        read(text, **options)
    return caught.value.faults


def changed(old, new, text=None):
    text = CHECK.read_text() if text is None else text
    assert old in text
    return text.replace(old, new, 1)
