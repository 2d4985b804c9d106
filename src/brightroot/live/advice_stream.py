"""What an instrument's own samples add to the advice: that they are not believed, and why, until they are again."""

from __future__ import annotations

from collections.abc import Mapping

from brightroot.base.source import Datum
from brightroot.model.advice import Advice, Because, Level
from brightroot.model.record import JointRecord, Seen


def stream_doubts(record: JointRecord, *, now_s: float, cells: Mapping[str, Datum]) -> tuple[Advice, ...]:
    """A line for each instrument whose last block ended in doubt. An old block says nothing: then nothing is measured."""
    last: dict[str, Seen] = {str(seen.data["instrument"]): seen for seen in record.streams}
    good_for_s = cells["oxygen_good_for_s"].value
    return tuple(
        Advice(
            Level.WARN,
            f"say.stream.{seen.data['doubtful']}",
            event="oxygen.read" if seen.data["measures"] == "oxygen_frac" else "",
            params=(("instrument", tag),),
            because=(Because("because.stream"),),
            from_events=(seen.event,),
        )
        for tag, seen in sorted(last.items())
        if seen.data.get("doubtful") and now_s - seen.at_s <= good_for_s
    )
