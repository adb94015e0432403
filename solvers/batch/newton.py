"""Damped Newton iteration for many equilibria at once; the last axis of every array is the case.

Each case has its own damping, capped steps and outcome, as in `noseload.solvers.newton`: cases that are done leave
the batch, those that fail are marked and never stop the others. Near the solution, where every case contracts fast, the
factors of the last Jacobian are kept and the residual alone is evaluated.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from noseload.solvers.errors import SolverError, Status

from .linear import BatchLinearSolver

SMALLEST_DAMPING = 2.0**-12
WANDER = 100.0
"""Growth of the residual that a full step may cause before it is taken back."""
PATIENCE = 2
"""Steps that may go on from there before the best state is returned to with more damping (the watchdog of
R. M. Chamberlain et al., *Mathematical Programming Study* 16, 1982)."""
COMPACT_SHARE = 0.3
"""Share of finished cases at which the others move together."""
KEEP_SHARE = 1e-2
"""Share that a step may leave of the residual if the factors it was made with are to serve again: the next step leaves
about twice that, for a fifth of the price (chord steps: C. T. Kelley, *Iterative Methods for Linear and Nonlinear
Equations*, SIAM 1995, ch. 5; memory)."""


class BatchEquilibrium(Protocol):
    """What a batch solver sees: n equations in n unknowns and one further parameter, for every case.

    `residual_scales` and `step_limits` have shape (n, cases); `pattern` (n, n) is True where the Jacobian
    can be other than zero.
    """

    names: tuple
    equation_names: tuple
    residual_scales: np.ndarray
    step_limits: np.ndarray
    pattern: np.ndarray

    def evaluate(self, states: np.ndarray, parameters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Residual (n, cases) and Jacobian (n, n + 1, cases), which the next call may overwrite."""

    def residual(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """Residual (n, cases) alone, as `evaluate` has it; the Jacobian of the last `evaluate` stays as it is."""

    def accept(self, states: np.ndarray, parameters: np.ndarray) -> np.ndarray:
        """True (cases,) where a state is meaningful."""

    def take(self, cases: np.ndarray) -> "BatchEquilibrium":
        """The same equations for some of the cases."""


@dataclass(frozen=True)
class BatchSolution:
    """Solved and failed cases side by side.

    Attributes
    ----------
    statuses : ndarray of Status, shape (cases,)
    states : ndarray, shape (n, cases)
        Of a failed case the best iterate.
    parameters : ndarray, shape (cases,)
    residual_norms : ndarray, shape (cases,)
        Largest scaled residual, evaluated at `states`.
    worst_equations : ndarray of int, shape (cases,)
        Equation that residual belongs to.
    nfev : ndarray of int, shape (cases,)
        Evaluations of residual and Jacobian together.
    equation_names : tuple of str
    """

    statuses: np.ndarray
    states: np.ndarray
    parameters: np.ndarray
    residual_norms: np.ndarray
    worst_equations: np.ndarray
    nfev: np.ndarray
    equation_names: tuple

    @property
    def success(self) -> np.ndarray:
        """True where converged, shape (cases,)."""
        return self.statuses == Status.CONVERGED

    def message(self, case: int) -> str:
        """What happened to one case."""
        status = self.statuses[case]
        if status is Status.CONVERGED:
            return "converged"
        return (
            f"case {case} at parameter {self.parameters[case]:.6g} stopped after {self.nfev[case]} evaluations: "
            f"{status.value}. Largest residual in equation '{self.equation_names[self.worst_equations[case]]}': "
            f"{self.residual_norms[case]:.3g} of its scale."
        )

    def raise_for_status(self) -> "BatchSolution":
        """Return self, or raise `SolverError` naming the first failed case and how many failed."""
        failed = np.flatnonzero(~self.success)
        if failed.size:
            first = int(failed[0])
            count = f"{failed.size} of {self.statuses.size} cases failed; "
            raise SolverError(self.statuses[first], count + self.message(first), self)
        return self

    def patched(self, cases: np.ndarray, other: "BatchSolution") -> "BatchSolution":
        """These results with those of `other` put in at `cases`."""
        fields = {}
        for name in ("statuses", "states", "parameters", "residual_norms", "worst_equations", "nfev"):
            whole = getattr(self, name).copy()
            whole[..., cases] = getattr(other, name)
            fields[name] = whole
        fields["nfev"][cases] += self.nfev[cases]
        return BatchSolution(**fields, equation_names=self.equation_names)


def solve_batch(
    equilibrium: BatchEquilibrium,
    starts: np.ndarray,
    parameters: ArrayLike,
    *,
    tolerance: float = 1e-11,
    max_evaluations: int = 60,
    polish: bool = True,
) -> "BatchSolution":
    """Solve many equilibria, each at its own fixed parameter.

    Parameters
    ----------
    equilibrium : BatchEquilibrium
    starts : array_like, shape (n, cases)
    parameters : array_like, shape (cases,) or scalar
    tolerance : float
        Largest scaled residual of a solution.
    max_evaluations : int
        Evaluations of residual and Jacobian together that a case may use; steps with the factors of the last ones do not count.
    polish : bool
        Take one more step after the tolerance is met, as far as it helps.

    Returns
    -------
    BatchSolution
        Look at `statuses`; a converged case was accepted by `equilibrium.accept`.
    """
    states = np.array(starts, dtype=float)
    parameters = np.broadcast_to(np.asarray(parameters, dtype=float), states.shape[1:]).copy()
    iteration = _Iteration(equilibrium, states, parameters, tolerance, polish)
    while iteration.active.size and iteration.evaluations < max_evaluations:
        iteration.advance()
    iteration.give_up()
    statuses = iteration.statuses
    converged = statuses == Status.CONVERGED
    if converged.any():
        statuses[converged & ~equilibrium.accept(states, parameters)] = Status.REJECTED
    return BatchSolution(
        statuses,
        states,
        parameters,
        iteration.norms,
        iteration.worst,
        iteration.nfev,
        tuple(equilibrium.equation_names),
    )


class _Iteration:
    """State of the iteration; arrays whose name ends in no `s` belong to the active cases alone."""

    def __init__(
        self, equilibrium: BatchEquilibrium, states: np.ndarray, parameters: np.ndarray, tolerance: float, polish: bool
    ) -> None:
        cases = states.shape[1]
        self.whole, self.equilibrium, self.tolerance = equilibrium, equilibrium, tolerance
        self.states, self.parameters = states, parameters
        self.statuses = np.full(cases, Status.OUT_OF_ITERATIONS, dtype=object)
        self.norms, self.worst = np.full(cases, np.inf), np.zeros(cases, dtype=int)
        self.nfev = np.zeros(cases, dtype=int)
        self.active = np.arange(cases)
        self.linear = BatchLinearSolver(equilibrium.pattern)
        self.state, self.parameter = states.copy(), parameters
        self.trial = self.state.copy()
        self.step = np.zeros_like(states)
        self.norm, self.worst_now = self.norms.copy(), self.worst.copy()
        self.damping = np.ones(cases)
        self.polished, self.capped = np.full(cases, not polish), np.zeros(cases, dtype=bool)
        self.open = np.ones(cases, dtype=bool)
        self.wandering, self.patience = np.zeros(cases, dtype=bool), np.full(cases, PATIENCE)
        self.keeping, self.evaluations = False, 0

    def advance(self) -> None:
        """Evaluate the trial states, accept or damp them, and set out the next trial."""
        before, jacobian = self.norm, None
        if self.keeping:
            residual = self.equilibrium.residual(self.trial, self.parameter)
        else:
            residual, jacobian = self._evaluate()
        better = self._judge(residual)
        outcome = self._outcomes(better)
        going = self.open & (outcome == _GO_ON)
        moving = better & going
        if not going.any():
            self._retire(outcome)
            return
        slowest = self._slowest_contraction(before, better, going)
        if jacobian is None and slowest <= KEEP_SHARE:
            step = self.linear.solve_again(residual)
        else:
            if jacobian is None:
                residual, jacobian = self._evaluate()
            step = self.linear.solve(jacobian[:, :-1], residual, self.equilibrium.residual_scales)
        # Newton's contraction squares: the next step is expected to leave so little, which is looked at before it counts.
        self.keeping = slowest**2 <= KEEP_SHARE
        lost = moving & ~np.isfinite(step).all(axis=0)
        small = self.norm <= self.tolerance
        outcome[lost] = np.where(small[lost], _CODES.index(Status.CONVERGED), _CODES.index(Status.SINGULAR))
        with np.errstate(invalid="ignore"):
            excess = np.max(np.abs(step) / self.equilibrium.step_limits, axis=0)
            full = 1.0 / np.maximum(excess, 1.0)
        np.copyto(self.step, step, where=moving)
        self.capped = np.where(moving, excess > 1.0, self.capped)
        self.damping = np.where(moving, full, np.where(self.wandering, self.damping, 0.5 * self.damping))
        astray = self.trial - full * step
        self.trial = self.state - self.damping * self.step
        np.copyto(self.trial, astray, where=self.wandering)
        self._retire(outcome)

    def _evaluate(self) -> tuple[np.ndarray, np.ndarray]:
        """Residual and Jacobian of the trial states, counted."""
        self.evaluations += 1
        self.nfev[self.active[self.open]] += 1
        return self.equilibrium.evaluate(self.trial, self.parameter)

    def _judge(self, residual: np.ndarray) -> np.ndarray:
        """Update the best states; returns where the trial counts as progress."""
        scaled = np.abs(residual) / self.equilibrium.residual_scales
        scaled[~np.isfinite(scaled)] = np.inf
        worst_now = scaled.argmax(axis=0)
        norm = scaled[worst_now, np.arange(worst_now.size)]
        # A capped step may pass a ridge; a small residual may jitter at rounding level.
        better = (norm < self.norm) | (norm <= self.tolerance) | (self.capped & (norm < 2.0 * self.norm))
        better &= np.isfinite(norm)
        improved = better & ~((self.norm <= self.tolerance) & (norm > self.norm))
        np.copyto(self.state, self.trial, where=improved)
        self.norm = np.where(improved, norm, self.norm)
        self.worst_now = np.where(improved | ~np.isfinite(self.norm), worst_now, self.worst_now)
        # Past a kink (a stop engaging) the residual jumps, but the next full step falls far below it.
        self.wandering = ~better & (norm < WANDER * self.norm) & (self.patience > 0)
        self.patience = np.where(better, PATIENCE, np.where(self.wandering, self.patience - 1, 0))
        return better

    def _slowest_contraction(self, before: np.ndarray, better: np.ndarray, going: np.ndarray) -> float:
        """Largest share of the residual that a step has left in a case that goes on; one where nothing is known."""
        with np.errstate(invalid="ignore"):
            left = np.where(better & np.isfinite(before), self.norm / before, 1.0)
        left[self.norm <= self.tolerance] = 0.0
        return float(left[going].max())

    def _outcomes(self, better: np.ndarray) -> np.ndarray:
        """Code of each active case: an index into `_CODES`, or `_GO_ON`."""
        outcome = np.full(self.active.size, _GO_ON)
        small = self.norm <= self.tolerance
        done = small & (self.polished | (self.norm <= 1e-3 * self.tolerance))
        stuck = ~better & ~self.wandering & (0.5 * self.damping < SMALLEST_DAMPING)
        outcome[stuck & ~small] = _CODES.index(Status.DIVERGED)
        outcome[done | (stuck & small)] = _CODES.index(Status.CONVERGED)
        outcome[~np.isfinite(self.norm)] = _CODES.index(Status.NOT_FINITE)
        self.polished |= small
        return outcome

    def _retire(self, outcome: np.ndarray) -> None:
        """Record cases that finish now; drop the finished ones once they are many."""
        done = np.flatnonzero(self.open & (outcome != _GO_ON))
        if done.size:
            self._record(done)
            for case, code in zip(self.active[done].tolist(), outcome[done].tolist(), strict=True):
                self.statuses[case] = _CODES[code]
            self.open[done] = False
        going = int(self.open.sum())
        # The factors are of all cases: they wait until new ones are wanted.
        if not going or (not self.keeping and going <= (1.0 - COMPACT_SHARE) * self.active.size):
            self._keep(np.flatnonzero(self.open))

    def _record(self, done: np.ndarray) -> None:
        where = self.active[done]
        self.states[:, where] = self.state[:, done]
        self.norms[where], self.worst[where] = self.norm[done], self.worst_now[done]

    def _keep(self, kept: np.ndarray) -> None:
        self.active = self.active[kept]
        if kept.size:
            self.equilibrium = self.equilibrium.take(kept)
        self.state, self.step, self.trial = self.state[:, kept], self.step[:, kept], self.trial[:, kept]
        for name in (
            "parameter",
            "norm",
            "worst_now",
            "damping",
            "polished",
            "capped",
            "open",
            "wandering",
            "patience",
        ):
            setattr(self, name, getattr(self, name)[kept])

    def give_up(self) -> None:
        """Record what is left as out of iterations."""
        self._record(np.flatnonzero(self.open))


_GO_ON = -1
_CODES = (Status.CONVERGED, Status.NOT_FINITE, Status.DIVERGED, Status.SINGULAR)
