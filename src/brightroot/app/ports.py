"""What the use cases need from outside: a store for logs, a clock, and the shop's own name for who is writing."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from brightroot.live.course import Course
from brightroot.model.event import Event
from brightroot.model.library import Library


class LogStore(Protocol):
    """Append-only logs and the blocks that events cite by hash. `append` answers only once the event is on disk."""

    def append(
        self,
        joint: str,
        at_utc: str,
        by: str,
        kind: str,
        data: Mapping[str, Any],
        corrects: str = "",
        client_id: str = "",
        version: int = 1,
        device: str = "",
        tap: Any = None,
    ) -> Event: ...
    def events(self, joint: str) -> tuple[Event, ...]: ...
    def stored(self, joint: str) -> tuple[bytes, ...]: ...
    def watch(self, joint: str) -> Callable[[], int]: ...
    def joints(self) -> tuple[str, ...]: ...
    def joints_of(self, stamp: str) -> tuple[str, ...]: ...
    def logs(self, under: str = "") -> tuple[str, ...]: ...
    def events_of(self, kinds: Sequence[str], *, by: str) -> tuple[Event, ...]: ...
    def proof(self, joint: str) -> Mapping[str, Any]: ...
    def receipt(self, event: Event) -> Mapping[str, Any]: ...
    def put_attachment(self, content: bytes, media_type: str) -> str: ...
    def attachment(self, sha256: str) -> tuple[bytes, str] | None: ...


@dataclass(frozen=True, slots=True)
class Place:
    """Where the work is done: the facts, the logs, and a clock in seconds since 1970."""

    library: Library
    store: LogStore
    now_s: Callable[[], float]
    memory: dict[str, Course] = field(default_factory=dict, compare=False, repr=False)  # may be forgotten at any time
