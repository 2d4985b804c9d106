"""Two languages say the same things, with the same slots, and what is missing shows."""

import re

import pytest

from brightroot.base.errors import Refused
from brightroot.render import words as w

REASONS = re.findall(
    r"\w+",
    """plain near number no_unit unit missing name choice range out_of_range clock form unlike gap supply rod metal filler
    pipe schedule methanol chlorinated conflict not_finite never target_under_floor looser joint taken arc_on""",
)
CAUTIONS = re.findall(r"\w+", "word argon argon_inside cylinder fines solvent solvent_dry light hot")


def test_both_languages_say_every_id():
    assert w.missing_ids() == {}


def test_both_languages_have_the_same_slots():
    english, spanish = w.words("en").sentences, w.words("es").sentences
    differ = {i for i in english.keys() & spanish.keys() if w.slots_of(english[i]) != w.slots_of(spanish[i])}
    assert differ == set()


@pytest.mark.parametrize("language", w.LANGUAGES)
def test_reasons_and_cautions_are_there(language):
    ids = [*(f"refused.{r}" for r in REASONS), *(f"caution.{c}" for c in CAUTIONS)]
    assert [i for i in ids if not w.words(language).has(i)] == []


@pytest.mark.parametrize("language", w.LANGUAGES)
@pytest.mark.parametrize("reason", REASONS)
def test_no_refusal_leaves_a_slot_open(language, reason):
    refused = Refused(field="gap_m", wanted="WANTED", got="GOT", near=("3.2 mm",), reason=f"refused.{reason}")
    said = w.say_refused(refused, language)
    assert "{" not in said and "«gap" not in said and "«wanted»" not in said
    assert "3.2 mm" in said


def test_no_verdict_word_is_used():
    # the paper that comes with a heat or a cylinder is «el certificado»; a joint is never «certificada»
    banned = r"certified|compliant|safe to enter|validated|(?<!\bel )(?<!\bdel )certificad|apto para entrar"
    said = " ".join(s.lower() for language in w.LANGUAGES for s in w.words(language).sentences.values())
    assert re.findall(banned, said) == []


def test_english_stands_in_and_nothing_is_invented():
    half = w.Words("es", {}, {"only.english": "in English, {who}"})
    assert half.say("only.english", who="W-07") == "in English, W-07"
    assert half.say("nowhere") == "«nowhere»"
    assert half.say("only.english") == "in English, «who»"
    assert not half.has("only.english")


def test_typed_braces_are_not_filled():
    words = w.Words("en", {}, {"a": "{got} {wanted}"})
    assert words.say("a", got="{wanted}", wanted="mm") == "{wanted} mm"


def test_wanted_is_said_in_the_persons_language():
    spanish = w.words("es")
    assert spanish.wanted("a number and one of mm, in") == "un número y una de mm, in"
    assert spanish.wanted("one of A1, A2 or all") == "uno de A1, A2, o all"
    assert spanish.wanted("something nobody foresaw") == "something nobody foresaw"
    every = w.words("en").sentences
    wanted = [i for i in every if i.startswith("wanted.")]
    # each English pattern is read by itself and not by a looser one above it
    wrong = [i for i in wanted if w.words("en").wanted(every[i]) != every[i] or _read_as(every[i]) != i]
    assert wrong == []


def _read_as(sentence):
    spanish = w.words("es")
    fitting = [i for i, s in spanish.english.items() if i.startswith("wanted.") and w._pattern(s).fullmatch(sentence)]
    return fitting[0]


def test_unknown_reason_and_language():
    odd = Refused(field="gap_m", wanted="mm", got="3", reason="refused.of_tomorrow")
    assert w.say_refused(odd) == w.words("en").say_refused(Refused(field="gap_m", wanted="mm", got="3"))
    with pytest.raises(Refused):
        w.words("xx")
