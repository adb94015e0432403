"""Words in pictures stand beside what they name, touch neither each other nor a curve, and find room by themselves."""

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from noseload.demo import demo_vehicle
from noseload.pictures.label_places import LabelPlacer, Room
from noseload.pictures.punch.punch import draw_punch, plot_budget_over_time, plot_loads, plot_pitch_and_travel
from noseload.pictures.style import direct_labels, new_figure, spread
from noseload.studies.punch.punch import punch

TOUCH_PIXELS = 0.5
"""Boxes of words end where their letters' room ends; half a pixel is rounding."""


@cache
def run(grade_deg, duration_s=0.6):
    return punch(demo_vehicle(), grade_deg=grade_deg, duration_s=duration_s, outcome=False)


def boxes(ax):
    """Words and their boxes, pixels, as drawn."""
    ax.figure.draw_without_rendering()
    return [(text.get_text(), text.get_window_extent()) for text in ax.texts if text.get_visible() and text.get_text()]


def apart(one, other):
    return (
        one.x1 < other.x0 + TOUCH_PIXELS
        or other.x1 < one.x0 + TOUCH_PIXELS
        or one.y1 < other.y0 + TOUCH_PIXELS
        or other.y1 < one.y0 + TOUCH_PIXELS
    )


def crossed(box, ax, x, y):
    """True where a curve runs through a box."""
    px, py = ax.transData.transform(np.column_stack([x, y])).T
    fine = np.linspace(0, px.size - 1, 20 * px.size)
    px, py = np.interp(fine, np.arange(px.size), px), np.interp(fine, np.arange(py.size), py)
    return bool(((px > box.x0) & (px < box.x1) & (py > box.y0) & (py < box.y1)).any())


@pytest.mark.parametrize("grade_deg", [20.0, 45.0, -30.0])
def test_words_of_the_budget_touch_neither_each_other_nor_the_load(grade_deg):
    """Once 'longitudinal acceleration' lay over 'normal acceleration', and the load ran through 'standing'."""
    result = run(grade_deg)
    ax = plot_budget_over_time(result)
    found = boxes(ax)
    assert {"standing", "grade", "longitudinal acceleration"} <= {words for words, _ in found}
    for (name, one), (other_name, other) in combinations(found, 2):
        assert apart(one, other), f"{name} touches {other_name}"
    grams = result.front_load_n / 9.80665e-3  # standard gravity, ISO 80000-3
    for name, box in found:
        assert not crossed(box, ax, result.time_s, grams), f"the load runs through {name}"
        frame = ax.get_window_extent()
        assert frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1, name


@pytest.mark.parametrize(
    ("plot", "names"),
    [(plot_loads, {"front axle", "rear axle"}), (plot_pitch_and_travel, {"pitch", "rear shock", "front shock"})],
)
@pytest.mark.parametrize("grade_deg", [20.0, 45.0])
def test_no_curve_runs_through_its_name_or_another(plot, names, grade_deg):
    """Once the rear axle's curve struck out the words 'front axle'."""
    ax = plot(run(grade_deg))
    found = [(words, box) for words, box in boxes(ax) if words in names]
    assert {words for words, _ in found} == names
    curves = [(panel, line) for panel in ax.figure.axes for line in panel.lines if len(line.get_xdata()) > 10]
    for name, box in found:
        for panel, line in curves:
            assert not crossed(box, panel, line.get_xdata(), line.get_ydata()), f"a curve runs through {name}"


def test_events_are_named_above_the_axes_without_touching():
    ax = draw_punch(run(45.0)).axes[0]
    found = [(words, box) for words, box in boxes(ax) if words in ("front lifts", "front lands")]
    assert len(found) >= 1
    assert all(apart(one, other) for (_, one), (_, other) in combinations(found, 2))
    assert all(box.y0 >= ax.get_window_extent().y1 for _, box in found)


def test_a_part_too_thin_for_its_name_gets_a_line_to_it():
    _, (ax,) = new_figure(5.0, 3.0)
    x = np.linspace(0.0, 1.0, 200)
    ax.set_xlim(0.0, 1.0)
    ax.set_ylim(0.0, 1.0)
    placer = LabelPlacer(ax)
    placer.name_area(x, np.full(200, 0.3), np.full(200, 0.33), "thin")
    placer.name_area(x, np.full(200, 0.5), np.full(200, 0.9), "thick")
    placed = dict(boxes(ax))
    leaders = [line.get_xydata() for line in ax.lines if len(line.get_xdata()) == 2]
    assert len(leaders) == 1
    level = ax.transData.inverted().transform(leaders[0][0])[1]
    assert 0.3 < level < 0.33
    low, high = ax.transData.inverted().transform([(0, placed["thick"].y0), (0, placed["thick"].y1)])[:, 1]
    assert 0.5 < low < high < 0.9


def test_room_counts_what_a_box_would_cover():
    room = Room((0.0, 0.0, 100.0, 50.0), 1.0)
    room.add_box(10.0, 10.0, 9.0, 9.0)
    assert room.covered(10.0, 10.0, 10.0, 10.0) == 1.0
    assert room.covered(30.0, 10.0, 10.0, 10.0) == 0.0
    assert room.covered(15.0, 10.0, 10.0, 10.0) == pytest.approx(0.5)
    assert room.covered(95.0, 10.0, 10.0, 10.0) == 2.0
    room.add_curve(np.array([50.0, 60.0]), np.array([0.0, 50.0]))
    assert room.covered(54.0, 20.0, 4.0, 10.0) > 0.0


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ([0.2, 0.5], [0.2, 0.5]),
        ([0.5, 0.5], [0.45, 0.55]),
        ([0.0, 0.01, 0.5], [0.0, 0.1, 0.5]),
        ([0.98, 1.0], [0.9, 1.0]),
        ([0.4, 0.41, 0.52], [0.34333333333, 0.44333333333, 0.54333333333]),
    ],
)
def test_crowded_labels_are_spread_about_what_they_name(wanted, expected):
    assert spread(wanted, 0.1) == pytest.approx(expected)


def test_moved_labels_get_lines():
    _, (ax,) = new_figure(5.0, 3.0)
    ax.set_ylim(0.0, 1.0)
    direct_labels(ax, [(0.5, 0.2, "a", "k"), (0.5, 0.21, "b", "k")], gap=0.2)
    assert all(text.arrow_patch is not None for text in ax.texts)
    _, (calm,) = new_figure(5.0, 3.0)
    direct_labels(calm, [(0.5, 0.2, "a", "k"), (0.5, 0.8, "b", "k")], gap=0.2)
    assert all(text.arrow_patch is None for text in calm.texts)
