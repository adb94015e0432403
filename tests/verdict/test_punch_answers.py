"""Punches side by side: flips are no times in the air, limits have a sentence and common grades, level A is refused in words."""

import re

import numpy as np
import pytest

from noseload import sweep
from noseload.__main__ import main
from noseload.demo import demo_vehicle
from noseload.studies.compare.compare import compare
from noseload.studies.compare.punch import compare_punch
from noseload.studies.punch.largest_throttle import largest_throttle
from noseload.studies.punch.limits import PunchLimits
from noseload.studies.punch.map import PunchMap
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.punch_limits import limit_answers
from vehicle_text import LEVEL_A

STAYS, LIFTS, FLIPS = "stays_loaded", "lifts_and_returns", "flips_back"


def a_map(outcomes, airborne, loads):
    """A map of one grade and four rises from what its punches came to."""
    return PunchMap(
        ("base", "raised"),
        np.array([40.0]),
        np.array([0.01, 0.02, 0.05, 0.1]),
        1.0,
        np.full((1, 4), "ok", dtype=object),
        np.array(outcomes, dtype=object).reshape(2, 1, 4),
        np.array(loads, dtype=float).reshape(2, 1, 4),
        np.array(airborne, dtype=float).reshape(2, 1, 4),
        np.zeros((2, 1)),
        15.0,
        Thresholds(),
    )


def test_a_flip_is_no_shorter_time_in_the_air():
    """A setup that lay on its roof 160 ms sooner was blue: less time in the air. Now who flips is told apart."""
    found = a_map(
        [[LIFTS, FLIPS, LIFTS, FLIPS], [LIFTS, LIFTS, FLIPS, FLIPS]],
        [[0.1, 0.9, 0.4, 0.9], [0.2, 0.3, 0.24, 0.74]],
        [[0.0] * 4, [0.0] * 4],
    )
    assert found.flip_words.ravel().tolist() == ["neither", "first", "second", "both"]
    assert found.airborne_difference_s.ravel() == pytest.approx([0.1, np.nan, np.nan, np.nan], nan_ok=True)
    assert [row["flips"] for row in found.rows()] == ["neither", "first", "second", "both"]
    assert found.rows()[2]["second_outcome"] == FLIPS
    assert found.noticed_from()[0] == 0.05, "one alone flips: nobody overlooks that"


def test_the_picture_of_a_map_shows_flips():
    from noseload.pictures.punch.map import draw_punch_map

    one = a_map([[LIFTS] * 4, [LIFTS, LIFTS, LIFTS, FLIPS]], np.zeros((2, 4)), np.ones((2, 4)))
    assert "red bars: only raised flips" in draw_punch_map(one)._suptitle.get_text()
    both = a_map([[FLIPS] * 4, [FLIPS] * 4], np.zeros((2, 4)), np.ones((2, 4)))
    words = [text.get_text() for ax in draw_punch_map(both).axes for text in ax.texts]
    assert words.count("both flip") == 2


def limits_of(name, down, flips, tip=60.0):
    """Limits with these two grades, as a scan would find them."""
    grades, outcomes = [-45.0, 0.0], [STAYS, STAYS if down else LIFTS]
    for grade, below, above in ((down, STAYS, LIFTS), (flips, LIFTS, FLIPS)):
        if grade:
            grades += [grade - 0.025, grade + 0.025]
            outcomes += [below, above]
    return PunchLimits(name, 1.0, 0.05, tip, (*grades, tip - 1e-3), (*outcomes, outcomes[-1]), ())


def test_limits_have_a_verdict():
    """Two columns of grades left the reader to subtract; the demo's numbers: 23.77 to 24.98 deg, the flip 0.24 deg earlier."""
    own, other = limit_answers([limits_of("base", 23.77, 47.12), limits_of("raised_mount", 24.98, 46.88)])
    assert own == "base: from the level on, a punch lifts no axle up to 23.8 deg; it flips from 47.1 deg on."
    assert other == (
        "raised mount, calculated: It lifts no axle up to 25.0 deg, 1.2 deg later: noticeable. "
        "It flips from 46.9 deg on, 0.2 deg earlier: too small to be measured."
    )
    own, other = limit_answers([limits_of("base", None, 50.0), limits_of("other", 10.0, None)])
    assert "lifts an axle even on the level; it flips from 50.0 deg on" in own
    assert "It lifts no axle up to 10.0 deg. It never flips." in other
    steep = PunchLimits("steep", 1.0, 0.05, 60.0, (50.0, 59.999), ("flips_back", "flips_back"), ())
    assert limit_answers([steep]) == [
        "steep: a punch lifts an axle already at 50 deg, the flattest tried; it flips from 50.0 deg on."
    ]


@pytest.mark.slow
def test_throttles_are_told_at_common_grades():
    vehicles = [demo_vehicle(), demo_vehicle(setup="raised_rear_upper_mount")]
    first, second = largest_throttle(vehicles, refined=0.2, duration_s=0.2)
    lowest = min(sweep(vehicle).limits.tip_over_grade_deg for vehicle in vehicles)
    assert first.grades_deg == second.grades_deg and max(first.grades_deg) == pytest.approx(lowest - 1.0, abs=0.01)


@pytest.mark.parametrize("command", ["limits", "map"])
def test_level_a_is_refused_in_words(command, tmp_path, capsys):
    """Both ended in a traceback: the batch looked for springs that are not there."""
    file = tmp_path / "a.toml"
    file.write_text(LEVEL_A + '\n[setups.nose]\n"weighed.front_g" = 1600\n')
    assert main([command, str(file)]) == 2
    assert "has no links (level A)" in capsys.readouterr().err


@pytest.mark.slow
def test_a_flip_is_not_compared_by_its_time_in_the_air():
    compared = compare([demo_vehicle(), demo_vehicle(setup="raised_rear_upper_mount")])
    both = compare_punch(compared, grade_deg=50.0, draws=10).differences[0].punch_verdict
    assert "both flip over" in both and "time in the air by" not in both
    one = compare_punch(compared, grade_deg=47.0, draws=10).differences[0]
    assert one.outcomes == (LIFTS, FLIPS)
    assert re.search(r"raised_rear_upper_mount flips over, base does not", one.punch_verdict)
