"""The vehicle as read, standing on level ground, to scale with its main dimensions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.pictures.side_view import Slope, draw_ground, plot_vehicle
from noseload.pictures.style import FAINT, INK, as_grams, figure_for, house_look, new_figure
from noseload.studies.climb.standing import coordinates_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.model.vehicle import Vehicle
    from noseload.pictures.style import NotebookFigure
    from noseload.studies.climb.describe import Description


@house_look
def draw_portrait(description: Description) -> NotebookFigure:
    """Figure of `plot_portrait`."""
    figure, (ax,) = new_figure(9.0, 4.8)
    plot_portrait(description, ax)
    return figure


@house_look
def plot_portrait(description: Any, ax: Axes | None = None, *, names: bool = True) -> Axes:
    """Side view with wheelbase, centre of gravity and axle loads.

    Parameters
    ----------
    description : Description
    ax : Axes, optional
    names : bool
        With dimensions and loads; without them they stand elsewhere.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 9.0, 4.8)
    climb, vehicle = description.climb, description.vehicle
    if not climb.rigid:
        pose = solved_pose(climb.standing.values, coordinates_of(climb.standing.state))
        plot_vehicle(pose, 0.0, ax)
        rear = pose.points["rear_contact"][0]
        wheelbase = pose.points["front_contact"][0] - rear
        centre = (pose.points["centre_of_gravity"][0] - rear, pose.points["centre_of_gravity"][1])
    else:
        wheelbase, centre = vehicle.wheelbase, (climb.distance, climb.height)
        _plot_block(ax, vehicle, centre)
    draw_ground(ax, 0.0, -0.35 * wheelbase, 1.35 * wheelbase)
    if names:
        _write_numbers(ax, description, wheelbase, centre)
        ax.set_title(f"{shown_name(vehicle.name)} ({shown_name(vehicle.setup)}), level {vehicle.level} file, to scale")
    ax.set_aspect("equal")
    ax.autoscale_view()
    ax.set_axis_off()
    return ax


def _write_numbers(ax: Axes, description: Any, wheelbase: float, centre: tuple[float, float]) -> None:
    """Dimension lines, and the loads beside the wheels."""
    slope = Slope(0.0)
    _dimension(ax, slope.place((0.0, 0.0)), slope.place((wheelbase, 0.0)), -58.0, f"wheelbase {1e3 * wheelbase:.1f} mm")
    _dimension(ax, slope.place((0.0, 0.0)), slope.place((centre[0], 0.0)), -34.0, f"{1e3 * centre[0]:.1f} mm")
    x, z = slope.place(centre)
    ax.annotate("", (x, 0.0), (x, z), arrowprops={"arrowstyle": "<->", "color": FAINT, "lw": 1.0})
    ax.annotate(
        f"centre of gravity\n{1e3 * centre[1]:.1f} mm up",
        (x, 0.3 * z),
        xytext=(5, 0),
        textcoords="offset points",
        fontsize=8.5,
        va="center",
        bbox={"fc": "white", "ec": "none", "alpha": 0.8, "pad": 0.6},
    )
    for end, at in (("rear", 0.0), ("front", wheelbase)):
        ax.annotate(
            f"{end} {as_grams(description.loads_n[end]):.0f} g",
            (1e3 * at, -14.0),
            xytext=(-8 if end == "rear" else 8, -4),
            textcoords="offset points",
            ha="right" if end == "rear" else "left",
            va="top",
            fontsize=9,
            fontweight="bold",
        )


def _plot_block(ax: Axes, vehicle: Vehicle, centre: Any) -> None:
    from matplotlib.patches import Circle

    from noseload.model.parameters import wheel_height

    for x, axle in ((0.0, vehicle.rear), (vehicle.wheelbase, vehicle.front)):
        radius = 1e3 * wheel_height(axle)
        ax.add_patch(Circle((1e3 * x, radius), radius, fc="#e9ecef", ec=INK, lw=1.2))
    ax.plot([1e3 * centre[0]], [1e3 * centre[1]], marker="+", ms=12, color=INK)


def _dimension(ax: Axes, a: tuple[float, float], b: tuple[float, float], drop: float, text: str) -> None:
    """A dimension line `drop` mm below two points on the ground."""
    for x, _ in (a, b):
        ax.plot([x, x], [-15.0, drop - 4.0], color=FAINT, lw=0.8)
    ax.annotate(
        "",
        (b[0], drop),
        (a[0], drop),
        arrowprops={"arrowstyle": "<->", "color": FAINT, "lw": 1.0, "shrinkA": 0, "shrinkB": 0},
    )
    ax.text((a[0] + b[0]) / 2, drop + 1.5, text, ha="center", va="bottom", fontsize=8.5)
