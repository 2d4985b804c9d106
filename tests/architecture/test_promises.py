"""What the project promises of itself: names explained, formulas carded, work documented, words honest."""

import ast
import dataclasses
import importlib
import inspect
import pkgutil
import re
import subprocess
import tomllib
from collections import defaultdict
from pathlib import Path

import pytest

import brightroot
import brightroot.app
import brightroot.model
import brightroot.physics
from brightroot.base.formula import FORMULAS
from brightroot.base.glossary import GLOSSARY
from brightroot.base.show import fill_hand, stem_of
from brightroot.library.load import load_library
from brightroot.model.event import KINDS
from brightroot.model.facts import FACTS
from brightroot.render.words import missing_ids

PACKAGE = Path(brightroot.__file__).parent
ROOT = PACKAGE.parents[1]
REFERENCE = ROOT / "docs/reference"


def modules_of(package):
    return [importlib.import_module(m.name) for m in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")]


@pytest.fixture(scope="module")
def cards():
    modules_of(brightroot.physics)
    return {c.id: c for c in FORMULAS.values() if c.function.__module__.startswith("brightroot.")}


@pytest.fixture(scope="module")
def plan():
    from brightroot.app.plan_joint import plan_facts
    from brightroot.app.ports import Place
    from brightroot.cli.demo import LARGE, facts
    from brightroot.store.logs import memory_store

    place = Place(load_library(), memory_store(), lambda: 0.0)
    return plan_facts(place, facts("J-05", position="5G", pipe=LARGE))


def names(cards, plan):
    """Every name that the glossary must explain."""
    for module in modules_of(brightroot.model):
        for thing in vars(module).values():
            if inspect.isclass(thing) and dataclasses.is_dataclass(thing) and thing.__module__ == module.__name__:
                yield from (field.name for field in dataclasses.fields(thing))
    yield from (field.name for kind in KINDS.values() for field in kind.fields)
    yield from (fact.name for fact in FACTS)
    for card in cards.values():
        yield from (card.result, *inspect.signature(card.function).parameters)
    yield from (key.rsplit(".", 1)[-1] for key in plan.figures)


def test_the_glossary_explains_every_name_and_no_other(cards, plan):
    stems = {stem_of(name) for name in names(cards, plan)}
    assert {"missing": stems - set(GLOSSARY), "unused": set(GLOSSARY) - stems} == {"missing": set(), "unused": set()}


def test_the_glossary_tells_the_units_that_are_used(cards, plan):
    used = defaultdict(set)
    for name in names(cards, plan):
        unit = name.removeprefix(stem_of(name)).lstrip("_")
        used[stem_of(name)] |= {unit} - {""}
    wrong = {s: (sorted(t.units), sorted(used[s])) for s, t in GLOSSARY.items() if set(t.units) != used[s]}
    assert wrong == {}


def test_every_card_has_a_source_and_an_example(cards):
    sources = load_library().sources
    assert len(cards) > 80
    assert {c.id for c in cards.values() if c.source not in sources} == set()
    assert {c.id for c in cards.values() if ">>>" not in (inspect.getdoc(c.function) or "")} == set()


def test_every_hand_sentence_fills(cards):
    """With a number in every slot there is no slot left, and every slot is an input, the result, or its other name."""
    wrong = {}
    for card in cards.values():
        slots = re.findall(r"\{(\w+)", card.hand)
        inputs = inspect.signature(card.function).parameters
        open_ended = any(p.kind is p.VAR_KEYWORD for p in inputs.values())
        strange = set() if open_ended else set(slots) - set(inputs) - {card.result, card.function.__name__}
        try:
            said = fill_hand(card.hand, dict.fromkeys(slots, 1.0))
        except (KeyError, StopIteration, ValueError) as fault:
            wrong[card.id] = repr(fault)
            continue
        if strange or "{" in said or len(card.hand) < 10:
            wrong[card.id] = strange or said
    assert wrong == {}


def functions_without_a_docstring(package):
    for module in modules_of(package):
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not ast.get_docstring(node):
                yield f"{module.__name__}.{node.name}"


@pytest.mark.parametrize("package", [brightroot.physics, brightroot.app], ids=lambda p: p.__name__)
def test_public_functions_say_what_they_do(package):
    assert list(functions_without_a_docstring(package)) == []


def documented(page):
    return (REFERENCE / page).read_text(encoding="utf-8")


def test_every_kind_of_event_and_every_fact_is_documented():
    assert {kind for kind in KINDS if f"`{kind}`" not in documented("events.md")} == set()
    assert {fact.name for fact in FACTS if f"`{fact.name}`" not in documented("facts.md")} == set()


def test_every_command_is_documented():
    from brightroot.cli.main import app

    commands = {c.name or c.callback.__name__ for c in app.registered_commands}
    assert commands
    assert {c for c in commands if f"`brightroot {c}`" not in documented("commands.md")} == set()


def test_every_page_is_documented():
    pages = {p.parent.name for p in (PACKAGE / "web/pages").glob("*/view.py")}
    assert pages
    assert {page for page in pages if f"| {page} |" not in documented("pages.md")} == set()


def test_every_formula_and_clause_is_documented(cards):
    assert {name for name in cards if f"`{name}`" not in documented("formulas.md")} == set()
    clauses = {clause.id for code in load_library().codes.values() for clause in code.clauses}
    assert {name for name in clauses if f"`{name}`" not in documented("clauses.md")} == set()


def test_the_printed_phases_are_those_of_the_code():
    from brightroot.live.phases import TRANSITIONS

    rows = re.findall(r"^\| ([a-z ]+) \| `([a-z_.]+)` \| ([a-z ]+) \|$", documented("phases.md"), re.MULTILINE)
    assert {(a, kind): b for a, kind, b in rows} == {(a.value, kind): b.value for (a, kind), b in TRANSITIONS.items()}


def test_generated_pages_are_fresh():
    """Run `python docs/make.py` after a change and commit what it wrote."""
    spec = importlib.util.spec_from_file_location("docs_make", ROOT / "docs/make.py")
    make = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(make)
    stale = [name for name, text in make.pages().items() if (ROOT / "docs" / name).read_text(encoding="utf-8") != text]
    assert stale == []


def strings(value):
    if isinstance(value, dict):
        for inner in value.values():
            yield from strings(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner)
    elif isinstance(value, str):
        yield value


# said of a result they would promise what nobody here can promise
CLAIMS = re.compile(
    r"\b(?:certified|está certificad[oa]|code-compliant|compliant|safe to enter|seguro entrar|validated|validad[oa])\b",
    re.I,
)
DENIED = re.compile(r"\b(?:not|no|never|nothing|nunca|nada|ni|without|sin)\b", re.I)


@pytest.mark.parametrize("folder", ["words", "library/codes"])
def test_no_result_is_claimed(folder):
    found = [
        f"{path.relative_to(PACKAGE)}: {sentence}"
        for path in (PACKAGE / folder).rglob("*.toml")
        for text in strings(tomllib.loads(path.read_text(encoding="utf-8")))
        for sentence in re.split(r"(?<=[.;:]) ", text)
        if CLAIMS.search(sentence) and not DENIED.search(sentence)
    ]
    assert found == []


def test_both_languages_say_the_same():
    """Ids here; that the slots agree is checked with the words themselves."""
    assert missing_ids() == {}


# spelt in pieces, so that this file does not find itself
MACHINE = re.compile(r"(?<![\w.])/(?:wo" + r"rk|ro" + r"ot|ho" + r"me/\w+|Us" + r"ers/\w+)/[\w.]")
HOSTS = re.compile(
    r"(?:py" + r"pi\.org|py" + r"thonhosted|registry\.n" + r"pmjs|index-" + r"url|arti" + r"factory)", re.I
)
TEXT = {".py", ".toml", ".md", ".txt", ".html", ".js", ".css", ".typ", ".csv", ".json", ".svg", ""}


def test_nothing_names_a_machine_or_a_registry():
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )  # an unpacked release has no git: then the folders are walked
    tracked = listed.stdout.split("\0") if listed.returncode == 0 else [str(p) for p in (ROOT / "src").rglob("*")]
    found = []
    for name in filter(None, tracked):
        path = ROOT / name
        if path.suffix not in TEXT or not path.is_file():
            continue
        text = path.read_text(encoding="utf-8", errors="ignore")
        found += [f"{name}: {match[0]}" for match in (*MACHINE.finditer(text), *HOSTS.finditer(text))]
    assert found == []


