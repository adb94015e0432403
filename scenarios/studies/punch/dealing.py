"""The cases of a batch of punches dealt out on an executor, in the side view and in space."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.studies.pieces import finished, shares

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.many import PunchesOptions


def share_out(
    run: Callable,
    result: Any,
    names: tuple[str, ...],
    work: tuple[list[Vehicle], np.ndarray, PunchesOptions],
    executor: Executor,
    progress: Callable | None,
) -> Any:
    """Deal the cases out in turn, so that every piece holds sudden and slow, steep and flat ones.

    Parameters
    ----------
    run : callable
        `run(fleet, which, options)` runs a piece.
    result : PunchMany or WheelsMany
        Empty, to be filled.
    names : sequence of str
        Its arrays.
    work : triple
        Fleet, which vehicle each case is, options.
    """
    fleet, which, options = work
    done = 0
    count = shares(which.size)
    places = [np.arange(k, which.size, count) for k in range(count)]
    pieces = []
    for cases in places:
        used, local = np.unique(which[cases], return_inverse=True)
        pieces.append(([fleet[k] for k in used], local, options.of(cases)))
    for cases, part in zip(places, finished(run, pieces, executor), strict=True):
        for name in names:
            result.array(name)[cases] = part.array(name)
        for name, trace in part.traces.items():
            result.traces[name][:, cases] = trace
        done += cases.size
        if progress is not None:
            progress(done, which.size)
    return result
