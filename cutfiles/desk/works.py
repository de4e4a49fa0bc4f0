"""Work done in processes of its own, so that pages go on: each in its turn, with an end to it.

A work is a function of a module and plain data; it runs in a process that is begun anew ("spawn").
One that takes too long is ended with its process, and the next finds a new one. A `Job` is a long
work that tells how far it is, and can be stopped.
"""

import asyncio
import multiprocessing
import queue
import threading
import traceback
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Any

from cutfiles.desk.limits import WAITING, WORK_SECONDS
from cutfiles.errors import ChangedError, CutfilesError, Defect, Fault, SlipError
from cutfiles.exhibit.workers import begin_worker

Work = Callable[..., Any]
Tell = Callable[[Any], None]
"""What a job is given first; it calls it with plain data, as often as it likes."""
_SPAWN: SpawnContext = multiprocessing.get_context("spawn")


class Busy(CutfilesError):
    """More is asked for than the desk does at once; it may well go in a minute."""


class TooLong(CutfilesError):
    """A work that was ended, for it took too long."""


class Works:
    """Processes that do one work after the other, begun when they are first needed.

    The one used last is taken first: another begins only once works overlap.
    """

    def __init__(self, count: int = 1, waiting: int = WAITING) -> None:
        """Have so many processes, and let so many works wait for one."""
        self._most = count + waiting
        self._under_way = 0
        self._free: queue.LifoQueue[_Worker] = queue.LifoQueue()
        self._workers = [_Worker() for _ in range(count)]
        for worker in self._workers:
            self._free.put(worker)

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return self._under_way == 0

    async def do(self, work: Work, *given: Any, seconds: float = WORK_SECONDS) -> Any:
        """Return what a work returns, done in another process.

        Raises:
            Busy: too many wait already.
            TooLong: it took longer than so many seconds, and was ended.
            CutfilesError: what the work itself refused.

        """
        if self._under_way >= self._most:
            raise Busy(
                f"{self._under_way} works under way",
                f"the desk does at most {self._most} at once",
                "wait until one is done, and try again",
            )
        self._under_way += 1
        # shielded: a client that goes away leaves its work to end by itself, and keeps its place
        task = asyncio.ensure_future(asyncio.to_thread(self._run, work, given, seconds))
        task.add_done_callback(self._done)
        return await asyncio.shield(task)

    async def warm(self, load: Work) -> None:
        """Begin a process, and let it load what its works take, before anybody waits."""
        with suppress(CutfilesError):
            await self.do(load)

    def _done(self, task: "asyncio.Future[Any]") -> None:
        self._under_way -= 1
        if not task.cancelled():
            task.exception()  # seen, though nobody may wait for it any more

    def _run(self, work: Work, given: tuple[Any, ...], seconds: float) -> Any:
        worker = self._free.get()
        try:
            return worker.run(work, given, seconds)
        finally:
            self._free.put(worker)

    def end(self) -> None:
        """End every process, whatever it does."""
        for worker in self._workers:
            worker.end()


class _Worker:
    """One process that waits for works."""

    def __init__(self) -> None:
        self._process: SpawnProcess | None = None
        self._line: Connection | None = None

    def run(self, work: Work, given: tuple[Any, ...], seconds: float) -> Any:
        line = self._begun()
        try:
            line.send((work, given))
            if not line.poll(seconds):
                self.end()
                raise TooLong(
                    f"a work of more than {seconds:g} s",
                    "it was ended, so that the desk goes on",
                    "try it with less at once",
                )
            return _taken(line.recv())
        except (EOFError, OSError):
            self.end()
            raise _ended() from None

    def _begun(self) -> Connection:
        if self._process is None or not self._process.is_alive() or self._line is None:
            self.end()
            self._line, theirs = _SPAWN.Pipe()
            self._process = _SPAWN.Process(target=_serve, args=(theirs,), daemon=True)
            self._process.start()
            theirs.close()
        return self._line

    def end(self) -> None:
        process, line = self._process, self._line
        self._process = self._line = None
        if process is not None:
            process.terminate()
            process.join(5)
        if line is not None:
            line.close()


def _serve(line: Connection) -> None:
    """Do works in a process of their own, until the line is closed."""
    begin_worker()
    while True:
        try:
            work, given = line.recv()
        except EOFError:
            return
        line.send(_result(work, given))


def _result(work: Work, given: tuple[Any, ...]) -> tuple[str, Any]:
    """Return what came of a work: plain data that goes over the line."""
    try:
        return "done", work(*given)
    except ChangedError as error:
        return "changed", error.faults
    except CutfilesError as error:
        return "refused", error.faults
    except Exception:  # whatever it is: told on the page, in full on the terminal
        traceback.print_exc()
        return "broken", None


def _taken(result: tuple[str, Any]) -> Any:
    kind, value = result
    if kind == "changed":
        one: Fault = value[0]
        raise ChangedError(one.found, one.needed, one.remedy, one.place, one.key)
    if kind == "refused":
        faults: tuple[Fault, ...] = value
        raise SlipError(faults)
    if kind == "broken":
        raise Defect(
            "a fault of the program",
            "nothing was written",
            "please report what the terminal shows of it",
        )
    return value


def _ended() -> Defect:
    return Defect("a process that ended", "its work was not done", "try it again")


class Job:
    """A long work in a process of its own: how far it is, how it ended, and a way to stop it.

    Its function is called with `Tell` before what it is given, and may start processes itself.
    """

    def __init__(self, work: Work, *given: Any) -> None:
        """Begin the work."""
        self.told: Any = None
        self.result: Any = None
        self.faults: tuple[Fault, ...] = ()
        self.state: str = "running"
        """running, done, refused or stopped."""
        self._line, theirs = _SPAWN.Pipe()
        self._process = _SPAWN.Process(target=_serve_job, args=(theirs, work, given))
        self._process.start()
        theirs.close()
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def _listen(self) -> None:
        kind, value = "told", None
        while kind == "told":
            self.told = value if value is not None else self.told
            try:
                kind, value = self._line.recv()
            except (EOFError, OSError):
                kind, value = "ended", None
        try:
            self.result = _taken((kind, value)) if kind != "ended" else None
        except CutfilesError as error:
            self.faults = error.faults
        if self.state == "running":
            self.state = "refused" if self.faults else "done" if kind == "done" else "stopped"

    def stop(self) -> None:
        """End it; what it had written stays as after any run that was stopped."""
        if self.state == "running":
            self.state = "stopped"
        self._process.terminate()

    def wait(self, seconds: float | None = None) -> None:
        """Wait until it has ended, or so long."""
        self._thread.join(seconds)


def _serve_job(line: Connection, work: Work, given: tuple[Any, ...]) -> None:
    begin_worker()

    def tell(value: Any) -> None:
        line.send(("told", value))

    line.send(_result(work, (tell, *given)))
