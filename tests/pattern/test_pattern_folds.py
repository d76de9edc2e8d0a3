"""Darts and pleats folded: caps, cutting lines across them, folded edges, and depths that change further in."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_shapes import box, garment_of, pattern_of, piece
from shapely import LineString

from firsthand.errors import GeometryError, NotThere
from firsthand.geometry import Path, Point, extended, nearest
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    Hand,
    How,
    LevelLine,
    Pleat,
    PleatKind,
    Pressed,
    Shape,
    capped_edge,
    check_garment,
    cut_outline,
    cutting_line,
    dart_cap,
    dart_legs,
    folded_edge,
    level_width,
    make_garment,
    opened,
    part_shape,
    pleat_cap,
    pleat_lines,
    sewn_length,
    take_up,
)

EXAMPLES = {
    entry["id"]: entry
    for entry in json.loads((File(__file__).parent.parent / "data" / "pleats-skirt.json").read_text("utf-8"))["entries"]
}
INCH = 25.4


def panel(top: Path, *, darts: Iterable[Dart] = (), pleats: Iterable[Pleat] = (), margin: float = 15.0) -> Shape:
    """A shape 400 deep under an edge ``top`` that runs from right to left."""
    low = min(top.start.y, top.end.y) - 400
    right, left = Point(top.start.x, low), Point(top.end.x, low)
    paths = {"hem": Path.line(left, right), "side": Path.line(right, top.start), "top": top, "centre": Path.line(top.end, left)}
    edges = tuple(Edge(name, Corner(name), path, margin) for name, path in paths.items())
    return Shape(edges, (left, top.end), darts=tuple(darts), pleats=tuple(pleats))


def even_dart(top: Path, at: float, width: float, length: float, pressed: Pressed, name: str = "d") -> Dart:
    """A dart whose legs are equally long."""
    one, two = top.at(at - width / 2), top.at(at + width / 2)
    return Dart(name, "top", at, width, one.towards(two, 0.5) + (two - one).unit().left * length, pressed)


def turned(point: Point, about: Point, angle: float) -> Point:
    z = complex(math.cos(angle), math.sin(angle)) * complex(point.x - about.x, point.y - about.y)
    return Point(about.x + z.real, about.y + z.imag)


def mirrored(point: Point, a: Point, b: Point) -> Point:
    way = complex(b.x - a.x, b.y - a.y)
    z = way * (complex(point.x - a.x, point.y - a.y) / way).conjugate()
    return Point(a.x + z.real, a.y + z.imag)


def between(a: Point, point: Point, apex: Point) -> float:
    """The angle from one point to another about a dart's point."""
    u, v = a - apex, point - apex
    return math.atan2(u.cross(v), u.dot(v))


CURVES = st.builds(
    lambda rise, bow, sag: Path.curve(Point(400, rise), Point(270, rise + bow), Point(130, sag), Point(0, 0)),
    st.floats(-40, 60), st.floats(-25, 25), st.floats(-25, 25),
)  # fmt: skip
DARTS = st.tuples(st.floats(100, 300), st.floats(4, 50), st.floats(60, 200))


def pressed_flat(point: Point, dart: Dart, one: Point, two: Point) -> tuple[Point, str]:
    """Where a point of a dart's cloth lies when the dart is sewn and pressed, and which side it lies on: by hand, from the
    angles alone."""
    whole = between(one, two, dart.apex)
    share = between(one, point, dart.apex) / whole
    if dart.pressed is Pressed.OPEN:
        return (mirrored(point, dart.apex, one), "before") if share < 0.5 else (mirrored(point, dart.apex, two), "after")
    if dart.pressed is Pressed.BOX:
        if share < 0.5:
            folded = mirrored(point, dart.apex, one) if share < 0.25 else turned(point, dart.apex, -whole / 2)
            return folded, "before"
        folded = mirrored(point, dart.apex, two) if share > 0.75 else turned(point, dart.apex, whole / 2)
        return folded, "after"
    if dart.pressed is Pressed.START:
        return (mirrored(point, dart.apex, one) if share < 0.5 else turned(point, dart.apex, -whole)), "before"
    return (mirrored(point, dart.apex, two) if share > 0.5 else turned(point, dart.apex, whole)), "after"


