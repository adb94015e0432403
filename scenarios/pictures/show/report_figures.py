"""The drawings of the page for everyone: small enough for a phone, setups by letter, each with words in its place."""

from dataclasses import replace

from noseload.documents import letter
from noseload.model.crawl.geometry import solved_pose
from noseload.model.parameters import ENDS
from noseload.pictures.climb.bench import plot_bench_loads
from noseload.pictures.climb.loads import plot_budget, plot_difference, plot_front_load
from noseload.pictures.links.links import plot_construction, plot_figures_over_travel
from noseload.pictures.measuring.board import board_sizes, draw_board
from noseload.pictures.punch.punch import plot_budget_over_time, plot_loads
from noseload.pictures.side_view import draw_ground, plot_vehicle
from noseload.pictures.style import as_grams, house_look, new_figure
from noseload.studies.climb.standing import coordinates_of

from .inline_svg import svg_text
from .portrait import draw_portrait

WIDE, TALL = 5.0, 3.7
"""Inches; at 9 points the words can still be read on a phone."""
THIN_S = 0.004
"""Samples of the drawn punch, s: finer than a pixel of a page is waste."""


@house_look
def report_figures(report):
    """All drawings.

    Parameters
    ----------
    report : studies.report.Report

    Returns
    -------
    dict of str to list of (svg, title, description, caption)
        Under 'portrait', 'limits', 'still', 'punch', 'links', 'board', 'bench'.
    """
    return {
        "portrait": [_portrait(report)],
        "limits": _limits(report),
        "still": _still(report),
        "punch": _punch(report),
        "links": _links(report),
        "board": [_board(report)],
        "bench": _bench(report),
    }


def _figure(height=TALL):
    figure, (ax,) = new_figure(WIDE, height)
    return figure, ax


def _portrait(report):
    figure = draw_portrait(report.description)
    figure.set_size_inches(5.3, 2.3)
    figure.axes[0].set_title("")
    figure.axes[0].margins(x=0.08)
    seen = report.description.to_dict()
    words = (
        f"Side view to scale, standing level: wheelbase {1e3 * report.vehicle.wheelbase:.0f} mm, centre of gravity {seen['centre_of_gravity_mm'][0]:.0f} mm ahead of "
        f"the rear axle and {seen['centre_of_gravity_mm'][1]:.0f} mm up, rear {as_grams(seen['rear_load_n']):.0f} g, front {as_grams(seen['front_load_n']):.0f} g."
    )
    return svg_text(figure), "The vehicle standing", words, ""


def _lettered(report):
    return [replace(member.sweep, setup=letter(k)) for k, member in enumerate(report.members)]


