"""The engines by themselves: one case in, one answer out, in the units of the case."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from brightroot.base.errors import Refused
from brightroot.base.formula import FORMULAS, estimate
from brightroot.model.codec import to_data
from brightroot.model.library import Library


def engines() -> Mapping[str, Callable[..., Any]]:
    """The engines by name."""
    from brightroot.physics.heat.case import answer_case
    from brightroot.physics.purge.case import answer_purge_case
    from brightroot.physics.tint.case import answer_growth_case

    return {
        "heat": answer_case,
        "purge": answer_purge_case,
        "tint-growth": answer_growth_case,
        "formula": answer_formula,
    }


def fact_engines(library: Library) -> Mapping[str, Callable[..., Any]]:
    """The engines that look facts up, by name."""
    from brightroot.app.chemistry import answer_chemistry
    from brightroot.app.optics_case import answer_optics_case
    from brightroot.app.welder_case import answer_welder_continuity, answer_welder_range

    return {
        "chemistry": partial(answer_chemistry, library=library),
        "welder-range": partial(answer_welder_range, library=library),
        "welder-continuity": partial(answer_welder_continuity, library=library),
        "tint-optics": partial(answer_optics_case, optics=library.optics),
    }


FACT_ENGINES = ("chemistry", "welder-range", "welder-continuity", "tint-optics")


def answer(
    engine: str,
    case: Any,
    *,
    at_s: float | None = None,
    progress: Callable[[float, float], None] | None = None,
    library: Callable[[], Library] | None = None,
) -> Any:
    """The answer of one case, or of a list of cases in order; a refused case of a list is answered by its error.

    `library` is called only for an engine that looks facts up. `at_s`: the moment of a purge's record of which is
    asked. `progress` hears how far a heat case has come, of how far.
    """
    table = dict(engines())
    if library is not None and engine in FACT_ENGINES:
        table |= fact_engines(library())
    if progress is not None:
        table["heat"] = partial(table["heat"], progress=progress)
    if engine not in table:
        raise Refused(
            field="engine", wanted="one of " + ", ".join((*table, *FACT_ENGINES)), got=engine, reason="refused.choice"
        )
    if at_s is not None:
        if engine != "purge":
            raise Refused(field="at", wanted="--at with purge only", got=engine, reason="refused.case")
        table[engine] = partial(table[engine], at_s=at_s)
    if isinstance(case, list):
        return [_or_refusal(table[engine], one) for one in case]
    if not isinstance(case, Mapping):
        raise Refused(field="case", wanted="a JSON object or a list of them", got=type(case).__name__)
    return table[engine](case)


def _or_refusal(engine: Callable[..., Any], case: Any) -> Any:
    try:
        if not isinstance(case, Mapping):
            raise Refused(field="case", wanted="a JSON object", got=type(case).__name__)
        return engine(case)
    except Refused as refused:
        return refused.envelope()


def answer_formula(case: Mapping[str, Any]) -> Mapping[str, Any]:
    """`{"formula": "purge.mixing.purge_time_s", "inputs": {…SI…}}` to its estimate, with caveats."""
    _load_formulas()
    name, inputs = case.get("formula"), case.get("inputs")
    if name not in FORMULAS:
        near = tuple(key for key in FORMULAS if str(name).split(".")[-1] in key)[:3]
        raise Refused(field="formula", wanted="the id of a formula", got=str(name), near=near, reason="refused.name")
    if not isinstance(inputs, Mapping):
        raise Refused(field="inputs", wanted="an object of numbers in SI", got=type(inputs).__name__)
    card = FORMULAS[str(name)]
    try:
        figure = estimate(_carded(card.function, card), **inputs)
    except TypeError as fault:
        raise Refused(field="inputs", wanted=f"the inputs of {name}", got=str(fault)) from fault
    data: Mapping[str, Any] = to_data(figure)
    return data


def _carded(function: Callable[..., Any], card: Any) -> Callable[..., Any]:
    def asked(**inputs: Any) -> Any:
        return function(**inputs)

    asked.card = card  # type: ignore[attr-defined]
    return asked


def _load_formulas() -> None:
    """Importing the planner brings in every formula that a plan uses."""
    import brightroot.physics.purge.room_air
    import brightroot.planner.plan  # noqa: F401