def sides(top: Path, dart: Dart) -> dict[str, Path]:
    lo, hi = dart.mouth
    return {
        "before": extended(top.between(0.0, lo), 100.0, 0.0),
        "after": extended(top.between(hi, top.length), 0.0, 100.0),
    }


@pytest.mark.parametrize("pressed", Pressed)
@settings(max_examples=25, deadline=None)
@given(CURVES, DARTS)
def test_a_folded_cap_lies_on_the_stitching_line_beside_the_dart(
    pressed: Pressed, top: Path, numbers: tuple[float, float, float]
) -> None:
    dart = even_dart(top, *numbers, pressed)
    shape = panel(top, darts=[dart])
    cap, beside = dart_cap(shape, dart), sides(top, dart)
    one, two = (leg.start for leg in dart_legs(shape, dart))
    assert cap.start.distance(one) < 1e-6
    assert cap.end.distance(two) < 1e-6
    for k in range(41):
        here = cap.at(cap.length * k / 40)
        if pressed is Pressed.OPEN and abs(between(one, here, dart.apex) / between(one, two, dart.apex) - 0.5) < 1e-3:
            continue  # where the slash steps from one half to the other
        folded, side = pressed_flat(here, dart, one, two)
        assert nearest(beside[side], folded)[1] < 1e-5


@pytest.mark.parametrize("pressed", Pressed)
@settings(max_examples=12, deadline=None)
@given(CURVES, DARTS)
def test_so_does_the_cutting_line_at_the_allowance(pressed: Pressed, top: Path, numbers: tuple[float, float, float]) -> None:
    dart = even_dart(top, *numbers, pressed)
    shape = panel(top, darts=[dart])
    one, two = (leg.start for leg in dart_legs(shape, dart))
    whole, beside, seen = between(one, two, dart.apex), sides(top, dart), 0
    for point in LineString([(p.x, p.y) for p in cutting_line(shape).flattened(0.01)]).segmentize(2.0).coords:
        here = Point(*point)
        share = between(one, here, dart.apex) / whole
        slashed = pressed is Pressed.OPEN and abs(share - 0.5) < 5e-3  # along the slash the halves may differ in length
        if 0.02 < share < 0.98 and here.y > dart.apex.y and not slashed:
            folded, side = pressed_flat(here, dart, one, two)
            assert nearest(beside[side], folded)[1] == pytest.approx(15.0, abs=0.05)
            seen += 1
    assert seen


@settings(max_examples=40, deadline=None)
@given(CURVES, st.sampled_from(Pressed), st.sampled_from(Pressed), st.floats(5, 40))
def test_a_folded_edge_is_as_long_as_it_is_sewn(top: Path, one: Pressed, two: Pressed, width: float) -> None:
    darts = [even_dart(top, 120, width, 120, one, "a"), even_dart(top, 280, 30, 90, two, "b")]
    shape = panel(top, darts=darts)
    folded = folded_edge(shape, "top")
    assert folded.length == pytest.approx(sewn_length(shape, "top"), abs=1e-6)
    assert folded.start == top.start
    turn = 0.0
    for dart in darts:
        first, last = (leg.start for leg in dart_legs(shape, dart))
        turn += between(first, last, dart.apex)
    ended = top.end_tangent.angle - folded.end_tangent.angle
    assert math.remainder(ended - turn, 2 * math.pi) == pytest.approx(0.0, abs=1e-9)  # the far side has turned by the darts


