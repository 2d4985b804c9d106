"""A test pack: several joints' dossiers issued at once, under one index."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from brightroot.app.dossier import Paper, issue
from brightroot.app.owed import standings
from brightroot.app.plan_joint import plan_of
from brightroot.app.ports import Place
from brightroot.base.errors import Refused, gathered
from brightroot.documents.sheets.pack import Packed, pack_index

INDEX = "index.pdf"


def issue_pack(
    place: Place, joints: Sequence[str], *, name: str, by: str, on: Paper, bundle: Callable[..., tuple[bytes, str]]
) -> dict[str, bytes]:
    """The files of the pack by name: the index, and each joint's bundle. Refused before anything is issued.

    `bundle` writes one joint's container and its seal. Each joint's own log says that it was issued, and the index
    carries the head that stands on each paper.
    """
    names = tuple(dict.fromkeys(joint.strip() for joint in joints if joint.strip()))
    wrong = []
    if not names:
        wrong.append(Refused(field="joints", wanted="one joint or more", got="nothing", reason="refused.missing"))
    if not name.strip():
        wrong.append(Refused(field="name", wanted="a name like TP-1", got="nothing", reason="refused.missing"))
    if not by.strip():
        wrong.append(Refused(field="by", wanted="your stamp, like W-07", got="nothing", reason="refused.missing"))
    if wrong:
        raise gathered(wrong)
    for joint in names:
        plan_of(place, joint)
    stand = sorted(standings(place, names), key=lambda one: names.index(one.joint))
    lines = [Packed(one.joint, one.pipe, one.owed, one.events_count, one.head) for one in stand]
    dated_s = max((one.last_s for one in stand if one.last_s is not None), default=None)
    index = on.pdf(pack_index(name.strip(), lines, speech=on.speech, paper=on.paper, dated_s=dated_s))
    made = {joint: issue(place, joint, by=by.strip(), on=on) for joint in names}
    return {INDEX: index} | {
        f"{joint}.zip": bundle(stored=one.stored, attachments=one.attachments, files=one.files, about=one.about)[0]
        for joint, one in made.items()
    }
