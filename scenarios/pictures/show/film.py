"""Films of a punch or of a crawl over grade: the vehicle to scale, its forces, the front load and what it is made of."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib import animation
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from noseload.documents import letter
from noseload.model.crawl import budget_parts
from noseload.model.crawl.geometry import solved_pose
from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.model.vehicle import ENDS
from noseload.pictures.side_view import NEWTONS_PER_METRE, Slope, VehicleArtist, ground_corners
from noseload.pictures.style import FAINT, GROUND, INK, as_grams, direct_labels, figure_for, house_look, load_axis, look
from noseload.plain import cut, typeset

from .gif import GifFilm
from .moving import BudgetBars, ForceArrows, Repainter
from .readout import Readout

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.show.wheels_film import WheelsFilmView
    from noseload.studies.show.film import Film
    from noseload.studies.show.wheels_film import WheelsFilm


WIDTH, HEIGHT, DPI = 9.6, 7.2, 100
"""Inches and pixels an inch: 960 by 720, both even, as video formats want it."""
MOST_BAR = 1.5
"""Longest bar shown whole, as a share of the standing load."""
GIF_RATES = (1, 2, 4, 5, 10, 20, 25, 50)
"""Frames a second whose time a GIF, which counts hundredths of a second, can keep."""
TICK_M = 0.05
ROOM_MM = 12.0


TITLE_LETTERS, LEAST_NAME, NAME_LETTERS = 98, 16, 52
"""Letters of the title, of the vehicle's name in it at least, and of the name of a setup at most."""
MOST_BARS = 3
"""Setups whose parts stand beside each other; of more the first alone."""


class FilmFigure(Figure):
    """A figure whose frames are the pixels that its canvas already holds."""

    def savefig(  # type: ignore[override]
        self, fname: Any, *, transparent: bool | None = None, format: str = "rgba", dpi: float | None = None
    ) -> None:
        """Write the pixels as they are: what a film's writer asks of a figure for every frame."""
        canvas: Any = self.canvas
        fname.write(canvas.buffer_rgba())