def test_the_folds_of_a_dart_turn_with_the_piece() -> None:
    top = Path.curve(Point(300, 40), Point(200, 30), Point(100, 0), Point(0, 0))
    dart = even_dart(top, 120, 30, 100, Pressed.START)
    front = piece("front", panel(top, darts=[dart]), Cut("shell", How.PAIR))
    garment = garment_of([front])
    left = next(part for part in garment.parts if part.hand is Hand.LEFT)
    image = part_shape(garment, left)
    assert image.darts[0].pressed is Pressed.END
    cap, other = dart_cap(front.sizes["M"], dart), dart_cap(image, image.darts[0])
    for k in range(11):
        here, there = cap.at(cap.length * k / 10), other.at(other.length * (1 - k / 10))
        assert there.distance(Point(-here.x, here.y)) < 1e-6
    one, two = cutting_line(front.sizes["M"]), cutting_line(image)
    assert one.area == pytest.approx(two.area, abs=1e-6)


def test_a_piece_opened_out_has_its_folds_on_both_sides() -> None:
    top = spread_top(0.2, 150.0, 40.0)
    pleat = Pleat("p", "top", 150 * math.hypot(1, 0.2) + 20, 20, reach=90, depths=((90.0, 20.0),), towards=Point(170, -300))
    half = panel(top, pleats=[pleat], darts=[even_dart(top, 50, 20, 80, Pressed.OPEN)])
    front = piece("front", half, Cut("shell", How.FOLD), fold="centre")
    whole = opened(front).sizes["M"]
    one, two = whole.pleats
    assert (one.towards, two.towards) == (Point(170, -300), Point(-170, -300))
    assert (one.depths, one.reach, one.towards_end) == (two.depths, two.reach, not two.towards_end)
    assert [dart.pressed for dart in whole.darts] == [Pressed.OPEN, Pressed.OPEN]
    cut = cutting_line(whole)
    for x, y in ((p.x, p.y) for p in cut.flattened(1.0)):
        assert nearest(cut, Point(-x, y))[1] < 0.03
    assert cut_outline(garment_of([front]), garment_of([front]).parts[0]).outline.area == pytest.approx(cut.area / 2, rel=1e-5)


def test_a_cap_is_a_peak_and_a_plain_edge_stays_plain() -> None:
    """A waist dart 30 wide and 72 deep on a straight waist: the peak stands where the mirrored waist meets the middle.

    By hand: legs 5, 12, 13, so the waist mirrored in a leg rises 120 on 119, and over half the mouth 15 * 120 / 119.
    """
    top = Path.line(Point(300, 0), Point(0, 0))
    shape = panel(top, darts=[Dart("d", "top", 150, 30, Point(150, -36))])
    assert dart_cap(shape, shape.darts[0]).at(15 * 169 / 119).y == pytest.approx(15 * 120 / 119)
    assert capped_edge(shape, "hem") == shape.edge("hem").path
    assert capped_edge(shape, "top").length == pytest.approx(270 + 2 * 15 * 169 / 119)
    assert cutting_line(panel(top, margin=0.0)) == panel(top).outline
    bare = cutting_line(replace(panel(top, margin=0.0), darts=shape.darts))
    assert bare.bounds.top == pytest.approx(15 * 120 / 119)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-50, 450), st.floats(0, 200), st.floats(-100, 500), st.floats(-300, 100),
    st.sampled_from(Pressed), st.sampled_from(PleatKind), st.floats(0, 60),
)  # fmt: skip
def test_what_cannot_be_folded_is_cut_straight_across_and_nothing_breaks(
    at: float, width: float, x: float, y: float, pressed: Pressed, kind: PleatKind, depth: float
) -> None:
    top = Path.curve(Point(400, 20), Point(300, 0), Point(100, 30), Point(0, 0))
    dart = Dart("d", "top", at, width, Point(x, y), pressed)
    pleat = Pleat("p", "top", 200, depth, kind, reach=50, depths=((30.0, depth / 2),), towards=Point(x, y))
    shape = panel(top, darts=[dart], pleats=[pleat])
    cut = cutting_line(shape)
    assert cut.is_closed
    assert cut.area > panel(top).outline.area * 0.9
    if sewn_length(panel(top, pleats=[pleat]), "top") > 0:
        assert folded_edge(panel(top, pleats=[pleat]), "top").start == top.start


