"""The check of pieces that are laid on others."""

from __future__ import annotations

from dataclasses import replace

import pytest

from firsthand.findings import Finding, Severity
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Applied,
    Corner,
    Cut,
    Edge,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Pattern,
    Piece,
    Shape,
    check_garment,
    edge_fate,
    make_garment,
)  # fmt: skip
from firsthand.pattern.model import EdgeRef

RAW, ON = Fate(FateKind.RAW), Fate(FateKind.APPLIED)
PLACE = InnerLine("place", InnerLineKind.PLACEMENT, Path.line(Point(20, 20), Point(60, 20)))


def square(name: str, size: float, how: How, fate: Fate, *lines: InnerLine) -> Piece:
    corners = [Point(0, 0), Point(size, 0), Point(size, size), Point(0, size)]
    sides = zip(("low", "right", "top", "left"), corners, corners[1:] + corners[:1], strict=True)
    edges = tuple(Edge(side, Corner(side), Path.line(a, b), fate=fate) for side, a, b in sides)
    shape = Shape(edges, (corners[0], corners[3]), lines=lines)
    return Piece(name, "", name.capitalize(), (Cut("shell", how),), sizes={"M": shape})


def pattern(*applied: Applied, badge: How = How.SINGLE, chest: How = How.SINGLE) -> Pattern:
    pieces = (square("chest", 300, chest, RAW, PLACE), square("badge", 60, badge, ON))
    return Pattern("tabard", "Tabard", ("M",), {piece.id: piece for piece in pieces}, applied=applied)


def made(whole: Pattern) -> Garment:
    return make_garment(whole, "M", id="tabard")


def found(whole: Pattern) -> list[Finding]:
    return [f for f in check_garment(made(whole), whole) if f.code == "applied-nowhere"]


@pytest.mark.parametrize(
    "whole",
    [
        pattern(Applied("badge", "chest", "place")),
        pattern(Applied("badge", "chest")),
        pattern(Applied("badge", "chest", hand=Hand.LEFT), chest=How.PAIR),
        pattern(Applied("badge", "chest"), badge=How.PAIR, chest=How.PAIR),
        pattern(Applied("badge", "chest"), badge=How.PAIR),
    ],
)
def test_what_lies_somewhere_is_right_and_its_edges_have_a_fate(whole: Pattern) -> None:
    assert found(whole) == []
    codes = {finding.code for finding in check_garment(made(whole), whole)}
    assert not codes & {"edge-without-fate", "edge-unsewn", "check-stopped"}


def test_the_fate_of_its_edges_is_what_is_written() -> None:
    assert edge_fate(made(pattern(Applied("badge", "chest"))), EdgeRef("badge", "low")) == ON


def test_an_edge_sewn_flat_on_to_nothing() -> None:
    (finding,) = found(pattern())
    assert finding.message == "Badge: low, right, top and left should be sewn flat on to something, and nothing says on to what"
    assert finding.severity is Severity.DOUBT
    assert finding.where == ("tabard", "badge", "low", "right", "top", "left")


@pytest.mark.parametrize(
    ("applied", "words", "remedy"),
    [
        (Applied("bagde", "chest"), "there is no piece 'bagde'", "Name one of the pieces: chest and badge."),
        (Applied("badge", "back"), "there is no piece 'back'", "Name one of the pieces: chest and badge."),
        (Applied("badge", "badge"), "Badge is laid on itself", "Name the piece beneath."),
        (Applied("badge", "chest", "plaice"), "the line 'plaice', which chest does not have", "Name one of its lines: place."),
        (Applied("badge", "chest", role="lining"), "chest cut of lining, and none is", "Name a role that it is cut from."),
    ],
)
def test_what_is_not_there(applied: Applied, words: str, remedy: str) -> None:
    named = (Applied("badge", "chest"), applied) if applied.piece != "badge" else (applied,)
    (finding,) = found(pattern(*named))
    assert words in finding.message
    assert finding.remedy == remedy
    assert finding.where == ("tabard", applied.piece)


def test_a_single_piece_on_a_pair_says_on_which_hand() -> None:
    (finding,) = found(pattern(Applied("badge", "chest"), chest=How.PAIR))
    assert "does not say on which of two it lies" in finding.message


def test_a_hand_that_is_not_cut() -> None:
    whole = pattern(Applied("badge", "chest", hand=Hand.LEFT), chest=How.PAIR)
    garment = made(whole)
    right = replace(garment, parts=tuple(part for part in garment.parts if part.hand is not Hand.LEFT))
    (finding,) = [f for f in check_garment(right, whole) if f.code == "applied-nowhere"]
    assert finding.message == "Badge is laid on the left chest, and none is cut"


def test_a_card_carries_a_line_that_nobody_can_look_for() -> None:
    whole = pattern(Applied("badge", "chest", "place"))
    card = replace(whole.pieces["chest"], sizes={})
    assert found(replace(whole, pieces={**whole.pieces, "chest": card})) == []
