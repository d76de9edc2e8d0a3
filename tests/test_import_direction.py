"""The house keeps its order: rooms import only rooms above them, as the table of docs/architecture.md says."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "firsthand"
HEAVY = {"scipy", "shapely", "spyrrow", "ezdxf", "reportlab", "svgelements", "numpy", "pyclipper", "typer", "rich", "jinja2"}
NOT_DOMAIN = {"cli"}
"""Rooms that speak to people: the others compute and print nothing."""


def table() -> list[tuple[str, ...]]:
    """The room or rooms of each row, top to bottom."""
    rows = re.findall(r"^\| ([^|]*`[^|]*) \|", (ROOT / "docs" / "architecture.md").read_text("utf-8"), flags=re.MULTILINE)
    return [tuple(name.strip("/") for name in re.findall(r"`([\w/]+)`", row)) for row in rows]


ROWS = table()
HEIGHT = {name: height for height, row in enumerate(ROWS) for name in row}
MODULES = sorted(SOURCE.rglob("*.py"))


def room(module: Path) -> str:
    return module.relative_to(SOURCE).parts[0].removesuffix(".py")


def imports(module: Path) -> list[tuple[str, int]]:
    """Every module named by an import anywhere in a file, in full, with its line."""
    return named(module.read_text("utf-8"), ["firsthand", *module.relative_to(SOURCE).parts[:-1]])


def named(text: str, package: list[str]) -> list[tuple[str, int]]:
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            found += [(alias.name, node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) + 1 - node.level] if node.level else []
            name = ".".join([*base, *([node.module] if node.module else [])])
            found += [(f"{name}.{alias.name}" if name == "firsthand" else name, node.lineno) for alias in node.names]
    return found


def below(here: str, names: list[tuple[str, int]]) -> list[str]:
    """The imports that point downwards or sideways; modules of the floor may use each other."""
    wrong = []
    for name, line in names:
        there = name.split(".")[1] if name.startswith("firsthand.") else here
        if there == here:
            continue
        if there not in HEIGHT or HEIGHT[there] > HEIGHT[here]:
            wrong.append(f"line {line}: {here} imports {name}")
    return wrong


def test_the_table_is_read():
    assert ROWS[0] == ("errors", "findings", "units", "registry")
    assert ROWS[1] == ("geometry",)
    assert ROWS[-1] == ("cli",)
    assert len(HEIGHT) == sum(len(row) for row in ROWS)


def test_every_room_is_in_the_table():
    rooms = {room(module) for module in MODULES} - {"__init__", "__main__"}
    assert rooms == set(HEIGHT)


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(SOURCE)))
def test_a_room_imports_only_rooms_above_it(module):
    if room(module) not in {"__init__", "__main__"}:
        assert below(room(module), imports(module)) == []


@pytest.mark.parametrize("module", [m for m in MODULES if m.name == "model.py"], ids=lambda m: m.parent.name)
def test_models_are_light(module):
    assert {name.split(".")[0] for name, _ in imports(module)} & HEAVY == set()


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(SOURCE)))
def test_domain_rooms_print_nothing(module):
    if room(module) in NOT_DOMAIN | {"__main__"}:
        return
    calls = [
        node.lineno
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
    ]
    assert not calls


@pytest.mark.parametrize(
    "text",
    ["from firsthand import lay", "from firsthand.lay.model import Lay", "import firsthand.sheets", "from ..lay import model"],
)
def test_a_wrong_import_is_seen(text):
    assert below("geometry", named(text, ["firsthand", "geometry"]))
    assert not below("cli", named(text, ["firsthand", "cli"]))


def test_the_cache_knows_the_rooms_in_the_order_of_the_table():
    from firsthand.workroom._cache import ROOMS

    order = [name for row in ROWS for name in row]
    assert list(ROOMS) == order[order.index("geometry") : order.index("workroom")]
