"""Why a vehicle finds no standing pose, in words of its parts: what its springs would have to do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.parameters import ENDS, axle_of, length_of, measured_shock_length, rigid_centre_of_gravity
from noseload.model.units import STANDARD_GRAVITY

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


DEEPEST = 0.75
"""Share of its free length by which no spring is pressed together."""


def standing_fault(vehicle: Vehicle, free_lengths: tuple[float | None, float | None]) -> str:
    """What is wrong with a vehicle that does not stand, one sentence.

    Parameters
    ----------
    vehicle : Vehicle
    free_lengths : pair of float or None
        Of the shocks, rear and front, m; None where the standing pose decides.

    Returns
    -------
    str
        Of the springs where they are too soft or too long; else that the links give way.
    """
    share = rigid_centre_of_gravity(vehicle)[0] / vehicle.wheelbase
    for end, part, free in zip(ENDS, (1.0 - share, share), free_lengths, strict=True):
        axle = axle_of(vehicle, end)
        push = (part * vehicle.mass - axle.mass) * STANDARD_GRAVITY / _lean(axle.shock)
        rate, measured = axle.shock.spring_rate, measured_shock_length(vehicle, end)
        if push < 0.0 and free is None and not axle.shock.spring_held:
            return (
                f"the {end} coils would have to pull: its axle weighs {1e3 * axle.mass:.0f} g and the wheels carry "
                f"{1e3 * part * vehicle.mass:.0f} g; check the masses and the centre of gravity, or write "
                f"{end}.shock.spring_held = true where both ends of the coils are fixed"
            )
        length = measured + push / rate if free is None else free
        pressed = f"{1e3 * push / rate:.0f} mm, of a shock {1e3 * length:.0f} mm long with the spring just loose"
        if push > DEEPEST * length * rate:
            return (
                f"the {end} springs cannot carry it: {push:.3g} N at {1e-3 * rate:.3g} N/mm press them by {pressed}; "
                f"check {end}.shock.spring_rate_n_per_mm (both springs together) and the masses"
            )
        if free is not None and length - push / rate > 1.5 * measured:
            return (
                f"the {end} springs push it off its links: loaded, the shock would be {1e3 * (length - push / rate):.0f} mm "
                f"long where {1e3 * measured:.0f} mm were measured; check {end}.shock.free_length_mm"
            )
    return (
        "its links give way: near the measured pose no attitude is in balance on these springs; check the link ends, "
        "the shocks' places and the height of the centre of gravity"
    )


def _lean(shock: Any) -> float:
    """Share of the shock's push that lifts: of its own lean, in the measured pose."""
    rise = abs(shock.chassis_end[-1] - shock.axle_end[-1])
    return max(rise / length_of(shock), 0.1)
