"""References follow pieces and edges that get other names; what is lost is told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.alter import SplitHands, apply_stack
from firsthand.alter.naming.hands import hands_apart
from firsthand.alter.naming.refs import REFERENCE_LOST, Names, Target, lost_references, rerouted, settled
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import (
    Applied,
    Closure,
    ClosureKind,
    Cut,
    EdgeRef,
    Garment,
    Hand,
    How,
    Opening,
    Pattern,
    Rough,
    Seam,
    assemble,
    check_garment,
    find_part,
    girth,
    make_garment,
    part_shape,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]


def demo() -> list[tuple[Pattern, Garment]]:
    return [
        (p, make_garment(p, next(s for s in p.sizes if s not in p.trimmed), id=name)) for name, p in demo_patterns().items()
    ]


def looks(pattern: Pattern, garment: Garment) -> tuple[object, ...]:
    """What must stay: the surface, what is noticed, the girths, the walks."""
    sewn = assemble(garment)
    walks = {}
    for seam in garment.seams:
        if all(garment.pieces[r.piece].shape is not None for r in (*seam.a, *seam.b) if r.piece in garment.pieces):
            walk = walk_seam(garment, seam)
            gaps = sorted(round(abs(gap.gap), 1) for gap in walk.notch_gaps if gap.gap == gap.gap)
            walks[seam.id] = (round(walk.a_length, 6), round(walk.b_length, 6), gaps)
    girths = {level.id: girth(garment, level).total for level in garment.levels}
    rounded = {name: total and round(total, 6) for name, total in girths.items()}
    codes = {finding.code for finding in check_garment(garment, pattern)}
    return (sewn.euler, len(sewn.loops), sewn.orientable, sewn.left_out, codes, walks, rounded)


# a piece for each hand ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", range(len(demo_patterns())))
def test_apart_for_each_hand_every_demo_garment_is_what_it_was(number: int) -> None:
    pattern, garment = demo()[number]
    was = looks(pattern, garment)
    for name, piece in garment.pieces.items():
        after, sides = hands_apart(garment, name)
        assert looks(pattern, after) == was, name
        assert not lost_references(garment, after, "x")
        for hand, (there, edges) in sides.items():
            shape = after.piece(there).shape
            if shape is not None and piece.shape is not None:
                assert set(edges.values()) <= {edge.id for edge in shape.edges}
                assert set(edges) == {edge.id for edge in piece.shape.edges} - ({piece.fold} if piece.fold else set())
            assert hand is Hand.CENTRE or len(sides) == 2


def test_a_pair_becomes_a_right_and_a_left_piece_each_as_it_is_worn(make_leg: Maker) -> None:
    garment = make_leg(lean=15, bulge=8)
    after, sides = hands_apart(garment, "front")
    assert list(after.pieces) == ["front right", "front left", "back"]
    assert sides[Hand.LEFT] == ("front left", {edge: edge for edge in ("hem", "inner", "top", "outer")})
    assert [part.id for part in after.parts][:2] == ["front right right shell", "front left left shell"]
    assert after.piece("front left").drawn is Hand.LEFT
    assert after.piece("front left").cuts == (Cut("shell", How.SINGLE),)
    for hand in (Hand.RIGHT, Hand.LEFT):
        old = find_part(garment, EdgeRef("front", "outer", hand))
        new = find_part(after, EdgeRef(f"front {hand.value}", "outer", hand))
        assert old is not None
        assert new is not None
        assert part_shape(after, new) == part_shape(garment, old)
        assert after.piece(new.piece).shape == part_shape(garment, old)
    # the bought outline is there, the way round in which the piece is drawn
    assert after.piece("front left").bought == after.piece("front left").shape
    assert after.piece("front right").bought == garment.piece("front").bought


def test_a_fold_piece_is_opened_and_stays_one_piece(make_vest: Maker) -> None:
    garment = make_vest()
    after, sides = hands_apart(garment, "front")
    assert sides[Hand.RIGHT][0] == sides[Hand.LEFT][0] == "front"
    assert sides[Hand.RIGHT][1]["side"] == "side"
    assert sides[Hand.LEFT][1]["side"] == "side mirrored"
    assert "centre" not in sides[Hand.LEFT][1]
    assert after.piece("front").fold == ""
    assert {cut.how for cut in after.piece("front").cuts} == {How.SINGLE}
    left = next(seam for seam in after.seams if seam.id == "side left lining")
    assert left.a == (EdgeRef("front", "side mirrored", Hand.CENTRE, "lining"),)
    assert after.parts == garment.parts


def test_a_fold_piece_drawn_for_the_left_is_opened_the_other_way_round(make_vest: Maker) -> None:
    garment = make_vest()
    garment = garment.with_piece(replace(garment.piece("front"), drawn=Hand.LEFT))
    after, sides = hands_apart(garment, "front")
    assert sides[Hand.LEFT][1]["side"] == "side"
    assert sides[Hand.RIGHT][1]["side"] == "side mirrored"
    assert assemble(after).euler == assemble(garment).euler


def test_single_pieces_and_cards_are_taken_as_they_are(make_leg: Maker) -> None:
    garment = make_leg()
    once, _ = hands_apart(garment, "front")
    again, sides = hands_apart(once, "front left")
    assert again is once
    assert set(sides) == {Hand.LEFT}
    card = replace(garment.piece("front"), shape=None, sizes={}, rough={"M": Rough(100, 50)})
    cards, sides = hands_apart(garment.with_piece(card), "front")
    assert sides[Hand.RIGHT] == ("front right", {})
    assert cards.piece("front left").rough == {"M": Rough(100, 50)}


def test_what_is_cut_on_the_fold_and_as_a_pair_is_refused(make_vest: Maker) -> None:
    garment = make_vest()
    mixed = replace(garment.piece("front"), cuts=(Cut("shell", How.FOLD), Cut("lining", How.PAIR)))
    with pytest.raises(CannotAlter, match="on the fold and otherwise"):
        hands_apart(garment.with_piece(mixed), "front")
    with pytest.raises(NotThere):
        hands_apart(garment, "sleeve")


def test_what_is_laid_on_a_pair_lies_on_both_hands(make_leg: Maker) -> None:
    garment = replace(make_leg(), applied=(Applied("patch", "front", ""), Applied("badge", "front", "", hand=Hand.LEFT)))
    after, _ = hands_apart(garment, "front")
    assert [(item.piece, item.onto, item.hand) for item in after.applied] == [
        ("patch", "front right", Hand.RIGHT),
        ("patch", "front left", Hand.LEFT),
        ("badge", "front left", Hand.LEFT),
    ]


def test_a_name_that_is_taken_gets_a_number(make_leg: Maker) -> None:
    garment = make_leg()
    other = replace(garment.piece("back"), id="front left")
    after, sides = hands_apart(garment.with_piece(other), "front")
    assert sides[Hand.LEFT][0] == "front left 2"
    assert set(after.pieces) == {"front right", "front left 2", "back", "front left"}


def test_the_kind_says_where_everything_went(make_leg: Maker, make_vest: Maker) -> None:
    leg = SplitHands(id="apart", pieces=("front",)).apply(make_leg(height=600))
    assert leg.record.ids["front"] == ("front right", "front left")
    assert leg.record.ids["front.n1"] == ("front right.n1", "front left.n1")
    assert leg.record.position("front", "outer", 100.0) == ("front right", "outer", 100.0)
    assert leg.record.edges["front.outer"][1].new_start == pytest.approx(600)
    assert not leg.findings
    vest = SplitHands(pieces=("front",)).apply(make_vest())
    assert vest.record.ids["front.n1"] == ("front.n1", "front.n1 mirrored")
    assert vest.record.edges["front.centre"] == ()
    with pytest.raises(CannotAlter, match="single already"):
        SplitHands(pieces=("front",)).apply(vest.garment)
    with pytest.raises(CannotAlter):
        SplitHands(pieces=()).apply(vest.garment)


def test_altering_one_hand_after_taking_them_apart_is_told_by_the_seam(make_leg: Maker) -> None:
    """The seams of the left leg are the same seams still: one that is moved on one side only is not passed over."""
    from firsthand.alter import Lengthen

    garment = make_leg()
    stack = [SplitHands(pieces=("front",)), Lengthen(amount=20.0, level="middle", pieces=("front left",))]
    result = apply_stack(garment, stack)
    found = [finding for finding in result.findings if finding.code == "alteration-seam-off"]
    assert {finding.where[1] for finding in found} == {"outer left", "inner left"}


# rerouting ---------------------------------------------------------------------------------------------------


def test_a_chain_is_named_in_the_order_in_which_it_is_walked(make_leg: Maker) -> None:
    garment = make_leg()
    ways = {("front", "outer", None): (Target("front", "o1"), Target("front", "o2"))}
    after = rerouted(garment, ways)
    right, left = (next(seam for seam in after.seams if seam.id == f"outer {hand}") for hand in ("right", "left"))
    assert [ref.edge for ref in right.a] == ["o1", "o2"]  # as drawn
    assert [ref.edge for ref in left.a] == ["o2", "o1"]  # the left part is the mirror image and runs the other way
    assert right.b == garment.seams[0].b
    assert [seam.id for seam in after.seams] == [seam.id for seam in garment.seams]


def test_openings_and_closures_follow_too(make_leg: Maker) -> None:
    ref = EdgeRef("front", "hem", Hand.LEFT)
    garment = replace(
        make_leg(), openings=(Opening("hem", (ref,), "zip"),), closures=(Closure("zip", ClosureKind.ZIP, (ref,)),)
    )
    ways = {("front", "hem", Hand.LEFT): (Target("sock", "edge", Hand.CENTRE),), ("front", "hem", None): (Target("x", "y"),)}
    after = rerouted(garment, ways)
    assert after.openings[0].edges == after.closures[0].edges == (EdgeRef("sock", "edge"),)


def test_what_leads_nowhere_is_left_and_told(make_leg: Maker) -> None:
    garment = replace(make_leg(), applied=(Applied("back", "front", "line"),), openings=(Opening("o", (EdgeRef("x", "y"),)),))
    after = rerouted(garment, {("front", "outer", None): ()}, Names())
    assert after == garment
    shape = garment.piece("front").drawn_shape
    kept = replace(shape, edges=shape.edges[:-1], lines=())
    found = lost_references(garment, garment.with_piece(replace(garment.piece("front"), shape=kept)), "trim")
    assert {finding.code for finding in found} == {REFERENCE_LOST.code} == {"reference-lost"}
    assert [finding.where[1] for finding in found] == ["outer right", "outer left"]  # not what led nowhere before
    gone = replace(garment, pieces={"front": garment.pieces["front"]})
    assert "back" in {finding.where[1] for finding in lost_references(garment, gone, "drop")}


def test_a_seam_round_a_tube_keeps_its_way_round() -> None:
    """The sleeve's cap of two edges goes into an armhole of two: both ways follow, only the drawing tells them apart."""
    pattern, garment = next((p, g) for p, g in demo() if g.id == "shirt")
    after, _ = hands_apart(garment, "sleeve")
    assert settled(after, after) is after
    old, new = (next(seam for seam in g.seams if seam.id == "sleeve left") for g in (garment, after))
    assert [ref.edge for ref in new.a] == [ref.edge for ref in old.a[::-1]]
    assert looks(pattern, after) == looks(pattern, garment)
    assert isinstance(new, Seam)
