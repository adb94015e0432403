"""Processes that share the work of a command."""

import multiprocessing
import signal
from concurrent.futures import Future, ProcessPoolExecutor
from typing import Any


class Pool:
    """So many processes, to which a study submits its pieces; they leave Ctrl-C to the process of the command."""

    def __init__(self, count: int):
        self._executor = ProcessPoolExecutor(count, initializer=signal.signal, initargs=(signal.SIGINT, signal.SIG_IGN))
        self._asked: list[Future] = []

    def submit(self, function: Any, *arguments: Any) -> Future:
        """Begin ``function(*arguments)`` in one of the processes."""
        self._asked.append(self._executor.submit(function, *arguments))
        return self._asked[-1]

    def close(self) -> None:
        """End the processes; after an interruption nobody waits for pieces that are under way."""
        if any(future.running() for future in self._asked):
            for process in multiprocessing.active_children():
                process.terminate()
        self._executor.shutdown(cancel_futures=True)
