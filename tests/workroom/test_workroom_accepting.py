"""Alterations put into a costume's file: the file stays as it was written, and what is read again is what was put in."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from firsthand.alter import ALTERATIONS, Alteration, Flare, TakeIn
from firsthand.demo import demo_files, write_demo
from firsthand.errors import BadInput, NotThere
from firsthand.units import Unit
from firsthand.workroom import load_workroom
from firsthand.workroom._kinded import Kinds
from firsthand.workroom._reading import Gathered
from firsthand.workroom.accepting import accept, entry_text, with_entries

TEXT = demo_files()["costumes/tide-warden/costume.toml"].decode()
EXAMPLES = re.findall(
    r"```toml\n(\[\[garment\.alteration\]\]\n.*?)```", (Path(__file__).parents[2] / "docs/kinds.md").read_text(), re.S
)
GARMENTS = [table["id"] for table in tomllib.loads(TEXT)["garment"]]


def read(text: str, units: Unit) -> tuple[Alteration, ...]:
    gathered = Gathered()
    found = Kinds("x.toml", "", units, gathered).read("alteration", tomllib.loads(text)["garment"]["alteration"], ALTERATIONS)
    gathered.finish()
    return found


def test_there_is_an_example_of_every_kind() -> None:
    assert {tomllib.loads(text)["garment"]["alteration"][0]["kind"] for text in EXAMPLES} == set(ALTERATIONS)


@pytest.mark.parametrize("units", [Unit.CM, Unit.MM, Unit.INCH])
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda text: re.findall(r'kind = "(.*?)"', text)[0])
def test_what_is_written_reads_as_it_was(example: str, units: Unit) -> None:
    (entry,) = read(example, Unit.CM)
    (again,) = read(entry_text(entry, units), units)
    if units is not Unit.INCH:
        assert again == entry
    assert entry_text(again, units) == entry_text(entry, units)


@pytest.mark.parametrize("number", range(len(GARMENTS)), ids=GARMENTS)
@pytest.mark.parametrize("first", [True, False])
def test_nothing_else_in_the_file_changes(number: int, first: bool) -> None:
    new = [TakeIn(12.0, seams=("side",), id="new one"), Flare(edges=("front.hem",), amount=40.0)]
    made = with_entries(TEXT, number, new, note="pinned on the first Saturday", first=first)
    added = [line for line in made.splitlines() if line not in TEXT.splitlines()]
    assert [line for line in made.splitlines() if line in TEXT.splitlines() and line.strip()][:1] == TEXT.splitlines()[:1]
    assert "# pinned on the first Saturday" in added
    rest = tomllib.loads(made)
    stack = rest["garment"][number].pop("alteration")
    before = tomllib.loads(TEXT)
    old = before["garment"][number].pop("alteration", [])
    assert rest == before
    assert (stack[:2] if first else stack[-2:]) == [entry for entry in stack if entry not in old]
    assert [entry for entry in stack if entry in old] == old
    for comment in re.findall(r"#.*", TEXT):
        assert comment in made


def test_an_empty_stack_in_a_file_without_a_last_line_break() -> None:
    text = 'schema = 1\nunits = "cm"\nwearer = "w"\n[[garment]]\nid = "a"\npattern = "a"\nsize = "M"'
    made = with_entries(text, 0, [TakeIn(12.0)])
    assert made.endswith('size = "M"\n\n[[garment.alteration]]\nkind = "take-in"\namount = 1.2\n')


def test_entries_written_on_one_line_are_refused_with_the_place() -> None:
    text = 'schema = 1\nwearer = "w"\n[[garment]]\nid = "a"\nalteration = [{ kind = "scale", printed = 1, measured = 2 }]\n'
    with pytest.raises(BadInput, match="Add it by hand"):
        with_entries(text, 0, [TakeIn(12.0)])


def test_an_id_that_is_taken_is_refused() -> None:
    once = with_entries(TEXT, 1, [TakeIn(12.0, id="pins")])
    with pytest.raises(BadInput, match="used once"):
        with_entries(once, 1, [TakeIn(6.0, id="pins")])


def test_accepted_entries_are_read_with_the_workroom_and_undone_with_it(tmp_path: Path) -> None:
    write_demo(tmp_path / "room")
    room = load_workroom(tmp_path / "room")
    costume = room.costumes["tide-warden"]
    accept(room, costume, "hose", [TakeIn(12.0, seams=("side",), id="pins")], note="pinned")
    again = load_workroom(tmp_path / "room").costumes["tide-warden"].garment("hose")
    assert again.alterations[-1] == TakeIn(12.0, seams=("side",), id="pins")
    with pytest.raises(NotThere):
        accept(room, costume, "boots", [TakeIn(12.0)])
