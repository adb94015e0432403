"""The vehicle moving in space in a general-purpose physics engine (MuJoCo), independent of our equations.

Chassis and housings are free bodies, each wheel pair a hinge on its housing, rods tendons held at their length: the engine
makes inertias, gyroscopic terms, constraint forces, lengths and arms. Tyres, shocks, motor and the couples of the
lengthwise shafts are written here from the laws of the guide. Gears over a turning shaft are not holonomic and the engine
has no such joint: runs know drives without shafts, and one driven axle with a rotor of no inertia; balances know all.
"""

from math import cos, sin, sqrt, tanh

import mujoco
import numpy as np

from mujoco_space import BODIES, ENDS, GRAVITY, SIDES, _mirrored, _parts
from mujoco_vehicle import WHEEL_MASS, touch

UP = np.array([0.0, 0.0, 1.0])


def _inertia(vehicle, body):
    """Moments of inertia about the body's axes; the wheels' own spin is the hinge's, half of it each way the wheels'."""
    if body == "chassis":
        return vehicle.body.roll_inertia, vehicle.body.pitch_inertia, vehicle.body.yaw_inertia
    axle = getattr(vehicle, body)
    across = axle.roll_inertia - 0.5 * axle.wheel_pair_inertia
    return across, axle.housing_pitch_inertia, across


