"""A vehicle taken apart by hand: a state of the sliders -> the solved crawl, its limits and link figures, at once.

Pure: the same state always gives the same result; the window is in `pictures.explore`.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field, replace
from typing import Any

from noseload.model.errors import ModelError
from noseload.model.file.key import dotted_values, value_at
from noseload.model.file.reader import load_vehicle
from noseload.model.file.space import axle_reading_g
from noseload.model.file.writer import format_key, update_keys
from noseload.model.parameters import ENDS, check_links, rigid_centre_of_gravity
from noseload.model.vehicle import Vehicle
from noseload.output import write_whole
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.results import Creep, Limits
from noseload.studies.climb.standing import stand
from noseload.studies.links.candidates import POINTS, point_of, with_lines
from noseload.studies.links.links import links
from noseload.studies.punch.punch import PunchResult, punch

RISE_S = 0.05
"""How fast the throttle of the punch rises, s."""
MOST_SETUPS = 1000


@dataclass(frozen=True)
class ExploreState:
    """Where the sliders stand.

    Attributes
    ----------
    grade_deg : float
    throttle : float
        Of the punch.
    centre_forward_mm, centre_up_mm : float
        How far the centre of gravity of the whole vehicle is moved.
    ends_mm : tuple of (key, forward, up)
        How far each moved link end is moved.
    """

    grade_deg: float = 30.0
    throttle: float = 1.0
    centre_forward_mm: float = 0.0
    centre_up_mm: float = 0.0
    ends_mm: tuple[tuple[str, float, float], ...] = ()

    def end(self, key: str) -> tuple[float, float]:
        """How far a link end is moved, (forward, up) in mm."""
        return next(((dx, dz) for name, dx, dz in self.ends_mm if name == key), (0.0, 0.0))

    def with_end(self, key: str, forward_mm: float, up_mm: float) -> ExploreState:
        """This state with one link end moved."""
        if key not in POINTS:
            raise ModelError(f"{key!r} is no link end; the ends are {', '.join(POINTS)}")
        others = tuple(item for item in self.ends_mm if item[0] != key)
        own = ((key, float(forward_mm), float(up_mm)),) if forward_mm or up_mm else ()
        return replace(self, ends_mm=tuple(sorted(others + own)))

    @property
    def changes_vehicle(self) -> bool:
        """Whether anything of the vehicle is moved (grade and throttle are not of the vehicle)."""
        return bool(self.ends_mm or self.centre_forward_mm or self.centre_up_mm)


@dataclass(frozen=True)
class Explored:
    """What a state gives; None, with words, where there is no answer.

    Attributes
    ----------
    state : ExploreState
    message : str
        Why there is no crawl, '' where there is one.
    vehicle, climb : Vehicle and Climb, or None
    row : Creep or None
        As `creep` gives it.
    limits : Limits or None
    axles : dict
        `AxleLinks` by end; empty where there is no such pose.
    """

    state: ExploreState
    message: str = ""
    vehicle: Vehicle | None = field(default=None, repr=False)
    climb: Climb | None = field(default=None, repr=False)
    row: Creep | None = None
    limits: Limits | None = None
    axles: dict = field(default_factory=dict, repr=False)

    @property
    def solved(self) -> bool:
        """Whether there is a crawl with numbers."""
        return self.row is not None and self.row.state is not None


class Explorer:
    """Answers states of one vehicle; what grade and throttle do not change is kept from one state to the next.

    Parameters
    ----------
    vehicle : Vehicle
        The file as written, or a setup of it, from which the sliders start.
    link_lengths, ride_height : str, optional
        As in a setup's table; by default those of the vehicle.

    Raises
    ------
    MissingDataError
        No links in the file (level A).
    SolverError
        The vehicle itself has no standing pose.
    """

    def __init__(self, vehicle: Vehicle, *, link_lengths: str | None = None, ride_height: str | None = None) -> None:
        check_links(vehicle)
        self.vehicle = vehicle
        self.words = {
            "link_lengths": link_lengths or vehicle.link_lengths,
            "ride_height": ride_height or vehicle.ride_height,
        }
        self.start = Climb(vehicle)
        self.centre_mm = tuple(1e3 * v for v in rigid_centre_of_gravity(vehicle))
        self._known: tuple[ExploreState, Climb] | None = None

    def lines(self, state: ExploreState) -> dict[str, Any]:
        """Lines of a setup table that make the vehicle of a state, by dotted key, in file units."""
        document = self.vehicle.document
        changed: dict[str, Any] = {}
        if state.centre_forward_mm or state.centre_up_mm:
            changed |= self._centre_lines(document, state)
        for key, forward, up in state.ends_mm:
            x, z = point_of(self.vehicle, key)
            changed[key] = _moved(value_at(document, key) or [], round(x + forward, 3), round(z + up, 3))
        return changed

    def _centre_lines(self, document: dict, state: ExploreState) -> dict[str, Any]:
        forward, up = state.centre_forward_mm, state.centre_up_mm
        if "weighed" in document:
            given = document["weighed"]
            readings = {end: axle_reading_g(given, end) for end in ENDS}
            shift = sum(readings.values()) * forward / (1e3 * self.vehicle.wheelbase)
            lines = {"weighed.centre_of_gravity_height_mm": round(given["centre_of_gravity_height_mm"] + up, 3)}
            if forward:
                moved = {"rear": readings["rear"] - shift, "front": readings["front"] + shift}
                for end, reading in moved.items():
                    names = [name for name in (f"{end}_g", f"{end}_left_g", f"{end}_right_g") if name in given]
                    lines |= {f"weighed.{n}": round(given[n] * reading / readings[end], 3) for n in names}
            return lines
        # The axles stay where they are: the body has to move further than the whole.
        share = self.vehicle.mass / self.vehicle.body.mass
        x, z = self.vehicle.body.centre_of_gravity
        key = "body.centre_of_gravity_mm"
        return {
            key: _moved(
                value_at(document, key) or [], round(1e3 * x + share * forward, 3), round(1e3 * z + share * up, 3)
            )
        }

    def vehicle_of(self, state: ExploreState) -> Vehicle:
        """The vehicle of a state, as a setup of its file."""
        if not state.changes_vehicle:
            return self.vehicle
        return with_lines(self.vehicle, self.lines(state), name="explored", **self.words)

    def solve(self, state: ExploreState, *, downhill: bool = True) -> Explored:
        """The crawl of a state with its limits and link figures.

        Parameters
        ----------
        state : ExploreState
        downhill : bool
            Whether the limit of going down is asked for too: a third of the time of a changed vehicle.

        Returns
        -------
        Explored
            With words in place of numbers where the vehicle or the crawl is impossible.
        """
        vehicle, key = None, replace(state, grade_deg=0.0, throttle=0.0)
        try:
            if not state.changes_vehicle:
                climb = self.start
            elif self._known is not None and self._known[0] == key:
                climb = self._known[1]
            else:
                vehicle = self.vehicle_of(state)
                climb = Climb(vehicle)
                self._known = (key, climb)
            found = links(climb.vehicle, grade_deg=state.grade_deg, travel_rows=0, climb=climb)
            limits = climb.limits if downhill else climb.uphill_limits
        except (ModelError, SolverError) as error:
            return Explored(state, _plain(error), vehicle)
        return Explored(
            state,
            found.row.message if found.row.state is None else "",
            climb.vehicle,
            climb,
            found.row,
            limits,
            found.axles,
        )

    def punch(self, explored: Explored) -> tuple[PunchResult | None, str]:
        """A punch from the crawl of a state to its throttle: a run of the full motion, no estimate.

        Returns
        -------
        PunchResult or None, str
            And why there is none.
        """
        if not explored.solved or explored.vehicle is None or explored.climb is None:
            return None, explored.message
        state = explored.state
        try:
            result = punch(
                explored.vehicle,
                grade_deg=state.grade_deg,
                throttle=state.throttle,
                rise_s=RISE_S,
                standing=explored.climb.standing,
                outcome=False,
            )
        except (ModelError, SolverError) as error:
            return None, _plain(error)
        return (result, "") if result.success else (None, result.message)

    def save(self, state: ExploreState, file: str | os.PathLike, name: str) -> Vehicle:
        """Write a state as a setup into a vehicle file; its comments and layout stay.

        Parameters
        ----------
        state : ExploreState
        file : path
            The vehicle's own file, or one that holds the same vehicle; one that is not there yet becomes a copy.
        name : str
            Of the new table `[setups.NAME]`.

        Returns
        -------
        Vehicle
            The setup as read back.

        Raises
        ------
        ModelError
            The name is taken, the file holds another vehicle, or the state is no possible vehicle; the file stays as it was.
        SolverError
            The vehicle has no standing pose; the file stays as it was.
        OSError
            The file cannot be written.
        """
        base = self.vehicle.base or self.vehicle
        name = name.strip()
        self._check_name(name)
        source = file if os.path.exists(file) else base.file
        with open(source, "rb") as stream:
            text = stream.read().decode("utf-8")
        there = load_vehicle(os.fspath(file), text=text)
        if _without_setups(there.document) != _without_setups(base.document):
            raise ModelError(
                f"{file}: holds another vehicle than the one shown; name its own file, or one that is not there yet"
            )
        if name in there.setups:
            raise ModelError(f"{file}: has a setup {name!r} already, which stays as it is; give another name")
        own = base.document.get("setups", {}).get(self.vehicle.setup, {}) if self.vehicle.base is not None else {}
        lines = dotted_values(own) | self.words | self.lines(state)
        if self.vehicle.drive.driven_axles != there.drive.driven_axles:
            lines["drive.driven_axles"] = self.vehicle.drive.driven_axles
        new = update_keys(text, {format_key(("setups", name, key)): value for key, value in lines.items()})
        saved = load_vehicle(os.fspath(file), text=new, setup=name)
        stand(saved)
        write_whole(file, new)
        return saved

    @staticmethod
    def _check_name(name: str) -> None:
        if not name or not name.isprintable() or name == "base":
            raise ModelError(f"a setup cannot be called {name!r}; give it a name of its own, such as explored")

    def free_name(self, file: str | os.PathLike, wanted: str = "explored") -> str:
        """A setup name that a file does not have yet."""
        taken = (
            load_vehicle(os.fspath(file)).setups if os.path.exists(file) else (self.vehicle.base or self.vehicle).setups
        )
        names = [wanted, *(f"{wanted}_{k}" for k in range(2, MOST_SETUPS))]
        return next(name for name in names if name not in taken)


def _moved(point: list, x: float, z: float) -> list:
    """A point of the file with new x and z; a y in it stays."""
    return [x, point[1], z] if len(point) == 3 else [x, z]


def _without_setups(document: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key not in ("setups", "changes")}


def _plain(error: Exception) -> str:
    """An error in one line; of a file's faults the sentences alone, for the file is the one shown."""
    faults = [fault.removeprefix("setups.explored: ") for fault in getattr(error, "faults", ())]
    return " ".join(("; ".join(faults) or str(error)).split()).rstrip(".")
