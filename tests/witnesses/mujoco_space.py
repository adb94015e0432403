"""The vehicle in space at rest in a general-purpose physics engine (MuJoCo), independent of our equations.

Three free bodies, rods and shocks as tendons: the engine makes places, lengths, moment arms and gravity. What it cannot
know is typed here: tyres on the plane, traction and side force, the couples of the lengthwise shafts, the shocks' stops.
"""

from math import cos, sin

import mujoco
import numpy as np

GRAVITY = 9.80665
ENDS = ("rear", "front")
BODIES = ("chassis", *ENDS)
SIDES = (1.0, -1.0)


def _mirrored(part):
    """(name suffix, chassis end, axle end) of each rod or shock of a part."""
    if getattr(part, "single", False):
        return [("", part.chassis_end, part.axle_end)]
    flip = [tuple((x, side * y, z) for x, y, z in (part.chassis_end, part.axle_end)) for side in SIDES]
    return [(f"_{name}", *ends) for name, ends in zip(("left", "right"), flip, strict=True)]


def _parts(axle):
    for name in ("lower_link", "upper_link", "lateral_link", "shock"):
        if getattr(axle, name) is not None:
            yield name, getattr(axle, name)


class SpaceEngine:
    """One vehicle on one slope at one heading.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks; no masses off the wheel centres.
    radii, free_lengths : sequence of float
        Free tyre radii and free shock lengths, rear and front, m.
    grade, heading : float
        rad.
    shafts : bool
    step : float
        s, of runs.
    """

    def __init__(self, vehicle, radii, free_lengths, grade, heading=0.0, *, shafts=True, blocks=(0.0,) * 4, step=2e-4):
        self.vehicle, self.radii, self.shafts, self.blocks = vehicle, radii, shafts, blocks
        x, z = vehicle.body.centre_of_gravity
        origins = [(x, vehicle.body.side_offset, z)]
        for k, (end, radius) in enumerate(zip(ENDS, radii, strict=True)):
            loaded = getattr(vehicle, end).tyre.loaded_radius
            origins.append((k * vehicle.wheelbase, 0.0, loaded if loaded is not None else radius))
            assert getattr(vehicle, end).side_offset == 0.0
        self.origins = dict(zip(BODIES, origins, strict=True))
        gravity = np.array([-sin(grade) * cos(heading), sin(grade) * sin(heading), -cos(grade)]) * GRAVITY
        self.model = mujoco.MjModel.from_xml_string(self._text(free_lengths, gravity, step))
        self.data = mujoco.MjData(self.model)
        self.rods = [
            self.model.tendon(k).name for k in range(self.model.ntendon) if "link" in self.model.tendon(k).name
        ]
        self.use, self.hold = (0.0, 0.0, (0.0, 0.0)), None

    def _text(self, free_lengths, gravity, step):
        sites = {body: [] for body in BODIES}
        tendons, equalities = [], []
        for end, free in zip(ENDS, free_lengths, strict=True):
            axle = getattr(self.vehicle, end)
            for name, part in _parts(axle):
                for side, *ends in _mirrored(part):
                    label = f"{end}_{name}{side}"
                    for body, point in zip(("chassis", end), ends, strict=True):
                        at = " ".join(repr(float(p - o)) for p, o in zip(point, self.origins[body], strict=True))
                        sites[body].append(f'<site name="{label}_{body}" pos="{at}"/>')
                    spring = (
                        f'stiffness="{0.5 * axle.shock.spring_rate!r}" springlength="{free!r}"'
                        if name == "shock"
                        else ""
                    )
                    tendons.append(
                        f'<spatial name="{label}" {spring}><site site="{label}_chassis"/><site site="{label}_{end}"/></spatial>'
                    )
                    if name != "shock":
                        equalities.append(f'<tendon tendon1="{label}"/>')
        bodies = []
        for body in BODIES:
            mass = self.vehicle.body.mass if body == "chassis" else getattr(self.vehicle, body).mass
            at = " ".join(repr(float(value)) for value in self.origins[body])
            bodies.append(
                f'<body name="{body}" pos="{at}"><freejoint name="{body}"/>'
                f'<inertial pos="0 0 0" mass="{mass!r}" diaginertia="0.004 0.012 0.014"/>{"".join(sites[body])}</body>'
            )
        return f"""<mujoco>
          <option timestep="{step!r}" integrator="implicitfast" solver="Newton" iterations="50" tolerance="1e-14"
                  jacobian="dense" gravity="{" ".join(repr(float(g)) for g in gravity)}"><flag contact="disable"/></option>
          <default><equality solref="{2 * step!r} 1" solimp="0.9999 0.9999 0.001 0.5 2"/></default>
          <worldbody>{"".join(bodies)}</worldbody><tendon>{"".join(tendons)}</tendon>
          <equality>{"".join(equalities)}</equality></mujoco>"""

    def place(self, places, turns):
        """Put the bodies at places (3, 3) with rotations (3, 3, 3)."""
        mujoco.mj_resetData(self.model, self.data)
        for body, at, turn in zip(BODIES, places, turns, strict=True):
            start = self.model.joint(body).qposadr[0]
            quaternion = np.empty(4)
            mujoco.mju_mat2Quat(quaternion, np.ascontiguousarray(turn).ravel())
            self.data.qpos[start : start + 7] = [*at, *quaternion]
        mujoco.mj_forward(self.model, self.data)

    def wheel(self, k, j):
        """Load, N, contact point and unit vectors forward and left of a wheel, and its axis."""
        axle, end = getattr(self.vehicle, ENDS[k]), ENDS[k]
        turn, centre = self.data.body(end).xmat.reshape(3, 3), self.data.body(end).xpos
        axis, up = turn[:, 1], np.array([0.0, 0.0, 1.0])
        hub = centre + SIDES[j] * 0.5 * axle.track_width * axis
        tilt = np.sqrt(1.0 - axis[2] ** 2)
        down = -(up - axis[2] * axis) / tilt
        reach = (hub[2] - self.blocks[2 * k + j]) / tilt
        load = max(0.0, 0.5 * axle.tyre.vertical_stiffness * (self.radii[k] - reach) / tilt)
        forward = np.cross(axis, up) / np.linalg.norm(np.cross(axis, up))
        return load, hub, hub + reach * down, forward, np.cross(up, forward), axis

    def loads(self):
        """Loads of the four wheels, N."""
        return np.array([self.wheel(k, j)[0] for k in range(2) for j in range(2)])

    def outer_forces(self):
        """Generalised force of tyres and shafts, by the engine's own lever arms."""
        total = np.zeros(self.model.nv)
        slip, _, side = self.use
        along = self.data.body("chassis").xmat.reshape(3, 3)[:, 0]
        for k, end in enumerate(ENDS):
            axle = getattr(self.vehicle, end)
            driven = self.vehicle.drive.driven_axles in ("both", end)
            torque = 0.0
            for j in range(2):
                load, hub, contact, forward, left, axis = self.wheel(k, j)
                pull = axle.tyre.grip_coefficient * slip * load if driven else 0.0
                force = load * np.array([0.0, 0.0, 1.0]) + pull * forward + side[k] * load * left
                torque -= np.cross(contact - hub, force) @ axis
                self._apply(force, np.zeros(3), contact, end, total)
            if self.shafts and axle.axle_ratio is not None:
                couple = axle.shaft_direction * torque / axle.axle_ratio * along
                self._apply(np.zeros(3), couple, self.data.body(end).xpos, end, total)
                self._apply(np.zeros(3), -couple, self.data.body("chassis").xpos, "chassis", total)
        self._add_stops(total)
        return total

    def _add_stops(self, total):
        """Half the stops of a pair on each shock, along its line."""
        for end in ENDS:
            shock = getattr(self.vehicle, end).shock
            for side, *ends in _mirrored(shock):
                measured = np.linalg.norm(np.subtract(*ends))
                start, last = (self.data.site(f"{end}_shock{side}_{body}").xpos for body in ("chassis", end))
                length = np.linalg.norm(last - start)
                beyond = max(0.0, length - measured - shock.droop_travel)
                within = max(0.0, measured - shock.bump_travel - length)
                push = 0.5 * shock.stop_stiffness * (within - beyond) * (last - start) / length
                self._apply(push, np.zeros(3), last, end, total)
                self._apply(-push, np.zeros(3), start, "chassis", total)

    def _apply(self, force, couple, point, body, total):
        mujoco.mj_applyFT(self.model, self.data, force, couple, point, self.model.body(body).id, total)

    def residual(self, tensions):
        """Forces and moments (18) left over at the placed pose with tensions by rod name, N and N m."""
        left = self.outer_forces() + self.data.qfrc_passive - self.data.qfrc_bias
        for name in self.rods:
            end = name.partition("_")[0]
            start, last = (self.data.site(f"{name}_{body}").xpos for body in ("chassis", end))
            pull = tensions[name] * (last - start) / np.linalg.norm(last - start)
            self._apply(pull, np.zeros(3), start, "chassis", left)
            self._apply(-pull, np.zeros(3), last, end, left)
        return left

    def settle(self, slip, side, duration, drag):
        """Let it come to rest from the placed pose; grip used and side force over load stay.

        `drag` is N s/m and N m s on every body. Its place and heading on the plane are held by springs at the chassis, which do nothing where it is in balance.
        """
        self.use = (slip, 0.0, side)
        mujoco.set_mjcb_passive(lambda model, data: self._passive(drag))
        try:
            for _ in range(round(duration / self.model.opt.timestep)):
                mujoco.mj_step(self.model, self.data)
        finally:
            mujoco.set_mjcb_passive(None)
        mujoco.mj_forward(self.model, self.data)

    def _passive(self, drag):
        data = self.data
        data.qfrc_passive += self.outer_forces() - np.tile([drag[0]] * 3 + [drag[1]] * 3, 3) * data.qvel
        chassis = data.body("chassis")
        turn = chassis.xmat.reshape(3, 3)
        start = self.model.joint("chassis").dofadr[0]
        data.qfrc_passive[start : start + 2] -= 500.0 * chassis.xpos[:2]
        data.qfrc_passive[start + 3 : start + 6] -= 20.0 * turn[1, 0] * turn[2]
