"""Own rules tighten; looser ones are refused with both limits."""

import dataclasses

import pytest

from brightroot.base.errors import Refused
from brightroot.base.source import Standing
from brightroot.library.load import load_library
from brightroot.model.library import Clause, Code
from brightroot.rules.own import tightening

CODES = load_library().codes
B31 = CODES["asme-b31.3/2018"]


def own(check, fact, limit, table="", tables=None):
    clause = Clause("own", "W 4", "Own", check, fact, "Ours.", "own", Standing.PRACTICE, limit=limit, table=table)
    return Code("own/1", "Own", "1", "", "", (clause,), tables or {})


def allowed(rules):
    try:
        return tightening(own=rules, codes=tuple(CODES.values())) is rules
    except Refused as refused:
        assert refused.reason == "refused.looser"
        return False


@pytest.mark.parametrize(
    ("check", "fact", "limit", "wanted"),
    [
        ("at_most", "undercut_depth_m", "0.5 mm", True),
        ("at_most", "undercut_depth_m", "1 mm", True),
        ("at_most", "undercut_depth_m", "1/32 in", True),
        ("at_most", "undercut_depth_m", "1.1 mm", False),
        ("at_most", "undercut_depth_m", {"fact": "thinner_wall_m"}, False),
        ("ratio", "undercut_depth_m", {"of": "thinner_wall_m", "at_most": "1/8"}, True),
        ("ratio", "undercut_depth_m", {"of": "thinner_wall_m", "at_most": "1/3"}, False),
        ("ratio", "undercut_depth_m", {"of": "outer_diameter_m", "at_most": "1/8"}, False),
        ("equals", "crack", "none", True),
        ("equals", "crack", "seen", False),
        ("one_of", "bead_tint", ["silver"], True),
        ("one_of", "bead_tint", ["silver", "purple"], False),
        ("one_of", "bead_tint", {"accept": ["silver"], "refuse": ["grey"]}, False),
        ("at_most", "prepared_before_arc_s", "8 h", True),
        ("at_least", "prepared_before_arc_s", "-1 h", False),
    ],
)
def test_tighter_or_refused(check, fact, limit, wanted):
    assert allowed(own(check, fact, limit)) is wanted


def test_a_table_row_by_row():
    limit = {"by": "thinner_wall_m", "column": "height"}
    rows = B31.tables["height"]
    tighter = tuple({**row, "height": "1 mm"} for row in rows)
    looser = (*rows[:-1], {**rows[-1], "height": "6 mm"})
    for table, wanted in ((rows, True), (tighter, True), (looser, False), (rows[:-1], False)):
        assert allowed(own("table_lookup", "reinforcement_height_m", limit, "height", {"height": table})) is wanted


def test_both_ends_of_a_stretch():
    clause = dataclasses.replace(B31.clauses[0], check="between", fact="gap_m", limit={"low": "1 mm", "high": "3 mm"})
    code = dataclasses.replace(B31, clauses=(clause,))
    for low, high, wanted in (("1 mm", "3 mm", True), ("1.5 mm", "2 mm", True), ("0.9 mm", "2 mm", False)):
        rules = own("between", "gap_m", {"low": low, "high": high})
        if wanted:
            assert tightening(own=rules, codes=(code,)) is rules
        else:
            with pytest.raises(Refused, match="no looser"):
                tightening(own=rules, codes=(code,))
