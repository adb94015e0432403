"""What a side-view answer leaves out: the wheel that lifts before the axle, in one sentence and as plain numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.file.space import has_space, missing_in_space
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError

from .words import lift_range, range_words, wheel_words

if TYPE_CHECKING:
    from .climbs import SpringClimb

FEW = 2
"""Keys that are named where they lack; more are counted."""
EARLIER_DEG = 0.1
"""A lift that is so much earlier than the tip-over is worth a sentence."""


@dataclass(frozen=True)
class Remark:
    """First lift of a single wheel beside a side-view tip-over.

    Attributes
    ----------
    first_wheel_lift_grade_deg, first_wheel : float and str, or None
    lifts_deg : tuple of float or None
        Where all wheels slip alike and at every plausible mismatch.
    left_out : str
        What the file lacks for an answer about single wheels, '' where it has it.
    """

    first_wheel_lift_grade_deg: float | None = None
    first_wheel: str | None = None
    lifts_deg: tuple = ()
    left_out: str = ""

    @property
    def range_deg(self) -> tuple:
        """Least and largest first lift over plausible mismatches, deg; (None, None) without."""
        return lift_range(self.lifts_deg)

    def change_from(self, other: Remark) -> tuple[float | None, float | None, float | None]:
        """How much later the first lift comes than another's, and the range of that over one mismatch at a time, deg."""
        pairs = zip(self.lifts_deg, other.lifts_deg, strict=False)
        changes = [mine - base for mine, base in pairs if mine is not None and base is not None]
        mine, base = self.first_wheel_lift_grade_deg, other.first_wheel_lift_grade_deg
        if mine is None or base is None or not changes:
            return None, None, None
        return mine - base, min(changes), max(changes)

    def to_dict(self) -> dict[str, Any]:
        """Keys of a document."""
        return {
            "first_wheel_lift_grade_deg": self.first_wheel_lift_grade_deg,
            "first_wheel": self.first_wheel,
            "first_wheel_lift_range_deg": list(self.range_deg),
            "left_out": self.left_out,
        }

    def sentence(self, tip_over_deg: float | None) -> str:
        """For people; '' where no wheel lifts earlier than the tip-over (deg)."""
        lift = self.first_wheel_lift_grade_deg
        if self.left_out:
            return f"Single wheels are left out: {self.left_out}."
        if lift is None or (tip_over_deg is not None and tip_over_deg - lift < EARLIER_DEG):
            return ""
        low, high = self.range_deg
        between = "" if low is None else f" ({range_words(low, high, 'deg')} over plausible mismatches)"
        before = "" if tip_over_deg is None else f", {tip_over_deg - lift:.1f} deg before the side view's tip-over"
        verb = "lift" if str(self.first_wheel).endswith("_both") else "lifts"
        return f"In space {wheel_words(self.first_wheel)} {verb} at {lift:.1f} deg{between}{before}: `noseload wheels`."


def what_is_left_out(vehicle: Vehicle) -> str:
    """Why a file does not answer about single wheels, '' where it does; nothing is solved."""
    if vehicle.level == "A":
        return "this file has no links and springs"
    missing = missing_in_space(vehicle)
    if missing:
        if len(missing) <= FEW:
            return f"this file lacks {' and '.join(missing)}"
        return f"this file lacks {len(missing)} numbers they take (y of link and shock ends, track width; `noseload wheels` names them)"
    return (
        ""
        if has_space(vehicle)
        else "the links of this file do not hold an axle in space (`noseload wheels` says which)"
    )


def remark_on(vehicle: Vehicle, *, climb: SpringClimb | None = None) -> Remark:
    """First lift of a vehicle straight up the slope, or what its file lacks for that; `climb`: its own, where it is at hand."""
    lacking = what_is_left_out(vehicle)
    if lacking:
        return Remark(left_out=lacking)
    from .climbs import first_lifts

    try:
        first, lifts = first_lifts(vehicle, climb=climb)
    except (SolverError, ModelError) as error:
        return Remark(left_out=f"they could not be solved ({str(error).splitlines()[0][:120]})")
    return Remark(*first, lifts)
