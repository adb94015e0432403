"""Large work in pieces: one after the other here, or shared out on any executor."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

SMALLEST, LARGEST, AIMED_AT = 1000, 4000, 4
"""Punches of a piece: a step costs much the same for few and for many, so pieces are few unless the work is large."""


def finished(function: Callable[..., Any], pieces: Sequence[tuple], executor: Any = None) -> Iterator[Any]:
    """Results of ``function(*piece)`` in the order of the pieces, each as soon as it and those before it are done.

    Parameters
    ----------
    function : callable
        A plain function of a module, so that another process can find it.
    pieces : sequence of tuple
        Arguments, picklable.
    executor : concurrent.futures.Executor, optional
        Any will do, also that of a distributed engine. Left before the end, what has not begun is cancelled.
    """
    if executor is None:
        for piece in pieces:
            yield function(*piece)
        return
    futures = [executor.submit(function, *piece) for piece in pieces]
    try:
        for future in futures:
            yield future.result()
    finally:
        for future in futures:
            future.cancel()


def shares(cases: int) -> int:
    """Into how many pieces so many punches are dealt out on an executor; two at least where there are two."""
    size = min(max(cases / AIMED_AT, SMALLEST), LARGEST)
    return min(cases, max(2, -int(-cases // size)))
