"""On the tissue: positions through a stack, what moves as it is, and offsets that give the new line back."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Alteration, Lengthen, Record, Scale, StackResult, Stretch, TakeIn, apply_stack
from firsthand.alter._composed import composed
from firsthand.alter.moving.profile import constant
from firsthand.alter.moving.reshape import moved_by
from firsthand.alter.tissue.cards import Tissue, on_tissue
from firsthand.alter.tissue.offsets import CLOSE, Mark, Offset, offsets, renamed
from firsthand.alter.tissue.rigid import Bit, motions
from firsthand.alter.tissue.stretched import changed_stretches, printed_line
from firsthand.demo import demo_patterns
from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Path, Point, extended, nearest
from firsthand.pattern import Corner, Dart, Edge, Garment, Notch, Piece, Shape, make_garment

Maker = Callable[..., Garment]


def garment_of(name: str) -> Garment:
    """A garment of the demo in size M."""
    return make_garment(demo_patterns()[name], "M", id=name)


def tissues(garment: Garment, *stack: Alteration) -> tuple[StackResult, dict[str, Tissue]]:
    """What to do on the tissue of each piece."""
    result = apply_stack(garment, stack)
    altered = [
        {name: after.pieces[name].drawn_shape for name in record.pieces}
        for record, (_, after) in zip(result.records, result.stages, strict=True)
    ]
    found = {name: on_tissue(piece, result.records, altered) for name, piece in result.garment.pieces.items()}
    return result, {name: tissue for name, tissue in found.items() if tissue is not None}


def redrawn(piece: Piece, tissue: Tissue) -> Iterable[tuple[Point, Offset]]:
    """Marks made with a ruler: each offset, rounded to the millimetre as it is printed, set off from the printed line."""
    bought = piece.sizes["M"]
    for offset in tissue.offsets:
        path = bought.edge(offset.edge).path
        run = abs(offset.along) + 10.0
        line = extended(path, run, run)
        at = run + offset.at + round(offset.along)
        mine = [bit for bit in tissue.bits if bit.edge == offset.edge and bit.start - 1e-6 <= offset.at <= bit.end + 1e-6]
        for bit in mine[:1] if offset.place == "cut, first side" else mine[-1:]:
            foot = bit.motion(line.at(at))
            inwards = (bit.motion(line.at(at) + line.tangent_at(at)) - foot).unit().left
            yield foot + inwards * round(offset.square), offset


# positions through a stack -----------------------------------------------------------------------------------------


@settings(max_examples=12)
@given(share=st.floats(0, 1), amount=st.integers(-40, 40), longer=st.integers(-25, 60))
def test_a_position_goes_through_each_record_in_turn(share: float, amount: int, longer: int) -> None:
    garment = garment_of("hose")
    stack = apply_stack(garment, [Lengthen(float(longer), level="calf"), TakeIn(float(amount)), Lengthen(15.0, level="thigh")])
    edge = garment.pieces["front"].drawn_shape.edge("side")
    whole = composed(stack.records).position("front", "side", edge.path.length * share)
    place: tuple[str, str, float] | None = ("front", "side", edge.path.length * share)
    for record in stack.records:
        place = record.position(*place) if place else None
    assert whole == place
    at = edge.path.length * share
    chained = composed(stack.records).stretches("front", "side", edge.path.length)
    if whole is None:
        assert not [s for s in chained if s.old_start + 1e-6 < at < s.old_end - 1e-6]
        return
    here = [s for s in chained if s.old_start - 1e-6 <= at <= s.old_end + 1e-6]
    slopes = [(s, (s.new_end - s.new_start) / (s.old_end - s.old_start)) for s in here if s.old_end > s.old_start]
    assert min(abs(s.new_start + slope * (at - s.old_start) - whole[2]) for s, slope in slopes) < 1e-5
    back = composed(stack.records).origin(*whole)
    assert back is not None
    assert composed(stack.records).position(*back) == pytest.approx(whole, abs=1e-6)


def test_what_was_put_in_came_from_nowhere() -> None:
    stack = apply_stack(garment_of("hose"), [Lengthen(30.0, level="thigh", trued=False), TakeIn(40.0)])
    long = stack.garment.pieces["front"].drawn_shape.edge("side").path.length
    maps = composed(stack.records)
    there = [maps.origin("front", "side", long * k / 400) for k in range(401)]
    missing = sum(1 for place in there if place is None) * long / 400
    assert missing == pytest.approx(30.0, abs=4.0)
    assert all(place is None or place[:2] == ("front", "side") for place in there)


def test_edges_that_go_to_other_pieces_are_followed_there() -> None:
    split = Record("s", "split", "", edges={
        "leg.side": (Stretch("upper", "side", 0, 40, 0, 40), Stretch("lower", "side", 40, 100, 0, 60))})  # fmt: skip
    turned = Record("t", "mirror", "", edges={"lower.side": (Stretch("lower", "side", 0, 60, 60, 0),)})
    maps = composed([split, turned])
    assert maps.position("leg", "side", 50.0) == ("lower", "side", 50.0)
    assert maps.origin("lower", "side", 50.0) == ("leg", "side", 50.0)
    assert maps.origin("leg", "side", 5.0) is None
    assert [(s.piece, s.old_start, s.old_end, s.new_start, s.new_end) for s in maps.stretches("leg", "side", 100.0)] == [
        ("upper", 0.0, 40.0, 0.0, 40.0), ("lower", 40.0, 100.0, 60.0, 0.0)]  # fmt: skip


# what moves as it is -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("amount", [30.0, -18.0])
def test_a_piece_cut_through_is_moved_and_not_redrawn(amount: float) -> None:
    result, found = tissues(garment_of("hose"), Lengthen(amount, level="thigh", trued=False))
    assert set(found) == {"front", "back"}
    for name, tissue in found.items():
        ((section,),) = [stage.moved for stage in tissue.stages]
        assert (section.right, section.up, section.turn) == pytest.approx((0, amount, 0), abs=1e-6)
        assert set(section.edges) == {"crotch", "waist"}
        assert {(end.edge, round(end.opened, 6)) for end in section.ends} == {("inseam", amount), ("side", amount)}
        level = next(m for m in result.garment.pieces[name].sizes["M"].levels if m.level == "thigh")
        for end in section.ends:  # the cut lies on the level as printed
            point = result.garment.pieces[name].sizes["M"].edge(end.edge).path.at(end.at)
            low, high = sorted(
                (point, result.garment.pieces[name].sizes["M"].edge(end.edge).path.at(end.to)), key=lambda p: p.y
            )
            assert low.y == pytest.approx(level.a.y, abs=1e-6)
            assert high.y - low.y == pytest.approx(max(-amount, 0.0), abs=1e-6)
        if amount > 0:
            assert tissue.offsets == ()  # nothing else moved: not one offset


def test_offsets_alone_say_nothing_of_a_section() -> None:
    result, found = tissues(garment_of("hose"), Lengthen(30.0, level="thigh", trued=False), TakeIn(40.0))
    assert [len(stage.moved) for stage in found["front"].stages] == [1, 0]
    moved = {
        round(offset.square, 1) for offset in found["front"].offsets if offset.edge == "side" and offset.mark is Mark.STATION
    }
    # 40 mm in all at four seams of two edges each: 5 mm at each edge
    assert moved == {5.0}
    assert result.garment.pieces["front"].bought == garment_of("hose").pieces["front"].bought


def test_a_copy_is_made_larger_as_a_whole() -> None:
    _, found = tissues(garment_of("jerkin"), Scale(100.0, 97.0))
    for tissue in found.values():
        ((section,),) = [stage.moved for stage in tissue.stages]
        assert section.factor == pytest.approx(100 / 97, rel=1e-9)
        assert not tissue.offsets
        assert not tissue.is_cut


def hinged(angle: float) -> tuple[Shape, Shape, Record]:
    """A square of 200 mm slashed from the middle of its hem up to the middle of its top and hinged there."""
    a, b, c, d = Point(0, 0), Point(200, 0), Point(200, 200), Point(0, 200)
    turn = Affine.rotation(angle, Point(100, 200))
    grain = (Point(40, 20), Point(40, 180))

    def shape(hem: Path, right: Path, top: Path) -> Shape:
        left = Path.line(d, a)
        names = zip(("hem", "right", "top", "left"), (hem, right, top, left), strict=True)
        return Shape(tuple(Edge(name, Corner(f"{name} start"), path) for name, path in names), grain)

    before = shape(Path.line(a, b), Path.line(b, c), Path.line(c, d))
    mouth, low, high = turn(Point(100, 0)), turn(b), turn(c)
    after = shape(Path.line(a, Point(100, 0), mouth, low), Path.line(low, high), Path.line(high, Point(100, 200), d))
    opened = mouth.distance(Point(100, 0))
    edges = {"p.hem": (Stretch("p", "hem", 0, 100, 0, 100), Stretch("p", "hem", 100, 200, 100 + opened, 200 + opened))}
    return before, after, Record("slash", "slash", "Slashed", edges=edges, pieces=("p",))


@pytest.mark.parametrize("degrees", [6.0, -4.0])
def test_a_hinge_is_found_and_the_turn_told(degrees: float) -> None:
    before, after, record = hinged(math.radians(degrees))
    piece = Piece("p", "1", "P", (), sizes={"M": before}, size="M", shape=after)
    tissue = on_tissue(piece, [record], [{"p": after}])
    assert tissue is not None
    ((section,),) = [stage.moved for stage in tissue.stages]
    assert section.turn == pytest.approx(math.radians(degrees), abs=1e-9)
    assert section.edges == ("right",)
    ends = {end.edge: end for end in section.ends}
    # a chord of a circle of 200 mm: 2 r sin(angle / 2)
    chord = 2 * 200 * math.sin(math.radians(abs(degrees)) / 2)
    assert ends["hem"].at == pytest.approx(100.0)
    assert abs(ends["hem"].opened) == pytest.approx(chord, abs=1e-6)
    assert (ends["hem"].opened > 0) == (degrees > 0)
    assert ends["top"].at == pytest.approx(100.0, abs=0.5)
    assert ends["top"].opened == 0.0
    assert tissue.offsets == ()


def test_edges_moved_by_themselves_are_no_sections() -> None:
    """Two edges in one line go the same way; nothing is cut off the rest."""
    a, b, c, d, e = Point(0, 0), Point(200, 0), Point(200, 150), Point(200, 300), Point(0, 300)
    names = ("hem", "low side", "high side", "top", "centre")
    corners = (a, b, c, d, e, a)
    paths = [Path.line(one, two) for one, two in itertools.pairwise(corners)]
    before = Shape(
        tuple(Edge(n, Corner(f"{n} start"), p) for n, p in zip(names, paths, strict=True)), (Point(50, 50), Point(50, 250))
    )
    moved = moved_by(before, {"low side": constant(12.0), "high side": constant(12.0)})
    edges = {f"p.{edge}": tuple(Stretch("p", edge, *run) for run in runs) for edge, runs in moved.maps.items()}
    record = Record("t", "take-in", "", edges=edges, pieces=("p",))
    assert motions(before, moved.shape, record, "p").moved == ()
    found = offsets(before, moved.shape, [record], piece="p")
    sides = [offset for offset in found if offset.edge.endswith("side")]
    assert {round(offset.square, 6) for offset in sides} == {12.0}


# offsets -----------------------------------------------------------------------------------------------------------

STACKS: tuple[tuple[str, tuple[Alteration, ...]], ...] = (
    ("hose", (TakeIn(40.0),)),
    ("hose", (TakeIn(-30.0), Lengthen(25.0, level="thigh"))),
    ("hose", (Lengthen(-20.0, level="calf"), TakeIn(36.0))),
    ("hose", (Lengthen(-20.0, level="calf"), Lengthen(35.0, level="thigh"), TakeIn(20.0))),
    ("jerkin", (TakeIn(24.0), Lengthen(12.0, level="hip"))),
)


@pytest.mark.parametrize(("name", "stack"), STACKS)
def test_printed_offsets_give_the_new_line_back(name: str, stack: tuple[Alteration, ...]) -> None:
    result, found = tissues(garment_of(name), *stack)
    assert found
    for key, tissue in found.items():
        piece = result.garment.pieces[key]
        outline = piece.drawn_shape.outline
        for mark, offset in redrawn(piece, tissue):
            # rounded to the millimetre both ways a corner may be off by the diagonal
            allowed = 0.5 if offset.mark in (Mark.STATION, Mark.CUT) else 0.5 * math.sqrt(2)
            assert nearest(outline, mark)[1] <= allowed + 0.02, (key, offset)


@pytest.mark.parametrize(("name", "stack"), [STACKS[0], STACKS[1], STACKS[4]])
def test_between_stations_a_straight_run_stays_near(name: str, stack: tuple[Alteration, ...]) -> None:
    result, found = tissues(garment_of(name), *stack)
    for key, tissue in found.items():
        piece = result.garment.pieces[key]
        bought, outline = piece.sizes["M"], piece.drawn_shape.outline
        for bit in tissue.bits:
            path = bought.edge(bit.edge).path
            here = [o for o in tissue.offsets if o.edge == bit.edge and bit.start <= o.at <= bit.end and o.mark is Mark.STATION]
            for one, two in itertools.pairwise(here):
                for share in (0.2, 0.4, 0.6, 0.8):
                    at = one.at + (two.at - one.at) * share
                    square = round(one.square) + (round(two.square) - round(one.square)) * share
                    foot = bit.motion(path.at(at))
                    inwards = (bit.motion(path.at(at) + path.tangent_at(at)) - foot).unit().left
                    assert nearest(outline, foot + inwards * square)[1] <= CLOSE + 0.5 + 0.05


def test_corners_are_told_from_both_printed_edges(make_leg: Maker) -> None:
    """On a straight panel whose corners are right angles the numbers are known: 6 mm in from one edge, 6 mm along the other."""
    result, found = tissues(make_leg(width=200.0, height=600.0), TakeIn(48.0, seams=("inner right", "inner left")))
    assert result.findings == ()
    amount = 48.0 / 2 / 2
    front = {(o.edge, o.place): o for o in found["front"].offsets if o.mark is Mark.CORNER}
    on_hem, on_inner = front["hem", "corner with inner"], front["inner", "corner with hem"]
    assert (on_hem.along, on_hem.square) == pytest.approx((-amount, 0.0), abs=1e-6)
    assert (on_inner.along, on_inner.square) == pytest.approx((0.0, amount), abs=1e-6)
    notch = next(o for o in found["front"].offsets if o.mark is Mark.NOTCH and o.edge == "inner")
    assert (notch.along, notch.square) == pytest.approx((0.0, amount), abs=1e-6)
    stations = [o.at for o in found["front"].offsets if o.edge == "inner" and o.mark is Mark.STATION]
    assert stations == [50.0 * k for k in range(1, 12)]


def test_darts_and_marks_inside_are_told(make_leg: Maker) -> None:
    dart = Dart("waist dart", "inner", 420.0, 20.0, Point(120.0, 420.0))
    garment = make_leg(width=200.0, height=600.0, darts=(dart,))
    _, found = tissues(garment, TakeIn(48.0, seams=("inner right", "inner left")))
    legs = [o for o in found["front"].offsets if o.mark is Mark.DART]
    assert [o.place for o in legs] == ["waist dart, first leg", "waist dart, second leg"]
    assert [(o.along, o.square) for o in legs] == [pytest.approx((0, 12), abs=0.01)] * 2
    assert found["front"].points == ()


def test_a_point_inside_that_moved_by_itself_is_told() -> None:
    before, _, _ = hinged(0.1)
    before = replace(before, darts=(Dart("dart", "hem", 60.0, 20.0, Point(60, 90)),), notches=(Notch("n", "left", 50.0),))
    after = replace(before, darts=(replace(before.darts[0], apex=Point(72, 85)),), notches=(Notch("m", "left", 50.0),))
    piece = Piece("p", "1", "P", (), sizes={"M": before}, size="M", shape=after)
    tissue = on_tissue(piece, [Record("m", "move", "", pieces=("p",))], [{"p": after}])
    assert tissue is not None
    assert [(p.name, round(p.right, 6), round(p.up, 6)) for p in tissue.points] == [("point of dart", 12.0, -5.0)]
    assert (tissue.gone, [(mark.name, mark.edge, mark.at) for mark in tissue.added]) == (("n",), [("m", "left", 50.0)])


def test_what_cannot_be_followed_is_printed_anew() -> None:
    before, after, _ = hinged(0.1)
    new = Piece("new", "1", "New", (), size="M", shape=after)
    edges = {"one.hem": (Stretch("p", "hem", 0, 100, 0, 100),), "two.hem": (Stretch("p", "hem", 0, 100, 100, 200),)}
    joined = Record("j", "join", "", edges=edges, pieces=("p",))
    made = on_tissue(replace(new, id="p"), [joined], [{"p": after}])
    assert made is not None
    assert made.new == "it was made of one and two"
    made = on_tissue(new, [Record("d", "split", "", ids={"old": ("new", "rest")}, pieces=("new",))], [{"new": after}])
    assert made is not None
    assert made.new == "it was made of old"
    other = replace(before, edges=(replace(before.edges[0], id="seam"), *before.edges[1:]))
    piece = Piece("p", "1", "P", (), sizes={"M": before}, size="M", shape=other)
    made = on_tissue(piece, [Record("s", "split", "", edges={"p.hem": ()}, pieces=("p",))], [{"p": other}])
    assert made is not None
    assert made.new == ""
    assert [line.edge for line in made.lines] == ["seam"]


def test_names_are_followed() -> None:
    records = [Record("a", "x", "", ids={"p.n": ("m",)}), Record("b", "x", "", ids={"p.m": ()})]
    assert (renamed(records[:1], "p", "n"), renamed(records, "p", "n"), renamed(records, "p", "o")) == ("m", None, "o")


@pytest.mark.parametrize("every", [0.0, -50.0, math.nan, math.inf])
def test_intervals_must_be_lengths(every: float) -> None:
    before, after, record = hinged(0.1)
    with pytest.raises(GeometryError, match="intervals above zero"):
        offsets(before, after, [record], piece="p", every=every)


# what goes on a strip -----------------------------------------------------------------------------------------------


def test_only_what_moved_goes_on_a_strip() -> None:
    result, found = tissues(garment_of("hose"), TakeIn(40.0))
    front = result.garment.pieces["front"]
    strips = changed_stretches(front.sizes["M"], front.drawn_shape, found["front"].bits)
    assert [strip.edges for strip in strips] == [("inseam",), ("side",)]
    for strip, edge in zip(strips, ("inseam", "side"), strict=True):
        assert strip.end - strip.start == pytest.approx(front.drawn_shape.edge(edge).path.length, abs=10)


def test_a_piece_that_was_only_spread_has_strips_of_the_gap() -> None:
    result, found = tissues(garment_of("hose"), Lengthen(30.0, level="thigh", trued=False))
    front = result.garment.pieces["front"]
    strips = changed_stretches(front.sizes["M"], front.drawn_shape, found["front"].bits)
    assert [strip.edges for strip in strips] == [("inseam",), ("side",)]
    assert all(15 < strip.end - strip.start <= 31 for strip in strips)
    pieces = printed_line(front.sizes["M"], found["front"].bits)
    assert sum(path.length for path in pieces) == pytest.approx(front.sizes["M"].outline.length)


def test_bits_cover_the_printed_outline() -> None:
    _, found = tissues(garment_of("hose"), Lengthen(-20.0, level="calf"), TakeIn(36.0))
    shape = garment_of("hose").pieces["front"].drawn_shape
    covered: dict[str, list[Bit]] = {}
    for bit in found["front"].bits:
        covered.setdefault(bit.edge, []).append(bit)
    for edge in shape.edges:
        taken = sum(two.start - one.end for one, two in zip(covered[edge.id], covered[edge.id][1:], strict=False))
        assert covered[edge.id][0].start == 0.0
        assert covered[edge.id][-1].end == pytest.approx(edge.path.length)
        assert taken == pytest.approx(20.0 if edge.id in ("side", "inseam") else 0.0, abs=0.3)
