"""The vehicle's equations written once more by hand in NumPy, from vectors and Newton's laws.

Nothing is taken from the derivation: positions and moment arms are vectors here, and the laws of the
shock, the tyres, the slip and the motor are typed anew. Works on complex numbers, so that derivatives
can be had by the complex step (W. Squire and G. Trapp, SIAM Review 40, 1998).
"""

import numpy as np

ENDS = ("rear", "front")
BODIES = ("chassis", "rear", "front")
TOUCH_DEPTH = 1e-3
COMPLEX_STEP = 1e-30


def positive(value):
    """max(0, x) by the real part."""
    return value if value.real > 0 else 0.0 * value


def touch(stiffness, damping, depth, rate):
    """max(0, k d + c d' min(1, d/d1)) for d > 0."""
    if depth.real <= 0:
        return 0.0 * depth
    onset = depth / TOUCH_DEPTH if depth.real < TOUCH_DEPTH else 1.0
    return positive(stiffness * depth + damping * rate * onset)


class Place:
    """A point of a body: arm from the body's origin, position, velocity, and its rows of the Jacobian."""

    def __init__(self, k, q, u, x, z):
        bx, bz, theta = q[3 * k : 3 * k + 3]
        sine, cosine = np.sin(theta), np.cos(theta)
        arm = np.array([x * cosine + z * sine, z * cosine - x * sine])
        turning = u[3 * k + 2]
        self.position = np.array([bx, bz]) + arm
        self.velocity = u[3 * k : 3 * k + 2] + turning * np.array([arm[1], -arm[0]])
        self.bias = -(turning**2) * arm
        self.rows = np.zeros((2, 11), dtype=arm.dtype)
        self.rows[0, 3 * k], self.rows[1, 3 * k + 1] = 1.0, 1.0
        self.rows[:, 3 * k + 2] = arm[1], -arm[0]


