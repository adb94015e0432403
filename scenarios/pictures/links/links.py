"""The side-view construction on the vehicle to scale, and what it does over the travel of each axle."""

from __future__ import annotations

from math import atan2, cos, degrees, isfinite, radians, sin
from typing import TYPE_CHECKING, Any

from noseload.documents import letter
from noseload.model.links.link_geometry import TOWARD
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS, LINKS
from noseload.pictures.label_places import KeepApart
from noseload.pictures.names import badge_at, key_below
from noseload.pictures.side_view import Slope, draw_ground, plot_vehicle
from noseload.pictures.style import FAINT, INK, direct_labels, figure_for, head_figure, house_look, look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.links.links import LinkStudy


WORDS = {"rear": ("rear axle", "anti-squat"), "front": ("front axle", "anti-lift")}
REACH = (-0.25, 1.45)
"""Width of the drawing along the slope from the axle toward the other, in wheelbases."""
TALL = 0.62
"""Height of the drawing in wheelbases."""
DRAWING_INCHES, KEY_INCHES, CURVES_INCHES, HEAD_INCHES = 2.7, 0.22, 2.6, 0.5
"""Heights of a row: drawing, one line of the key, curves, and the title of all."""
OFF_CENTRE = {"rear": 0.38, "front": 0.22}
"""Where the words along the line as driven stand, as a share of the wheelbase from the axle: clear of the centre of gravity."""
FEW = 2
"""Setups whose every line is drawn; of more the first alone, of the others what they move and their centre's letter."""
ONE_OR_TWO = "as driven (textbook curves: of two setups at most)"


