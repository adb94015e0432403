"""Drawings of the measuring sheet, on page millimetres: each takes the axes and the top edge, returns its height."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

from matplotlib.patches import Circle, FancyBboxPatch, Polygon, Rectangle, Wedge
from matplotlib.transforms import Affine2D

from noseload.pictures.style import FAINT, GROUND, INK, look

if TYPE_CHECKING:
    from matplotlib.axes import Axes


EDGE = 14.0
ACCENT = look(1)[0]
FINE = 7.2
"""Font size of words in drawings."""


def _dimension(
    ax: Axes,
    start: Any,
    end: Any,
    text: str,
    *,
    offset: tuple[float, float] = (0.0, 0.0),
    side: float = 1.6,
    rotate: bool = False,
) -> None:
    """A dimension line with arrows and its words in a white gap."""
    (x1, y1), (x2, y2) = start, end
    ax.annotate(
        "", (x2, y2), (x1, y1), arrowprops={"arrowstyle": "<->", "color": INK, "lw": 0.8, "shrinkA": 0, "shrinkB": 0}
    )
    ax.text(
        (x1 + x2) / 2 + offset[0],
        (y1 + y2) / 2 + offset[1] + (0 if rotate else side),
        text,
        fontsize=FINE,
        ha="center",
        va="center" if rotate else "bottom",
        rotation=90 if rotate else 0,
        bbox={"fc": "white", "ec": "none", "pad": 0.8} if rotate else None,
    )


def _leader(ax: Axes, x: float, y1: float, y2: float) -> None:
    ax.plot([x, x], [y1, y2], color=FAINT, lw=0.5)


def _vehicle(ax: Axes, x: float, floor: float, scale: float, links: bool = True) -> Any:
    """A plain side view, nose to the right; returns wheel centres and radius in page mm."""
    radius, base = 58.0 * scale, 318.0 * scale
    rear, front = (x, floor + radius), (x + base, floor + radius)
    for centre in (rear, front):
        ax.add_patch(Circle(centre, radius, fc="#f1f3f4", ec=INK, lw=1.1))
        ax.add_patch(Circle(centre, 0.5 * radius, fc="white", ec=FAINT, lw=0.7))
        ax.plot(*centre, "+", color=INK, ms=6, mew=0.9)
    body = (
        (44, 92), (60, 100), (78, 150), (246, 150), (264, 112), (340, 104), (340, 94), (215, 56), (110, 56),
    )  # fmt: skip
    ax.add_patch(
        Polygon(
            [(x + a * scale, floor + b * scale) for a, b in body],
            closed=True,
            fc="#e7ecef",
            ec=INK,
            lw=1.0,
            joinstyle="round",
            zorder=2,
            alpha=0.9,
        )
    )
    if links:
        for start, end in LINK_ENDS:
            a, b = ((x + p * scale, floor + q * scale) for p, q in (start, end))
            ax.plot([a[0], b[0]], [a[1], b[1]], color=INK, lw=1.6, zorder=4, solid_capstyle="round")
            for point in (a, b):
                ax.plot(*point, "o", ms=4, mfc="white", mec=INK, mew=1.0, zorder=5)
    return rear, front, radius


LINK_ENDS = (
    ((122, 61), (13, 45)), ((108, 88), (8, 88)), ((205, 61), (304, 45)), ((218, 88), (308, 88)),
    ((88, 138), (26, 68)), ((240, 138), (295, 68)),
)  # fmt: skip
"""Link and shock ends of the drawn vehicle, mm from the floor below the rear wheel centre."""


def _draw_side(ax: Axes, top: float) -> float:
    height, scale = 62.0, 0.255
    floor, x = top - 50.0, 62.0
    rear, front, radius = _vehicle(ax, x, floor, scale, links=False)
    centre = (x + 175 * scale, floor + 74 * scale)
    ax.plot([40, 178], [floor - 4.0] * 2, color=INK, lw=1.0)
    for wheel, words in ((rear, "rear_g"), (front, "front_g")):
        ax.add_patch(Rectangle((wheel[0] - 11, floor - 4.0), 22, 4.0, fc=GROUND, ec=INK, lw=0.8))
        ax.text(wheel[0], floor - 6.0, f"scale: {words}", fontsize=FINE, ha="center", va="top")
        _leader(ax, wheel[0], wheel[1] + radius, floor + 45.0)
    _dimension(ax, (rear[0], floor + 43.0), (front[0], floor + 43.0), "wheelbase")
    ax.add_patch(Circle(centre, 2.0, fc="white", ec=INK, lw=1.0, zorder=6))
    for k in (0, 2):
        ax.add_patch(Wedge(centre, 2.0, 90 * k, 90 * k + 90, fc=INK, ec="none", zorder=7))
    ax.plot([centre[0], front[0] + 24], [centre[1]] * 2, color=FAINT, lw=0.5, zorder=3)
    ax.plot([front[0] + 14, front[0] + 24], [floor] * 2, color=FAINT, lw=0.5)
    _dimension(ax, (front[0] + 21, floor), (front[0] + 21, centre[1]), "")
    ax.text(
        front[0] + 23.0, (floor + centre[1]) / 2, "height of the centre\nof gravity (weigh)", fontsize=FINE, va="center"
    )
    ax.plot([rear[0] - 32, rear[0]], [rear[1]] * 2, color=FAINT, lw=0.5)
    ax.plot([rear[0] - 32, rear[0] - 12], [floor] * 2, color=FAINT, lw=0.5)
    _dimension(ax, (rear[0] - 28, floor), (rear[0] - 28, rear[1]), "")
    ax.text(rear[0] - 30.5, (floor + rear[1]) / 2, "wheel centre\nabove floor", fontsize=FINE, ha="right", va="center")
    ax.annotate(
        "nose",
        (front[0] + 26, floor + 36),
        (front[0] + 10, floor + 36),
        fontsize=FINE,
        va="center",
        arrowprops={"arrowstyle": "-|>", "color": FAINT, "lw": 0.9},
    )
    return height


def _turned_vehicle(ax: Axes, x: float, floor: float, scale: float, angle_deg: float) -> Any:
    """The side view turned nose up about its rear wheel centre; returns wheel centres and radius in page mm."""
    before = set(ax.get_children())
    rear, front, radius = _vehicle(ax, x, floor, scale, links=False)
    turn = Affine2D().rotate_deg_around(rear[0], rear[1], angle_deg) + ax.transData
    for artist in set(ax.get_children()) - before:
        artist.set_transform(turn)
    base, angle = front[0] - rear[0], radians(angle_deg)
    return rear, (rear[0] + base * cos(angle), rear[1] + base * sin(angle)), radius


def _draw_lift(ax: Axes, top: float) -> float:
    height = 86.0
    _draw_lifted_axle(ax, 34.0, top - 76.0)
    _draw_tip_test(ax, 136.0, top - 76.0)
    return height


def _draw_lifted_axle(ax: Axes, x: float, floor: float) -> None:
    angle, plate = 25.0, 4.0
    rear, front, radius = _turned_vehicle(ax, x, floor + plate, 0.2, angle)
    ax.plot([EDGE, 112], [floor] * 2, color=INK, lw=1.0)
    ax.add_patch(Rectangle((x - 10, floor), 20, plate, fc=GROUND, ec=INK, lw=0.8))
    ax.text(x, floor - 2.0, "scale: rear_g", fontsize=FINE, ha="center", va="top")
    block = front[1] - radius
    ax.add_patch(Rectangle((front[0] - 10, floor), 20, block - floor, fc=GROUND, ec=INK, lw=0.8))
    ax.text(front[0], floor - 2.0, "blocks", fontsize=FINE, ha="center", va="top")
    ax.plot([x + 10, front[0] + 15], [floor + plate] * 2, color=FAINT, lw=0.5)
    ax.plot([front[0] + 10, front[0] + 15], [block] * 2, color=FAINT, lw=0.5)
    _dimension(ax, (front[0] + 13, floor + plate), (front[0] + 13, block), "")
    ax.text(front[0] + 15, (floor + plate + block) / 2, "lift_mm", fontsize=FINE, va="center")
    ax.plot([x, x + 52], [rear[1]] * 2, color=FAINT, lw=0.5, zorder=6)
    ax.plot([x, front[0]], [rear[1], front[1]], color=ACCENT, lw=0.8, zorder=6)
    arc = [radians(angle) * k / 12 for k in range(13)]
    ax.plot([x + 34 * cos(a) for a in arc], [rear[1] + 34 * sin(a) for a in arc], color=ACCENT, lw=1.0, zorder=6)
    ax.text(x + 36, rear[1] + 6.0, "angle_deg", fontsize=FINE, color=ACCENT, va="center", zorder=7,
            bbox={"fc": "white", "ec": "none", "pad": 0.8})  # fmt: skip
    ax.annotate("lifted wheels\nfree to roll", (front[0] - radius * 0.6, front[1] + radius * 0.8),
                (front[0] - 22, floor + 66), fontsize=FINE, ha="center", va="center",
                arrowprops={"arrowstyle": "-", "color": FAINT, "lw": 0.7})  # fmt: skip
    ax.text(EDGE, floor + 62, "suspension blocked:\nrods in place of shocks", fontsize=FINE, va="center")


def _draw_tip_test(ax: Axes, x: float, floor: float) -> None:
    angle, scale = 50.0, 0.155
    slope = (cos(radians(angle)), sin(radians(angle)))
    ax.plot([118, 196], [floor] * 2, color=INK, lw=1.0)
    ax.plot([x - 6, x - 6 + 92 * slope[0]], [floor, floor + 92 * slope[1]], color=INK, lw=3.0, solid_capstyle="butt")
    prop = 70.0
    ax.plot([x - 6 + prop * slope[0]] * 2, [floor, floor + prop * slope[1]], color=INK, lw=2.0)
    ax.text(x - 4 + prop * slope[0], floor + 12, "propped\nand tied", fontsize=FINE, va="center")
    radius, along = 58.0 * scale, 22.0
    contact = (x - 6 + along * slope[0] - 0.6 * slope[1], floor + along * slope[1] + 0.6 * slope[0])
    centre = (contact[0] - radius * slope[1], contact[1] + radius * slope[0])
    _, front, _ = _turned_vehicle(ax, centre[0], centre[1] - radius, scale, angle)
    touch = (front[0] + radius * slope[1], front[1] - radius * slope[0])
    strip = [(touch[0] + k * slope[0], touch[1] + k * slope[1]) for k in (-5, 13)]
    ax.plot(*zip(*strip, strict=True), color=ACCENT, lw=2.2, zorder=6)
    ax.annotate("paper strip:\npulls free", strip[1], (strip[1][0] + 7, strip[1][1] - 12), fontsize=FINE, color=ACCENT,
                ha="center", va="center", arrowprops={"arrowstyle": "-", "color": ACCENT, "lw": 0.7})  # fmt: skip
    hook = (x - 6 + 90 * slope[0], floor + 90 * slope[1])
    nose = (front[0] - 3 * slope[1], front[1] + 3 * slope[0])
    ax.annotate("", nose, hook, arrowprops={"arrowstyle": "-", "color": INK, "lw": 0.9, "linestyle": (0, (3, 1.5)),
                                            "connectionstyle": "arc3,rad=0.35"}, zorder=7)  # fmt: skip
    ax.text(hook[0] - 25, hook[1] + 0.5, "slack catch line", fontsize=FINE, ha="right", va="center")
    arc = [radians(angle) * k / 12 for k in range(13)]
    ax.plot([x - 6 + 16 * cos(a) for a in arc], [floor + 16 * sin(a) for a in arc], color=ACCENT, lw=1.0)
    ax.text(x + 11.5, floor + 5.5, "angle_deg", fontsize=FINE, color=ACCENT, va="center")
    ax.text(118, floor - 2.0, "wheels tied to axles; soft mat below, nobody there", fontsize=FINE, va="top")


def _draw_links(ax: Axes, top: float) -> float:
    height, scale = 84.0, 0.38
    floor, x = top - 72.0, 46.0
    _vehicle(ax, x, floor, scale)
    ax.plot([22, 190], [floor] * 2, color=INK, lw=1.0)
    for end, words in (((x, floor + 70), "z, up"), ((x + 32, floor), "x, forward")):
        ax.annotate("", end, (x, floor), arrowprops={"arrowstyle": "-|>", "color": ACCENT, "lw": 1.3}, zorder=8)
        if words.startswith("z"):
            ax.text(end[0] + 1.5, end[1] - 1.0, words, fontsize=FINE, color=ACCENT, va="center")
        else:
            ax.text(end[0] - 9.0, end[1] + 3.0, words, fontsize=FINE, color=ACCENT, va="center")
    ax.plot(x, floor, "o", ms=5, color=ACCENT, zorder=9)
    ax.text(
        x, floor - 4.5, "zero: floor below the rear wheel centre", fontsize=FINE, color=ACCENT, ha="center", va="center"
    )
    names = (
        ("lower link", (72, 53.5), (72, 27)),
        ("upper link", (84, 88), (128, 124)),
        ("shock", (57, 103), (30, 138)),
        ("lower link", (250, 54), (250, 27)),
        ("upper link", (236, 88), (198, 124)),
        ("shock", (267, 103), (292, 138)),
    )
    for words, at, text in names:
        ax.annotate(
            words,
            (x + at[0] * scale, floor + at[1] * scale),
            (x + text[0] * scale, floor + text[1] * scale),
            fontsize=FINE,
            ha="center",
            va="center",
            zorder=9,
            bbox={"fc": "white", "ec": "none", "pad": 0.6},
            arrowprops={"arrowstyle": "-", "color": FAINT, "lw": 0.7},
        )
    point = (x + 122 * scale, floor + 61 * scale)
    ax.plot([point[0]] * 2, [floor - 9.0, point[1]], color=FAINT, lw=0.5, zorder=3)
    _leader(ax, x, floor - 9.0, floor - 6.0)
    _dimension(ax, (x, floor - 8.0), (point[0], floor - 8.0), "")
    ax.text(point[0] + 2.0, floor - 8.0, "x of the chassis end of the rear lower link", fontsize=6.8, va="center")
    _dimension(ax, (point[0] + 0.0, floor), (point[0] + 0.0, point[1]), "")
    ax.text(point[0] + 1.5, floor + 7.0, "z", fontsize=FINE, va="center", zorder=9)
    return height


def _draw_spring(ax: Axes, top: float) -> float:
    height = 45.0
    floor, x = top - 41.0, 36.0
    ax.plot([EDGE, 196], [floor] * 2, color=INK, lw=1.0)
    ax.add_patch(Rectangle((x - 14, floor), 28, 4.0, fc=GROUND, ec=INK, lw=0.8))
    ax.text(x + 16, floor + 2.0, "scale_g", fontsize=FINE, va="center")
    turns = 6
    xs = [x + (5 if k % 2 else -5) for k in range(2 * turns)]
    ys = [floor + 6.0 + k * 20.0 / (2 * turns - 1) for k in range(2 * turns)]
    ax.plot([x, *xs, x], [floor + 4.0, *ys, floor + 28.0], color=INK, lw=1.2)
    ax.add_patch(Rectangle((x - 9, floor + 28.0), 18, 2.4, fc="#e7ecef", ec=INK, lw=0.8))
    ax.annotate("", (x, floor + 31.0), (x, floor + 39.0), arrowprops={"arrowstyle": "-|>", "color": ACCENT, "lw": 1.4})
    ax.text(x + 3, floor + 36.0, "press", fontsize=FINE, color=ACCENT, va="center")
    ax.plot([x - 18] * 2, [floor + 4, floor + 36], color=INK, lw=0.9)
    for k in range(9):
        ax.plot([x - 18, x - 16.5], [floor + 4 + 4 * k] * 2, color=INK, lw=0.6)
    ax.text(x + 12, floor + 29.2, "compression_mm\nat the ruler", fontsize=FINE, va="center")
    mid = 112.0
    ax.add_patch(Circle((mid, floor + 12.0), 12.0, fc="#f1f3f4", ec=INK, lw=1.1))
    ax.plot(mid, floor + 12.0, "+", color=INK, ms=6, mew=0.9)
    ax.add_patch(Rectangle((mid - 10, floor + 27.0), 20, 8.0, fc=GROUND, ec=INK, lw=0.8))
    ax.text(mid, floor + 31.0, "added_g", fontsize=FINE, ha="center", va="center")
    ax.plot([mid, mid], [floor + 24.0, floor + 27.0], color=INK, lw=0.9)
    ax.plot([mid, mid + 20], [floor + 12.0] * 2, color=FAINT, lw=0.5)
    _dimension(ax, (mid + 18, floor), (mid + 18, floor + 12.0), "")
    ax.text(mid + 20, floor + 6.0, "hub_height_mm", fontsize=FINE, va="center")
    a = 166.0
    for k, (words, lift) in enumerate((("droop", 0.0), ("ride", 6.0), ("bump", 12.0))):
        y = floor + 10.0 + lift
        ax.plot([a, a + 12], [y, y], color=INK if k == 1 else FAINT, lw=1.2 if k == 1 else 0.7)
        ax.text(a + 14, y, words, fontsize=FINE, va="center")
    ax.plot([a + 6] * 2, [floor + 10, floor + 36], color=INK, lw=1.0)
    _dimension(ax, (a - 2, floor + 10.0), (a - 2, floor + 16.0), "")
    _dimension(ax, (a - 2, floor + 16.0), (a - 2, floor + 22.0), "")
    ax.text(a - 4, floor + 13.0, "droop travel", fontsize=6.8, ha="right", va="center")
    ax.text(a - 4, floor + 19.0, "bump travel", fontsize=6.8, ha="right", va="center")
    return height


def _draw_pendulum(ax: Axes, top: float) -> float:
    height = 46.0
    low = top - 40.0
    x = 44.0
    ax.plot([x - 22, x + 22], [top - 3.0] * 2, color=INK, lw=2.0)
    for side in (-12, 12):
        ax.plot([x + side] * 2, [low + 7.0, top - 3.0], color=INK, lw=0.9)
    ax.add_patch(
        FancyBboxPatch((x - 20, low + 2.0), 40, 5.0, boxstyle="round,pad=0,rounding_size=1", fc="#e7ecef", ec=INK)
    )
    ax.text(x, low + 4.5, "chassis on its side", fontsize=6.8, ha="center", va="center")
    _dimension(ax, (x - 12, low + 12), (x + 12, low + 12), "spacing", side=0.6)
    _dimension(ax, (x + 24, low + 7.0), (x + 24, top - 3.0), "")
    ax.text(x + 26, low + 22.0, "length", fontsize=FINE, va="center")
    ax.annotate(
        "",
        (x + 13, low - 0.8),
        (x - 13, low - 0.8),
        arrowprops={"arrowstyle": "<->", "color": ACCENT, "lw": 1.1, "connectionstyle": "arc3,rad=0.25"},
    )
    ax.text(x + 16, low - 1.5, "20 swings", fontsize=FINE, color=ACCENT, va="center")
    d = 106.0
    ax.add_patch(Rectangle((d - 4, low + 4), 8, 17, fc="#f1f3f4", ec=INK, lw=1.0))
    ax.plot([d, d], [low + 14, low + 32], color=INK, lw=1.4)
    ax.add_patch(Rectangle((d - 8, low + 32), 16, 6, fc=GROUND, ec=INK, lw=0.8))
    ax.text(d, low + 35, "weight_g", fontsize=6.8, ha="center", va="center")
    ax.plot([d - 10, d + 10], [low + 2.0] * 2, color=INK, lw=1.0)
    ax.text(d, low - 1.5, "clamped, no spring", fontsize=6.8, ha="center", va="center")
    _dimension(ax, (d + 12, low + 21), (d + 12, low + 32), "")
    ax.text(d + 14, low + 26.5, "distance_mm\nin time_s", fontsize=FINE, va="center")
    p = 142.0
    floor = low + 6.0
    ax.plot([p - 6, 198], [floor] * 2, color=INK, lw=1.0)
    for wheel in (p + 4, p + 30):
        ax.add_patch(Circle((wheel, floor + 5.5), 5.5, fc="#f1f3f4", ec=INK, lw=1.0))
        ax.text(wheel, floor + 5.5, "x", fontsize=7, ha="center", va="center", color=FAINT)
    ax.add_patch(
        Polygon(
            [(p + 2, floor + 9), (p + 12, floor + 17), (p + 24, floor + 17), (p + 33, floor + 9)],
            closed=True,
            fc="#e7ecef",
            ec=INK,
            lw=0.9,
        )
    )
    ax.annotate(
        "", (p + 49, floor + 5.5), (p + 36, floor + 5.5), arrowprops={"arrowstyle": "-|>", "color": ACCENT, "lw": 1.4}
    )
    ax.text(p + 42, floor + 9.5, "pull", fontsize=FINE, color=ACCENT, ha="center", va="center")
    ax.text(p + 17, floor - 4.0, "wheels tied, surface level", fontsize=6.8, ha="center", va="center")
    return height


def _draw_wheel(ax: Axes, top: float) -> float:
    height = 42.0
    low = top - 38.0
    for x, ground, words in ((50.0, False, "in the air"), (150.0, True, "on level grip tape")):
        centre = (x, low + 19.0)
        ax.add_patch(Circle(centre, 14.0, fc="#f1f3f4", ec=INK, lw=1.1))
        ax.add_patch(Circle(centre, 6.5, fc="white", ec=FAINT, lw=0.7))
        ax.plot([x, x + 9.0], [centre[1], centre[1] + 9.0], color=ACCENT, lw=3.0, solid_capstyle="butt")
        ax.text(x + 12.5, centre[1] + 11.5, "tape", fontsize=FINE, color=ACCENT)
        ax.annotate(
            "",
            (x + 17, centre[1] - 6),
            (x + 17, centre[1] + 6),
            arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.0, "connectionstyle": "arc3,rad=-0.35"},
        )
        ax.text(x + 21, centre[1], "wheel_angle_deg,\ncounted on past\neach turn", fontsize=FINE, va="center")
        ax.text(x - 18, centre[1], words, fontsize=8, weight="bold", ha="right", va="center")
        if ground:
            ax.plot([x - 30, x + 45], [low + 5.0] * 2, color=INK, lw=1.2)
        else:
            ax.add_patch(
                Polygon(
                    [(x - 3, low + 19 - 3), (x + 3, low + 19 - 3), (x + 6, low), (x - 6, low)],
                    closed=True,
                    fc=GROUND,
                    ec=INK,
                    lw=0.8,
                    zorder=3,
                )
            )
            ax.text(x + 9, low + 1.5, "stand under the chassis", fontsize=6.8, va="center")
    return height


DRAWINGS = {
    "side": _draw_side,
    "lift": _draw_lift,
    "links": _draw_links,
    "spring": _draw_spring,
    "pendulum": _draw_pendulum,
    "wheel": _draw_wheel,
}
