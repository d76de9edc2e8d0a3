"""Splitting a piece: two pieces, a new seam, and nothing else that is not as it was."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import ALTERATIONS, Altered, SplitPiece, apply_stack
from firsthand.alter.naming.refs import lost_references
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, FirsthandError, NotThere
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import (
    Applied,
    Dart,
    EdgeRef,
    FateKind,
    Garment,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    NotchKind,
    Pattern,
    Pleat,
    Rough,
    Shape,
    assemble,
    check_garment,
    cut_outline,
    girth,
    make_garment,
    sewn_length,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]


def pattern_of(garment: Garment) -> Pattern:
    """A pattern with the garment's own pieces, for its checks."""
    return Pattern(garment.id, garment.name, (garment.size,), garment.pieces, garment.seams, garment.levels)


def codes(garment: Garment, pattern: Pattern | None = None) -> set[str]:
    return {finding.code for finding in check_garment(garment, pattern or pattern_of(garment))}


def as_before(before: Garment, after: Garment) -> None:
    """Surface, seams that were there, girths and references are what they were."""
    old, new = assemble(before), assemble(after)
    assert (new.euler, len(new.loops), new.orientable, new.left_out) == (
        old.euler,
        len(old.loops),
        old.orientable,
        old.left_out,
    )
    seams = {seam.id: seam for seam in after.seams}
    for seam in before.seams:
        if any(r.piece in before.pieces and before.pieces[r.piece].shape is None for r in (*seam.a, *seam.b)):
            continue
        was, now = walk_seam(before, seam), walk_seam(after, seams[seam.id])
        assert now.a_length == pytest.approx(was.a_length, abs=1e-6)
        assert now.b_length == pytest.approx(was.b_length, abs=1e-6)
    for level in before.levels:
        total = girth(before, level).total
        if total is not None:
            assert girth(after, level).total == pytest.approx(total, abs=0.06)
    assert not lost_references(before, after, "x")


def resolved(before: Garment, result: Altered, piece: str) -> None:
    """Every old edge and id of a piece is somewhere or told to be gone, and what it is now is there."""
    old, garment, record = before.piece(piece).drawn_shape, result.garment, result.record
    for edge in old.edges:
        stretches = record.edges[f"{piece}.{edge.id}"]
        for stretch in stretches:
            new = garment.piece(stretch.piece).drawn_shape.edge(stretch.edge).path
            for share in (0.0, 0.5, 1.0):
                here = stretch.old_start + share * (stretch.old_end - stretch.old_start)
                there = stretch.new_start + share * (stretch.new_end - stretch.new_start)
                assert edge.path.at(here).distance(new.at(there)) < 1e-6
    for mark in (*old.notches, *old.darts, *old.pleats):
        for name in record.ids[f"{piece}.{mark.id}"]:
            home, _, mark_id = name.partition(".")
            shape = garment.piece(home).drawn_shape
            assert any(there.id == mark_id for there in (*shape.notches, *shape.darts, *shape.pleats))


# plain -------------------------------------------------------------------------------------------------------


def test_a_panel_cut_across_becomes_an_upper_and_a_lower_one(make_leg: Maker) -> None:
    garment = make_leg(width=200, height=600)
    result = SplitPiece(id="knee", piece="front", start="outer at 50 %", end="inner at 40 %").apply(garment)
    after = result.garment
    assert list(after.pieces) == ["front upper", "front lower", "back"]
    upper, lower = (after.piece(f"front {word}").drawn_shape for word in ("upper", "lower"))
    assert [edge.id for edge in upper.edges] == ["inner upper", "top", "outer upper", "split"]
    assert {edge.id for edge in lower.edges} == {"outer lower", "hem", "inner lower", "split"}
    assert upper.outline.area + lower.outline.area == pytest.approx(200 * 600)
    assert upper.edge("inner upper").path.length == pytest.approx(360)
    split = upper.edge("split")
    assert split.allowance == 15.0
    assert split.fate is not None
    assert split.fate.kind is FateKind.SEAM
    assert split.path.length == pytest.approx((200**2 + 60**2) ** 0.5)
    assert lower.edge("split").path.start.distance(split.path.end) < 1e-9
    seams = {seam.id: seam for seam in after.seams}
    assert seams["front split left"].a == (EdgeRef("front upper", "split", Hand.LEFT),)
    assert seams["front split left"].b == (EdgeRef("front lower", "split", Hand.LEFT),)
    assert [ref.edge for ref in seams["outer right"].a] == ["outer upper", "outer lower"]
    assert [ref.edge for ref in seams["outer left"].a] == ["outer lower", "outer upper"]
    assert [part.id for part in after.parts][:2] == ["front upper right shell", "front lower right shell"]
    as_before(garment, after)
    resolved(garment, result, "front")
    assert codes(after) <= codes(garment)