class FilmView:
    """One figure whose parts are moved from frame to frame.

    Parameters
    ----------
    film : Film
    side_by_side : bool
        Setups beside each other instead of laid over each other at the rear contact.
    """

    @house_look
    def __init__(self, film: Any, *, side_by_side: bool = False) -> None:
        self.film, self.side_by_side = film, side_by_side and len(film.tracks) > 1
        self.figure = FilmFigure(figsize=(WIDTH, HEIGHT), dpi=DPI)
        self.canvas = FigureCanvasAgg(self.figure)
        self.poses = [
            [
                solved_pose(t.values, t.coordinates[:, film.sample(t, k)]) if t.solved(film.sample(t, k)) else None
                for k in range(len(film.places))
            ]
            for t in film.tracks
        ]
        self._draw_words()
        self._draw_vehicles()
        self._draw_budget()
        self._draw_curves()
        moving = [self.moment, self.cursor, *self.lines, *self.dots, *self.bars.artists]
        self.repainter = Repainter(self.figure, moving + [a for panel in self.panels for a in panel.artists])
        self.show(0)

    def _draw_words(self) -> None:
        film = self.film
        title = film.title
        if film.slow is not None:
            title += (
                f"; shown {film.slow:g} times slower"
                if film.slow > 1.0
                else (f"; shown {1.0 / film.slow:g} times faster" if film.slow < 1.0 else "; shown at its own speed")
            )
        name = cut(shown_name(film.name), max(TITLE_LETTERS - len(title), LEAST_NAME))
        self.figure.text(0.015, 0.975, f"{name}: {title}", fontsize=11, fontweight="bold", va="top")
        self.moment = Readout(self.figure, 0.015, 0.935, fontsize=11.5)
        self.lines = []
        for k in range(len(film.tracks)):
            colour, dash = look(k)
            y = 0.893 - 0.033 * k
            self.figure.add_artist(_key_line(0.018, 0.055, y - 0.008, colour, dash))
            self.lines.append(self.figure.text(0.064, y, self._name(k), fontsize=10.5, va="top", color=colour))

    def _name(self, k: int) -> str:
        """Letter and name of a setup, the name as long as a line with its numbers has room for."""
        name = cut(shown_name(self.film.tracks[k].setup), NAME_LETTERS)
        return f"{letter(k)}: {name}" if len(self.film.tracks) > 1 else name

    def _draw_vehicles(self) -> None:
        film = self.film
        top = 0.87 - 0.033 * len(film.tracks)
        columns = len(film.tracks) if self.side_by_side else 1
        low, high = self._window()
        self.panels = []
        for c in range(columns):
            ax = self.figure.add_axes((0.015 + c * 0.62 / columns, 0.27, 0.62 / columns - 0.01, top - 0.27))
            ax.set_aspect("equal", anchor="C")
            ax.set_axis_off()
            ax.set_xlim(low[0], high[0])
            ax.set_ylim(low[1], high[1])
            members = [c] if self.side_by_side else list(range(len(film.tracks)))
            self.panels.append(_Panel(ax, film, self.poses, members))
        whose = f" of {letter(0)}" if len(film.tracks) > columns else ""
        self.figure.text(
            0.018,
            0.252,
            f"arrows to one scale: weight, axle loads, traction{whose}; marks on the slope every {1e3 * TICK_M:.0f} mm",
            fontsize=8,
            va="bottom",
        )

    def _window(self) -> Any:
        """Corners, mm, that hold every vehicle and its load arrows in every frame."""
        low, high = np.full(2, np.inf), np.full(2, -np.inf)
        for track, poses in zip(self.film.tracks, self.poses, strict=True):
            for k, pose in enumerate(poses):
                if pose is None:
                    continue
                j = self.film.sample(track, k)
                slope = Slope(track.grade_deg[j], pose.points["rear_contact"][0])
                places = [
                    (
                        slope.place(point),
                        1e3 * pose.radii.get(name.removesuffix("_wheel_centre"), 0.0)
                        if name.endswith("_wheel_centre")
                        else 0.0,
                    )
                    for name, point in pose.points.items()
                ]
                down = slope.turn((0.0, -1.0))
                for row, end in enumerate(ENDS):
                    x, z = slope.place(pose.points[f"{end}_contact"])
                    reach = min(1e3 * max(track.loads_n[row, j], 0.0) / NEWTONS_PER_METRE, MOST_ARROW_MM) + 32.0
                    places.append(((x + reach * down[0], z + reach * down[1]), 0.0))
                for place, reach in places:
                    low, high = np.minimum(low, np.subtract(place, reach)), np.maximum(high, np.add(place, reach))
        return low - ROOM_MM, high + ROOM_MM

    def _draw_budget(self) -> None:
        film = self.film
        budgets = [{key: np.nan_to_num(part) for key, part in track.budget.items()} for track in film.tracks]
        keys = tuple(part.key for part in budget_parts.told(*budgets, steady=film.kind == "creep"))
        ax = self.figure.add_axes((0.735, 0.28, 0.195, 0.565 - 0.033 * len(film.tracks)))
        tracks = film.tracks if len(film.tracks) <= MOST_BARS else film.tracks[:1]
        whose = f" of {letter(0)}" if len(tracks) < len(film.tracks) else ""
        ax.set_title(f"what the front axle load{whose} is made of, g", fontsize=10, x=-0.5, ha="left")
        shown = [
            as_grams(np.abs(part[: len(track.places)]))
            for track in tracks
            for part in (track.budget[key] for key in keys)
        ]
        # Close to a flip the wheels stand above each other and parts grow without bound: bars then leave the picture.
        standing = as_grams(float(film.tracks[0].budget["standing_n"][0]))
        reach = min(max(float(np.nanmax(part)) for part in shown), MOST_BAR * standing)
        self.bars, self.barred = BudgetBars(ax, keys, len(tracks), reach, quick=True), len(tracks)

    def _draw_curves(self) -> None:
        film = self.film
        ax = self.figure.add_axes((0.085, 0.075, 0.845, 0.155))
        self.dots = []
        for k, track in enumerate(film.tracks):
            colour, dash = look(k)
            ax.plot(track.places, as_grams(track.loads_n[1]), color=colour, ls=dash, lw=1.5)
            self.dots += ax.plot(
                [], [], marker="o", ms=7, mfc="white", mec=colour, mew=1.8, ls="none", zorder=5, clip_on=False
            )
        ax.set_xlim(film.places[0], film.places[-1])
        ax.set_ylim(bottom=0.0)
        load_axis(ax, "")
        ax.set_ylabel("front axle load, g")
        ax.set_xlabel("time, s" if film.kind == "punch" else "grade, deg", labelpad=1)
        self.cursor = ax.axvline(film.places[0], color=FAINT, lw=1.0)

    def pixels(self) -> np.ndarray:
        """What the canvas shows, shape (height, width, 4); overwritten by the next frame."""
        return np.asarray(self.canvas.buffer_rgba())

    def show(self, frame: int) -> None:
        """Move everything to a frame."""
        film = self.film
        place = film.places[frame]
        self.moment.set_text(f"{place:.3f} s" if film.kind == "punch" else typeset(f"grade {place:z5.2f} deg"))
        self.cursor.set_xdata([place, place])
        for k, track in enumerate(film.tracks):
            j = film.sample(track, frame)
            solved = self.poses[k][frame] is not None
            if k < self.barred:
                self.bars.show(k, {key: float(part[j]) for key, part in track.budget.items()} if solved else None)
            self.dots[k].set_data([track.places[j]], [as_grams(track.loads_n[1, j])])
            words = f", {track.words[j]}" if track.words[j] else ""
            if solved:
                load = track.loads_n[1, j]
                said = (
                    f"{self._name(k)}: front {as_grams(load):.0f} g ({load:.2f} N), nose up "
                    f"{track.nose_up_pitch_deg[j]:.1f} deg on the slope{words}"
                )
            else:
                said = f"{self._name(k)}: no pose here{words}"
            self.lines[k].set_text(typeset(said))
        for panel in self.panels:
            panel.show(frame)
        self.repainter.paint()


