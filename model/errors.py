"""Errors of the model layer: bad input and ill-posed models."""


class ModelError(ValueError):
    """Something about the model itself is wrong: its input or its structure."""


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

    def __init__(self, file, faults):
        self.file = file
        self.faults = tuple(faults)
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        lines = "".join(f"\n  {fault}" for fault in self.faults)
        super().__init__(f"{file}: {count} in this vehicle file:{lines}")
