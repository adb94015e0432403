"""A filmstrip of a punch: the vehicle to scale at the moments that matter, all frames to one scale."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from math import degrees
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.geometry import solved_pose
from noseload.model.motion.rows import COORDINATE_ROWS
from noseload.model.names import shown_name
from noseload.pictures.side_view import Slope, draw_ground, plot_vehicle
from noseload.pictures.style import INK, as_grams, head_figure, house_look, new_figure, save_figure

from .punch import EVENT_WORDS, draw_punch, draw_punch_forces

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.commands.paths import WriteFolder
    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.told import PunchEvent


MOST_FRAMES = 8
LONGEST_ROW = 5
PLACES, ANGLES = [0, 1, 3, 4, 6, 7], [2, 5, 8]
"""Of x, z, theta of chassis, rear and front."""
SAME_PLACE_M, SAME_ANGLE = 2e-3, 5e-3
"""Two poses nearer than this look alike at the size of a frame."""
CLOSEST_S = 0.004
"""Two moments nearer than this look the same: one frame carries both names."""
BAR_MM = 100.0
STEEP_ENOUGH_DEG, ROOM_BELOW_M = 15.0, 0.03
"""On a flatter slope the bar of the scale needs room below it."""
ROOM_MM = 15.0


@dataclass(frozen=True)
class Frame:
    """One moment of a punch: time, what happens, coordinates (9) in m and rad, and what is read off there."""

    time_s: float
    words: str
    coordinates: np.ndarray
    front_load_n: float
    nose_up_pitch_deg: float
    travel_mm: float


def punch_frames(result: Any) -> list[Frame]:
    """The moments of a punch worth a frame, in order of time.

    The start, the end, each axle's first lift-off and last touchdown, a flip, the smallest front load, the
    largest nose-up pitch, and the first time each stop is reached, as long as there is room.

    Parameters
    ----------
    result : PunchResult
        With traces.

    Returns
    -------
    list of Frame
        At most `MOST_FRAMES`.
    """
    chosen: list[Frame] = []
    for frame in _moments(result):
        near = next((k for k, other in enumerate(chosen) if _alike(other, frame)), None)
        if near is not None:
            chosen[near] = replace(chosen[near], words=f"{chosen[near].words}, {frame.words}")
        elif len(chosen) < MOST_FRAMES:
            chosen.append(frame)
    return sorted(chosen, key=lambda frame: frame.time_s)


def _alike(one: Frame, other: Frame) -> bool:
    """Whether two moments would be one picture twice: close in time, or the same pose at the same place."""
    if abs(one.time_s - other.time_s) < CLOSEST_S:
        return True
    moved = np.abs(one.coordinates - other.coordinates)
    return bool(moved[PLACES].max() < SAME_PLACE_M and moved[ANGLES].max() < SAME_ANGLE)


def _moments(result: Any) -> list[Frame]:
    """Frames of all moments, what matters most first."""

    def frame(time: float, words: str, state: np.ndarray, front_load: float) -> Frame:
        return Frame(
            time,
            words,
            state[COORDINATE_ROWS],
            max(float(front_load), 0.0),
            -degrees(state[2]),
            1e3 * float(state[0] - result.states[0, 0]),
        )

    def sample(k: int, words: str) -> Frame:
        return frame(float(result.time_s[k]), words, result.states[:, k], result.front_load_n[k])

    def happened(event: PunchEvent, words: str) -> Frame:
        return frame(event.time_s, words, event.state, event.front_load_n)

    moments = [sample(0, "start"), sample(-1, "end")]
    first: dict = {}
    last: dict = {}
    for event in result.events:
        first.setdefault(event.name, event)
        last[event.name] = event
    for name, words in EVENT_WORDS.items():
        if name in first:
            moments.append(happened((last if name.endswith("touchdown") else first)[name], words))
    if "front_lift_off" not in first:
        moments.append(sample(result.least_sample, "minimum front axle load"))
    moments.append(sample(int(np.argmax(result.traces["nose_up_pitch_deg"])), "nose highest"))
    gap_m, k = _greatest_gap(result)
    if gap_m > 0.0:
        moments.append(sample(k, f"greatest air gap, {1e3 * gap_m:.0f} mm"))
    moments += [
        happened(event, name.removesuffix("_reached").replace("_", " "))
        for name, event in first.items()
        if name.endswith(("_stop_reached", "_coil_loose"))
    ]
    return moments


def _greatest_gap(result: Any) -> tuple[float, int]:
    """Air below the front tyres where it is most, m, and the sample; 0 where they stay on the ground."""
    off = np.flatnonzero(np.asarray(result.front_load_n) <= 0.0)
    found = (0.0, 0)
    for k in off:
        pose = solved_pose(result.standing.values, result.states[COORDINATE_ROWS, k])
        found = max(found, (float(pose.points["front_wheel_centre"][1] - pose.radii["front"]), int(k)))
    return found


@house_look
def plot_frame(result: Any, frame: Frame, ax: Axes | None = None) -> Axes:
    """The vehicle to scale at one moment of a punch, with what is read off there below it.

    Parameters
    ----------
    result : PunchResult
    frame : Frame
        Of `punch_frames`.
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    pose = solved_pose(result.standing.values, frame.coordinates)
    ax = plot_vehicle(pose, result.options.grade_deg, ax)
    span = result.standing.vehicle.wheelbase
    draw_ground(ax, result.options.grade_deg, -0.4 * span, 1.4 * span)
    ax.set_title(f"{frame.time_s:.3f} s: {frame.words}", fontsize=8.5)
    ax.text(
        0.5,
        -0.01,
        f"front {as_grams(frame.front_load_n):.0f} g, nose up {round(frame.nose_up_pitch_deg, 1) + 0.0:.1f} deg\n"
        f"moved {frame.travel_mm:.0f} mm",
        transform=ax.transAxes,
        ha="center",
        va="top",
        fontsize=8.5,
    )
    ax.set_axis_off()
    return ax


