"""The side-view construction on the vehicle to scale, and what it does over the travel of each axle."""

from __future__ import annotations

from math import atan2, cos, degrees, isfinite, radians, sin
from typing import TYPE_CHECKING, Any

from noseload.documents import letter
from noseload.model.links.link_geometry import TOWARD
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS, LINKS
from noseload.pictures.names import key_below
from noseload.pictures.side_view import Slope, draw_ground, plot_vehicle
from noseload.pictures.style import FAINT, INK, PAPER, direct_labels, figure_for, house_look, look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.links.links import LinkStudy


WORDS = {"rear": ("rear axle", "anti-squat"), "front": ("front axle", "anti-lift")}
REACH = (-0.25, 1.45)
"""Width of the drawing along the slope from the axle toward the other, in wheelbases."""
TALL = 0.62
"""Height of the drawing in wheelbases."""
BOX = {"boxstyle": "round,pad=0.15", "fc": PAPER, "ec": "none", "alpha": 0.85}


@house_look
def plot_construction(studies: list, end: str, ax: Axes | None = None, *, names: bool = True) -> Axes:
    """Link lines, instant centre, contact line and 100 % lines of one axle, setups laid over each other.

    Parameters
    ----------
    studies : sequence of LinkStudy
        With solved poses on the same grade; the first is drawn as a vehicle.
    end : {'rear', 'front'}
    ax : Axes, optional
    names : bool
        With words beside the lines; without them they stand elsewhere.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.2)
    first = studies[0]
    span, toward = first.wheelbase, TOWARD[end]
    origin = first.pose.points["rear_contact"][0]
    # The paper is laid along the slope; a plumb line shows where down is.
    slope = Slope(0.0, origin)
    draw_ground(ax, 0.0, -2.0 * span, 3.0 * span)
    plot_vehicle(first.pose, 0.0, ax)
    _full_lines(ax, slope, first, end, names)
    told = [
        _links_and_centre(ax, Slope(0.0, study.pose.points["rear_contact"][0]), study, end, k, names)
        for k, study in enumerate(studies)
    ]
    low, high = sorted((toward * REACH[0] * span, toward * REACH[1] * span))
    base = 0.0 if end == "rear" else span
    ax.set_xlim(1e3 * (base + low), 1e3 * (base + high))
    ax.set_ylim(-60.0 * TALL * span, 1e3 * TALL * span)
    ax.set_aspect("equal")
    ax.set_axis_off()
    if not names:
        return ax
    if first.grade_deg:
        _plumb_line(ax, first.grade_deg)
    ax.set_title(f"{WORDS[end][0]}: {WORDS[end][1]}")
    key_below(ax, list(enumerate(told)), drop=4.0)
    return ax


def _plumb_line(ax: Axes, grade_deg: float) -> None:
    """Which way is down, in the upper right corner."""
    low, high = ax.get_xlim()
    size, top = 0.11 * (high - low), ax.get_ylim()[1]
    start = (high - 0.03 * (high - low), top - 0.05 * size)
    angle = radians(grade_deg)
    ax.annotate(
        "",
        (start[0] - size * sin(angle), start[1] - size * cos(angle)),
        start,
        arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.1, "shrinkA": 0, "shrinkB": 0},
    )
    ax.annotate(
        f"down\n({grade_deg:g} deg)",
        (start[0] - size * sin(angle), start[1] - size * cos(angle)),
        xytext=(0, -3),
        textcoords="offset points",
        ha="center",
        va="top",
        fontsize=7.5,
    )


def _full_lines(ax: Axes, slope: Slope, study: Any, end: str, named: bool) -> None:
    """Lines of instant centres that give 100 %: the textbook's and as driven."""
    toward, origin = TOWARD[end], study.pose.points["rear_contact"][0]
    foot = study.pose.points[f"{end}_contact"][0]

    def along(start: float, rise: float) -> list[tuple[float, float]]:
        ends = [(foot + toward * d, start + rise * d) for d in (0.0, study.wheelbase)]
        return [slope.place(p) for p in ends]

    height = study.height
    level = [slope.place((origin + x, height)) for x in (0.0, study.wheelbase)]
    ax.plot(*zip(*level, strict=True), color=FAINT, lw=0.8, ls=(0, (1, 2)), zorder=5)
    far = foot + toward * study.wheelbase
    ax.plot(
        *zip(slope.place((far, 0.0)), slope.place((far, height)), strict=True),
        color=FAINT,
        lw=0.8,
        ls=(0, (1, 2)),
        zorder=5,
    )
    lines: list[tuple] = [("100 % by the textbook", along(0.0, height / study.wheelbase), "#5d7486", (0, (6, 2)), -10)]
    full = study.axles[end].full_line
    if full is not None and full[1] > 0.0:
        lines.append(("100 % as driven", along(*full), "#b5452c", (0, (8, 2, 2, 2)), 7))
    for words, line, colour, dash, above in lines:
        ax.plot(*zip(*line, strict=True), color=colour, lw=1.3, ls=dash, zorder=5, clip_on=True)
        if named:
            _write_along(ax, line, words, colour, above)


