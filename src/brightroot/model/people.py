"""What is written in a person's own log and in the shop's rules: kinds of event beside those of a joint."""

from __future__ import annotations

from brightroot.model.event import Field, Kind

_WHY = Field("why", "text")
_DAY = Field("date", "date")


def _maybe(name: str) -> Field:
    return Field(name, "text", required=False)


PEOPLE_KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind(
            "qualification.recorded",
            "record",
            (Field("qualification", "data"), Field("facts", "data"), _maybe("evidence_sha256")),
            by_hand=False,
        ),
        Kind("qualification.renewed", "record", (Field("qualification", "text"), _DAY, _maybe("evidence_sha256"))),
        Kind("qualification.revoked", "record", (Field("qualification", "text"), _DAY, _WHY)),
        Kind(
            "process.used",
            "record",
            (_DAY, Field("process", "text"), *map(_maybe, ("metal", "weld", "evidence_sha256"))),
        ),
        Kind("event.withdrawn", "record", (_WHY,)),
    )
}
RULES_KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        # who has the text before them: which edition, and where in it they read the row
        Kind("row.confirmed", "record", tuple(Field(n, "text") for n in ("code", "row", "edition", "ref"))),
        Kind("rule.tightened", "record", (Field("code", "text"), Field("row", "text"), Field("limit", "data"), _WHY)),
        Kind("event.withdrawn", "record", (_WHY,)),
    )
}
