"""States of random vehicles as the kernels take them: poses that come apart, every branch of the laws met."""

import numpy as np

from noseload.model.generated.parameter_order import PARAMETERS
from noseload.model.symbols.derive import SPINS
from numpy_vehicle import ENDS, Vehicle, gear_rows, mass_matrix

DRIVES = ("both", "rear", "front")
N_STATES = 20
POSE = (1, 2, 3, 4, 5, 6, 7, 8)
"""Coordinates that creep solves for; the chassis stays at x = 0."""


def random_values(rng, drive):
    """Kernel parameters of a plausible vehicle near 1:10 scale and its inertias; a state's pose comes apart."""

    def near(value, spread=0.2):
        return value * rng.uniform(1 - spread, 1 + spread)

    both, rear, front = (drive == name for name in DRIVES)
    values = {
        "chassis_mass": near(1.7),
        "chassis_inertia": near(0.013),
        "gravity": 9.80665,
        "held_couple": rng.uniform(-0.5, 0.5),
        "geared": float(both),
        "front_alone": float(front),
        "rear_driven": float(both or rear),
        "front_driven": float(both or front),
        "rear_motor": float(both or rear),
        "front_motor": float(front),
        "spin_ratio": near(1.0) if both else 1.0,
        "stall_torque": near(2.5),
        "no_load_speed": near(28.0),
        "brake_speed": near(0.05),
    }
    inertias = {}
    for end, side in (("rear", 1.0), ("front", -1.0)):
        inertias[end] = (near(2e-4), near(8e-4), near(4e-4) if side > 0 else 0.0)
        values |= {
            f"{end}_{name}": value
            for name, value in {
                "mass": near(0.45),
                "spring_rate": near(350.0),
                "damping": near(8.0),
                "shock_friction": near(0.4),
                "stop_stiffness": near(2e4),
                "stop_damping": near(20.0),
                "tyre_radius": near(0.06),
                "tyre_stiffness": near(2500.0),
                "tyre_damping": near(6.0),
                "grip": near(1.6),
                "slip_speed": near(0.02),
                "slip_ratio_scale": near(0.1),
                "slip_load": near(12.0),
                "slip_softness": rng.uniform(-0.2, 0.5),
                "rolling_resistance": near(0.04),
                "contact_give": near(2e-4),
                "rolling_share": rng.uniform(0.0, 1.0),
                "wheel_centre_x": rng.uniform(-2e-3, 2e-3),
                "wheel_centre_z": rng.uniform(-2e-3, 2e-3),
                "shock_chassis_x": -side * near(0.09),
                "shock_chassis_z": near(0.06),
                "shock_axle_x": side * near(0.01),
                "shock_axle_z": near(0.01),
                "lower_link_chassis_x": -side * near(0.03),
                "lower_link_chassis_z": -near(0.05),
                "lower_link_axle_x": side * near(0.01),
                "lower_link_axle_z": -near(0.012),
                "upper_link_chassis_x": -side * near(0.05),
                "upper_link_chassis_z": -near(0.02),
                "upper_link_axle_x": side * near(0.005),
                "upper_link_axle_z": near(0.03),
                "shock_across": side * 0.015,
            }.items()
        }
    return values, inertias


def random_state(seed):
    """Arguments of every kernel for one state, with the inertias behind the mobilities."""
    rng = np.random.default_rng(1000 + seed)
    drive = DRIVES[seed % 3]
    p, inertias = random_values(rng, drive)
    tyres = [p[f"{end}_tyre_radius"] for end in ENDS]
    # Tyres pressed, barely touching and in the air; shocks free and on either stop.
    q = np.array([0.02, 0.125, 0.0, -0.15, tyres[0], 0.0, 0.16, tyres[1], 0.0])
    q += rng.uniform(-1, 1, 9) * ([0.01, 0.01, 0.3] + [0.006, 0.004, 0.2] * 2)
    if seed % 4 == 1:
        q[7] = tyres[1] - p["front_wheel_centre_z"] - 4e-4
    u = rng.uniform(-1, 1, 11) * ([0.5, 0.2, 2.0] + [0.5, 0.2, 2.0] * 2 + [15.0, 15.0])
    if seed >= N_STATES // 2:
        # Nearly rolling, so that the slip law is met on its slope as well as saturated.
        u[9:] = (u[[3, 6]] + rng.uniform(-0.03, 0.03, 2)) / q[[4, 7]] - u[[5, 8]]
    for end in ENDS:
        state = Vehicle(q, u, p | dict.fromkeys(_LATER, 1.0), {"grade": 0.0, **_CONTROLS}, "moving")
        p[f"{end}_free_length"] = float(state.out[f"{end}_shock_length"]) + rng.uniform(-0.01, 0.02)
        p[f"{end}_spring_held"] = float((seed // 3) % 2)
        length = float(state.out[f"{end}_shock_length"])
        p[f"{end}_longest"] = length + (rng.uniform(-6e-3, 6e-3) if seed % 2 else 0.01)
        p[f"{end}_shortest"] = length - (0.02 if seed % 2 else rng.uniform(-6e-3, 6e-3))
        for link in ("lower_link", "upper_link"):
            p[f"{end}_{link}_length"] = rng.uniform(0.09, 0.13)
    p |= mobilities(p, inertias)
    tensions = rng.uniform(-30, 30, 4)
    return {
        "p": p,
        "inertias": inertias,
        "drive": drive,
        "q": q,
        "u": u,
        "tensions": tensions,
        "grade": rng.uniform(-0.8, 1.1),
        "throttle": rng.uniform(0, 1),
        "grip_factor": rng.uniform(0.5, 1),
        "brake_torque": rng.uniform(0, 0.4),
        "unknowns": np.concatenate((q[list(POSE)], tensions, rng.uniform(-20, 20, 1))),
        "steady_unknowns": np.concatenate((q[list(POSE)], tensions, [rng.uniform(0.5, 4), rng.uniform(0.05, 0.2)])),
        "parameters": np.array([p[name] for name in PARAMETERS]),
    }


_LATER = [
    f"{end}_{name}"
    for end in ENDS
    for name in ("free_length", "spring_held", "longest", "shortest", "lower_link_length", "upper_link_length")
]
_CONTROLS = {"throttle": 0.0, "grip_factor": 1.0, "brake_torque": 0.0}


def mobilities(p, inertias):
    """Inverse inertia of housings and spins with the gear tied in: (M + gear)^-1 by projection."""
    rows = [5, 8, 9, 10]
    inverse = np.linalg.inv(mass_matrix(p, inertias)[np.ix_(rows, rows)])
    gears = gear_rows(p)[:, rows]
    if len(gears):
        pull = inverse @ gears.T
        inverse = inverse - pull @ np.linalg.solve(gears @ pull, pull.T)
    return {f"mobility_{SPINS[i]}_{SPINS[j]}": inverse[i, j] for i in range(4) for j in range(i, 4)}