MOST_ARROW_MM = 140.0
"""Load arrows longer than this may leave the picture: landings press with several times the weight."""


class _Panel:
    """One drawing: the slope, and the setups in it."""

    def __init__(self, ax: Axes, film: Any, poses: Any, members: Any) -> None:
        self.ax, self.film, self.poses, self.members = ax, film, poses, members
        self.vehicles, self.arrows, self.span = {}, {}, 0.0
        self.ground = ax.fill([0, 1, 1], [0, 0, 1], fc=GROUND, ec="none", zorder=0.5)[0]
        (self.edge,) = ax.plot([], [], color=INK, lw=1.2, zorder=0.6)
        (self.ticks,) = ax.plot([], [], color=INK, lw=0.8, zorder=0.6)
        for k in members:
            pose = next(p for p in poses[k] if p is not None)
            first = k == members[0]
            self.span = max(self.span, pose.points["front_contact"][0] - pose.points["rear_contact"][0])
            self.vehicles[k] = VehicleArtist(ax, pose, Slope(0.0), setup=k, filled=first)
            # Arrows of laid-over setups lie on each other: the first alone has them.
            self.arrows[k] = ForceArrows(ax, fontsize=9, quick=True) if first else None

    @property
    def artists(self) -> Any:
        """Everything that moves."""
        parts = [self.ground, self.edge, self.ticks]
        for k in self.members:
            arrows = self.arrows[k]
            parts += self.vehicles[k].artists + ([] if arrows is None else arrows.artists)
        return parts

    def show(self, frame: int) -> None:
        """Move the vehicles, arrows and the slope's marks."""
        lead = self.members[0]
        for k in self.members:
            track, pose = self.film.tracks[k], self.poses[k][frame]
            self.vehicles[k].set_visible(pose is not None)
            arrows = self.arrows[k]
            if pose is None:
                if arrows is not None:
                    arrows.hide()
                continue
            j = self.film.sample(track, frame)
            slope = Slope(track.grade_deg[j], pose.points["rear_contact"][0])
            self.vehicles[k].move(pose, slope)
            if arrows is not None:
                loads = np.maximum(track.loads_n[:, j], 0.0)
                arrows.move(
                    track.values,
                    track.coordinates[:, j],
                    slope,
                    radians(track.grade_deg[j]),
                    loads,
                    track.tractions_n[:, j],
                )
        track = self.film.tracks[lead]
        j = self.film.sample(track, frame)
        rear = 0.0 if self.poses[lead][frame] is None else self.poses[lead][frame].points["rear_contact"][0]
        self._move_ground(track.grade_deg[j], rear)

    def _move_ground(self, grade_deg: float, rear: Any) -> None:
        """The slope below the first setup; its marks stay where they are on the slope."""
        slope = Slope(grade_deg)
        low, high = -0.55 * self.span, 2.0 * self.span
        corners = ground_corners(slope, low, high)
        self.ground.set_xy(corners)
        self.edge.set_data(*zip(*corners[:2], strict=True))
        first = TICK_M * np.ceil((rear + low) / TICK_M) - rear
        xs, zs = [], []
        for x in np.arange(first, high, TICK_M):
            for z in (0.0, -0.012):
                px, pz = slope.place((x, z))
                xs.append(px)
                zs.append(pz)
            xs.append(np.nan)
            zs.append(np.nan)
        self.ticks.set_data(xs, zs)