@house_look
def draw_punch_filmstrip(result: Any) -> NotebookFigure:
    """Figure of the vehicle to scale at the moments that matter, all frames to one scale.

    Returns
    -------
    Figure
    """
    frames = punch_frames(result)
    low, high = _window(result, frames)
    rows = -(-len(frames) // LONGEST_ROW)
    columns = -(-len(frames) // rows)
    width = 3.0
    height = width * (high[1] - low[1]) / (high[0] - low[0]) + 0.75
    figure, axes = new_figure(width * columns, height * rows + 0.4, rows, columns)
    for frame, ax in zip(frames, axes, strict=False):
        plot_frame(result, frame, ax)
        ax.set_xlim(low[0], high[0])
        ax.set_ylim(low[1], high[1])
    for ax in axes[len(frames) :]:
        ax.set_axis_off()
    _scale_bar(axes[0], low, high, result.options.grade_deg)
    head_figure(
        figure,
        f"{shown_name(result.setup)}: throttle {result.throttle_start:.2f} to {result.options.throttle:g} at "
        f"{result.options.grade_deg:g} deg, {result.drive} driven, to scale",
    )
    return figure


def _window(result: Any, frames: list[Frame]) -> tuple[np.ndarray, np.ndarray]:
    """Lower left and upper right corner, mm, that hold the vehicle and the slope of every frame."""
    slope = Slope(result.options.grade_deg)
    span = result.standing.vehicle.wheelbase
    # Below a level floor there must be room for the bar of the scale; a slope leaves a corner free.
    deepest = -0.014 - (ROOM_BELOW_M if abs(result.options.grade_deg) < STEEP_ENOUGH_DEG else 0.0)
    corners = [slope.place((x, z)) for x in (-0.4 * span, 1.4 * span) for z in (0.0, deepest)]
    low, high = np.min(corners, axis=0), np.max(corners, axis=0)
    for frame in frames:
        pose = solved_pose(result.standing.values, frame.coordinates)
        here = Slope(result.options.grade_deg, pose.points["rear_contact"][0])
        for name, point in pose.points.items():
            reach = 1e3 * pose.radii[name.removesuffix("_wheel_centre")] if name.endswith("_wheel_centre") else 0.0
            low = np.minimum(low, np.subtract(here.place(point), reach))
            high = np.maximum(high, np.add(here.place(point), reach))
    return low - ROOM_MM, high + ROOM_MM


def _scale_bar(ax: Axes, low: np.ndarray, high: np.ndarray, grade_deg: float) -> None:
    """A bar of `BAR_MM` in the corner that the slope leaves empty."""
    x = high[0] - BAR_MM - ROOM_MM if grade_deg >= 0.0 else low[0] + ROOM_MM
    y = low[1] + ROOM_MM
    ax.plot([x, x + BAR_MM], [y, y], color=INK, lw=2.0, solid_capstyle="butt")
    ax.text(x + 0.5 * BAR_MM, y + 5.0, f"{BAR_MM:g} mm", ha="center", va="bottom", fontsize=8)


def save_punch(result: Any, folder: WriteFolder) -> list:
    """Draw all pictures of a punch into a folder, made if need be; returns their names."""
    figures = {
        "punch.png": draw_punch(result),
        "punch-forces.png": draw_punch_forces(result),
        "punch-filmstrip.png": draw_punch_filmstrip(result),
    }
    os.makedirs(folder, exist_ok=True)
    for name, figure in figures.items():
        save_figure(figure, os.path.join(folder, name))
    return list(figures)
