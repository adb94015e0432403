"""What the links of each axle do: instant centres, swing arms, anti-squat and anti-lift, in a pose and over travel.

Two figures stand side by side. *Textbook*: as if the axle alone drove and axles weighed nothing.
*As driven*: with the tractions this vehicle has here and the axles' own masses.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import degrees, radians
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.geometry import Pose, solved_pose
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.links.axle_travel import AxleLinkage
from noseload.model.links.link_geometry import (
    SideView,
    anti_as_driven,
    anti_textbook,
    full_anti_line,
    side_view,
    spring_load,
)
from noseload.model.parameters import ENDS
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.results import Creep
from noseload.studies.climb.split import plausible_splits
from noseload.studies.climb.standing import coordinates_of, stand
from noseload.studies.result import Result

from .travel import follow_travel

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers


FIGURES = {
    "textbook": "all traction on this axle alone, axles without mass, solid axle: (e/d)(L/h)",
    "as_driven": "tractions of this drive in this pose, axle mass included, solid axle (its torque comes lengthwise)",
}
NAMES = {"rear": "anti_squat", "front": "anti_lift"}
"""What the figure of each axle is called."""


@dataclass(frozen=True)
class AxleLinks:
    """Figures of one axle in one pose, in SI; figures as shares, 1 = 100 %.

    Attributes
    ----------
    view : SideView
    textbook, as_driven : float or None
        Anti-squat (rear) or anti-lift (front).
    share : float
        Part of the traction on this axle.
    housing_turn : float
        theta of the housing against the chassis, less that of the standing pose, rad.
    motion_ratio, wheel_rate, spring_load : float or None
        Shock shortening for each unit of wheel rise, spring rate at the wheel (N/m), force of the springs
        at the wheel (N).
    full_line : (float, float) or None
        Where instant centres give 100 % as driven: height at the contact (m), slope.
    """

    view: SideView
    textbook: float | None
    as_driven: float | None
    share: float
    housing_turn: float
    motion_ratio: float | None
    wheel_rate: float | None
    spring_load: float | None
    full_line: tuple | None

    def to_dict(self, name: str, rear_contact_x: float) -> dict[str, Any]:
        """Unit-named keys; `name` is 'anti_squat' or 'anti_lift'."""
        view = self.view
        centre = view.instant_centre
        return {
            "instant_centre": place_word(view),
            "instant_centre_mm": None if centre is None else [1e3 * (centre[0] - rear_contact_x), 1e3 * centre[1]],
            "swing_arm_length_mm": _scaled(view.arm_length, 1e3),
            "swing_arm_angle_deg": _scaled(view.arm_angle, degrees(1.0)),
            "contact_line_angle_deg": _scaled(view.contact_angle, degrees(1.0)),
            f"{name}_textbook_percent": _scaled(self.textbook, 100.0),
            f"{name}_as_driven_percent": _scaled(self.as_driven, 100.0),
            "traction_share": self.share,
            "housing_nose_up_deg": -degrees(self.housing_turn),
            "wheel_path_outward_deg": _scaled(view.arm_angle, degrees(1.0)),
            "motion_ratio": self.motion_ratio,
            "wheel_rate_n_per_mm": _scaled(self.wheel_rate, 1e-3),
            "spring_load_n": self.spring_load,
        }


@dataclass(frozen=True)
class LinkStudy(Result):
    """Link geometry of one vehicle in a solved pose and over the travel of each axle.

    Attributes
    ----------
    setup : str
    grade_deg : float
    status, message : str
    row : Creep
    pose : Pose or None
    height, distance, wheelbase : float or None
        Centre of gravity above the slope and from the rear contact, and between the wheel centres, m.
    axles : dict
        AxleLinks by end; empty where the vehicle has no such pose.
    travel : dict
        AxleTravel by end, the chassis held as it stands in this pose.
    """

    picture = "links.links.plot_rear_construction"
    setup: str
    grade_deg: float
    status: str
    message: str
    row: Creep
    pose: Pose | None = field(default=None, repr=False)
    distance: float | None = None
    height: float | None = None
    wheelbase: float | None = None
    axles: dict = field(default_factory=dict, repr=False)
    travel: dict = field(default_factory=dict, repr=False)

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        origin = self.pose.points["rear_contact"][0] if self.pose else 0.0
        return {
            "setup": self.setup,
            "grade_deg": self.grade_deg,
            "nose_up_pitch_deg": self.row.nose_up_pitch_deg,
            "wheelbase_mm": _scaled(self.wheelbase, 1e3),
            "centre_of_gravity_mm": _scaled(self.distance, 1e3),
            "centre_of_gravity_height_mm": _scaled(self.height, 1e3),
            **{end: self.axles[end].to_dict(NAMES[end], origin) if self.axles else None for end in ENDS},
            "travel": {end: self.travel[end].to_dict(NAMES[end]) if self.travel else None for end in ENDS},
            "figures": dict(FIGURES),
            "status": self.status,
            **({"message": self.message} if self.message else {}),
        }

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        return "" if self.axles else self.message or self.status

    def __repr__(self) -> str:
        if not self.axles:
            return f"LinkStudy({self.setup}, {self.grade_deg:g} deg: {self.status})"
        squat, lift = self.axles["rear"], self.axles["front"]
        return (
            f"LinkStudy({self.setup}, {self.grade_deg:g} deg: anti-squat {_percent(squat.as_driven)} as driven, "
            f"{_percent(squat.textbook)} textbook; anti-lift {_percent(lift.as_driven)} as driven)"
        )


def place_word(view: Any) -> str:
    """Where the instant centre lies, seen from the axle: 'inward', 'outward', 'at_infinity', ..."""
    if view.instant_centre is None:
        return "undefined" if view.contact_slope is None else "at_infinity"
    if view.contact_slope is None:
        return "above_contact"
    return "inward" if view.inverse_arm > 0.0 else "outward"


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else factor * value


def _percent(share: float) -> str:
    return "-" if share is None else f"{100 * share:.0f} %"


def links(vehicle: Vehicle, *, grade_deg: float = 0.0, travel_rows: int = 25, climb: Any = None) -> LinkStudy:
    """Link geometry of a vehicle, standing or crawling on a grade, and over the travel of both axles.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks (level B).
    grade_deg : float
        Grade whose solved pose and tractions are used; 0 is the standing pose.
    travel_rows : int
        Rows from bump to droop, at least 2; 0 leaves the travel out.
    climb : Climb, optional
        A path already followed for this vehicle.

    Returns
    -------
    LinkStudy
        With nulls and a status where the vehicle has no such pose.

    Raises
    ------
    MissingDataError
        The file has no links and springs.
    SolverError
        The vehicle has no standing pose.
    """
    climb = climb or Climb(vehicle)
    row = climb.row(grade_deg)
    if row.state is None:
        return LinkStudy(vehicle.setup, float(grade_deg), row.status, row.message, row)
    standing = climb.standing
    values, coordinates = standing.values, coordinates_of(row.state)
    pose = solved_pose(values, coordinates)
    distance, height, wheelbase = (float(v) for v in centre_of_gravity(values, coordinates))
    shares = traction_shares(values, row)
    axles, travel = {}, {}
    for end in ENDS:
        linkage = AxleLinkage(values, end, coordinates)
        axles[end] = _figures(climb, row, pose, linkage, height, wheelbase, shares[end])
        if travel_rows:
            travel[end] = follow_travel(standing, linkage, pose, height=height, share=shares[end], rows=travel_rows)
    return LinkStudy(
        vehicle.setup, float(grade_deg), row.status, row.message, row, pose, distance, height, wheelbase, axles, travel
    )


def figures_over_splits(vehicle: Vehicle, study: LinkStudy) -> dict[str, tuple[float, float]]:
    """Ends of the figures that depend on how geared axles divide the pull, over plausible laws and the study's own.

    Parameters
    ----------
    vehicle : Vehicle
    study : LinkStudy
        Of that vehicle on a grade; on the level no pull is divided.

    Returns
    -------
    dict of str to tuple of float
        Shares of one: of the rear axle in the traction, anti-squat and anti-lift as driven; empty where nothing is open.
    """
    if not study.axles or study.grade_deg == 0.0:
        return {}
    standing = stand(vehicle)
    laws = [Climb(vehicle, standing=standing, split=split) for split in plausible_splits(vehicle)]
    others = [links(vehicle, grade_deg=study.grade_deg, travel_rows=0, climb=law) for law in laws]
    studies = [study, *(other for other in others if other.axles and other.status == "ok")]
    if len(studies) == 1:
        return {}
    return {
        name: (min(values), max(values))
        for name, values in {
            "rear_share_of_traction": [each.axles["rear"].share for each in studies],
            "anti_squat_as_driven": [each.axles["rear"].as_driven for each in studies],
            "anti_lift_as_driven": [each.axles["front"].as_driven for each in studies],
        }.items()
        if None not in values
    }


def traction_shares(values: VehicleNumbers, row: Any) -> dict[str, float]:
    """Part of the traction on each axle; on the level that of the steady crawl in the limit of no grade."""
    total = row.rear_traction_n + row.front_traction_n
    if abs(total) > 1e-9 * abs(row.rear_load_n + row.front_load_n):
        return {end: getattr(row, f"{end}_traction_n") / total for end in ENDS}
    held = {end: values.axle(end).driven * values.axle(end).grip * getattr(row, f"{end}_load_n") for end in ENDS}
    whole = sum(held.values())
    return {end: held[end] / whole if whole else values.axle(end).driven for end in ENDS}


def _figures(
    climb: Climb, row: Any, pose: Pose, linkage: AxleLinkage, height: float, wheelbase: float, share: float
) -> AxleLinks:
    values, end = climb.standing.values, linkage.end
    view = side_view(pose, end)
    mass = sum(values.mass_of(body) for body in ("chassis", *ENDS))
    axle_mass = values.axle(end).mass
    whole = {"height": height, "wheelbase": wheelbase, "mass": mass, "axle_mass": axle_mass, "share": share}
    standing_turn = climb.standing.state[4 if end == "rear" else 7] - climb.standing.state[1]
    place = linkage.place(linkage.angle)
    ratio = linkage.motion_ratio(place, view, row.state[1])
    load = spring_load(
        view,
        load=getattr(row, f"{end}_load_n"),
        traction=getattr(row, f"{end}_traction_n"),
        axle_mass=axle_mass,
        gravity=values.gravity,
        grade=radians(row.grade_deg),
    )
    return AxleLinks(
        view,
        anti_textbook(view, height, wheelbase),
        anti_as_driven(view, **whole),
        float(share),
        float(place.turn - standing_turn),
        ratio,
        None if ratio is None else values.axle(end).spring_rate * ratio**2,
        load,
        full_anti_line(view, **whole),
    )
