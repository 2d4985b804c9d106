"""Writes the generated pages: `python docs/make.py`. A test compares them with the code, so they cannot go stale."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import sys
import tomllib
from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
ROOT = HERE.parent
sys.path.insert(0, str(ROOT / "src"))

import brightroot.physics  # noqa: E402
from brightroot.base.formula import FORMULAS, Card  # noqa: E402
from brightroot.base.glossary import GLOSSARY  # noqa: E402
from brightroot.base.show import show  # noqa: E402
from brightroot.base.source import Standing  # noqa: E402
from brightroot.base.units import dimension_of, read  # noqa: E402
from brightroot.documents.rule_value import value_of  # noqa: E402
from brightroot.library.load import load_library  # noqa: E402
from brightroot.live.phases import TRANSITIONS  # noqa: E402
from brightroot.model.event import KINDS, Field  # noqa: E402
from brightroot.model.facts import FACTS  # noqa: E402

NOTE = "<!-- written by docs/make.py: change the code, not this page -->\n"


def pages() -> dict[str, str]:
    """Every generated page by its path under docs/, as text."""
    made: dict[str, Callable[[], str]] = {
        "reference/formulas.md": formulas,
        "reference/events.md": events,
        "reference/facts.md": facts,
        "reference/commands.md": commands,
        "reference/pages.md": web_pages,
        "reference/clauses.md": clauses,
        "reference/rule-rows.md": rule_rows,
        "reference/phases.md": phases,
        "glossary.md": glossary,
        "validation.md": validation,
    }
    return {name: NOTE + make().rstrip() + "\n" for name, make in made.items()}


def cell(text: object) -> str:
    """Text that cannot break a table."""
    return str(text).replace("|", "\\|").replace("\n", " ") or " "


def table(head: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    """A Markdown table."""
    head = tuple(head)
    lines = [" | ".join(head), " | ".join("---" for _ in head)]
    lines += [" | ".join(cell(value) for value in row) for row in rows]
    return "\n".join(f"| {line} |" for line in lines) + "\n"


def cards() -> list[Card]:
    """All formulas of the physics, by name."""
    for module in pkgutil.walk_packages(brightroot.physics.__path__, "brightroot.physics."):
        importlib.import_module(module.name)
    own = [card for card in FORMULAS.values() if card.function.__module__.startswith("brightroot.")]
    return sorted(own, key=lambda card: card.id)


def formulas() -> str:
    """Every formula with its card."""
    text = (
        "# Formulas\n\nEach is a pure function under `brightroot.physics`; `brightroot why JOINT FIGURE` opens one with"
        " its numbers.\nRanges are what the formula was made for: a bare call outside them is refused, a plan answers"
        " with a caveat.\n"
    )
    sources = load_library().sources
    for card in cards():
        source = sources[card.source]
        where = f", {card.where}" if card.where else ""
        holds = "; ".join(f"{name} {_end(low, name)} to {_end(high, name)}" for name, (low, high) in card.holds.items())
        text += (
            f"\n## `{card.id}`\n\n{_first(card.function)}\n\n"
            f"- gives `{card.result}`\n- equation: {card.equation}\n- by hand: `{card.hand}`\n"
            f"- source: {source.title}{where} ({card.standing})\n"
        )
        text += f"- made for: {holds}\n" if holds else ""
        text += "- its inputs share their doubts: ends are taken all at once\n" if card.together else ""
    return text


def _first(function: Callable[..., Any]) -> str:
    return " ".join((inspect.getdoc(function) or "").split("\n\n")[0].split())


def _end(value: float, name: str) -> str:
    return show(value, name=name, both=False) if dimension_of(name) else f"{value:g}"


def events() -> str:
    """Every kind of event with its facts."""
    text = "# Events\n\nThe log of a joint is made of these. Facts in (brackets) may be left out: not recorded, never zero.\n"
    for group in dict.fromkeys(kind.group for kind in KINDS.values()):
        rows = [
            (f"`{k.name}`", ", ".join(map(_field, k.fields)) or "–", "" if k.by_hand else "the program only")
            for k in KINDS.values()
            if k.group == group
        ]
        text += f"\n## {group.capitalize()}\n\n" + table(("kind", "facts", "recorded by"), rows)
    return text


def _field(field: Field) -> str:
    choices = f" ({' / '.join(field.choices)})" if field.choices else ""
    said = f"`{field.name}`{choices}"
    return said if field.required else f"({said})"


def facts() -> str:
    """What a joint is declared from."""
    text = "# Facts of a joint\n\n`brightroot plan name=value …` takes these; so do the form and `/api/plan`.\n"
    for group in dict.fromkeys(fact.group for fact in FACTS):
        rows = [
            (f"`{f.name}`", GLOSSARY[_stem(f.name)].meaning, "yes" if f.required else "", f.start, f.example,
             ", ".join(f.choices))
            for f in FACTS
            if f.group == group
        ]  # fmt: skip
        text += f"\n## {group.capitalize()}\n\n"
        text += table(("fact", "meaning", "needed", "starts as", "example", "choices"), rows)
    return text


def _stem(name: str) -> str:
    from brightroot.base.show import stem_of

    return stem_of(name)


def commands() -> str:
    """The command line as it explains itself."""
    from brightroot.cli.main import app

    text = (
        "# Commands\n\nExit codes: 0 pass or done, 1 fail, 2 unknown, 64 something to mend in what was typed."
        " `--json` prints data.\n"
    )
    for command in app.registered_commands:
        assert command.callback is not None
        name = command.name or command.callback.__name__
        text += f"\n## `brightroot {name}`\n\n{inspect.getdoc(command.callback)}\n\n"
        rows = [_option(p) for p in inspect.signature(command.callback, eval_str=True).parameters.values()]
        text += table(("word", "what", "without it"), rows)
    return text


def _option(parameter: inspect.Parameter) -> tuple[str, str, str]:
    info = next((m for m in getattr(parameter.annotation, "__metadata__", ()) if hasattr(m, "help")), None)
    option = type(info).__name__ == "OptionInfo"
    declared = " ".join(info.param_decls or ()) if info and option else ""
    name = declared or (f"--{parameter.name}" if option else parameter.name.upper())
    missing = parameter.default in (inspect.Parameter.empty, None, "", [], False)
    return f"`{name}`", (info.help or "") if info else "", "" if missing else f"`{parameter.default}`"


def web_pages() -> str:
    """The screens and the data interface."""
    rows = []
    for view in sorted((ROOT / "src/brightroot/web/pages").glob("*/view.py")):
        tree = ast.parse(view.read_text(encoding="utf-8"))
        route = re.search(r'^ROUTE = "(.*)"', view.read_text(encoding="utf-8"), re.MULTILINE)
        rows.append((view.parent.name, f"`{route[1] if route else ''}`", ast.get_docstring(tree) or ""))
    text = "# Pages\n\n" + table(("page", "address", "what it shows"), rows)
    routes = []
    for path in sorted((ROOT / "src/brightroot/web").rglob("*.py")):
        for verb, route in re.findall(r'@router\.(get|post)\("([^"]+)"', path.read_text(encoding="utf-8")):
            routes.append((verb.upper(), f"`{route}`"))
    text += "\n## Addresses for programs and forms\n\n" + table(("verb", "address"), sorted(routes, key=lambda r: r[1]))
    return text


def clauses() -> str:
    """Every clause in our own words."""
    text = (
        "# Clauses\n\nOur own words; the standard's text is not here. A clause without its evidence is unknown, never"
        " passed.\n"
    )
    for code in load_library().codes.values():
        text += f"\n## {code.id}: {code.title}\n\nCovers: {code.covers}\n\nLeft out: {code.left_out}\n\n"
        rows = [(f"`{c.id}`", c.ref, c.says, f"{c.source} ({c.standing})") for c in code.clauses]
        text += table(("clause", "where", "says", "source"), rows)
    return text


def rule_rows() -> str:
    """Every row of the codes' tables: what it says, its value, and how that is known."""
    text = (
        "# Rows of rule tables\n\nWhat the welders' answers are worked out from, in our own words; both figures where a code"
        " prints two systems.\nA row from memory decides nothing until somebody who has the text confirms it on the"
        " [rules page](pages.md) or with `brightroot rules confirm`.\n"
    )
    for code in (c for c in load_library().codes.values() if c.rows):
        memory = sum(row.standing is Standing.MEMORY for row in code.rows)
        text += f"\n## {code.id}: {code.title}\n\n{len(code.rows)} rows, {memory} of them from memory. Covers: {code.covers}\n"
        for name in dict.fromkeys(row.table for row in code.rows):
            rows = [
                (f"`{r.id}`", r.ref, r.says, value_of(r), f"{r.source} ({r.standing})")
                for r in code.rows
                if r.table == name
            ]
            text += f"\n### {name.replace('_', ' ').capitalize()}\n\n"
            text += table(("row", "where", "says", "value", "source (standing)"), rows)
    return text