def test_edges_that_are_not_there_and_edges_wholly_folded_away_are_refused() -> None:
    top = Path.line(Point(100, 0), Point(0, 0))
    shape = panel(top, pleats=[Pleat("p", "top", 50, 25)])
    for function in (folded_edge, capped_edge):
        with pytest.raises(NotThere):
            function(shape, "wing")
    assert folded_edge(shape, "top").length == pytest.approx(50)
    with pytest.raises(GeometryError, match="take up all"):
        folded_edge(panel(top, pleats=[Pleat("p", "top", 50, 50)]), "top")


# pleats on slanting edges ----------------------------------------------------------------------------------------


def spread_top(slope: float, at: float, by: float) -> Path:
    """A slanting edge 300 wide cut at a place and spread sideways, as for a pleat."""
    cut = Point(at + by, slope * at)
    return Path.line(Point(300 + by, slope * 300), cut, cut - Point(by, 0), Point(0, 0))


LAYERS: dict[str, tuple[PleatKind, bool, Callable[[float, float], float]]] = {
    # where cloth at x lies, for folds that stand at 100 with a depth of 20 (seen from the edge's end on the left)
    "knife to the end": (PleatKind.KNIFE, True, lambda x, d: 2 * (100 + 2 * d) - x if x > 100 + d else x + 2 * d),
    "knife to the start": (PleatKind.KNIFE, False, lambda x, d: 200 - x if x < 100 + d else x - 2 * d),
}


@pytest.mark.parametrize("slope", [0.0, 0.3, -0.2])
@pytest.mark.parametrize("words", LAYERS)
def test_a_knife_pleat_folds_on_to_the_slanting_edge_beside_it(slope: float, words: str) -> None:
    kind, towards_end, laid = LAYERS[words]
    depth = 20.0
    top = spread_top(slope, 100.0, 2 * depth)
    at = (300 - 100) * math.hypot(1, slope) + depth
    shape = panel(top, pleats=[Pleat("p", "top", at, depth, kind, towards_end)])
    cap = pleat_cap(shape, shape.pleats[0])
    for k in range(1, 40):
        point = cap.at(cap.length * k / 40)
        x = laid(point.x, depth)
        ground = slope * (x - 2 * depth) if towards_end else slope * x  # the cloth it lies on, as it is before it moves
        assert point.y == pytest.approx(ground, abs=1e-6)
    folded = folded_edge(shape, "top")
    assert folded.length == pytest.approx(300 * math.hypot(1, slope))
    assert folded.length == pytest.approx(sewn_length(shape, "top"))
    assert folded.end.distance(Point(2 * depth, 0)) < 1e-6
    assert nearest(folded, Point(170 + 2 * depth, 170 * slope))[1] < 1e-6


@pytest.mark.parametrize("kind", [PleatKind.BOX, PleatKind.INVERTED])
@pytest.mark.parametrize("slope", [0.25, -0.25])
def test_a_box_pleat_lies_on_both_sides(kind: PleatKind, slope: float) -> None:
    depth = 15.0
    top = spread_top(slope, 100.0, 4 * depth)
    shape = panel(top, pleats=[Pleat("p", "top", 200 * math.hypot(1, slope) + 2 * depth, depth, kind)])
    cap = pleat_cap(shape, shape.pleats[0])
    rise = slope * depth
    assert [(round(p.x, 6), round(p.y - 100 * slope, 6)) for p in cap.joints] == [
        (160.0, 0.0), (145.0, rise), (130.0, 0.0), (115.0, -rise), (100.0, 0.0)
    ]  # fmt: skip
    assert folded_edge(shape, "top").length == pytest.approx(300 * math.hypot(1, slope))
    assert shape.pleats[0].visible == 30.0
    cut = cutting_line(shape)
    share = math.hypot(1, slope)
    for x, y in ((160.0, 0.0), (145.0, rise), (130.0, 0.0), (115.0, -rise), (100.0, 0.0)):  # the allowance goes to and fro too
        assert nearest(cut, Point(x, y + 100 * slope + 15.0 * share))[1] < 1e-6


