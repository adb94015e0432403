"""Readings in the wrong unit: told with the right one, for every kind of measurement; honest readings stay quiet."""

from pathlib import Path

import pytest

from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.studies.measuring.measurements import WHAT, measure, measurement_kind

SLIPS = [
    ("spring", "spring-rear.csv", "compression_mm", 0.1, "was it read in cm?"),
    ("tyre", "tyre.csv", "hub_height_mm", 0.1, "was it read in cm?"),
    ("tyre", "tyre.csv", "hub_height_mm", 1 / 25.4, "was it read in inches?"),
    ("damping", "damping-rear.csv", "weight_g", 1e-3, "was it read in kg?"),
    ("inertia", "inertia-bifilar.csv", "time_s", 1 / 20, "that of one swing? Write swings = 1, or the time of all 20"),
    ("inertia", "inertia-pivot.csv", "time_s", 1e3, "was it read in ms?"),
    ("motor", "motor.csv", "wheel_angle_deg", 1 / 360, "was it read in turns?"),
    ("grip", "grip.csv", "peak_pull_g", 1e-3, "was it read in kg?"),
]


def demo_file(name):
    return Path(DEMO).parent / "readings" / name


def rescaled(name, column, factor):
    """A demo file with one column times a factor."""
    lines, out, place = demo_file(name).read_text(encoding="utf-8").splitlines(), [], None
    for line in lines:
        cells = [cell.strip() for cell in line.split(",")]
        if place is None and not line.startswith("#") and column in cells:
            place = cells.index(column)
        elif place is not None and not line.startswith("#") and cells[place]:
            cells[place] = repr(float(cells[place]) * factor)
        out.append(", ".join(cells) if place is not None and not line.startswith("#") else line)
    assert place is not None
    return "\n".join(out) + "\n"


@pytest.mark.parametrize(("what", "name", "column", "factor", "told"), SLIPS)
def test_a_slip_of_the_unit_is_told_with_the_right_reading(tmp_path, what, name, column, factor, told):
    path = tmp_path / name
    path.write_text(rescaled(name, column, factor), encoding="utf-8")
    try:
        said = "\n".join(measure(what, path).warnings)
    except ModelError as refused:
        said = str(refused)
    assert column in said and told in said


@pytest.mark.parametrize("what", WHAT)
def test_honest_readings_stay_quiet(what):
    for name in measurement_kind(what).demo:
        assert not any(
            "was it read" in w or "far from" in w or "comes out as" in w
            for w in measure(what, demo_file(name)).warnings
        )
