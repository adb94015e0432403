"""Errors of the model layer: bad input and ill-posed models."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from os import PathLike


class ModelError(ValueError):
    """Something about the model itself is wrong: its input or its structure."""

    def __reduce__(self) -> tuple:
        # Errors must reach the user from another process too, whatever their constructors ask for.
        return _again, (type(self), self.args, self.__dict__)


class MissingDataError(ModelError):
    """A study needs quantities that the vehicle file does not hold."""


class VehicleFileError(ModelError):
    """A vehicle file cannot be used; carries every fault found in it.

    Parameters
    ----------
    file : str
        File name as the user gave it.
    faults : sequence of str
        One complete sentence per fault: key, number, unit and remedy.
    """

    def __init__(self, file: str | PathLike, faults: list[str]) -> None:
        self.file = file
        self.faults = tuple(faults)
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        lines = "".join(f"\n  {fault}" for fault in self.faults)
        super().__init__(f"{file}: {count} in this vehicle file:{lines}")


def _again(kind: type[ModelError], args: tuple, attributes: dict) -> ModelError:
    error = kind.__new__(kind, *args)
    error.__dict__.update(attributes)
    return error