def test_match_notches_meet_and_tell_the_ends_apart(make_leg: Maker) -> None:
    after = SplitPiece(piece="front", start="outer at 50 %", end="inner at 45 %", notches=2).apply(make_leg()).garment
    walk = walk_seam(after, next(seam for seam in after.seams if seam.id == "front split right"))
    assert len(walk.notch_gaps) == 2
    assert all(abs(gap.gap) < 1e-6 for gap in walk.notch_gaps)
    places = [notch.at for notch in after.piece("front upper").drawn_shape.notches if notch.edge == "split"]
    turned = sorted(walk.a_length - at for at in places)
    assert all(abs(a - b) > 5 for a, b in zip(sorted(places), turned, strict=True))


def test_a_piece_with_double_notches_gets_double_match_notches(make_leg: Maker) -> None:
    garment = make_leg()
    back = garment.piece("back")
    shape = replace(back.drawn_shape, notches=tuple(replace(n, kind=NotchKind.DOUBLE) for n in back.drawn_shape.notches))
    after = SplitPiece(piece="back", start="outer at 50 %", end="inner at 45 %").apply(
        garment.with_piece(replace(back, shape=shape))
    )
    kinds = {notch.kind for notch in after.garment.piece("back lower").drawn_shape.notches}
    assert kinds == {NotchKind.DOUBLE}


def test_names_seam_and_allowance_are_those_asked_for(make_leg: Maker) -> None:
    kind = SplitPiece(
        piece="front", start="outer at 70 %", end="inner at 20 %", names=("shin", "thigh"), seam="knee", allowance=10.0
    )
    after = kind.apply(make_leg()).garment
    assert list(after.pieces)[:2] == ["shin", "thigh"]
    assert after.piece("shin").drawn_shape.outline.area > after.piece("thigh").drawn_shape.outline.area
    assert after.piece("thigh").drawn_shape.edge("split").allowance == 10.0
    assert {"knee right", "knee left"} <= {seam.id for seam in after.seams}


def test_both_keep_the_outline_that_was_bought_and_say_of_what_they_are_part(make_leg: Maker) -> None:
    garment = make_leg()
    once = SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %").apply(garment).garment
    twice = SplitPiece(piece="front upper", start="outer upper at 50 %", end="inner upper at 50 %").apply(once).garment
    for piece in twice.pieces.values():
        if piece.id != "back":
            assert piece.part_of == "front"
            assert piece.bought == garment.piece("front").bought


def test_a_rough_size_is_made_again(make_leg: Maker) -> None:
    garment = make_leg(width=200, height=600)
    garment = garment.with_piece(replace(garment.piece("front"), rough={"M": Rough(630, 230)}))
    after = SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %").apply(garment).garment
    rough = after.piece("front upper").rough["M"]
    assert (rough.length, rough.width) == (pytest.approx(330), pytest.approx(230))


def test_an_edge_met_in_its_corner_stays_whole(make_leg: Maker) -> None:
    garment = make_leg()
    after = SplitPiece(piece="front", start="outer at end", end="top at start").apply(garment).garment
    halves = [after.piece(name).drawn_shape for name in after.pieces if name.startswith("front ")]
    assert sorted(edge.id for half in halves for edge in half.edges) == ["hem", "inner", "outer", "split", "split", "top"]
    as_before(garment, after)


