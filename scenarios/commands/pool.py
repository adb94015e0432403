"""Processes that share the work of a command."""

import contextlib
import multiprocessing
import signal
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from typing import Any


class Pool:
    """So many processes, to which a study submits its pieces; they leave Ctrl-C to the process of the command."""

    def __init__(self, count: int) -> None:
        self._executor = ProcessPoolExecutor(count, initializer=_ignore_interruptions)
        self._asked: list[Future] = []

    def submit(self, function: Any, *arguments: Any) -> Future:
        """Begin ``function(*arguments)`` in one of the processes."""
        with _interruptions_wait():
            self._asked.append(self._executor.submit(function, *arguments))
        return self._asked[-1]

    def close(self) -> None:
        """End the processes; after an interruption nobody waits for pieces that are under way."""
        if any(future.running() for future in self._asked):
            for process in multiprocessing.active_children():
                process.terminate()
        self._executor.shutdown(cancel_futures=True)


def _ignore_interruptions() -> None:
    """What each process does first; one that came while it began, and had to wait, is dropped."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})


@contextlib.contextmanager
def _interruptions_wait() -> Iterator[None]:
    """Processes that begin here inherit that Ctrl-C waits, until they ignore it; here it is heard right after."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