def _write_along(ax: Axes, line: list[tuple[float, float]], words: str, colour: str, above: int) -> None:
    """Words beside the outer half of a line, inside the drawing."""
    (x0, y0), (x1, y1) = line
    angle = degrees(atan2(y1 - y0, x1 - x0))
    angle = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle < -90.0 else angle
    # Steep lines leave the paper early: their words stand lower.
    place = min(0.62, 0.75 * TALL * abs(x1 - x0) / max(abs(y1 - y0), 1e-9))
    ax.annotate(
        words,
        (x0 + place * (x1 - x0), y0 + place * (y1 - y0)),
        xytext=(0, above),
        textcoords="offset points",
        rotation=angle,
        rotation_mode="anchor",
        ha="center",
        va="center",
        fontsize=7.5,
        color=colour,
        clip_on=True,
        bbox=BOX,
        zorder=9,
    )


def _links_and_centre(ax: Axes, slope: Slope, study: Any, end: str, k: int, named: bool) -> str:
    """Links, link lines and centre of one setup; returns its words for the key."""
    colour, dash = look(k)
    points, axle = study.pose.points, study.axles[end]
    view = axle.view
    centre = view.instant_centre
    if k:
        for name in (*LINKS,):
            pair = [slope.place(points[f"{end}_{name}_{side}"]) for side in ("axle", "chassis")]
            ax.plot(*zip(*pair, strict=True), color=colour, lw=2.0, ls=dash, marker="o", ms=3.5, mfc="white", zorder=7)
    for name in LINKS:
        _ray(
            ax,
            slope,
            points[f"{end}_{name}_axle"],
            _onward(points, end, name, centre, study.wheelbase),
            colour,
            dash,
            0.8,
        )
    foot = points[f"{end}_contact"]
    if view.contact_slope is not None:
        reach = TOWARD[end] * (1.5 * study.wheelbase if view.inverse_arm >= 0.0 else -0.5 * study.wheelbase)
        until = (foot[0] + reach, foot[1] + abs(reach) * view.contact_slope * (1 if view.inverse_arm >= 0.0 else -1))
        if centre is not None and abs(centre[0] - foot[0]) < abs(reach):
            until = centre
        _ray(ax, slope, foot, until, colour, dash, 1.9)
    if centre is not None and _inside(centre, foot, end, study.wheelbase):
        x, y = slope.place(centre)
        ax.plot([x], [y], marker="o", ms=8, mfc="white", mec=colour, mew=1.8, zorder=10)
        ax.plot([x], [y], marker="o", ms=2.5, color=colour, zorder=11)
        where = ""
        if k == 0 and named:
            ax.annotate(
                "instant centre",
                (x, y),
                xytext=(0, 9),
                textcoords="offset points",
                ha="center",
                fontsize=7.5,
                color=colour,
                bbox=BOX,
                zorder=9,
            )
    else:
        where = ", instant centre " + _far_words(view)
    return f"{shown_name(study.setup)}: {_percent(axle.as_driven)} as driven, {_percent(axle.textbook)} textbook{where}"


def _inside(centre: tuple[float, float], foot: tuple[float, float], end: str, span: float) -> bool:
    x = TOWARD[end] * (centre[0] - foot[0])
    return REACH[0] * span < x < REACH[1] * span and -0.05 * span < centre[1] < TALL * span


def _far_words(view: Any) -> str:
    if view.instant_centre is None:
        return "at infinity"
    side = "inward" if view.arm_length > 0.0 else "on the outer side"
    return f"{abs(1e3 * view.arm_length):.0f} mm {side}"


def _onward(
    points: dict[str, tuple[float, float]], end: str, name: str, centre: tuple[float, float] | None, span: float
) -> tuple[float, float]:
    """Where the drawn line of a link ends: the instant centre if near, else straight on."""
    a, b = points[f"{end}_{name}_axle"], points[f"{end}_{name}_chassis"]
    if centre is not None and _inside(centre, points[f"{end}_contact"], end, span):
        return centre
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    away = 1.0 if centre is None or (centre[0] - a[0]) * (b[0] - a[0]) > 0.0 else -1.0
    reach = 2.0 * span / length * away
    return a[0] + reach * (b[0] - a[0]), a[1] + reach * (b[1] - a[1])


