"""A purge case in JSON, answered by the filter, in the units of the case: ppm, L/min, L and seconds."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import Any

from brightroot.base.errors import Refused
from brightroot.physics.fields import known, listed, number, one_of, under
from brightroot.physics.purge.filter.answer import Answer, Quantiles
from brightroot.physics.purge.filter.inputs import EVENTS, Done, Look, Monitor, Purge

PPM = 1e-6
L_MIN = 1e-3 / 60
ML_MIN = 1e-6 / 60
FLAGS = {"ok": "reading", "over": "over range", "under": "under range"}
MOST_S = 1e7
NEEDED = (
    "pipe_inside_diameter_m", "purge_length_between_dams_m", "volume_L", "pipe_axis", "feed_position", "vent_position",
    "vent_diameter_mm", "initial_gas", "flow_schedule_t_s_Lmin", "argon_grade_ppm_O2_max", "targets_ppm", "events",
    "monitor", "readings",
)  # fmt: skip
MONITOR = (
    "sample_point", "first_order_lag_s_nominal", "sample_delay_s_nominal", "low_limit_ppm", "over_limit_ppm",
    "noise_rel_nominal", "noise_abs_ppm_nominal",
)  # fmt: skip


def answer_purge_case(case: Mapping[str, Any], *, at_s: float | None = None) -> Any:
    """The answer object of a purge case, or a list of them where the case asks `at_s: [...]`.

    `at_s` is the moment that was asked on the command line; without one the last reading's. `elapsed_s` is left to
    whoever holds a clock.
    """
    from brightroot.physics.purge.filter.run import filtered

    known(case, field="", needed=("inputs",), allowed=("at_s", "seed"))
    purge = read_purge(case["inputs"])
    seed = _seed(case)
    if "at_s" in case:
        if at_s is not None:
            raise Refused(field="at_s", wanted="--at or the case's at_s, not both", got="both", reason="refused.case")
        moments = _moments(case)
        return [_said(answer) for answer in filtered(purge, at_s=moments, seed=seed)]
    moment = None if at_s is None else [_moment(at_s, "at")]
    return _said(filtered(purge, at_s=moment, seed=seed)[0])


def _seed(case: Mapping[str, Any]) -> int:
    seed = number(case, "seed", field="", low=0, high=2**63 - 1) if "seed" in case else 0
    if seed != int(seed):
        raise Refused(field="seed", wanted="a whole number", got=f"{seed:g}", reason="refused.case")
    return int(seed)


def _moments(case: Mapping[str, Any]) -> list[float]:
    rows = listed(case, "at_s", field="")
    if not rows:
        raise Refused(field="at_s", wanted="one moment or more", got="none", reason="refused.case")
    return [_moment(x, f"at_s[{n}]") for n, x in enumerate(rows)]


def _moment(value: Any, field: str) -> float:
    return number({field: value}, field, field="", low=-MOST_S, high=MOST_S)


def read_purge(given: Any) -> Purge:
    """The case's `inputs`, checked key by key."""
    field = "inputs"
    inputs = known(given, field=field, needed=NEEDED, allowed=("record_end_s",))
    for key, low, high in (
        ("pipe_inside_diameter_m", 0.001, 10.0), ("purge_length_between_dams_m", 0.001, 10_000.0),
        ("vent_diameter_mm", 0.1, 5000.0), ("record_end_s", 0.0, MOST_S),
    ):  # fmt: skip
        if key in inputs:
            number(inputs, key, field=field, low=low, high=high)
    axis = one_of(inputs, "pipe_axis", field=field, names=("horizontal", "vertical", "inclined"))
    start = one_of(inputs, "initial_gas", field=field, names=("air", "argon"))
    grade = number(inputs, "argon_grade_ppm_O2_max", field=field, low=0.01, high=10_000.0)
    return Purge(
        volume_m3=number(inputs, "volume_L", field=field, low=0.001, high=1e6) * 1e-3,
        flows=_flows(inputs, field),
        feed=_end(inputs, "feed_position", field),
        vent=_end(inputs, "vent_position", field),
        vertical=axis == "vertical",
        start_frac=0.20946 if start == "air" else grade * PPM,
        supply_max_frac=grade * PPM,
        targets_frac=_targets(inputs, field),
        monitor=_monitor(inputs["monitor"], under(field, "monitor")),
        looks=_looks(inputs, field),
        events=_events(inputs, field),
    )


def _end(inputs: Mapping[str, Any], key: str, field: str) -> str:
    """`low_left`, `bottom` and the like by their height; any other word is a set-up of which nothing is known."""
    word = inputs[key]
    if not isinstance(word, str) or not word:
        raise Refused(field=under(field, key), wanted="a place like low_left", got=str(word), reason="refused.case")
    low, high = (any(part in word.lower() for part in parts) for parts in (("low", "bottom"), ("high", "top")))
    return "low" if low and not high else "high" if high and not low else "unknown"


