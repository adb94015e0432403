"""Root of a scalar function in a bracket, without SciPy so that short commands start fast."""

from collections.abc import Callable
from typing import Any

from .errors import SolverError, Status


def bracketed_root(
    function: Callable[..., Any],
    a: float,
    b: float,
    fa: float,
    fb: float,
    *,
    tolerance: float = 1e-13,
    max_iterations: int = 100,
) -> float:
    """Root by inverse quadratic interpolation kept inside a shrinking bracket.

    T. R. Chandrupatla, 'A new hybrid quadratic/bisection algorithm for finding the zero of a
    nonlinear function', *Advances in Engineering Software* 28 (1997) 145.

    Parameters
    ----------
    function : callable
    a, b : float
        Ends of the bracket.
    fa, fb : float
        Values there, of opposite sign or zero.
    tolerance : float
        Width of the last bracket relative to the first.

    Returns
    -------
    float

    Raises
    ------
    SolverError
        The values have the same sign, a value is not finite, or the iterations ran out.
    """
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if not fa * fb < 0.0:
        raise SolverError(Status.REJECTED, f"no sign change between {a:g} ({fa:g}) and {b:g} ({fb:g})")
    width = tolerance * abs(b - a)
    t = 0.5
    for _ in range(max_iterations):
        x = a + t * (b - a)
        fx = function(x)
        if fx != fx or fx in (float("inf"), float("-inf")):
            raise SolverError(Status.NOT_FINITE, f"the function is not finite at {x:g} inside the bracket")
        if (fx > 0.0) == (fa > 0.0):
            c, fc = a, fa
        else:
            c, b, fc, fb = b, a, fb, fa
        a, fa = x, fx
        best = a if abs(fa) < abs(fb) else b
        if fa == 0.0 or abs(b - a) <= 2.0 * width:
            return best
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
            t = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        else:
            t = 0.5
        edge = width / abs(b - a)
        t = min(1.0 - edge, max(edge, t))
    raise SolverError(Status.OUT_OF_ITERATIONS, f"no root to {tolerance:g} of the bracket in {max_iterations} steps")
