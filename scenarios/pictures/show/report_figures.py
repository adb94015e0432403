"""The drawings of the page for everyone: small enough for a phone, setups by letter, each with words in its place."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.documents import letter
from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.model.parameters import ENDS
from noseload.pictures.climb.bench import plot_bench_loads
from noseload.pictures.climb.loads import plot_budget, plot_difference, plot_front_load
from noseload.pictures.climb.parts import draw_difference_parts
from noseload.pictures.links.links import plot_construction, plot_figures_over_travel
from noseload.pictures.measuring.board import board_sizes, draw_board
from noseload.pictures.punch.punch import plot_budget_over_time, plot_loads
from noseload.pictures.side_view import draw_ground, plot_vehicle
from noseload.pictures.style import as_grams, house_look, new_figure
from noseload.studies.climb.standing import coordinates_of

from .inline_svg import svg_text
from .portrait import plot_portrait

if TYPE_CHECKING:
    from noseload.studies.show.report import Report


WIDE, TALL = 3.15, 2.6
"""Inches: 340 pixels of a phone are 227 points, so that words of 8 points are 12 pixels there."""
EVERY, OFF_SHARE, PARTS_OFF_SHARE = 40, 0.008, 0.03
"""Samples of a drawn punch taken at all events, and how far a drawn punch and its parts may lie beside their samples, as a share
of the range of what is drawn: a pixel or two of a page for loads; parts fill areas of many corners, whose spikes cost most."""


@house_look
def report_figures(report: Report) -> Any:
    """All drawings.

    Parameters
    ----------
    report : studies.report.Report

    Returns
    -------
    dict of str to list of (svg, title, description, caption)
        Under 'portrait', 'limits', 'still', 'punch', 'parts', 'links', 'board', 'bench'.
    """
    return {
        "portrait": [_portrait(report)],
        "limits": _limits(report),
        "still": _still(report),
        "punch": _punch(report),
        "parts": _parts(report),
        "links": _links(report),
        "board": [_board(report)],
        "bench": _bench(report),
    }


def _figure(height: float = TALL) -> Any:
    figure, (ax,) = new_figure(WIDE, height)
    return figure, ax


def _narrow(ax: Any) -> None:
    """The words of the left axis above it, no second axes, few ticks: all of the width is for the curves."""
    words = ax.get_ylabel()
    ax.set_ylabel("")
    for second in ax.child_axes:
        second.set_visible(False)
    if not ax.get_title(loc="left"):
        ax.set_title(words, loc="left", fontsize=SMALL, fontweight="normal")
    ax.tick_params(labelsize=SMALL)
    ax.locator_params(nbins=5)
    ax.xaxis.label.set_size(SMALL)


SMALL = 8.0
"""Points of the smallest words."""


def _portrait(report: Report) -> Any:
    figure, ax = _figure(1.6)
    plot_portrait(report.description, ax, names=False)
    seen = report.description.to_dict()
    words = (
        f"Side view to scale, standing level: wheelbase {1e3 * report.vehicle.wheelbase:.0f} mm, centre of gravity {seen['centre_of_gravity_mm'][0]:.0f} mm ahead of "
        f"the rear axle and {seen['centre_of_gravity_mm'][1]:.0f} mm up, rear {as_grams(seen['rear_load_n']):.0f} g, front {as_grams(seen['front_load_n']):.0f} g."
    )
    return svg_text(figure), "The vehicle standing", words, ""


def _lettered(report: Report) -> Any:
    return [replace(member.sweep, setup=letter(k)) for k, member in enumerate(report.members)]


def _limits(report: Report) -> Any:
    sweeps = _lettered(report)
    figure, ax = _figure()
    plot_front_load(sweeps, ax, names=False)
    _narrow(ax)
    ends = "; ".join(
        f"{shown_name(s.setup)} from {as_grams(s.rows[0].front_load_n):.0f} g on the level to {as_grams(s.rows[-1].front_load_n or 0.0):.0f} g at {s.rows[-1].grade_deg:.1f} deg"
        for s in sweeps
        if s.rows and s.rows[0].front_load_n is not None
    )
    found = [
        (
            svg_text(figure),
            "Front axle load over grade",
            f"Front axle load in a steady crawl falls with grade: {ends}.",
            "Front axle load in a steady crawl over grade.",
        )
    ]
    if len(sweeps) > 1:
        lines = report.options.thresholds
        noticed_n = lines.noticed_load_n(sweeps[0].rows[0].budget["standing_n"])
        figure, ax = _figure(2.1)
        plot_difference(sweeps, lines, ax, names=False)
        _narrow(ax)
        found.append(
            (
                svg_text(figure),
                "What each setup changes",
                "Front axle load of each setup less that of A over grade, with the bands of what can be measured and what would be noticed.",
                f"Change of the front axle load against A; dark band: cannot be measured here (within {as_grams(lines.measurable_load_n):.0f} g), "
                f"light band: would not be noticed (within {as_grams(noticed_n):.0f} g).",
            )
        )
    if not report.members[0].rigid:
        sweep = sweeps[0]
        figure, ax = _figure()
        plot_budget(sweep, ax)
        _narrow(ax)
        found.append(
            (
                svg_text(figure),
                f"Budget of {shown_name(sweep.setup)} over grade",
                "Front axle load taken apart over grade: static load, what the grade takes from a rigid vehicle, what attitude takes or gives.",
                f"{shown_name(sweep.setup)}, {shown_name(report.members[0].name)}: where the front axle load goes in a steady crawl.",
            )
        )
    return found


def _still(report: Report) -> Any:
    """The first two setups laid over each other in the crawl of the verdict: more cannot be told apart at this size."""
    solved = [(k, m) for k, m in enumerate(report.members) if not m.rigid and m.at_grade.state is not None][:2]
    if not solved:
        return []
    figure, ax = _figure(2.9)
    for order, (k, member) in enumerate(solved):
        pose = solved_pose(member.climb.standing.values, coordinates_of(member.at_grade.state))
        plot_vehicle(pose, report.grade_deg, ax, setup=k, filled=order == 0)
    base = report.vehicle.wheelbase
    draw_ground(ax, report.grade_deg, -0.4 * base, 1.4 * base)
    ax.set_axis_off()
    ax.autoscale_view()
    loads = ", ".join(f"{letter(k)} {as_grams(m.at_grade.front_load_n):.0f} g" for k, m in solved)
    return [
        (
            svg_text(figure),
            "Steady crawl to scale",
            f"Side view at {report.grade_deg:g} deg. Front axle load: {loads}.",
            f"Steady crawl at {report.grade_deg:g} deg, to scale. Front axle load: {loads}.",
        )
    ]


def _thinned(result: Any, name: str, traces: list[np.ndarray], off_share: float = OFF_SHARE) -> Any:
    """A punch with the samples that lines between them need to follow all these traces."""
    take = _samples_that_matter(result.time_s, traces, off_share)
    return replace(
        result,
        setup=name,
        time_s=result.time_s[take],
        traces={k: v[take] for k, v in result.traces.items()},
        budget={k: v[take] for k, v in result.budget.items()},
    )


def _samples_that_matter(times: np.ndarray, traces: list[np.ndarray], off_share: float) -> list[int]:
    """Places of samples, the worst followed first, until every trace is followed."""
    take = sorted({*range(0, len(times), EVERY), len(times) - 1})
    allowed = off_share * max(float(np.ptp(trace)) for trace in traces)
    while len(take) < len(times):
        off = np.max([np.abs(np.interp(times, times[take], trace[take]) - trace) for trace in traces], axis=0)
        worst = int(np.argmax(off))
        if off[worst] <= allowed:
            break
        take = sorted([*take, worst])
    return take


def _punch(report: Report) -> Any:
    done = [(k, m) for k, m in enumerate(report.members) if m.punch is not None and m.punch.success]
    if not done:
        return []
    punches = [(letter(k), m.punch) for k, m in done]
    ends = ENDS if len(punches) == 1 else ("front",)
    results = [_thinned(p, name, [p.traces[f"{end}_load_n"] for end in ends]) for name, p in punches]
    figure, ax = _figure()
    plot_loads(results, ax, names=False)
    _narrow(ax)
    grade_deg = results[0].options.grade_deg
    words = "; ".join(
        f"{shown_name(r.setup)}: minimum {as_grams(r.summary['front_load_min_n']):.0f} g, {1e3 * r.summary['front_airborne_s']:.0f} ms in the air"
        for r in results
    )
    found = [
        (
            svg_text(figure),
            "Front axle load over time in a punch",
            f"Front axle load from the crawl at {grade_deg:g} deg through the punch. {words}.",
            f"Throttle punch at {grade_deg:g} deg: {'front and rear load' if len(results) == 1 else 'front axle load of every setup'} over time.",
        )
    ]
    figure, ax = _figure(3.0)
    name, first = punches[0]
    plot_budget_over_time(_thinned(first, name, [first.front_load_n, *first.budget.values()], PARTS_OFF_SHARE), ax)
    _narrow(ax)
    found.append(
        (
            svg_text(figure),
            f"Budget of {shown_name(results[0].setup)} over time",
            "Front axle load of the punch taken apart over time: standing, grade, attitude, accelerations and rotations stacked above and below zero.",
            f"{shown_name(results[0].setup)}: what gives front axle load (above zero) and what takes it (below) during the punch; the line is their sum.",
        )
    )
    return found


def _parts(report: Report) -> Any:
    """What each setup changes, taken apart: the crawl beside the punch where there is one, else the crawl alone."""
    punched, compared = report.punched, report.comparison
    rows: list[tuple[int, str, tuple]]
    titles: tuple[str, ...]
    if punched is not None and any(d.budget and d.creep_budget for d in punched.differences):
        rows = [(k, d.setup, (d.creep_budget, d.budget)) for k, d in enumerate(punched.differences, start=1)]
        titles = (f"crawl at {report.punch_grade_deg:g} deg", "punch, at its minimum")
    elif compared is not None and any(d.budget for d in compared.differences) and not report.members[0].rigid:
        rows = [(k, d.setup, (d.budget,)) for k, d in enumerate(compared.differences, start=1)]
        titles = (f"crawl at {compared.grade_deg:g} deg",)
    else:
        return []
    lines = report.options.thresholds
    noticed_n = lines.noticed_load_n(report.members[0].sweep.rows[0].budget["standing_n"])
    figure = draw_difference_parts(rows, lines.measurable_load_n, noticed_n, titles=titles, width=WIDE, names=False)
    words = "What each setup changes of the front axle load, by part: " + "; ".join(titles) + "."
    caption = (
        "Setup less A by part, g; diamond: the sum. Dark band: cannot be measured, light band: would not be noticed."
    )
    return [(svg_text(figure), "Differences by part", words, caption)]


def _links(report: Report) -> Any:
    studies = [replace(m.links, setup=letter(k)) for k, m in enumerate(report.members) if m.links is not None]
    if not studies:
        return []
    found = []
    for end in ENDS:
        figure, ax = _figure(1.75)
        plot_construction(studies, end, ax, names=False)
        ax.set_title("")
        found.append(
            (
                svg_text(figure),
                f"Link lines of the {end} axle",
                f"Side view to scale: lines of both {end} links, their crossing where it lies near, and the 100 % lines.",
                f"{end.capitalize()} axle in the crawl, to scale: link lines and, where it lies near, the instant centre (ring). "
                "Long dashes: 100 % by the textbook and as driven.",
            )
        )
    for end in ENDS:
        figure, ax = _figure(2.1)
        plot_figures_over_travel(studies, end, ax)
        ax.set_xlabel(f"{end} wheels, mm: droop left, bump right")
        _narrow(ax)
        found.append(
            (
                svg_text(figure),
                f"Figures of the {end} axle over travel",
                f"Anti-figure of the {end} axle in percent over wheel travel from droop to bump.",
                f"{end.capitalize()} axle: the figures over wheel travel; they are no constants of a vehicle.",
            )
        )
    return found


def _bench(report: Report) -> Any:
    if report.bench is None:
        return []
    lettered = replace(
        report.bench, members=tuple(replace(m, setup=letter(k)) for k, m in enumerate(report.bench.members))
    )
    figure, ax = _figure()
    plot_bench_loads(lettered, ax, names=False)
    _narrow(ax)
    words = "; ".join(
        f"{shown_name(m.setup)} free at {m.lift.torque_n_mm:.0f} N mm" for m in lettered.members if m.lift is not None
    )
    return [
        (
            svg_text(figure),
            "Front axle load over torque",
            f"Rear wheels held, front axle load over the torque at the rear wheels: {words}.",
            "Rear wheels held: front axle load over torque; the straight line is that of a rigid vehicle.",
        )
    ]


def _board(report: Report) -> Any:
    member = report.members[0]
    sizes = board_sizes(member.vehicle, report.grade_deg)
    caption = (
        f"The board at {report.grade_deg:g} deg, to scale: {sizes['length_mm']:.0f} mm long, at least {sizes['least_width_mm']:.0f} mm wide; prop {sizes['prop_length_mm']:.0f} mm high, slack catch line, "
        "soft mat behind, nobody below. Steeper or flatter: another height of the prop; read the angle with a gauge."
    )
    return (
        svg_text(draw_board(member.vehicle, member.climb, member.at_grade, width=WIDE, height=2.8, names=False)),
        "The board",
        caption,
        caption,
    )
