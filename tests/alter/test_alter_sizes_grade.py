"""Sizes made again from those that are left: left out one at a time and compared with what was left out, and refusals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from firsthand.alter import apply_stack
from firsthand.alter.kinds.grade import Grade
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Line, Path, Point, nearest
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    Garment,
    Level,
    LevelLine,
    Notch,
    Pattern,
    Piece,
    Shape,
    level_width,
    make_garment,
    single_seams,
    walk_seam,
)  # fmt: skip


def without(pattern: Pattern, size: str) -> Garment:
    """The garment in a size that was trimmed off the paper."""
    pieces = {
        name: replace(piece, sizes={s: shape for s, shape in piece.sizes.items() if s != size})
        for name, piece in pattern.pieces.items()
    }
    return make_garment(replace(pattern, pieces=pieces, trimmed=(*pattern.trimmed, size)), size, id=pattern.id)


def apart(one: Shape, two: Shape) -> float:
    """The greatest distance between two outlines, edge by edge, looked at from both."""
    return max(
        nearest(b.path, a.path.at(a.path.length * k / 30))[1]
        for first, second in zip(one.edges, two.edges, strict=True)
        for a, b in ((first, second), (second, first))
        for k in range(31)
    )


# What was measured, rounded up: these patterns are drafted from a chart with even steps, so that almost all of their points
# move evenly; a back whose rise is found by solving (hose) is the least even. A bought pattern may well be further off.
LEAST_EVEN = {"shirt": 0.08, "hose": 0.21, "jerkin": 0.07}


@pytest.mark.parametrize("size", ["S", "M", "L"])
@pytest.mark.parametrize("name", list(LEAST_EVEN))
def test_a_size_left_out_is_made_again(name: str, size: str) -> None:
    pattern = demo_patterns()[name]
    altered = Grade(id="grade").apply(without(pattern, size))
    for piece in pattern.pieces.values():
        if piece.sizes:
            true, made = piece.sizes[size], altered.garment.piece(piece.id).drawn_shape
            assert apart(true, made) < LEAST_EVEN[name]
            assert [n.at for n in made.notches] == pytest.approx([n.at for n in true.notches], abs=0.06)
            assert [d.width for d in made.darts] == pytest.approx([d.width for d in true.darts], abs=0.01)
            assert all(a.apex.distance(b.apex) < 0.01 for a, b in zip(true.darts, made.darts, strict=True))
    for seam_name, seam in single_seams(altered.garment):
        bought = make_garment(pattern, size, id=name)
        assert abs(walk_seam(altered.garment, seam).difference - walk_seam(bought, seam).difference) < 0.15, seam_name
    (finding,) = altered.findings
    beyond = size != "M"
    assert (finding.code, finding.severity.value) == ("graded-size", "doubt" if beyond else "note")
    assert ("between S and L" in finding.message) is not beyond


def test_a_fault_of_one_size_is_carried_into_the_size_made_from_it_and_found() -> None:
    """The demo's skirt has a back gore 8 mm too long in size L: size S made from M and L has it 8 mm too short."""
    altered = Grade(id="grade").apply(without(demo_patterns()["skirt"], "S"))
    seams = [finding for finding in altered.findings if finding.code == "graded-seam"]
    assert [finding.where for finding in seams] == [("skirt", "side right")]
    assert "8.001" in seams[0].message


def test_the_trimmed_size_of_the_cape_comes_back_and_its_seams_fit() -> None:
    pattern = demo_patterns()["cape"]
    garment = make_garment(pattern, "L", id="cape")
    assert all(piece.is_card for piece in garment.pieces.values())
    result = apply_stack(garment, [Grade(id="grade")])
    assert not any(piece.is_card for piece in result.garment.pieces.values())
    assert [finding.code for finding in result.findings] == ["graded-size"]
    assert "size L of front, back, collar is graded from S and M, ⟨10 mm⟩ of neck girth beyond M" in result.findings[0].message
    assert all(walk_seam(result.garment, seam).fits for _, seam in single_seams(result.garment))
    assert all("L" not in piece.sizes for piece in result.garment.pieces.values())
    assert not result.records[0].edges  # there was no outline before from which places could be followed
    assert result.records[0].pieces == ("front", "back", "collar")


# by the chart -------------------------------------------------------------------------------------------------

# EN 13402-3: sizes 40 mm of bust apart, in larger sizes 60 mm (from memory where the change lies).
BUSTS = {"100": 1000.0, "104": 1040.0, "110": 1100.0, "116": 1160.0}


def drafted(bust: float) -> Shape:
    """A panel drafted from the bust, everything on it in one line with it."""
    width, height = bust / 4 + 20, 300 + bust / 10
    a, b, c, d = Point(0, 0), Point(width, 0), Point(width - 30, height), Point(0, height)
    edges = zip(("hem", "side", "top", "centre"), (a, b, c, d), (b, c, d, a), strict=True)
    return Shape(
        edges=tuple(Edge(name, Corner(f"{name} start"), Path((Line(p, q),))) for name, p, q in edges),
        grain=(Point(30, 10), Point(30, 200)),
        notches=(Notch("n", "centre", 120.0),),
        darts=(Dart("d", "hem", width / 2, bust / 50, Point(width / 2, bust / 10)),),
        levels=(LevelLine("bust", Point(10, 150), Point(width - 40, 150)),),
    )


