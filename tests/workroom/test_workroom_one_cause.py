"""Each cause is told once, at the file and place where it stands, with an expectation that is one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from firsthand.fabric import SHARES, advice

FABRICS, COSTUME = "shelf/fabrics.toml", "costumes/baker/costume.toml"
PATTERN, BIB = "patterns/apron/pattern.toml", "patterns/apron/pieces/bib.json"
DIGITS = "9" * 5000
SECOND = '[[garment]]\nid = "{}"\npattern = "apron"\nsize = "M"\n'


@pytest.mark.parametrize(
    ("path", "old", "new", "told"),
    [
        (FABRICS, '"3 %"', '"60 %"', "fabric[1].shrink_along: found '60 %', expected at most 50 %. Correct the value."),
        (FABRICS, '"3 %"', "-0.1", "fabric[1].shrink_along: found -0.1, expected at least 0 %. Correct the value."),
        (FABRICS, "width = 140", "width = nan", "fabric[1].width: found NaN, expected a finite length. Correct the value."),
        (FABRICS, "width = 140", "width = 1979-05-27", "fabric[1].width: found 1979-05-27, expected a length, for example"),
        (FABRICS, "width = 140", f"width = {DIGITS}", "line 6: found a number of thousands of digits, expected a number that"),
        (FABRICS, 'schema = 1', 'schema = "1"', "schema: found '1', expected 1."),
        (COSTUME, "due = 2027-05-15", 'due = "tomorrow"', "due: found 'tomorrow', expected a date written as 2027-05-15."),
        (COSTUME, "due = 2027-05-15", "due = 12:00:00", "due: found 12:00:00, expected a date written as 2027-05-15."),
        (COSTUME, 'name = "Baker"', 'budget = "100"', "budget: found '100', expected a number without quotes."),
        (COSTUME, 'name = "Baker"', 'name = "\\u001b[2J"', "name: found '\\x1b[2J', expected words in one line."),
        (COSTUME, "hours = 2.5", "minutes = 0", "session[1].minutes: found 0, expected more than 0."),
        (COSTUME, "hours = 2.5", "minutes = -5", "session[1].minutes: found -5, expected more than 0."),
        (COSTUME, "hours = 2.5", "minutes = 1441", "session[1].minutes: found 1441, expected at most 1440."),
        (COSTUME, "hours = 2.5", 'minutes = "90"', "session[1].minutes: found '90', expected a number without quotes."),
        (COSTUME, "[[session]]", "[session]", "session: found one table, expected a list of tables. Write [[session]]"),
        (COSTUME, 'size = "M"', 'size = "M "', "garment[1].size: found 'M ', expected a size that neither begins nor ends"),
        (COSTUME, "[[garment]]", SECOND.format("apron") + 'over = ["apron"]\n[[garment]]', "garment[2].id: found 'apron'"),
        (PATTERN, "[[level]]", '[[seam]]\nid = "strap"\na = ["strap.end"]\nb = ["bib.top"]\n[[level]]', "seam[2].id: found"),
    ],
)  # fmt: skip
def test_one_cause_is_one_problem(room: Any, path: str, old: str, new: str, told: str) -> None:
    room.change(path, old, new)
    (problem,) = room.problems().values()
    assert str(problem).startswith(f"{path}, {told}")


def bib(room: Any) -> Any:
    return room.files[BIB]["sizes"]["S"]


def one_name(room: Any) -> None:
    bib(room)["edges"][1]["id"] = "hem"
    bib(room)["notches"] = [{"id": "n", "edge": "side", "at": 5}]


def one_point(room: Any) -> None:
    bib(room)["levels"] = [{"level": "waist", "a": [1, 1], "b": [1, 1]}]


def no_cloth(room: Any) -> None:
    bib(room)["edges"][0]["allowance"] = 1e-9


def half_a_grain(room: Any) -> None:
    bib(room)["grain"] = [[0, 0]]


def no_letter(room: Any) -> None:
    room.files[BIB]["piece"] = "\ud800"


def digits(room: Any) -> None:
    room.files[BIB] = json.dumps(room.files[BIB]).replace("[50.0, 10.0]", f"\n[{DIGITS}, 10]", 1)


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (one_name, "sizes.S.edges[2].id: found 'hem', expected an id used once."),
        (one_point, "sizes.S.levels[1].b: found the same point as a, expected another point."),
        (no_cloth, "sizes.S.edges[1].allowance: found 1e-09, expected nothing, or at least 0.01 mm."),
        (half_a_grain, "sizes.S.grain[2]: found nothing, expected 2 in the list. Put in what is missing."),
        (no_letter, "piece: found '\\ud800', expected words that can be written."),
        (digits, "line 2: found a number of thousands of digits"),
    ],
)
def test_one_cause_in_an_outline_is_one_problem(room: Any, spoil: Any, told: str) -> None:
    spoil(room)
    (problem,) = room.problems().values()
    assert str(problem).startswith(f"{BIB}, {told}")


def test_bad_edges_are_told_each_and_not_as_a_list_that_is_too_short(room: Any) -> None:
    for edge in bib(room)["edges"]:
        edge["allowance"] = -5
    assert [place for _, place in room.problems()] == [f"sizes.S.edges[{number}].allowance" for number in range(1, 5)]


def test_places_count_what_was_left_out_before_them(room: Any) -> None:
    room.change(COSTUME, "[[garment]]", SECOND.format("hood").replace('"M"', "5") + "[[garment]]")
    room.change(COSTUME, 'size = "M"', 'size = "XM"')
    assert [place for _, place in room.problems()] == ["garment[1].size", "garment[2].size"]


@pytest.mark.parametrize("name", ["a/b", "", " ", "\\u001b"])
def test_a_drafted_piece_has_a_name_that_can_be_named(room: Any, name: str) -> None:
    room.files[COSTUME] += f'\n[[garment.draft]]\nkind = "band"\nid = "{name}"\ndepth = 3\nlength = 30\n'
    (problem,) = room.problems().values()
    assert problem.place == "garment[1].draft[1].id"
    assert problem.expected == "a name of letters, digits, spaces, - and _"


def test_garments_are_not_worn_over_one_another_in_a_circle(room: Any) -> None:
    room.change(COSTUME, 'size = "M"', 'size = "M"\nover = ["hood"]')
    room.files[COSTUME] += SECOND.format("hood") + 'over = ["cape"]\n' + SECOND.format("cape") + 'over = ["hood"]\n'
    (problem,) = room.problems().values()
    assert str(problem).startswith(f"{COSTUME}, garment[2].over: found a circle: hood over cape over hood, expected")


def test_a_garment_is_worn_over_another_once(room: Any) -> None:
    room.change(COSTUME, 'size = "M"', 'size = "M"\nover = ["hood", "hood"]')
    room.files[COSTUME] += SECOND.format("hood")
    (problem,) = room.problems().values()
    assert str(problem).startswith(f"{COSTUME}, garment[1].over[2]: found 'hood', expected each garment once.")


@pytest.mark.parametrize("name", SHARES)
def test_the_greatest_share_that_a_file_may_say_is_one_the_fabric_room_takes(room: Any, name: str) -> None:
    room.change(FABRICS, 'shrink_along = "3 %"', f"{name} = {SHARES[name]}")
    assert advice(room.read().fabrics["ticking"])


# files that are there and cannot be read --------------------------------------------------------------------

ALL = ["workroom.toml", "machines.toml", "wearers/ines.toml", FABRICS, PATTERN, BIB, COSTUME]


@pytest.mark.parametrize("path", ALL)
@pytest.mark.parametrize("linked", [False, True])
def test_a_file_that_cannot_be_read_is_not_absent(room: Any, path: str, linked: bool) -> None:
    there: Path = room.write() / path
    there.unlink()
    if linked:
        there.symlink_to("nowhere")
    else:
        there.mkdir()
    room.files[path] = None
    (problem,) = room.problems().values()
    why = "a link that leads nowhere" if linked else "it is a folder"
    assert str(problem).startswith(f"{path}: found a file that cannot be read ({why}), expected the file.")


@pytest.mark.parametrize("path", ["wearers/a\x1b.toml", "patterns/a\x1b/pattern.toml", "costumes/a\x1b/costume.toml"])
def test_a_name_on_the_disk_plays_no_tricks_on_a_terminal(room: Any, path: str) -> None:
    like = {"wearers": "wearers/ines.toml", "costumes": COSTUME}
    room.files[path] = room.files.get(like.get(path.split("/")[0], ""), 'schema = 1\nunits = "cm"\nsizes = ["M"]\n')
    (problem,) = room.problems().values()
    assert str(problem).startswith(f"{path.split('/')[0]}: found the name 'a\\x1b")
