"""The vehicle built once more in a general-purpose physics engine (MuJoCo), independent of our equations.

Three bodies on planar joints, wheels on hinges, rods as tendons held at their length, shocks as spring
tendons, gears as joint equalities: the engine makes the mass matrix, the constraint forces and the motion.
Tyres, stops and motor are written in a Python callback from the laws of the guide. MuJoCo turns
about +y like we do, so states need no change of sign.
"""

from math import cos, hypot, sin, tanh

import mujoco
import numpy as np

GRAVITY = 9.80665
WHEEL_MASS = 1e-6
"""kg; the engine wants a mass for every body. It is taken off the housing."""
ENDS = ("rear", "front")


def _ends(part):
    """Ends (x, y, z); bodies cannot move sideways, so that y counts in lengths alone, as for a mirrored pair."""
    return [(point[0], point[1] or 0.0, point[-1]) for point in (part.chassis_end, part.axle_end)]


def _model_text(vehicle, free_lengths, grade, step):
    """MJCF of the vehicle in its measured pose."""
    centre = vehicle.body.centre_of_gravity
    drive = vehicle.drive.driven_axles
    places = {"chassis": centre}
    bodies, tendons, equalities = [], [], []
    sites = {"chassis": [], "rear": [], "front": []}
    for end in ENDS:
        axle = getattr(vehicle, end)
        places[end] = (0.0 if end == "rear" else vehicle.wheelbase, axle.tyre.radius)
        for name in ("lower_link", "upper_link", "shock"):
            for body, (x, y, z) in zip(("chassis", end), _ends(getattr(axle, name)), strict=True):
                at = x - places[body][0], z - places[body][1]
                sites[body].append(f'<site name="{end}_{name}_{body}" pos="{at[0]!r} {y!r} {at[1]!r}"/>')
            spring = (
                ""
                if name != "shock"
                else (
                    f'stiffness="{axle.shock.spring_rate!r}" damping="{axle.shock.damping!r}" '
                    f'springlength="{free_lengths[end]!r}"'
                )
            )
            tendons.append(
                f'<spatial name="{end}_{name}" {spring}><site site="{end}_{name}_chassis"/>'
                f'<site site="{end}_{name}_{end}"/></spatial>'
            )
            if name != "shock":
                equalities.append(f'<tendon tendon1="{end}_{name}"/>')
    if drive == "both":
        equalities.append(
            f'<joint joint1="front_spin" joint2="rear_spin" polycoef="0 {vehicle.drive.front_overdrive!r} 0 0 0"/>'
        )
    for body, (x, z) in places.items():
        mass, inertia = (
            (vehicle.body.mass, vehicle.body.pitch_inertia)
            if body == "chassis"
            else (getattr(vehicle, body).mass - WHEEL_MASS, getattr(vehicle, body).housing_pitch_inertia)
        )
        wheel = ""
        if body != "chassis":
            rotor = vehicle.drive.rotor_inertia if body == ("front" if drive == "front" else "rear") else 0.0
            wheels = getattr(vehicle, body).wheel_pair_inertia
            wheel = (
                f'<body><joint name="{body}_spin" axis="0 1 0" armature="{rotor!r}"/>'
                f'<inertial pos="0 0 0" mass="{WHEEL_MASS}" diaginertia="{wheels!r} {wheels!r} {wheels!r}"/></body>'
            )
        bodies.append(
            f'<body name="{body}" pos="{x!r} 0 {z!r}">'
            f'<joint name="{body}_x" type="slide" axis="1 0 0" ref="{x!r}"/>'
            f'<joint name="{body}_z" type="slide" axis="0 0 1" ref="{z!r}"/>'
            f'<joint name="{body}_theta" type="hinge" axis="0 1 0"/>'
            f'<inertial pos="0 0 0" mass="{mass!r}" diaginertia="{inertia!r} {inertia!r} {inertia!r}"/>'
            f"{''.join(sites[body])}{wheel}</body>"
        )
    return f"""<mujoco>
      <option timestep="{step!r}" integrator="RK4" solver="Newton" iterations="50" tolerance="1e-14" jacobian="dense"
              gravity="{-GRAVITY * sin(grade)!r} 0 {-GRAVITY * cos(grade)!r}"><flag contact="disable"/></option>
      <compiler angle="radian" autolimits="true"/>
      <default><equality solref="{2 * step!r} 1" solimp="0.9999 0.9999 0.001 0.5 2"/></default>
      <worldbody>{"".join(bodies)}</worldbody>
      <tendon>{"".join(tendons)}</tendon>
      <equality>{"".join(equalities)}</equality>
      <actuator>{"".join(f'<motor name="{end}_stops" tendon="{end}_shock"/>' for end in ENDS)}</actuator>
    </mujoco>"""


def touch(stiffness, damping, depth, rate):
    """max(0, k d + c d' min(1, d/1 mm)) for d > 0."""
    return max(0.0, stiffness * depth + damping * rate * min(1.0, depth / 1e-3)) if depth > 0.0 else 0.0