def _ray(
    ax: Axes,
    slope: Slope,
    start: tuple[float, float],
    until: tuple[float, float],
    colour: str,
    dash: str | tuple,
    width: float,
) -> None:
    ax.plot(
        *zip(slope.place(start), slope.place(until), strict=True),
        color=colour,
        lw=width,
        ls=dash,
        zorder=6,
        clip_on=True,
    )


def _percent(share: float) -> str:
    return "no figure" if share is None else f"{100 * share:.0f} %"


@house_look
def plot_figures_over_travel(studies: list[LinkStudy], end: str, ax: Axes | None = None) -> Axes:
    """Anti-squat or anti-lift over wheel travel: as driven in strong lines, by the textbook in thin ones.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.0, 3.2)
    labels = []
    for k, study in enumerate(studies):
        colour, dash = look(k)
        for rule, width, word in (("as_driven", 2.0, "as driven"), ("textbook", 0.9, "textbook")):
            rows = [
                (1e3 * r.wheel_rise, 100.0 * getattr(r, rule))
                for r in study.travel[end].rows
                if getattr(r, rule) is not None and isfinite(getattr(r, rule))
            ]
            ax.plot(*zip(*rows, strict=True), color=colour, ls=dash, lw=width)
            name = word if len(studies) == 1 else (letter(k) if rule == "as_driven" else "")
            if name:
                labels.append((rows[0][0], rows[0][1], name, colour))
    _standing_line(ax)
    ax.axhline(100.0, color=INK, lw=0.8, ls=(0, (1, 2)))
    ax.set_ylabel(f"{WORDS[end][1]}, %")
    _travel_axis(ax, end)
    direct_labels(ax, labels, dx=5)
    if len(studies) > 1:
        ax.set_title("strong: as driven, thin: textbook", fontsize=8.5, fontweight="normal")
    return ax


@house_look
def plot_motion_over_travel(studies: list[LinkStudy], end: str, ax: Axes | None = None) -> Axes:
    """Housing turn (strong) and wheel path (thin) over wheel travel, deg.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 6.0, 3.0)
    labels = []
    for k, study in enumerate(studies):
        colour, dash = look(k)
        rows = study.travel[end].rows
        rise = [1e3 * r.wheel_rise for r in rows]
        turn = [-degrees(r.turn) for r in rows]
        path = [None if r.view.arm_angle is None else degrees(r.view.arm_angle) for r in rows]
        ax.plot(rise, turn, color=colour, ls=dash, lw=2.0)
        ax.plot(rise, [float("nan") if p is None else p for p in path], color=colour, ls=dash, lw=0.9)
        if len(studies) == 1:
            labels += [(rise[0], turn[0], "housing nose up", colour)]
            labels += [(rise[0], path[0], "wheel path outward", colour)] if path[0] is not None else []
        else:
            labels.append((rise[0], turn[0], letter(k), colour))
    _standing_line(ax)
    ax.axhline(0.0, color=INK, lw=0.8, ls=(0, (1, 2)))
    ax.set_ylabel("deg")
    _travel_axis(ax, end)
    direct_labels(ax, labels, dx=5)
    if len(studies) > 1:
        ax.set_title("strong: housing nose up, thin: wheel path outward as it rises", fontsize=8.5, fontweight="normal")
    return ax


def _standing_line(ax: Axes) -> None:
    ax.axvline(0.0, color=FAINT, lw=0.9)


def _travel_axis(ax: Axes, end: str) -> None:
    low, high = ax.get_xlim()
    # The names stand beyond the bump end of the curves.
    ax.set_xlim(low, high + 0.30 * (high - low))
    ax.set_xlabel(f"{end} wheels against the chassis, mm: droop left, bump right, 0 = this pose")


@house_look
def draw_links(studies: list[LinkStudy]) -> NotebookFigure:
    """Figure: both constructions to scale, figures and motion over travel; setups laid over each other.

    Parameters
    ----------
    studies : sequence of LinkStudy
        With solved poses on the same grade.

    Returns
    -------
    Figure
    """
    figure, axes = new_figure(13.0, 9.6 + 0.3 * len(studies), 3, 2, heights=(1.35 + 0.1 * len(studies), 1.0, 1.0))
    for k, end in enumerate(ENDS):
        plot_construction(studies, end, axes[k])
        plot_figures_over_travel(studies, end, axes[2 + k])
        plot_motion_over_travel(studies, end, axes[4 + k])
    where = "standing" if studies[0].grade_deg == 0.0 else f"steady crawl at {studies[0].grade_deg:g} deg"
    figure.suptitle(f"links, {where}, to scale", x=0.01, ha="left", fontsize=11, fontweight="bold")
    return figure


@house_look
def plot_rear_construction(study: Any, ax: Axes | None = None) -> Axes:
    """`plot_construction` of the rear axle of one vehicle; returns the axes."""
    return plot_construction([study], "rear", ax)