def test_a_curve_runs_smoothly_through_its_points(make_leg: Maker) -> None:
    garment = make_leg()
    kind = SplitPiece(
        piece="front", start="outer at 50 %", end="inner at 50 %", through=("level middle at 50 %", "14 cm, 33 cm")
    )
    after = kind.apply(garment).garment
    path = after.piece("front lower").drawn_shape.edge("split").path
    points = [Point(100, 300), Point(140, 330)]
    assert all(min(point.distance(at) for at in path.joints) < 1e-6 for point in points)
    assert max(abs(a.end_tangent.cross(b.start_tangent)) for a, b in _neighbours(path)) < 1e-6
    broken = replace(kind, straight=True).apply(garment).garment.piece("front lower").drawn_shape.edge("split").path
    assert all(isinstance(segment, Line) for segment in broken)
    as_before(garment, after)


def _neighbours(path: Path) -> list[tuple[Path, Path]]:
    return [(Path((a,)), Path((b,))) for a, b in zip(path.segments, path.segments[1:], strict=False)]


# on the fold, in layers --------------------------------------------------------------------------------------


def test_a_yoke_keeps_both_halves_on_the_fold(make_vest: Maker) -> None:
    garment = make_vest()
    after = SplitPiece(piece="front", start="centre at 40 %", end="armhole at 50 %").apply(garment).garment
    for word in ("upper", "lower"):
        piece = after.piece(f"front {word}")
        assert piece.fold == "centre"
        assert {cut.how for cut in piece.cuts} == {How.FOLD}
        for part in after.parts_of(piece.id):
            assert cut_outline(after, part).fold is not None
    new = {seam.id for seam in after.seams} - {seam.id for seam in garment.seams}
    assert new == {"front split right", "front split left", "front split right lining", "front split left lining"}
    as_before(garment, after)
    assert codes(after) <= codes(garment)


def test_the_half_that_leaves_the_fold_becomes_a_pair(make_vest: Maker) -> None:
    garment = make_vest()
    after = SplitPiece(piece="front", start="waist at 60 %", end="neck at 40 %").apply(garment).garment
    assert list(after.pieces)[:2] == ["front inner", "front outer"]
    assert after.piece("front inner").fold == "centre"
    assert after.piece("front outer").fold == ""
    assert {cut.how for cut in after.piece("front outer").cuts} == {How.PAIR}
    hands = [(part.hand, part.role) for part in after.parts_of("front outer")]
    assert hands == [(hand, role) for role in ("shell", "lining") for hand in (Hand.RIGHT, Hand.LEFT)]
    side = next(seam for seam in after.seams if seam.id == "side left")
    assert side.a == (EdgeRef("front outer", "side", Hand.LEFT),)
    as_before(garment, after)
    assert codes(after) <= codes(garment)


def test_interfacing_is_cut_in_two_and_not_sewn(make_vest: Maker) -> None:
    garment = make_vest()
    front = garment.piece("front")
    cuts = (*front.cuts, replace(front.cuts[0], role="interfacing"))
    parts = (*garment.parts, replace(garment.parts[0], role="interfacing"))
    garment = replace(garment.with_piece(replace(front, cuts=cuts)), parts=parts)
    after = SplitPiece(piece="front", start="centre at 40 %", end="armhole at 50 %").apply(garment).garment
    assert {part.role for part in after.parts_of("front upper")} == {"shell", "lining", "interfacing"}
    assert {ref.role for seam in after.seams for ref in seam.a} == {"shell", "lining"}
    alone = replace(front, cuts=(replace(front.cuts[0], role="interfacing"),))
    parts = (replace(garment.parts[0], role="interfacing"),)
    bare = replace(garment.with_piece(alone), parts=parts, seams=())
    result = SplitPiece(piece="front", start="centre at 40 %", end="armhole at 50 %").apply(bare)
    assert not result.garment.seams
    assert result.record.words.endswith("without a seam")


# what lies on the piece --------------------------------------------------------------------------------------

DART = Dart("d", "top", 100, 30, Point(100, 480))


