"""Gas and air: what every cylinder still has for, what proves the gas, what stands against leaning in, the instruments."""

from __future__ import annotations

from typing import Any

from brightroot.app.gas import gas_seen, traced, whose_leak
from brightroot.app.gas_told import (
    air_line,
    cylinder_rows,
    health_rows,
    proof_rows,
    space_line,
    suspect_rows,
    trace_rows,
)
from brightroot.app.ports import Place
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.base.units import read
from brightroot.records.order import in_order
from brightroot.web.pages.now.form import Entry, entry
from brightroot.web.settings import Settings
from brightroot.web.shown import Shown

ROUTE = "/joints/{id}/gas"
TITLE = "gas.title"
CAUTIONS = ("caution.argon", "caution.argon_inside", "caution.cylinder")


def view(
    place: Place, settings: Settings, *, id: str, first: str = "", first_flow: str = "", other: str = "",
    other_flow: str = "",
) -> dict[str, Any]:  # fmt: skip
    """Gas, air and instruments as they stand."""
    now = look(place, id)
    shown = Shown(settings)
    seen = gas_seen(place, now)
    events = in_order(place.store.events(id))
    fills = tuple(dict.fromkeys(p.fill for p in seen.proofs if p.fill))

    def form(kind: str, **known: str) -> Entry:
        return entry(kind, known, events=events, system=settings.units, stamp=settings.stamp)

    air_form = form("air.read", place="bottom of space")
    asked = (first, first_flow, other, other_flow)
    return {
        "now": now,
        "plan": now.plan,
        "seen": seen,
        "cylinders": cylinder_rows(seen, now, shown),
        "proofs": proof_rows(seen, shown),
        "traces": trace_rows(traced(place, fills), shown),
        "air_says": air_line(seen, shown),
        "space_says": space_line(seen, shown),
        "health": health_rows(seen, now, shown),
        "suspects": suspect_rows(seen, shown),
        "asked": asked,
        "leak": _whose(asked, shown) if any(asked) else (),
        "forms_of": {
            kind: form(kind)
            for kind in (
                "cylinder.read", "cylinder.changed", "gas.connected", "gas.proved", "space.described", "air.seconded",
                "instrument.checked",
            )
        },
        "air_form": air_form,
        "cautions": CAUTIONS,
    }  # fmt: skip


def _whose(asked: tuple[str, str, str, str], shown: Shown) -> tuple[str, str]:
    """The two parts of a plateau, from the four numbers typed on this page."""
    names = ("plateau_frac", "flow_m3_s", "other_plateau_frac", "other_flow_m3_s")
    values = []
    for name, typed in zip(names, asked, strict=True):
        bare = typed.strip().replace(",", ".").replace(".", "", 1).isdigit()
        unit = "ppm" if name.endswith("_frac") else "L/min"
        values.append(read(f"{typed} {unit}" if bare else typed, field=name).value)
    if min(values) < 0:
        raise Refused(field="plateau_frac", wanted="zero or more", got=" ".join(asked), reason="refused.range")
    leak, rest = whose_leak(
        plateau_frac=values[0], flow_m3_s=values[1], other_frac=values[2], other_flow_m3_s=values[3]
    )  # fmt: skip
    pipe = shown.say("gas.pipe_part", leak=shown.number(leak, "in_leak_m3_s", both=False))
    return pipe, shown.say("gas.rest_part", oxygen=shown.number(rest, "oxygen_frac", both=False))
