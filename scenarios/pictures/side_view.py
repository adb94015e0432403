"""The vehicle to scale in a solved pose on its slope, setups superposed, and forces as arrows."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

from matplotlib.patches import Circle, Polygon

from noseload.model.parameters import ENDS, LINKS

from .label_places import KeepApart
from .style import GROUND, INK, figure_for, house_look, look

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Annotation

    from noseload.model.crawl.free_body import Force
    from noseload.model.crawl.geometry import Pose


NEWTONS_PER_METRE = 220.0
"""Arrow scale: 1 N is drawn 4.5 mm long at the scale of the vehicle."""
FORCE_INK = "#1f5fa8"
PARTS = (*LINKS, "shock")
LONG_MM = 60.0
"""An arrow longer than this has room for words beside it."""
CENTRE_MM = 5.0
"""Radius of the mark at the centre of gravity, mm of the vehicle."""
FORCE_WORDS = {
    "weight": "weight",
    "rear_load": "rear load",
    "front_load": "front axle load",
    "rear_traction": "traction",
    "front_traction": "traction",
    "load": "tyre load",
    "traction": "traction",
    "lower_link": "lower link",
    "upper_link": "upper link",
    "shock": "shock",
    "clamp_traction": "clamp",
}


class Slope:
    """Turns incline coordinates into paper coordinates (mm), the slope drawn at its angle."""

    def __init__(self, grade_deg: float, origin: float = 0.0) -> None:
        self.angle_deg = grade_deg
        self.cosine, self.sine, self.origin = cos(radians(grade_deg)), sin(radians(grade_deg)), origin

    def place(self, point: tuple[float, float]) -> tuple[float, float]:
        """Paper coordinates of a point, mm."""
        x, z = point[0] - self.origin, point[1]
        return 1e3 * (x * self.cosine - z * self.sine), 1e3 * (x * self.sine + z * self.cosine)

    def turn(self, vector: tuple[float, float]) -> tuple[float, float]:
        """Paper components of a vector."""
        return vector[0] * self.cosine - vector[1] * self.sine, vector[0] * self.sine + vector[1] * self.cosine


@house_look
def plot_vehicle(
    pose: Pose, grade_deg: float, ax: Axes | None = None, *, setup: int = 0, origin: Any = None, filled: bool = True
) -> Axes:
    """Draw a vehicle in a pose.

    Parameters
    ----------
    pose : Pose
        Of `noseload.model.crawl.geometry.solved_pose`.
    grade_deg : float
    ax : Axes, optional
    setup : int
        Place in the order of setups: it chooses colour and dash.
    origin : float, optional
        x of the incline frame drawn at the paper's origin, m (default: the rear contact).
    filled : bool
        Tyres and chassis filled; superposed setups are outlines.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.0, 6.0)
    VehicleArtist(
        ax,
        pose,
        Slope(grade_deg, pose.points["rear_contact"][0] if origin is None else origin),
        setup=setup,
        filled=filled,
    )
    ax.set_aspect("equal")
    return ax