@house_look
def plot_construction(studies: list, end: str, ax: Axes | None = None, *, names: bool = True, key: bool = True) -> Axes:
    """Link lines, instant centre, contact line and 100 % lines of one axle, setups laid over each other.

    Parameters
    ----------
    studies : sequence of LinkStudy
        With solved poses on the same grade; the first is drawn as a vehicle.
    end : {'rear', 'front'}
    ax : Axes, optional
    names : bool
        With words beside the lines; without them they stand elsewhere.
    key : bool
        With the key of setups and their figures below.

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
    every = len(studies) <= FEW
    for k, study in enumerate(studies):
        here = Slope(0.0, study.pose.points["rear_contact"][0])
        _links_and_centre(ax, here, study, end, k, rays=every or k == 0, named=names and every and k == 0)
    low, high = sorted((toward * REACH[0] * span, toward * REACH[1] * span))
    base = 0.0 if end == "rear" else span
    ax.set_xlim(1e3 * (base + low), 1e3 * (base + high))
    ax.set_ylim(-60.0 * TALL * span, 1e3 * TALL * span)
    ax.set_aspect("equal")
    ax.set_axis_off()
    if names and not every:
        _letters_of_centres(ax, studies, end)
    if not names:
        return ax
    if first.grade_deg:
        _plumb_line(ax, first.grade_deg, left=end == "rear")
    ax.set_title(f"{WORDS[end][0]}: {WORDS[end][1]}" + ("" if every else "; letters: instant centres"))
    if key:
        told = [f"{shown_name(study.setup)}: {_figures(study, end)}" for study in studies]
        key_below(ax, list(enumerate(told)), drop=4.0)
    return ax


def _letters_of_centres(ax: Axes, studies: list, end: str) -> None:
    """The letter of every setup at its instant centre, pushed apart where centres lie close."""
    badges = []
    for k, study in enumerate(studies):
        centre, points = study.axles[end].view.instant_centre, study.pose.points
        if centre is not None and _inside(centre, points[f"{end}_contact"], end, study.wheelbase):
            place = Slope(0.0, points["rear_contact"][0]).place(centre)
            badges.append(badge_at(ax, k, place, offset=(-13.0 if TOWARD[end] < 0.0 else 13.0, 0.0)))
    KeepApart(ax, badges)


def _figures(study: Any, end: str) -> str:
    """Both figures of one axle, and where its instant centre lies when the drawing does not show it."""
    axle = study.axles[end]
    seen = axle.view.instant_centre is not None and _inside(
        axle.view.instant_centre, study.pose.points[f"{end}_contact"], end, study.wheelbase
    )
    where = "" if seen else ", instant centre " + _far_words(axle.view)
    return f"{_percent(axle.as_driven)} as driven, {_percent(axle.textbook)} textbook{where}"


def _plumb_line(ax: Axes, grade_deg: float, *, left: bool) -> None:
    """Which way is down, in the upper corner where no instant centre of the axle lies."""
    low, high = ax.get_xlim()
    size, top = 0.11 * (high - low), ax.get_ylim()[1]
    angle = radians(grade_deg)
    start = (low + 0.04 * (high - low) + size * sin(angle) if left else high - 0.03 * (high - low), top - 0.05 * size)
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
    lines: list[tuple] = [
        ("100 % by the textbook", along(0.0, height / study.wheelbase), "#5d7486", (0, (6, 2)), -10, 0.62)
    ]
    full = study.axles[end].full_line
    if full is not None and full[1] > 0.0:
        lines.append(("100 % as driven", along(*full), "#b5452c", (0, (8, 2, 2, 2)), 7, OFF_CENTRE[end]))
    for words, line, colour, dash, above, share in lines:
        ax.plot(*zip(*line, strict=True), color=colour, lw=1.3, ls=dash, zorder=5, clip_on=True)
        if named:
            _write_along(ax, line, words, colour, above, share)


def _write_along(ax: Axes, line: list[tuple[float, float]], words: str, colour: str, above: int, share: float) -> None:
    """Words beside a line, inside the drawing and off the centre of gravity."""
    (x0, y0), (x1, y1) = line
    angle = degrees(atan2(y1 - y0, x1 - x0))
    angle = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle < -90.0 else angle
    # Steep lines leave the paper early: their words stand lower.
    place = min(share, 0.75 * TALL * abs(x1 - x0) / max(abs(y1 - y0), 1e-9))
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
        zorder=9,
    )


def _links_and_centre(ax: Axes, slope: Slope, study: Any, end: str, k: int, *, rays: bool, named: bool) -> None:
    """Links and centre of one setup; with rays also the lines of its links and from the contact."""
    colour, dash = look(k)
    points, view = study.pose.points, study.axles[end].view
    centre = view.instant_centre
    if k:
        for name in LINKS:
            pair = [slope.place(points[f"{end}_{name}_{side}"]) for side in ("axle", "chassis")]
            ax.plot(*zip(*pair, strict=True), color=colour, lw=2.0, ls=dash, marker="o", ms=3.5, mfc="white", zorder=7)
    if rays:
        for name in LINKS:
            until = _onward(points, end, name, centre, study.wheelbase)
            _ray(ax, slope, points[f"{end}_{name}_axle"], until, colour, dash, 0.8)
    foot = points[f"{end}_contact"]
    if rays and view.contact_slope is not None:
        reach = TOWARD[end] * (1.5 * study.wheelbase if view.inverse_arm >= 0.0 else -0.5 * study.wheelbase)
        until = (foot[0] + reach, foot[1] + abs(reach) * view.contact_slope * (1 if view.inverse_arm >= 0.0 else -1))
        if centre is not None and abs(centre[0] - foot[0]) < abs(reach):
            until = centre
        _ray(ax, slope, foot, until, colour, dash, 1.9)
    if centre is None or not _inside(centre, foot, end, study.wheelbase):
        return
    x, y = slope.place(centre)
    ax.plot([x], [y], marker="o", ms=8, mfc="white", mec=colour, mew=1.8, zorder=10)
    ax.plot([x], [y], marker="o", ms=2.5, color=colour, zorder=11)
    if named:
        ax.annotate(
            "instant centre",
            (x, y),
            xytext=(0, -9),
            textcoords="offset points",
            ha="center",
            va="top",
            fontsize=7.5,
            color=colour,
            zorder=9,
        )


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
    rules = (("as_driven", 2.0, "as driven"), ("textbook", 0.9, "textbook"))
    for k, study in enumerate(studies):
        colour, dash = look(k)
        for rule, width, word in rules if len(studies) <= FEW else rules[:1]:
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
        title = "strong: as driven, thin: textbook" if len(studies) <= FEW else ONE_OR_TWO
        ax.set_title(title, fontsize=8.5, fontweight="normal")
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
        if len(studies) <= FEW:
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
        both = "strong: housing nose up, thin: wheel path outward as it rises"
        ax.set_title(both if len(studies) <= FEW else "housing nose up", fontsize=8.5, fontweight="normal")
    return ax


def _standing_line(ax: Axes) -> None:
    ax.axvline(0.0, color=FAINT, lw=0.9)


def _travel_axis(ax: Axes, end: str) -> None:
    low, high = ax.get_xlim()
    # The names stand beyond the bump end of the curves.
    ax.set_xlim(low, high + 0.30 * (high - low))
    ax.margins(y=0.16)
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
    key = KEY_INCHES * len(studies) + 0.1
    heights = (DRAWING_INCHES, key, CURVES_INCHES, CURVES_INCHES)
    figure, axes = new_figure(13.0, sum(heights) + HEAD_INCHES, 4, 2, heights=heights)
    # Axes of `new_figure` stand on a grid: its second row becomes one.
    places: Any = axes[2].get_gridspec()
    below = figure.add_subplot(places[1, :])
    axes[2].remove()
    axes[3].remove()
    below.set_axis_off()
    for k, end in enumerate(ENDS):
        plot_construction(studies, end, axes[k], key=False)
        plot_figures_over_travel(studies, end, axes[4 + k])
        plot_motion_over_travel(studies, end, axes[6 + k])
    told = [
        f"{shown_name(study.setup)}: " + "; ".join(f"{end} {_figures(study, end)}" for end in ENDS) for study in studies
    ]
    key_below(below, list(enumerate(told)), drop=-72.0 * key)
    where = "standing" if studies[0].grade_deg == 0.0 else f"steady crawl at {studies[0].grade_deg:g} deg"
    head_figure(figure, f"links, {where}, to scale", 11)
    return figure


@house_look
def plot_rear_construction(study: Any, ax: Axes | None = None) -> Axes:
    """`plot_construction` of the rear axle of one vehicle; returns the axes."""
    return plot_construction([study], "rear", ax)
