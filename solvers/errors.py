"""Errors and named outcomes of the solvers."""

from enum import Enum
from typing import Any


class Status(Enum):
    """Outcome of a solve; the value is a sentence that tells the remedy."""

    CONVERGED = "converged"
    NOT_FINITE = "a residual or Jacobian entry is not a finite number; check the inputs named in the equations"
    DIVERGED = "the residual stopped falling; start nearer to the solution or continue from a solved case"
    OUT_OF_ITERATIONS = "the iteration limit was reached; raise it or start nearer to the solution"
    SINGULAR = "the Jacobian is singular; two unknowns are not told apart here (a fold, or a locked mechanism)"
    REJECTED = "the solution lies on another assembly branch or outside the bounds"
    STEP_TOO_SMALL = "the step size fell below its limit; the curve or motion turns too sharply here"
    INCONSISTENT_START = "the start does not satisfy the constraints; start from a solved pose with speeds that fit it"
    CLOSED = "the curve closes on itself and leads no further; a snap at one of its folds leaves it"
    WRONG_SIZE = "the state has not as many numbers as the motion; start from a state that this motion made"
    ENDED_AT_START = "the motion is already past an end condition at its start; start before it"
    OUT_OF_STEPS = "the limit on the number of steps was reached; raise it or loosen the tolerance"

    @property
    def success(self) -> bool:
        """True for a converged solve."""
        return self is Status.CONVERGED


class SolverError(ArithmeticError):
    """A solve failed; carries the best iterate so that a caller can look or go on.

    Parameters
    ----------
    status : Status
    result : object
        The failed result: state, residual by equation name, history.
    """

    def __init__(self, status: "Status | None", message: str, result: Any = None) -> None:
        self.status = status
        self.result = result
        super().__init__(message)

    def __reduce__(self) -> tuple:
        # Errors must reach the user from another process too, whatever their constructors ask for.
        return _again, (type(self), self.args, self.__dict__)


def _again(kind: type, args: Any, attributes: Any) -> Any:
    error = kind.__new__(kind, *args)
    error.__dict__.update(attributes)
    return error