class VehicleArtist:
    """A vehicle drawn once, whose parts can then be moved to other poses.

    Parameters
    ----------
    ax : Axes
    pose : Pose
    slope : Slope
    setup : int
        Place in the order of setups: colour and dash.
    filled : bool
        Superposed setups are outlines.
    """

    def __init__(self, ax: Axes, pose: Pose, slope: Slope, *, setup: int = 0, filled: bool = True) -> None:
        colour, dash = look(setup)
        shape = vehicle_shape(pose, slope)
        self.wheels: dict[str, Any] = {}
        self.hubs: dict[str, Any] = {}
        self.housings: dict[str, Any] = {}
        self.bars: dict[str, Any] = {}
        for end in ENDS:
            centre = shape["wheels"][end]
            self.wheels[end] = ax.add_patch(
                Circle(
                    centre,
                    1e3 * pose.radii[end],
                    fc="#e9ecef" if filled else "none",
                    ec=colour,
                    lw=1.2,
                    ls=dash,
                    zorder=1,
                )
            )
            self.hubs[end] = ax.add_patch(Circle(centre, 3.0, fc=colour, ec="none", zorder=4))
            self.housings[end] = ax.add_patch(
                Polygon(
                    shape["housings"][end],
                    closed=True,
                    fc="#cdd5db" if filled else "none",
                    ec=colour,
                    lw=1.0,
                    ls=dash,
                    joinstyle="round",
                    zorder=2,
                )
            )
        self.frame: Any = ax.add_patch(
            Polygon(
                shape["frame"],
                closed=True,
                fc="#f3efe6" if filled else "none",
                ec=colour,
                lw=1.2,
                ls=dash,
                zorder=2,
                joinstyle="round",
            )
        )
        for name, ((x0, z0), (x1, z1)) in shape["bars"].items():
            shock = name.endswith("shock")
            width, line = (3.4 if filled else 2.0, (0, (1, 0.8))) if shock else (2.4, dash)
            (self.bars[name],) = ax.plot(
                [x0, x1], [z0, z1], color=colour, lw=width, ls=line, solid_capstyle="round", zorder=3
            )
        (self.joints,) = ax.plot(
            *_joints(shape), color=colour, ls="none", marker="o", ms=4, mfc="white", mew=1.0, zorder=4
        )
        self.centre = centre_mark(ax, shape["centre"], colour)

    def move(self, pose: Pose, slope: Slope) -> None:
        """Put every part where another pose has it."""
        shape = vehicle_shape(pose, slope)
        for end in ENDS:
            self.wheels[end].center = self.hubs[end].center = shape["wheels"][end]
            self.housings[end].set_xy(shape["housings"][end])
        self.frame.set_xy(shape["frame"])
        for name, ((x0, z0), (x1, z1)) in shape["bars"].items():
            self.bars[name].set_data([x0, x1], [z0, z1])
        self.joints.set_data(*_joints(shape))
        x, z = shape["centre"]
        circle, level, upright = self.centre
        circle.center = x, z
        level.set_data([x - CENTRE_MM, x + CENTRE_MM], [z, z])
        upright.set_data([x, x], [z - CENTRE_MM, z + CENTRE_MM])

    @property
    def artists(self) -> list:
        """Everything drawn, for showing, hiding and blitting."""
        parts = [
            *self.wheels.values(),
            *self.hubs.values(),
            *self.housings.values(),
            self.frame,
            *self.bars.values(),
            self.joints,
            *self.centre,
        ]
        return sorted(parts, key=lambda artist: artist.get_zorder())

    def set_visible(self, visible: bool) -> None:
        """Show or hide all of it."""
        for artist in self.artists:
            artist.set_visible(visible)


def vehicle_shape(pose: Pose, slope: Slope) -> dict:
    """Where the parts lie on paper, mm.

    Returns
    -------
    dict
        'wheels' and 'housings' by end, 'frame', 'bars' by name as pairs of points, 'centre'.
    """
    points = {name: slope.place(point) for name, point in pose.points.items()}
    wheels = {end: points[f"{end}_wheel_centre"] for end in ENDS}
    return {
        "wheels": wheels,
        "housings": {end: hull([points[f"{end}_{name}_axle"] for name in PARTS] + [wheels[end]]) for end in ENDS},
        "frame": hull([points[f"{end}_{name}_chassis"] for end in ENDS for name in PARTS]),
        "bars": {
            f"{end}_{name}": (points[f"{end}_{name}_chassis"], points[f"{end}_{name}_axle"])
            for end in ENDS
            for name in PARTS
        },
        "centre": points["centre_of_gravity"],
    }


def _joints(shape: dict[str, Any]) -> Any:
    """All ends of links and shocks, as x and z."""
    return zip(*(end for ends in shape["bars"].values() for end in ends), strict=True)


def centre_mark(ax: Axes, centre: tuple[float, float], colour: str) -> tuple:
    """The mark of a centre of gravity: its circle and cross; artists."""
    x, z = centre
    circle = ax.add_patch(Circle(centre, CENTRE_MM, fc="white", ec=colour, lw=1.4, zorder=6))
    (level,) = ax.plot([x - CENTRE_MM, x + CENTRE_MM], [z, z], color=colour, lw=1.0, zorder=7)
    (upright,) = ax.plot([x, x], [z - CENTRE_MM, z + CENTRE_MM], color=colour, lw=1.0, zorder=7)
    return circle, level, upright


def hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Convex hull, counter-clockwise (A. M. Andrew, Information Processing Letters 9, 1979)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered

    def half(sequence: Any) -> list[tuple[float, float]]:
        chain: list = []
        for p in sequence:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        return chain[:-1]

    return half(ordered) + half(reversed(ordered))


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def ground_corners(slope: Slope, low: float, high: float, depth: float = 0.012) -> list[tuple[float, float]]:
    """Corners (mm) of a strip of ground from `low` to `high` along the slope, its surface first, m."""
    return [slope.place(point) for point in ((low, 0.0), (high, 0.0), (high, -depth), (low, -depth))]


def draw_ground(ax: Axes, grade_deg: float, low: float, high: float) -> None:
    """The slope from `low` to `high` (m along it), with its angle."""
    slope = Slope(grade_deg)
    corners = ground_corners(slope, low, high, 0.014)
    ax.add_patch(Polygon(corners, closed=True, fc=GROUND, ec="none", zorder=1.5))
    ax.plot(*zip(*corners[:2], strict=True), color=INK, lw=1.2, zorder=1.6)


def draw_forces(
    ax: Axes,
    slope: Slope,
    forces: list[Force],
    *,
    colour: str = FORCE_INK,
    least: float = 0.15,
    scale: float = NEWTONS_PER_METRE,
    label: bool = True,
) -> None:
    """Forces as arrows to one scale, each with its size; those below `least` N are left out.

    A tyre or weight force starts at its point; a pull starts there too, a push ends there.
    """
    words: list[Annotation] = []
    for force in forces:
        size = (force.vector[0] ** 2 + force.vector[1] ** 2) ** 0.5
        if size < least:
            continue
        start = slope.place(force.point)
        dx, dz = (1e3 * v / scale for v in slope.turn(force.vector))
        tail, head = start, (start[0] + dx, start[1] + dz)
        if force.name in ("load", "rear_load", "front_load"):
            # A load presses from below: its head stands at the contact.
            tail, head = (start[0] - dx, start[1] - dz), start
        ax.annotate(
            "",
            head,
            tail,
            zorder=8,
            arrowprops={
                "arrowstyle": "-|>",
                "color": colour,
                "lw": 1.6,
                "mutation_scale": 12,
                "shrinkA": 0,
                "shrinkB": 0,
            },
        )
        ax.update_datalim([tail, head])
        if label:
            words.append(_label_force(ax, slope, force, size, start, tail if head == start else head))
    if words:
        KeepApart(ax, words)


def _label_force(
    ax: Axes, slope: Slope, force: Force, size: float, start: tuple[float, float], far: tuple[float, float]
) -> Annotation:
    """Name and size beside the arrow; traction is written below the slope, along it."""
    words = FORCE_WORDS[force.name]
    if "traction" in force.name:
        down = slope.turn((0.0, -1.0))
        middle = ((start[0] + far[0]) / 2, (start[1] + far[1]) / 2)
        # On the side it points to, so that the arrow of the load stays clear of the words.
        back = force.vector[0] < 0.0
        along = -6 if back else 14
        return ax.annotate(
            f"{words} {size:.1f} N",
            start if back else middle,
            xytext=(9 * down[0] + along * slope.cosine, 9 * down[1] + along * slope.sine),
            textcoords="offset points",
            rotation=slope.angle_deg,
            rotation_mode="anchor",
            ha="right" if back else "left",
            va="top",
            fontsize=8,
            color=FORCE_INK,
            zorder=9,
            bbox={"fc": "white", "ec": "none", "alpha": 0.7, "pad": 0.6},
        )
    reach = max((far[0] - start[0]) ** 2 + (far[1] - start[1]) ** 2, 1e-9) ** 0.5
    away = ((far[0] - start[0]) / reach * 9, (far[1] - start[1]) / reach * 9)
    sideways = "center" if abs(away[0]) < 4 else ("left" if away[0] > 0 else "right")
    if force.name == "weight":
        # Beside the upper half of a long one: its head is where tractions are written.
        sideways, away = ("left", (6, 0)) if reach > LONG_MM else ("right", (-6, 6))
        if reach > LONG_MM:
            far = ((2 * start[0] + far[0]) / 3, (2 * start[1] + far[1]) / 3)
    return ax.annotate(
        f"{words}\n{size:.1f} N",
        far,
        xytext=away,
        textcoords="offset points",
        ha=sideways,
        va="center" if abs(away[1]) < 4 else ("bottom" if away[1] > 0 else "top"),
        fontsize=8,
        color=FORCE_INK,
        zorder=9,
        bbox={"fc": "white", "ec": "none", "alpha": 0.7, "pad": 0.6},
    )