def phases() -> str:
    """The live state machine: the whole table."""
    rows = [(phase.value, f"`{kind}`", to.value) for (phase, kind), to in TRANSITIONS.items()]
    return (
        "# Phases\n\nWhere the work stands after an event. A kind of event that is not in the table leaves the phase as"
        " it is. A welder's own\nsignature does not close the joint.\n\n" + table(("phase", "event", "next"), rows)
    )


def glossary() -> str:
    """Every name once."""
    rows = [
        (t.stem, ", ".join(dict.fromkeys(d or u for d, u in zip(t.dimensions, t.units))), t.meaning, t.standard)
        for t in sorted(GLOSSARY.values(), key=lambda t: t.stem)
    ]
    return (
        "# Glossary\n\nEvery name in the program, without the unit at its end. The last column is what a standard or the"
        " trade calls it, from memory.\n\n" + table(("name", "measures", "meaning", "called elsewhere"), rows)
    )


def validation() -> str:
    """What was compared with what."""
    rows = tomllib.loads((ROOT / "tests/published/joint_weld_purge.toml").read_text(encoding="utf-8"))["row"]
    others = tomllib.loads((HERE / "compared.toml").read_text(encoding="utf-8"))["compared"]
    text = (
        "# What was compared with what\n\nNothing here is called validated. A comparison says how far off a number was"
        " from one that somebody else printed,\ncomputed or measured. No weld was measured for this software.\n\n"
        "## Printed numbers\n\n"
    )
    text += table(("formula", "printed", "ours", "off by", "printed where"), map(_row, rows))
    for kind, title in KINDS_OF_COMPARISON.items():
        own = [o for o in others if o["kind"] == kind]
        if own:
            text += f"\n## {title}\n\n"
            text += table(("what", "with what", "how far off", "test"), (_compared(o) for o in own))
    return text


