"""Pictures of modes, maps and limits show the numbers of their results."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from matplotlib.collections import LineCollection
from matplotlib.text import Text

from noseload.demo import demo_vehicle
from noseload.model.crawl.geometry import solved_pose
from noseload.pictures.climb.modes import SHOWN_SHARE, draw_modes
from noseload.pictures.climb.summary import plot_outcomes
from noseload.pictures.levers.survey import plot_distribution
from noseload.pictures.punch.map import plot_airborne_map, plot_load_map
from noseload.pictures.punch.punch_film import punch_frames
from noseload.pictures.style import measurable_band, new_figure
from noseload.studies.climb.modes import creep_modes, standing_modes
from noseload.studies.punch.limits import OutcomeChange, PunchLimits
from noseload.studies.punch.map import PunchMap
from noseload.studies.punch.punch import punch
from noseload.studies.thresholds import Thresholds

ROUNDING = 1e-9


def test_modes_are_drawn_as_the_vehicle_moves():
    vehicle = demo_vehicle()
    crawl, _ = creep_modes(vehicle, grade_deg=40.0)
    found = [standing_modes(vehicle), crawl]
    swings = [[mode for mode in modes.modes if mode.frequency_hz > 0.0] for modes in found]
    figure = draw_modes(found)
    shown = [ax for ax in figure.axes if ax.patches]
    assert len(shown) == sum(map(len, swings)) == 6
    for ax, mode in zip(shown, (mode for row in swings for mode in row), strict=True):
        assert f"{mode.frequency_hz:.2f} Hz" in ax.texts[0].get_text() and ax.get_aspect() == 1.0
        wheels = [np.array(patch.center) for patch in ax.patches if getattr(patch, "radius", 0.0) > 20.0]
        # Dashed rear and front, then solid rear and front; across the slope, apart as the shape says at one moment.
        rear, front = (np.linalg.norm(wheels[k + 2] - wheels[k]) for k in (0, 1))
        assert max(rear, front) < 2.0 * SHOWN_SHARE * 1.2e3 * vehicle.wheelbase
        if mode.name == "bounce":
            assert min(rear, front) > 0.2 * max(rear, front), "both wheels move"


def small_map(change_g, airborne_ms):
    """A made-up map whose numbers are given: shows drawing only."""
    shape = change_g.shape
    newtons = change_g * 9.80665e-3  # standard gravity, ISO 80000-3
    loads = np.stack([np.full(shape, 5.0), 5.0 + newtons])
    airborne = np.stack([np.zeros(shape), 1e-3 * airborne_ms])
    status = np.full(shape, "ok", dtype=object)
    status[~np.isfinite(change_g)] = "start_not_held"
    grades, rises = np.linspace(0.0, 40.0, shape[0]), np.geomspace(0.01, 1.0, shape[1])
    steady, outcomes = np.zeros((2, shape[0])), np.full((2, *shape), "stays_loaded", dtype=object)
    return PunchMap(
        ("base", "raised"), grades, rises, 1.0, status, outcomes, loads, airborne, steady, 15.0, Thresholds()
    )


def outlined(ax, index):
    """Number of cell edges of the outline of gains (0) or losses (1)."""
    lines = [c for c in ax.collections if isinstance(c, LineCollection)]
    return len(lines[index].get_segments())


def test_the_outline_of_a_map_runs_around_what_would_be_noticed():
    change = np.zeros((5, 5))
    change[1, 1], change[3, 3] = 40.0, -40.0
    change[1, 3] = 29.0  # the line lies at 2 % of 15 N, 30.6 g
    ax = plot_load_map(small_map(change, np.zeros((5, 5))))
    assert (outlined(ax, 0), outlined(ax, 1)) == (4, 4)
    assert "31 g or more" in ax.get_title(loc="left")
    calm = plot_load_map(small_map(0.5 * change, np.zeros((5, 5))))
    assert (outlined(calm, 0), outlined(calm, 1)) == (0, 0) and "nowhere" in calm.get_title(loc="left")
    flown = plot_airborne_map(small_map(change, np.where(change > 30.0, 150.0, 0.0)))
    assert (outlined(flown, 0), outlined(flown, 1)) == (4, 0) and "100 ms or more" in flown.get_title(loc="left")


def test_signs_tell_gain_from_loss_in_grey():
    change = np.zeros((5, 5))
    change[1, 1], change[3, 3] = 40.0, -40.0
    result = small_map(change, np.zeros((5, 5)))
    ax = plot_load_map(result)
    plus, minus = [
        c.get_offsets() for c in ax.collections if c.get_offsets().shape == (1, 2) and len(c.get_paths()) == 1
    ][:2]
    assert np.asarray(plus)[0] == pytest.approx([1e3 * result.rise_s[1], result.grade_deg[1]], rel=ROUNDING)
    assert np.asarray(minus)[0] == pytest.approx([1e3 * result.rise_s[3], result.grade_deg[3]], rel=ROUNDING)


def test_cells_without_a_start_are_named():
    change = np.full((5, 5), 10.0)
    change[4] = np.nan
    ax = plot_load_map(small_map(change, np.zeros((5, 5))))
    assert "cannot start" in {text.get_text() for text in ax.texts}


def test_names_of_narrow_stretches_do_not_touch():
    changes = [
        (-44.0, "flips_forward"),
        (-40.0, "lifts_and_returns"),
        (-39.0, "stays_loaded"),
        (47.0, "flips_back"),
        (48.0, "lifts_and_returns"),
        (49.0, "airborne_at_end"),
        (52.0, "flips_back"),
        (60.0, "start_not_held"),
    ]
    crowded = PunchLimits(
        "crowded",
        1.0,
        0.05,
        61.0,
        (-45.0, 61.0),
        ("slides_back", "start_not_held"),
        tuple(OutcomeChange(grade, 0.05, "below", above) for grade, above in changes),
    )
    ax = plot_outcomes(crowded)
    ax.figure.draw_without_rendering()
    words = [text.get_text().split("\n")[0] for text in ax.texts]
    assert len(words) == len(changes) + 1
    for row in ([text for text in ax.texts if text.get_va() == side] for side in ("bottom", "top")):
        assert len(row) >= 4
        # Their words alone: the box of an annotation with a line would hold the line too.
        boxes = [Text.get_window_extent(text) for text in row]
        assert all(one.x1 <= other.x0 + 0.5 for one, other in pairwise(boxes)), [(box.x0, box.x1) for box in boxes]


def test_a_band_lies_behind_an_axis_and_makes_it_no_narrower():
    """A change of a hundredth of what can be measured does not fill the axis."""
    for vertical, both in ((True, True), (False, True), (False, False)):
        _, (ax,) = new_figure(3.0, 2.0)
        ax.plot([0.0, 0.01], [50.0, 50.01])
        measurable_band(ax, 50.0 if vertical else 0.0, 0.6, vertical=vertical, both=both)
        low, high = ax.get_ylim() if vertical else ax.get_xlim()
        centre = 50.0 if vertical else 0.0
        assert high >= centre + 0.6 and (low <= centre - 0.6 or not both)
        assert len(ax.patches) == 1


def test_a_distribution_says_what_lies_beyond_its_axis():
    values = np.concatenate([np.linspace(-0.5, 0.5, 997), [40.0, 50.0, -60.0]])
    ax = plot_distribution(values, measured=0.6, noticed=1.0, unit="deg")
    words = [text.get_text() for text in ax.texts]
    assert "2 further out, to +50 deg" in words and "1 further out, to -60 deg" in words


def test_a_filmstrip_shows_the_greatest_air_gap_and_no_moment_twice():
    """Once two frames were the same picture, and the height of the front axle in the air was to be guessed."""
    result = punch(demo_vehicle(), grade_deg=35.0, duration_s=0.5, outcome=False)
    frames = punch_frames(result)
    gap = next(frame for frame in frames if "greatest air gap" in frame.words)
    told = float(gap.words.split("greatest air gap, ")[1].split(" mm")[0])
    heights = []
    for k in np.flatnonzero(result.front_load_n <= 0.0):
        pose = solved_pose(result.standing.values, result.states[:9, k])
        heights.append(1e3 * (pose.points["front_wheel_centre"][1] - pose.radii["front"]))
    assert told == pytest.approx(max(heights), abs=0.51) and told > 1.0
    for one, other in combinations(frames, 2):
        assert np.abs(one.coordinates - other.coordinates).max() > 2e-3, (one.words, other.words)
