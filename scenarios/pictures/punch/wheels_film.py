"""A filmstrip of a punch in space: from the side and the front axle from behind, at the moments that matter."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.names import shown_name
from noseload.model.space.parameters import WHEELS
from noseload.model.space.places import pose_in_motion
from noseload.pictures.style import head_figure, house_look, new_figure, save_figure
from noseload.pictures.wheels.side import plot_from_side
from noseload.pictures.wheels.stance import plot_from_behind
from noseload.studies.wheels.words import WHEEL_WORDS, side_word

from .wheels import draw_wheels_punch

if TYPE_CHECKING:
    from pathlib import Path

    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.punch.wheels import WheelsPunch


MOST_FRAMES = 5
CLOSEST_S = 0.01
"""Two moments nearer than this look the same: one frame carries both names."""


@dataclass(frozen=True)
class WheelsFrame:
    """One moment: sample, time and what happens."""

    sample: int
    time_s: float
    words: str


def wheels_frames(result: WheelsPunch) -> list[WheelsFrame]:
    """The moments of a punch in space worth a frame, in order of time.

    Start and end, lift-off and last touchdown of the first wheel to lift, the largest lean, then of other wheels, as long as
    there is room.

    Parameters
    ----------
    result : WheelsPunch
        With traces.

    Returns
    -------
    list of WheelsFrame
    """
    last = len(result.time_s) - 1
    roll = np.abs(result.traces["chassis_roll_deg"])
    moments = [(0.0, "start"), (float(result.time_s[last]), "end")]
    seen: dict = {}
    for event in result.events:
        wheel = next((name for name in WHEELS if event.name.startswith(name)), None)
        if wheel and event.name.endswith("lift_off"):
            seen.setdefault(event.name, (event.time_s, f"{WHEEL_WORDS[wheel]} lifts"))
        elif wheel and event.name.endswith("touchdown"):
            seen[event.name] = (event.time_s, f"{WHEEL_WORDS[wheel]} lands")
    first = result.summary["first_wheel"]
    own = [name for name in seen if first and name.startswith(first)]
    moments += [seen[name] for name in own]
    moments.append((float(result.time_s[int(roll.argmax())]), "leans most"))
    moments += [moment for name, moment in seen.items() if name not in own]
    chosen: list[WheelsFrame] = []
    for time, words in moments:
        near = next((k for k, other in enumerate(chosen) if abs(other.time_s - time) < CLOSEST_S), None)
        if near is not None:
            other = chosen[near]
            chosen[near] = WheelsFrame(other.sample, other.time_s, f"{other.words}, {words}")
        elif len(chosen) < MOST_FRAMES:
            sample = min(int(np.searchsorted(result.time_s, time)), last)
            chosen.append(WheelsFrame(sample, time, words))
    return sorted(chosen, key=lambda frame: frame.time_s)


def loads_at(result: WheelsPunch, sample: int) -> list[float]:
    """Loads of the four wheels at a sample, N."""
    return [float(result.traces[f"{wheel}_load_n"][sample]) for wheel in WHEELS]


@house_look
def draw_wheels_filmstrip(result: Any) -> NotebookFigure:
    """Figure of the vehicle to scale at the moments that matter: side above, front axle from behind below.

    Returns
    -------
    Figure
    """
    frames = wheels_frames(result)
    numbers = result.standing.equilibrium.numbers
    figure, axes = new_figure(3.1 * len(frames), 6.2, 2, len(frames), heights=(1.25, 1.0))
    sides, behind = axes[: len(frames)], axes[len(frames) :]
    for frame, above, below in zip(frames, sides, behind, strict=True):
        pose, loads = pose_in_motion(numbers, result.states[:, frame.sample]), loads_at(result, frame.sample)
        plot_from_side(pose, loads, result.options.grade_deg, above)
        above.set_title(f"{frame.time_s:.3f} s: {frame.words}", fontsize=8.5)
        plot_from_behind(pose, loads, "front", below)
        below.set_title(f"leans {side_word(result.traces['chassis_roll_deg'][frame.sample])}", fontsize=8.5)
    for row in (sides, behind):
        _one_scale(row)
    head_figure(
        figure,
        f"{shown_name(result.setup)}: throttle {result.throttle_start:.2f} to {result.options.throttle:g} at "
        f"{result.options.grade_deg:g} deg, {result.drive} driven, to scale; below: the front axle from behind",
    )
    return figure


def _one_scale(axes: list[Axes]) -> None:
    """All frames of a row show the same piece of space."""
    low = np.min([(ax.get_xlim()[0], ax.get_ylim()[0]) for ax in axes], axis=0)
    high = np.max([(ax.get_xlim()[1], ax.get_ylim()[1]) for ax in axes], axis=0)
    for ax in axes:
        ax.set_xlim(low[0], high[0])
        ax.set_ylim(low[1], high[1])


def save_wheels_punch(result: WheelsPunch, folder: Path) -> list[str]:
    """Draw all pictures of a punch in space into a folder, made if need be; returns their names."""
    figures = {"wheels.png": draw_wheels_punch(result), "wheels-filmstrip.png": draw_wheels_filmstrip(result)}
    os.makedirs(folder, exist_ok=True)
    for name, figure in figures.items():
        save_figure(figure, os.path.join(folder, name))
    return list(figures)