def test_a_dart_goes_into_the_seam_and_its_legs_become_edges(make_leg: Maker) -> None:
    garment = make_leg(width=200, height=600, darts=(DART,))
    result = SplitPiece(piece="front", start="top at dart d", end="hem at 50 %", notches=1).apply(garment)
    after = result.garment
    first, second = (after.piece(f"front {word}").drawn_shape for word in ("first", "second"))
    assert not first.darts
    assert not second.darts
    leg = (120**2 + 15**2) ** 0.5
    for half in (first, second):
        assert half.edge("split").path.length == pytest.approx(leg + 480)
        assert sum(notch.edge == "split" for notch in half.notches) == 2  # one on the line, one at the dart's point
    assert first.edge("top first").path.length + second.edge("top second").path.length == pytest.approx(200 - 30)
    assert result.record.ids["front.d"] == ()
    assert result.record.position("front", "top", 100.0) is None
    # the seam that held the dart's edge is none; the girth at a level through the dart is what it was
    as_before(garment, after)
    walk = walk_seam(after, next(seam for seam in after.seams if seam.id == "front split right"))
    assert walk.difference == pytest.approx(0, abs=1e-6)
    assert all(abs(gap.gap) < 1e-6 for gap in walk.notch_gaps)


def test_legs_that_differ_are_eased(make_leg: Maker) -> None:
    garment = make_leg(darts=(replace(DART, apex=Point(104, 480)),))
    after = SplitPiece(piece="front", start="top at dart d", end="hem at 50 %").apply(garment).garment
    seam = next(seam for seam in after.seams if seam.id == "front split right")
    lengths = [sewn_length(after.piece(refs[0].piece).drawn_shape, "split") for refs in (seam.a, seam.b)]
    assert abs(seam.easing) > 0.1
    assert seam.easing == pytest.approx(lengths[0] - lengths[1])


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        ("outer at 10 %", "inner at 90 %", "cut through d"),
        ("top at 95 mm", "hem at 50 %", "mouth of d"),
        ("outer at 50 %", "outer at 51 %", "cannot be sewn"),
        ("hem at 10 %", "hem at 90 %", "next to nothing"),
    ],
)
def test_lines_that_cut_into_something_are_refused(make_leg: Maker, start: str, end: str, words: str) -> None:
    with pytest.raises(CannotAlter, match=words):
        SplitPiece(piece="front", start=start, end=end).apply(make_leg(darts=(DART,)))


def _with(garment: Garment, **marks: object) -> Garment:
    front = garment.piece("front")
    return garment.with_piece(replace(front, shape=replace(front.drawn_shape, **marks)))  # type: ignore[arg-type]


def test_pleats_and_held_lines_are_not_cut_through(make_leg: Maker) -> None:
    pleat = Pleat("p", "top", 100, 15, reach=200)
    with pytest.raises(CannotAlter, match="through the pleat p"):
        SplitPiece(piece="front", start="outer at 15 %", end="inner at 85 %").apply(_with(make_leg(), pleats=(pleat,)))
    with pytest.raises(CannotAlter, match="begin in the pleat p"):
        SplitPiece(piece="front", start="top at 50 %", end="hem at 50 %").apply(_with(make_leg(), pleats=(pleat,)))
    hole = InnerLine("slit", InnerLineKind.BUTTONHOLE, Path.line(Point(50, 290), Point(50, 310)))
    with pytest.raises(CannotAlter, match="buttonhole slit"):
        SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %").apply(_with(make_leg(), lines=(hole,)))
    low = SplitPiece(piece="front", start="outer at 70 %", end="inner at 30 %").apply(_with(make_leg(), pleats=(pleat,)))
    assert [p.edge for p in low.garment.piece("front upper").drawn_shape.pleats] == ["top"]
    as_before(_with(make_leg(), pleats=(pleat,)), low.garment)


def test_lines_and_what_is_laid_on_them_go_with_their_half(make_leg: Maker) -> None:
    line = InnerLine("pocket", InnerLineKind.PLACEMENT, Path.line(Point(40, 450), Point(120, 450)))
    long = InnerLine("stripe", InnerLineKind.STITCHING, Path.line(Point(150, 20), Point(150, 580)))
    garment = replace(_with(make_leg(), lines=(line, long)), applied=(Applied("back", "front", "pocket"),))
    result = SplitPiece(piece="front", start="outer at 48 %", end="inner at 52 %").apply(garment)
    upper, lower = (result.garment.piece(f"front {word}").drawn_shape for word in ("upper", "lower"))
    assert [(one.id, round(one.path.length)) for one in upper.lines] == [("pocket", 80), ("stripe", 268)]
    assert [(one.id, round(one.path.length)) for one in lower.lines] == [("stripe", 292)]
    assert result.garment.applied == (Applied("back", "front upper", "pocket"),)
    assert not result.findings
    parted = SplitPiece(piece="front", start="outer at 48 %", end="inner at 52 %").apply(
        replace(garment, applied=(Applied("back", "front", "stripe"),))
    )
    assert [finding.code for finding in parted.findings] == ["reference-lost"]


