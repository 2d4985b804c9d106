"""Solvents that are refused by name, in whichever words a can carries them, and why."""

from __future__ import annotations

import re
import unicodedata

from brightroot.base.errors import Refused

WANTED = "acetone or MEK, halide-free"
# with a trace of chloride it cracks titanium and zirconium; the can is refused for every metal, for it stands on one bench
METHANOL = re.compile(
    r"methanol|metanol|methyl(?:ated)?\s*(?:alcohol|spirits?)|alcohol\s*(?:met[iy]lico|de\s*madera)|wood\s*(?:alcohol|spirit)"
    r"|carbinol|\bmeoh\b|denatured\s*alcohol|alcohol\s*desnaturalizado|\bmeths\b"
)
# chloride left behind cracks hot metal, and arc light turns the vapour to poison
CHLORINATED = re.compile(
    r"chlor|cloro|clorad|\btrike?\b|\btri\b|\btce\b|\bpce\b|\bperc\b|\bdcm\b|\b1,?\s*1,?\s*1\b|freon|\br-?113\b|carbon\s*tet"
    r"|percl|tricl|lejia|bleach|bromide|bromuro"
)


def refused_solvent(text: str, *, field: str) -> Refused | None:
    """The refusal of a solvent by its name, or None where nothing is known against it.

    >>> [(r.reason if (r := refused_solvent(t, field="solvent")) else None) for t in ("MEK", "Alcohol metílico", "TCE")]
    [None, 'refused.methanol', 'refused.chlorinated']
    """
    plain = unicodedata.normalize("NFKD", text.lower()).encode("ascii", "ignore").decode()
    plain = re.sub(
        r"\b(?:non|no|sin|free of|without)[\s-]*(?:chlorinated|clorado|cloro)|chlor\w*[\s-]*free|halide[\s-]*free",
        "",
        plain,
    )
    for pattern, reason in ((METHANOL, "refused.methanol"), (CHLORINATED, "refused.chlorinated")):
        if pattern.search(plain):
            return Refused(field=field, wanted=WANTED, got=text, reason=reason)
    return None
