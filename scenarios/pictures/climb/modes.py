"""Mode shapes: the vehicle to scale at both ends of a swing in bounce, pitch and the other swinging motions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.model.crawl.geometry import solved_pose
from noseload.model.motion.rows import ALONG
from noseload.model.names import shown_name
from noseload.pictures.side_view import Slope, VehicleArtist, draw_ground
from noseload.pictures.style import INK, head_figure, house_look, new_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.climb.modes import Mode, Modes


SHOWN_SHARE = 0.08
"""Largest movement shown, as a share of the wheelbase: enough to be seen, still a vehicle."""
LEVEL_INCHES, SLOPE_INCHES = 1.9, 2.9


@house_look
def draw_modes(found: list[Modes]) -> NotebookFigure:
    """One panel for each swinging motion, a row for each state: the vehicle at both ends of a swing.

    Parameters
    ----------
    found : sequence of Modes

    Returns
    -------
    Figure
    """
    swings = [[(modes, mode) for mode in modes.modes if mode.frequency_hz > 0.0] for modes in found]
    columns, rows = max(1, *map(len, swings)), len(swings)
    heights = [LEVEL_INCHES if modes.grade_deg == 0.0 else SLOPE_INCHES for modes in found]
    figure, axes = new_figure(3.4 * columns, 0.4 + sum(heights), rows, columns, heights=heights)
    for ax in axes:
        ax.set_axis_off()
    for row, panels in enumerate(swings):
        for ax, (modes, mode) in zip(axes[row * columns :], panels, strict=False):
            _plot_shape(ax, modes, mode)
            place = "standing" if modes.state == "standing" else f"crawl at {modes.grade_deg:g} deg"
            name = "axles or wheels" if mode.name == "other" else mode.name
            ax.set_title(f"{name}, {place}", fontsize=9)
    if not any(swings):
        axes[0].text(0.5, 0.5, "no motion swings", ha="center", va="center", transform=axes[0].transAxes)
    head_figure(
        figure,
        f"{shown_name(found[0].setup)}: both ends of a swing (solid, dashed), movement enlarged, vehicle to scale",
    )
    return figure


def _plot_shape(ax: Axes, modes: Modes, mode: Mode) -> None:
    """The vehicle at one end of the swing, and as an outline at the other; all movement enlarged alike."""
    pose = solved_pose(modes.values, modes.coordinates)
    wheelbase = pose.points["front_contact"][0] - pose.points["rear_contact"][0]
    moved = mode.shape.copy()
    # Rolling along the slope is no part of what swings: the chassis stays where it is.
    moved[ALONG] -= moved[0]
    # The moment of the swing at which most of the motion shows.
    sizes = np.concatenate([moved[[1, 4, 7]], 0.5 * wheelbase * moved[[2]]])
    largest = sizes[np.argmax(np.abs(sizes))]
    swing = (moved / largest).real * SHOWN_SHARE * wheelbase
    slope = Slope(modes.grade_deg, pose.points["rear_contact"][0])
    for k, side in ((1, -1.0), (0, 1.0)):
        VehicleArtist(ax, solved_pose(modes.values, modes.coordinates + side * swing), slope, setup=k, filled=k == 0)
    draw_ground(ax, modes.grade_deg, -0.4 * wheelbase, 1.4 * wheelbase)
    ax.set_aspect("equal")
    ax.text(
        0.5,
        -0.03,
        f"{mode.frequency_hz:.2f} Hz, damping ratio {mode.damping_ratio:.2f}",
        transform=ax.transAxes,
        ha="center",
        va="top",
        fontsize=8.5,
        color=INK,
    )
