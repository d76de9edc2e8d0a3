"""A patch pocket: its piece, where it lies, and what the checks of the garment make of it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter
from shapely.geometry import Polygon
from shapely.geometry import box as box_of

from firsthand.draft import DRAFTS, PatchPocket, add_drafting
from firsthand.draft._strip import Side, strip_shape
from firsthand.errors import GeometryError, NotThere
from firsthand.fabric import Fabric
from firsthand.findings import Finding
from firsthand.geometry import Affine, Path, Point
from firsthand.pattern import (
    Applied,
    Cut,
    FateKind,
    Garment,
    Hand,
    How,
    InnerLineKind,
    Pattern,
    Piece,
    Rough,
    check_garment,
    cutting_line,
    opened,
    parts_of_piece,
)  # fmt: skip
from firsthand.steps import Machines, garment_steps
from firsthand.units import Unit

Maker = Callable[..., Garment]
INCH = 25.4


def put(garment: Garment, pocket: PatchPocket) -> Garment:
    return add_drafting(garment, pocket.draft(garment))


def mark(garment: Garment, piece: str, name: str = "pocket") -> Path:
    (line,) = [line for line in garment.piece(piece).drawn_shape.lines if line.id == name]
    assert line.kind is InnerLineKind.PLACEMENT
    return line.path


def told(garment: Garment) -> list[Finding]:
    pattern = Pattern("p", "P", (garment.size,), garment.pieces)
    codes = ("applied-nowhere", "edge-without-fate", "edge-unsewn")
    return [f for f in check_garment(garment, pattern) if f.code in codes and "pocket" in f.where]


def square(garment: Garment, name: str = "panel", how: How = How.PAIR, turn: float = 0.0) -> Garment:
    """The garment with a square of 300, its grain along its sides; turned, grain and all."""
    shape = strip_shape([(Side("low", 10), 300)], 300, (Side("right", 10), Side("top", 10), Side("left", 10)))
    by = Affine.rotation(turn)
    edges = tuple(replace(edge, path=edge.path.transformed(by)) for edge in shape.edges)
    grain = (by(shape.grain[0]), by(shape.grain[1]))
    piece = Piece(name, "", name, (Cut("shell", how),), shape=replace(shape, edges=edges, grain=grain))
    return replace(garment.with_piece(piece), parts=garment.parts + parts_of_piece(piece))


def test_size_as_cut() -> None:
    """A pocket 6 in wide and 7 deep with a hem of 1 in and 1/4 in turned under at its edges is cut 6 1/2 by 8 1/2 in: width
    and two turnings; depth, turning below, hem, and the turning of the hem (common practice)."""
    pocket = PatchPocket("pocket", 6 * INCH, 7 * INCH, "front", (0, 0), hem=INCH, allowance=INCH / 4)
    drafting = pocket.draft(None)
    box = cutting_line(drafting.piece.drawn_shape).bounds
    assert (box.width / INCH, box.height / INCH) == pytest.approx((6.5, 8.5))
    assert drafting.figures["cut width"] == pytest.approx(box.width)
    assert drafting.figures["cut depth"] == pytest.approx(box.height)
    fates = {edge.id: edge.fate.kind for edge in drafting.piece.drawn_shape.edges if edge.fate}
    assert fates == {"bottom": FateKind.APPLIED, "right": FateKind.APPLIED, "left": FateKind.APPLIED, "top": FateKind.HEM}
    assert drafting.piece.drawn_shape.grain[1].y > drafting.piece.drawn_shape.grain[0].y
    assert (drafting.applied, drafting.lines) == ((), ())


def test_its_place_is_counted_from_the_left_and_from_below(make_skirt: Maker) -> None:
    garment = put(square(make_skirt()), PatchPocket("pocket", 100, 120, "panel", (140, 60), hand=Hand.LEFT))
    assert mark(garment, "panel").bounds.corners[0] == Point(90, 60)
    assert (mark(garment, "panel").bounds.width, mark(garment, "panel").bounds.height) == pytest.approx((100, 120))
    assert mark(garment, "panel").is_closed
    assert garment.applied == (Applied("pocket", "panel", "pocket", "shell", Hand.LEFT),)
    assert [part.id for part in garment.parts_of("pocket")] == ["pocket centre shell"]
    assert told(garment) == []


@settings(max_examples=25, deadline=None)
@given(turn=st.floats(-math.pi, math.pi), x=st.floats(52, 248), y=st.floats(2, 178))
def test_it_stands_upright_on_the_grain_wherever_that_runs(make_skirt: Maker, turn: float, x: float, y: float) -> None:
    """Turned with its piece, the place is the same place turned."""
    pocket = PatchPocket("pocket", 100, 120, "panel", (x, y), pair=True)
    there = mark(put(square(make_skirt(), turn=turn), pocket), "panel")
    plain = mark(put(square(make_skirt()), pocket), "panel").transformed(Affine.rotation(turn))
    assert there.area == pytest.approx(12000)
    assert all(a.distance(b) < 1e-6 for a, b in zip(there.joints, plain.joints, strict=True))


@settings(max_examples=60, deadline=None)
@given(x=st.floats(-50, 350), y=st.floats(-150, 700), width=st.floats(10, 400), depth=st.floats(30, 600))
def test_it_lies_within_the_piece_or_is_refused(make_skirt: Maker, x: float, y: float, width: float, depth: float) -> None:
    """Reference: shapely's containment."""
    skirt = make_skirt()
    shape = skirt.piece("front").drawn_shape
    outline = Polygon([(p.x, p.y) for p in shape.outline.flattened(0.01)])
    pocket = PatchPocket("pocket", width, depth, "front", (x, y), hem=20, pair=True)
    box = shape.outline.bounds
    fold = shape.edge(skirt.piece("front").fold).path.start.x
    middle = fold + x * (1 if box.centre.x > fold else -1)
    low = box.bottom + y
    near = box_of(middle - width / 2, low, middle + width / 2, low + depth)
    try:
        done = put(skirt, pocket)
    except GeometryError:
        assert not outline.contains(near.buffer(0.8))
        return
    assert outline.contains(near)
    drawn = Polygon([(p.x, p.y) for p in mark(done, "front").joints])
    assert drawn.symmetric_difference(near).area < 1e-3


