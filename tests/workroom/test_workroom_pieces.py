"""Putting pieces into a pattern leaves what people wrote as it is."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from firsthand.errors import BadInput
from firsthand.geometry import Path as Curve
from firsthand.geometry import Point
from firsthand.pattern import Corner, Cut, Edge, How, Piece, Rough, Shape
from firsthand.workroom import add_piece, add_pieces, history, load_workroom, undo

PATTERN, BIB = "patterns/apron/pattern.toml", "patterns/apron/pieces/bib.json"


def rectangle(width: float, height: float = 50.0, names: str = "hem side top centre") -> Shape:
    corners = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    edges = tuple(
        Edge(name, Corner(f"{name} corner"), Curve.line(a, b))
        for name, a, b in zip(names.split(), corners, [*corners[1:], corners[0]], strict=True)
    )
    return Shape(edges, (Point(width / 2, 1), Point(width / 2, height - 1)))


TIE = Piece("tie", "9", "Tie", (Cut("shell", How.PAIR),), sizes={"S": rectangle(33.3), "M": rectangle(40)})


def test_a_new_piece_is_put_behind_the_others(room: Any) -> None:
    folder = room.write()
    before = (folder / PATTERN).read_text()
    assert add_piece(folder, "apron", TIE) == 1
    after = (folder / PATTERN).read_text()
    added = '\n[[piece]]\nid = "tie"\nnumber = "9"\nname = "Tie"\ncut = [{role = "shell", how = "pair", count = 1}]\n'
    assert added in after
    assert after.replace(added, "", 1).split() == before.split()
    assert load_workroom(folder).patterns["apron"].pieces["tie"] == TIE
    assert history(folder)[0].words == "Tie put into apron"
    undo(folder)
    assert (folder / PATTERN).read_text() == before


def test_an_outline_in_another_size_joins_those_that_are_there(room: Any) -> None:
    del room.files[BIB]["sizes"]["S"]
    room.files[BIB]["copied_from"] = "the second-hand one"
    room.files[BIB]["sizes"]["M"]["edges"][2]["note"] = "frayed"
    room.files[BIB]["sizes"]["M"]["edges"][2]["corner"]["pin"] = 1
    folder = room.write()
    before = (folder / PATTERN).read_bytes()
    bib = load_workroom(folder).patterns["apron"].pieces["bib"]
    add_piece(folder, "apron", replace(bib, sizes={"S": rectangle(90)}))
    assert (folder / PATTERN).read_bytes() == before
    now = load_workroom(folder).patterns["apron"].pieces["bib"]
    assert now.sizes == {"S": rectangle(90), "M": bib.sizes["M"]}
    rows = json.loads((folder / BIB).read_text())
    assert rows["copied_from"] == "the second-hand one"
    assert rows["sizes"]["M"]["edges"][2]["note"] == "frayed"
    assert rows["sizes"]["M"]["edges"][2]["corner"]["pin"] == 1


def test_a_card_gets_its_outline(room: Any) -> None:
    folder = room.write()
    pocket = load_workroom(folder).patterns["apron"].pieces["pocket"]
    add_piece(folder, "apron", replace(pocket, sizes={"S": rectangle(70)}))
    assert load_workroom(folder).patterns["apron"].pieces["pocket"].sizes == {"S": rectangle(70)}


def test_inches_stay_inches(room: Any) -> None:
    room.change(PATTERN, 'units = "cm"', 'units = "in"')
    folder = room.write()
    card = Piece("loop", "", "loop", (Cut("shell"),), rough={"S": Rough(25.4, 100.0)})
    add_piece(folder, "apron", card)
    assert "rough = {S = [1, 3.937007874]}" in (folder / PATTERN).read_text()
    assert load_workroom(folder).patterns["apron"].pieces["loop"] == card


def test_a_pattern_that_is_not_there_is_made(room: Any) -> None:
    folder = room.write()
    add_pieces(folder, "sash", [TIE, replace(TIE, id="end")], words="a sash")
    pattern = load_workroom(folder).patterns["sash"]
    assert (pattern.sizes, list(pattern.pieces)) == (("S", "M"), ["tie", "end"])


@pytest.mark.parametrize(
    ("piece", "said"),
    [
        (replace(TIE, sizes={"XL": rectangle(9)}), "one of S or M"),
        (replace(TIE, id="a/b"), "letters, digits"),
        (replace(TIE, sizes={"S": rectangle(9), "M": rectangle(9, names="a b c d")}), "the same edges"),
    ],
)
def test_nothing_is_written_if_the_pattern_would_not_be_whole(room: Any, piece: Piece, said: str) -> None:
    folder = room.write()
    with pytest.raises(BadInput) as caught:
        add_piece(folder, "apron", piece)
    assert said in str(caught.value)
    assert history(folder) == ()
    assert "tie" not in (folder / PATTERN).read_text()


def test_nothing_is_put_into_a_pattern_with_problems(room: Any, tmp_path: Path) -> None:
    room.change(PATTERN, 'a = ["strap.end"]', 'a = ["strap.ends"]')
    with pytest.raises(BadInput, match=r"strap\.ends"):
        add_piece(room.write(), "apron", TIE)


def test_pieces_between_other_tables_are_no_hindrance(room: Any) -> None:
    room.files[PATTERN] += '\n[[piece]]\nid = "late"\ncut = [{ role = "shell", how = "single" }]\n\n[extra]\nnote = "mine"\n'
    folder = room.write()
    add_piece(folder, "apron", TIE)
    work = load_workroom(folder)
    assert list(work.patterns["apron"].pieces) == ["bib", "strap", "pocket", "late", "tie"]
    assert "# the bib is cut on the fold" in (folder / PATTERN).read_text()
    assert [finding.where[1] for finding in work.findings] == ["extra"]


@pytest.mark.parametrize("rest", ["", "piece = []\n"])
def test_a_pattern_without_pieces(room: Any, rest: str) -> None:
    room.files["patterns/bare/pattern.toml"] = f'schema = 1\nunits = "cm"\nsizes = ["S", "M"]  # two\n{rest}'
    folder = room.write()
    add_piece(folder, "bare", TIE)
    assert load_workroom(folder).patterns["bare"].pieces == {"tie": TIE}
    assert "# two" in (folder / "patterns/bare/pattern.toml").read_text()
