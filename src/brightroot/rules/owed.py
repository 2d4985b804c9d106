"""What keeps a dossier from being whole: every clause that does not pass, with who owes it, the longest owed first.

A failed clause is the engineer's to decide; an unknown one is owed by whoever can show it. A concession is a signature
that the gap is known and accepted: it closes the gap, and stays in sight; the verdict itself does not move.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from brightroot.base.instant import seconds_of
from brightroot.model.clause import Outcome, Verdict
from brightroot.model.event import Event
from brightroot.model.owed import Owed, Owing
from brightroot.model.record import Seen

DECIDES = "engineer"


def owed_of(
    verdicts: tuple[Verdict, ...],
    events: Iterable[Event],
    concessions: tuple[Seen, ...],
    *,
    owing: Mapping[str, Owing],
) -> tuple[Owed, ...]:
    """Everything owed, conceded or not: due ones first, by the time since which they are; then what is not due yet.

    `owing` is the library's table, by the last word of what a clause asks; what it does not name is the engineer's, due
    from the start. A concession counts for the clause whose `key` it names, the last one where there are several.
    """
    first: dict[str, float] = {}
    began_s = math.inf
    for event in events:
        at_s = seconds_of(event.at_utc)
        began_s = min(began_s, at_s)
        first[event.kind] = min(first.get(event.kind, at_s), at_s)
    given = {str(seen.data["clause"]): seen for seen in concessions}
    made = []
    for verdict in verdicts:
        if verdict.outcome not in (Outcome.FAIL, Outcome.UNKNOWN):
            continue
        row = owing.get(verdict.asks.rpartition(".")[2], Owing(DECIDES, ""))
        failed = verdict.outcome is Outcome.FAIL
        since_s = first.get(row.due) if row.due else began_s if began_s < math.inf else None
        made.append(
            Owed(
                code=verdict.code,
                clause=verdict.clause,
                ref=verdict.ref,
                subject=verdict.subject,
                outcome=verdict.outcome,
                asks=verdict.asks,
                by=DECIDES if failed else row.by,
                since_s=since_s,
                conceded=given.get(f"{verdict.code} {verdict.clause}"),
            )
        )
    return tuple(sorted(made, key=lambda one: (one.since_s is None, one.since_s or 0.0, one.by)))
