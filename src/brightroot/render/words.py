"""What is said, in the person's language: message ids to sentences, from `words/<language>/*.toml`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from brightroot.base.errors import Broken, Refused
from brightroot.base.show import stem_of

LANGUAGES = ("en", "es")
_SLOT = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class Words:
    """The sentences of one language, and English behind them for what is not yet said in it."""

    language: str
    sentences: Mapping[str, str]
    english: Mapping[str, str]

    def has(self, message_id: str) -> bool:
        """Whether this very language says it."""
        return message_id in self.sentences

    def say(self, message_id: str, **params: Any) -> str:
        """The sentence with its slots filled; English where the language lacks it, «id» where English lacks it too.

        >>> words("en").say("no.such.sentence")
        '«no.such.sentence»'
        """
        sentence = self.sentences.get(message_id) or self.english.get(message_id)
        return f"«{message_id}»" if sentence is None else _filled(sentence, params)

    def say_refused(self, refused: Refused) -> str:
        """A refusal as a sentence: what it is about, what was wanted, what was got, and what lies near.

        >>> words("en").say_refused(Refused(field="gap_m", wanted="a number and one of mm, in", got="3.2"))
        'Gap: wanted a number and one of mm, in, got “3.2”.'
        """
        reason = refused.reason if refused.reason in self.english else "refused.plain"
        slots = {"field": self.field(refused.field), "wanted": self.wanted(refused.wanted), "got": refused.got}
        sentence = self.say(reason, **{**refused.params, **slots, "near": ", ".join(refused.near)})
        near = self.say("refused.near", near=", ".join(refused.near)) if refused.near else ""
        return f"{sentence} {near}".strip()

    def field(self, name: str) -> str:
        """The label of a field; the bare name where nobody has labelled it yet.

        >>> words("en").field("somewhere.odd_m")
        'Odd'
        """
        last = name.rsplit(".", 1)[-1]
        for label in (f"field.{name}", f"field.{last}", f"event_field.{last}"):
            if label in self.english:
                return self.say(label)
        return _plain(last)

    def wanted(self, text: str) -> str:
        """What was wanted, which the core says in English, in this language where its pattern is known."""
        for message_id, sentence in self.english.items():
            if message_id.startswith("wanted.") and (found := _pattern(sentence).fullmatch(text)):
                return self.say(message_id, **found.groupdict())
        return text


@cache
def words(language: str) -> Words:
    """The words of a language.

    >>> words("es").say("caution.word")
    'PRECAUCIÓN'
    """
    if language not in LANGUAGES:
        raise Refused(field="language", wanted=f"one of {', '.join(LANGUAGES)}", got=language, reason="refused.choice")
    return Words(language, _sentences(language), _sentences("en"))


def say_refused(refused: Refused, language: str = "en") -> str:
    """A refusal as a sentence in a language.

    >>> say_refused(Refused(field="odd_K", wanted="yes or no", got="20"), "es")
    'Odd: se esperaba sí o no; se recibió «20».'
    """
    return words(language).say_refused(refused)


def missing_ids() -> dict[str, tuple[str, ...]]:
    """For each language the ids that another language has and it has not. Empty where all say the same."""
    every = {message_id for language in LANGUAGES for message_id in _sentences(language)}
    gaps = {language: tuple(sorted(every - set(_sentences(language)))) for language in LANGUAGES}
    return {language: ids for language, ids in gaps.items() if ids}


def slots_of(sentence: str) -> frozenset[str]:
    """The names of the slots in a sentence.

    >>> sorted(slots_of("{got} is not {wanted}"))
    ['got', 'wanted']
    """
    return frozenset(_SLOT.findall(sentence))


@cache
def _sentences(language: str) -> Mapping[str, str]:
    """All files of the language's folder as one table. An id said twice is a fault in the data, never a quiet choice."""
    table: dict[str, str] = {}
    folder = resources.files("brightroot") / "words" / language
    for file in sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name):
        for message_id, sentence in _flat(tomllib.loads(file.read_text(encoding="utf-8"))):
            if message_id in table:
                raise Broken(where=f"words/{language}/{file.name}: {message_id}", wanted="said once", got="said twice")
            table[message_id] = sentence
    return table


def _flat(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, str]]:
    for name, value in table.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{name}.")
        else:
            yield f"{above}{name}", str(value)


def _filled(sentence: str, params: Mapping[str, Any]) -> str:
    """One pass, so that braces in what a person typed stay what they typed."""
    return _SLOT.sub(lambda slot: str(params[slot[1]]) if slot[1] in params else f"«{slot[1]}»", sentence)


@cache
def _pattern(sentence: str) -> re.Pattern[str]:
    """A sentence as the pattern that reads its slots back; a slot holds anything."""
    parts = _SLOT.split(sentence)
    return re.compile("".join(f"(?P<{part}>.+)" if i % 2 else re.escape(part) for i, part in enumerate(parts)))


def _plain(name: str) -> str:
    """A field's name read aloud, without the unit at its end."""
    return (stem_of(name) or name).replace("_", " ").capitalize()
