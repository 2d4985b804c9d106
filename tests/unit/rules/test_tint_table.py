"""Colour by zone and width: the rows say what the clauses say, own rows only tighten, and no word sounds like a pass."""

import pytest

from brightroot.base.source import Standing
from brightroot.library.load import load_library
from brightroot.model.library import CodeRow
from brightroot.render.words import words
from brightroot.rules.tint_table import colour_rows, judge_colour

LIBRARY = load_library()
ISO, AWS = (LIBRARY.codes[name] for name in ("iso-9606-5/2000", "aws-g2.4/2014"))
COLOURS = ("silver", "light straw", "dark straw", "bronze", "purple", "dark blue", "light blue", "grey", "white")


def row(verdict, *colours, zone="anywhere", **more):
    cells = {"colours": list(colours), "zone": zone, "verdict": verdict, **more}
    return CodeRow("own", "colour", "our sheet", "ours", "practice/common", Standing.PRACTICE, cells)


@pytest.mark.parametrize("code", [ISO, AWS], ids=lambda code: code.id)
@pytest.mark.parametrize("zone", ["weld", "edge band"])
@pytest.mark.parametrize("colour", COLOURS)
def test_the_rows_say_what_the_clause_says(code, zone, colour):
    limit = next(c for c in code.clauses if c.fact == "bead_tint").limit
    phrase = colour if zone == "weld" else f"{colour}, {zone}"
    clause = "accepted" if phrase in limit["accept"] else "refused" if phrase in limit["refuse"] else "undecided"
    said = judge_colour(colour_rows(code), colour=colour, zone=zone).verdict
    assert said == clause or (clause == "undecided" and said in ("not said", "conditional"))


def test_every_row_has_its_source_and_standing():
    assert {r.standing for r in colour_rows(ISO)} == {Standing.PUBLISHED}
    assert {r.standing for r in colour_rows(AWS)} == {Standing.MEMORY}
    assert all(r.source in LIBRARY.sources for r in (*colour_rows(ISO), *colour_rows(AWS)))


def test_own_rows_tighten_and_never_loosen():
    rows = colour_rows(ISO)
    assert judge_colour(rows, colour="dark straw", own=[row("refused", "dark straw")]).verdict == "refused"
    assert judge_colour(rows, colour="bronze", own=[row("refused", "bronze")]).verdict == "refused"
    assert judge_colour(rows, colour="purple", own=[row("accepted", "purple")]).verdict == "refused"
    assert judge_colour(rows, colour="bronze", own=[row("accepted", "bronze")]).verdict == "not said"


def test_a_width_accepts_up_to_it_and_says_nothing_of_a_band_nobody_measured():
    rows = [row("accepted", "purple", zone="edge band", width_max_m=0.002)]
    verdicts = [judge_colour(rows, colour="purple", zone="edge band", width_m=w).verdict for w in (0.001, 0.003, None)]
    assert verdicts == ["accepted", "not said", "not said"]


def test_the_words_never_sound_like_a_pass():
    for language in ("en", "es"):
        said = words(language).say(judge_colour(colour_rows(ISO), colour="silver").says).lower()
        assert "no visible evidence" in said or "sin evidencia visible" in said
        assert not any(word in said for word in ("clean", "pass", "acceptable", "limpio", "apto"))


def test_a_second_signer_where_eyes_part():
    rows = colour_rows(ISO)
    assert not judge_colour(rows, colour="silver").second_signer
    assert judge_colour(rows, colour="dark straw").second_signer
    assert judge_colour(rows, colour="bronze").second_signer
    assert judge_colour(rows, colour="dark blue", zone="edge band").second_signer
