"""How one kind of instrument speaks: what is asked, and how its answer is read. Data, from a folder of its own."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

ENCODINGS = ("uint16", "int16", "uint32", "int32", "float32")


@dataclass(frozen=True, slots=True)
class TextAnswer:
    """A line of text. `pattern` has a group `value` and may have `unit`; the words are what it shows without a number."""

    pattern: str
    ask: str = ""  # what is sent to get a line; "" where the instrument talks by itself
    over: tuple[str, ...] = ()
    under: tuple[str, ...] = ()
    none: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RegisterAnswer:
    """Sixteen-bit registers. A value outside low..high is refused: it is no reading of such an instrument."""

    at: int
    encoding: str
    scale: Fraction
    low: float
    high: float
    low_word_first: bool = False
    input_registers: bool = False
    over: tuple[int, ...] = ()  # raw values that mean over range


@dataclass(frozen=True, slots=True)
class Exchange:
    """A recorded answer and what it means: a reading as typed, a state, or that it has to be refused."""

    got: str
    means: str


@dataclass(frozen=True, slots=True)
class Driver:
    """One kind of instrument. `unit` is that of a bare number; `answer` says how it is read."""

    id: str
    title: str
    speaks: str  # lines | registers | messages
    measures: str
    unit: str
    answer: TextAnswer | RegisterAnswer
    exchanges: tuple[Exchange, ...] = ()
