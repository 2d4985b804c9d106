"""Which logs of a store are a joint's, a person's, a procedure's, the shop's own rules or its crew: told by how names begin.

All are sealed alike and kept in one file; whoever lists joints sees only joints.
"""

from __future__ import annotations

import re

from brightroot.base.errors import Refused

PEOPLE = "people/"
RULES = "rules/"
SHOP = RULES + "shop"
PROCEDURES = "procedures/"
ACCESS = "access/"
CREW = ACCESS + "shop"
RESERVED = (PEOPLE, RULES, PROCEDURES, ACCESS)

_STAMP = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,19}")
_PROCEDURE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,39}")


def is_joint(log: str) -> bool:
    """Whether a log of that name is a joint's.

    >>> is_joint("J-05"), is_joint("people/W-07"), is_joint("rules/shop")
    (True, False, False)
    """
    return not log.startswith(RESERVED)


def log_of(stamp: str, *, field: str = "stamp") -> str:
    """The name of a person's own log. A stamp is a short mark, never a name with spaces.

    >>> log_of("W-07")
    'people/W-07'
    """
    stamp = stamp.strip()
    if not _STAMP.fullmatch(stamp):
        reason = "refused.plain" if stamp else "refused.missing"
        raise Refused(field=field, wanted="a stamp like W-07", got=stamp or "nothing", reason=reason)
    return PEOPLE + stamp


def procedure_log(name: str, *, field: str = "procedure") -> str:
    """The name of a written procedure's log.

    >>> procedure_log("WPS-T14")
    'procedures/WPS-T14'
    """
    name = name.strip()
    if not _PROCEDURE.fullmatch(name):
        reason = "refused.plain" if name else "refused.missing"
        raise Refused(field=field, wanted="a procedure's name like WPS-T14", got=name or "nothing", reason=reason)
    return PROCEDURES + name


def stamp_of(log: str) -> str:
    """Whose log it is."""
    return log.removeprefix(PEOPLE)
