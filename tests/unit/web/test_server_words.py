"""Every id that a plan, a form or a set-up card can ask for is said, in both languages."""

from __future__ import annotations

import pytest

from brightroot.app.plan_joint import plan_facts
from brightroot.app.ports import Place
from brightroot.base.source import Standing
from brightroot.library.load import load_library
from brightroot.model.facts import FACTS
from brightroot.model.joint import POSITIONS
from brightroot.model.plan import Plan
from brightroot.render.words import LANGUAGES, words
from brightroot.store.logs import memory_store
from brightroot.web.settings import Settings, changed, cookie_of, settings_of
from brightroot.web.shown import Shown, slug

BASE = {
    "id": "J-05", "metal": "Gr 7", "pipe": "NPS 6 Sch 10S", "position": "5G", "included_angle_rad": "60°",
    "land_m": "0.5 mm", "gap_m": "2.4 mm", "dam_kind": "foam", "dam_span_m": "600 mm", "vent_diameter_m": "8 mm",
}  # fmt: skip
OTHER = {**BASE, "metal": "316L", "pipe": "NPS 4 Sch 40S", "position": "2G", "feed": "low"}


@pytest.fixture(scope="module")
def plans() -> tuple[Plan, ...]:
    store = memory_store()
    place = Place(load_library(), store, lambda: 0.0)
    made = tuple(plan_facts(place, facts) for facts in (BASE, OTHER))
    store.close()
    return made


def unsaid(ids: set[str], language: str) -> list[str]:
    return sorted(i for i in ids if not words(language).has(i))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_figure_and_input_of_a_plan_has_a_name(plans: tuple[Plan, ...], language: str) -> None:
    shown = Shown(Settings(language=language))
    stems = {f"figure.{key.rsplit('.', 1)[1]}" for plan in plans for key in plan.figures}
    assert unsaid(stems, language) == []
    for plan in plans:
        for key, figure in plan.figures.items():
            assert "«" not in shown.label(key)
            for row in figure.inputs:
                label = shown.input_label(row.name)
                assert any(words(language).has(f"{t}.{row.name}") for t in ("figure", "input", "field")) or any(
                    ch.isdigit() for ch in label
                ), row.name


@pytest.mark.parametrize("language", LANGUAGES)
def test_set_up_concerns_caveats_passes_and_orders_are_said(plans: tuple[Plan, ...], language: str) -> None:
    rows = [row for plan in plans for row in plan.set_up]
    ids = {row.name for row in rows} | {row.says for row in rows if row.says}
    ids |= {concern.name for plan in plans for concern in plan.concerns}
    ids |= {f"pass.{name}" for name in ("root", "hot", "fill", "cap")}
    ids |= {f"order.{slug(position.order)}" for position in POSITIONS.values()}
    ids |= {f"standing.{standing}" for standing in Standing}
    ids |= {c for plan in plans for f in plan.figures.values() for c in f.caveats if c.startswith("caveat.")}
    assert unsaid(ids, language) == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_fact_has_label_hint_and_choices(language: str) -> None:
    shown = Shown(Settings(language=language))
    assert unsaid({f"{table}.{fact.name}" for fact in FACTS for table in ("field", "hint")}, language) == []
    for fact in FACTS:
        for choice in fact.choices:
            tables = [f"{table}.{slug(choice)}" for table in ("choice", "fact_choice")]
            assert any(words(language).has(i) for i in tables), choice
            assert shown.choice(choice)


def test_settings_survive_their_cookie_and_ignore_what_is_unknown() -> None:
    settings = Settings(theme="sun", units="us", language="es", hand="left", stamp="W-07 ñ&=;")
    assert settings_of(cookie_of(settings)) == settings
    assert changed(settings, {"theme": "neon", "hand": ""}) == settings
    assert settings_of("").stamp == ""
    assert settings_of("", by="W-01").stamp == "W-01"


def test_a_figure_is_taken_apart_without_losing_its_range(plans: tuple[Plan, ...]) -> None:
    length = plans[0].figures["heat.shield_length_m"]
    figure = Shown(Settings()).figure(length, "heat.shield_length_m")
    assert (figure.unit, figure.value, figure.other[-2:]) == ("mm", f"{length.value * 1000:.1f}", "in")
    assert figure.range == f"{figure.low}–{figure.high}"
    in_us = Shown(Settings(units="us")).figure(plans[0].figures["heat.shield_length_m"], "heat.shield_length_m")
    assert in_us.unit == "in"


def test_gas_is_told_in_round_numbers() -> None:
    assert [Shown(Settings()).gas(v) for v in (0.42, 1.66)] == ["420 L", "1.7 m³"]
    assert Shown(Settings(units="us")).gas(1.66) == "59 ft³"
