"""Entries that name a piece which was taken apart before them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from firsthand.alter import (
    Alteration,
    CutForStretch,
    Hem,
    Lengthen,
    MoveDart,
    SplitHands,
    SplitPiece,
    StackResult,
    TakeIn,
    apply_stack,
)
from firsthand.findings import Finding
from firsthand.geometry import Point
from firsthand.pattern import Dart, Garment

Maker = Callable[..., Garment]
APART = SplitHands(pieces=("front",), id="apart")
DART = Dart("d", "top", 100.0, 20.0, Point(100, 480))


def refusal(result: StackResult) -> Finding:
    (finding,) = (finding for finding in result.findings if finding.code == "alteration-refused")
    return finding


@pytest.mark.parametrize(
    "entry",
    [
        Lengthen(20.0, level="middle", pieces=("front", "back"), id="longer"),
        Hem(amount=15.0, edges=("front.hem", "back.hem"), id="longer"),
        CutForStretch(across=(("middle", 0.1),), pieces=("front", "back"), id="longer"),
        MoveDart(piece="front", dart="d", y=-15.0, id="longer"),
    ],
)
def test_both_hands_are_altered_as_the_pair_would_be(make_leg: Maker, entry: Alteration) -> None:
    legs = make_leg(lean=15.0, darts=(DART,))
    together, apart = apply_stack(legs, [entry]), apply_stack(legs, [APART, entry])
    assert [record.alteration for record in apart.records] == ["apart", "longer"]
    assert {finding.code for finding in apart.findings} == {finding.code for finding in together.findings}
    wanted = {edge.id: edge.path.length for edge in together.garment.piece("front").drawn_shape.edges}
    for name in ("front right", "front left"):
        shape = apart.garment.piece(name).drawn_shape
        assert {edge.id: edge.path.length for edge in shape.edges} == pytest.approx(wanted, abs=1e-6)
    assert {"front right", "front left"} <= set(apart.records[1].pieces)


def test_one_hand_altered_before_is_as_good_as_taken_apart(make_leg: Maker) -> None:
    one = TakeIn(6.0, seams=("outer right",), hand="right", id="hip")
    result = apply_stack(make_leg(), [one, Lengthen(20.0, level="middle", pieces=("front", "back"), id="longer")])
    assert [record.alteration for record in result.records] == ["hip", "longer"]
    assert {"front right", "front left", "back right", "back left"} <= set(result.records[1].pieces)


def test_what_is_not_plain_says_what_became_of_the_piece(make_leg: Maker) -> None:
    legs = make_leg(darts=(DART,))
    for entry in (
        MoveDart(piece="front", dart="d", x=5.0),
        MoveDart(piece="front", dart="d", to="top at 40 %"),
        SplitPiece(piece="front", start="hem at 50 %", end="top at 50 %", names=("a", "b")),
    ):
        finding = refusal(apply_stack(legs, [APART, entry]))
        assert finding.message == "front is front right and front left since apart"
        assert finding.remedy == "Name one of them, or write an entry for each."


def test_a_piece_split_otherwise_is_told_too(make_leg: Maker) -> None:
    split = SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %", names=("upper", "lower"), id="yoke")
    finding = refusal(apply_stack(make_leg(), [split, Hem(amount=10.0, edges=("front.hem",))]))
    assert finding.message == "front is upper and lower since yoke"


def test_a_piece_that_never_was_is_only_not_there(make_leg: Maker) -> None:
    finding = refusal(apply_stack(make_leg(), [APART, Hem(amount=10.0, edges=("frond.hem",))]))
    assert "there is no piece called 'frond'" in finding.message