class Vehicle:
    """Forces, constraints and what one wants to know of one state.

    Parameters
    ----------
    q, u : arrays, shape (9,) and (11,)
    p : dict
        Kernel parameters by name.
    controls : dict
        throttle, grip_factor, brake_torque, grade; or traction (creep), or spin_speed and travel_speed.
    law : str
        'moving', 'creep' or 'steady'.
    """

    def __init__(self, q, u, p, controls, law="moving"):
        kind = np.result_type(*(np.asarray(v) for v in (q, u, *p.values(), *controls.values())))
        self.q, self.u = np.array(q, dtype=kind), np.array(u, dtype=kind)
        self.p, self.controls, self.law = p, controls, law
        self.forces = np.zeros(11, dtype=kind)
        self.jacobian, self.gamma = np.zeros((4, 11), dtype=kind), np.zeros(4, dtype=kind)
        self.residuals = np.zeros(4, dtype=kind)
        self.losses = dict.fromkeys(("damper", "stop", "tyre", "slip", "rolling"), 0.0)
        self.out = {}
        self._add_weight()
        for end in ENDS:
            self._add_rods(end)
            self._add_shock(end)
            self._load(end)
        self._add_contacts()
        self.forces[5] += p["held_couple"]
        if law == "moving":
            self._add_motor()

    def _place(self, body, name):
        return Place(BODIES.index(body), self.q, self.u, self.p[f"{name}_x"], self.p[f"{name}_z"])

    def _add_weight(self):
        grade = self.controls["grade"]
        for k, body in enumerate(BODIES):
            weight = self.p[f"{body}_mass"] * self.p["gravity"]
            self.forces[3 * k] -= weight * np.sin(grade)
            self.forces[3 * k + 1] -= weight * np.cos(grade)

    def _add_rods(self, end):
        for link in ("lower_link", "upper_link"):
            i = 2 * ENDS.index(end) + (link == "upper_link")
            start = self._place("chassis", f"{end}_{link}_chassis")
            stop = self._place(end, f"{end}_{link}_axle")
            length = self.p[f"{end}_{link}_length"]
            d, v = stop.position - start.position, stop.velocity - start.velocity
            self.residuals[i] = (length**2 - d @ d) / (2 * length)
            self.jacobian[i] = -(d @ (stop.rows - start.rows)) / length
            self.gamma[i] = (d @ (stop.bias - start.bias) + v @ v) / length

    def _add_shock(self, end):
        p = self.p
        start, stop = self._place("chassis", f"{end}_shock_chassis"), self._place(end, f"{end}_shock_axle")
        d = stop.position - start.position
        length = np.sqrt(d @ d + p[f"{end}_shock_across"] ** 2)
        rate = d @ (stop.velocity - start.velocity) / length
        over, under = length - p[f"{end}_longest"], p[f"{end}_shortest"] - length
        damping = p[f"{end}_damping"] if self.law == "moving" else 0.0
        stop_damping = p[f"{end}_stop_damping"] if self.law == "moving" else 0.0
        stiffness = p[f"{end}_stop_stiffness"]
        droop, bump = touch(stiffness, stop_damping, over, rate), touch(stiffness, stop_damping, under, -rate)
        short, held = p[f"{end}_free_length"] - length, p[f"{end}_spring_held"]
        spring = p[f"{end}_spring_rate"] * (held * short + (1 - held) * positive(short))
        rubbing = p[f"{end}_shock_friction"] * np.tanh(rate / 0.01) if self.law == "moving" else 0.0
        push = spring - damping * rate - rubbing - droop + bump
        self.forces += push * (d @ (stop.rows - start.rows)) / length
        self.losses["damper"] += damping * rate**2 + rubbing * rate
        # What a stop takes beyond its stored energy: force less its elastic part, times closing speed.
        self.losses["stop"] += (droop - stiffness * positive(over)) * rate
        self.losses["stop"] += (bump - stiffness * positive(under)) * -rate
        self.out |= {
            f"{end}_shock_length": length,
            f"{end}_shock_rate": rate,
            f"{end}_shock_force": push,
            f"{end}_droop_depth": over,
            f"{end}_bump_depth": under,
            f"{end}_coil_gap": -held - (1 - held) * short,
        }

    def _load(self, end):
        p, centre = self.p, self._place(end, f"{end}_wheel_centre")
        stiffness = p[f"{end}_tyre_stiffness"]
        depth, sinking = p[f"{end}_tyre_radius"] - centre.position[1], -centre.velocity[1]
        load = stiffness * depth
        if self.law == "moving":
            load = touch(stiffness, p[f"{end}_tyre_damping"], depth, sinking)
            self.losses["tyre"] += (load - stiffness * positive(depth)) * sinking
        self.out |= {
            f"{end}_load": load,
            f"{end}_tyre_depth": depth,
            f"{end}_raw_load": stiffness * depth + p[f"{end}_tyre_damping"] * sinking,
        }

    def _slip_scale(self, end, travel):
        """Slip speed over which grip builds up: slip stiffness goes as load to the power 1 - softness."""
        p, size = self.p, travel if travel.real > 0 else -travel
        share = self.out[f"{end}_load"] / p[f"{end}_slip_load"]
        width = np.sqrt(share**2 + 1e-6) ** p[f"{end}_slip_softness"]
        return (p[f"{end}_slip_speed"] + p[f"{end}_slip_ratio_scale"] * size) * width

    def _slipping(self, end, slip, travel, grip):
        scale = self._slip_scale(end, travel)
        limit = grip * self.out[f"{end}_load"]
        self.out[f"{end}_slip_slope"] = limit / np.cosh(slip / scale) ** 2 / scale
        return limit * np.tanh(slip / scale)

    def _offset(self, end, height, sense, traction):
        """How far ahead of the wheel centre the load acts: rolling resistance, and what traction adds."""
        return sense * self.p[f"{end}_rolling_resistance"] * height + self.p[f"{end}_contact_give"] * traction

    def _free(self, end, height, sense):
        """Traction of a wheel with no torque: -Fx z - e N = 0 with e = sense f z + give Fx."""
        load = self.out[f"{end}_load"]
        arm = height + self.p[f"{end}_contact_give"] * load
        return -sense * self.p[f"{end}_rolling_resistance"] * height * load / arm

    def _free_sense(self, end, height, travel):
        """Sense of rolling of a free wheel: its slip under the drag is small, and taken to first order."""
        p = self.p
        arm, scale = height + p[f"{end}_contact_give"] * self.out[f"{end}_load"], self._slip_scale(end, travel)
        share = p[f"{end}_rolling_resistance"] * height / arm / (p[f"{end}_grip"] * self.controls["grip_factor"])
        spin = travel / arm
        for _ in range(2):
            spin = (travel - scale * share * np.tanh(spin * height / p[f"{end}_slip_speed"])) / arm
        return np.tanh(spin * height / p[f"{end}_slip_speed"])

    def _tractions(self, centres):
        p, controls = self.p, self.controls
        self.senses = [1.0, 1.0]
        if self.law == "creep":
            weights = [p[f"{end}_grip"] * self.out[f"{end}_load"] for end in ENDS]
            front = p["geared"] * weights[1] / sum(weights) + p["front_alone"]
            shares = [controls["traction"] * (1 - front), controls["traction"] * front]
            drags = [self._free(end, c.position[1], 1.0) for end, c in zip(ENDS, centres, strict=True)]
            return [shares[k] + (1 - p[f"{end}_driven"]) * drags[k] for k, end in enumerate(ENDS)]
        forces = []
        for k, (end, centre) in enumerate(zip(ENDS, centres, strict=True)):
            height = centre.position[1]
            if self.law == "steady":
                spin = controls["spin_speed"] * (1.0 if end == "rear" else p["spin_ratio"])
                travel, driven = controls["travel_speed"], p[f"{end}_driven"]
            else:
                travel, driven = centre.velocity[0], 1.0
                spin = self.u[3 * k + 5] + self.u[9 + k]
                self.senses[k] = np.tanh(spin * height / p[f"{end}_slip_speed"])
                power = self.senses[k] * p[f"{end}_rolling_resistance"] * height * self.out[f"{end}_load"] * spin
                self.losses["rolling"] += power
            # The couple of the offset works on the wheel: what it takes, a longer rolling radius gives back.
            radius = height + p[f"{end}_contact_give"] * self.out[f"{end}_load"]
            if self.law == "steady":
                # A share of what the tyre is pressed in is missing to the free radius.
                radius = p[f"{end}_tyre_radius"] - p[f"{end}_rolling_share"] * (p[f"{end}_tyre_radius"] - height)
            slip = spin * radius - travel
            force = self._slipping(end, slip, travel, p[f"{end}_grip"] * controls["grip_factor"])
            if self.law == "steady":
                free, turned = self._free_sense(end, height, travel), np.tanh(spin * height / p[f"{end}_slip_speed"])
                force = driven * force + (1 - driven) * self._free(end, height, free)
                self.senses[k] = driven * turned + (1 - driven) * free
            forces.append(force)
            self.out[f"{end}_slip"], self.out[f"{end}_wheel_speed"] = slip, spin
            self.losses["slip"] += force * slip
        return forces

    def _add_contacts(self):
        centres = [self._place(end, f"{end}_wheel_centre") for end in ENDS]
        for k, (end, force) in enumerate(zip(ENDS, self._tractions(centres), strict=True)):
            rows, height = centres[k].rows, centres[k].position[1]
            self.forces += force * rows[0] + self.out[f"{end}_load"] * rows[1]
            # The traction acts at the ground, a height below the wheel centre: it turns the wheel alone.
            couple = self._offset(end, height, self.senses[k], force) * self.out[f"{end}_load"]
            for speed in (3 * k + 5, 9 + k):
                self.forces[speed] -= force * height + couple
            self.out[f"{end}_traction"], self.out[f"{end}_contact_couple"] = force, couple

    def _add_motor(self):
        p, controls = self.p, self.controls
        shares = np.array([p["rear_motor"], p["front_motor"]])
        speed = shares @ self.u[9:]
        motor = p["stall_torque"] * (controls["throttle"] - speed / p["no_load_speed"])
        brake = controls["brake_torque"] * np.tanh(speed / p["brake_speed"])
        self.forces[9:] += shares * (motor - brake)
        self.out |= {"motor_power": motor * speed, "brake_loss": brake * speed}
        self.out["brake_slope"] = controls["brake_torque"] / p["brake_speed"] / np.cosh(speed / p["brake_speed"]) ** 2


