"""`brightroot`: the command line over the same use cases as the web. Exit 0 pass, 1 fail, 2 unknown, 64 misuse."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    name="brightroot",
    help="Plan, guide, judge and prove hand GTAW pipe joints.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

Store = Annotated[Path | None, typer.Option("--store", help="The log file; your own data folder without it.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON.")]
By = Annotated[str, typer.Option("--by", help="Your stamp, like W-07.")]
Language = Annotated[str, typer.Option("--language", help="en or es.")]
Hand = Annotated[str, typer.Option("--hand", help="The welder's: right or left.")]
Units = Annotated[str, typer.Option("--units", help="metric or us.")]


@app.command()
def plan(
    facts: Annotated[list[str], typer.Argument(help="name=value facts, or one .toml or .json file of them.")],
    keep: Annotated[bool, typer.Option("--keep", help="Declare the joint in the log.")] = False,
    fastest: Annotated[bool, typer.Option("--fastest", help="Search the fastest way round instead.")] = False,
    least: Annotated[str, typer.Option("--least", help="With --fastest: time, argon or restarts.")] = "time",
    hand: Hand = "right",
    by: By = "",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Plan a joint from a handful of facts."""
    from brightroot.cli.plan import facts_from, run_plan

    if fastest:
        from brightroot.cli.fastest import run_fastest

        if not keep:
            run_fastest(
                facts_from(facts), objective=least, hand=hand, store=store, language=language, units=units, as_json=json
            )
            return
        run_plan(facts, keep=True, by=by, store=store, language=language, units=units, as_json=json)
        from brightroot.cli.fastest import run_prices

        named = facts_from(facts).get("id", "")
        run_prices(
            named,
            objective=least,
            hand=hand,
            keep=True,
            by=by,
            store=store,
            language=language,
            units=units,
            as_json=json,
        )
        return
    run_plan(facts, keep=keep, by=by, store=store, language=language, units=units, as_json=json)


