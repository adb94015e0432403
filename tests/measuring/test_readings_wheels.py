"""Four scales and the first lift on the board: which of both ways the wheels are held is the file's to say."""

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.csv_input import ReadingsFileError
from noseload.model.errors import ModelError
from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.studies.bench.board import held_vehicle
from noseload.studies.measuring.fitted_quantities import quantity
from noseload.studies.measuring.readings import compare_readings
from noseload.studies.measuring.readings_wheels import FIRST_LIFT, WHEEL_LOADS, ClimbOnWheels
from noseload.studies.wheels.climbs import first_lifts, wheel_climb
from reference_vehicle import reference_vehicle

GRADES = (10.0, 30.0, 45.0)


def scales(path, held_by, *, shafts, lift=None, setting=True):
    """Readings of four scales at three grades to the gram, made with or without the torque of the shafts."""
    climb = wheel_climb(reference_vehicle(), shafts=shafts)
    lines = [f"# wheels_held_by = {held_by}"] if setting else []
    lines.append("kind, grade_deg, scale_g")
    for grade in GRADES:
        row = climb.row(grade)
        lines += [
            f"{kind}, {grade:g}, {getattr(row, kind + '_n') / (GRAM * STANDARD_GRAVITY):.0f}" for kind in WHEEL_LOADS
        ]
    if lift is not None:
        lines.append(f"{FIRST_LIFT}, {lift}, ")
    path.write_text("\n".join(lines) + "\n")
    return path


@pytest.mark.parametrize(("held_by", "shafts", "lift"), [("motor", True, 51.3), ("axle", False, 61.4)])
def test_readings_are_those_of_the_way_the_wheels_are_held(tmp_path, held_by, shafts, lift):
    result = compare_readings(scales(tmp_path / "a.csv", held_by, shafts=shafts, lift=lift), reference_vehicle())
    assert result.status == "explained" and len(result.kinds) == 13
    loads = np.array(result.kinds) != FIRST_LIFT
    assert result.predicted[loads] == pytest.approx(result.observed[loads], abs=0.6 * GRAM * STANDARD_GRAVITY)
    assert result.predicted[~loads] == pytest.approx([lift], abs=0.1)
    assert result.to_dict()["rows"][-1]["unit"] == "deg" and result.to_dict()["rows"][0]["unit"] == "n"


def test_a_twist_is_not_explained_by_wheels_tied_to_their_axles(tmp_path):
    """Common practice, no source: only a torque that goes through the shafts twists; 112 g a wheel at 45 deg here."""
    result = compare_readings(scales(tmp_path / "a.csv", "axle", shafts=True), reference_vehicle())
    assert result.status == "not_explained"
    assert any("say nothing of shafts and axle ratios" in sentence for sentence in result.verdict)
    tied = compare_readings(scales(tmp_path / "b.csv", "motor", shafts=False), reference_vehicle())
    assert tied.status == "not_explained" and any("not settled by statics" in said for said in tied.verdict)


def test_the_sharing_of_the_pull_is_in_the_error():
    """Of a range, all places alike, the deviation is its width over the root of twelve (JCGM 100:2008, 4.3.7)."""
    climb = ClimbOnWheels(None, reference_vehicle(), "motor")
    lifts = first_lifts(reference_vehicle())[1]
    assert climb.spread(FIRST_LIFT, 50.0) == pytest.approx((max(lifts) - min(lifts)) / np.sqrt(12.0), abs=1e-6)
    assert ClimbOnWheels(None, reference_vehicle(), "axle").spread("front_left_load", 30.0) == 0.0
    row = [path.row(40.0).front_left_load_n for path in climb.paths]
    assert climb.spread("front_left_load", 40.0) == pytest.approx((max(row) - min(row)) / np.sqrt(12.0))


def test_locked_wheels_leave_open_how_the_axles_share_the_pull():
    """From the rear wheels alone to the front wheels alone: some 40 g to either side of a front wheel pair at 45 deg, half of it a wheel."""
    alone = [held_vehicle(reference_vehicle(), end) for end in ("rear", "front")]
    climb = ClimbOnWheels(None, reference_vehicle(), "axle", alone)
    rear, front = (path.row(45.0).front_left_load_n for path in climb.paths[1:])
    assert rear < climb.reading("front_left_load", 45.0) < front
    assert climb.spread("front_left_load", 45.0) == pytest.approx((front - rear) / np.sqrt(12.0))
    assert 30.0 < (front - rear) / (GRAM * STANDARD_GRAVITY) < 60.0


@pytest.mark.slow
def test_a_fit_finds_the_height_from_four_scales(tmp_path):
    path = scales(tmp_path / "a.csv", "axle", shafts=False)
    result = compare_readings(path, reference_vehicle(), fit=["cg_height"])
    (height,) = result.estimates
    assert height.value == pytest.approx(quantity("cg_height").read(reference_vehicle()), abs=1.0)


def test_faults_come_at_once(tmp_path, capsys):
    path = scales(tmp_path / "a.csv", "", shafts=True, setting=False)
    path.write_text(path.read_text() + f"{FIRST_LIFT}, -50,\nfront_left_load, 20,\n")
    with pytest.raises(ReadingsFileError) as caught:
        compare_readings(path, reference_vehicle())
    said = str(caught.value)
    assert (
        "write axle (a spoke tied to its own axle" in said
        and "a first wheel lift with the nose up has a positive grade" in said
    )
    assert "column scale_g: empty" in said
    steep = tmp_path / "b.csv"
    steep.write_text("# wheels_held_by = axle\nkind, grade_deg, scale_g\nfront_left_load, 80, 10\n")
    with pytest.raises(ModelError, match="front_left_load at 80 deg cannot be calculated"):
        compare_readings(steep, reference_vehicle())
    assert (
        main(
            [
                "readings",
                str(scales(tmp_path / "c.csv", "motor", shafts=True, lift=51.0)),
                "--plot",
                str(tmp_path / "c.png"),
            ]
        )
        == 0
    )
    out = capsys.readouterr().out
    assert "front_left_load" in out.replace(" ", "_") and "is in its error" in out
