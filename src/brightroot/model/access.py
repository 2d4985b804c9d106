"""What is written in the shop's log of access: who works here in which roles, and which devices are let in."""

from __future__ import annotations

from brightroot.model.event import Field, Kind

_STAMP, _DEVICE, _WHY = Field("stamp", "stamp"), Field("device", "text"), Field("why", "text")
# where a device's signing key lies: in the device's own browser, which never gives it away, or with the server
HELD = ("device", "server")

ACCESS_KINDS: dict[str, Kind] = {
    k.name: k
    for k in (
        Kind("person.taken_on", "record", (_STAMP, Field("roles", "text"))),
        Kind("person.released", "record", (_STAMP, _WHY)),
        Kind(
            "device.enrolled",
            "record",
            (_DEVICE, Field("device_name", "text"), Field("public_key", "text"), Field("held", "text", choices=HELD)),
        ),
        Kind("device.revoked", "record", (_DEVICE, _WHY)),
    )
}
