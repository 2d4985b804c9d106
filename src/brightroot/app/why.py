"""A figure opened: its formula, its inputs with their sources, its range, and how to check it by hand."""

from __future__ import annotations

from dataclasses import dataclass

from brightroot.app.ports import Place
from brightroot.app.tint import joint_tint
from brightroot.base.errors import Refused
from brightroot.base.formula import FORMULAS, Estimate, Input
from brightroot.base.show import fill_hand
from brightroot.base.source import Source, Standing
from brightroot.model.plan import Plan


@dataclass(frozen=True, slots=True)
class WhyInput:
    """One input as it is told: its name, value, range, where it came from, and the source behind that."""

    input: Input
    source: Source | None
    figure: str  # the key of another figure that it opens to, or ''


@dataclass(frozen=True, slots=True)
class Why:
    """Everything behind one figure."""

    key: str
    figure: Estimate
    equation: str
    hand: str
    source: Source | None
    where: str
    standing: Standing
    inputs: tuple[WhyInput, ...]
    holds: tuple[tuple[str, float, float], ...]
    dominant: str
    caveats: tuple[str, ...]


def why(place: Place, plan: Plan, key: str) -> Why:
    """Open one figure of a plan. Raises Refused where the plan has no such figure."""
    figure = plan.figures.get(key) or _as_made(place, plan, key)
    if figure is None:
        same = [k for k in plan.figures if k.split(".")[-1] == key.split(".")[-1]]
        near = tuple(sorted(same, key=lambda k: (k.count("."), same.index(k))))[
            :3
        ]  # the joint's own before one run's or dam's
        raise Refused(field="key", wanted="a figure of this plan", got=key, near=near, reason="refused.figure")
    card = FORMULAS.get(figure.formula)
    values = {row.name: row.value for row in figure.inputs}
    sources = place.library.sources
    rows = tuple(
        WhyInput(row, sources.get(row.ref), row.ref if row.ref in plan.figures else "") for row in figure.inputs
    )
    dominant = figure.dominant
    return Why(
        key=key,
        figure=figure,
        equation=card.equation if card else "",
        hand=_hand(card.hand, {**values, card.result: figure.value, figure.name: figure.value}) if card else "",
        source=sources.get(card.source) if card else None,
        where=card.where if card else "",
        standing=figure.standing,
        inputs=rows,
        holds=tuple((name, low, high) for name, (low, high) in card.holds.items()) if card else (),
        dominant=dominant.name if dominant else "",
        caveats=figure.caveats,
    )


def _as_made(place: Place, plan: Plan, key: str) -> Estimate | None:
    """A figure that no plan holds: the dose or the film of a run as it was made."""
    if not (key.startswith("runs.") and key.endswith(("_dose_frac_s", "_film_m"))):
        return None
    return joint_tint(place, plan.joint.id).figures().get(key)


def _hand(template: str, values: dict[str, float]) -> str:
    """The hand check with its numbers; where the formula took a word, the sentence stays as far as it goes."""
    try:
        return fill_hand(template, values)
    except KeyError:
        return template.split("{")[0].strip()