def test_a_pair_on_the_fold_is_marked_on_both_halves(make_skirt: Maker) -> None:
    garment = put(make_skirt(), PatchPocket("pocket", 100, 120, "front", (90, 300), pair=True))
    lines = opened(garment.piece("front")).drawn_shape.lines
    assert [line.id for line in lines] == ["pocket", "pocket mirrored"]
    assert len({round(line.path.bounds.centre.y, 6) for line in lines}) == 1
    assert [part.hand for part in garment.parts_of("pocket")] == [Hand.RIGHT, Hand.LEFT]
    assert told(garment) == []


def test_a_single_one_lies_on_the_fold(make_skirt: Maker) -> None:
    """Half of it is drawn; opened out the two halves are the whole."""
    garment = put(make_skirt(), PatchPocket("pocket", 100, 120, "front", (0, 300)))
    half, other = opened(garment.piece("front")).drawn_shape.lines
    assert half.path.length == pytest.approx(50 + 120 + 50)
    box = half.path.bounds.union(other.path.bounds)
    assert (box.width, box.height) == pytest.approx((100, 120))
    assert told(garment) == []


@pytest.mark.parametrize(
    ("pocket", "words"),
    [
        (PatchPocket("pocket", 0, 120, "front", (0, 300)), "width must be a length above zero"),
        (PatchPocket("pocket", 100, math.nan, "front", (0, 300)), "depth must be"),
        (PatchPocket("pocket", 100, 120, "front", (0, 300), allowance=-1), "allowance must be"),
        (PatchPocket("pocket", 100, 120, "front", (0, 300), hem=120), "its hem is"),
        (PatchPocket("pocket", 100, 120, "front", (60, 300)), "cut on the fold"),
        (PatchPocket("pocket", 100, 120, "front", (40, 300), pair=True), "would not lie within front"),
        (PatchPocket("pocket", 100, 120, "front", (0, 580)), "would not lie within front there; that is ⟨"),
        (PatchPocket("pocket", 100, 120, "front", (math.inf, 300), pair=True), "two finite lengths"),
        (PatchPocket("pocket", 100, 120, "sleeve", (60, 60)), "name the hand"),
        (PatchPocket("pocket", 100, 120, "sleeve", (60, 60), pair=True, hand=Hand.LEFT), "lies on both hands"),
        (PatchPocket("pocket", 100, 120, "one", (100, 60), pair=True), "has no other hand"),
    ],
)
def test_what_has_no_sense_is_refused(make_skirt: Maker, pocket: PatchPocket, words: str) -> None:
    garment = square(square(make_skirt(), "sleeve"), "one", How.SINGLE)
    with pytest.raises(GeometryError, match=words):
        pocket.draft(garment)


def test_there_must_be_something_beneath(make_skirt: Maker) -> None:
    card = make_skirt().with_piece(Piece("card", "", "Card", (Cut("shell", How.SINGLE),)))
    for name in ("no such piece", "card"):
        with pytest.raises(NotThere):
            PatchPocket("pocket", 100, 120, name, (0, 300)).draft(card)


def test_drafted_anew_it_takes_its_own_place(make_skirt: Maker) -> None:
    garment = put(square(make_skirt()), PatchPocket("pocket", 100, 120, "panel", (140, 60), pair=True))
    again = put(garment, PatchPocket("pocket", 80, 90, "panel", (150, 90), pair=True))
    assert mark(again, "panel").bounds.width == pytest.approx(80)
    assert len(again.applied) == 1
    assert len(again.parts) == len(garment.parts)


def test_a_card_gives_its_number_and_role(make_skirt: Maker) -> None:
    card = Piece("pocket", "9", "Hip pocket", (Cut("trim", How.PAIR),), rough={"M": Rough(150, 120)})
    made = put(square(make_skirt()).with_piece(card), PatchPocket("pocket", 100, 120, "panel", (140, 60), pair=True))
    piece = made.piece("pocket")
    assert (piece.number, piece.name, piece.cuts) == ("9", "Hip pocket", (Cut("trim", How.PAIR),))


def test_steps_are_made_for_it(make_skirt: Maker) -> None:
    garment = put(make_skirt(), PatchPocket("pocket", 100, 120, "front", (0, 300)))
    garment = replace(garment, roles={"shell": "twill"})
    steps = garment_steps(garment, {"twill": Fabric("twill", "Twill", 1400)}, Machines())
    assert any("pocket" in step.title and "front" in step.title for step in steps)


def test_from_what_people_write() -> None:
    read = TypeAdapter(DRAFTS["patch-pocket"]).validate_python
    table = {"id": "pocket", "width": "4 in", "depth": 12, "onto": "front", "at": [0, "300 mm"], "hand": "left"}
    wanted = PatchPocket("pocket", 4 * INCH, 120, "front", (0, 300), hand=Hand.LEFT)
    assert read(table, context={"units": Unit.CM}) == wanted
