"""The second route: the same motions by general-purpose integrators, to check the first and for what is not stiff.

DOP853 (explicit, order 8) suits motions that are not stiff; Radau (implicit, order 5) and LSODA (multistep)
take the exact Jacobian. E. Hairer, S. P. Norsett, G. Wanner, *Solving Ordinary Differential Equations* I and II.
"""

from math import inf

import numpy as np
from scipy.integrate import DOP853, LSODA, Radau

from noseload.solvers.errors import Status
from noseload.solvers.motion.events import SwitchBook
from noseload.solvers.motion.protocol import Motion
from noseload.solvers.motion.trajectory import Effort, Event, Trajectory

METHODS = {"DOP853": DOP853, "Radau": Radau, "LSODA": LSODA}
_CORRECT_ABOVE = 1e-3
"""Drift, in tolerances, from which a one-step method is moved back onto the constraints."""
_SLIVER = 1e-12


def integrate_otherwise(
    motion: Motion, start, start_time, end_time, *, method="DOP853", tolerance=1e-9, largest_step=inf
):
    """Integrate a motion with one of METHODS, restarted at corners and switches.

    Parameters
    ----------
    motion : Motion
    start : ndarray, shape (size,)
    start_time, end_time : float
    method : str
    tolerance : float
        Relative, and absolute in the scales of the motion.
    largest_step : float

    Returns
    -------
    Trajectory
        With the method's own interpolants.

    Raises
    ------
    KeyError
        No such method.
    """
    return _OtherRun(motion, METHODS[method], tolerance, largest_step).go(
        np.array(start, dtype=float), float(start_time), float(end_time)
    )


class _OtherRun:
    """One integration in progress."""

    def __init__(self, motion, method, tolerance, largest_step):
        self.motion, self.method, self.tolerance, self.largest_step = motion, method, tolerance, largest_step
        self.times, self.states, self.left, self.right = [], [], [], []
        self.events, self.interpolants = [], []
        self.nfev = self.njev = 0
        self.position_drift = self.speed_drift = 0.0
        self.ended_by, self.trouble = None, None

    def go(self, state, time, end):
        """Run to the end and pack up."""
        motion = self.motion
        self.times.append(time)
        corners = [c for c in motion.corners() if time < c < end] + [end]
        motion.enter(time, corners[0])
        self.states.append(motion.project(time, state)[0])
        self.book = SwitchBook(motion, time, self.states[0], motion.rates(time, self.states[0]))
        for corner in corners:
            motion.enter(self.times[-1], corner)
            while self.times[-1] < corner - _SLIVER and self.ended_by is None and self.trouble is None:
                self._until_switch(corner)
        size = motion.size
        status = Status.CONVERGED if self.trouble is None else self.trouble[0]
        message = "finished" if self.trouble is None else self.trouble[1]
        return Trajectory(
            status,
            message,
            np.array(self.times),
            np.array(self.states),
            np.array(self.left).reshape(-1, size),
            np.array(self.right).reshape(-1, size),
            tuple(self.events),
            self.ended_by,
            Effort(self.nfev, self.njev, len(self.times) - 1, 0),
            self.position_drift,
            self.speed_drift,
            motion.coordinate_count,
            tuple(self.interpolants),
        )

    def _solver(self, corner):
        scales = self.motion.scales
        options = {"jac": self.motion.jacobian} if self.method is not DOP853 else {}
        room = corner - self.times[-1]
        return self.method(
            self.motion.rates,
            self.times[-1],
            self.states[-1],
            corner,
            rtol=max(self.tolerance, 1e-13),
            atol=self.tolerance * scales,
            max_step=min(self.largest_step, room),
            first_step=min(1e-5, room),
            **options,
        )

    def _until_switch(self, corner):
        """Steps of one solver, until it reaches the corner or passes a switch."""
        solver = self._solver(corner)
        before = self.nfev
        while solver.status == "running":
            left = self.motion.rates(solver.t, solver.y)
            note = solver.step()
            if solver.status == "failed" or not np.isfinite(solver.y).all():
                self._fail(solver, note)
                break
            dense = solver.dense_output()
            start, step = solver.t_old, solver.t - solver.t_old
            passed = self.book.first_passed(
                start, step, solver.y, lambda share, d=dense, s=start, h=step: d(s + share * h)
            )
            if passed is None:
                self._keep(solver.t, self._corrected(solver), left, dense)
                continue
            time = start + passed.share * step
            if passed.share * step > _SLIVER:
                self._keep(time, self._on_manifold(time, dense(time)), left, dense)
            for name in self.book.take(passed):
                if name is not None:
                    self.events.append(Event(self.times[-1], name, self.states[-1]))
            self.ended_by = self.book.ended(passed)
            break
        self.nfev = before + solver.nfev
        self.njev += int(solver.njev)

    def _fail(self, solver, note):
        finite = np.isfinite(solver.y).all()
        status = Status.STEP_TOO_SMALL if finite else Status.NOT_FINITE
        self.trouble = status, f"Integration stopped at {self.times[-1]:.6g} s: {status.value}. {note or ''}".strip()

    def _on_manifold(self, time, state):
        moved, position, speed = self.motion.project(time, state)
        self.position_drift = max(self.position_drift, position)
        self.speed_drift = max(self.speed_drift, speed)
        return moved

    def _corrected(self, solver):
        """State on the constraints; a one-step method goes on from there, a multistep one cannot."""
        moved = self._on_manifold(solver.t, solver.y)
        if self.method is LSODA:
            return solver.y.copy()
        if np.abs((moved - solver.y) / self.motion.scales).max() > _CORRECT_ABOVE * self.tolerance:
            solver.y = moved
            solver.f = solver.fun(solver.t, moved)
        return moved

    def _keep(self, time, state, left, dense):
        self.times.append(float(time))
        self.states.append(state)
        self.left.append(left)
        self.right.append(self.motion.rates(time, state))
        self.interpolants.append(dense)
