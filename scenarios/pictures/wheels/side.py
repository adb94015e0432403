"""The solved pose in space from the right side, to scale, on its slope: every wheel with its own height."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import Circle, Polygon

from noseload.pictures.style import FAINT, GROUND, INK, PAPER, house_look

from .stance import LIFTED, MM

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.model.space.places import SpacePose


REACH = 0.45
"""Ground drawn beyond the wheels, as a share of the wheelbase."""
DEEP_MM = 9.0


@house_look
def plot_from_side(pose: SpacePose, loads: list[float], grade_deg: float, ax: Axes) -> Axes:
    """Wheels, axles, links, shocks and chassis from the right; the left ones are drawn behind, paler.

    Parameters
    ----------
    pose : SpacePose
    loads : sequence of float
        Rear left, rear right, front left, front right, N.
    grade_deg : float
    ax : Axes

    Returns
    -------
    Axes
    """
    rise = np.radians(grade_deg)
    turn = np.array([[np.cos(rise), -np.sin(rise)], [np.sin(rise), np.cos(rise)]])

    def seen(points: np.ndarray | list) -> np.ndarray:
        return MM * np.asarray(points, dtype=float)[..., [0, 2]] @ turn.T

    span = float(np.ptp(pose.wheels[:, 0]))
    ends = [pose.wheels[:, 0].min() - REACH * span, pose.wheels[:, 0].max() + REACH * span]
    corners = [(ends[0], 0, 0.0), (ends[1], 0, 0.0), (ends[1], 0, -DEEP_MM / MM), (ends[0], 0, -DEEP_MM / MM)]
    ax.add_patch(Polygon(seen(corners), closed=True, fc=GROUND, ec="none", zorder=0))
    towers = [pose.shocks[name][0] for name in ("rear_right", "front_right")]
    lows = [ends[0] for name, ends in pose.rods.items() if "lower" in name and not name.endswith("_left")]
    ax.add_patch(
        Polygon(seen([*towers, *reversed(lows)]), closed=True, fc="#e8edf0", ec=FAINT, lw=1.1, zorder=3, alpha=0.9)
    )
    for name, rod in pose.rods.items():
        far = name.endswith("_left")
        ax.plot(*seen(rod).T, color=FAINT, lw=1.2 if far else 1.8, alpha=0.5 if far else 1.0, zorder=1 if far else 5)
    for name, shock in pose.shocks.items():
        far = name.endswith("_left")
        ax.plot(
            *seen(shock).T, color=FAINT, lw=2.6, ls=(0, (1, 0.7)), alpha=0.4 if far else 1.0, zorder=1 if far else 4
        )
    for wheel in (0, 2, 1, 3):
        near = wheel % 2 == 1
        up = loads[wheel] <= 0.0
        circle = Circle(
            tuple(seen(pose.wheels[wheel])),
            MM * pose.radii[wheel],
            fc=PAPER if near else "#f2f4f5",
            ec=LIFTED if up else INK if near else FAINT,
            lw=1.8 if near else 1.2,
            zorder=2 if near else 0.5,
            alpha=0.92,
        )
        ax.add_patch(circle)
    ax.plot(*seen(pose.centre_of_gravity), marker="o", ms=6, mfc=PAPER, mec=INK, mew=1.3, zorder=6)
    ax.set_aspect("equal", adjustable="box")
    ax.grid(False)
    ax.set_axis_off()
    ax.autoscale_view()
    return ax