@app.command()
def prices(
    joint: str,
    least: Annotated[str, typer.Option("--least", help="time, argon or restarts.")] = "time",
    hand: Hand = "right",
    keep: Annotated[bool, typer.Option("--keep", help="Make the fastest way the joint's plan.")] = False,
    by: By = "",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """The fastest way round a joint, what binds, and what each rule costs."""
    from brightroot.cli.fastest import run_prices

    run_prices(
        joint, objective=least, hand=hand, keep=keep, by=by, store=store, language=language, units=units, as_json=json
    )


@app.command()
def compare(
    joint: str,
    variants: Annotated[list[str], typer.Argument(help="One to three; changes parted by commas: gap_m='3 mm'.")],
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """A joint's plan beside one for each variant of its facts."""
    from brightroot.cli.fastest import run_compare

    run_compare(joint, variants, store=store, language=language, units=units, as_json=json)


@app.command()
def rotate(
    joints: Annotated[list[str], typer.Argument(help="Two to four joints.")],
    rigs: Annotated[int, typer.Option("--rigs", help="How many torches and gas lines there are.")] = 1,
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> int:
    """Two to four joints in turn: worth it or not. Exit 0 where it is, 1 where not."""
    from brightroot.cli.fastest import run_rotate

    return run_rotate(joints, rigs=rigs, store=store, language=language, units=units, as_json=json)


@app.command()
def replan(
    joint: str, store: Store = None, language: Language = "en", units: Units = "metric", json: AsJson = False
) -> None:
    """What is left of a joint, planned again from its log, and one sentence why."""
    from brightroot.cli.fastest import run_replan

    run_replan(joint, store=store, language=language, units=units, as_json=json)


@app.command()
def joints(store: Store = None, language: Language = "en", json: AsJson = False) -> None:
    """Every joint of the log and what comes next on it."""
    from brightroot.cli.live import run_joints

    run_joints(store=store, language=language, as_json=json)


@app.command()
def live(
    joint: str,
    event: Annotated[
        list[str], typer.Argument(help="A kind of event, then name=value facts. Nothing: what next.")
    ] = [],  # noqa: B006
    by: By = "",
    at: Annotated[str, typer.Option("--at", help="When, in ISO 8601; now without it.")] = "",
    corrects: Annotated[str, typer.Option("--corrects", help="The event that this one corrects.")] = "",
    photo: Annotated[Path | None, typer.Option("--photo", help="The picture that a photo.taken event keeps.")] = None,
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """What next on a joint, or one more event on its log."""
    from brightroot.cli.live import run_live

    run_live(
        joint,
        event,
        by=by,
        at=at,
        corrects=corrects,
        photo=photo,
        store=store,
        language=language,
        units=units,
        as_json=json,
    )


@app.command()
def heat(
    joint: str, store: Store = None, language: Language = "en", units: Units = "metric", json: AsJson = False
) -> None:
    """A joint's heat run by run: readings, waits, holds, hot lengths."""
    from brightroot.cli.heat import run_heat_table

    run_heat_table(joint, store=store, language=language, units=units, as_json=json)


@app.command()
def tint(
    joint: str, store: Store = None, language: Language = "en", units: Units = "metric", json: AsJson = False
) -> None:
    """A joint's colour run by run: oxygen dose, film and colour to expect, what was seen, and why they differ."""
    from brightroot.cli.tint import run_tint

    run_tint(joint, store=store, language=language, units=units, as_json=json)


@app.command()
def gas(
    joint: str,
    event: Annotated[
        list[str],
        typer.Argument(
            help="A kind of event (cylinder.read, gas.proved, air.read …) with name=value facts; or whose with first="
            " first_flow= other= other_flow=. Nothing: how it stands."
        ),
    ] = [],  # noqa: B006
    by: By = "",
    at: Annotated[str, typer.Option("--at", help="When, in ISO 8601; now without it.")] = "",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Gas to finish, gas proof, the air where you work, instruments."""
    from brightroot.cli.gas import run_gas

    run_gas(joint, event, by=by, at=at, store=store, language=language, units=units, as_json=json)


@app.command()
def judge(joint: str, store: Store = None, language: Language = "en", json: AsJson = False) -> None:
    """The joint against its procedure and the acceptance codes."""
    from brightroot.cli.judge import run_judge

    run_judge(joint, store=store, language=language, as_json=json)


@app.command()
def may(
    stamp: Annotated[str, typer.Argument(help="The welder's stamp, like W-07.")],
    joint: str,
    on: Annotated[str, typer.Option("--on", help="The day, like 2026-03-02; today without it.")] = "",
    code: Annotated[str, typer.Option("--code", help="Under which code, like asme-ix/2023.")] = "",
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """May this welder make this joint? Exit 0 yes, 1 no, 2 not known."""
    from brightroot.cli.may import run_may

    run_may(stamp, joint, on=on, code=code, store=store, language=language, as_json=json)


@app.command()
def coupons(
    joints: Annotated[
        list[str], typer.Argument(help="Joints, all without any; and rates like hour_price=55 coupon_h=6.")
    ] = [],  # noqa: B006
    stamp: Annotated[str, typer.Option("--stamp", help="Only what this welder may not make yet.")] = "",
    on: Annotated[str, typer.Option("--on", help="The day, like 2026-03-02; today without it.")] = "",
    code: Annotated[str, typer.Option("--code", help="Under which code, like asme-ix/2023.")] = "",
    cheapest: Annotated[bool, typer.Option("--cheapest", help="The cheapest instead of the fewest.")] = False,
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """The fewest test coupons that cover the joints."""
    from brightroot.cli.coupons import run_coupons

    run_coupons(joints, stamp=stamp, on=on, code=code, cheapest=cheapest, store=store, language=language, as_json=json)


@app.command()
def people(
    told: Annotated[
        list[str],
        typer.Argument(
            help="Nothing, a stamp, or a stamp with qualified, used, renewed, revoked, withdrawn or printed and name=value facts."
        ),
    ] = [],  # noqa: B006
    by: By = "",
    paper: Annotated[Path | None, typer.Option("--paper", help="The paper or photo that shows it.")] = None,
    export: Annotated[Path | None, typer.Option("--export", help="Write the stamp's whole log here, sealed.")] = None,
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Welders as stamps: their qualifications and uses."""
    from brightroot.cli.people import run_people

    run_people(told, by=by, paper=paper, export=export, store=store, language=language, as_json=json)


@app.command()
def procedure(
    told: Annotated[
        list[str],
        typer.Argument(
            help="Nothing, a procedure, or a procedure with written or tested and name=value facts (or one file of"
            " them), typed and a file of [written] and [[tested]], or withdrawn with event= and why=."
        ),
    ] = [],  # noqa: B006
    joint: Annotated[str, typer.Option("--joint", help="Lay this joint against its procedure.")] = "",
    by: By = "",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Written procedures and their test records; a joint laid against its own."""
    from brightroot.cli.procedure import run_procedure

    run_procedure(told, joint=joint, by=by, store=store, language=language, units=units, as_json=json)


@app.command(name="crew")
def crew_(
    told: Annotated[
        list[str],
        typer.Argument(help="Nothing, or take-on, code, sign-out or release with a stamp, then roles= or why=."),
    ] = [],  # noqa: B006
    by: By = "",
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Who works here, in which roles; one-time codes to sign in with."""
    from brightroot.cli.crew import run_crew

    run_crew(told, by=by, store=store, language=language, as_json=json)


@app.command()
def devices(
    told: Annotated[
        list[str], typer.Argument(help="Nothing, enrol with name=, or revoke with a device and why=.")
    ] = [],  # noqa: B006
    by: By = "",
    address: Annotated[
        str, typer.Option("--address", help="Where phones find the server, like http://10.0.0.5:8017.")
    ] = "",
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Phones and tablets let in; a one-time code for another."""
    from brightroot.cli.crew import run_devices

    run_devices(told, by=by, address=address, store=store, language=language, as_json=json)


@app.command()
def rules(
    act: Annotated[str, typer.Argument(help="list, check, confirm, tighten or take-back.")],
    told: Annotated[
        list[str], typer.Argument(help="A folder to check; a code and its row, then edition= ref= limit= why=.")
    ] = [],  # noqa: B006
    by: By = "",
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Read, confirm and tighten rules; check a folder of them."""
    from brightroot.cli.rules import run_rules

    run_rules(act, told, by=by, store=store, language=language, as_json=json)


@app.command()
def why(
    joint: str,
    figure: str,
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Open one figure of a plan: formula, inputs, sources, hand check."""
    from brightroot.cli.plan import run_why

    run_why(joint, figure, store=store, language=language, units=units, as_json=json)


@app.command()
def dossier(
    joint: str,
    out: Annotated[Path, typer.Option("--out", help="The bundle to write.")] = Path("dossier.zip"),
    by: By = "",
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    pdf: Annotated[Path | None, typer.Option("--pdf", help="Also write the PDF by itself.")] = None,
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Issue the dossier: PDF and data in one sealed bundle."""
    from brightroot.cli.dossier import run_dossier

    run_dossier(joint, out, by=by, paper=paper, pdf=pdf, store=store, language=language, units=units, as_json=json)


@app.command()
def owed(
    joint: Annotated[str, typer.Argument(help="A joint; all of them without it.")] = "",
    role: Annotated[str, typer.Option("--role", help="Only what a welder, inspector, engineer … owes.")] = "",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """What joints still owe before their dossiers are whole, who owes it and since when."""
    from brightroot.cli.owed import run_owed

    run_owed(joint, role=role, store=store, language=language, units=units, as_json=json)


@app.command()
def pack(
    name: Annotated[str, typer.Argument(help="The test pack's name, like TP-1.")],
    joints: list[str],
    out: Annotated[Path, typer.Option("--out", help="The file to write.")] = Path("pack.zip"),
    by: By = "",
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter.")] = "a4",
    store: Store = None,
    language: Language = "en",
    units: Units = "metric",
    json: AsJson = False,
) -> None:
    """Issue several joints' dossiers at once, under one index."""
    from brightroot.cli.owed import run_pack

    run_pack(name, joints, out, by=by, paper=paper, store=store, language=language, units=units, as_json=json)


@app.command()
def instruments(
    drivers: Annotated[Path | None, typer.Option("--drivers", help="A folder of your own drivers.")] = None,
    json: AsJson = False,
) -> None:
    """List the drivers and let each read its own recorded exchanges."""
    from brightroot.cli.instruments import run_list

    run_list(drivers, as_json=json)


@app.command()
def listen(
    joint: str,
    driver: Annotated[str, typer.Option("--driver", help="One of `brightroot instruments`.")],
    tag: Annotated[str, typer.Option("--tag", help="The instrument's tag, like M-3.")],
    at: Annotated[
        str,
        typer.Option(
            "--at",
            help="serial:PORT, registers:HOST:PORT, messages:HOST:PORT/TOPIC, file:PATH or made-up:FAULT (simulated).",
        ),
    ],
    fact: Annotated[list[str] | None, typer.Argument(help="What all its readings share, like place=vent.")] = None,
    every: Annotated[float, typer.Option("--every", help="Keep a block each so many seconds.")] = 15.0,
    seconds: Annotated[float, typer.Option("--for", help="Listen so many seconds.")] = 3600.0,
    by: By = "",
    drivers: Annotated[Path | None, typer.Option("--drivers", help="A folder of your own drivers.")] = None,
    store: Store = None,
    json: AsJson = False,
) -> None:
    """Take an instrument's samples in: blocks on the log, a reading from each, and a word when they are not believed."""
    from brightroot.cli.instruments import run_listen

    run_listen(
        joint,
        driver=driver,
        tag=tag,
        at=at,
        facts=fact or [],
        every_s=every,
        seconds=seconds,
        by=by,
        store=store,
        folder=drivers,
        as_json=json,
    )


@app.command()
def verify(
    bundle: Path,
    head: Annotated[str, typer.Option("--head", help="The head hash printed on the paper.")] = "",
    json: AsJson = False,
) -> None:
    """Check a bundle byte by byte and say where it was changed."""
    from brightroot.cli.dossier import run_verify

    run_verify(bundle, head=head, as_json=json)


@app.command()
def calc(
    engine: Annotated[str, typer.Argument(help="heat, purge, tint-optics, tint-growth or formula.")],
    case: Annotated[str, typer.Argument(help="A JSON file, or - for standard input.")],
    out: Annotated[Path | None, typer.Option("--out", help="Write here as well.")] = None,
    at: Annotated[float | None, typer.Option("--at", help="purge: the second of the record that is asked.")] = None,
) -> None:
    """Ask an engine one JSON case (or a list of them)."""
    from brightroot.cli.calc import run_calc

    run_calc(engine, case, out=out, at_s=at)


@app.command()
def export(
    log: Annotated[str, typer.Argument(help="A joint, or another log like people/W-07.")],
    out: Annotated[Path, typer.Option("--out", help="The file to write.")] = Path("log.zip"),
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Write a log with its attachments and signatures to a file, to be merged elsewhere."""
    from brightroot.cli.carry import run_export

    run_export(log, out, store=store, language=language, as_json=json)


@app.command(name="import")
def import_(
    files: Annotated[list[Path], typer.Argument(help="Exported files or dossiers; nothing: what is kept aside.")] = [],  # noqa: B006
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Merge files into the logs here. The same again changes nothing; contradictions are kept aside."""
    from brightroot.cli.carry import run_import

    run_import(files, store=store, language=language, as_json=json)


@app.command()
def backup(
    out: Annotated[Path, typer.Argument(help="The copy to make; it must not be there yet.")],
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Copy the log file while it is in use, and check the copy."""
    from brightroot.cli.carry import run_backup

    run_backup(out, store=store, language=language, as_json=json)


@app.command()
def restore(
    backup: Annotated[Path, typer.Argument(help="A copy made by backup.")],
    store: Store = None,
    language: Language = "en",
    json: AsJson = False,
) -> None:
    """Check a copy and put it in place; the server must be stopped. What was there stays beside it."""
    from brightroot.cli.carry import run_restore

    run_restore(backup, store=store, language=language, as_json=json)


@app.command()
def look(
    photo: Annotated[Path | None, typer.Argument(help="A JPEG, PNG or HEIC photograph, before any brushing.")] = None,
    base: Annotated[str, typer.Option("--base", help="X,Y,W,H of metal beside the weld that stayed bright.")] = "",
    card: Annotated[str, typer.Option("--card", help="X,Y,W,H of a matt grey card.")] = "",
    weld: Annotated[str, typer.Option("--weld", help="X,Y,W,H of the weld and what it tinted.")] = "",
    metal: Annotated[str, typer.Option("--metal", help="titanium.")] = "titanium",
    surface: Annotated[str, typer.Option("--surface", help="as-welded or cleaned.")] = "as-welded",
    second: Annotated[Path | None, typer.Option("--second", help="The same view with the light moved.")] = None,
    json: Annotated[Path | None, typer.Option("--json", help="Write the answer here as well.")] = None,
    maps: Annotated[Path | None, typer.Option("--map", help="Write film, class and zone here (.npz).")] = None,
    many: Annotated[Path | None, typer.Option("--list", help="Many photographs: one JSON object a line.")] = None,
) -> None:
    """Read heat tint from a photograph."""
    from brightroot.cli.look import run_look

    told = {"base": base, "card": card, "weld": weld, "metal": metal, "surface": surface}
    run_look(photo, told, second=second, out=json, maps=maps, many=many)


@app.command()
def serve(
    host: Annotated[str, typer.Option(help="0.0.0.0 lets phones on the same network in.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="The port.")] = 8017,
    demo: Annotated[bool, typer.Option("--demo", help="Open on invented joints.")] = False,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open a browser.")] = True,
    by: By = "",
    store: Store = None,
) -> None:
    """Open the app in a browser."""
    from brightroot.cli.serve import run_serve

    run_serve(host=host, port=port, demo=demo, browser=browser, by=by, store=store)


def run() -> None:
    """The entry point: every refusal becomes one sentence (or one JSON object) and exit 64."""
    from brightroot.cli.output import exit_of

    sys.exit(exit_of(app))
