"""Throttle, grip and drag brake of many punches: programs by case, as the batch motion and as a single punch take them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.batch.motion import BatchProgram, Controls
from noseload.model.motion.programs import Program

from .programs import THROTTLE_PROGRAMS, after_hold, drag_brake, named_throttle

if TYPE_CHECKING:
    from noseload.studies.punch.many import PunchesOptions


STARTS = ("creep", "brake")
FULL_GRIP = Program.constant(1.0, "grip program")


@dataclass(frozen=True)
class PunchInputs:
    """What each case is given over time; every array has one entry a case.

    Attributes
    ----------
    program : ndarray of str or Program
        A name of `THROTTLE_PROGRAMS`, or a throttle over time.
    grip_program : ndarray of Program
    start : ndarray of str
        'creep' or 'brake'.
    hold_s : float
        Of a blip.
    release_s : float or None
        When drag brakes that hold a start let go, in place of the throttle's first rise.
    """

    program: np.ndarray
    grip_program: np.ndarray
    start: np.ndarray
    hold_s: float
    release_s: float | None = None

    def of(self, cases: np.ndarray) -> PunchInputs:
        """Inputs of some of the cases."""
        return PunchInputs(
            self.program[cases], self.grip_program[cases], self.start[cases], self.hold_s, self.release_s
        )

    def faults(self) -> list[str]:
        """What makes no sense, in words."""
        found = []
        for k, item in enumerate(self.program):
            if not isinstance(item, Program) and item not in THROTTLE_PROGRAMS:
                found.append(f"program[{k}] = {item!r}: must be one of {', '.join(THROTTLE_PROGRAMS)}, or a Program")
                break
        for k, item in enumerate(self.grip_program):
            if not isinstance(item, Program):
                found.append(f"grip_program[{k}] = {item!r}: must be a Program")
                break
            if min(item.values) < 0.0:
                found.append(f"grip_program[{k}]: a grip factor of {min(item.values):g}; it must not be negative")
                break
        wrong = [k for k, item in enumerate(self.start) if item not in STARTS]
        if wrong:
            found.append(f"start[{wrong[0]}] = {self.start[wrong[0]]!r}: must be 'creep' or 'brake'")
        if not 0.0 <= self.hold_s < float("inf"):
            found.append(f"hold_s = {self.hold_s:g} s: must not be negative")
        if self.release_s is not None and not self.braked.any():
            found.append(f"release_s = {self.release_s:g} s: only a start on the drag brake has a brake to let go")
        elif self.release_s is not None and not 0.0 <= self.release_s < float("inf"):
            found.append(f"release_s = {self.release_s:g} s: must not be negative")
        return found

    @property
    def braked(self) -> np.ndarray:
        """True for the cases that start on the drag brake."""
        return self.start == "brake"

    @property
    def first_grip(self) -> np.ndarray:
        """Grip factor at the start, (cases,)."""
        return np.array([float(p.at(0.0)) for p in self.grip_program])

    def names(self) -> dict[str, np.ndarray]:
        """Names of the programs and starts, for a document."""
        return {"program": _named(self.program), "grip_program": _named(self.grip_program), "start": self.start}

    def single(self, case: int) -> dict[str, Any]:
        """Options with which `punch` runs one of the cases."""
        return {
            "program": self.program[case],
            "grip_program": self.grip_program[case],
            "start": str(self.start[case]),
            "hold_s": self.hold_s,
            "release_s": self.release_s if self.braked[case] else None,
        }

    def controls(
        self,
        cases: np.ndarray,
        options: PunchesOptions,
        holding: np.ndarray,
        brake_held: np.ndarray,
        brake_full: np.ndarray,
    ) -> Controls:
        """Inputs of some of the cases as the batch motion takes them.

        Parameters
        ----------
        cases : ndarray of int
        options : PunchesOptions
        holding, brake_held, brake_full : ndarray, shape (cases.size,)
            Throttle and drag brake that hold the start, and the brake's full torque, N m.
        """
        programs, grips = self.program[cases], self.grip_program[cases]
        start, end = options.start_s[cases], options.start_s[cases] + options.rise_s[cases]
        if all(isinstance(p, str) and p == "ramp" for p in programs):
            throttle = BatchProgram(np.stack([start, end]), np.stack([holding, options.throttle[cases]]))
        else:
            throttle = BatchProgram.of(
                [self._throttle(p, options, k, float(u)) for p, k, u in zip(programs, cases, holding, strict=True)]
            )
        grip = None if all(p == FULL_GRIP for p in grips) else BatchProgram.of(list(grips))
        grabbed = np.array([isinstance(p, str) and p == "grab_brake" for p in programs])
        brake = None
        if brake_held.any() or (grabbed & (brake_full != 0.0)).any():
            brake = BatchProgram.of(
                [
                    self._brake(p, options, k, *map(float, numbers))
                    for p, k, *numbers in zip(programs, cases, holding, brake_held, brake_full, strict=True)
                ]
            )
        return Controls.of(throttle, grip, brake)

    def _brake(self, program: Any, options: Any, case: int, holding: Any, held: float, full: float) -> Any:
        return drag_brake(
            program if isinstance(program, str) else program.name,
            self._throttle(program, options, case, holding),
            held,
            full,
            start_s=float(options.start_s[case]),
            rise_s=float(options.rise_s[case]),
            release_s=self.release_s,
        )

    def _throttle(self, program: Any, options: Any, case: int, holding: Any) -> Any:
        if isinstance(program, Program):
            return after_hold(program, holding)
        return named_throttle(
            program,
            holding,
            float(options.throttle[case]),
            start_s=float(options.start_s[case]),
            rise_s=float(options.rise_s[case]),
            hold_s=self.hold_s,
        )


def _named(programs: np.ndarray) -> np.ndarray:
    return np.array([p.name if isinstance(p, Program) else p for p in programs], dtype=object)


def listed(given: Any, default: Any) -> np.ndarray:
    """One entry or a list of them as an object array; None is the default."""
    items = list(given) if isinstance(given, (list, tuple, np.ndarray)) else [given]
    array = np.empty(len(items), dtype=object)
    array[:] = [default if item is None else item for item in items]
    return array


def last_corners(controls: Controls, cases: int) -> np.ndarray:
    """Time after which no input of a case changes any more, s; -inf where none ever does."""
    last = np.full(cases, -np.inf)
    for program in controls.all():
        changing = (program.values != program.values[:1]).any(axis=0)
        last = np.maximum(last, np.where(changing, program.times.max(axis=0), -np.inf))
    return last
