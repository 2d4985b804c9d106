"""A plan as a notebook shows it: one table of headline figures, every one with its range and its standing."""

from __future__ import annotations

from html import escape

from brightroot.base.glossary import GLOSSARY
from brightroot.base.show import show_range, stem_of
from brightroot.model.plan import Plan

HEADLINES = (
    "groove.deposit_kg", "purge.time_s", "purge.argon_m3", "runs.1.hold_s", "runs.1.wait_s", "heat.shield_length_m",
    "gas.argon_m3", "time.total_s",
)  # fmt: skip


def plan_html(plan: Plan, *, keys: tuple[str, ...] = HEADLINES, system: str = "metric") -> str:
    """The plan as an HTML table: `display(HTML(plan_html(plan)))`. Keys that the plan has not are left out."""
    rows = "".join(
        f'<tr><th scope="row" title="{escape(_meaning(key))}">{escape(key)}</th>'
        f"<td>{escape(show_range(figure.low, figure.value, figure.high, name=key, system=system))}</td>"
        f"<td>{escape(figure.standing)}</td></tr>"
        for key in keys
        if (figure := plan.figures.get(key)) is not None
    )
    caption = f"{plan.joint.id}: {len(plan.passes)} passes, {len(plan.runs)} runs, {plan.filler}"
    return f"<table><caption>{escape(caption)}</caption><tbody>{rows}</tbody></table>"


def _meaning(key: str) -> str:
    term = GLOSSARY.get(stem_of(key))
    return term.meaning if term else ""
