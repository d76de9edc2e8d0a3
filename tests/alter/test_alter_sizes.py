"""Sizes blended by level: widths in closed form, seams of the demo, what follows, what is refused."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import replace

import pytest
import shapely

from firsthand.alter import apply_stack
from firsthand.alter.kinds.blend_sizes import BlendSizes
from firsthand.alter.kinds.take_in import TakeIn
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Affine, Cubic, Line, Path, Point, nearest
from firsthand.pattern import (
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
    Level,
    LevelLine,
    Notch,
    Pattern,
    Piece,
    Seam,
    Shape,
    level_width,
    make_garment,
    sewn_length,
    single_seams,
    walk_seam,
)  # fmt: skip

LOW, HIGH = 100.0, 300.0


def _edge(name: str, *segments: Line | Cubic) -> Edge:
    return Edge(name, Corner(f"{name} start"), Path(segments))


def panel(width: float, height: float = 400.0, *, dart: float = 0.0, bulge: float = 0.0) -> Shape:
    """A panel with a straight centre along the grain at x = 0, levels at a quarter and three quarters of its height."""
    a, b, c, d = Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)
    up, out = Point(0, height / 3), Point(bulge, 0)
    side = Cubic(b, b + up + out, c - up + out, c) if bulge else Line(b, c)
    low, high = height / 4, 3 * height / 4
    darts = (Dart("d", "side", height / 2, dart, Point(width / 2, height / 2)),) if dart else ()
    return Shape(
        edges=(_edge("hem", Line(a, b)), _edge("side", side), _edge("top", Line(c, d)), _edge("centre", Line(d, a))),
        grain=(Point(30, 20), Point(30, height - 20)),
        notches=(Notch("n", "side", low + 10), Notch("c", "centre", 50)),
        darts=darts,
        lines=(InnerLine("pocket", InnerLineKind.PLACEMENT, Path.line(Point(30, low), Point(width - 30, low))),),
        levels=(
            LevelLine("high", Point(10, high), Point(width - 10, high)),
            LevelLine("low", Point(10, low), Point(width - 10, low)),
        ),
    )


LEVELS = (Level("high", "high", "bust_girth"), Level("low", "low", "hip_girth"))


def panels(front: Mapping[str, Shape], back: Mapping[str, Shape] | None = None, size: str = "12", **more: Shape) -> Garment:
    """A garment of one or two panels sewn at the side."""
    pieces = {"front": Piece("front", "1", "Front", (Cut("shell"),), sizes=front)}
    seams: tuple[Seam, ...] = ()
    if back:
        pieces["back"] = Piece("back", "2", "Back", (Cut("shell"),), sizes=back)
        # both panels are drawn alike: the front's right part is sewn to the back's left one, its mirror image
        seams = tuple(
            Seam(f"side {hand.value}", (EdgeRef("front", "side", hand),), (EdgeRef("back", "side", hand.other),))
            for hand in (Hand.RIGHT, Hand.LEFT)
        )
    return make_garment(Pattern("p", "P", tuple(front), pieces, seams, LEVELS), size, id="g")


def apart(one: Path, two: Path) -> float:
    """The greatest distance between two paths, looked at in many places of both."""
    return max(nearest(b, a.at(a.length * k / 60))[1] for a, b in ((one, two), (two, one)) for k in range(61))


def assert_sound(shape: Shape) -> None:
    polygon = shapely.Polygon([(p.x, p.y) for p in shape.outline.flattened(0.02)])
    assert polygon.is_valid
    assert shape.outline.area == pytest.approx(polygon.area, rel=1e-4)


# widths -------------------------------------------------------------------------------------------------------


def test_a_straight_side_runs_over_smoothly_from_one_size_to_the_other() -> None:
    garment = panels({"12": panel(200), "14": panel(220), "16": panel(240)})
    shape = BlendSizes(("12 at high", "16 at low")).apply(garment).garment.piece("front").drawn_shape
    side = shape.edge("side").path
    for k in range(101):  # 3 t^2 - 2 t^3 between the levels, level at both: in closed form
        point = side.at(side.length * k / 100)
        t = min(max((HIGH - point.y) / (HIGH - LOW), 0.0), 1.0)
        assert point.x == pytest.approx(200 + 40 * (3 * t * t - 2 * t**3), abs=0.02)
    assert shape.edge("centre").path == Path.line(Point(0, 400), Point(0, 0))
    assert level_width(shape, "high") == pytest.approx(200, abs=0.01)
    assert level_width(shape, "low") == pytest.approx(240, abs=0.01)
    assert_sound(shape)


def test_three_levels_hold_each_its_size() -> None:
    def three(width: float) -> Shape:
        shape = panel(width)
        return replace(shape, levels=(*shape.levels, LevelLine("waist", Point(10, 200), Point(width - 10, 200))))

    garment = panels({"12": three(200), "14": three(220), "16": three(240)})
    garment = replace(garment, levels=(*LEVELS, Level("waist", "waist", "waist_girth")))
    shape = BlendSizes(("12 at high", "16 at waist", "14 at low")).apply(garment).garment.piece("front").drawn_shape
    widths = [level_width(shape, level) for level in ("high", "waist", "low")]
    assert widths == pytest.approx([200, 240, 220], abs=0.01)


@pytest.mark.parametrize(
    ("words", "width"), [("12 to 16", 220), ("12 to 16, 25 %", 210), ("13", 210), ("15", 230), ("12.5", 205)]
)
def test_sizes_between(words: str, width: float) -> None:
    garment = panels({"12": panel(200, bulge=9), "14": panel(220, bulge=9), "16": panel(240, bulge=9)})
    result = BlendSizes((words,)).apply(garment)
    shape = result.garment.piece("front").drawn_shape
    assert apart(shape.outline, panel(width, bulge=9).outline) < 1e-6
    assert result.record.figures["front at high"] == pytest.approx(level_width(shape, "high"))


def test_the_ends_of_a_share_are_the_sizes_themselves() -> None:
    sizes = {"12": panel(200, dart=20, bulge=9), "14": panel(220, dart=22, bulge=11)}
    garment = panels(sizes)
    assert BlendSizes(("12 to 14, 0 %",)).apply(garment).garment.piece("front").shape == sizes["12"]
    blended = BlendSizes(("12 to 14, 100 %",)).apply(garment).garment.piece("front").drawn_shape
    assert blended.edges == sizes["14"].edges
    assert blended.darts[0].width == 22
    assert BlendSizes(("14 at high", "14 at low")).apply(garment).garment.piece("front").drawn_shape.edges == sizes["14"].edges


def test_a_dart_keeps_its_mixed_width_and_its_point_at_its_own_height() -> None:
    garment = panels({"12": panel(200, dart=20), "14": panel(240, dart=30)})
    altered = BlendSizes(("12 at high", "14 at low")).apply(garment)
    (dart,) = altered.garment.piece("front").drawn_shape.darts
    assert dart.width == pytest.approx(25, abs=0.3)  # half way between the levels; the edge leans there
    assert dart.apex.x == pytest.approx(110, abs=1e-6)
    start, end = (altered.record.position("front", "side", 200 + side * 10) for side in (-1, 1))
    assert start is not None
    assert end is not None
    assert (start[2], end[2]) == pytest.approx(dart.mouth, abs=1e-6)


def test_a_notch_lies_where_the_map_says_and_the_map_rises() -> None:
    garment = make_garment(demo_patterns()["jerkin"], "M", id="jerkin")
    altered = BlendSizes(("S at bust", "L at hip")).apply(garment)
    for name in ("front", "back"):
        old, new = garment.piece(name).drawn_shape, altered.garment.piece(name).drawn_shape
        for before, after in zip(old.notches, new.notches, strict=True):
            assert altered.record.position(name, before.edge, before.at) == (
                name,
                before.edge,
                pytest.approx(after.at, abs=1e-6),
            )
        for edge in old.edges:
            runs = altered.record.edges[f"{name}.{edge.id}"]
            assert runs[0].old_start == runs[0].new_start == 0
            assert runs[-1].new_end == pytest.approx(new.edge(edge.id).path.length, abs=1e-6)
            assert all(one.new_end == two.new_start <= two.new_end for one, two in itertools.pairwise(runs))
    assert altered.garment.piece("front").sizes == garment.piece("front").sizes


def test_nothing_kinks_but_at_the_mouth_of_a_dart() -> None:
    garment = make_garment(demo_patterns()["hose"], "M", id="hose")
    altered = BlendSizes(("S at waist", "M at hip", "L at calf")).apply(garment).garment
    for name, edge in itertools.product(("front", "back"), ("side", "inseam", "crotch")):
        path = altered.piece(name).drawn_shape.edge(edge).path
        for one, two in itertools.pairwise(path.segments):
            assert abs(one.tangent(1.0).cross(two.tangent(0.0))) < 2e-3  # the bought line turns as much


# seams --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "at"),
    [
        ("jerkin", ("S at bust", "L at hip")),
        ("jerkin", ("L at bust", "S at waist", "M at hip")),
        ("jerkin", ("S at bust", "S to M at waist", "M to L, 75 % at hip")),
        ("shirt", ("S at bust", "L at hip")),
        ("shirt", ("M at bust", "S at hip", "L at wrist")),
        ("hose", ("S at waist", "M at hip", "L at calf")),
        ("hose", ("L at thigh", "S at calf")),
    ],
)
def test_seams_of_the_demo_still_fit(pattern: str, at: tuple[str, ...]) -> None:
    garment = make_garment(demo_patterns()[pattern], "M", id=pattern)
    result = apply_stack(garment, [BlendSizes(at, id="blend")])
    assert not [finding for finding in result.findings if finding.code != "blend-not-reached"]
    for name, seam in single_seams(result.garment):
        before, walk = walk_seam(garment, seam), walk_seam(result.garment, seam)
        assert walk.fits, name
        assert abs(walk.difference - before.difference) < 0.02, name
        for old, new in zip(before.notch_gaps, walk.notch_gaps, strict=True):
            assert abs(new.gap - old.gap) < 1.0, name
    for piece in result.garment.pieces.values():
        if piece.shape is not None:
            assert_sound(piece.shape)


def test_a_dart_in_one_side_of_a_seam_leaves_no_step_in_the_other() -> None:
    front = {"12": panel(200, 430, dart=30), "16": panel(240, 430, dart=30)}
    front = {size: replace(shape, levels=panel(200).levels) for size, shape in front.items()}
    garment = panels(front, {"12": panel(200), "16": panel(240)})
    altered = BlendSizes(("12 at high", "16 at low")).apply(garment).garment
    assert sewn_length(altered.piece("front").drawn_shape, "side") == pytest.approx(
        sewn_length(altered.piece("back").drawn_shape, "side"), abs=0.02
    )
    side = altered.piece("back").drawn_shape.edge("side").path
    leans = [side.tangent_at(side.length * k / 200).x for k in range(201)]
    assert max(abs(b - a) for a, b in itertools.pairwise(leans)) < 0.02
    assert min(-lean for lean in leans) > -1e-6  # from the low level up it only becomes narrower


def test_a_piece_without_levels_takes_what_it_is_sewn_to() -> None:
    bare = {size: replace(panel(width), levels=()) for size, width in (("12", 50.0), ("16", 70.0))}
    garment = panels({"12": panel(200), "16": panel(240)}, bare)
    altered = BlendSizes(("12 at high", "16 at low")).apply(garment).garment
    front, back = (altered.piece(name).drawn_shape.edge("side").path for name in ("front", "back"))
    for k in range(41):
        one, two = (path.at(path.length * k / 40) for path in (front, back))
        assert (one.x - 200) / 40 == pytest.approx((two.x - 50) / 20, abs=0.01)
    # 40 mm in 200 lean more than 20 mm do: the sheets are laid so that both edges are as long as in both sizes nevertheless
    assert front.length == pytest.approx(400, abs=0.01)
    assert back.length == pytest.approx(400, abs=0.01)
    assert not apply_stack(garment, [BlendSizes(("12 at high", "16 at low"))]).findings
    assert altered.piece("back").drawn_shape.edge("centre").path.start.x == pytest.approx(0, abs=1e-9)


def test_others_in_a_size_of_their_own_are_found_by_the_seam_walk() -> None:
    def bare(height: float) -> Shape:
        return replace(panel(50, height), levels=())

    garment = panels({"12": panel(200), "16": panel(240, 410)}, {"12": bare(400), "16": bare(410)})
    result = apply_stack(garment, [BlendSizes(("12 at high", "12 at low"), others="16", id="blend")])
    assert result.garment.piece("back").drawn_shape.edges == bare(410).edges
    assert [finding.code for finding in result.findings] == ["alteration-seam-off"]
    assert not apply_stack(garment, [BlendSizes(("16 at high", "16 at low"), others="16")]).findings


def test_only_named_pieces_are_blended_and_what_nothing_reaches_is_named() -> None:
    garment = panels({"12": panel(200), "16": panel(240)}, {"12": panel(200), "16": panel(240)})
    altered = BlendSizes(("16 at high",), pieces=("front",)).apply(garment)
    assert altered.garment.piece("back").shape == garment.piece("back").shape
    assert altered.record.pieces == ("front",)
    lonely = replace(garment, seams=(), pieces={**garment.pieces, "back": _without_levels(garment.piece("back"))})
    findings = BlendSizes(("16 at high",), id="blend").apply(lonely).findings
    assert [(finding.code, finding.message) for finding in findings] == [("blend-not-reached", "back stay in size 12")]


def _without_levels(piece: Piece) -> Piece:
    sizes = {size: replace(shape, levels=()) for size, shape in piece.sizes.items()}
    return replace(piece, sizes=sizes, shape=sizes["12"])


def test_the_other_half_of_a_fold_stays_on_the_fold_wherever_the_sheets_were_laid() -> None:
    moved = panel(240).edges
    away = Affine.translation(37, -21)
    other = replace(
        panel(240),
        edges=tuple(replace(edge, path=edge.path.transformed(away)) for edge in moved),
        grain=(away(Point(30, 20)), away(Point(30, 380))),
        lines=tuple(replace(line, path=line.path.transformed(away)) for line in panel(240).lines),
        levels=tuple(replace(level, a=away(level.a), b=away(level.b)) for level in panel(240).levels),
    )

    def blended(sizes: Mapping[str, Shape]) -> Shape:
        piece = Piece("front", "1", "Front", (Cut("shell", How.FOLD),), sizes=sizes, fold="centre")
        garment = make_garment(Pattern("p", "P", ("12", "16"), {"front": piece}, (), LEVELS), "12", id="g")
        return BlendSizes(("12 at high", "16 at low")).apply(garment).garment.piece("front").drawn_shape

    one, two = blended({"12": panel(200), "16": panel(240)}), blended({"12": panel(200), "16": other})
    assert isinstance(two.edge("centre").path.segments[0], Line)
    assert len(two.edge("centre").path.segments) == 1
    assert apart(one.outline, two.outline) < 0.02
    assert level_width(two, "low") == pytest.approx(240, abs=0.02)


def test_the_length_between_two_levels_is_the_mean_of_both_sizes() -> None:
    garment = panels({"12": panel(200, 400), "16": panel(240, 440)})  # levels 200 and 220 apart
    shape = BlendSizes(("12 at high", "16 at low")).apply(garment).garment.piece("front").drawn_shape
    high, low = (level.a.y for level in shape.levels)
    assert high - low == pytest.approx(210, abs=1e-6)


# refusals and doubts ------------------------------------------------------------------------------------------


def test_a_size_that_is_not_on_the_paper_is_graded_and_said_so() -> None:
    sizes = {"12": panel(200), "14": panel(220)}
    garment = replace(panels(sizes), sizes=("12", "14", "16"))
    altered = BlendSizes(("12 at high", "16 at low"), id="blend").apply(garment)
    assert level_width(altered.garment.piece("front").drawn_shape, "low") == pytest.approx(240, abs=0.01)
    (finding,) = altered.findings
    assert (finding.code, finding.severity.value) == ("graded-size", "doubt")
    assert finding.message == "size 16 of front is graded from 12 and 14, 1 step beyond 14"


@pytest.mark.parametrize(
    ("other", "words"),
    [
        (replace(panel(220), notches=()), "notch n on side is not in both"),
        (replace(panel(220), levels=panel(220).levels[:1]), "level low is not in both"),
        (panel(220, dart=20), "dart d on side is not in both"),
        (replace(panel(220), edges=(*panel(220).edges[:3], replace(panel(220).edges[3], id="middle"))), "edge centre is not"),
        (replace(panel(220), lines=()), "line pocket"),
    ],
)
def test_sizes_that_are_not_made_alike_are_refused(other: Shape, words: str) -> None:
    with pytest.raises(CannotAlter, match=f"front is not made alike in sizes 12 and 14: {words}"):
        BlendSizes(("12 at high", "14 at low")).apply(panels({"12": panel(200), "14": other}))


def test_an_outline_counted_from_another_edge_is_the_same_outline() -> None:
    turned = panel(220)
    turned = replace(turned, edges=turned.edges[2:] + turned.edges[:2], notches=turned.notches[::-1])
    shape = BlendSizes(("12 to 14",)).apply(panels({"12": panel(200), "14": turned})).garment.piece("front").drawn_shape
    assert apart(shape.outline, panel(210).outline) < 1e-9


def test_paths_of_another_make_are_matched_by_the_share_of_the_arc() -> None:
    sizes = {"12": panel(200, bulge=12), "14": panel(220, bulge=12)}
    (side,) = sizes["14"].edge("side").path.segments
    halves = sizes["14"].with_edge(replace(sizes["14"].edge("side"), path=Path(side.split(0.4))))
    shape = BlendSizes(("12 to 14",)).apply(panels({**sizes, "14": halves})).garment.piece("front").drawn_shape
    assert apart(shape.edge("side").path, panel(210, bulge=12).edge("side").path) < 0.02


@pytest.mark.parametrize(
    ("at", "error", "words"),
    [
        ((), CannotAlter, "no size is named"),
        (("12 at high", "14 at high"), CannotAlter, "the level high is given two sizes"),
        (("12 at high", "14"), CannotAlter, "one without a level"),
        (("12 at knee",), NotThere, "no level called 'knee'"),
        (("18 at high",), NotThere, "no size called '18'"),
        (("S at high",), NotThere, "no size called 'S'"),
        (("at high",), CannotAlter, "no size at a level"),
        (("12 to  at high",), CannotAlter, "no size at a level"),
        (("12 to 14, soon at high",), CannotAlter, "not a share"),
        (("12 to 14, 140 % at high",), CannotAlter, "between 0 and 100"),
    ],
)
def test_what_cannot_be_meant_is_refused(at: tuple[str, ...], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        BlendSizes(at).apply(panels({"12": panel(200), "14": panel(220)}))


def test_what_was_altered_before_is_refused_and_what_comes_after_is_not() -> None:
    garment = make_garment(demo_patterns()["jerkin"], "M", id="jerkin")
    blend, take_in = BlendSizes(("S at bust", "L at hip"), id="blend"), TakeIn(8.0, id="closer")
    assert [record.alteration for record in apply_stack(garment, [blend, take_in]).records] == ["blend", "closer"]
    result = apply_stack(garment, [take_in, blend])
    assert [record.alteration for record in result.records] == ["closer"]
    assert any(finding.message.startswith("front was altered before") for finding in result.findings)


def test_what_is_remembered_does_not_answer_for_another_outline() -> None:
    blend = BlendSizes(("12 at high", "14 at low"))
    for _ in range(20):
        for width in (220.0, 230.0):
            shape = blend.apply(panels({"12": panel(200), "14": panel(width)})).garment.piece("front").drawn_shape
            assert level_width(shape, "low") == pytest.approx(width, abs=0.01)


def test_two_levels_at_one_height_are_refused() -> None:
    def near(width: float) -> Shape:
        shape = panel(width)
        return replace(shape, levels=(*shape.levels[:1], LevelLine("low", Point(10, 298), Point(width - 10, 298))))

    with pytest.raises(CannotAlter, match=r"low and high lie ⟨2 mm⟩ apart: too near"):
        BlendSizes(("12 at high", "14 at low")).apply(panels({"12": near(200), "14": near(220)}))


def test_a_chain_of_edges_tells_the_piece_along_it() -> None:
    """Of the cape only the collar has a level; front and back are told by the neck seam, and by each other."""
    garment = make_garment(demo_patterns()["cape"], "M", id="cape")
    altered = BlendSizes(("S at neck",)).apply(garment).garment
    for piece in altered.pieces.values():
        assert [edge.path for edge in piece.drawn_shape.edges] == [edge.path for edge in piece.sizes["S"].edges]


def test_others_that_are_not_on_the_paper_are_graded_and_said_so() -> None:
    bare = {size: replace(panel(width), levels=()) for size, width in (("12", 50.0), ("14", 70.0))}
    garment = replace(panels({"12": panel(200), "14": panel(240)}, bare), sizes=("12", "14", "16"))
    altered = BlendSizes(("12 at high", "14 at low"), others="16").apply(garment)
    assert apart(altered.garment.piece("back").drawn_shape.outline, panel(90).outline) < 1e-9
    assert [f.message for f in altered.findings] == ["size 16 of back is graded from 12 and 14, 1 step beyond 14"]


def test_an_outline_that_would_cross_itself_is_refused() -> None:
    def hooked(width: float, reach: float) -> Shape:
        """A panel with a hook at the side, which lies in the way of a narrower size's dart."""
        return replace(panel(width), darts=(Dart("d", "side", 200, 30, Point(width - reach, 200)),))

    garment = panels({"12": hooked(100, 95), "16": hooked(400, 390)})
    mirrored = {"12": garment.piece("front").sizes["12"], "16": garment.piece("front").sizes["16"]}
    crossing = replace(mirrored["16"], darts=(replace(mirrored["16"].darts[0], apex=Point(700, 200)),))
    with pytest.raises(CannotAlter, match=r"these sizes cannot be blended: on front .*point of d would be cut off"):
        BlendSizes(("12 to 16, 90 %",)).apply(panels({"12": mirrored["12"], "16": crossing}))
