"""One square picture of what a setup changes, made to be read on a phone: 1080 by 1080 pixels."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon

from noseload.documents import letter, outcome_words
from noseload.model.crawl import budget_parts
from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS, axle_of, wheel_height
from noseload.pictures.climb.loads import plot_front_load
from noseload.pictures.side_view import Slope, draw_ground, plot_vehicle
from noseload.pictures.style import FAINT, INK, as_grams, house_look, look, save_figure
from noseload.plain import cut, typeset
from noseload.studies.climb.standing import coordinates_of
from noseload.version import VERSION

from .four_wheels import SIZE, draw_four_wheels

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.text import Text

    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.rigid import RigidClimb
    from noseload.studies.compare.compare import Comparison
    from noseload.studies.show.post import Measured, Post


PIXELS = 1080
DPI = 100
SMALL, MIDDLE, LARGE = (72.0 * pixels / DPI for pixels in (24, 28, 46))
"""Sizes of text, points: 24 pixels are the least that a phone shows readably."""
STEEP_DEG = 35.0
"""From here on the corner below the slope is large enough for the loads; on lesser grades they stand in a row, unless the
four wheels take a column beside the drawing."""
MANY = 3
"""So many setups have their front load and their tip-over in one row each."""
FIRST_NAME, NAME_STEP, BOLD, LONGEST = 116, 34, 60, 72
"""Pixels to the row of the first name and between rows; letters of a name that fit a row in bold, and in plain letters."""
COLUMN, LOWEST_LOAD, LOAD_STEP, CLOSE_STEP = 396, 508, 62, 44
"""Pixels to the column beside a narrow or steep drawing, down to its last front load, and from one to the next, of three too."""
NOTICED_BAND, MEASURABLE_BAND = "#e9edf0", "#cbd3d9"
CREEP_BAR, PUNCH_BAR = "#9fb0bd", "#22303c"


@house_look
def draw_post(post: Post) -> Figure:
    """The picture.

    Parameters
    ----------
    post : Post

    Returns
    -------
    Figure
        Of `PIXELS` by `PIXELS` at `DPI`.
    """
    figure = Figure(figsize=(PIXELS / DPI, PIXELS / DPI))
    FigureCanvasAgg(figure)
    top = _title(figure, post)
    four = post.four is not None
    corner = four or post.comparison.grade_deg >= STEEP_DEG
    _vehicles(_axes(figure, 20, top, COLUMN - 30 if four else 660, (600 if corner else 516) - top), post)
    _loads(figure, post.comparison, corner, top, SIZE[1] if four else 0)
    _budget(_axes(figure, 716, top, 340, 604 - top), post)
    curves = _axes(figure, 122, 646, 928, 170)
    strip = _axes(figure, 122, 862, 928, 104)
    _curves(curves, post)
    _strip(strip, post, curves.get_xlim())
    if post.four is not None:
        below = top + 10 + (32 * len(post.comparison.members) if len(post.comparison.members) < MANY else 0)
        draw_four_wheels(_axes(figure, COLUMN, below, *SIZE), post.four, SMALL)
    _footer(figure, post)
    return figure


@house_look
def plot_post(post: Post, ax: Axes | None = None) -> Axes:
    """Front load over grade of every setup with what was measured, bars of two standard errors; returns the axes."""
    ax = plot_front_load([member.sweep for member in post.comparison.members], ax)
    for measured in post.measured:
        _points(ax, post, measured, as_grams(measured.front_load_n))
    return ax


def save_post(post: Post, path: str) -> None:
    """Draw and write the picture with its text inside the file (PNG, SVG or PDF by suffix)."""
    save_figure(draw_post(post), path, description=post.text(), dpi=DPI)


def _axes(figure: Figure, x: float, y: float, width: float, height: float) -> Axes:
    """Axes at pixels from the upper left corner."""
    return figure.add_axes((x / PIXELS, 1.0 - (y + height) / PIXELS, width / PIXELS, height / PIXELS))


def _say(figure: Any, x: float, y: float, text: str, size: float = SMALL, **style: Any) -> Text:
    """Text at pixels from the upper left corner."""
    return figure.text(x / PIXELS, 1.0 - y / PIXELS, text, fontsize=size, va="top", **style)


def _title(figure: Figure, post: Post) -> int:
    """What was found, and a row for each setup; returns the pixel where the next begins."""
    grade = post.comparison.grade_deg
    size = LARGE if len(post.comparison.differences) == 1 else 0.76 * LARGE
    _say(figure, 28, 18, post.headline(), size, fontweight="bold")
    _say(figure, 28, 78, f"crawl at {grade:g}\u00b0{_size_words(post)}")
    for k, member in enumerate(post.comparison.members):
        colour, dash = look(k)
        y = FIRST_NAME + NAME_STEP * k
        line = [1.0 - (y + 13) / PIXELS] * 2
        figure.add_artist(_line([28 / PIXELS, 92 / PIXELS], line, colour, dash))
        badge = _say(figure, 116, y, letter(k), color=colour, fontweight="bold", ha="center")
        badge.set_bbox({"boxstyle": "round,pad=0.12", "fc": "white", "ec": colour, "lw": 1.6})
        words = cut(shown_name(member.name), LONGEST)
        _say(figure, 140, y, words, color=colour, fontweight="bold" if len(words) <= BOLD else "normal")
    return FIRST_NAME + NAME_STEP * len(post.comparison.members) + 8


def _size_words(post: Post) -> str:
    """The intervals, and the verdict in a few words where there is one difference; the grade in percent where there is room."""
    spans = [post.interval(k) for k in range(len(post.comparison.differences))]
    if not all(spans):
        grade = post.comparison.grade_deg
        return f" ({100 * tan(radians(grade)):.0f} %), calculated" + (f"; {post.size()}" if len(spans) == 1 else "")
    if len(spans) == 1:
        return f": {spans[0]} (95 %), {post.size()}"
    return ", 95 %: " + ", ".join(f"{letter(k)} {span}" for k, span in enumerate(spans, start=1))


def _line(
    x: list, y: list[float], colour: str, dash: str | tuple[int, tuple[int, float]], width: float = 4.5
) -> Line2D:
    from matplotlib.lines import Line2D

    return Line2D(x, y, color=colour, ls=dash, lw=width)


def _vehicles(ax: Axes, post: Post) -> None:
    """Setups laid over each other on the slope, with the front loads in the empty corner below it."""
    comparison = post.comparison
    grade = comparison.grade_deg
    span = 0.0
    for k, member in enumerate(comparison.members):
        if not member.climb.rigid:
            pose = solved_pose(member.climb.standing.values, coordinates_of(member.at_grade.state))
            span = max(span, pose.points["front_contact"][0] - pose.points["rear_contact"][0])
            plot_vehicle(pose, grade, ax, setup=k, filled=k == 0)
        else:
            span = max(span, member.climb.vehicle.wheelbase)
            _rigid(ax, member.climb, grade, k)
    draw_ground(ax, grade, -0.24 * span, 1.22 * span)
    for line in ax.lines:
        line.set_linewidth(1.5 * line.get_linewidth())
    ax.set_aspect("equal", anchor="NW" if post.four is None else "W")
    ax.autoscale_view()
    ax.margins(0.01)
    ax.set_axis_off()


def _rigid(ax: Axes, climb: RigidClimb, grade: float, k: int) -> None:
    """A vehicle without links: two wheels, a line between them, the centre of gravity."""
    colour, dash = look(k)
    slope, vehicle = Slope(grade), climb.vehicle
    centres = []
    for end, x in zip(ENDS, (0.0, vehicle.wheelbase), strict=True):
        radius = wheel_height(axle_of(vehicle, end))
        centres.append(slope.place((x, radius)))
        ax.add_patch(Circle(centres[-1], 1e3 * radius, fc="none", ec=colour, ls=dash, lw=1.4))
    centre = slope.place((climb.distance, climb.height))
    ax.add_patch(Polygon([*centres, centre], closed=True, fc="none", ec=colour, ls=dash, lw=1.4))
    ax.plot(*centre, marker="o", ms=9, mfc="white", mec=colour, mew=2.0)


def _loads(figure: Any, comparison: Comparison, corner: bool, top: float, taken: float) -> None:
    """Front loads as a scale reads: in a column beside the drawing, less what is taken of it for single wheels, or in a row below it."""
    if not corner:
        _loads_in_a_row(figure, comparison)
    elif len(comparison.members) < MANY:
        _loads_in_a_column(figure, comparison, top)
    else:
        _loads_and_tips(figure, comparison, top + 10 + taken + 16 * bool(taken))


def _loads_in_a_row(figure: Any, comparison: Comparison) -> None:
    many = len(comparison.members) >= MANY
    _say(figure, 28, 550, "front axle")
    for k, member in enumerate(comparison.members):
        x, y = 170 + (178 if many else 260) * k, 544 if many else 532
        size = (0.6 if many else 0.9) * LARGE
        _say(figure, x, y, _grams_of(member), size, color=look(k)[0], fontweight="bold")


def _loads_in_a_column(figure: Any, comparison: Comparison, top: float) -> None:
    """Where each setup tips at the top, what the scale reads at the bottom."""
    count = len(comparison.members)
    _say(figure, COLUMN, LOWEST_LOAD - LOAD_STEP * (count - 1) - 38, "front axle")
    for k, member in enumerate(comparison.members):
        y, colour = LOWEST_LOAD - LOAD_STEP * (count - 1 - k), look(k)[0]
        text = _say(figure, COLUMN, y, _grams_of(member), 0.9 * LARGE, color=colour, fontweight="bold")
        tip = member.sweep.limits.tip_over_grade_deg
        if tip is not None:
            _say(figure, COLUMN, top + 2 + 32 * k, f"tips at {tip:.2f}\u00b0", color=colour, fontweight="bold")
        width = text.get_window_extent(figure.canvas.get_renderer()).width
        _say(figure, COLUMN + width + 16, y + 16, f"{member.at_grade.front_load_n:.2f} N", color=colour)


def _loads_and_tips(figure: Any, comparison: Comparison, top: float) -> None:
    """What the scale reads and where it tips, one row each setup."""
    _say(figure, COLUMN, top, "front axle")
    for k, member in enumerate(comparison.members):
        y, colour = top + 34 + CLOSE_STEP * k, look(k)[0]
        _say(figure, COLUMN, y, _grams_of(member), 0.7 * LARGE, color=colour, fontweight="bold")
        tip = member.sweep.limits.tip_over_grade_deg
        if tip is not None:
            _say(figure, COLUMN + 136, y + 6, f"tips at {tip:.2f}\u00b0", color=colour)


def _grams_of(member: Any) -> str:
    return f"{as_grams(member.at_grade.front_load_n):.0f} g"


def _budget(ax: Axes, post: Any) -> None:
    """The front load of the first setup taken apart: steady crawl, and punch at its least load."""
    first = post.comparison.members[0]
    punched = {} if post.punch is None else post.punch.budget
    rows = [
        (words, [part.key for part in parts])
        for words, parts in budget_parts.groups(budget_parts.told(first.at_grade.budget, punched)).items()
    ]
    if post.punch is None:
        rows = [(words, keys) for words, keys in rows if keys[0] in budget_parts.steady_keys()]
    crawl = {words: as_grams(sum(first.at_grade.budget[key] for key in keys)) for words, keys in rows}
    kick = (
        None
        if post.punch is None
        else {
            words: as_grams(sum(float(post.punch.budget[key][post.punch.least_sample]) for key in keys))
            for words, keys in rows
        }
    )
    reach = max(abs(v) for parts in (crawl, kick or {}) for v in parts.values())
    ax.set_xlim(-reach, reach)
    ax.set_ylim(-len(rows) - 0.62, 1.4)
    for row, (words, keys) in enumerate(rows):
        y = -row - 0.58
        crawling = keys[0] in budget_parts.steady_keys()
        numbers = _whole_grams(crawl[words]) if crawling else "0"
        ax.vlines(0.0, y - 0.36, y + 0.14, color=FAINT, lw=2.0)
        ax.barh(y, crawl[words] if crawling else 0.0, 0.20, color=CREEP_BAR)
        if kick is not None:
            ax.barh(y - 0.22, kick[words], 0.20, color=PUNCH_BAR)
            numbers += f" | {_whole_grams(kick[words])}"
        label: dict[str, Any] = {"fontsize": SMALL, "va": "bottom", "transform": ax.get_yaxis_transform()}
        ax.text(0.0, y + 0.12, words, ha="left", **label)
        ax.text(1.0, y + 0.12, numbers.replace("-", "\u2212"), ha="right", **label)
    total = f"= {as_grams(first.at_grade.front_load_n):.0f}"
    if kick is not None:
        total += f" | {as_grams(post.punch.front_load_n[post.punch.least_sample]):.0f}"
    style: dict[str, Any] = {
        "fontsize": SMALL,
        "va": "bottom",
        "fontweight": "bold",
        "transform": ax.get_yaxis_transform(),
    }
    ax.text(0.0, -len(rows) - 0.52, "front axle", ha="left", **style)
    ax.text(1.0, -len(rows) - 0.52, total, ha="right", **style)
    _budget_head(ax, post)
    ax.set_axis_off()


def _budget_head(ax: Axes, post: Any) -> None:
    """Which bar is which, above the rows."""
    style: dict[str, Any] = {"fontsize": SMALL, "va": "bottom", "transform": ax.get_yaxis_transform()}
    ax.text(0.0, 0.80, "A: where it goes, g", fontweight="bold", **style)
    ax.barh([0.29], [0.09 * 2 * ax.get_xlim()[1]], 0.2, left=-ax.get_xlim()[1], color=CREEP_BAR)
    ax.text(0.11, 0.14, "crawl", ha="left", **style)
    if post.punch is not None:
        ax.barh([0.29], [0.09 * 2 * ax.get_xlim()[1]], 0.2, left=-0.24 * ax.get_xlim()[1], color=PUNCH_BAR)
        ax.text(0.49, 0.14, "punch, min.", ha="left", **style)
    else:
        ax.text(0.42, 0.14, "(no punch here)", ha="left", **style)


def _plain(ax: Axes) -> None:
    """Large ticks, few of them."""
    ax.tick_params(labelsize=SMALL, length=0, pad=6)
    ax.grid(True, lw=1.2)
    ax.locator_params(axis="y", nbins=3)
    ax.locator_params(axis="x", nbins=7)
    for side in ("left", "bottom"):
        ax.spines[side].set_linewidth(1.5)


def _curves(ax: Axes, post: Post) -> None:
    """Front load over grade of every setup, with what was measured."""
    for k, member in enumerate(post.comparison.members):
        colour, dash = look(k)
        ax.plot(member.sweep["grade_deg"], as_grams(member.sweep["front_load_n"]), color=colour, ls=dash, lw=3.5)
    for measured in post.measured:
        _points(ax, post, measured, as_grams(measured.front_load_n))
    top = ax.get_ylim()[1]
    ax.set_ylim(0.0, top)
    ax.set_xlim(-1.0, ax.get_xlim()[1])
    ax.axvline(post.comparison.grade_deg, color=FAINT, lw=1.5, ls=(0, (3, 2)))
    _plain(ax)
    ax.set_xticklabels([])
    ax.text(
        -0.005,
        1.02,
        "front axle load, g" + (": points measured, as a crawl has them" if post.measured else ", over grade"),
        transform=ax.transAxes,
        fontsize=SMALL,
        fontweight="bold",
        va="bottom",
    )


def _points(ax: Axes, post: Post, measured: Measured, heights: np.ndarray) -> None:
    """Readings with bars of two standard errors, in the colour of their setup."""
    k = [m.name for m in post.comparison.members].index(measured.setup)
    ax.errorbar(
        measured.grade_deg,
        heights,
        yerr=2.0 * as_grams(measured.standard_error_n),
        fmt="o" if k == 0 else "s",
        ms=7,
        mfc="white",
        mec=look(k)[0],
        mew=1.8,
        ecolor=look(k)[0],
        elinewidth=1.8,
        zorder=5,
        capsize=3,
    )


def _strip(ax: Axes, post: Post, limits: tuple[float, float]) -> None:
    """Differences to the calculated first setup, magnified, between both thresholds."""
    comparison = post.comparison
    base = comparison.members[0]
    lines = comparison.thresholds
    noticed = as_grams(lines.noticed_load_n(base.at_grade.budget["standing_n"]))
    measurable = as_grams(lines.measurable_load_n)
    ax.axhspan(-noticed, noticed, color=NOTICED_BAND, lw=0)
    ax.axhspan(-measurable, measurable, color=MEASURABLE_BAND, lw=0)
    ax.axhline(0.0, color=INK, lw=2.5)
    grades, loads = base.sweep["grade_deg"], as_grams(base.sweep["front_load_n"])
    reach = 1.25 * max(noticed, measurable)
    for k, member in enumerate(comparison.members[1:], start=1):
        own_grades, own = member.sweep["grade_deg"], as_grams(member.sweep["front_load_n"])
        shared = np.isin(np.round(grades, 9), np.round(own_grades, 9))
        difference = np.interp(grades[shared], own_grades, own) - loads[shared]
        ax.plot(grades[shared], difference, color=look(k)[0], ls=look(k)[1], lw=3.5)
        reach = max(reach, 1.1 * np.nanmax(np.abs(difference)))
    for measured in post.measured:
        calculated = np.array([_load_or_nan(base.climb, grade) for grade in measured.grade_deg])
        off = as_grams(measured.front_load_n) - calculated
        _points(ax, post, measured, off)
        if np.isfinite(off).any():
            reach = max(reach, 1.2 * np.nanmax(np.abs(off)))
    for k, difference in enumerate(comparison.differences, start=1):
        if difference.interval_n is not None:
            ends = as_grams(np.array(difference.interval_n))
            reach = max(reach, 1.1 * float(np.abs(ends).max()))
            _interval(ax, comparison.grade_deg, ends, look(k)[0])
    ax.axvline(comparison.grade_deg, color=FAINT, lw=1.5, ls=(0, (3, 2)))
    ax.set_xlim(limits)
    ax.set_ylim(-reach, reach)
    _plain(ax)
    ax.set_xticks(ax.get_xticks()[1:-1], [f"{tick:g}\u00b0" for tick in ax.get_xticks()[1:-1]])
    ax.set_xlim(limits)
    ax.text(
        -0.005,
        1.04,
        f"less A, g, magnified (bands: {measurable:.0f} g measurable, {noticed:.0f} g noticed)",
        transform=ax.transAxes,
        fontsize=SMALL,
        fontweight="bold",
        va="bottom",
    )


def _interval(ax: Axes, grade_deg: float, ends: tuple[float, float], colour: str) -> None:
    """A bar between the ends of a 95 % interval, g."""
    middle, half = 0.5 * (ends[0] + ends[1]), 0.5 * (ends[1] - ends[0])
    style: dict[str, Any] = {"ecolor": colour, "elinewidth": 3.0, "capsize": 8, "capthick": 2.0, "zorder": 6}
    ax.errorbar([grade_deg], [middle], yerr=[half], fmt="none", **style)


def _load_or_nan(climb: Climb, grade: float) -> float | np.ndarray:
    load = climb.row(float(grade)).front_load_n
    return np.nan if load is None else as_grams(load)


def _whole_grams(value: float) -> str:
    """Signed whole grams; nothing has no sign."""
    return f"{value:+.0f}" if round(value) else "0"


def _footer(figure: Figure, post: Post) -> None:
    rigid = post.comparison.members[0].climb.rigid
    words = "Links act on a crawl through attitude alone."
    if rigid:
        words = "No links in the file (level A): the vehicle is taken as rigid."
    if post.punch is not None:
        words = f"Punch of A: throttle to {post.punch.options.throttle:g} in {post.punch.options.rise_s:g} s"
        flips = str(post.punch.summary["outcome"]).startswith("flips")
        words += f": {outcome_words(post.punch.summary['outcome'])}." if flips else ", at its minimum front axle load."
    _say(figure, 28, 1010, words)
    words = f"{cut(shown_name(post.name), 32)}; calculated with noseload {VERSION}; plane slope."
    if post.seal is not None:
        words = f"Predicted and sealed before run 1: SHA-256 {post.seal.short}"
        if post.seal.measured:
            words = typeset(f"Trial sealed {post.seal.commitment[:8]}...: {post.seal.measured}")
    _say(figure, 28, 1044, words)
