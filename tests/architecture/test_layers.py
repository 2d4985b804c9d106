"""The architecture in two lists: imports point down, siblings never meet, and layers 1 to 5 are pure."""

import ast
from pathlib import Path

import brightroot

ROOT = Path(brightroot.__file__).parent

LAYERS = {
    "base": 1,
    "model": 2,
    "physics": 3,
    "rules": 3,
    "records": 3,
    "planner": 4,
    "live": 4,
    "documents": 4,
    "app": 5,
    "library": 6,
    "store": 6,
    "instruments": 6,
    "render": 6,
    "web": 7,
    "api": 7,
    "cli": 8,  # its `serve` starts the web
}
# what a layer may use beside everything below it; adapters see shapes, not work
ADAPTERS_SEE = {"base", "model"}
PURE_TO = 5
IMPURE = {
    "os",
    "io",
    "time",
    "random",
    "socket",
    "sqlite3",
    "pathlib",
    "subprocess",
    "logging",
    "threading",
    "asyncio",
    "urllib",
    "secrets",
}


def modules():
    return sorted(p for p in ROOT.rglob("*.py") if p.parent != ROOT)


def imports(path):
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write the whole name of what is imported"
            yield node.module


def test_every_folder_has_a_layer():
    folders = {p.relative_to(ROOT).parts[0] for p in modules()}
    assert folders <= set(LAYERS)


def test_imports_point_down():
    wrong = []
    for path in modules():
        own = path.relative_to(ROOT).parts[0]
        for name in imports(path):
            parts = name.split(".")
            if parts[0] != "brightroot" or len(parts) < 2 or parts[1] == own:
                continue
            other = parts[1]
            below = LAYERS[other] < LAYERS[own]
            if LAYERS[own] == 6:
                below = other in ADAPTERS_SEE
            if not below:
                wrong.append(f"{path.relative_to(ROOT)} imports {name}")
    assert wrong == []


def test_the_core_is_pure():
    wrong = []
    for path in modules():
        if LAYERS[path.relative_to(ROOT).parts[0]] > PURE_TO:
            continue
        wrong += [f"{path.relative_to(ROOT)} imports {n}" for n in imports(path) if n.split(".")[0] in IMPURE]
    assert wrong == []


def test_physics_knows_no_material():
    """A formula gets numbers; who the metal is stays with the planner."""
    wrong = [
        str(p.relative_to(ROOT))
        for p in (ROOT / "physics").rglob("*.py")
        if any((n or "").startswith("brightroot.model") for n in imports(p))
    ]
    assert wrong == []
