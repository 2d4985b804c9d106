"""`brightroot heat`: a joint's heat run by run, as made where it was made and as planned where it was not."""

from __future__ import annotations

from pathlib import Path

from brightroot.app.heat import heat_table
from brightroot.app.work_live import look
from brightroot.base.show import show
from brightroot.cli.output import put
from brightroot.cli.wiring import place_at, speech


def run_heat_table(joint: str, *, store: Path | None, language: str, units: str, as_json: bool) -> None:
    """A line for each run: at arc-off, peak and when, under the limit, hold, hot length outside and inside."""
    place = place_at(store)
    rows = heat_table(place, look(place, joint))
    if as_json:
        put([row.plain() for row in rows])
        return
    say = speech(language, units).say
    for row in rows:
        told = [
            f"{say(f'heat.table.{name}')} {show(value, name=name, system=units)}" if value is not None
            else f"{say(f'heat.table.{name}')} –"
            for name, value in row.figures()
        ]  # fmt: skip
        print(f"{row.number:3d} {say('pass.' + row.pass_name):5s} {say('heat.table.made' if row.made else 'heat.table.planned')}: "
              + "; ".join(told))  # fmt: skip