def test_a_notch_in_the_place_of_the_seam_is_told(make_leg: Maker) -> None:
    result = SplitPiece(piece="front", start="outer at notch n2", end="inner at 40 %").apply(make_leg())
    assert [finding.code for finding in result.findings] == ["notch-cut-away"]
    assert result.record.ids["front.n2"] == ()
    assert result.record.ids["front.n1"] == ("front upper.n1",)


def test_a_level_along_the_new_seam_is_carried_once(make_leg: Maker) -> None:
    garment = make_leg()
    after = SplitPiece(piece="front", start="outer at level middle", end="inner at level middle").apply(garment).garment
    carriers = [piece.id for piece in after.pieces.values() if any(line.level == "middle" for line in piece.drawn_shape.levels)]
    assert carriers == ["front upper", "back"]
    as_before(garment, after)


def test_the_grain_keeps_its_direction_and_lies_in_each_half(make_leg: Maker) -> None:
    garment = make_leg(width=200, height=600)
    after = SplitPiece(piece="front", start="outer at 80 %", end="inner at 20 %").apply(garment).garment
    for word in ("upper", "lower"):
        a, b = after.piece(f"front {word}").drawn_shape.grain
        assert (b - a).unit() == Point(0, 1)
        assert all(0 < point.x < 200 for point in (a, b))


# asked for wrongly -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "change",
    [
        {"allowance": float("nan")}, {"allowance": -1.0}, {"allowance": 1e9}, {"notches": -1}, {"notches": 10**9},
        {"names": ("one",)}, {"names": ("a", "a")}, {"names": ("back", "b")}, {"names": ("a.b", "c")},
        {"end": "outer at 50 %"}, {"end": "outer at 99 m"}, {"through": ("nowhere",)}, {"through": ("90 cm, 90 cm",)},
    ],
)  # fmt: skip
def test_bad_requests_are_refused_in_words(make_leg: Maker, change: dict[str, object]) -> None:
    kind = replace(SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %"), **change)  # type: ignore[arg-type]
    with pytest.raises(CannotAlter) as refusal:
        kind.apply(make_leg())
    assert refusal.value.remedy


def test_pieces_that_are_not_there_or_are_cards_are_refused(make_leg: Maker) -> None:
    garment = make_leg()
    with pytest.raises(NotThere):
        SplitPiece(piece="cuff", start="a at start", end="b at end").apply(garment)
    card = garment.with_piece(replace(garment.piece("front"), shape=None))
    with pytest.raises(NotThere):
        SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %").apply(card)


def test_both_ends_on_the_fold_are_refused(make_vest: Maker) -> None:
    with pytest.raises(CannotAlter, match="both ends of the line lie on the fold"):
        SplitPiece(piece="front", start="centre at 20 %", end="centre at 80 %", through=("10 cm, 18 cm",)).apply(make_vest())


# any place ---------------------------------------------------------------------------------------------------

SHARES = st.integers(0, 100)


@settings(max_examples=80, deadline=None)
@given(st.data(), st.floats(-30, 60), st.floats(0, 25), SHARES, SHARES)
def test_wherever_a_leg_is_cut_the_garment_is_what_it_was(
    make_leg: Maker, data: st.DataObject, lean: float, bulge: float, one: int, two: int
) -> None:
    garment = make_leg(lean=lean, bulge=bulge)
    _anywhere(garment, data, one, two)


@settings(max_examples=80, deadline=None)
@given(st.data(), st.floats(200, 300), SHARES, SHARES)
def test_wherever_a_vest_is_cut_the_garment_is_what_it_was(
    make_vest: Maker, data: st.DataObject, half: float, one: int, two: int
) -> None:
    garment = make_vest(half=half)
    _anywhere(garment, data, one, two)


def _anywhere(garment: Garment, data: st.DataObject, one: int, two: int) -> None:
    edges = [edge.id for edge in garment.piece("front").drawn_shape.edges]
    start, end = (data.draw(st.sampled_from(edges)) for _ in range(2))
    kind = SplitPiece(piece="front", start=f"{start} at {one} %", end=f"{end} at {two} %")
    try:
        result = kind.apply(garment)
    except CannotAlter:
        return
    as_before(garment, result.garment)
    resolved(garment, result, "front")
    names = [name for name in result.garment.pieces if name.startswith("front ")]
    halves = [result.garment.piece(name).drawn_shape for name in names]
    assert sum(half.outline.area for half in halves) == pytest.approx(garment.piece("front").drawn_shape.outline.area)
    for half in halves:
        assert _unique(half)


def _unique(shape: Shape) -> bool:
    ids = [edge.id for edge in shape.edges], [edge.corner.id for edge in shape.edges], [notch.id for notch in shape.notches]
    return all(len(set(names)) == len(names) for names in ids)


# the demo ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("garment", "piece", "start", "end"),
    [
        ("shirt", "front", "centre at 30 %", "armhole at 50 %"),
        ("shirt", "back", "centre at 20 %", "armhole at 40 %"),
        ("shirt", "sleeve", "underarm-front at 50 %", "underarm-back at 50 %"),
        ("hose", "front", "side at 40 %", "inseam at 60 %"),
        ("skirt", "front", "side at 50 %", "centre at 50 %"),
        ("jerkin", "front", "side at 50 %", "centre at 50 %"),
        ("jerkin", "back", "hem at 50 %", "shoulder at 50 %"),
    ],
)
def test_demo_pieces_are_split_without_a_new_finding(garment: str, piece: str, start: str, end: str) -> None:
    pattern = demo_patterns()[garment]
    made = make_garment(pattern, pattern.sizes[0], id=garment)
    edges = [edge.id for edge in made.piece(piece).drawn_shape.edges]
    if not {start.split(" at ")[0], end.split(" at ")[0]} <= set(edges):
        pytest.fail(f"{piece} has the edges {edges}")
    result = SplitPiece(piece=piece, start=start, end=end).apply(made)
    as_before(made, result.garment)
    resolved(made, result, piece)
    assert codes(result.garment, pattern) <= codes(made, pattern)


