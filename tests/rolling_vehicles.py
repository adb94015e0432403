"""Vehicles whose loads act ahead of their wheels: rolling resistance, and tyres that give."""

from dataclasses import replace


def with_contact(vehicle, *, resistance=(0.03, 0.045), share=0.7, stiffness=(3500.0, 5000.0)):
    """The vehicle with rolling resistance (rear, front) and lengthwise give (share; N/m, rear and front) of its tyres."""
    axles = {
        end: replace(
            axle,
            tyre=replace(
                axle.tyre,
                rolling_resistance=resistance[k],
                contact_offset_share=share,
                lengthwise_stiffness=stiffness[k],
            ),
        )
        for k, (end, axle) in enumerate((("rear", vehicle.rear), ("front", vehicle.front)))
    }
    base = (
        None
        if vehicle.base is None
        else with_contact(vehicle.base, resistance=resistance, share=share, stiffness=stiffness)
    )
    return replace(vehicle, base=base, **axles)
