"""Laws of division over which an answer about single wheels has its range: the one list of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from noseload.model.parameters import ENDS, axle_of, free_radius
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.split import PLAUSIBLE_PERCENT, is_geared, motion_shares, rolling_shares

_LOW, _HIGH = PLAUSIBLE_PERCENT
PLAUSIBLE = ((_LOW, 0.0), (0.5 * (_LOW + _HIGH), 0.5), (_HIGH, 1.0))
"""Laws of division over which an answer has its range: percent that the front wheels turn faster than the gears say, and
the share chi of what tyres are pressed in that they roll without (`noseload.studies.climb.split`). The rear is pressed in
deeper on a climb, so that a larger chi too lets the front pull more: the ends of both go together."""


@dataclass(frozen=True)
class Law:
    """One law of division of geared axles.

    Attributes
    ----------
    percent : float or None
        How much faster than the rear the front wheels turn; None: all wheels slip alike.
    rolling_shares : pair of float or None
        chi of rear and front; None with `percent` None.
    """

    percent: float | None = None
    rolling_shares: tuple[float, float] | None = None

    @property
    def options(self) -> dict[str, Any]:
        """As `wheel_climb` and `SpaceClimb` take it."""
        return {"mismatch": self.percent, "rolling_shares": self.rolling_shares}

    def percent_in_motion(self, vehicle: Vehicle, loads: tuple[float, float]) -> float | None:
        """Mismatch, percent, that does in motion what this law does in a crawl under loads (N, rear and front).

        The equations of motion let a tyre roll on the arm of its traction, a chi of their own: what this law's chi makes
        of the rolling radii is then a part of the mismatch.
        """
        if self.percent is None or self.rolling_shares is None:
            return None
        pressed = [n / axle_of(vehicle, end).tyre.vertical_stiffness for n, end in zip(loads, ENDS, strict=True)]
        wanted, own = (_ratio(vehicle, shares, pressed) for shares in (self.rolling_shares, motion_shares(vehicle)))
        return 100.0 * ((1.0 + 0.01 * self.percent) * wanted / own - 1.0)


ALIKE = Law()
"""All driven wheels slip alike: the limit of zero speed, or what the file's own gears make of it."""


def plausible_laws(vehicle: Vehicle) -> tuple[Law, ...]:
    """Laws that a vehicle's range covers beside its own; none where one axle alone is driven or it is rigid."""
    if not is_geared(vehicle) or vehicle.level == "A":
        return ()
    geared = 100.0 * (vehicle.drive.front_overdrive - 1.0)
    return tuple(law_at(vehicle, round(geared + percent, 6)) for percent, _ in PLAUSIBLE)


def law_at(vehicle: Vehicle, percent: float | None) -> Law:
    """The law with a mismatch, percent: chi as measured where it is, else the one that goes with it in the range."""
    if percent is None:
        return ALIKE
    if any(axle_of(vehicle, end).tyre.rolling_radius_share is not None for end in ENDS):
        return Law(percent, rolling_shares(vehicle))
    more = percent - 100.0 * (vehicle.drive.front_overdrive - 1.0)
    chi = min(max((more - _LOW) / (_HIGH - _LOW), 0.0), 1.0)
    return Law(percent, (chi, chi))


def percents_of(laws: Sequence[Law]) -> tuple[float | None, ...]:
    """Mismatches of laws, as results print them."""
    return tuple(law.percent for law in laws)


def _ratio(vehicle: Vehicle, shares: tuple[float, float], pressed: list[float]) -> float:
    """Rolling radius of the front over that of the rear."""
    rear, front = (
        free_radius(vehicle, end) - chi * depth for end, chi, depth in zip(ENDS, shares, pressed, strict=True)
    )
    return float(front / rear)
