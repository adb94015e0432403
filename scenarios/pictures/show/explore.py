"""A window with sliders: the vehicle to scale, its loads, limits and link figures, live; the state saved as a setup."""

from __future__ import annotations

import os
import textwrap
from math import radians, tan
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.widgets import Button, RadioButtons, Slider, TextBox

from noseload.model.crawl.geometry import solved_pose
from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.pictures.side_view import Slope, VehicleArtist, ground_corners
from noseload.pictures.style import FAINT, GROUND, INK, as_grams, house_look, load_axis
from noseload.plain import cut
from noseload.solvers.errors import SolverError
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.links.candidates import POINTS, point_of
from noseload.studies.show.explore import RISE_S, ExploreState

from .explore_drag import Drag, body_of, ends_on_paper, nearest_end
from .explore_words import division_words, limit_words, link_words, load_words, punch_words
from .moving import ForceArrows, Repainter
from .readout import Readout

if TYPE_CHECKING:
    from matplotlib.backend_bases import DrawEvent, MouseEvent
    from matplotlib.figure import Figure

    from noseload.model.crawl.geometry import Pose
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.studies.climb.results import Creep
    from noseload.studies.punch.punch import PunchResult
    from noseload.studies.show.explore import Explorer


SIZE = (12.5, 6.0)
"""Inches at 100 pixels each: with title bar, toolbar and task bar it fits a screen of 1366 by 768."""
NAME_LETTERS = 46
"""Of the names of vehicle and setup above the drawing."""
GHOST = 5
"""Look of the vehicle as it was: pale and dotted."""
GRADES, ENDS_MM, UP_MM, FORWARD_MM = (-45.0, 80.0), 25.0, 30.0, 40.0
"""Ranges of the sliders."""
WARN = "#b5452c"
BUSY = "let go: the punch is then run"


class _Slider(Slider):
    """The window itself paints what moves: a slider alone would have all drawn anew."""

    drawon = False


