"""The cases of a batch of punches dealt out on an executor, in the side view and in space."""

import numpy as np

from noseload.studies.pieces import finished, shares


def share_out(run, result, names, work, executor, progress):
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
