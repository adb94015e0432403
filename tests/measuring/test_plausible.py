"""Readings in the wrong unit: told with the right one, for every kind of measurement; honest readings stay quiet."""

from pathlib import Path

import pytest

from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.solvers.errors import SolverError
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
    ("contact", "contact-rolling.csv", "pull_there_g", 1e-3, "was it read in kg?"),
    ("contact", "contact-radius.csv", "way_mm", 1e-3, "was it read in m?"),
    ("contact", "contact-slip.csv", "pull_g", 1e-3, "was it read in kg?"),
    ("contact", "contact-give.csv", "front_scale_g", 1e-3, "was it read in kg?"),
    ("damping", "damping-bounce.csv", "time_s", 1e3, "was it read in ms?"),
]


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


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


WEIGHED = [
    ("front_g", 1e-3, "was it read in kg?"),
    ("rear_g", 1 / 28.35, "was it read in ounces?"),
    ("angle_deg", 1 / 57.296, "was it read in rad?"),
]


@pytest.mark.parametrize(("column", "factor", "told"), WEIGHED)
def test_a_weighing_in_another_unit(tmp_path, column, factor, told):
    from noseload.studies.weighing.weigh import weigh

    path = tmp_path / "weighing.csv"
    path.write_text(rescaled("weighing.csv", column, factor), encoding="utf-8")
    try:
        said = "\n".join(weigh(path).warnings)
    except (ModelError, SolverError) as refused:
        said = str(refused)
    assert column in said and told in said
    assert not any("was it read" in w for w in weigh(demo_file("weighing.csv")).warnings)


@pytest.mark.parametrize(
    ("column", "factor", "told"),
    [("scale_g", 1e-3, "was it read in kg?"), ("grade_deg", 1 / 57.296, "was it read in rad?")],
)
def test_a_board_in_another_unit(tmp_path, demo, column, factor, told):
    from noseload.studies.climb.rigid import RigidClimb
    from noseload.studies.measuring.readings import compare_readings

    path = tmp_path / "board.csv"
    path.write_text(rescaled("board.csv", column, factor), encoding="utf-8")
    said = "\n".join(compare_readings(path, demo, climb=RigidClimb).warnings)
    assert column in said and told in said
    assert column != "scale_g" or "1.513 kg are 1513 g" in said
    honest = compare_readings(demo_file("board.csv"), demo, climb=RigidClimb).warnings
    assert not any("was it read" in warning for warning in honest)


def test_one_reading_of_the_board_in_another_unit(tmp_path, demo):
    """Once only a whole column in kilograms was told: a single row was called far off, and not why."""
    from noseload.studies.measuring.readings import compare_readings

    text = Path(demo_file("board.csv")).read_text(encoding="utf-8")
    row = next(k for k, line in enumerate(text.splitlines(), start=1) if line.startswith("front_load, 30, 957, up"))
    file = tmp_path / "board.csv"
    file.write_text(text.replace("front_load, 30, 957, up", "front_load, 30, 0.957, up"), encoding="utf-8")
    found = compare_readings(str(file), demo)
    said = [words for words in found.warnings if words.startswith(f"row {row}: ")]
    assert len(said) == 1 and "was 0.957 read in kg? 0.957 kg are 957 g" in said[0]
    assert not any("read in" in words for words in compare_readings(demo_file("board.csv"), demo).warnings)


def test_a_bench_in_another_unit(tmp_path, demo):
    from noseload import bench
    from noseload.studies.bench.readings import compare_bench_readings

    path, held = tmp_path / "bench.csv", bench(demo)
    path.write_text(rescaled("bench.csv", "lever_g", 1e-3), encoding="utf-8")
    assert any("lever_g" in w and "was it read in kg?" in w for w in compare_bench_readings(path, held).warnings)
    assert not compare_bench_readings(demo_file("bench.csv"), held).warnings


def test_the_vehicle_file_bounds_what_readings_can_be(tmp_path, demo):
    """40 mm of travel in cm is 4: a spring of another vehicle may be pressed so far, this one's is pressed 20 to 40 mm."""
    path = tmp_path / "spring.csv"
    rows = [f"{x / 10}, {90 + 20 * x}" for x in range(0, 45, 5)]
    path.write_text("compression_mm, scale_g\n" + "\n".join(rows) + "\n", encoding="utf-8")
    assert not any("compression_mm" in warning for warning in measure("spring", path).warnings)
    said = measure("spring", path, vehicle=demo).warnings
    assert any("compression_mm" in w and "this vehicle's file" in w and "was it read in cm?" in w for w in said)
    assert any("this vehicle's file has 0.4" in w for w in said)
    for what in WHAT:
        for name in measurement_kind(what).demo:
            assert not any("this vehicle's file" in w for w in measure(what, demo_file(name), vehicle=demo).warnings)


def test_a_wheelbase_in_centimetres_is_told_by_the_vehicle_file(demo):
    from noseload.studies.measuring.vehicle_bounds import vehicle_bounds

    assert vehicle_bounds(demo)["wheelbase_mm"] == pytest.approx((0.8 * 318.0, 1.25 * 318.0))
