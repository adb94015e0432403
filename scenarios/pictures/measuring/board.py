"""The tilting board to scale: hinge, prop, angle, catch line, scale under the front wheels, dimensions to build it."""

from __future__ import annotations

from math import ceil, cos, radians, sin
from typing import TYPE_CHECKING, Any

from matplotlib.patches import Arc, Circle, Polygon, Rectangle

from noseload.model.crawl.geometry import solved_pose
from noseload.model.parameters import ENDS, axle_of, wheel_height
from noseload.pictures.side_view import Slope, plot_vehicle
from noseload.pictures.style import FAINT, INK, house_look, new_figure
from noseload.studies.climb.standing import coordinates_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.model.vehicle import Vehicle


BOARD_THICK, BOARD_STEP = 18.0, 100.0
"""Plywood, mm; the length is rounded up to full decimetres."""
BEHIND, AHEAD = 0.55, 0.75
"""Room on the board behind and ahead of the vehicle, in wheelbases."""
PROP_AT = 0.72
"""Where the prop holds the board, as a share of its length from the hinge."""
WOOD, ROPE = "#e3c893", "#b5452c"


def board_sizes(vehicle: Vehicle, angle_deg: float) -> dict:
    """Dimensions of a board for a vehicle at a grade, mm.

    Returns
    -------
    dict
        `length_mm`, `thickness_mm`, `hinge_to_rear_axle_mm`, `hinge_to_prop_mm`, `prop_length_mm`, `least_width_mm`.
    """
    base = 1e3 * vehicle.wheelbase
    length = BOARD_STEP * ceil((1.0 + BEHIND + AHEAD) * base / BOARD_STEP)
    place = PROP_AT * length
    width = 1e3 * (vehicle.track_width or 0.62 * vehicle.wheelbase) + 120.0
    return {
        "length_mm": length,
        "thickness_mm": BOARD_THICK,
        "hinge_to_rear_axle_mm": BEHIND * base,
        "hinge_to_prop_mm": place,
        "prop_length_mm": place * sin(radians(angle_deg)),
        "least_width_mm": 10.0 * ceil(width / 10.0),
    }


@house_look
def draw_board(
    vehicle: Vehicle, climb: Any, row: Any, *, width: float = 5.0, height: float = 5.0, names: bool = True
) -> Any:
    """The vehicle of a crawl standing on a board at its grade, to scale.

    Parameters
    ----------
    vehicle : Vehicle
    climb : Climb or RigidClimb
    row : Creep
        Whose grade and pose are drawn; without a pose the vehicle stands as on level ground.
    width, height : float
        Inches.
    names : bool
        With names and dimensions; without them they stand elsewhere.

    Returns
    -------
    Figure
    """
    figure, (ax,) = new_figure(width, height)
    angle = row.grade_deg
    sizes = board_sizes(vehicle, angle)
    slope = Slope(angle)
    long, start = sizes["length_mm"], sizes["hinge_to_rear_axle_mm"]

    def at(along: Any, above: float = 0.0) -> Any:
        return slope.place((1e-3 * (along - start), 1e-3 * above))

    ax.add_patch(
        Polygon(
            [at(0), at(long), at(long, -BOARD_THICK), at(0, -BOARD_THICK)],
            closed=True,
            fc=WOOD,
            ec=INK,
            lw=1.0,
            zorder=1,
        )
    )
    hinge = at(0, -BOARD_THICK)
    floor = hinge[1] - 6.0
    right = at(long)[0] + 60.0
    ax.add_patch(
        Rectangle((hinge[0] - 110.0, floor - 12.0), right - hinge[0] + 190.0, 12.0, fc="#d9d2c5", ec="none", zorder=0)
    )
    ax.plot([hinge[0] - 110.0, right + 80.0], [floor, floor], color=INK, lw=1.0)
    _prop(ax, at, sizes, hinge, floor, angle, names)
    _vehicle(ax, vehicle, climb, row, angle)
    _catch_line(ax, at, vehicle, sizes, names)
    if names:
        _numbers(ax, at, sizes, hinge, floor, angle)
    ax.set_aspect("equal")
    ax.autoscale_view()
    ax.margins(0.05)
    ax.set_axis_off()
    return figure


