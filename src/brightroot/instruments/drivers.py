"""Drivers from their folders, ours first, then the user's own; and the replay of the exchanges that each one brings."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from brightroot.base.errors import Broken, Refused
from brightroot.base.units import UNITS, dimension_of, read
from brightroot.instruments.answers import sample_of
from brightroot.instruments.driver import ENCODINGS, Driver, Exchange, RegisterAnswer, TextAnswer

OURS = Path(__file__).parent / "kinds"
MEASURES = ("oxygen_frac", "temperature_K", "room_oxygen_frac")


def load_drivers(*extra_folders: Path) -> Mapping[str, Driver]:
    """Every driver by its folder's name. Raises Broken naming the file and the cell that does not check."""
    found: dict[str, Driver] = {}
    for root in (OURS, *extra_folders):
        for path in sorted(root.glob("*/driver.toml")):
            found[path.parent.name] = _driver(path)
    return found


def replay(driver: Driver) -> tuple[str, ...]:
    """Each recorded exchange answered again: one sentence for every answer that is not what it was said to mean."""
    wrong = []
    for exchange in driver.exchanges:
        answer = _answer(driver, exchange.got)
        try:
            made = sample_of(driver, answer, at_s=0.0)
            told = made.state if made.value is None else made.value
        except Refused:
            told = "refused"
        meant = exchange.means
        if told != meant and not (isinstance(told, float) and told == _value(driver, meant)):
            wrong.append(f"{driver.id}: {exchange.got!r} should mean {meant!r}; it was read as {told!r}")
    return tuple(wrong)


def _value(driver: Driver, text: str) -> float | None:
    try:
        return read(text, field=driver.measures).value
    except Refused:
        return None


def _answer(driver: Driver, text: str) -> str | list[int]:
    """A recorded answer as it came: a line, or registers as numbers in hexadecimal."""
    return [int(word, 16) for word in text.split()] if driver.speaks == "registers" else text


def _driver(path: Path) -> Driver:
    where = f"{path.parent.parent.name}/{path.parent.name}/driver.toml"
    try:
        told: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise Broken(where=where, wanted="a TOML file", got=str(fault)) from fault
    for name in ("title", "speaks", "measures", "unit", "answer", "exchange"):
        if not told.get(name):
            raise Broken(where=f"{where}, {name}", wanted="a value", got="nothing")
    if told["measures"] not in MEASURES:
        raise Broken(where=f"{where}, measures", wanted=f"one of {', '.join(MEASURES)}", got=str(told["measures"]))
    if told["unit"] not in UNITS[dimension_of(told["measures"])]:
        wanted = f"one of {', '.join(UNITS[dimension_of(told['measures'])])}"
        raise Broken(where=f"{where}, unit", wanted=wanted, got=str(told["unit"]))
    if told["speaks"] not in ("lines", "registers", "messages"):
        raise Broken(where=f"{where}, speaks", wanted="lines, registers or messages", got=str(told["speaks"]))
    answer = _register(told["answer"], where) if told["speaks"] == "registers" else _line(told["answer"], where)
    return Driver(
        id=path.parent.name,
        title=str(told["title"]),
        speaks=told["speaks"],
        measures=told["measures"],
        unit=told["unit"],
        answer=answer,
        exchanges=tuple(Exchange(str(one["got"]), str(one["means"])) for one in told["exchange"]),
    )


def _line(told: Mapping[str, Any], where: str) -> TextAnswer:
    try:
        named = re.compile(told["pattern"]).groupindex
    except (re.error, KeyError, TypeError) as fault:
        raise Broken(where=f"{where}, answer.pattern", wanted="a regular expression", got=str(fault)) from fault
    if "value" not in named:
        raise Broken(where=f"{where}, answer.pattern", wanted="a group named value", got=told["pattern"])
    words = {name: tuple(map(str, told.get(name, ()))) for name in ("over", "under", "none")}
    return TextAnswer(told["pattern"], str(told.get("ask", "")), **words)


def _register(told: Mapping[str, Any], where: str) -> RegisterAnswer:
    if told.get("encoding") not in ENCODINGS:
        wanted = f"one of {', '.join(ENCODINGS)}"
        raise Broken(where=f"{where}, answer.encoding", wanted=wanted, got=str(told.get("encoding")))
    try:
        return RegisterAnswer(
            at=int(told["at"]),
            encoding=told["encoding"],
            scale=Fraction(str(told.get("scale", "1"))),
            low=float(told["low"]),
            high=float(told["high"]),
            low_word_first=bool(told.get("low_word_first", False)),
            input_registers=bool(told.get("input_registers", False)),
            over=tuple(int(value) for value in told.get("over", ())),
        )
    except (KeyError, ValueError, TypeError) as fault:
        raise Broken(where=f"{where}, answer", wanted="at, encoding, low and high", got=repr(fault)) from fault
