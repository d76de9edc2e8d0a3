"""Joining two pieces: what was split comes back as it was, and what is not one line is refused with its gap."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Join, SplitHands, SplitPiece, Unfold, apply_stack
from firsthand.alter.cutting.joined import fit, free_id, joined, moved
from firsthand.alter.naming.refs import lost_references
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Affine, Cubic, Line, Path, Point
from firsthand.pattern import (
    Applied,
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    LevelLine,
    Notch,
    Opening,
    Part,
    Pattern,
    Piece,
    Rough,
    Seam,
    Shape,
    assemble,
    check_garment,
    flipped,
    girth,
    make_garment,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]


def same_outline(one: Shape, two: Shape) -> None:
    """Edges of the same names along the same lines, in the same order round the piece."""
    names = [edge.id for edge in one.edges]
    others = [edge.id for edge in two.edges]
    at = others.index(names[0])
    assert others[at:] + others[:at] == names
    for edge in one.edges:
        other = two.edge(edge.id)
        length = edge.path.length
        assert other.path.length == pytest.approx(length, abs=1e-6)
        for share in (0.0, 0.3, 0.6, 1.0):
            assert edge.path.at(share * length).distance(other.path.at(share * length)) < 1e-6
        assert (edge.allowance, edge.fate, edge.corner.id) == (other.allowance, other.fate, other.corner.id)


def there_and_back(garment: Garment, kind: SplitPiece) -> Garment | None:
    try:
        split = kind.apply(garment).garment
    except CannotAlter:
        return None
    return Join(seam=f"{kind.piece} split").apply(split).garment


def restored(garment: Garment, back: Garment, name: str) -> None:
    same_outline(garment.piece(name).drawn_shape, back.piece(name).drawn_shape)
    assert back.seams == garment.seams
    assert back.parts == garment.parts
    assert back.openings == garment.openings
    assert back.closures == garment.closures
    assert list(back.pieces) == list(garment.pieces)
    piece, old = back.piece(name), garment.piece(name)
    assert (piece.sizes, piece.cuts, piece.fold, piece.name) == (old.sizes, old.cuts, old.fold, old.name)
    assert (piece.part_of, piece.joined) == ("", ())
    assert {notch.id for notch in piece.drawn_shape.notches} <= {notch.id for notch in old.drawn_shape.notches}
    assert {line.level for line in piece.drawn_shape.levels} == {line.level for line in old.drawn_shape.levels}


# split and join ----------------------------------------------------------------------------------------------


@settings(max_examples=80, deadline=None)
@given(st.data(), st.floats(-30, 60), st.floats(0, 25), st.integers(0, 100), st.integers(0, 100))
def test_a_leg_that_was_split_comes_back(
    make_leg: Maker, data: st.DataObject, lean: float, bulge: float, one: int, two: int
) -> None:
    garment = make_leg(lean=lean, bulge=bulge)
    start, end = (data.draw(st.sampled_from(["hem", "inner", "top", "outer"])) for _ in range(2))
    back = there_and_back(garment, SplitPiece(piece="front", start=f"{start} at {one} %", end=f"{end} at {two} %"))
    if back is not None:
        restored(garment, back, "front")


@settings(max_examples=80, deadline=None)
@given(st.data(), st.integers(0, 100), st.integers(0, 100))
def test_a_vest_on_the_fold_that_was_split_comes_back(make_vest: Maker, data: st.DataObject, one: int, two: int) -> None:
    garment = make_vest()
    edges = ["waist", "side", "armhole", "neck", "centre"]
    start, end = (data.draw(st.sampled_from(edges)) for _ in range(2))
    back = there_and_back(garment, SplitPiece(piece="front", start=f"{start} at {one} %", end=f"{end} at {two} %"))
    if back is not None:
        restored(garment, back, "front")


@pytest.mark.parametrize(
    ("garment", "piece", "start", "end", "through"),
    [
        ("shirt", "front", "centre at 30 %", "armhole at 50 %", ()),
        ("shirt", "sleeve", "underarm-front at 50 %", "underarm-back at 50 %", ()),
        ("hose", "front", "side at 40 %", "inseam at 60 %", ("level thigh at 50 %",)),
        ("skirt", "front", "side at 50 %", "centre at 50 %", ()),
        ("jerkin", "back", "hem at 50 %", "shoulder at 50 %", ("level waist at 40 %",)),
    ],
)
def test_demo_pieces_that_were_split_come_back(
    garment: str, piece: str, start: str, end: str, through: tuple[str, ...]
) -> None:
    pattern = demo_patterns()[garment]
    made = make_garment(pattern, pattern.sizes[0], id=garment)
    back = there_and_back(made, SplitPiece(piece=piece, start=start, end=end, through=through))
    assert back is not None
    restored(made, back, piece)
    assert assemble(back).euler == assemble(made).euler
    assert {f.code for f in check_garment(back, pattern)} <= {f.code for f in check_garment(made, pattern)}


def test_edges_between_which_something_came_stay_two(make_leg: Maker) -> None:
    garment = make_leg()
    split = SplitPiece(piece="front", start="outer at 45 %", end="inner at 55 %").apply(garment).garment
    upper = split.piece("front upper")
    shape = upper.drawn_shape
    wide = shape.with_edge(replace(shape.edge("outer upper"), allowance=30.0))
    back = Join(seam="front split").apply(split.with_piece(replace(upper, shape=wide))).garment
    assert [edge.id for edge in back.piece("front").drawn_shape.edges] == ["inner", "top", "outer upper", "outer lower", "hem"]
    assert [ref.edge for ref in back.seams[0].a] == ["outer upper", "outer lower"]
    assert walk_seam(back, back.seams[0]).a_length == pytest.approx(600)


def test_an_opening_on_one_half_of_an_edge_keeps_it_apart(make_leg: Maker) -> None:
    garment = make_leg()
    split = SplitPiece(piece="front", start="hem at 45 %", end="top at 55 %").apply(garment).garment
    slit = Opening("slit", (EdgeRef("front first", "hem first", Hand.RIGHT),))
    back = Join(seam="front split").apply(replace(split, openings=(slit,))).garment
    assert back.openings[0].edges == (EdgeRef("front", "hem first", Hand.RIGHT),)
    assert {edge.id for edge in back.piece("front").drawn_shape.edges} == {"hem first", "hem second", "inner", "top", "outer"}


# two pieces that were drawn apart ----------------------------------------------------------------------------


def panel(name: str, corners: list[Point], names: str) -> Piece:
    edges = tuple(
        Edge(edge, Corner(f"{edge}-c"), Path.line(a, b))
        for edge, a, b in zip(names.split(), corners, corners[1:] + corners[:1], strict=True)
    )
    grain = (corners[0].towards(corners[2], 0.3), corners[0].towards(corners[2], 0.3) + Point(0, 40))
    return Piece(name, name[0], name, (Cut("shell", How.PAIR),), sizes={"M": Shape(edges, grain)})


def two_panels(turn: float = 0.0, over: bool = False, longer: float = 0.0) -> Garment:
    """Two panels 100 wide and 300 high whose sides are sewn together; the second one drawn somewhere else."""
    one = panel("one", [Point(0, 0), Point(100, 0), Point(100, 300), Point(0, 300)], "hem join top left")
    two = panel("two", [Point(0, 0), Point(80, 0), Point(80, 300 + longer), Point(0, 300 + longer)], "hem right top join")
    shape = moved(two.sizes["M"], Affine.translation(700, 40) @ Affine.rotation(turn))
    shape = replace(
        shape,
        notches=(Notch("n", "right", 100), Notch("m", "join", 100)),
        lines=(InnerLine("l", InnerLineKind.PLACEMENT, Path.line(shape.grain[0], shape.grain[1])),),
    )
    shape = flipped(shape) if over else shape
    drawn = Hand.LEFT if over else Hand.RIGHT
    pieces = {"one": one, "two": replace(two, sizes={"M": shape}, drawn=drawn)}
    seams = tuple(
        Seam(f"side {hand.value}", (EdgeRef("one", "join", hand),), (EdgeRef("two", "join", hand),), after=())
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    back = tuple(
        Seam(
            f"back {hand.value}",
            (EdgeRef("one", "left", hand),),
            (EdgeRef("two", "right", hand),),
            after=(f"side {hand.value}",),
        )
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    return make_garment(Pattern("p", "P", ("M",), pieces, seams + back), "M", id="g")


@settings(max_examples=40, deadline=None)
@given(st.floats(-math.pi, math.pi), st.booleans())
def test_a_piece_is_moved_turned_and_turned_over_to_its_partner(turn: float, over: bool) -> None:
    garment = two_panels(turn, over)
    result = Join(seam="side").apply(garment)
    shape = result.garment.piece("one").drawn_shape
    assert shape.outline.area == pytest.approx(180 * 300)
    box = shape.outline.bounds
    assert (box.width, box.height) == (pytest.approx(180), pytest.approx(300))
    assert [edge.id for edge in shape.edges] == ["hem", "hem-2", "right", "top-2", "top", "left"]
    assert list(result.garment.pieces) == ["one"]
    assert [seam.id for seam in result.garment.seams] == ["back right", "back left"]
    assert result.garment.seams[1].b == (EdgeRef("one", "right", Hand.LEFT),)
    assert result.garment.seams[0].after == ()
    assert assemble(result.garment).euler == assemble(garment).euler
    for seam in result.garment.seams:
        assert walk_seam(result.garment, seam).difference == pytest.approx(0, abs=1e-6)
    assert result.record.ids["two.n"] == ("one.n",)
    assert result.record.ids["two.m"] == ()  # a notch of the seam that is gone
    assert result.record.edges["two.join"] == ()
    # positions of the moved piece are found again where they are now
    old = garment.piece("two").drawn_shape
    laid = fit(garment.piece("one").drawn_shape.edge("join").path, (flipped(old) if over else old).edge("join").path.reversed())
    for name in ("hem", "right", "top"):
        home, edge, at = result.record.position("two", name, 30.0) or ("", "", 0.0)
        point = old.edge(name).path.at(30.0)
        there = laid.motion(Point(-point.x, point.y) if over else point)
        assert result.garment.piece(home).drawn_shape.edge(edge).path.at(at).distance(there) < 1e-6
    assert [notch.edge for notch in shape.notches] == ["right"]
    assert result.garment.piece("one").joined == (garment.piece("two"),)  # its bought outline is not lost
    assert result.garment.piece("one").bought == garment.piece("one").bought
    assert result.garment.piece("one").number == "o+t"
    assert not result.findings  # laid on its partner its grain lies as that does


def test_a_grain_that_lies_otherwise_is_told() -> None:
    garment = two_panels()
    two = garment.piece("two")
    a = two.drawn_shape.grain[0]
    bias = replace(two, shape=replace(two.drawn_shape, grain=(a, a + Point(30, 30))))
    found = Join(seam="side").apply(garment.with_piece(bias)).findings
    assert [finding.code for finding in found] == ["grain-turned"]
    assert "45°" in found[0].message


def test_a_gap_beyond_the_tolerance_is_told_in_millimetres() -> None:
    with pytest.raises(CannotAlter, match=r"not one line: laid on each other they miss by ⟨4 mm⟩"):
        Join(seam="side").apply(two_panels(longer=4.0))
    joint = Join(seam="side", tolerance=5.0).apply(two_panels(longer=4.0)).garment.piece("one").drawn_shape
    assert joint.edge("top-2").path.start.y - joint.edge("top").path.end.y == pytest.approx(2.0)  # the gap is shared
    joints = [edge.path.end.distance(after.path.start) for edge, after in zip(joint.edges, joint.edges[1:], strict=False)]
    assert max(joints) < 1e-9


def test_curves_that_are_no_copy_of_each_other_are_refused() -> None:
    garment = two_panels()
    two = garment.piece("two")
    edge = two.drawn_shape.edge("join")
    a, b = edge.path.start, edge.path.end
    out = Point(-9, 0)
    bent = two.drawn_shape.with_edge(replace(edge, path=Path((Cubic(a, a.towards(b, 0.3) + out, a.towards(b, 0.7) + out, b),))))
    with pytest.raises(CannotAlter, match="not one line") as refusal:
        Join(seam="side").apply(garment.with_piece(replace(two, shape=bent)))
    assert "within" in refusal.value.remedy


def test_the_other_piece_may_be_the_one_that_stays() -> None:
    result = Join(seam="side right", keep="two", name="whole").apply(two_panels(turn=0.4))
    assert list(result.garment.pieces) == ["whole"]
    assert result.garment.piece("whole").drawn_shape.grain == two_panels(turn=0.4).piece("two").drawn_shape.grain
    assert {part.piece for part in result.garment.parts} == {"whole"}
    # one seam named takes the one of the other hand along: they join the same edges
    assert [seam.id for seam in result.garment.seams] == ["back right", "back left"]


def test_what_is_laid_on_a_line_follows_it_to_the_joined_piece() -> None:
    garment = two_panels()
    one = garment.piece("one")
    mine = InnerLine("l", InnerLineKind.PLACEMENT, Path.line(Point(20, 20), Point(20, 60)))
    garment = garment.with_piece(replace(one, shape=replace(one.drawn_shape, lines=(mine,))))
    garment = replace(garment, applied=(Applied("badge", "two", "l"), Applied("pin", "one", "l")))
    after = Join(seam="side").apply(garment).garment
    assert [(item.onto, item.line) for item in after.applied] == [("one", "l-2"), ("one", "l")]
    assert {line.id for line in after.piece("one").drawn_shape.lines} == {"l", "l-2"}


def test_levels_in_one_line_are_one_and_the_girth_stays() -> None:
    garment = two_panels(turn=0.0)
    levels = {
        "one": LevelLine("waist", Point(10, 150), Point(90, 150)),
        "two": LevelLine("waist", Point(710, 190), Point(770, 190)),
    }
    for name, line in levels.items():
        piece = garment.piece(name)
        garment = garment.with_piece(replace(piece, shape=replace(piece.drawn_shape, levels=(line,))))
    from firsthand.pattern import Level

    garment = replace(garment, levels=(Level("waist", "Waist", "waist_girth"),))
    after = Join(seam="side").apply(garment).garment
    assert len(after.piece("one").drawn_shape.levels) == 1
    assert girth(after, after.levels[0]).total == pytest.approx(girth(garment, garment.levels[0]).total) == 360


def test_a_rough_size_is_made_again() -> None:
    garment = two_panels()
    garment = garment.with_piece(replace(garment.piece("one"), rough={"M": Rough(330, 130)}))
    rough = Join(seam="side").apply(garment).garment.piece("one").rough["M"]
    assert (rough.length, rough.width) == (pytest.approx(330), pytest.approx(210))


# what cannot be joined ---------------------------------------------------------------------------------------


def test_pieces_that_are_not_cut_alike_are_refused() -> None:
    garment = two_panels()
    lined = replace(garment, parts=(*garment.parts, Part("one", Hand.RIGHT, "lining")))
    with pytest.raises(CannotAlter, match="not cut alike of lining"):
        Join(seam="side").apply(lined)


def test_what_is_sewn_on_one_hand_only_is_refused() -> None:
    garment = two_panels()
    with pytest.raises(CannotAlter, match="not sewn to one on the left"):
        Join(seam="side").apply(replace(garment, seams=tuple(seam for seam in garment.seams if seam.id != "side left")))


def test_darts_on_the_seam_and_lapped_seams_are_refused() -> None:
    garment = two_panels()
    one = garment.piece("one")
    darted = replace(one.drawn_shape, darts=(Dart("d", "join", 150, 20, Point(40, 150)),))
    with pytest.raises(CannotAlter, match="d lies on the seam"):
        Join(seam="side").apply(garment.with_piece(replace(one, shape=darted)))
    lapped = replace(garment, seams=tuple(replace(seam, reverse_b=False) for seam in garment.seams))
    with pytest.raises(CannotAlter, match="on top of the other"):
        Join(seam="side").apply(lapped)


def test_names_that_are_not_there_or_join_nothing_are_refused(make_leg: Maker) -> None:
    garment = two_panels()
    with pytest.raises(NotThere):
        Join(seam="yoke").apply(garment)
    with pytest.raises(NotThere):
        Join(seam="side", keep="three").apply(garment)
    itself = replace(garment, seams=(Seam("s", (EdgeRef("one", "join", Hand.RIGHT),), (EdgeRef("one", "join", Hand.LEFT),)),))
    with pytest.raises(CannotAlter, match="one other piece"):
        Join(seam="s").apply(itself)
    with pytest.raises(CannotAlter, match="tolerance"):
        Join(seam="side", tolerance=float("nan")).apply(garment)
    with pytest.raises(CannotAlter, match="cannot be called"):
        Join(seam="side", name="a.b").apply(garment)
    crossed = replace(
        garment, seams=(Seam("s", (EdgeRef("one", "join", Hand.RIGHT),), (EdgeRef("two", "join", Hand.RIGHT, "lining"),)),)
    )
    with pytest.raises(CannotAlter, match="not cut of the same"):
        Join(seam="s").apply(crossed)
    front = Join(seam="outer").apply(make_leg()).garment  # the back is drawn as the front is: its mirror image is laid beside
    assert list(front.pieces) == ["front"]


def test_a_piece_on_the_fold_stays_where_it_is(make_vest: Maker) -> None:
    garment = make_vest()
    split = SplitPiece(piece="front", start="waist at 60 %", end="neck at 40 %").apply(garment).garment
    with pytest.raises(CannotAlter, match="on the fold, so that it has to stay"):
        Join(seam="front split", keep="front outer").apply(split)


def test_folds_that_do_not_meet_are_refused(make_vest: Maker) -> None:
    garment = make_vest()
    with pytest.raises(CannotAlter, match="folds of the two pieces"):
        Join(seam="side").apply(garment)  # the back laid to the front at the side has its fold on the far side


# on whole pieces ---------------------------------------------------------------------------------------------


def test_halves_that_were_opened_out_are_joined_along_both_seams(make_vest: Maker) -> None:
    garment = make_vest()
    stack = [
        SplitPiece(piece="front", start="centre at 40 %", end="armhole at 50 %"),
        Unfold(piece="front upper"),
        Unfold(piece="front lower"),
        Join(seam="front split"),
    ]
    result = apply_stack(garment, stack)
    assert not [finding for finding in result.findings if finding.code == "alteration-refused"]
    whole = apply_stack(garment, [Unfold(piece="front")]).garment
    assert result.garment.piece("front").drawn_shape.outline.area == pytest.approx(
        whole.piece("front").drawn_shape.outline.area
    )
    assert assemble(result.garment).euler == assemble(garment).euler
    assert not lost_references(garment, result.garment, "x")


def test_one_hand_is_joined_alone_once_they_are_apart(make_leg: Maker) -> None:
    garment = make_leg()
    stack = [
        SplitPiece(piece="front", start="outer at 45 %", end="inner at 55 %"),
        SplitHands(pieces=("front upper", "front lower")),
        Join(seam="front split left", name="left front"),
    ]
    result = apply_stack(garment, stack)
    assert [record.kind for record in result.records] == ["split-piece", "split-hands", "join"]
    assert list(result.garment.pieces) == ["front upper right", "left front", "front lower right", "back"]
    assert assemble(result.garment).euler == assemble(garment).euler
    assert result.garment.piece("left front").drawn_shape.outline.area == pytest.approx(200 * 600)


def test_a_name_with_a_number_is_found() -> None:
    assert free_id("hem", ["hem", "hem-2"]) == "hem-3"
    square = Shape(
        tuple(
            Edge(n, Corner(n), Path((Line(a, b),)))
            for n, a, b in [("a", Point(0, 0), Point(9, 0)), ("b", Point(9, 0), Point(0, 9)), ("c", Point(0, 9), Point(0, 0))]
        ),
        (Point(0, 0), Point(0, 1)),
    )
    with pytest.raises(CannotAlter, match="nothing would be left"):
        joined(square, square, (["a", "b", "c"], ["a"]), lambda *_: False, ("", ""))