class ExploreWindow:
    """The window on a figure of any canvas; a headless one serves for tests.

    Parameters
    ----------
    explorer : Explorer
    figure : Figure
    file : path or None
        Where states are saved; None where there is no file of the user's own.
    grade_deg : float
    end : str
        Key of the link end that the sliders move first.
    """

    @house_look
    def __init__(
        self,
        explorer: Explorer,
        figure: Figure,
        *,
        file: str | None = None,
        grade_deg: float = 30.0,
        end: str = "rear.upper_link.axle_end_mm",
    ) -> None:
        self.explorer, self.figure, self.file = explorer, figure, file
        self.state = ExploreState(grade_deg=float(grade_deg))
        self.chosen: str = end
        self.explored: Any = None
        self.run: Any = None
        self._before: Any = None
        self.unsettled = False
        self.drag: Drag | None = None
        self.placed: tuple[Any, Slope] | None = None
        self._draw_vehicle()
        self._draw_words()
        self._draw_punch()
        self._draw_controls()
        self.parts = self._parts()
        self._painted: dict[str, Any] = {}
        figure.canvas.mpl_connect("draw_event", self._drawn)
        figure.canvas.mpl_connect("button_press_event", self._pressed)
        figure.canvas.mpl_connect("motion_notify_event", self._moved)
        figure.canvas.mpl_connect("button_release_event", self._released)
        self.show(self.state)
        self.settle()

    # what is drawn once -------------------------------------------------------------------

    def _draw_vehicle(self) -> None:
        ax = self.drawing = self.figure.add_axes((0.005, 0.345, 0.382, 0.6))
        ax.set_aspect("equal")
        ax.set_axis_off()
        reach = 1e3 * self.explorer.vehicle.wheelbase
        ax.set_xlim(-1.05 * reach, 1.05 * reach)
        ax.set_ylim(-0.82 * reach, 1.0 * reach)
        standing = self.explorer.start.standing
        pose = solved_pose(standing.values, coordinates_of(standing.state))
        self.ground = ax.fill([0, 1, 1], [0, 0, 1], fc=GROUND, ec="none", zorder=0.5)[0]
        (self.edge,) = ax.plot([], [], color=INK, lw=1.2, zorder=0.6)
        self.ghost = VehicleArtist(ax, pose, Slope(0.0), setup=GHOST, filled=False)
        self.vehicle = VehicleArtist(ax, pose, Slope(0.0), setup=0, filled=True)
        self.arrows = ForceArrows(ax, fontsize=9, quick=True)
        (self.held,) = ax.plot([], [], ls="none", marker="o", ms=11, mfc="none", mec=WARN, mew=1.8, zorder=9)
        vehicles = [*self.ghost.artists, *self.vehicle.artists]
        self.scene = [self.ground, self.edge, *vehicles, *self.arrows.artists, self.held]

    def _draw_words(self) -> None:
        vehicle = self.explorer.vehicle
        name = cut(shown_name(vehicle.name), NAME_LETTERS)
        setup = "" if vehicle.setup == "base" else f", setup {cut(shown_name(vehicle.setup), NAME_LETTERS)}"
        self.figure.text(
            0.012,
            0.985,
            f"{name}{setup}: steady crawl, {vehicle.drive.driven_axles} driven, calculated (pale: the file's)",
            fontsize=10,
            fontweight="bold",
            va="top",
        )
        places = {
            "front": (0.392, 0.903),
            "loads": (0.392, 0.862),
            "limits": (0.738, 0.903),
            "links": (0.392, 0.56),
            "failure": (0.02, 0.90),
            "status": (0.245, 0.008),
        }
        self.words = {
            name: Readout(
                self.figure,
                x,
                y,
                fontsize={"failure": 11, "front": 13}.get(name, 8.5),
                colour=WARN if name == "failure" else INK,
                va="bottom" if name == "status" else "top",
            )
            for name, (x, y) in places.items()
        }
        for x, y, title in ((0.392, 0.937, "loads"), (0.738, 0.937, "where the climb ends"), (0.392, 0.595, "links")):
            self.figure.text(x, y, title, fontsize=10, fontweight="bold", va="top")

    def _draw_punch(self) -> None:
        ax = self.figure.add_axes((0.775, 0.09, 0.17, 0.41))
        self.curves = [*ax.plot([], [], color=FAINT, lw=1.2, ls=(0, (1, 1.2))), *ax.plot([], [], color=INK, lw=1.8)]
        ax.set_xlim(0.0, 1.0)
        standing = as_grams(self.explorer.start.row(0.0).budget["standing_n"])
        ax.set_ylim(0.0, 1.5 * standing)
        ax.set_xlabel("time, s")
        load_axis(ax, "")
        ax.set_ylabel("front axle load, g")
        ax.set_title(f"punch: throttle up within {RISE_S:g} s,\nrun when the hand lets go", fontsize=9.5, x=-0.2)
        self.punch_words = Readout(self.figure, 0.98, 0.97, transform=ax.transAxes, ha="right", fontsize=8.5)

    def _draw_controls(self) -> None:
        self.figure.text(0.012, 0.335, "link end to move: drag it, or", fontsize=10, fontweight="bold", va="top")
        names = [key.removesuffix("_end_mm").replace("_", " ").replace(".", " ").replace(" link", "") for key in POINTS]
        self.radio = RadioButtons(
            self.figure.add_axes((0.005, 0.035, 0.165, 0.275), frameon=False),
            names,
            useblit=False,
            activecolor=INK,
            active=POINTS.index(self.chosen),
            label_props={"fontsize": [9] * len(names)},
        )
        self.radio.on_clicked(lambda label: self.choose(POINTS[names.index(str(label))]))
        rows = (
            ("grade", "grade", *GRADES, self.state.grade_deg),
            ("forward", "end forward", -ENDS_MM, ENDS_MM, 0.0),
            ("up", "end up", -ENDS_MM, ENDS_MM, 0.0),
            ("centre_up", "centre of gravity up", -UP_MM, UP_MM, 0.0),
            ("centre_forward", "  ... forward", -FORWARD_MM, FORWARD_MM, 0.0),
            ("throttle", "throttle of the punch", 0.0, 1.0, 1.0),
        )
        self.sliders, self.values = {}, {}
        for k, (name, label, low, high, value) in enumerate(rows):
            ax = self.figure.add_axes((0.305, 0.298 - 0.036 * k, 0.18, 0.022))
            slider = _Slider(
                ax,
                label,
                low,
                high,
                valinit=value,
                initcolor="none",
                color="#9fb0bd",
                valstep=0.05 if name == "throttle" else 0.5,
            )
            slider.on_changed(self._changed)
            slider.valtext.set_visible(False)
            slider.vline.set_visible(False)
            self.sliders[name] = slider
            self.values[name] = Readout(self.figure, 1.06, 0.5, transform=ax.transAxes, va="center", fontsize=9.0)
        self.name_box = TextBox(self.figure.add_axes((0.325, 0.052, 0.115, 0.036)), "setup ", initial=self._free_name())
        self.save_button = Button(self.figure.add_axes((0.446, 0.052, 0.055, 0.036)), "save", useblit=False)
        self.save_button.on_clicked(lambda event: self.save())
        self.reset_button = Button(self.figure.add_axes((0.507, 0.052, 0.075, 0.036)), "start again", useblit=False)
        self.reset_button.on_clicked(lambda event: self.reset())

    def _free_name(self) -> str:
        try:
            return self.explorer.free_name(self.file) if self.file else "explored"
        except (ModelError, OSError):
            return "explored"

    def _parts(self) -> dict:
        """What moves, by the part of the window it moves in: only parts that change are painted anew."""
        words = dict(self.words)
        scene, status = [*self.scene, words.pop("failure")], [words.pop("status")]
        parts = {
            "scene": Repainter(self.figure, scene, (0.0, 0.342, 0.388, 0.945)),
            "limits": Repainter(self.figure, [words.pop("limits")], (0.735, 0.62, 1.0, 0.905)),
            "words": Repainter(self.figure, list(words.values()), (0.388, 0.342, 0.735, 0.905)),
            "punch": Repainter(self.figure, [*self.curves, self.punch_words], (0.738, 0.0, 1.0, 0.515)),
            "status": Repainter(self.figure, status, (0.24, 0.0, 0.738, 0.05)),
        }
        for name, slider in self.sliders.items():
            _, low, _, high = slider.ax.get_position().extents
            moving = [slider.poly, *(line for line in slider.ax.lines if line.get_visible()), self.values[name]]
            parts[name] = Repainter(self.figure, moving, (0.298, low - 0.006, 0.597, high + 0.006))
        return parts

    def _shown(self) -> dict[str, tuple[float | str, ...]]:
        """What is seen in the parts that do not change with every state."""
        seen: dict[str, Any] = {name: (slider.val, self.values[name].text) for name, slider in self.sliders.items()}
        seen["status"] = (self.words["status"].text, self.words["status"].colour)
        seen["punch"] = (self.punch_words.text, *(id(curve.get_xdata(orig=True)) for curve in self.curves))
        return seen

    # what a user does ---------------------------------------------------------------------

    def _changed(self, _value: float) -> None:
        value = {name: float(slider.val) for name, slider in self.sliders.items()}
        state = ExploreState(
            value["grade"], value["throttle"], value["centre_forward"], value["centre_up"], self.state.ends_mm
        )
        self.unsettled = True
        self.show(state.with_end(self.chosen, value["forward"], value["up"]))

    def _pressed(self, event: MouseEvent) -> None:
        """Take the link end under the hand, unless the toolbar's hand or glass is at work."""
        if event.inaxes is not self.drawing or event.button != 1 or self.figure.canvas.widgetlock.locked():
            return
        if self.placed is None:
            return
        pose, slope = self.placed
        to_pixels = self.drawing.transData.transform
        pixels = {key: tuple(to_pixels(point)) for key, point in ends_on_paper(pose, slope).items()}
        key = nearest_end(pixels, event.x, event.y, self.chosen)
        if key is None:
            return
        if key != self.chosen:
            self.radio.set_active(POINTS.index(key))
        turned = radians(slope.angle_deg) - pose.angles[body_of(key)]
        self.drag = Drag(key, (event.xdata or 0.0, event.ydata or 0.0), self.state.end(key), turned)

    def _moved(self, event: MouseEvent) -> None:
        if self.drag is None or event.inaxes is not self.drawing:
            return
        forward, up = self.drag.at(event.xdata or 0.0, event.ydata or 0.0, ENDS_MM)
        if (forward, up) != self.state.end(self.drag.key):
            self._set_sliders({"forward": forward, "up": up})
            self.unsettled = True
            self.show(self.state.with_end(self.drag.key, forward, up))

    def _released(self, _event: MouseEvent) -> None:
        self.drag = None
        if self.unsettled:
            self.settle()

    def choose(self, key: str) -> None:
        """Let the two sliders of a link end move another end."""
        self.chosen = key
        self._set_sliders(dict(zip(("forward", "up"), self.state.end(key), strict=True)))
        self.show(self.state)

    def reset(self) -> None:
        """Back to the vehicle as its file has it, on the same grade."""
        self._set_sliders({"forward": 0.0, "up": 0.0, "centre_forward": 0.0, "centre_up": 0.0})
        self.show(ExploreState(self.state.grade_deg, self.state.throttle))
        self.settle()

    def _set_sliders(self, values: dict[str, float]) -> None:
        for name, value in values.items():
            slider = self.sliders[name]
            slider.eventson = False
            slider.set_val(value)
            slider.eventson = True

    def save(self) -> None:
        """Write the state as a setup into the file; what became of it stands below the sliders."""
        if self.file is None:
            self._say("the demo vehicle is not written to: start with --into FILE", failed=True)
            return
        name = self.name_box.text
        try:
            self.explorer.save(self.state, self.file, name)
        except (ModelError, SolverError, OSError) as error:
            said = " ".join(str(error).split()).replace(str(self.file), os.path.basename(self.file))
            self._say(f"not saved: {said}", failed=True)
            return
        self._say(f"saved as [setups.{name.strip()}] in {os.path.basename(self.file)}")
        self.name_box.set_val(self._free_name())

    def _say(self, text: str, *, failed: bool = False) -> None:
        self.words["status"].set_text("\n".join(textwrap.wrap(text, 66)[:2]))
        self.words["status"].set_color(WARN if failed else INK)
        self._paint()

    # showing ------------------------------------------------------------------------------

    def show(self, state: ExploreState) -> None:
        """Solve a state and show it; the punch waits until a slider is let go."""
        self.state = state
        self.explored = found = self.explorer.solve(state, downhill=False)
        self._move_ground(state.grade_deg)
        self._move_vehicles(found)
        self.words["failure"].set_text(
            "\n".join(textwrap.wrap(f"No crawl here: {found.message}.", 50)) if not found.solved else ""
        )
        front, rest = load_words(found, self._as_written(state))
        self.words["front"].set_text(front)
        self.words["loads"].set_text(rest)
        self.words["limits"].set_text(limit_words(found.limits, downhill=False))
        self.words["links"].set_text(link_words(found.axles))
        self._slider_words(state)
        self.words["status"].set_text("")
        self._show_punch(None, None, BUSY)
        self._paint()

    def _as_written(self, state: ExploreState) -> Creep:
        """The vehicle as the file has it, on the same grade."""
        if self._before is None or self._before.grade_deg != state.grade_deg:
            self._before = self.explorer.start.row(state.grade_deg)
        return self._before

    def settle(self) -> None:
        """Run the punch of the state, and that of the vehicle as the file has it."""
        self.unsettled = False
        self.explored = self.explorer.solve(self.state)
        self.words["limits"].set_text(limit_words(self.explored.limits))
        if not self.words["status"].get_text():
            self.words["status"].set_text(division_words(self.explored))
            self.words["status"].set_color(INK)
        self.run, why = self.explorer.punch(self.explored)
        before = None
        if self.state.changes_vehicle:
            start = ExploreState(self.state.grade_deg, self.state.throttle)
            before, _ = self.explorer.punch(self.explorer.solve(start))
        self._show_punch(self.run, before, punch_words(self.run) if self.run is not None else f"no punch: {why}")
        self._paint()

    def _show_punch(self, run: PunchResult | None, before: PunchResult | None, words: str) -> None:
        for curve, result in zip(self.curves, (before, run), strict=True):
            if result is None:
                curve.set_data([], [])
            else:
                curve.set_data(result.time_s, as_grams(result.front_load_n))
        self.punch_words.set_text("\n".join(textwrap.wrap(words, 30)[:5]))

    def _move_ground(self, grade_deg: float) -> None:
        half = self.explorer.vehicle.wheelbase / 2.0
        slope = Slope(grade_deg, half)
        low, high = half - 0.95 * 2 * half, half + 0.95 * 2 * half
        corners = ground_corners(slope, low, high)
        self.ground.set_xy(corners)
        self.edge.set_data(*zip(*corners[:2], strict=True))

    def _move_vehicles(self, found: Any) -> None:
        self.vehicle.set_visible(found.solved)
        self.held.set_visible(found.solved)
        self.placed = None
        if found.solved:
            row, values = found.row, found.climb.standing.values
            coordinates = coordinates_of(row.state)
            pose, slope = self._placed(values, coordinates, row.grade_deg)
            self.vehicle.move(pose, slope)
            self.placed = pose, slope
            x, y = ends_on_paper(pose, slope)[self.chosen]
            self.held.set_data([x], [y])
            self.arrows.move(
                values,
                coordinates,
                slope,
                radians(row.grade_deg),
                (row.rear_load_n, row.front_load_n),
                (row.rear_traction_n, row.front_traction_n),
            )
        else:
            self.arrows.hide()
        before = self._as_written(found.state)
        shown = found.state.changes_vehicle and before.state is not None
        self.ghost.set_visible(shown)
        if shown:
            values = self.explorer.start.standing.values
            self.ghost.move(*self._placed(values, coordinates_of(before.state), before.grade_deg))

    def _placed(self, values: VehicleNumbers, coordinates: np.ndarray, grade_deg: float) -> tuple[Pose, Slope]:
        """Pose and slope that put the rear contact half a wheelbase below the middle of the drawing."""
        pose = solved_pose(values, coordinates)
        return pose, Slope(grade_deg, pose.points["rear_contact"][0] + self.explorer.vehicle.wheelbase / 2.0)

    def _slider_words(self, state: ExploreState) -> None:
        x, z = point_of(self.explorer.vehicle, self.chosen)
        dx, dz = state.end(self.chosen)
        forward, up = self.explorer.centre_mm
        words = {
            "grade": f"{state.grade_deg:g} deg ({100 * tan(radians(state.grade_deg)):.0f} %)",
            "forward": f"{x + dx:.1f} mm ({dx:+g})",
            "up": f"{z + dz:.1f} mm ({dz:+g})",
            "centre_up": f"{up + state.centre_up_mm:.1f} mm ({state.centre_up_mm:+g})",
            "centre_forward": f"{forward + state.centre_forward_mm:.1f} mm ({state.centre_forward_mm:+g})",
            "throttle": f"{state.throttle:.2f}",
        }
        for name, text in words.items():
            self.values[name].set_text(text)

    # painting -----------------------------------------------------------------------------

    def _drawn(self, _event: DrawEvent) -> None:
        """All was drawn anew (first showing, another size): keep it, and lay what moves over it."""
        width, height = self.figure.get_size_inches()
        scale = min(1.0, width / SIZE[0], height / SIZE[1])
        for readout in (*self.words.values(), *self.values.values(), self.punch_words):
            readout.set_scale(scale)
        for part in self.parts.values():
            part.copy()
        for part in self.parts.values():
            part.paint()
        self._painted = self._shown()

    def _paint(self) -> None:
        if not hasattr(self, "parts") or self.parts["scene"].background is None:
            return
        seen = self._shown()
        for name, part in self.parts.items():
            if name not in seen or seen[name] != self._painted.get(name):
                part.paint()
                self.figure.canvas.blit(part.box)
        self._painted = seen


