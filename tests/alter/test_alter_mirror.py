"""Turning pieces over and opening them out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Mirror, Unfold, apply_stack
from firsthand.alter.naming.refs import lost_references
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import (
    Corner,
    CornerShape,
    Dart,
    EdgeRef,
    FateKind,
    Garment,
    Hand,
    How,
    Pleat,
    Rough,
    Seam,
    assemble,
    check_garment,
    cutting_line,
    edge_fate,
    girth,
    make_garment,
    part_shape,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]


def unchanged(before: Garment, after: Garment) -> None:
    """Every part is cut as it was, and the garment sewn is the same surface."""
    old, new = assemble(before), assemble(after)
    assert (new.euler, len(new.loops), new.orientable, new.left_out) == (
        old.euler,
        len(old.loops),
        old.orientable,
        old.left_out,
    )
    for seam in before.seams:
        if any(before.pieces[ref.piece].shape is None for ref in (*seam.a, *seam.b) if ref.piece in before.pieces):
            continue
        was, now = walk_seam(before, seam), walk_seam(after, next(s for s in after.seams if s.id == seam.id))
        assert now.a_length == pytest.approx(was.a_length, abs=1e-6)
        assert now.difference == pytest.approx(was.difference, abs=1e-6)
        gaps = [sorted(abs(g.gap) for g in walk.notch_gaps if g.gap == g.gap) for walk in (was, now)]
        assert gaps[1] == pytest.approx(gaps[0], abs=0.01)
    for level in before.levels:
        assert girth(after, level).total == pytest.approx(girth(before, level).total)
    assert not lost_references(before, after, "x")


MARKS = {"darts": (Dart("d", "top", 100, 30, Point(105, 480)),), "pleats": (Pleat("p", "hem", 60, 12, towards_end=False),)}


def marked(garment: Garment) -> Garment:
    front = garment.piece("front")
    shape = replace(front.drawn_shape, **MARKS)  # type: ignore[arg-type]
    edges = list(shape.edges)
    edges[1] = replace(edges[1], corner=Corner("c", CornerShape.SQUARED), allowance=25.0)
    return garment.with_piece(replace(front, shape=replace(shape, edges=tuple(edges))))


@settings(max_examples=40, deadline=None)
@given(st.floats(-30, 60), st.floats(0, 25))
def test_turned_over_twice_it_is_what_it_was(make_leg: Maker, lean: float, bulge: float) -> None:
    garment = marked(make_leg(lean=lean, bulge=bulge))
    once = Mirror(pieces=("front",)).apply(garment).garment
    twice = Mirror(pieces=("front",)).apply(once).garment
    old, new = garment.piece("front"), twice.piece("front")
    assert new.drawn is old.drawn
    a, b = old.drawn_shape, new.drawn_shape
    assert a.edges == b.edges
    assert a.grain == b.grain
    for one, two in zip((*a.notches, *a.darts, *a.pleats), (*b.notches, *b.darts, *b.pleats), strict=True):
        assert (one.id, one.edge) == (two.id, two.edge)
        assert one.at == pytest.approx(two.at, abs=1e-9)
    assert b.darts[0].apex == a.darts[0].apex
    assert b.pleats[0].towards_end is a.pleats[0].towards_end
    assert twice.seams == garment.seams


def test_a_pair_turned_over_is_drawn_for_the_other_hand_and_cut_the_same(make_leg: Maker) -> None:
    garment = marked(make_leg(lean=20, bulge=6))
    result = Mirror(pieces=("front",)).apply(garment)
    piece = result.garment.piece("front")
    assert piece.drawn is Hand.LEFT
    shape, old = piece.drawn_shape, garment.piece("front").drawn_shape
    assert [edge.id for edge in shape.edges] == [edge.id for edge in reversed(old.edges)]
    assert shape.outline.area == pytest.approx(old.outline.area)
    assert cutting_line(shape).area == pytest.approx(cutting_line(old).area)  # the squared corner is square at the same edge
    assert piece.bought is not None
    assert piece.bought.edges[0].id == garment.piece("front").bought.edges[-1].id  # type: ignore[union-attr]
    for part in garment.parts_of("front"):
        was, now = (part_shape(g, part) for g in (garment, result.garment))
        for edge in was.edges:
            assert now.edge(edge.id).path.start.distance(edge.path.start) < 1e-9
    unchanged(garment, result.garment)
    home, edge, at = result.record.position("front", "outer", 100.0) or ("", "", 0.0)
    assert (home, edge) == ("front", "outer")
    point = old.edge("outer").path.at(100.0)
    assert shape.edge("outer").path.at(at).distance(Point(-point.x, point.y)) < 1e-9


@pytest.mark.parametrize("number", range(len(demo_patterns())))
def test_demo_pieces_turned_over_or_opened_out_leave_the_garment_as_it_was(number: int) -> None:
    pattern = list(demo_patterns().values())[number]
    size = next(size for size in pattern.sizes if size not in pattern.trimmed)
    garment = make_garment(pattern, size, id=pattern.id)
    known = {finding.code for finding in check_garment(garment, pattern)}
    for piece in garment.pieces.values():
        handed = all(part.hand is not Hand.CENTRE for part in garment.parts_of(piece.id)) or bool(piece.fold)
        kinds = [Mirror(pieces=(piece.id,))] if handed else []
        kinds += [Unfold(piece=piece.id)] if any(cut.how is How.FOLD for cut in piece.cuts) else []
        for kind in kinds:
            result = kind.apply(garment)
            unchanged(garment, result.garment)
            assert {finding.code for finding in check_garment(result.garment, pattern)} <= known
            assert not result.findings


def test_a_single_piece_comes_out_turned_over(make_leg: Maker) -> None:
    garment = make_leg(lean=20)
    front = garment.piece("front")
    single = replace(front, cuts=(replace(front.cuts[0], how=How.SINGLE),))
    parts = (replace(garment.parts[0], hand=Hand.CENTRE),)
    garment = replace(garment.with_piece(single), parts=parts, seams=())
    after = Mirror(pieces=("front",)).apply(garment).garment
    was, now = (part_shape(g, g.parts[0]).edge("inner").path for g in (garment, after))
    assert now.start.distance(Point(-was.end.x, was.end.y)) < 1e-9


def test_what_cannot_be_turned_over_is_said(make_leg: Maker, make_vest: Maker) -> None:
    with pytest.raises(NotThere):
        Mirror(pieces=("cuff",)).apply(make_leg())
    with pytest.raises(CannotAlter):
        Mirror(pieces=()).apply(make_leg())
    with pytest.raises(CannotAlter, match="not cut on the fold"):
        Unfold(piece="front").apply(make_leg())
    with pytest.raises(NotThere):
        Unfold(piece="cuff").apply(make_vest())


# opened out --------------------------------------------------------------------------------------------------


def test_a_piece_opened_out_is_whole_and_single(make_vest: Maker) -> None:
    garment = make_vest()
    result = Unfold(id="open", piece="front").apply(garment)
    piece = result.garment.piece("front")
    assert piece.fold == ""
    assert {cut.how for cut in piece.cuts} == {How.SINGLE}
    assert piece.drawn_shape.outline.area == pytest.approx(2 * garment.piece("front").drawn_shape.outline.area)
    unchanged(garment, result.garment)
    names = [edge.id for edge in piece.drawn_shape.edges]
    assert names == [
        "waist", "side", "armhole", "neck", "neck mirrored", "armhole mirrored", "side mirrored", "waist mirrored",
    ]  # fmt: skip
    left = next(seam for seam in result.garment.seams if seam.id == "side left")
    assert left.a == (EdgeRef("front", "side mirrored"),)
    assert edge_fate(result.garment, left.a[0]).kind is FateKind.SEAM  # type: ignore[union-attr]
    assert result.record.ids["front.n1"] == ("front.n1", "front.n1 mirrored")
    for stretch, back in zip(result.record.edges["front.side"], (False, True), strict=True):
        assert (stretch.new_start > stretch.new_end) is back
    assert result.record.edges["front.centre"] == ()
    there = {edge.corner.id for edge in piece.drawn_shape.edges} | {notch.id for notch in piece.drawn_shape.notches}
    news = [name for names in result.record.ids.values() for name in names]
    assert {name.partition(".")[2] for name in news} == there
    assert result.record.ids["front.centre start"] == ("front.centre start",)  # a corner on the fold is not doubled
    # the bought sizes are opened out with it
    assert piece.bought == piece.drawn_shape


def test_the_fold_edge_of_a_seam_is_told_to_be_lost(make_vest: Maker) -> None:
    garment = make_vest()
    card = replace(garment.piece("back"), shape=None)
    odd = Seam("odd", (EdgeRef("front", "centre", Hand.RIGHT, "odd"),), (EdgeRef("back", "side", Hand.RIGHT),))
    garment = replace(garment.with_piece(card), seams=(*garment.seams, odd))
    result = Unfold(piece="front").apply(garment)
    assert not result.findings  # it led nowhere before: the pattern's own check says so


def test_a_card_on_the_fold_is_single_afterwards(make_vest: Maker) -> None:
    garment = make_vest()
    card = replace(garment.piece("front"), shape=None, sizes={}, fold="", rough={"M": Rough(420, 480)})
    after = Unfold(piece="front").apply(garment.with_piece(card)).garment
    assert {cut.how for cut in after.piece("front").cuts} == {How.SINGLE}
    assert after.piece("front").rough == {"M": Rough(420, 480)}


def test_they_are_kinds_of_the_stack(make_vest: Maker) -> None:
    stack = [Mirror(pieces=("front",)), Unfold(piece="front"), Mirror(pieces=("back",), off=True)]
    result = apply_stack(make_vest(), stack)
    assert [record.kind for record in result.records] == ["mirror", "unfold"]
    assert not result.findings
    side = next(seam for seam in result.garment.seams if seam.id == "side left")
    assert side.a == (EdgeRef("front", "side"),)  # turned over, the drawn half is the left one