class EngineVehicle:
    """One vehicle on one grade in the engine.

    Parameters
    ----------
    vehicle : Vehicle
        With free tyre radii.
    free_lengths : dict
        Shock lengths without force, m, by end.
    grade : float
        rad.
    throttle : callable
        Throttle over time.
    step : float
        s.
    """

    def __init__(self, vehicle, free_lengths, grade, throttle, step):
        self.vehicle, self.throttle = vehicle, throttle
        self.model = mujoco.MjModel.from_xml_string(_model_text(vehicle, free_lengths, grade, step))
        self.data = mujoco.MjData(self.model)
        self.step = step
        names = [f"{body}_{axis}" for body in ("chassis", *ENDS) for axis in ("x", "z", "theta")]
        self.places = [self.model.joint(name).qposadr[0] for name in names]
        self.speeds = [self.model.joint(name).dofadr[0] for name in (*names, "rear_spin", "front_spin")]
        shocks = [getattr(vehicle, end).shock for end in ENDS]
        lengths = [hypot(*(p - q for p, q in zip(a, b, strict=True))) for a, b in map(_ends, shocks)]
        self.stops = [
            (
                self.model.tendon(f"{end}_shock").id,
                length + shock.droop_travel,
                length - shock.bump_travel,
                shock.stop_stiffness,
                shock.stop_damping,
            )
            for end, shock, length in zip(ENDS, shocks, lengths, strict=True)
        ]
        self.driven = 1 if vehicle.drive.driven_axles == "front" else 0

    def load(self, k, q, u):
        """Tyre load of one axle."""
        tyre = getattr(self.vehicle, ENDS[k]).tyre
        return touch(tyre.vertical_stiffness, tyre.vertical_damping, tyre.radius - q[4 + 3 * k], -u[4 + 3 * k])

    def _act(self, model, data):
        """What the engine cannot know: tyres on the slope, stops, motor."""
        q, u = data.qpos[self.places], data.qvel[self.speeds]
        data.qfrc_applied[:] = 0.0
        for k, end in enumerate(ENDS):
            tyre, load = getattr(self.vehicle, end).tyre, self.load(k, q, u)
            travel, height = u[3 + 3 * k], q[4 + 3 * k]
            spin = u[5 + 3 * k] + u[9 + k]
            slip = spin * (height + tyre.contact_give * load) - travel
            share = load / (0.5 * self.vehicle.mass * 9.80665)
            scale = (tyre.slip_speed + tyre.slip_ratio_scale * abs(travel)) * max(share, 1e-3) ** tyre.slip_softness
            pull = tyre.grip_coefficient * load * tanh(slip / scale)
            # The load acts ahead of the wheel by rolling resistance and by what traction shifts.
            ahead = tyre.contact_give * pull
            ahead += tyre.rolling_resistance * height * tanh(spin * height / tyre.slip_speed)
            moment = -pull * height - ahead * load
            for speed, force in ((3 + 3 * k, pull), (4 + 3 * k, load), (5 + 3 * k, moment), (9 + k, moment)):
                data.qfrc_applied[self.speeds[speed]] += force
            tendon, longest, shortest, stiffness, damping = self.stops[k]
            length, rate = data.ten_length[tendon], data.ten_velocity[tendon]
            data.ctrl[k] = touch(stiffness, damping, shortest - length, -rate) - touch(
                stiffness, damping, length - longest, rate
            )
        drive, spin = self.vehicle.drive, self.speeds[9 + self.driven]
        torque = drive.stall_torque * (self.throttle(data.time) - data.qvel[spin] / drive.no_load_speed)
        data.qfrc_applied[spin] += torque

    def accelerations(self, coordinates, speeds):
        """Accelerations (11) of a state."""
        self._set(coordinates, speeds)
        mujoco.set_mjcb_control(self._act)
        try:
            mujoco.mj_forward(self.model, self.data)
        finally:
            mujoco.set_mjcb_control(None)
        return self.data.qacc[self.speeds]

    def _set(self, coordinates, speeds):
        mujoco.mj_resetData(self.model, self.data)
        self.data.qpos[self.places], self.data.qvel[self.speeds] = coordinates, speeds

    def run(self, coordinates, speeds, duration, sample):
        """Tyre loads, shape (2, n): rear and front at multiples of `sample`, both ends included."""
        self._set(coordinates, speeds)
        between, count = round(sample / self.step), round(duration / sample)
        loads = np.empty((2, count + 1))
        mujoco.set_mjcb_control(self._act)
        try:
            for i in range(count + 1):
                q, u = self.data.qpos[self.places], self.data.qvel[self.speeds]
                loads[:, i] = self.load(0, q, u), self.load(1, q, u)
                if i < count:
                    mujoco.mj_step(self.model, self.data, nstep=between)
        finally:
            mujoco.set_mjcb_control(None)
        return loads
