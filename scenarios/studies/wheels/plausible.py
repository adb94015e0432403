"""Laws of division over which an answer about single wheels has its range."""

from noseload.model.vehicle import Vehicle
from noseload.studies.climb.split import PLAUSIBLE_PERCENT, rolling_shares

_LOW, _HIGH = PLAUSIBLE_PERCENT
PLAUSIBLE = ((_LOW, 0.0), (0.5 * (_LOW + _HIGH), 0.5), (_HIGH, 1.0))
"""Laws of division over which an answer has its range: percent that the front wheels turn faster than the gears say, and
the share chi of what tyres are pressed in that they roll without (`noseload.studies.climb.split`). The rear is pressed in
deeper on a climb, so that a larger chi too lets the front pull more: the ends of both go together."""


def plausible_mismatches(vehicle: Vehicle) -> tuple[float, ...]:
    """Mismatches, percent, that a vehicle's range covers; none where one axle alone is driven or it is rigid."""
    if vehicle.drive.driven_axles != "both" or vehicle.level == "A":
        return ()
    geared = 100.0 * (vehicle.drive.front_overdrive - 1.0)
    return tuple(round(geared + percent, 6) for percent, _ in PLAUSIBLE)


def plausible_shares(vehicle: Vehicle, percent: float | None) -> tuple[float, float] | None:
    """chi of rear and front that goes with a mismatch, percent: as measured where it is; None without a mismatch."""
    if percent is None:
        return None
    if any(getattr(vehicle, end).tyre.rolling_radius_share is not None for end in ("rear", "front")):
        return rolling_shares(vehicle)
    more = percent - 100.0 * (vehicle.drive.front_overdrive - 1.0)
    chi = min(max((more - _LOW) / (_HIGH - _LOW), 0.0), 1.0)
    return chi, chi