@house_look
def open_window(
    explorer: Explorer, *, file: str | None = None, grade_deg: float = 30.0, end: str = "rear.upper_link.axle_end_mm"
) -> Any:
    """Open the window and stay until it is closed.

    Raises
    ------
    ModelError
        There is no display to open a window on.
    """
    from matplotlib import pyplot

    remedy = (
        "explore needs a display to open a window on, and there is none here ({why}); run it on a desktop, or use "
        "`noseload creep`, `links`, `limits`, `post` and `animate`, which write files"
    )
    try:
        figure = pyplot.figure("noseload explore", figsize=SIZE)
    except Exception as error:  # whatever a windowing system raises, the remedy is the same
        raise ModelError(remedy.format(why=f"{type(error).__name__}: {error}")) from None
    if getattr(figure.canvas, "required_interactive_framework", None) is None:
        backend = pyplot.get_backend()
        pyplot.close(figure)
        raise ModelError(
            remedy.format(
                why=f"Matplotlib draws with {backend}, which has no windows; MPLBACKEND or a missing tkinter may be why"
            )
        )
    try:
        window = ExploreWindow(explorer, figure, file=file, grade_deg=grade_deg, end=end)
        pyplot.show()
        return window
    except SolverError:
        pyplot.close(figure)
        raise
