"""An instrument's answer to a Sample. What is no answer of its kind is refused by name, never taken for a number."""

from __future__ import annotations

import json
import re
import struct
from collections.abc import Sequence
from fractions import Fraction

from brightroot.base.errors import Refused
from brightroot.base.units import dimension_of, read, to_si
from brightroot.instruments.driver import Driver, RegisterAnswer, TextAnswer
from brightroot.model.stream import Sample

_FORMS = {"uint16": ">H", "int16": ">h", "uint32": ">I", "int32": ">i", "float32": ">f"}


def sample_of(driver: Driver, answer: str | Sequence[int], *, at_s: float) -> Sample:
    """One answer as a sample. Raises Refused with the instrument's own text.

    A line that stops half way is none: it is for the source to hand over whole lines only.
    """
    if isinstance(driver.answer, RegisterAnswer):
        if isinstance(answer, str):
            raise Refused(field=driver.id, wanted="registers", got=answer)
        return _registers(driver, driver.answer, tuple(answer), at_s)
    if not isinstance(answer, str):
        raise Refused(field=driver.id, wanted="a line of text", got=str(list(answer)))
    return _text(driver, driver.answer, answer, at_s)


def message_text(payload: bytes, path: str = "") -> str:
    """The text of a message: as it stands, or the value at `path` (`a.b`) of a JSON object."""
    text = payload.decode("utf-8", "replace").strip()
    if not path:
        return text
    try:
        found = json.loads(text)
        for name in path.split("."):
            found = found[name]
    except (ValueError, KeyError, TypeError):
        raise Refused(field=path, wanted="an object with that value", got=text[:80]) from None
    return str(found)


def _text(driver: Driver, kind: TextAnswer, line: str, at_s: float) -> Sample:
    told = line.strip()
    for words, state in ((kind.over, "over range"), (kind.under, "under range"), (kind.none, "no digits")):
        if told in words:
            return Sample(at_s, None, state)
    match = re.fullmatch(kind.pattern, told)
    if match is None:
        raise Refused(field=driver.id, wanted=f"a line like {driver.exchanges[0].got}", got=told[:80] or "nothing")
    unit = match.groupdict().get("unit") or driver.unit
    return Sample(at_s, read(f"{match['value']} {unit}", field=driver.measures).value)


def _registers(driver: Driver, kind: RegisterAnswer, words: tuple[int, ...], at_s: float) -> Sample:
    form = _FORMS[kind.encoding]
    count = struct.calcsize(form) // 2
    if len(words) != count or any(not 0 <= word <= 0xFFFF for word in words):
        raise Refused(field=driver.id, wanted=f"{count} registers of 16 bits", got=str(list(words)))
    ordered = words[::-1] if kind.low_word_first else words
    raw = struct.unpack(form, struct.pack(f">{count}H", *ordered))[0]
    if raw in kind.over:
        return Sample(at_s, None, "over range")
    if raw != raw or raw in (float("inf"), float("-inf")):
        raise Refused(field=driver.id, wanted=f"{kind.low:g} to {kind.high:g} {driver.unit}", got=str(raw))
    number = Fraction(raw) * kind.scale
    if not kind.low <= number <= kind.high:
        got = f"{float(number):g} {driver.unit}"
        raise Refused(field=driver.id, wanted=f"{kind.low:g} to {kind.high:g} {driver.unit}", got=got)
    return Sample(at_s, to_si(number, unit=driver.unit, dimension=dimension_of(driver.measures)))
