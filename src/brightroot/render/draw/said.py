"""The few words a drawing sets itself. English here; a page in another language hands in its own."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

ENGLISH: Mapping[str, str] = MappingProxyType(
    {
        "open": "open",
        "outward": "inside to outside",
        "clockwise": "positions run clockwise",
        "up": "up",
        "six": "cut at six, unrolled",
        "run": "run",
        "to": "to",
        "no_runs": "no runs yet",
        "no_points": "nothing recorded yet",
        "done": "done",
        "now": "arc on",
        "next": "next",
        "planned": "planned",
        "hold": "hold",
        "doubtful": "doubtful",
        "refused": "refused",
        "tack": "tack",
        "temperature": "temperature",
        "gap": "gap",
        "photo": "photo",
        "stop": "stop",
        "defect": "defect",
        "oxygen": "oxygen",
        "root": "root",
        "hot": "hot",
        "fill": "fill",
        "cap": "cap",
        "early": "early",
        "likely": "likely",
        "late": "late",
    }
)


def say(said: Mapping[str, str], name: str) -> str:
    """The word, in the language given; the name itself where nobody has said it."""
    return said.get(name) or ENGLISH.get(name, name)