class MovingEngine:
    """One vehicle on one slope, punched.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks; no masses off the wheel centres, tyres without give or resistance.
    radii, free_lengths : sequence of float
        Free tyre radii and free shock lengths, rear and front, m.
    grade, heading : float
        rad.
    throttle : callable
        Throttle over time.
    shafts : bool
    step : float
        s, of runs.
    """

    def __init__(self, vehicle, radii, free_lengths, grade, heading, throttle, *, shafts=True, step=1e-4):
        self.vehicle, self.radii, self.free_lengths, self.throttle, self.shafts = (
            *(vehicle, radii, free_lengths, throttle),
            shafts,
        )
        x, z = vehicle.body.centre_of_gravity
        origins = [(x, vehicle.body.side_offset, z)]
        for k, (end, radius) in enumerate(zip(ENDS, radii, strict=True)):
            loaded = getattr(vehicle, end).tyre.loaded_radius
            origins.append((k * vehicle.wheelbase, 0.0, loaded if loaded is not None else radius))
        self.origins = dict(zip(BODIES, origins, strict=True))
        gravity = np.array([-sin(grade) * cos(heading), sin(grade) * sin(heading), -cos(grade)]) * GRAVITY
        self.model = mujoco.MjModel.from_xml_string(self._text(gravity, step))
        self.data = mujoco.MjData(self.model)
        names = [self.model.tendon(k).name for k in range(self.model.ntendon)]
        self.rods = [name for name in names if "link" in name]
        self.shocks = []
        for end in ENDS:
            shock = getattr(vehicle, end).shock
            for side, *ends in _mirrored(shock):
                name = f"{end}_shock{side}"
                sites = [self.model.site(f"{name}_{body}").id for body in ("chassis", end)]
                self.shocks.append((self.model.tendon(name).id, *sites, end, shock, np.linalg.norm(np.subtract(*ends))))
        self.places = {body: self.model.joint(body).qposadr[0] for body in BODIES}
        self.speeds = {body: self.model.joint(body).dofadr[0] for body in BODIES}
        self.spins = [self.model.joint(f"{end}_spin").dofadr[0] for end in ENDS]
        self.bodies = {body: self.model.body(body).id for body in (*BODIES, "rear_wheels", "front_wheels")}
        self.driven = [vehicle.drive.driven_axles in ("both", end) for end in ENDS]

    def _text(self, gravity, step):
        sites = {body: [] for body in BODIES}
        tendons, equalities, bodies = [], [], []
        for end in ENDS:
            for name, part in _parts(getattr(self.vehicle, end)):
                for side, *ends in _mirrored(part):
                    label = f"{end}_{name}{side}"
                    for body, point in zip(("chassis", end), ends, strict=True):
                        at = " ".join(repr(float(p - o)) for p, o in zip(point, self.origins[body], strict=True))
                        sites[body].append(f'<site name="{label}_{body}" pos="{at}"/>')
                    tendons.append(
                        f'<spatial name="{label}"><site site="{label}_chassis"/><site site="{label}_{end}"/></spatial>'
                    )
                    if name != "shock":
                        equalities.append(f'<tendon tendon1="{label}"/>')
        if self.vehicle.drive.driven_axles == "both":
            overdrive = self.vehicle.drive.front_overdrive
            equalities.append(f'<joint joint1="front_spin" joint2="rear_spin" polycoef="0 {overdrive!r} 0 0 0"/>')
        rotor = "front" if self.vehicle.drive.driven_axles == "front" else "rear"
        for body in BODIES:
            mass, wheels = self.vehicle.body.mass, ""
            if body != "chassis":
                mass, pair = (
                    getattr(self.vehicle, body).mass - WHEEL_MASS,
                    getattr(self.vehicle, body).wheel_pair_inertia,
                )
                armature = self.vehicle.drive.rotor_inertia if body == rotor else 0.0
                wheels = (
                    f'<body name="{body}_wheels"><joint name="{body}_spin" axis="0 1 0" armature="{armature!r}"/><inertial '
                    f'pos="0 0 0" mass="{WHEEL_MASS}" diaginertia="{0.5 * pair!r} {pair!r} {0.5 * pair!r}"/></body>'
                )
            at = " ".join(repr(float(value)) for value in self.origins[body])
            own = " ".join(repr(float(value)) for value in _inertia(self.vehicle, body))
            bodies.append(
                f'<body name="{body}" pos="{at}"><freejoint name="{body}"/><inertial pos="0 0 0" mass="{mass!r}" '
                f'diaginertia="{own}"/>{"".join(sites[body])}{wheels}</body>'
            )
        return f"""<mujoco>
          <option timestep="{step!r}" integrator="RK4" solver="Newton" iterations="50" tolerance="1e-14" jacobian="dense"
                  gravity="{" ".join(repr(float(g)) for g in gravity)}"><flag contact="disable"/></option>
          <compiler angle="radian"/>
          <default><equality solref="{2 * step!r} 1" solimp="0.9999 0.9999 0.001 0.5 2"/></default>
          <worldbody>{"".join(bodies)}</worldbody><tendon>{"".join(tendons)}</tendon>
          <equality>{"".join(equalities)}</equality></mujoco>"""

    def put(self, places, turns, velocities, turnings, spins):
        """State: places, rotations, velocities and angular velocities in the frame of three bodies; spins on the housings."""
        mujoco.mj_resetData(self.model, self.data)
        for body, at, turn, velocity, turning in zip(BODIES, places, turns, velocities, turnings, strict=True):
            quaternion = np.empty(4)
            mujoco.mju_mat2Quat(quaternion, np.ascontiguousarray(turn).ravel())
            place, speed = self.places[body], self.speeds[body]
            self.data.qpos[place : place + 7] = [*at, *quaternion]
            self.data.qvel[speed : speed + 6] = [*velocity, *(turn.T @ turning)]
        self.data.qvel[self.spins] = spins
        mujoco.mj_forward(self.model, self.data)

    def turning(self, body):
        """Angular velocity of a body in the frame, rad/s."""
        speed = self.speeds[body]
        return self.data.xmat[self.bodies[body]].reshape(3, 3) @ self.data.qvel[speed + 3 : speed + 6]

    def wheel(self, k, j):
        """Load, traction and side force, N, with contact, and unit vectors forward and left, of one wheel."""
        end, data = ENDS[k], self.data
        axle, body = getattr(self.vehicle, end), self.bodies[end]
        tyre, speed = axle.tyre, self.speeds[end]
        axis, turning = data.xmat[body].reshape(3, 3)[:, 1], self.turning(end)
        arm = SIDES[j] * 0.5 * axle.track_width * axis
        hub, velocity = data.xpos[body] + arm, data.qvel[speed : speed + 3] + np.cross(turning, arm)
        turned = np.cross(turning, axis)
        tilt = sqrt(1.0 - axis[2] ** 2)
        tilts = -axis[2] * turned[2] / tilt
        reach = hub[2] / tilt
        depth, grows = self.radii[k] - reach, -velocity[2] / tilt + hub[2] * tilts / tilt**2
        load = touch(0.5 * tyre.vertical_stiffness, 0.5 * tyre.vertical_damping, depth, grows) / tilt
        forward = np.cross(axis, UP) / tilt
        left = np.cross(UP, forward)
        contact = hub - reach * (UP - axis[2] * axis) / tilt
        along = velocity @ forward
        spin = data.qvel[self.spins[k]] + turning @ axis
        slip = np.array([spin * reach - along, -(velocity @ left + hub[2] * (turning @ forward))])
        amount = float(np.linalg.norm(slip))
        scale = tyre.slip_speed + tyre.slip_ratio_scale * abs(along)
        pull, push = tyre.grip_coefficient * load * tanh(amount / scale) * slip / max(amount, 1e-300)
        return load, pull, push, contact, forward, left

    def loads(self):
        """Loads of the four wheels, N."""
        return np.array([self.wheel(k, j)[0] for k in range(2) for j in range(2)])

    def shaft(self, k):
        """Turns of an axle's shaft over its ratio, with the sign of its sense; 0 without."""
        axle = getattr(self.vehicle, ENDS[k])
        return axle.shaft_direction / axle.axle_ratio if self.shafts and axle.axle_ratio is not None else 0.0

    def motor_speed(self, k):
        """Speed at the wheels of a motor geared to one axle, rad/s."""
        along = self.data.xmat[self.bodies["chassis"]].reshape(3, 3)[:, 0]
        return self.data.qvel[self.spins[k]] + self.shaft(k) * (
            (self.turning(ENDS[k]) - self.turning("chassis")) @ along
        )

    def outer_forces(self, torques):
        """Generalised force of tyres, shocks and wheel torques (N m, rear and front), by the engine's own lever arms."""
        total, data, none = np.zeros(self.model.nv), self.data, np.zeros(3)
        along = data.xmat[self.bodies["chassis"]].reshape(3, 3)[:, 0]

        def act(force, couple, point, body):
            mujoco.mj_applyFT(self.model, data, force, couple, point, self.bodies[body], total)

        for k, end in enumerate(ENDS):
            for j in range(2):
                load, pull, push, contact, forward, left = self.wheel(k, j)
                act(load * UP + pull * forward + push * left, none, contact, f"{end}_wheels")
            total[self.spins[k]] += torques[k]
            couple = self.shaft(k) * torques[k] * along
            act(none, couple, data.xpos[self.bodies[end]], end)
            act(none, -couple, data.xpos[self.bodies["chassis"]], "chassis")
        for k, (tendon, first, last, end, shock, measured) in enumerate(self.shocks):
            length, rate = data.ten_length[tendon], data.ten_velocity[tendon]
            coil = 0.5 * shock.spring_rate * (self.free_lengths[k // 2] - length)
            stops = 0.5 * shock.stop_stiffness, 0.5 * shock.stop_damping
            push = coil if shock.spring_held else max(0.0, coil)
            push -= 0.5 * shock.damping * rate + touch(*stops, length - measured - shock.droop_travel, rate)
            push += touch(*stops, measured - shock.bump_travel - length, -rate)
            force = push * (data.site_xpos[last] - data.site_xpos[first]) / length
            act(force, none, data.site_xpos[last], end)
            act(-force, none, data.site_xpos[first], "chassis")
        return total

    def residual(self, accelerations, tensions, torques):
        """Generalised forces (20) left over at the placed state.

        Parameters
        ----------
        accelerations : ndarray, shape (20,)
            In the engine's order: of every body its velocity and its angular velocity in its own axes; of a housing its
            wheels' spin after.
        tensions : dict
            N, by rod name.
        torques : pair of float
            At the wheels, N m.
        """
        inertial = np.zeros(self.model.nv)
        mujoco.mj_mulM(self.model, self.data, inertial, accelerations)
        left = self.outer_forces(torques) - self.data.qfrc_bias - inertial
        for k in range(2):
            # The rotor is a joint's own inertia in the engine; here it has a balance of its own.
            left[self.spins[k]] += self.model.dof_armature[self.spins[k]] * accelerations[self.spins[k]]
        for name in self.rods:
            end = name.partition("_")[0]
            start, last = (self.data.site(f"{name}_{body}").xpos for body in ("chassis", end))
            pull = tensions[name] * (last - start) / np.linalg.norm(last - start)
            mujoco.mj_applyFT(self.model, self.data, pull, np.zeros(3), start, self.bodies["chassis"], left)
            mujoco.mj_applyFT(self.model, self.data, -pull, np.zeros(3), last, self.bodies[end], left)
        return left

    def _act(self, model, data):
        drive = self.vehicle.drive
        k = 0 if self.driven[0] else 1
        torque = drive.stall_torque * (self.throttle(data.time) - self.motor_speed(k) / drive.no_load_speed)
        data.qfrc_applied[:] = self.outer_forces([torque if place == k else 0.0 for place in range(2)])

    def run(self, duration, sample):
        """Loads of the four wheels, shape (4, n), from the placed state at multiples of `sample`, both ends included."""
        assert not (self.shafts and self.driven == [True, True])
        between, count = round(sample / self.model.opt.timestep), round(duration / sample)
        loads = np.empty((4, count + 1))
        self.data.time = 0.0
        mujoco.set_mjcb_control(self._act)
        try:
            for i in range(count + 1):
                mujoco.mj_kinematics(self.model, self.data)
                loads[:, i] = self.loads()
                if i < count:
                    mujoco.mj_step(self.model, self.data, nstep=between)
        finally:
            mujoco.set_mjcb_control(None)
        return loads
