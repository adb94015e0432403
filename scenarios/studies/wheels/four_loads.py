"""Four loads now and the wheel that goes first: the plain picture of single wheels for pages and posts."""

from dataclasses import dataclass
from math import ceil
from typing import Any

from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.studies.space.results import WHEELS

from .climbs import SpringClimb, wheel_climb
from .remark import what_is_left_out
from .words import range_words, wheel_words


@dataclass(frozen=True)
class FourLoads:
    """Loads of four wheels, N, at a grade on which all of them carry.

    Attributes
    ----------
    grade_deg : float
        As asked for; the whole degree below the first lift where that comes earlier.
    loads_n : tuple of float
        Rear left, rear right, front left, front right.
    first_wheel, lift_deg : str and float, or None
        What lifts first, and where.
    lift_range_deg : pair of float or None
        Over plausible mismatches.
    """

    grade_deg: float
    loads_n: tuple
    first_wheel: str | None
    lift_deg: float | None
    lift_range_deg: tuple[float | None, float | None] = (None, None)

    def to_dict(self) -> dict[str, Any]:
        """Keys of a document."""
        return {
            "grade_deg": self.grade_deg,
            **{f"{wheel}_load_n": load for wheel, load in zip(WHEELS, self.loads_n, strict=True)},
            "first_wheel": self.first_wheel,
            "first_wheel_lift_grade_deg": self.lift_deg,
            "first_wheel_lift_range_deg": list(self.lift_range_deg),
        }

    def sentence(self) -> str:
        """For those who cannot see the picture."""
        said = ", ".join(
            f"{wheel.replace('_', ' ')} {grams_of_force(load):.0f} g"
            for wheel, load in zip(WHEELS, self.loads_n, strict=True)
        )
        return f"Four wheels at {self.grade_deg:g} deg: {said}; {self.goes_first()}."

    def goes_first(self) -> str:
        """'the front right wheel goes first, at 51.3 deg (50.6 to 54.2 deg over plausible mismatches)'."""
        if self.lift_deg is None:
            return "no wheel lifts"
        verb = "go" if str(self.first_wheel).endswith("_both") else "goes"
        between = range_words(*self.lift_range_deg, "deg")
        said = f" ({between} over plausible mismatches)" if between else ""
        return f"{wheel_words(self.first_wheel)} {verb} first, at {self.lift_deg:.1f} deg{said}"

    def goes(self, wheel: str) -> bool:
        """Whether this wheel is one that lifts first."""
        first = str(self.first_wheel)
        return wheel == first or (first.endswith("_both") and wheel.startswith(first.removesuffix("both")))


def four_loads(
    vehicle: Vehicle, grade_deg: float, lift_range_deg: tuple = (None, None), *, climb: SpringClimb | None = None
) -> FourLoads | None:
    """Four loads straight up a slope, all wheels slipping alike; None where the file does not answer or nothing is solved.

    `climb`: the vehicle's own, where it is at hand.
    """
    if what_is_left_out(vehicle):
        return None
    try:
        climb = climb or wheel_climb(vehicle)
        lift, first = climb.first_lift
        grade = grade_deg if lift is None or grade_deg < lift else ceil(lift) - 1.0
        row = climb.row(grade)
    except (SolverError, ModelError):
        return None
    return None if row.front_left_load_n is None else FourLoads(grade, row.loads_n, first, lift, lift_range_deg)