def garment(left: tuple[str, ...], size: str, chart: Mapping[str, float] = BUSTS) -> Garment:
    pieces = {"front": Piece("front", "1", "Front", (Cut("shell"),), sizes={s: drafted(BUSTS[s]) for s in left})}
    rows = {s: {"bust_girth": girth} for s, girth in chart.items()}
    levels = (Level("bust", "Bust", "bust_girth"),)
    return make_garment(Pattern("p", "P", tuple(BUSTS), pieces, levels=levels, chart=rows), size, id="g")


@pytest.mark.parametrize(
    ("left", "size"), [(("100", "104"), "116"), (("104", "110"), "116"), (("110", "116"), "100"), (("100", "116"), "104")]
)
def test_what_is_drafted_in_one_line_with_the_chart_is_made_exactly(left: tuple[str, ...], size: str) -> None:
    if left == ("100", "104"):  # four times the step beyond it: too far to be trusted
        with pytest.raises(CannotAlter, match=r"lies 3\.0|at most 3"):
            Grade().apply(garment(left, "116", {**BUSTS, "116": 1161.0}))
    altered = Grade().apply(garment(left, size))
    made, true = altered.garment.piece("front").drawn_shape, drafted(BUSTS[size])
    assert apart(made, true) < 1e-6
    assert made.notches[0].at == pytest.approx(120)
    assert (made.darts[0].at, made.darts[0].width) == pytest.approx((true.darts[0].at, true.darts[0].width), abs=1e-6)
    assert altered.record.figures["front at bust"] == pytest.approx(level_width(true, "bust"))


def test_the_chart_matters_where_steps_are_uneven() -> None:
    """From 100 and 104 by counting, 110 would be one step of 40 mm further; it is one of 60."""
    by_chart, by_count = (Grade(id="g").apply(garment(("100", "104"), "110", chart)) for chart in (BUSTS, {}))
    widths = [level_width(altered.garment.piece("front").drawn_shape, "bust") for altered in (by_chart, by_count)]
    assert widths[0] == pytest.approx(level_width(drafted(1100), "bust"))
    assert widths[1] == pytest.approx(level_width(drafted(1080), "bust"))
    assert by_chart.findings[0].message == "size 110 of front is graded from 100 and 104, ⟨60 mm⟩ of bust girth beyond 104"
    assert by_count.findings[0].message == "size 110 of front is graded from 100 and 104, 1 step beyond 104"


def test_places_and_measurement_can_be_told() -> None:
    typed = Grade(places=("100 100", "104 104", "110 110", "116 116")).apply(garment(("100", "104"), "110", {}))
    assert apart(typed.garment.piece("front").drawn_shape, drafted(1100)) < 1e-6
    named = Grade(measurement="bust_girth").apply(garment(("104", "116"), "110"))
    assert apart(named.garment.piece("front").drawn_shape, drafted(1100)) < 1e-6


def test_of_more_than_two_the_two_nearest_count() -> None:
    altered = Grade().apply(garment(("100", "104", "110"), "116"))
    assert "from 104 and 110" in altered.findings[0].message


def test_a_size_beside_the_chosen_one_keeps_the_map_from_it() -> None:
    altered = Grade(size="116").apply(garment(("104", "110"), "110"))
    assert altered.record.position("front", "centre", 120.0) == ("front", "centre", pytest.approx(120.0))
    old, new = drafted(1100).edge("side").path.length, drafted(1160).edge("side").path.length
    assert altered.record.position("front", "side", old) == ("front", "side", pytest.approx(new))
    assert altered.garment.piece("front").bought == drafted(1100)


@pytest.mark.parametrize(
    ("grade", "left", "error", "words"),
    [
        (Grade(), ("100",), CannotAlter, "size 116 of front needs two sizes to be made from, and only size 100 is left"),
        (Grade(), ("104", "116"), CannotAlter, "size 116 of every piece is on the paper"),
        (Grade(pieces=("front",)), ("104", "116"), CannotAlter, "size 116 of front is on the paper"),
        (Grade(pieces=("back",)), ("100", "104"), NotThere, "no piece called 'back'"),
        (Grade(size="99"), ("100", "104"), NotThere, "no size called '99'"),
        (Grade(), (), NotThere, "no outline"),
        (Grade(measurement="hip_girth"), ("104", "110"), NotThere, "no measurement for every size called 'hip_girth'"),
        (Grade(places=("88",)), ("104", "110"), CannotAlter, "is no size and its number"),
        (Grade(places=("104 1", "110 1", "116 2")), ("104", "110"), CannotAlter, "does not grow"),
        (Grade(places=("104 nan", "110 1", "116 2")), ("104", "110"), CannotAlter, "does not grow"),
        (Grade(places=("104 1", "110 2", "116 7")), ("104", "110"), CannotAlter, "lies 5.0 times the step"),
    ],
)
def test_what_cannot_be_graded_is_refused(grade: Grade, left: tuple[str, ...], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        grade.apply(garment(left, "116"))


def test_a_piece_that_would_vanish_is_refused() -> None:
    """Sizes 40 and 10 mm wide: three steps further down there is nothing left."""

    def slip(width: float) -> Shape:
        points = [Point(0, 0), Point(width, 0), Point(width, 100), Point(0, 100)]
        edges = zip("abcd", points, points[1:] + points[:1], strict=True)
        paths = tuple(Edge(name, Corner(name), Path((Line(p, q),))) for name, p, q in edges)
        return Shape(paths, (Point(1, 10), Point(1, 90)))

    piece = Piece("slip", "1", "Slip", (Cut("shell"),), sizes={"M": slip(10), "L": slip(40)})
    with pytest.raises(CannotAlter, match="slip cannot be graded so far: nothing would be left of the piece"):
        Grade().apply(make_garment(Pattern("p", "P", ("S", "M", "L"), {"slip": piece}), "S", id="g"))
