"""`brightroot plan --fastest`, `compare`, `rotate` and `replan`."""

from __future__ import annotations

import sys
from pathlib import Path

from brightroot.app.compare import compare
from brightroot.app.fastest import Searched, adopt_fastest, plan_fastest, rotate, searched_joint
from brightroot.app.fastest_pictures import side_name
from brightroot.app.replan import replan
from brightroot.app.replan_said import fit_up_said, said
from brightroot.base.clock import show_clock
from brightroot.base.show import show, show_time
from brightroot.cli.output import counted, pairs, put
from brightroot.cli.wiring import place_at, speech
from brightroot.documents.sheets.plan import label
from brightroot.documents.speech import Speech
from brightroot.model.codec import to_data


def run_fastest(
    facts: dict[str, str], *, objective: str, hand: str, store: Path | None, language: str, units: str, as_json: bool
) -> None:
    """Search, check with the full engine, print."""
    made = plan_fastest(place_at(store), facts, objective=objective, hand=hand, progress=counted)
    if as_json:
        put({"found": to_data(made.found), "differences": to_data(made.differences), "plan": to_data(made.plan)})
        return
    spoken = speech(language, units)
    found = made.found
    print(spoken.say("fastest.answer", time=show_time(found.time_s), argon=_gas(found.argon_m3, spoken)))
    full = made.full_time_s
    if full is not None:
        print(spoken.say("fastest.full_time", time=show_time(full), searched=show_time(found.time_s)))
    for number, run in enumerate(found.runs, 1):
        layer = made.setting.task.layers[run.layer]
        stretch = layer.ways[run.way].stretches[run.stretch]
        ends = f"{show_clock(stretch.from_rad)} → {show_clock(stretch.from_rad + stretch.sweep_rad)}"
        why = spoken.say(f"fastest.binds_{run.binds}")
        print(f"  {number:3d} {spoken.say('pass.' + layer.name)}  {ends}  {show_time(run.pause_s)}  {why}")


def run_prices(
    joint: str,
    *,
    objective: str,
    hand: str,
    keep: bool,
    by: str,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """What binds on a declared joint and what each rule costs; with `--keep` the fastest plan becomes its plan."""
    place = place_at(store)
    seen = searched_joint(place, joint, objective=objective, hand=hand)
    if keep:
        adopt_fastest(place, joint, by=by, objective=objective, hand=hand)
    if as_json:
        put({"found": to_data(seen.found), "prices": to_data(seen.prices), "loosened": to_data(seen.loosened),
             "binding": dict(seen.binding), "own_s": seen.own_s})  # fmt: skip
        return
    _print_prices(seen, speech(language, units))


def _print_prices(seen: Searched, spoken: Speech) -> None:
    found = seen.found
    print(spoken.say("fastest.answer", time=show_time(found.time_s), argon=_gas(found.argon_m3, spoken)))
    if seen.own_s is not None and seen.own_m3 is not None:
        argon = _gas(seen.own_m3, spoken)
        print(spoken.say("fastest.own", time=show_time(seen.own_s), argon=argon))
    print(f"\n{spoken.say('fastest.binds')}")
    for name, count in sorted(seen.binding.items(), key=lambda pair: -pair[1]):
        print(f"  {count:3d}  {spoken.say('fastest.binds_' + name)}")
    for heading, stem, rows in (
        ("fastest.prices", "rule", [(p.rule, p.time_s, p.argon_m3) for p in seen.prices]),
        ("fastest.loosen", "loosen", [(p.name, p.time_s, p.argon_m3) for p in seen.loosened]),
    ):
        print(f"\n{spoken.say(heading)}")
        for name, time_s, argon_m3 in rows:
            print(
                f"  {_signed_time(time_s):>8}  {_signed_gas(argon_m3, spoken):>8}  {spoken.say(f'fastest.{stem}_{name}')}"
            )


def run_compare(
    joint: str, variants: list[str], *, store: Path | None, language: str, units: str, as_json: bool
) -> None:
    """The joint beside each variant; a variant is one argument, its changes parted by commas."""
    told = compare(place_at(store), joint, [pairs(one.split(",")) for one in variants])
    if as_json:
        put(to_data(told))
        return
    spoken = speech(language, units)
    names = [side_name(side, spoken) for side in told.sides]
    rows = [[spoken.say("compare.what"), *names]]
    rows += [
        [label(row.key, spoken), *(spoken.figure(f) if f else spoken.say("compare.none") for f in row.figures)]
        for row in told.rows
        if row.moved
    ]
    fast = [show_time(side.found.time_s) if side.found else spoken.say("compare.none") for side in told.sides]
    rows.append([spoken.say("compare.fastest_time"), *fast])
    widths = [max(len(row[k]) for row in rows) for k in range(len(names) + 1)]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def run_rotate(joints: list[str], *, rigs: int, store: Path | None, language: str, units: str, as_json: bool) -> int:
    """Exit 0 where turns are worth it, 1 where not."""
    told = rotate(place_at(store), joints, rigs=rigs)
    if as_json:
        put({**to_data(told), "saved_s": told.saved_s, "extra_argon_m3": told.extra_argon_m3})
        return 0 if told.worth else 1
    spoken = speech(language, units)
    argon = _gas(told.extra_argon_m3, spoken)
    print(
        spoken.say(
            "rotation.worth" if told.worth else "rotation.not_worth", saved=_signed_time(told.saved_s), argon=argon
        )
    )
    if told.worth:
        for turn in told.turns:
            slots = {"start": show_time(turn.start_s), "joint": joints[turn.joint], "run": str(turn.run + 1)}
            print("  " + spoken.say("rotation.turn", **slots))
    return 0 if told.worth else 1


def run_replan(joint: str, *, store: Path | None, language: str, units: str, as_json: bool) -> None:
    """The rest of a joint from its log."""
    place = place_at(store)
    now_s = place.now_s()
    told = replan(place, joint, at_s=now_s)
    if as_json:
        put(to_data(told))
        return
    spoken = speech(language, units)
    for line in said(told, spoken, now_s=now_s):
        print(line)
    for run in told.again.runs:
        print(
            f"  {run.number:3d}  +{show_time(max(run.earliest_s - now_s, 0.0))}  {spoken.say('fastest.binds_' + run.binds)}"
        )
    if told.fitted is not None:
        print("\n".join(("", spoken.say("again.fit_up"), *fit_up_said(told.fitted, spoken))))
    sys.stdout.flush()


def _gas(cubic_m: float, spoken: Speech) -> str:
    return show(cubic_m, name="argon_m3", system=spoken.system, both=False)


def _signed_time(seconds: float) -> str:
    return f"−{show_time(-seconds)}" if seconds < 0 else show_time(seconds)


def _signed_gas(cubic_m: float, spoken: Speech) -> str:
    return f"−{_gas(-cubic_m, spoken)}" if cubic_m < 0 else _gas(cubic_m, spoken)