def _prop(ax: Axes, at: Any, sizes: Any, hinge: Any, floor: float, angle: Any, names: bool) -> None:
    top = at(sizes["hinge_to_prop_mm"], -BOARD_THICK)
    ax.plot([top[0], top[0]], [floor, top[1]], color=INK, lw=5.0, solid_capstyle="butt", zorder=1)
    ax.plot([top[0], top[0]], [floor, top[1]], color=WOOD, lw=3.2, solid_capstyle="butt", zorder=1.1)
    ax.add_patch(Circle(hinge, 5.0, fc="white", ec=INK, lw=1.2, zorder=3))
    ax.add_patch(Arc(hinge, 220.0, 220.0, theta1=0.0, theta2=angle, color=INK, lw=1.0))
    middle = radians(0.5 * angle)
    ax.annotate(
        f"{angle:g} deg",
        (hinge[0] + 118.0 * cos(middle), hinge[1] + 118.0 * sin(middle)),
        fontsize=8.5,
        va="center",
        fontweight="bold",
    )
    if not names:
        return
    ax.annotate("hinge", hinge, xytext=(-8, 5), textcoords="offset points", fontsize=8, ha="right", va="bottom")
    ax.annotate(
        "prop, tied to the board\nand to the floor",
        (top[0], 0.45 * (floor + top[1])),
        xytext=(7, 0),
        textcoords="offset points",
        fontsize=8,
        va="center",
    )


def _vehicle(ax: Axes, vehicle: Vehicle, climb: Any, row: Any, angle: Any) -> None:
    if not climb.rigid:
        state = climb.standing.state if row.state is None else row.state
        plot_vehicle(solved_pose(climb.standing.values, coordinates_of(state)), angle, ax)
        return
    slope = Slope(angle)
    for end in ENDS:
        radius = wheel_height(axle_of(vehicle, end))
        x = 0.0 if end == "rear" else vehicle.wheelbase
        ax.add_patch(Circle(slope.place((x, radius)), 1e3 * radius, fc="#e9ecef", ec=INK, lw=1.2, zorder=2))


def _catch_line(ax: Axes, at: Any, vehicle: Vehicle, sizes: Any, names: bool) -> None:
    """A slack line from the upper end of the board to the nose, and a mat below."""
    nose = at(sizes["hinge_to_rear_axle_mm"] + 1e3 * vehicle.wheelbase, 95.0)
    ring = at(sizes["length_mm"] - 20.0, 0.0)
    sag = (0.5 * (nose[0] + ring[0]) + 25.0, min(nose[1], ring[1]) - 8.0)
    steps = [k / 20.0 for k in range(21)]
    path = [
        tuple((1 - t) ** 2 * a + 2 * t * (1 - t) * b + t**2 * c for a, b, c in zip(nose, sag, ring, strict=True))
        for t in steps
    ]
    ax.plot(*zip(*path, strict=True), color=ROPE, lw=1.6, zorder=5)
    if not names:
        return
    ax.annotate(
        "slack catch line",
        ring,
        xytext=(-10, 10),
        textcoords="offset points",
        fontsize=8,
        color=ROPE,
        ha="right",
        va="bottom",
    )


def _numbers(ax: Axes, at: Any, sizes: Any, hinge: Any, floor: float, angle: Any) -> None:
    """Lengths along the board, below it, and the prop's height."""
    words = f"board {sizes['length_mm']:.0f} x at least {sizes['least_width_mm']:.0f} x {sizes['thickness_mm']:.0f} mm"
    a, b = at(0.0, -BOARD_THICK - 34.0), at(sizes["length_mm"], -BOARD_THICK - 34.0)
    ax.annotate("", b, a, arrowprops={"arrowstyle": "<->", "color": FAINT, "lw": 1.0, "shrinkA": 0, "shrinkB": 0})
    ax.annotate(
        words,
        (a[0] + 0.37 * (b[0] - a[0]), a[1] + 0.37 * (b[1] - a[1])),
        xytext=(0, -4),
        textcoords="offset points",
        rotation=angle,
        rotation_mode="anchor",
        ha="center",
        va="top",
        fontsize=8,
    )
    top = at(sizes["hinge_to_prop_mm"], -BOARD_THICK)
    y = floor - 34.0
    ax.annotate(
        "",
        (top[0], y),
        (hinge[0], y),
        arrowprops={"arrowstyle": "<->", "color": FAINT, "lw": 1.0, "shrinkA": 0, "shrinkB": 0},
    )
    ax.annotate(
        f"hinge to prop {top[0] - hinge[0]:.0f} mm, prop {sizes['prop_length_mm']:.0f} mm high",
        ((top[0] + hinge[0]) / 2, y),
        xytext=(0, -4),
        textcoords="offset points",
        ha="center",
        va="top",
        fontsize=8,
    )