def test_touching_pleats_lie_over_each_other() -> None:
    """Knife pleats whose hidden folds reach under the next ones: every layer still ends on the one slanting line."""
    slope, depth, count = 0.2, 30.0, 5
    width = 20.0
    points = [Point((width + 2 * depth) * count, slope * width * count)]
    for k in range(count, 0, -1):
        x, y = (width + 2 * depth) * k - width, slope * (width * (k - 1))
        points += [Point(x, y), Point(x - 2 * depth, y)]
    step = width * math.hypot(1, slope)
    pleats = [Pleat(f"p{k}", "top", step * (k + 1) + 2 * depth * k + depth, depth) for k in range(count)]
    shape = panel(Path.line(*points), pleats=pleats)
    folded = folded_edge(shape, "top")
    assert folded.length == pytest.approx(width * count * math.hypot(1, slope))
    line = (folded.start, folded.end)
    assert abs((line[1] - line[0]).unit().cross(folded.at(40.0) - line[0])) < 1e-6
    for pleat in pleats:
        cap = pleat_cap(shape, pleat)
        top = cap.at(cap.length / 2)
        assert cap.length == pytest.approx(2 * depth * math.hypot(1, slope))
        assert top.y - cap.start.y == pytest.approx(slope * depth)


# depths that change ------------------------------------------------------------------------------------------------


def test_a_skirt_in_pleats_comes_down_to_the_body_at_three_levels() -> None:
    """Conover, *A Complete Course in Dressmaking*, vol. 5, pp. 63-69: half a skirt of 44 in of cloth in eight pleats.

    It takes up 30 in at the waist, 24 at the hip and 16 1/2 at the hem; the first pleat takes 2 1/8 in all the way.
    """
    given_, stated = EXAMPLES["PLE6"]["inputs"], EXAMPLES["PLE6"]["stated"]
    cloth, rest = given_["half_cloth"] * INCH, given_["pleats"] - 1
    heights = {"waist": 900.0, "hip": 720.0, "hem": 0.0}
    fixed = given_["first_pleat"]
    each = {name: (stated[name] - fixed) / rest * INCH / 2 for name in heights}  # depth of a fold: half of what it takes up
    assert each["hip"] == pytest.approx(stated["hip_each"] * INCH / 2)
    pleats, reached = [], 0.0
    space = (cloth - stated["waist"] * INCH) / (rest + 2)
    for k in range(rest + 1):
        first = k == 0
        depth = fixed * INCH / 2 if first else each["waist"]
        depths = () if first else ((180.0, each["hip"]), (900.0, each["hem"]))
        pleats.append(Pleat(f"p{k}", "top", reached + space + depth, depth, reach=900.0, depths=depths))
        reached += space + 2 * depth
    levels = tuple(LevelLine(name, Point(10, y), Point(20, y)) for name, y in heights.items())
    shape = replace(box(cloth, 900), pleats=tuple(pleats), levels=levels)
    assert take_up(shape, "top") == pytest.approx(stated["waist"] * INCH)
    for name in heights:
        assert level_width(shape, name) == pytest.approx(given_[f"half_{name}"] * INCH), name
    half_way = replace(shape, levels=(LevelLine("mid", Point(10, 360), Point(20, 360)),))
    assert level_width(half_way, "mid") == pytest.approx((given_["half_hip"] + given_["half_hem"]) / 2 * INCH)
    for pleat in pleats[1:]:  # straight folds between the levels
        lines = pleat_lines(shape, pleat)
        assert [len(line.segments) for line in lines] == [2, 2, 2]
        one, _, two = lines
        widths = [a.distance(b) for a, b in zip(one.joints, two.joints, strict=True)]
        assert widths == pytest.approx([2 * each[name] for name in heights])