def test_it_is_a_kind_of_the_stack(make_leg: Maker) -> None:
    assert ALTERATIONS["split-piece"] is SplitPiece
    one = SplitPiece(piece="front", start="outer at 45 %", end="inner at 55 %")
    result = apply_stack(make_leg(), [one, one])  # the second one names a piece that is not there any more
    assert [record.kind for record in result.records] == ["split-piece"]
    assert [finding.code for finding in result.findings] == ["alteration-refused"]
    assert issubclass(NotThere, FirsthandError)


def test_a_seam_too_tight_to_be_cut_out_or_too_steep_at_the_fold_is_refused(make_leg: Maker, make_vest: Maker) -> None:
    tight = SplitPiece(piece="front", start="outer at 50 %", end="outer at 52 %", through=("10 cm, 30 cm",))
    with pytest.raises(CannotAlter, match="could not be cut out"):
        tight.apply(make_leg())
    with pytest.raises(CannotAlter, match=r"could not be cut out.*over the fold"):
        SplitPiece(piece="front", start="neck at 70 %", end="centre at 90 %").apply(make_vest())


def test_a_split_edge_is_split_again_without_a_name_twice(make_leg: Maker) -> None:
    first = SplitPiece(piece="front", start="outer at 45 %", end="inner at 55 %").apply(make_leg()).garment
    kind = SplitPiece(piece="front lower", start="split at 50 %", end="hem at 50 %")
    after = kind.apply(first).garment
    for name in ("front lower first", "front lower second"):
        assert _unique(after.piece(name).drawn_shape)
    as_before(first, after)


def test_a_piece_that_is_sewn_to_nothing_may_be_split(make_leg: Maker) -> None:
    garment = replace(make_leg(), seams=())
    result = apply_stack(garment, [SplitPiece(piece="front", start="outer at 45 %", end="inner at 55 %")])
    assert not result.findings
    assert [seam.id for seam in result.garment.seams] == ["front split right", "front split left"]


def test_the_other_pieces_are_not_touched(make_leg: Maker) -> None:
    garment = make_leg()
    after = SplitPiece(piece="front", start="outer at 50 %", end="inner at 50 %").apply(garment).garment
    assert after.piece("back") is garment.piece("back")