def _flows(inputs: Mapping[str, Any], field: str) -> tuple[tuple[float, float], ...]:
    key = "flow_schedule_t_s_Lmin"
    name = under(field, key)
    rows = listed(inputs, key, field=field)
    if not rows:
        raise Refused(field=name, wanted="at least [t_s, L/min]", got="none", reason="refused.case")
    found = []
    for n, row in enumerate(rows):
        place = f"{name}[{n}]"
        if not isinstance(row, list) or len(row) != 2:
            raise Refused(field=place, wanted="[t_s, L/min]", got=str(row), reason="refused.case")
        pair = {"t_s": row[0], "Lmin": row[1]}
        began = number(pair, "t_s", field=place, low=-MOST_S, high=MOST_S)
        found.append((began, number(pair, "Lmin", field=place, low=0.0, high=10_000.0) * L_MIN))
    _in_order([began for began, _ in found], name)
    return tuple(found)


def _targets(inputs: Mapping[str, Any], field: str) -> tuple[float, ...]:
    rows = listed(inputs, "targets_ppm", field=field)
    name = under(field, "targets_ppm")
    if not rows:
        raise Refused(field=name, wanted="one target or more", got="none", reason="refused.case")
    return tuple(
        number({f"[{n}]": x}, f"[{n}]", field=name, low=0.01, high=200_000.0) * PPM for n, x in enumerate(rows)
    )


def _monitor(given: Any, field: str) -> Monitor:
    table = known(given, field=field, needed=MONITOR)
    place = table["sample_point"]
    if not isinstance(place, str) or not place:
        raise Refused(
            field=under(field, "sample_point"), wanted="a place like vent", got=str(place), reason="refused.case"
        )
    low = number(table, "low_limit_ppm", field=field, low=0.0, high=1e6)
    return Monitor(
        lag_s=number(table, "first_order_lag_s_nominal", field=field, low=0.0, high=3600.0),
        delay_s=number(table, "sample_delay_s_nominal", field=field, low=0.0, high=3600.0),
        low_frac=low * PPM,
        over_frac=number(table, "over_limit_ppm", field=field, low=max(low, 0.1), high=1e6) * PPM,
        noise_rel_1=number(table, "noise_rel_nominal", field=field, low=0.0, high=1.0),
        noise_abs_frac=number(table, "noise_abs_ppm_nominal", field=field, low=0.0, high=100_000.0) * PPM,
        place=place,
    )


def _looks(inputs: Mapping[str, Any], field: str) -> tuple[Look, ...]:
    found = []
    for n, row in enumerate(listed(inputs, "readings", field=field)):
        place = f"{field}.readings[{n}]"
        table = known(row, field=place, needed=("t_s", "ppm", "flag"))
        state = FLAGS[one_of(table, "flag", field=place, names=tuple(FLAGS))]
        at_s = number(table, "t_s", field=place, low=-MOST_S, high=MOST_S)
        frac = None
        if state == "reading" or table["ppm"] is not None:
            frac = number(table, "ppm", field=place, low=0.0, high=1e6) * PPM
        found.append(Look(at_s, frac if state == "reading" else None, state))
    _in_order([look.at_s for look in found], under(field, "readings"))
    return tuple(found)


def _events(inputs: Mapping[str, Any], field: str) -> tuple[Done, ...]:
    found = []
    for n, row in enumerate(listed(inputs, "events", field=field)):
        place = f"{field}.events[{n}]"
        table = known(row, field=place, needed=("t_s", "kind"))
        kind = one_of(table, "kind", field=place, names=EVENTS)
        found.append(Done(number(table, "t_s", field=place, low=-MOST_S, high=MOST_S), kind))
    _in_order([done.at_s for done in found], under(field, "events"))
    return tuple(found)


def _in_order(times_s: Sequence[float], field: str) -> None:
    for n, (before, after) in enumerate(itertools.pairwise(times_s), start=1):
        if after < before:
            raise Refused(
                field=f"{field}[{n}].t_s", wanted=f"not before {before:g}", got=f"{after:g}", reason="refused.case"
            )


def _said(answer: Answer) -> dict[str, Any]:
    return {
        "at_s": answer.at_s,
        "vent_ppm": _spread(answer.vent_frac, PPM),
        "root_ppm": _spread(answer.root_frac, PPM),
        "targets": {
            f"{target.target_frac / PPM:.6g}": {
                "p_never": _short(target.p_never),
                "gas_reaches_s": target.gas_reaches_s and _spread(target.gas_reaches_s, 1.0),
                "monitor_shows_s": target.monitor_shows_s and _spread(target.monitor_shows_s, 1.0),
                "reached": target.reached,
            }
            for target in answer.targets
        },
        "floor_ppm": _spread(answer.floor_frac, PPM),
        "leak_air_mL_min": _spread(answer.leak_m3_s, ML_MIN),
        "verdict": answer.verdict,
        "argon_used_L": _short(answer.argon_m3 * 1e3),
        "seed": answer.seed,
        "flags": list(answer.flags),
        "causes": [
            {"cause": cause.name, "share": _short(cause.share_frac), "test": cause.test} for cause in answer.causes
        ],
    }


def _spread(quantiles: Quantiles, unit: float) -> dict[str, float]:
    return {name: _short(value / unit) for name, value in quantiles._asdict().items()}


def _short(value: float) -> float:
    """Six figures: no more were computed."""
    return value if value == 0 or not math.isfinite(value) else float(f"{value:.6g}")
