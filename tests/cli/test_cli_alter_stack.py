"""The stack of a garment: listed, switched, moved, taken out, and all that people wrote around it kept."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from firsthand.workroom.stacking import Change, _Stack

pytestmark = pytest.mark.xdist_group("demo")
Run = Callable[..., Any]

ENTRIES = """
# a copy, as the test line says
[[garment.alteration]]
kind = "scale"   # and not lengthen
id = "true-size"
printed = 10
measured = 9.7

# since she is tall
[[garment.alteration]]
kind = "lengthen"
level = "neck"
amount = 1       # enough?

[[garment.alteration]]
kind = "lengthen"
level = "neck"
amount = 2
off = true       # for now

# --- what follows ---

"""


@pytest.fixture
def brief(room: Path) -> Path:
    """The costume of the demo with a stack for its cape."""
    file = room / "costumes" / "tide-warden" / "costume.toml"
    text = file.read_text("utf-8")
    head, mark, tail = text.partition('[[garment]]\nid = "hood"')
    assert mark
    file.write_text(head.rstrip() + "\n" + ENTRIES + mark + tail, "utf-8")
    return file


def ids(answer: Any) -> list[tuple[str, bool]]:
    return [(row["id"], row["off"]) for row in answer.json["stack"]]


def test_the_stack_is_listed_with_what_each_entry_did(run: Run, room: Path, brief: Path) -> None:
    rows = run("stack", room, "cape", "--json").json["stack"]
    assert [(row["number"], row["id"], row["off"]) for row in rows] == [
        (1, "true-size", False), (2, "lengthen 1", False), (3, "lengthen 2", True),
    ]  # fmt: skip
    assert rows[0]["words"].startswith("Scaled by 1.0309")
    assert rows[2]["words"] == ""
    told = run("stack", room, "cape").out
    assert "1  on       true-size: Scaled by" in told
    assert "3  off      lengthen 2" in told
    assert "no alterations" in run("stack", room, "skirt").out


def test_switching_changes_one_line_and_undo_brings_it_back(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_text("utf-8")
    assert ids(run("stack", room, "cape", "--off", "lengthen 1", "--on", "lengthen 2", "--json"))[1:] == [
        ("lengthen 1", True), ("lengthen 2", False),
    ]  # fmt: skip
    after = brief.read_text("utf-8")
    gone, come = set(before.splitlines()) - set(after.splitlines()), set(after.splitlines()) - set(before.splitlines())
    assert (gone, come) == ({"off = true       # for now"}, {"off = true"})
    run("undo", room)
    assert brief.read_text("utf-8") == before


def test_a_moved_entry_takes_its_comment_along_and_all_keep_their_ids(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_text("utf-8")
    moved = run("stack", room, "cape", "--move", "lengthen 2", "--to", "1", "--json")
    assert ids(moved) == [("lengthen 2", True), ("true-size", False), ("lengthen 1", False)]
    text = brief.read_text("utf-8")
    assert '# a copy, as the test line says\n[[garment.alteration]]\nkind = "scale"   # and not lengthen' in text
    assert "# --- what follows ---" in text
    assert set(before.splitlines()) < set(text.splitlines())
    back = run("stack", room, "cape", "--move", "lengthen 2", "--to", "3", "--json")
    assert ids(back) == [("true-size", False), ("lengthen 1", False), ("lengthen 2", True)]


def test_a_dropped_entry_goes_with_its_comment(run: Run, room: Path, brief: Path) -> None:
    assert ids(run("stack", room, "cape", "--drop", "lengthen 1", "--json")) == [("true-size", False), ("lengthen 2", True)]
    text = brief.read_text("utf-8")
    assert "since she is tall" not in text
    assert "as the test line says" in text
    rest = run("stack", room, "cape", "--drop", "true-size", "--drop", "lengthen 2", "--json")
    assert ids(rest) == []
    assert "# --- what follows ---" in brief.read_text("utf-8")


def test_an_only_one_of_its_kind_may_be_named_by_it(run: Run, room: Path, brief: Path) -> None:
    assert ids(run("stack", room, "cape", "--off", "scale", "--json"))[0] == ("true-size", True)
    assert ids(run("stack", room, "cape", "--on", "scale", "--move", "scale", "--to", "3", "--json"))[2] == ("true-size", False)
    before = brief.read_bytes()
    several = run("stack", room, "cape", "--off", "lengthen")
    assert several.code == 2
    assert "one of the 2 of this kind: lengthen 1, lengthen 2" in several.err
    nearly = run("stack", room, "cape", "--off", "true size 1")
    assert nearly.code == 2
    assert "Did you mean alteration true-size?" in nearly.err
    assert brief.read_bytes() == before


def test_a_refused_entry_says_why_once(run: Run, room: Path, brief: Path) -> None:
    brief.write_text(brief.read_text("utf-8").replace('level = "neck"\namount = 1 ', 'level = "nekc"\namount = 1 '), "utf-8")
    rows = run("stack", room, "cape", "--json").json["stack"]
    assert "there is no level called 'nekc'" in rows[1]["refused"]
    assert rows[1]["words"] == ""
    told = run("stack", room, "cape").out
    (line,) = [line for line in told.splitlines() if "nekc" in line]
    assert line.startswith("  2  refused  lengthen 1: there is no level called 'nekc'")
    assert told.count("lengthen 1") == 1
    assert "Did you mean level neck?" in told
    assert "Blocked until mended: cut cape" in told


def test_the_even_take_in_is_the_last_line(run: Run, room: Path) -> None:
    (row,) = run("stack", room, "hose", "--json").json["stack"]
    assert (row["number"], row["id"], row["kind"]) == (None, "take_in", "take-in")
    assert "evenly at side" in row["words"]
    assert "     on       take_in: Taken in" in run("stack", room, "hose").out


def test_what_is_not_there_is_named_and_nothing_is_written(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_bytes()
    for arguments, told in (
        (("cape", "--off", "hem"), "there is true-size, lengthen 1, lengthen 2"),
        (("cloak",), "cape"),
        (("cape", "--move", "true-size", "--to", "4"), "a number from 1 to 3"),
        (("cape", "--move", "true-size"), "a number from 1 to 3"),
    ):
        answer = run("stack", room, *arguments)
        assert answer.code == 2
        assert told in answer.err
    assert brief.read_bytes() == before


def changed(text: str, change: Change, number: int = 0) -> dict[str, Any]:
    return tomllib.loads(_Stack(text, tomllib.loads(text), number).changed(change, "costume.toml"))


HEAD = '[[garment]]\nid = "a"\n[[garment]]\nid = "b"\n'
X, Y = '[[garment.alteration]]\nkind = "x"\n', '[[garment.alteration]]\nkind = "y"\noff = true'
PLAIN = {
    "tables in brackets": 'garment = [{ id = "a" }, { id = "b", alteration = [{ kind = "x" }, { kind = "y", off = true }] }]\n',
    "a list in brackets": f'{HEAD}alteration = [\n  {{ kind = "x" }}, # one\n  {{ kind = "y", off = true }},\n]\n',
    "words that look like headers": f'{HEAD}note = """\n[[garment.alteration]]\n"""\n{X}{Y}',
    "tables within": f'{HEAD}{X}[[garment.alteration.station]]\nat = "hip"\n{Y}\n[[garment.draft]]\nkind = "band"',
    "headers with spaces": f"{HEAD}{X}{Y}\n".replace("[[garment.alteration]]", "  [[ garment . alteration ]] # more"),
}


@pytest.mark.parametrize("text", PLAIN.values(), ids=PLAIN)
def test_however_the_file_is_written_only_the_stack_changes(text: str) -> None:
    before = tomllib.loads(text)
    x, y = before["garment"][1]["alteration"]
    rest = {key: value for key, value in before["garment"][1].items() if key != "alteration"}
    for change, wanted in (
        (Change(on=("y 1",)), [x, {"kind": "y"}]),
        (Change(off=("x 1",)), [{**x, "off": True}, y]),
        (Change(move="y 1", to=1), [y, x]),
        (Change(drop=("x 1",)), [y]),
        (Change(drop=("x 1", "y 1")), None),
        (Change(off=("y 1",)), [x, y]),
    ):
        after = changed(text, change, 1)
        stack = {} if wanted is None else {"alteration": wanted}
        assert after == {**before, "garment": [before["garment"][0], {**rest, **stack}]}