def test_plaits_that_meet_take_three_times_their_length() -> None:
    """Olive C. Hapgood, *School Needlework*, Plaiting: half-inch plaits, each of 1 1/2 in of cloth, for 1/2 in shown."""
    given_, stated = EXAMPLES["PLE8"]["inputs"], EXAMPLES["PLE8"]["stated"]
    depth, pitch = given_["plait"] * INCH, given_["notch_spacing"] * INCH
    count = int((given_["cloth"] - given_["first_notch"]) // given_["notch_spacing"])
    cloth = pitch * count
    shape = replace(box(cloth, 100), pleats=tuple(Pleat(f"p{k}", "top", pitch * (k + 0.5), depth) for k in range(count)))
    folded = folded_edge(shape, "top")
    assert cloth / folded.length == pytest.approx(stated["ratio"])
    assert folded.length == pytest.approx(given_["plait"] * count * INCH)


def test_a_pleat_that_grows_deeper_folds_like_a_dart() -> None:
    top = Path.line(Point(400, 0), Point(0, 0))
    pleat = Pleat("p", "top", 200, 10, reach=300, depths=((300.0, 30.0),))
    shape = panel(top, pleats=[pleat])
    folded = folded_edge(shape, "top")
    assert folded.length == pytest.approx(sewn_length(shape, "top"))
    turn = 2 * math.atan2(20, 300)
    assert abs(folded.end_tangent.angle) == pytest.approx(math.pi - turn)
    assert pleat_cap(shape, pleat).at(10.0).y < 0  # it is wider inside: the cap is a valley
    one, _, two = pleat_lines(shape, pleat)
    assert one.end.distance(two.end) == pytest.approx(60)
    box_pleat = replace(pleat, kind=PleatKind.BOX)
    wide = panel(top, pleats=[box_pleat])
    assert folded_edge(wide, "top").length == pytest.approx(sewn_length(wide, "top"))
    assert len(pleat_lines(wide, box_pleat)) == 5
    assert pleat_lines(wide, replace(box_pleat, reach=0.0)) == ()
    assert [round(line.length) for line in pleat_lines(wide, replace(box_pleat, reach=0.0, depths=()), least=60)] == [60] * 5


# checks --------------------------------------------------------------------------------------------------------------


def codes(shape: Shape) -> dict[str, str]:
    pattern = pattern_of([piece("front", shape)])
    return {finding.code: finding.message for finding in check_garment(make_garment(pattern, "M", id="g"), pattern)}


def test_legs_that_differ_are_said() -> None:
    top = Path.line(Point(400, 0), Point(0, 0))
    found = codes(panel(top, darts=[Dart("d", "top", 200, 30, Point(212, -100))]))
    assert found["dart-legs-differ"] == "front: the legs of dart 'd' are ⟨100.04499 mm⟩ and ⟨103.580886 mm⟩ long"
    assert "dart-legs-differ" not in codes(panel(top, darts=[Dart("d", "top", 200, 30, Point(205, -100))]))


def test_a_pleat_that_runs_askew_leaves_a_step() -> None:
    top = Path.line(Point(400, 80), Point(0, 0))
    skew = Pleat("p", "top", 200, 20, towards=Point(top.at(200).x, -300))
    found = codes(panel(top, pleats=[skew]))
    assert found["pleat-leaves-step"].startswith("front: pleat 'p' leaves a step of ⟨7.8")
    assert "pleat-leaves-step" not in codes(panel(top, pleats=[replace(skew, towards=None)]))


@pytest.mark.parametrize("depths", [((50.0, 5.0), (40.0, 6.0)), ((0.0, 5.0),), ((50.0, -1.0),), ((50.0, math.nan),)])
def test_depths_without_sense_are_said(depths: tuple[tuple[float, float], ...]) -> None:
    top = Path.line(Point(400, 0), Point(0, 0))
    shape = panel(top, pleats=[Pleat("p", "top", 200, 20, depths=depths)])
    assert "pleat 'p' has depths in no sensible order or of no sensible size" in codes(shape)["mark-off-edge"]
    assert cutting_line(shape).is_closed
