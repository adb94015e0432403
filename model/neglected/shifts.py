"""What is left out, as numbers; and what it does to the numbers of many vehicles in a given pose."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from noseload.model.batch.equilibrium import BatchCreep, VehicleBatch
from noseload.model.crawl.equilibrium import TENSIONS, N
from noseload.model.crawl.geometry import wheel_centre
from noseload.model.crawl.rolling import load_factor
from noseload.model.parameters import CREEP_SPEED, ENDS

from .shafts import Shaft, sliding_share, taken, wide
from .split import grip_used

EVEN = (np.nan, np.nan)
"""Rolling shares of vehicles whose driven wheels all slip alike."""
TAKEN_UP = 1.0
"""Force that takes up three quarters of the play of a link, N: a smooth switch, well below the forces of a climb."""


@dataclass(frozen=True)
class LeftOut:
    """Sizes of what the equations leave out, SI, floats or arrays (cases,); 0: as the equations have it.

    Attributes
    ----------
    rear_shock_friction, front_shock_friction : N
        Along the shock, both sides together; positive pushes its ends apart.
    rear_shaft_friction, front_shaft_friction : 1/m
        mu_s / r_s of the splines; positive pushes apart the ends of a shaft that turns under a driving torque.
    rear_spring_progression, front_spring_progression : 1/m
        By what share a spring gets stiffer for each metre that it is away from its standing length.
    rear_tyre_progression, front_tyre_progression : 1/m
        The same of a tyre pressed in deeper than standing.
    link_give : m/N
        How much longer a link with its mounts gets for each newton of tension; both sides together.
    link_play : m
        Between pulled and pushed.
    contact_give : m/N
        How much further the tyre load of an axle moves forward for each newton of its traction.
    rolling_resistance : float
        Added to that of rolling wheels.
    speed_mismatch : float
        How much faster than otherwise the front axle of geared ones rolls at its rim, as a share; acts with `slip_scale`.
    slip_scale : float
        Slip at which grip builds up, as a share of the travelling speed; 0: that of the vehicle's own law.
    slip_softness : float
        By how much the exponent of slip stiffness over load is smaller than the vehicle's own.
    """

    rear_shock_friction: float | np.ndarray = 0.0
    front_shock_friction: float | np.ndarray = 0.0
    rear_shaft_friction: float | np.ndarray = 0.0
    front_shaft_friction: float | np.ndarray = 0.0
    rear_spring_progression: float | np.ndarray = 0.0
    front_spring_progression: float | np.ndarray = 0.0
    rear_tyre_progression: float | np.ndarray = 0.0
    front_tyre_progression: float | np.ndarray = 0.0
    link_give: float | np.ndarray = 0.0
    link_play: float | np.ndarray = 0.0
    contact_give: float | np.ndarray = 0.0
    rolling_resistance: float | np.ndarray = 0.0
    speed_mismatch: float | np.ndarray = 0.0
    slip_scale: float | np.ndarray = 0.0
    slip_softness: float | np.ndarray = 0.0

    @property
    def nothing(self) -> bool:
        """Whether all of it is zero."""
        return not any(np.any(getattr(self, f.name)) for f in fields(self))

    @classmethod
    def joined(cls, parts: list[LeftOut], counts: list[int]) -> LeftOut:
        """That of several batches of so many cases side by side."""
        return cls(**{f.name: wide([getattr(part, f.name) for part in parts], counts) for f in fields(cls)})

    def take(self, cases: np.ndarray) -> LeftOut:
        """That of some of the cases, by index array."""
        return LeftOut(**{f.name: taken(getattr(self, f.name), cases) for f in fields(self)})

    def scaled(self, share: float) -> LeftOut:
        """A share of all of it; the slip at which grip builds up is no size and stays."""
        changes = {f.name: share * getattr(self, f.name) for f in fields(self) if f.name != "slip_scale"}
        return replace(self, **changes)


@dataclass(frozen=True)
class Rest:
    """What the standing pose, as measured, already holds: play taken up, springs and tyres at their measured places.

    Attributes
    ----------
    lengths : ndarray, shape (2, cases)
        Of the shocks, m.
    depths : ndarray, shape (2, cases)
        By which the tyres are pressed in, m.
    tensions : ndarray, shape (4, cases)
        N.
    """

    lengths: np.ndarray
    depths: np.ndarray
    tensions: np.ndarray

    @classmethod
    def of(cls, batch: VehicleBatch) -> Rest:
        """From vehicles whose `starts` are their standing poses."""
        outputs = BatchCreep(batch).outputs(batch.starts, np.zeros(batch.cases))[0]
        stiffness = np.array([batch[f"{end}_tyre_stiffness"] for end in ENDS])
        tensions = batch.starts[8 : 8 + len(TENSIONS)]
        return cls(outputs[4:6].copy(), outputs[:2] / stiffness, tensions.copy())

    @classmethod
    def joined(cls, parts: list[Rest]) -> Rest:
        """That of several batches side by side."""
        return cls(*(np.hstack([getattr(part, f.name) for part in parts]) for f in fields(cls)))

    def take(self, cases: np.ndarray) -> Rest:
        """That of some of the vehicles."""
        return Rest(self.lengths[:, cases], self.depths[:, cases], self.tensions[:, cases])


@dataclass(frozen=True)
class Neglected:
    """Many vehicles with what is left out of them.

    Attributes
    ----------
    batch : VehicleBatch
        As the file has them, free lengths filled in and standing.
    shafts : (Shaft, Shaft)
        Rear and front.
    left : LeftOut
    rest : Rest
    rolling : pair of float or ndarray
        Share of what the tyres are pressed in that is missing to their rolling radius, rear and front, where the file
        asks for a law of slip; not a number: all driven wheels slip alike.
    """

    batch: VehicleBatch
    shafts: tuple[Shaft, ...]
    left: LeftOut
    rest: Rest
    rolling: tuple = EVEN

    @classmethod
    def of(cls, batch: VehicleBatch, shafts: tuple, left: LeftOut, rolling: tuple | None = None) -> Neglected:
        """With the standing poses of the batch."""
        return cls(batch, shafts, left, Rest.of(batch), rolling or EVEN)

    @classmethod
    def joined(cls, parts: list) -> Neglected:
        """Several batches side by side."""
        counts = [part.batch.cases for part in parts]
        return cls(
            VehicleBatch.joined([part.batch for part in parts]),
            tuple(Shaft.joined(shafts, counts) for shafts in zip(*(part.shafts for part in parts), strict=True)),
            LeftOut.joined([part.left for part in parts], counts),
            Rest.joined([part.rest for part in parts]),
            tuple(wide(shares, counts) for shares in zip(*(part.rolling for part in parts), strict=True)),
        )

    def take(self, cases: np.ndarray) -> Neglected:
        """Some of the vehicles."""
        rear, front = (shaft.take(cases) for shaft in self.shafts)
        rolling = tuple(taken(share, cases) for share in self.rolling)
        return Neglected(self.batch.take(cases), (rear, front), self.left.take(cases), self.rest.take(cases), rolling)

    def numbers(self, states: np.ndarray, grades: np.ndarray) -> VehicleBatch:
        """The vehicles' numbers in a pose, with what is left out put in.

        Parameters
        ----------
        states : ndarray, shape (13, cases)
            Unknowns of creep.
        grades : ndarray, shape (cases,)
            rad.

        Returns
        -------
        VehicleBatch
            Meant for just this pose: solve, ask again, until nothing moves.
        """
        batch, left = self.batch, self.left
        loads, tractions, lengths = BatchCreep(batch).outputs(states, grades)[0].reshape(3, 2, -1).copy()
        changes, heights = {}, []
        for k, end in enumerate(ENDS):
            place = 2 if end == "rear" else 5
            height = wheel_centre(batch.axle(end), *states[place : place + 3])[1]
            heights.append(height)
            give = batch[f"{end}_contact_give"] + left.contact_give
            rolling = batch[f"{end}_rolling_resistance"] + left.rolling_resistance
            changes[f"{end}_contact_give"], changes[f"{end}_rolling_resistance"] = give, rolling
            ahead = give * tractions[k] + rolling * height
            torque = tractions[k] * height + ahead * loads[k]
            push = getattr(left, f"{end}_shock_friction") + self._spline(end, k, states, torque)
            rate, shorter = batch[f"{end}_spring_rate"], self.rest.lengths[k] - lengths[k]
            more = 0.5 * getattr(left, f"{end}_spring_progression") * shorter * np.abs(shorter)
            changes[f"{end}_free_length"] = batch[f"{end}_free_length"] + push / rate + more
            deeper = loads[k] / batch[f"{end}_tyre_stiffness"] - self.rest.depths[k]
            pressed = 0.5 * getattr(left, f"{end}_tyre_progression") * deeper * np.abs(deeper)
            changes[f"{end}_tyre_radius"] = batch[f"{end}_tyre_radius"] + pressed
        for k, name in enumerate(TENSIONS):
            pull, before = states[8 + k], self.rest.tensions[k]
            taken_up = 0.5 * left.link_play * (np.tanh(pull / TAKEN_UP) - np.tanh(before / TAKEN_UP))
            changes[f"{name}_length"] = batch[f"{name}_length"] + left.link_give * (pull - before) + taken_up
        divided = self._divided()
        if np.any(divided):
            changes["rear_grip"], changes["front_grip"] = self._grips(states[N - 1], loads, heights, divided)
        return batch.with_values(changes)

    def _spline(self, end: str, k: int, states: np.ndarray, torque: np.ndarray) -> float | np.ndarray:
        """Friction of a shaft's splines as a force of the shock, N."""
        friction, shaft = getattr(self.left, f"{end}_shaft_friction"), self.shafts[k]
        if shaft.ratio is None or not np.any(friction):
            return 0.0
        return friction * torque / shaft.ratio * sliding_share(self.batch, shaft, end, states)

    def _divided(self) -> np.ndarray:
        """Which cases have a law of slip of their own, or are given one, in place of wheels that all slip alike."""
        left = self.left
        own = np.isfinite(self.rolling[0])
        mismatched = (np.asarray(left.slip_scale) > 0.0) & (np.asarray(left.speed_mismatch) != 0.0)
        return (self.batch["geared"] > 0.0) & (own | mismatched | (np.asarray(left.slip_softness) != 0.0))

    def _grips(
        self, traction: np.ndarray, loads: np.ndarray, heights: list[np.ndarray], divided: np.ndarray
    ) -> np.ndarray:
        """Grips with which the zero-speed law, shares as mu N, divides the traction as the law of slip does."""
        left, axles = self.left, [self.batch.axle(end) for end in ENDS]
        plain, drawn = np.array([axle.grip for axle in axles]), np.asarray(left.slip_scale)
        ratio, own = 1.0 + np.asarray(left.speed_mismatch), np.isfinite(self.rolling[0])
        radii = [
            axle.tyre_radius - np.where(own, chi, 0.0) * (axle.tyre_radius - height)
            for axle, chi, height in zip(axles, self.rolling, heights, strict=True)
        ]
        ratio = np.where(own, ratio * self.batch["spin_ratio"] * radii[1] / radii[0], ratio)
        widths = []
        for axle, load in zip(axles, loads, strict=True):
            width = np.where(drawn > 0.0, drawn, axle.slip_speed / CREEP_SPEED + axle.slip_ratio_scale)
            widths.append(width * load_factor(load, axle.slip_load, axle.slip_softness + left.slip_softness))
        used = grip_used(traction, plain * loads, ratio - 1.0, np.array(widths))
        return np.where(divided, plain * used, plain)