def _limits(report):
    sweeps = _lettered(report)
    figure, ax = _figure()
    plot_front_load(sweeps, ax)
    ends = "; ".join(
        f"{s.setup} from {as_grams(s.rows[0].front_load_n):.0f} g on the level to {as_grams(s.rows[-1].front_load_n or 0.0):.0f} g at {s.rows[-1].grade_deg:.1f} deg"
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
        figure, ax = _figure(2.9)
        plot_difference(sweeps, report.options.thresholds, ax)
        found.append(
            (
                svg_text(figure),
                "What each setup changes",
                "Front axle load of each setup less that of A over grade, with the bands of what can be measured and what would be noticed.",
                "Change of the front axle load against A; dark band: cannot be measured here, light band: would not be noticed.",
            )
        )
    if not report.members[0].rigid:
        for k, sweep in ((k, sweeps[k]) for k in _of_interest(report)):
            figure, ax = _figure()
            plot_budget(sweep, ax)
            found.append(
                (
                    svg_text(figure),
                    f"Budget of {sweep.setup} over grade",
                    "Front axle load taken apart over grade: static load, what the grade takes from a rigid vehicle, what attitude takes or gives.",
                    f"{sweep.setup}, {report.members[k].name}: where the front axle load goes in a steady crawl.",
                )
            )
    return found


def _of_interest(report):
    """Places of the first setup and of the one that changes the front load most."""
    known = (
        []
        if report.comparison is None
        else [
            (abs(d.front_load_n), k)
            for k, d in enumerate(report.comparison.differences, start=1)
            if d.front_load_n is not None
        ]
    )
    return [0, max(known)[1]] if known else [0]


def _still(report):
    """Setups laid over each other in the crawl of the verdict."""
    solved = [(k, m) for k, m in enumerate(report.members) if not m.rigid and m.at_grade.state is not None]
    if not solved:
        return []
    figure, ax = _figure(4.6)
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


def _thinned(result, name):
    """A punch with fewer samples for drawing; the last one is kept."""
    stride = max(1, round(THIN_S / result.options.sample_s))
    take = [*range(0, len(result.time_s) - 1, stride), len(result.time_s) - 1]
    return replace(
        result,
        setup=name,
        time_s=result.time_s[take],
        traces={k: v[take] for k, v in result.traces.items()},
        budget={k: v[take] for k, v in result.budget.items()},
    )


def _punch(report):
    done = [(k, m) for k, m in enumerate(report.members) if m.punch is not None and m.punch.success]
    if not done:
        return []
    results = [_thinned(m.punch, letter(k)) for k, m in done]
    figure, ax = _figure()
    plot_loads(results, ax, names=False)
    grade_deg = results[0].options.grade_deg
    words = "; ".join(
        f"{r.setup}: least {as_grams(r.summary['front_load_min_n']):.0f} g, {1e3 * r.summary['front_airborne_s']:.0f} ms in the air"
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
    figure, ax = _figure(4.4)
    plot_budget_over_time(results[0], ax)
    found.append(
        (
            svg_text(figure),
            f"Budget of {results[0].setup} over time",
            "Front axle load of the punch taken apart over time: standing, grade, attitude, accelerations and rotations stacked above and below zero.",
            f"{results[0].setup}: what gives front axle load (above zero) and what takes it (below) during the punch; the line is their sum.",
        )
    )
    return found


def _links(report):
    studies = [replace(m.links, setup=letter(k)) for k, m in enumerate(report.members) if m.links is not None]
    if not studies:
        return []
    found = []
    for end in ENDS:
        figure, ax = _figure(3.1)
        plot_construction(studies, end, ax)
        found.append(
            (
                svg_text(figure),
                f"Link lines of the {end} axle",
                f"Side view to scale: lines of both {end} links, their crossing where it lies near, and the 100 % lines.",
                f"{end.capitalize()} axle: link lines and instant centre, to scale.",
            )
        )
    for end in ENDS:
        figure, ax = _figure(2.9)
        plot_figures_over_travel(studies, end, ax)
        ax.set_xlabel(f"{end} wheels, mm: droop left, bump right")
        found.append(
            (
                svg_text(figure),
                f"Figures of the {end} axle over travel",
                f"Anti-figure of the {end} axle in percent over wheel travel from droop to bump.",
                f"{end.capitalize()} axle: the figures over wheel travel; they are no constants of a vehicle.",
            )
        )
    return found


def _bench(report):
    if report.bench is None:
        return []
    lettered = replace(
        report.bench, members=tuple(replace(m, setup=letter(k)) for k, m in enumerate(report.bench.members))
    )
    figure, ax = _figure()
    plot_bench_loads(lettered, ax)
    words = "; ".join(
        f"{m.setup} free at {m.lift.torque_n_mm:.0f} N mm" for m in lettered.members if m.lift is not None
    )
    return [
        (
            svg_text(figure),
            "Front axle load over torque",
            f"Rear wheels held, front axle load over the torque at the rear wheels: {words}.",
            "Rear wheels held: front axle load over torque; the straight line is that of a rigid vehicle.",
        )
    ]


def _board(report):
    member = report.members[0]
    sizes = board_sizes(member.vehicle, report.grade_deg)
    caption = (
        f"The board at {report.grade_deg:g} deg, to scale: {sizes['length_mm']:.0f} mm long, at least {sizes['least_width_mm']:.0f} mm wide; prop, slack catch line, "
        "soft mat behind, nobody below. Steeper or flatter: another height of the prop; read the angle with a gauge."
    )
    return svg_text(draw_board(member.vehicle, member.climb, member.at_grade)), "The board", caption, caption
