"""Frames of a punch in space: from the side, the front axle from behind, the four loads so far."""

from __future__ import annotations

from textwrap import wrap
from typing import Any

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg

from noseload.model.names import shown_name
from noseload.model.space.parameters import WHEELS
from noseload.model.space.places import pose_in_motion
from noseload.pictures.punch.wheels import plot_wheel_loads
from noseload.pictures.style import INK, house_look
from noseload.pictures.wheels.side import plot_from_side
from noseload.pictures.wheels.stance import ARROW_MM, plot_from_behind
from noseload.plain import cut
from noseload.studies.punch.wheels_words import wheels_sentence

from .film import DPI, HEIGHT, WIDTH, FilmFigure

ROOM_MM, WORDS_MM = 60.0, 140.0
"""Room around the first frame's piece of space for what moves, and for words beside a wheel in the air."""
LETTERS, LONGEST_NAME = 120, 40
"""Of a line of the sentence above the film, and of the vehicle's name in it."""


class WheelsFilmView:
    """One figure that is drawn anew from frame to frame.

    Parameters
    ----------
    film : WheelsFilm
    """

    @house_look
    def __init__(self, film: Any) -> None:
        self.film, self.punch = film, film.punch
        self.figure = FilmFigure(figsize=(WIDTH, HEIGHT), dpi=DPI)
        self.canvas = FigureCanvasAgg(self.figure)
        self.side = self.figure.add_axes((0.02, 0.36, 0.56, 0.54))
        self.behind = self.figure.add_axes((0.60, 0.36, 0.38, 0.54))
        loads = self.figure.add_axes((0.08, 0.07, 0.86, 0.25))
        plot_wheel_loads(self.punch, loads)
        self.now = loads.axvline(0.0, color=INK, lw=1.2)
        speed = f"{self.punch.options.grade_deg:g} deg, {film.slow:g} times slower than real time"
        setup = "" if self.punch.setup == "base" else f", {shown_name(self.punch.setup)}"
        head = f"{cut(shown_name(film.name), LONGEST_NAME)}{setup}: {speed}"
        said = wrap(wheels_sentence(self.punch), LETTERS)
        self.figure.suptitle("\n".join([head, *said]), fontsize=10 if len(said) == 1 else 9)
        self.windows: dict = {}

    def pixels(self) -> np.ndarray:
        """What the canvas shows, shape (height, width, 4)."""
        return np.asarray(self.canvas.buffer_rgba())

    @house_look
    def show(self, frame: int) -> None:
        """Draw a frame."""
        sample = self.film.sample(frame)
        pose = pose_in_motion(self.punch.standing.equilibrium.numbers, self.punch.states[:, sample])
        loads = [float(self.punch.traces[f"{wheel}_load_n"][sample]) for wheel in WHEELS]
        for ax in (self.side, self.behind):
            ax.clear()
        plot_from_side(pose, loads, self.punch.options.grade_deg, self.side)
        plot_from_behind(pose, loads, "front", self.behind)
        self.side.set_title(f"{self.film.places[frame]:.3f} s, from the side", fontsize=9)
        self.behind.set_ylim(bottom=-1.25 * ARROW_MM)
        for name, ax in (("side", self.side), ("behind", self.behind)):
            # One piece of space for all frames: that of the first, with room for what moves.
            if name not in self.windows:
                (a, b), (c, d) = ax.get_xlim(), ax.get_ylim()
                aside = WORDS_MM if name == "behind" else ROOM_MM
                self.windows[name] = (a - aside, b + aside, c, d + ROOM_MM)
            a, b, c, d = self.windows[name]
            ax.set_xlim(a, b)
            ax.set_ylim(c, d)
        self.now.set_xdata([self.film.places[frame]] * 2)
        self.canvas.draw()