def _key_line(x0: Any, x1: Any, y: float, colour: str, dash: Any) -> Any:
    from matplotlib.lines import Line2D

    return Line2D([x0, x1], [y, y], color=colour, ls=dash, lw=2.0)


@house_look
def plot_film(film: Film, ax: Axes | None = None) -> Axes:
    """Front load of every setup over the film's time or grade; returns the axes."""
    ax = figure_for(ax)
    labels = []
    for k, track in enumerate(film.tracks):
        colour, dash = look(k)
        grams = as_grams(track.loads_n[1])
        ax.plot(track.places, grams, color=colour, ls=dash)
        last = int(np.flatnonzero(np.isfinite(grams))[-1])
        labels.append((track.places[last], grams[last], shown_name(track.setup), colour))
    ax.set_ylim(bottom=0.0)
    ax.set_xlabel("time, s" if film.kind == "punch" else "grade, deg")
    load_axis(ax)
    direct_labels(ax, labels)
    return ax


def check_film_file(path: str, frames_per_second: float) -> None:
    """Refuse early what could not be written at the end.

    Raises
    ------
    ModelError
        Another suffix, no program that writes video, or a frame rate that a GIF cannot keep.
    """
    suffix = os.path.splitext(str(path))[1].lower()
    if suffix not in (".gif", ".mp4"):
        raise ModelError(f"--out {path}: a film's name must end in .gif or .mp4")
    if suffix == ".mp4" and not animation.writers.is_available("ffmpeg"):
        raise ModelError(
            f"--out {path}: MP4 is written by the program ffmpeg, which is not on this machine's path; install it "
            "with the system's package manager, or name the film .gif"
        )
    if suffix == ".gif" and frames_per_second not in GIF_RATES:
        rates = ", ".join(map(str, GIF_RATES))
        raise ModelError(
            f"--frames-per-second {frames_per_second:g}: a GIF counts hundredths of a second and would run at "
            f"another speed; use one of {rates}, or .mp4"
        )


@house_look
def save_film(
    film: Any, path: str, *, side_by_side: bool = False, progress: Callable | None = None, view: Any = None
) -> None:
    """Draw and write a film as GIF or MP4 by its suffix, complete or not at all.

    Parameters
    ----------
    film : Film
    path : path
    side_by_side : bool
    progress : callable, optional
        Told (frames done, frames in all).
    view : object, optional
        What draws the frames (`show`, `pixels`, `figure`), in place of a `FilmView`.

    Raises
    ------
    ModelError
        As `check_film_file`.
    OSError
        The folder cannot be written.
    """
    check_film_file(path, film.frames_per_second)
    target = os.fspath(path)
    folder, name = os.path.split(target)
    suffix = os.path.splitext(name)[1].lower()
    partial = os.path.join(folder, f".{name}.{os.urandom(4).hex()}.part{suffix}")
    view = view or FilmView(film, side_by_side=side_by_side)
    write = _write_gif if suffix == ".gif" else _write_video
    try:
        write(film, view, partial, progress)
        os.replace(partial, target)
    except BaseException:
        if os.path.exists(partial):
            os.unlink(partial)
        raise


def _frames(film: Film | WheelsFilm, view: FilmView | WheelsFilmView, progress: Callable | None) -> Iterator[int]:
    """Show frame after frame."""
    total = len(film.places)
    for frame in range(total):
        view.show(frame)
        yield frame
        if progress is not None:
            progress(frame + 1, total)


def _write_gif(film: Film | WheelsFilm, view: FilmView | WheelsFilmView, path: str, progress: Callable | None) -> None:
    total = len(film.places)
    samples = []
    for frame in sorted({0, total // 2, total - 1}):
        view.show(frame)
        samples.append(view.pixels().copy())
    gif = GifFilm(film.frames_per_second, samples)
    for _ in _frames(film, view, progress):
        gif.add(view.pixels())
    gif.hold(film.hold_frames)
    gif.write(path)


def _write_video(film: Any, view: Any, path: str, progress: Callable | None) -> None:
    writer = animation.FFMpegWriter(fps=film.frames_per_second)
    try:
        writer.setup(view.figure, path, dpi=DPI)
        for _ in _frames(film, view, progress):
            writer.grab_frame()
        for _ in range(film.hold_frames):
            writer.grab_frame()
        writer.finish()
    except BaseException:
        _stop(writer)
        raise


def _stop(writer: Any) -> None:
    """End a program that is still waiting for frames."""
    process = getattr(writer, "_proc", None)
    if process is not None and process.poll() is None:
        process.kill()
        process.wait()
