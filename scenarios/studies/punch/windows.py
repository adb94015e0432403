"""Runs of a batch looked at in windows, each case for itself, until its outcome is decided."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noseload.solvers.errors import Status

from .inputs import last_corners
from .outcome import FLIPS, LONGEST_S, SETTLED_S, name_outcome

if TYPE_CHECKING:
    from noseload.model.batch.motion import BatchMotion
    from noseload.model.space.batch_motion import BatchSpaceMotion
    from noseload.solvers.batch.transient import BatchRun
    from noseload.studies.punch.many import PunchMany
    from noseload.studies.punch.recorder import Recorder
    from noseload.studies.punch.wheels_many import WheelsMany


UNDECIDED = "undecided"
STEPS_OF_A_RUN, SHARE_OF_STEPS = 100.0, 0.5
"""Steps of a batch that take as long as one accurate run until it is decided: at least so many, or a share of what it took."""


class Windows:
    """Where each run ends next, and its summary at the end of what was asked for.

    Parameters
    ----------
    motion : BatchMotion
    recorder : Recorder
    lasting : ndarray, shape (cases,)
        Length of the traces, s.
    wanted : ndarray of bool
        Cases whose outcome is asked for; they run on, up to 5 s, in windows of 0.3 s.
    patience : float or ndarray, shape (cases,)
        What stands after this time is named as it is then, settled or not, s.
    """

    def __init__(
        self,
        motion: BatchMotion | BatchSpaceMotion,
        recorder: Recorder,
        lasting: np.ndarray,
        wanted: np.ndarray,
        patience: float | np.ndarray = LONGEST_S,
    ) -> None:
        self.motion, self.recorder, self.lasting, self.wanted = motion, recorder, lasting, wanted
        self.patience = np.broadcast_to(patience, lasting.shape)
        self.corners = last_corners(motion.controls, lasting.size)
        self.summed, self.ended, self.left = np.zeros((3, lasting.size), dtype=bool)
        self.steps = np.zeros(lasting.size, dtype=int)

    def first_ends(self) -> np.ndarray:
        """Where the runs end first, s: the last window of what was asked for is looked at on its own."""
        middle = np.maximum(self.lasting - SETTLED_S, 0.0)
        return np.where(self.wanted & (middle > 0.0), middle, self.lasting)

    def renew(self, cases: np.ndarray, times: np.ndarray, states: np.ndarray, steps: np.ndarray) -> np.ndarray:
        """Next ends of cases that reached theirs, s; `solvers.batch.transient` asks."""
        ends = times.copy()
        early = times < self.lasting[cases] - 1e-9
        ends[early] = self.lasting[cases[early]]
        late = np.flatnonzero(~early)
        fresh = late[~self.summed[cases[late]]]
        self.recorder.summarise(cases[fresh], times[fresh])
        self.summed[cases[fresh]] = True
        going = late[~self._over(cases[late], times[late], states[self.motion.coordinates, late])]
        self.ended[np.setdiff1d(cases[late], cases[going])] = True
        # Most runs are decided soon: a case goes on while it has cost less than accurate runs of all that are left would.
        spent = steps[going] / times[going] * (times[going] + SETTLED_S - self.lasting[cases[going]])
        alone = np.maximum(STEPS_OF_A_RUN, SHARE_OF_STEPS * steps[going])
        few = np.count_nonzero(~self.ended & ~self.recorder.stopped_early) * alone < spent
        self.left[cases[going[few]]] = self.ended[cases[going[few]]] = True
        going = going[~few]
        ends[going] = np.minimum(times[going] + SETTLED_S, LONGEST_S)
        self.recorder.open_window(np.concatenate([cases[early], cases[going]]))
        return ends

    def _over(self, cases: np.ndarray, times: np.ndarray, speeds: np.ndarray) -> np.ndarray:
        if not self.wanted[cases].any():
            return np.ones(cases.size, dtype=bool)
        over = self.recorder.settled(cases, speeds)
        over |= self.motion.stand(self.recorder.down[:, cases]) & (times >= self.patience[cases])
        over &= (times >= SETTLED_S - 1e-9) & (times - self.corners[cases] >= SETTLED_S - 1e-9)
        return over | (self.recorder.flipped[cases] != 0) | (times >= LONGEST_S - 1e-9) | ~self.wanted[cases]

    def finish(self, run: BatchRun, result: PunchMany | WheelsMany, cases: np.ndarray) -> None:
        """Write summaries, outcomes and statuses of the finished run; `cases`: their places in the result."""
        good = run.statuses == Status.CONVERGED
        rest = np.flatnonzero(good & ~self.summed)
        self.recorder.summarise(rest, run.times[rest])
        result.steps[cases] = run.steps
        result.status[cases[~good & ~self.summed]] = "failed"
        # What broke only after the end of its traces is left to an accurate run, like the last few.
        left = self.wanted & (self.left | (~good & self.summed))
        result.outcome[cases[left]] = UNDECIDED
        recorder, slip = self.recorder, self.motion.slip_speeds
        standing, up = self.motion.stand(recorder.down), np.asarray(~recorder.down.all(axis=0))
        for k in np.flatnonzero(good & self.wanted & ~left):
            result.numbers["outcome_time_s"][cases[k]] = run.times[k]
            result.outcome[cases[k]] = name_outcome(
                ended_by=(None, *FLIPS)[recorder.flipped[k]],
                down=bool(standing[k]),
                speed=run.states[self.motion.coordinates, k],
                slip_speed=slip[k],
                lifted=bool(recorder.lifted[k]),
                up=bool(up[k]),
            )
