"""How long a log is, asked many times a second: counted when something was written here, and now and then anyway."""

from __future__ import annotations

import time
from collections.abc import Callable

ELSEWHERE_S = 2.0  # another program may write into the same file: counted again after so long


class Lengths:
    """The number of events of each log that somebody watches. `count` asks the file."""

    def __init__(self, count: Callable[[str], int]) -> None:
        self._count = count
        self._known: dict[str, tuple[float, int]] = {}

    def of(self, joint: str) -> int:
        """The length, at most `ELSEWHERE_S` old, and never older than what this program wrote itself."""
        now_s = time.monotonic()
        at_s, length = self._known.get(joint, (-ELSEWHERE_S, 0))
        if now_s - at_s < ELSEWHERE_S:
            return length
        length = self._count(joint)
        self._known[joint] = now_s, length
        return length

    def written(self, joint: str) -> None:
        """Something was written into that log: what is known of its length is old."""
        self._known.pop(joint, None)

    def forget(self) -> None:
        """Something was written somewhere."""
        self._known.clear()