def relative_links(text):
    return [link.split("#")[0] for link in re.findall(r"\]\((?!https?:|#|mailto:)([^)]+)\)", text)]


def test_links_between_pages_lead_somewhere():
    pages = [ROOT / "README.md", ROOT / "CHANGELOG.md", *(ROOT / "docs").rglob("*.md")]
    broken = [
        f"{page.relative_to(ROOT)}: {link}"
        for page in pages
        for link in relative_links(page.read_text(encoding="utf-8"))
        if link and not (page.parent / link).exists()
    ]
    assert broken == []


def test_every_comparison_names_a_test_that_exists():
    rows = tomllib.loads((ROOT / "docs/compared.toml").read_text(encoding="utf-8"))["compared"]
    named = [row["test"].split("::") for row in rows if row["kind"] != "none"]
    assert len(named) > 10
    assert [(file, test) for file, test in named if f"def {test}(" not in (ROOT / file).read_text()] == []


@pytest.mark.parametrize("name", ["run", "dev"])
def test_what_builds_the_project_is_locked_with_the_rest(name):
    """`./run` and `./test` install the project itself without fetching anything that is not in their list."""
    wanted = (ROOT / "requirements" / "build.in").read_text().split()
    listed = (ROOT / "requirements" / f"{name}.txt").read_text()
    assert wanted
    assert [one for one in wanted if f"{one.replace('_', '-')}==" not in listed] == []
