"""`brightroot dossier` and `brightroot verify`."""

from __future__ import annotations

from pathlib import Path

import typer

from brightroot.app.dossier import issue
from brightroot.base.errors import Refused
from brightroot.cli.output import FAIL, PASS, put
from brightroot.cli.wiring import paper as paper_of
from brightroot.cli.wiring import place_at


def run_dossier(
    joint: str,
    out: Path,
    *,
    by: str,
    paper: str,
    pdf: Path | None,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """Issue and write the bundle; nothing is issued where the file cannot be written."""
    from brightroot.store.bundle import write_bundle

    if not by.strip():
        raise Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing")
    if not out.parent.is_dir():
        raise Refused(field="out", wanted="a folder that exists", got=str(out.parent))
    made = issue(place_at(store), joint, by=by, on=paper_of(language, units, paper))
    seal = write_bundle(out, stored=made.stored, attachments=made.attachments, files=made.files, about=made.about)
    if pdf:
        pdf.write_bytes(made.files["dossier.pdf"])
    if as_json:
        put({"ok": True, "bundle": str(out), "seal": seal, "head": made.head, "events_count": len(made.stored)})
    else:
        print(f"{out}\nhead on paper  {made.head}\nseal           {seal}")


def run_verify(bundle: Path, *, head: str, as_json: bool) -> None:
    """Check a bundle and leave with 0 where it holds, 1 where it does not."""
    from brightroot.store.verifier import verify

    if not bundle.exists():
        raise Refused(field="bundle", wanted="a bundle file", got=str(bundle))
    found = verify(bundle, head or None)
    if as_json:
        put(found)
    else:
        for line in found["checked"]:
            print(f"  {line}")
        for fault in found["faults"]:
            print(f"! {fault['file']} {fault.get('record') or ''} {fault['says']}")
        for line in found["not_proved"]:
            print(f"~ {line}")
        print("holds" if found["ok"] else "does not hold")
    raise typer.Exit(PASS if found["ok"] else FAIL)
