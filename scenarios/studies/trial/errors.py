"""Errors of blinded trials; each carries every fault found."""

from __future__ import annotations

from collections.abc import Sequence

from noseload.model.errors import ModelError


class TrialError(ModelError):
    """Something about a trial cannot be used; lists every fault at once.

    Parameters
    ----------
    where : str
        What the faults are in: a file, or the options of the plan.
    faults : sequence of str
        One complete sentence each: what, number, unit and remedy.
    """

    def __init__(self, where: str, faults: Sequence[str]) -> None:
        self.where, self.faults = where, tuple(faults)
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(f"{where}: {count}:" + "".join(f"\n  {fault}" for fault in self.faults))


class TrialPlanError(TrialError):
    """A trial cannot be planned as asked."""


class TrialFileError(TrialError):
    """A plan or a key cannot be read."""


class SealError(TrialError):
    """Something is not what was sealed before run 1."""


class ReadingsError(TrialError):
    """A sheet of readings cannot be used."""
