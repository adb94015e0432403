"""The rotor's inertia at the wheels from its size and the total ratio."""

import numpy as np

from noseload.csv_input import Column, Layout, Readings
from noseload.model.measuring.inertia import (
    SOLID_SHARE,
    SOLID_SHARE_HIGH,
    SOLID_SHARE_LOW,
    armature_from_can,
    rotor_inertia_at_wheels,
)
from noseload.model.units import GRAM, KILOGRAM_SQUARE_MILLIMETRE, MILLIMETRE

from .common_errors import KNOWN_MASS, SCALE_GAIN, gain, in_proportion
from .measurement import Estimate, Kind, Measurement, line_value
from .springs import REPEAT

ROTOR_LAYOUT = Layout(
    title="Rotor: can size and total ratio",
    settings=(
        Column("can_diameter_mm", "outside of the can", low=0, above=True, required=False),
        Column("can_length_mm", "length of the can without shaft", low=0, above=True, required=False),
        Column("armature_mass_g", "weighed, if you have one", low=0, above=True, required=False),
        Column("armature_diameter_mm", "measured, if you have one", low=0, above=True, required=False),
        SCALE_GAIN,
    ),
    columns=(
        Column("motor_turns", "turns of the motor shaft, counted", low=0, above=True),
        Column("wheel_turns", "turns of the wheels meanwhile (both wheels of an axle turning)", low=0, above=True),
        REPEAT,
    ),
    identity=("motor_turns", "wheel_turns", "repeat"),
    least_rows=1,
)


def fit_rotor(readings: Readings) -> Measurement:
    """Inertia of the armature referred to the wheels; can sizes give an estimate with a range."""
    settings = readings.settings
    ratios = readings["motor_turns"] / readings["wheel_turns"]
    weighed = settings["armature_mass_g"] is not None and settings["armature_diameter_mm"] is not None
    if weighed:
        mass, radius = settings["armature_mass_g"] * GRAM, 0.5 * settings["armature_diameter_mm"] * MILLIMETRE
    elif settings["can_diameter_mm"] is not None and settings["can_length_mm"] is not None:
        mass, radius = armature_from_can(
            settings["can_diameter_mm"] * MILLIMETRE, settings["can_length_mm"] * MILLIMETRE
        )
    else:
        raise readings.fault(
            "no size of the motor: add settings can_diameter_mm and can_length_mm (35.8 and 50 for a "
            "540-size can), or "
            "armature_mass_g and armature_diameter_mm"
        )
    warnings = []
    ratio = float(np.mean(ratios))
    if np.ptp(ratios) > 0.02 * ratio:
        warnings.append(
            f"the counted ratios differ by {100 * np.ptp(ratios) / ratio:.1f} %: were both wheels of the axle turning?"
        )
    unit = 1.0 / KILOGRAM_SQUARE_MILLIMETRE
    value, low, high = (
        unit * rotor_inertia_at_wheels(mass, radius, ratio, share)
        for share in (SOLID_SHARE, SOLID_SHARE_LOW, SOLID_SHARE_HIGH)
    )
    # the range stands for a 95 % interval
    inertia = Estimate(
        "rotor_inertia_kg_mm2",
        "rotor referred to the wheels",
        value,
        (high - low) / 3.92,
        low,
        high,
        "measured" if weighed else "assumed",
    )
    inertia = in_proportion(inertia, gain(settings)) if weighed else inertia
    estimates = (
        inertia,
        Estimate(
            "total_ratio", "motor turns per wheel turn", ratio, float(np.std(ratios)) if len(ratios) > 1 else None
        ),
        Estimate("armature_mass_g", "armature", mass / GRAM, origin="measured" if weighed else "assumed"),
        Estimate("armature_radius_mm", "armature", radius / MILLIMETRE, origin="measured" if weighed else "assumed"),
    )
    notes = (
        "armature and shaft only; gears turn slower and add little; slots make it 0.65 to 1.03 of a solid cylinder",
        ""
        if weighed
        else "armature guessed from the can (common practice, no source): a film of the run-up measures it",
    )
    return Measurement(
        "rotor",
        ROTOR_LAYOUT.title,
        readings.file,
        estimates,
        {"drive.rotor_inertia_kg_mm2": line_value(inertia)},
        (),
        tuple(note for note in notes if note),
        tuple(warnings),
        ROTOR.recipe,
    )


ROTOR = Kind(
    what="rotor",
    title=ROTOR_LAYOUT.title,
    recipe=(
        "Measure diameter and length of the motor can (a 540-size can is about 35.8 x 50 mm).",
        "Disconnect the motor. Mark motor shaft (or pinion) and a wheel; turn the motor until the wheels "
        "have made a whole"
        " number of turns, both wheels of the axle turning alike. Count motor_turns and wheel_turns.",
        "If you have a spare armature, weigh it and measure its diameter instead.",
        KNOWN_MASS,
    ),
    cautions=("Disconnect the battery first: a motor that starts while you turn the gears takes fingers with it.",),
    layouts=(ROTOR_LAYOUT,),
    fit=fit_rotor,
    demo=("rotor.csv",),
)
