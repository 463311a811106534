"""Many like tasks on whatever executor the caller brings: answers in order, progress, Ctrl-C, workers that die."""
from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from . import _check
from .errors import Error

# Pools and processes are imported where one is used: they take longer than all else that importing this package does.
if TYPE_CHECKING:
    import concurrent.futures

Task = TypeVar("Task")
Answer = TypeVar("Answer")

_HEARD_WITHIN_S = 0.2  # Ctrl-C
_IN_FLIGHT = 64  # tasks handed over at a time: enough for many workers, few enough to stop quickly


class Halted(Exception):
    """Ctrl-C came. `answers` holds what was finished, by index."""

    def __init__(self, answers: dict[int, Any]) -> None:
        super().__init__()
        self.answers = answers


class Progress:
    """A line on stderr that overwrites itself, on a terminal only."""

    def __init__(self, total: int, what: str, shown: bool | None) -> None:
        self._total, self._what = total, what
        self._shown = sys.stderr.isatty() if shown is None else shown
        self._began = self._last = time.monotonic()
        self._wide = 0

    def tell(self, done: int) -> None:
        now = time.monotonic()
        if not self._shown or (now - self._last < 0.2 and done < self._total):
            return
        self._last = now
        line = f"{done} of {self._total} {self._what}"
        left = (now - self._began) / done * (self._total - done) if done else 0
        if left >= 3:
            line += f", about {left:.0f} s left" if left < 90 else f", about {left / 60:.0f} min left"
        sys.stderr.write("\r" + line.ljust(self._wide))
        sys.stderr.flush()
        self._wide = max(self._wide, len(line))

    def end(self) -> None:
        """Wipes the line."""
        if self._wide:
            sys.stderr.write("\r" + " " * self._wide + "\r")
            sys.stderr.flush()
            self._wide = 0


class _CtrlC:
    """Ctrl-C as a flag, on the main thread. Raised at any moment it could leave a lock of the executor held, and its workers waiting for that for ever.
    Where the caller has a handler of their own, or at the second Ctrl-C, it is raised as ever."""

    def __enter__(self) -> _CtrlC:
        self.came = self._ours = False
        if threading.current_thread() is threading.main_thread() and signal.getsignal(signal.SIGINT) is signal.default_int_handler:
            signal.signal(signal.SIGINT, self._hear)
            self._ours = True
        return self

    def __exit__(self, *_: object) -> None:
        if self._ours:
            signal.signal(signal.SIGINT, signal.default_int_handler)

    def _hear(self, *_: object) -> None:
        if self.came:
            raise KeyboardInterrupt
        self.came = True

    def obey(self) -> None:
        if self.came:
            raise KeyboardInterrupt


def check_executor(executor: object) -> None:
    """An executor has `submit`; a class of one has not been made yet."""
    if executor is not None and (isinstance(executor, type) or not callable(getattr(executor, "submit", None))):
        _check.refuse("executor", _check.Words(repr(executor)[:60]), "a concurrent.futures.Executor, or None for threads of this process",
                      "for example ProcessPoolExecutor(4), or a Dask client's get_executor()")


def _worked(function: Callable[[Task], Answer], task: Task) -> Answer:
    """One task, wherever it is run. A terminal sends Ctrl-C to worker processes as well; it is the caller's to answer, so they leave it alone."""
    import multiprocessing

    if multiprocessing.parent_process() is not None and threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    return function(task)


def run(function: Callable[[Task], Answer], tasks: Sequence[Task], executor: concurrent.futures.Executor | None, *, what: str, size: Callable[[Task], int],
        progress: bool | None, notes: list[str]) -> dict[int, Answer]:
    """function(task) for each task; answers by the task's index. Neither the executor nor its number of workers tells on the answers.

    The engine lets go of Python's lock, so without an executor threads of this process do the work, one a core. Where a pool of processes breaks because
    one of them died, a fresh pool takes what was lost, once, and a note says so. `size` is how much of the total a task counts for; `notes` gathers lines to
    be read.

    Raises:
        Halted: Ctrl-C.
        Error: the fresh pool broke too.
    """
    import concurrent.futures

    answers: dict[int, Answer] = {}
    told = Progress(sum(map(size, tasks)), what, progress)
    own: concurrent.futures.Executor | None = None
    if executor is None:
        executor = own = concurrent.futures.ThreadPoolExecutor(os.cpu_count() or 1)
    left = list(range(len(tasks)))
    with _CtrlC() as ctrl_c:
        try:
            try:
                _through(function, tasks, left, executor, answers, told, size, ctrl_c)
            except concurrent.futures.BrokenExecutor:
                lost = [i for i in left if i not in answers]
                notes.append(f"A worker died after {len(answers)} of {len(tasks)} tasks; a fresh pool did the rest.")
                own = concurrent.futures.ProcessPoolExecutor(os.cpu_count() or 1)
                try:
                    _through(function, tasks, lost, own, answers, told, size, ctrl_c)
                except concurrent.futures.BrokenExecutor:
                    raise Error(f"Workers died, and died again in a fresh pool, after {len(answers)} of {len(tasks)} tasks. Is there memory enough for "
                                f"{os.cpu_count() or 1} at a time?") from None
        except KeyboardInterrupt:
            raise Halted(answers) from None
        finally:
            told.end()
            if own is not None:
                own.shutdown(wait=True, cancel_futures=True)
    return answers


def _through(function: Callable[[Task], Answer], tasks: Sequence[Task], todo: Sequence[int], executor: concurrent.futures.Executor,
             answers: dict[int, Answer], told: Progress, size: Callable[[Task], int], ctrl_c: _CtrlC) -> None:
    import concurrent.futures

    waiting: dict[concurrent.futures.Future[Answer], int] = {}
    queue = iter(todo)
    done = sum(size(tasks[i]) for i in answers)
    try:
        while True:
            ctrl_c.obey()
            while len(waiting) < _IN_FLIGHT and (index := next(queue, None)) is not None:
                waiting[executor.submit(_worked, function, tasks[index])] = index
            if not waiting:
                return
            finished, _ = concurrent.futures.wait(waiting, timeout=_HEARD_WITHIN_S, return_when=concurrent.futures.FIRST_COMPLETED)
            broken: BaseException | None = None
            for future in finished:
                index = waiting.pop(future)
                fault = future.exception()
                if isinstance(fault, concurrent.futures.BrokenExecutor):
                    broken = fault  # others of this batch may still have been finished
                elif fault is not None:
                    raise fault
                else:
                    answers[index] = future.result()
                    done += size(tasks[index])
            if finished:
                told.tell(done)
            if broken is not None:
                raise broken
    finally:
        for future in waiting:
            future.cancel()
