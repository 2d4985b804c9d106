"""One thread writes. Whatever is waiting when it is free is committed together, so many hands cost one flush."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import dataclass, field
from queue import Empty, SimpleQueue
from threading import Lock, Thread
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine

from brightroot.store.engine import writing

T = TypeVar("T")
TOGETHER = 200  # jobs in one commit at most


@dataclass(frozen=True, slots=True)
class _Job:
    work: Callable[[Connection], Any]
    done: Future[Any] = field(default_factory=Future)


@dataclass(frozen=True, slots=True)
class _Failed:
    fault: Exception


class Writer:
    """Runs pieces of work on the file, one after the other, each whole or not at all."""

    def __init__(self, engine: Engine) -> None:
        self._engine = writing(engine)
        self._jobs: SimpleQueue[_Job | None] = SimpleQueue()
        self._closing = Lock()
        self._open = True
        self._thread = Thread(target=self._run, name="store writer", daemon=True)
        self._thread.start()

    def run(self, work: Callable[[Connection], T]) -> T:
        """Do the work and return its answer, once the commit is on disk. Raises what the work or the commit raised."""
        job = _Job(work)
        with self._closing:
            if not self._open:
                raise RuntimeError("the store is closed")
            self._jobs.put(job)
        answer: T = job.done.result()
        return answer

    def close(self) -> None:
        """Finish what is waiting, then stop."""
        with self._closing:
            if self._open:
                self._open = False
                self._jobs.put(None)
        self._thread.join()

    def _run(self) -> None:
        while True:
            jobs = self._waiting()
            work = [job for job in jobs if job is not None]
            if work:
                self._commit(work)
            if None in jobs:
                return

    def _waiting(self) -> list[_Job | None]:
        jobs = [self._jobs.get()]
        with suppress(Empty):
            while len(jobs) < TOGETHER and jobs[-1] is not None:
                jobs.append(self._jobs.get_nowait())
        return jobs

    def _commit(self, jobs: list[_Job]) -> None:
        try:
            with self._engine.begin() as connection:
                answers = [_tried(job, connection) for job in jobs]
        except Exception as fault:  # nothing of this commit is on disk: everybody who waits must hear it
            for job in jobs:
                job.done.set_exception(fault)
            return
        for job, answer in zip(jobs, answers, strict=True):
            if isinstance(answer, _Failed):
                job.done.set_exception(answer.fault)
            else:
                job.done.set_result(answer)


def _tried(job: _Job, connection: Connection) -> Any:
    """The answer of one piece of work, or what it raised; its own changes are then taken back, not the others'."""
    try:
        with connection.begin_nested():
            return job.work(connection)
    except Exception as fault:
        return _Failed(fault)
