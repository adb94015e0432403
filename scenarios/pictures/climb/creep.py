"""The vehicle in its pose of creep with the forces on it: the whole, and the rear axle alone."""

from __future__ import annotations

from math import radians
from typing import TYPE_CHECKING, Any

from matplotlib.patches import Circle, Polygon

from noseload.documents import letter
from noseload.model.crawl.free_body import Force, axle_alone, whole_vehicle
from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.model.parameters import LINKS, wheel_height
from noseload.pictures.names import key_below
from noseload.pictures.side_view import (
    FORCE_INK,
    NEWTONS_PER_METRE,
    Slope,
    centre_mark,
    draw_forces,
    draw_ground,
    hull,
    plot_vehicle,
)
from noseload.pictures.style import INK, NotebookFigure, as_grams, house_look, new_figure
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.model.crawl.geometry import Pose
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.results import Creep


@house_look
def draw_creep(solved: list[tuple[Climb, Creep]], interval: Any = None) -> NotebookFigure:
    """Free-body diagram of the whole vehicle and of its rear axle, creep at one grade.

    Parameters
    ----------
    solved : sequence of (Climb, Creep)
        The first is drawn with its forces; others (same grade) are laid over it as outlines.
    interval : Interval, optional
        95 % interval of the front axle load of the first, N, told beside it.

    Returns
    -------
    Figure
    """
    if solved[0][0].rigid:
        return _draw_rigid(*solved[0])
    figure, (left, right) = new_figure(11.5, 6.3 + 0.3 * len(solved), 1, 2, widths=(1.9, 1.0))
    grade_deg = solved[0][1].grade_deg
    poses = [solved_pose(climb.standing.values, coordinates_of(row.state)) for climb, row in solved]
    span = poses[0].points["front_contact"][0] - poses[0].points["rear_contact"][0]
    draw_ground(left, grade_deg, -0.45 * span, 1.4 * span)
    for k, pose in enumerate(poses):
        plot_vehicle(pose, grade_deg, left, setup=k, filled=k == 0)
    climb, first = solved[0]
    _whole_forces(left, climb, first, poses[0])
    told = [
        (
            k,
            f"{shown_name(row.setup)}: front {as_grams(row.front_load_n):.0f} g, nose up {row.nose_up_pitch_deg:.1f} deg on the slope",
        )
        for k, (_, row) in enumerate(solved)
    ]
    if interval is not None and interval.low is not None:
        ends = f"95 %: front {from_to(as_grams(interval.low), as_grams(interval.high), 0)} g"
        told[0] = (0, f"{told[0][1]}; {ends}")
    key_below(left, told, drop=6.0)
    whose = f" of {letter(0)}" if len(solved) > 1 else ""
    left.set_title(f"steady crawl at {grade_deg:g} deg, to scale{whose and ', forces'}{whose}")
    _rear_axle(right, climb, first, poses[0], whose)
    for ax in (left, right):
        ax.set_axis_off()
    return figure


def _whole_forces(ax: Axes, climb: Climb, row: Any, pose: Pose) -> None:
    slope = Slope(row.grade_deg, pose.points["rear_contact"][0])
    draw_forces(
        ax,
        slope,
        whole_vehicle(
            climb.standing.values,
            coordinates_of(row.state),
            radians(row.grade_deg),
            (row.rear_load_n, row.front_load_n),
            (row.rear_traction_n, row.front_traction_n),
        ),
    )
    ax.autoscale_view()
    ax.margins(0.06)


def _rear_axle(ax: Axes, climb: Climb, row: Any, pose: Pose, whose: str) -> None:
    """The rear axle cut free, with every force on it."""
    slope = Slope(row.grade_deg, pose.points["rear_contact"][0])
    centre = slope.place(pose.points["rear_wheel_centre"])
    ax.add_patch(Circle(centre, 1e3 * pose.radii["rear"], fc="#e9ecef", ec=INK, lw=1.0))
    housing = [slope.place(pose.points[f"rear_{name}_axle"]) for name in (*LINKS, "shock")] + [centre]
    ax.add_patch(Polygon(hull(housing), closed=True, fc="#cdd5db", ec=INK, lw=1.0))
    tensions = {link: getattr(row, f"rear_{link}_n") for link in LINKS}
    forces = axle_alone(
        climb.standing.values,
        coordinates_of(row.state),
        "rear",
        radians(row.grade_deg),
        row.rear_load_n,
        row.rear_traction_n,
        tensions,
    )
    draw_forces(ax, slope, forces)
    low, high = (
        slope.place((pose.points["rear_contact"][0] - 0.08, 0.0)),
        slope.place((pose.points["rear_contact"][0] + 0.10, 0.0)),
    )
    ax.plot([low[0], high[0]], [low[1], high[1]], color=INK, lw=1.0)
    ax.set_aspect("equal")
    ax.autoscale_view()
    ax.margins(0.22)
    upper, lower = (
        "tension" if force > 0.0 else "compression" for force in (row.rear_upper_link_n, row.rear_lower_link_n)
    )
    ax.set_title(f"rear axle{whose} cut free: upper link in {upper}, lower in {lower}")


def _draw_rigid(climb: Any, row: Any) -> Any:
    """A level A vehicle: a block on two wheel pairs."""
    figure, (ax,) = new_figure(8.0, 6.0)
    vehicle = climb.vehicle
    slope = Slope(row.grade_deg)
    draw_ground(ax, row.grade_deg, -0.4 * vehicle.wheelbase, 1.4 * vehicle.wheelbase)
    for x, axle in ((0.0, vehicle.rear), (vehicle.wheelbase, vehicle.front)):
        radius = wheel_height(axle)
        ax.add_patch(Circle(slope.place((x, radius)), 1e3 * radius, fc="#e9ecef", ec=INK, lw=1.2))
        for traction, load, at in (
            (row.rear_traction_n, row.rear_load_n, 0.0),
            (row.front_traction_n, row.front_load_n, vehicle.wheelbase),
        ):
            if at == x:
                _rigid_forces(ax, slope, at, load, traction)
    centre = slope.place((climb.distance, climb.height))
    centre_mark(ax, centre, INK)
    ax.annotate(
        "",
        (centre[0], centre[1] - 1e3 * climb.weight / NEWTONS_PER_METRE),
        centre,
        arrowprops={"arrowstyle": "-|>", "color": FORCE_INK, "lw": 1.6},
    )
    ax.text(
        0.02,
        0.95,
        f"{shown_name(row.setup)}: front {as_grams(row.front_load_n):.0f} g (rigid: no links in the file)",
        transform=ax.transAxes,
        fontsize=9,
    )
    ax.set_aspect("equal")
    ax.set_axis_off()
    return figure


def _rigid_forces(ax: Axes, slope: Any, x: float, load: float, traction: float) -> None:
    draw_forces(ax, slope, [Force("load", (x, 0.0), (0.0, load)), Force("traction", (x, 0.0), (traction, 0.0))])
