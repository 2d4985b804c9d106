"""A verdict as a message: the id of a sentence in the words files, and what fills it."""

from __future__ import annotations

from brightroot.model.clause import Verdict


def explain(verdict: Verdict) -> tuple[str, dict[str, str]]:
    """Why the verdict is what it is. The params keep the clause's own words and the texts as entered.

    >>> from brightroot.base.source import Standing
    >>> from brightroot.model.clause import Outcome
    >>> made = Verdict("undercut", "b31.3/2018", "T", "Undercut", "…", Outcome.PASS, "verdict.at_most.pass",
    ...                "≤ 1 mm", "0.4 mm", ("bench.1.9",), "asme", Standing.PUBLISHED)
    >>> explain(made)[0], explain(made)[1]["got"]
    ('verdict.at_most.pass', '0.4 mm')
    """
    return verdict.because, {
        "subject": verdict.subject,
        "ref": verdict.ref,
        "says": verdict.says,
        "wanted": verdict.wanted,
        "got": verdict.got,
        "asks": verdict.asks,
        "standing": verdict.standing.value,
    }