def mass_matrix(p, inertias):
    """Mass matrix (11, 11); `inertias` holds chassis, and housing, wheels, rotor per end."""
    mass = np.zeros((11, 11))
    for k, body in enumerate(BODIES):
        mass[3 * k, 3 * k] = mass[3 * k + 1, 3 * k + 1] = p[f"{body}_mass"]
    mass[2, 2] = p["chassis_inertia"]
    for k, end in enumerate(ENDS):
        housing, wheels, rotor = inertias[end]
        pair = [3 * k + 5, 9 + k]
        mass[np.ix_(pair, pair)] += wheels
        mass[pair[0], pair[0]] += housing
        mass[pair[1], pair[1]] += rotor
    return mass


def gear_rows(p):
    """Rows C with C u = 0: front wheels turn `spin_ratio` times as fast, both relative to their housings."""
    if not p["geared"]:
        return np.zeros((0, 11))
    row = np.zeros((1, 11))
    row[0, 9], row[0, 10] = -p["spin_ratio"], 1.0
    return row


def constrained(mass, gears, jacobian, force, target):
    """Acceleration and multipliers of M a = force + G^T lambda + C^T nu, G a = target, C a = 0."""
    n, m, k = len(mass), len(jacobian), len(gears)
    system = np.zeros((n + m + k, n + m + k))
    system[:n, :n] = mass
    system[n : n + m, :n], system[:n, n : n + m] = jacobian, -jacobian.T
    system[n + m :, :n], system[:n, n + m :] = gears, -gears.T
    solution = np.linalg.solve(system, np.concatenate((force, target, np.zeros(k))))
    return solution[:n], solution[n : n + m]


def complex_step(function, point):
    """Jacobian of `function(list)` at `point` by the complex step, shape (n_outputs, n_inputs)."""
    columns = []
    for k in range(len(point)):
        shifted = np.array(point, dtype=complex)
        shifted[k] += 1j * COMPLEX_STEP
        columns.append(np.imag(function(shifted)) / COMPLEX_STEP)
    return np.array(columns).T
