"""Anti-squat's promise: geometry tied to the simulation by creep and by a gentle push of the throttle."""

from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.studies.links.candidates import as_built, point_of, with_lines
from noseload.studies.links.promise import KEY, promise

FIGURE_PERCENT = 2.0
"""The figure belongs to the pose with pitch, the travel to a large motion: their 100 % differ by the pitch, a few hundredths."""
CHECK = Path(__file__).parents[1] / "data" / "check.toml"


@pytest.mark.parametrize(("drive", "level"), [("rear", True), ("both", False)])
def test_travel_passes_zero_at_full_anti_squat_as_driven_and_pitch_does_not(drive, level):
    """Gillespie 1992, ch. 7 (memory): at 100 % the rear springs carry no transfer; the front still rises (Barton and
    Fieldhouse 2018, section 3.11: no pitch needs 1 + Kr/Kf)."""
    vehicle = load_vehicle(Path(__file__).parents[2] / "scenarios" / "demo" / "demo.toml", drive=drive)
    result = promise(vehicle, positions=5, level=level)
    zero = result.travel_zero
    assert zero.rear_travel_by_drive_mm == pytest.approx(0.0, abs=1e-4)
    assert zero.anti_squat_as_driven_percent == pytest.approx(100.0, abs=FIGURE_PERCENT)
    assert abs(zero.anti_squat_textbook_percent - 100.0) > 5 * FIGURE_PERCENT
    assert zero.pitch_by_drive_deg > 1.0
    assert result.figure_full.anti_squat_as_driven_percent == pytest.approx(100.0, abs=1e-3)
    travel, figure = result.column("rear_travel_by_drive_mm"), result.column("anti_squat_as_driven_percent")
    assert (np.diff(travel) < 0.0).all() and (np.diff(figure) < 0.0).all()
    if level:
        soft = result.level_travel_zero
        assert soft.level_as_driven_percent == pytest.approx(100.0, abs=FIGURE_PERCENT)
        assert soft.level_pitch_deg > 0.1
    else:
        assert result.level_travel_zero is None and not np.isfinite(result.column("level_pitch_deg")).any()
    assert "drive leaves the rear shock alone" in result.sentences[0]


def test_front_drive_has_no_anti_squat_to_promise():
    """No traction at the rear: the figure is that of the axle's own weight and the rear always sinks; said in a sentence."""
    result = promise(load_vehicle(CHECK, drive="front"), positions=3, level=False)
    assert result.travel_zero is None and result.figure_full is None
    assert "same side in every position" in result.sentences[0]


def test_a_grade_and_a_row_are_needed():
    """Options that make no sense are named with their number."""
    vehicle = load_vehicle(CHECK)
    with pytest.raises(ModelError, match="uphill grade"):
        promise(vehicle, grade_deg=0.0)
    with pytest.raises(ModelError, match="3 or more"):
        promise(vehicle, positions=2)


@pytest.mark.slow
def test_command_with_picture(capsys, tmp_path):
    """`links --promise` from the command line; two vehicles are refused."""
    files = [str(tmp_path / name) for name in ("rows.csv", "p.svg")]
    arguments = ["links", "--promise", "--positions", "3", "--grade", "25", "--drive", "rear"]
    assert main([*arguments, "--csv", files[0], "--plot", files[1]]) == 0
    assert "gentle" not in capsys.readouterr().err
    assert Path(files[0]).read_text().startswith("height_mm,")
    assert Path(files[1]).read_text().startswith("<?xml")
    assert main(["links", str(CHECK), str(CHECK), "--promise"]) == 2


def test_candidates_are_set_ups_or_built_so():
    """A setup's own lines stay below new ones; built so, the changed vehicle is a base standing as measured."""
    demo = Path(__file__).parents[2] / "scenarios" / "demo" / "demo.toml"
    raised = load_vehicle(demo, setup="raised_and_reset")
    moved = with_lines(raised, {KEY: [100.0, 80.0]})
    assert point_of(moved, KEY) == pytest.approx((100.0, 80.0))
    assert point_of(moved, "rear.upper_link.axle_end_mm") == pytest.approx((8.0, 99.0))
    assert (moved.link_lengths, moved.ride_height) == ("fitted", "reset")
    assert with_lines(raised, {}, link_lengths="kept").link_lengths == "kept"
    built = as_built(raised, {KEY: [100.0, 80.0]})
    assert built.base is None and point_of(built, "rear.upper_link.axle_end_mm") == pytest.approx((8.0, 99.0))