KINDS_OF_COMPARISON = {
    "printed": "More printed texts",
    "program": "Independent programs and tables",
    "closed": "Closed answers and limits",
    "memory": "Texts recalled, not seen",
    "regression": "Against ourselves only: guards against change, proves nothing",
    "none": "Compared with nothing yet",
}


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    module, name = row["call"].rsplit(".", 1)
    card = getattr(importlib.import_module(f"brightroot.physics.{module}"), name).card
    given = {field: _si(value, field) for field, value in row["inputs"].items()}
    ours, printed = card.function(**given), _si(row["expected"], card.result)
    off = (ours - printed) / printed
    reason = f" ({row['reason']})" if "reason" in row else ""
    said = show(ours, name=card.result, both=False) if dimension_of(card.result) else f"{ours:.4g}"
    if isinstance(row["expected"], str) and "kJ/in" in row["expected"]:
        said = f"{float(Fraction(ours) * Fraction(254, 10**4) / 1000):.3f} kJ/in"
    return f"`{row['call']}`", f"{row['expected']}", said, f"{off:+.2%}{reason}", row["source"]


def _si(given: Any, field: str) -> Any:
    return read(given, field=field).value if isinstance(given, str) else given


def _compared(row: dict[str, str]) -> tuple[str, ...]:
    return row["what"], row["with"], row["off"], f"`{row['test']}`" if row.get("test") else ""


def main() -> None:
    """Write what changed and say so."""
    for name, text in pages().items():
        path = HERE / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
            print(f"wrote docs/{name}")


if __name__ == "__main__":
    main()
