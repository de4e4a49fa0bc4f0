"""Processes to work in: started, kept busy with few tasks in flight, ended at once when stopped."""

import gc
import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager, suppress
from itertools import islice
from multiprocessing import connection
from threading import Thread
from typing import TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

SERIAL_BELOW = 6
"""Fewer tasks than this are quicker done here than in processes of their own."""
_DROPPED_WITHIN, _ENDED_WITHIN = 0.2, 2.0
"""How long the thread that keeps a pool may take to drop what is cancelled, and to end, s."""


@contextmanager
def pool_of(executor: Executor | None, workers: int, tasks: int) -> Iterator[Executor | None]:
    """Yield what to work in; processes of our own are ended at once when interrupted."""
    if executor is not None or workers < 2 or tasks < SERIAL_BELOW:
        yield executor
        return
    # begun anew, as every system can: a fork would take over our locks and threads
    spawn = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(workers, spawn, initializer=begin_worker)
    try:
        yield pool
    except BaseException:
        processes = list((getattr(pool, "_processes", None) or {}).values())
        keeper = getattr(pool, "_executor_manager_thread", None)
        pool.shutdown(wait=False, cancel_futures=True)
        if keeper is not None:  # it drops what is cancelled first: that cannot be told as broken
            keeper.join(_DROPPED_WITHIN)
        for process in processes:
            process.terminate()
        if keeper is not None:
            keeper.join(_ENDED_WITHIN)
        raise
    pool.shutdown()


def begin_worker() -> None:
    """Let the first process answer Ctrl-C, and end with it, however it ends.

    Nothing half written is left by a worker that ends: the next run ends what it had begun.
    """
    # a book is made without circles: looking for them all the time costs a twelfth of it
    gc.set_threshold(200_000, 20, 20)
    with suppress(ValueError):
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    if (parent := multiprocessing.parent_process()) is not None:
        Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(parent: int) -> None:
    connection.wait([parent])
    os._exit(1)


def each(
    pool: Executor | None, work: Callable[[Task], Result], tasks: Iterable[Task]
) -> Iterator[tuple[Task, Result]]:
    """Yield tasks with their results as they are done, few in flight so that memory stays flat."""
    if pool is None:
        for task in tasks:
            yield task, work(task)
        return
    most = _most(pool)
    flying: dict[Future[Result], Task] = {}
    rest = iter(tasks)
    try:
        while True:
            for task in islice(rest, most - len(flying)):
                flying[pool.submit(work, task)] = task
            if not flying:
                return
            finished, _ = wait(flying, return_when=FIRST_COMPLETED)
            for future in finished:
                yield flying.pop(future), future.result()
    finally:
        for future in flying:
            future.cancel()


def in_order(
    pool: Executor | None, work: Callable[[Task], Result], tasks: Iterable[Task]
) -> Iterator[Result]:
    """Yield the results of tasks in the order of these, few in flight so that memory stays flat."""
    if pool is None:
        yield from map(work, tasks)
        return
    flying: deque[Future[Result]] = deque()
    rest = iter(tasks)
    try:
        while True:
            flying.extend(
                pool.submit(work, task) for task in islice(rest, _most(pool) - len(flying))
            )
            if not flying:
                return
            yield flying.popleft().result()
    finally:
        for future in flying:
            future.cancel()


def _most(pool: Executor) -> int:
    """Return how many tasks are in flight at once."""
    return 4 * (getattr(pool, "_max_workers", None) or os.cpu_count() or 1)
