"""`brightroot owed` and `brightroot pack`."""

from __future__ import annotations

from pathlib import Path

from brightroot.app.owed import owed, standings
from brightroot.base.errors import Refused
from brightroot.cli.output import put
from brightroot.cli.wiring import paper as paper_of
from brightroot.cli.wiring import place_at
from brightroot.documents.sheets.owed import incomplete, since
from brightroot.model.codec import to_data
from brightroot.model.owed import still_owed


def run_owed(joint: str, *, role: str, store: Path | None, language: str, units: str, as_json: bool) -> None:
    """One joint's list, or a line for each joint; of one role where it is asked for."""
    place, speech = place_at(store), paper_of(language, units, "a4").speech
    listed = {one.joint: one.owed for one in standings(place)} if not joint else {joint: owed(place, joint)}
    if role:
        listed = {name: tuple(o for o in each if o.by == role) for name, each in listed.items()}
    if as_json:
        put({"ok": True, "joints": [{"joint": name, "owed": to_data(each)} for name, each in listed.items()]})
        return
    for name, each in listed.items():
        print(f"{name}  {incomplete(each, speech) or speech.say('pack.whole')}")
        if joint:
            for one in still_owed(each):
                print(f"  {since(one, speech):16}  {speech.say(f'choice.{one.by}'):10}  {one.subject} ({one.key})")


def run_pack(
    name: str,
    joints: list[str],
    out: Path,
    *,
    by: str,
    paper: str,
    store: Path | None,
    language: str,
    units: str,
    as_json: bool,
) -> None:
    """Issue the pack and write it; nothing is issued where the file cannot be written."""
    from brightroot.app.pack import issue_pack
    from brightroot.store.bundle import bundle_bytes, write_pack

    if not out.parent.is_dir():
        raise Refused(field="out", wanted="a folder that exists", got=str(out.parent))
    on = paper_of(language, units, paper)
    files = issue_pack(place_at(store), joints, name=name, by=by, on=on, bundle=bundle_bytes)
    write_pack(out, files)
    if as_json:
        put({"ok": True, "pack": str(out), "files": sorted(files)})
    else:
        print(out, *sorted(files), sep="\n  ")
