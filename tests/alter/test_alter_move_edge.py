"""Hems, necklines and edges moved by name."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Hem, MoveEdge, Neckline, StackResult, apply_stack
from firsthand.alter.model import Alteration
from firsthand.body import MEASUREMENTS
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Cubic, Line, Path, Point, nearest
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Pattern,
    Piece,
    Seam,
    Shape,
    make_garment,
    opened,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]


def demo(name: str) -> Garment:
    return make_garment(demo_patterns()[name], "M", id=name)


def codes(result: StackResult) -> list[str]:
    return [finding.code for finding in result.findings]


def same_edges(one: Garment, two: Garment) -> bool:
    """Whether all edges of all pieces run alike, to a millionth of a millimetre."""
    for name, piece in one.pieces.items():
        other = two.piece(name)
        if piece.shape is None or other.shape is None:
            continue
        for a, b in zip(piece.shape.edges, other.shape.edges, strict=True):
            for k in range(9):
                if a.path.at(a.path.length * k / 8).distance(b.path.at(b.path.length * k / 8)) > 1e-5:
                    return False
    return True


def test_what_drives_each_is_a_measurement_of_the_body() -> None:
    for kind in (Hem, Neckline, MoveEdge):
        assert set(kind.driven_by) <= set(MEASUREMENTS)
        assert kind.driven_by


# hems --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["hose", "jerkin", "skirt", "shirt", "cape"])
@pytest.mark.parametrize("amount", [35.0, -15.0])
def test_all_hems_move_and_stay_parallel(name: str, amount: float) -> None:
    """Outside check: shapely's distance from the new hem to the old one, run on straight."""
    import shapely

    from firsthand.geometry import extended

    before = demo(name)
    result = apply_stack(before, [Hem(amount)])
    (record,) = result.records
    hems = [
        (p.id, e.id) for p in before.pieces.values() if p.shape for e in p.shape.edges if e.fate and e.fate.kind is FateKind.HEM
    ]
    assert hems
    assert {f"edge {piece}.{edge}" for piece, edge in hems} == {key for key in record.figures if key.startswith("edge")}
    for piece, edge in hems:
        old, new = (garment.piece(piece).drawn_shape.edge(edge) for garment in (before, result.garment))
        line = shapely.LineString([(p.x, p.y) for p in extended(old.path, 60, 60).flattened(0.001)])
        for k in range(11):
            p = new.path.at(new.path.length * k / 10)
            assert line.distance(shapely.Point(p.x, p.y)) == pytest.approx(abs(amount), abs=0.02)
        assert new.fate == old.fate
    assert same_edges(apply_stack(before, [Hem(amount), Hem(-amount)]).garment, before)


def test_a_hem_let_down_makes_straight_sides_longer_by_the_amount(make_leg: Maker) -> None:
    result = MoveEdge(("front.hem",), 30.0).apply(make_leg(height=600))
    shape = result.garment.piece("front").drawn_shape
    assert [shape.edge(name).path.length for name in ("inner", "outer", "hem")] == pytest.approx([630, 630, 200])
    assert Hem(30.0, edges=("front.hem",)).apply(make_leg()).garment.piece("front").drawn_shape == shape


def test_only_the_pieces_named() -> None:
    assert Hem(20.0, pieces=("front",)).apply(demo("skirt")).record.pieces == ("front",)
    assert "alteration-seam-off" in codes(apply_stack(demo("skirt"), [Hem(20.0, pieces=("front",))]))


def test_too_much_hem_is_refused_with_the_most_possible(make_leg: Maker) -> None:
    with pytest.raises(CannotAlter, match=r"shortening by ⟨700 mm⟩ is too much: on front .*; at most ⟨59\d mm⟩"):
        Hem(-700.0, edges=("front.hem",)).apply(make_leg())


# necklines ---------------------------------------------------------------------------------------------------


@settings(max_examples=12)
@given(depth=st.floats(-15, 60), width=st.floats(0, 25))
def test_depth_at_the_centre_and_width_at_the_shoulder(depth: float, width: float) -> None:
    before = demo("shirt")
    after = Neckline((("front.neck", depth), ("back.neck", 0.0)), width=width).apply(before).garment
    for name, deep in (("front", depth), ("back", 0.0)):
        shape, old = after.piece(name).drawn_shape, before.piece(name).drawn_shape
        fold = before.piece(name).fold
        lower = old.edge(fold).path.length - shape.edge(fold).path.length
        narrower = old.edge("shoulder").path.length - shape.edge("shoulder").path.length
        assert lower == pytest.approx(deep, abs=1e-5)
        assert narrower == pytest.approx(width, abs=1e-5)
    for seam in after.seams:
        if seam.id.startswith("shoulder"):
            assert walk_seam(after, seam).difference == pytest.approx(walk_seam(before, seam).difference, abs=1e-4)


@settings(max_examples=8)
@given(depth=st.floats(5, 60), width=st.floats(0, 25))
def test_at_the_fold_there_is_no_point(depth: float, width: float) -> None:
    """Opened out the neckline runs straight across the fold, as the bought one does."""
    after = Neckline((("front.neck", depth),), width=width).apply(demo("shirt")).garment
    whole = opened(replace(after.piece("front"), sizes={})).drawn_shape
    one, two = (whole.edge(name).path for name in ("neck", "neck mirrored"))
    turns = [a.end_tangent.dot(b.start_tangent) for a, b in ((one, two), (two, one)) if a.end.distance(b.start) < 1e-6]
    assert turns == [pytest.approx(1, abs=1e-6)]


def test_where_the_shoulder_keeps_its_width_its_corner_and_direction_stay() -> None:
    before = demo("shirt")
    after = Neckline((("front.neck", 40.0),)).apply(before).garment
    old, new = (garment.piece("front").drawn_shape.edge("neck").path for garment in (before, after))
    end = "end" if old.start.x == 0 else "start"
    assert getattr(new, end).distance(getattr(old, end)) < 1e-9
    assert getattr(new, f"{end}_tangent").dot(getattr(old, f"{end}_tangent")) == pytest.approx(1, abs=1e-9)


def test_lowered_and_raised_again_is_as_it_was() -> None:
    before = demo("jerkin")
    there = Neckline((("front.neck", 30.0), ("back.neck", 10.0)), width=8.0)
    back = Neckline((("front.neck", -30.0), ("back.neck", -10.0)), width=-8.0)
    assert same_edges(apply_stack(before, [there, back]).garment, before)


def test_a_collar_is_named_as_still_to_be_altered() -> None:
    result = apply_stack(demo("cape"), [Neckline((("front.neck", 20.0), ("back.neck", 0.0)))])
    (left,) = [finding for finding in result.findings if finding.code == "partner-edge-stays"]
    assert left.message == "neckline 1 moves front.neck; collar.neck belongs to it and was not moved"
    assert left.where == ("cape", "neckline 1", "collar", "neck")


def test_an_end_that_could_be_either_must_be_told(make_vest: Maker) -> None:
    vest = make_vest()
    loose = {name: replace(piece, fold="", cuts=(Cut("shell", How.PAIR),)) for name, piece in vest.pieces.items()}
    pairs = replace(vest, pieces=loose)
    with pytest.raises(CannotAlter, match=r"cannot be seen which end of front\.neck is at the centre") as caught:
        Neckline((("front.neck", 10.0),)).apply(pairs)
    assert caught.value.remedy == 'Write centre = "start" or centre = "end".'
    after = Neckline((("front.neck", 10.0),), centre="end").apply(pairs).garment.piece("front").drawn_shape
    centre = loose["front"].drawn_shape.edge("centre").path.length
    assert after.edge("centre").path.length == pytest.approx(centre - 10, abs=1e-5)


def test_too_deep_is_refused_with_the_most_possible() -> None:
    with pytest.raises(CannotAlter, match=r"cutting out by ⟨300 mm⟩ is too much: on front .*; at most ⟨\d+ mm⟩"):
        Neckline((("front.neck", 300.0),)).apply(demo("jerkin"))


# edges and what lies under them ------------------------------------------------------------------------------


def faced(facing: Path | None = None) -> Garment:
    """A yoke with a curved edge, and a facing sewn to it, drawn turned over, a hundred millimetres to the right."""
    a, b, c, d = Point(0, 0), Point(200, 0), Point(200, 80), Point(0, 60)
    curve = Cubic(c, Point(150, 70), Point(60, 20), d)
    yoke = _shape({"hem": Path.line(a, b), "side": Path.line(b, c), "top": Path((curve,)), "centre": Path.line(d, a)})
    f = [Point(700 - p.x, p.y) for p in (c, Point(150, 70), Point(60, 20), d)]
    top = facing or Path((Cubic(f[3], f[2], f[1], f[0]),))
    low = [Point(f[0].x, f[0].y - 40), Point(f[3].x, f[3].y - 40)]
    strip = _shape({
        "top": top, "end": Path.line(top.end, low[0]), "low": Path.line(low[0], low[1]), "begin": Path.line(low[1], top.start),
    })  # fmt: skip
    pieces = {
        "yoke": Piece("yoke", "1", "Yoke", (Cut("shell", How.SINGLE),), sizes={"M": yoke}),
        "facing": Piece("facing", "2", "Facing", (Cut("facing", How.SINGLE),), sizes={"M": strip}),
    }
    seam = Seam("top", (EdgeRef("yoke", "top"),), (EdgeRef("facing", "top", role="facing"),))
    return make_garment(Pattern("p", "P", ("M",), pieces, (seam,)), "M", id="g")


def _shape(paths: dict[str, Path]) -> Shape:
    edges = tuple(Edge(name, Corner(name), path, fate=Fate(FateKind.RAW)) for name, path in paths.items())
    outline = Path.joined(edge.path for edge in edges)
    if outline.area < 0:
        edges = tuple(replace(edge, path=edge.path.reversed()) for edge in reversed(edges))
    return Shape(edges, (Point(0, 0), Point(0, 10)))


TOLD = (("start", 0.0), ("30 %", 6.0), ("end", -4.0))


@pytest.mark.parametrize("alteration", [MoveEdge(("yoke.top",), -7.0), MoveEdge(("yoke.top",), stations=TOLD)])
def test_a_facing_of_the_same_line_moves_along(alteration: MoveEdge) -> None:
    result = apply_stack(faced(), [alteration])
    assert result.findings == ()
    top, under = (result.garment.piece(name).drawn_shape.edge("top").path for name in ("yoke", "facing"))
    for k in range(21):
        p = top.at(top.length * (0.05 + 0.9 * k / 20))
        assert nearest(under, Point(700 - p.x, p.y))[1] < 0.03
    alone = apply_stack(faced(), [replace(alteration, with_partners=False)])
    assert "partner-edge-stays" in codes(alone)
    assert alone.records[0].pieces == ("yoke",)


def test_a_facing_of_another_line_is_named() -> None:
    straight = Path.line(Point(700, 60), Point(500, 80))
    result = apply_stack(faced(straight), [MoveEdge(("yoke.top",), -7.0)])
    assert "partner-edge-stays" in codes(result)
    assert result.records[0].pieces == ("yoke",)


def test_a_stay_that_no_seam_names_moves_along_by_its_line() -> None:
    garment = replace(faced(), seams=())
    assert MoveEdge(("yoke.top",), -7.0).apply(garment).record.pieces == ("yoke", "facing")
    assert MoveEdge(("yoke.hem",), 7.0).apply(garment).record.pieces == ("yoke",)


def test_a_sleeve_is_named_as_still_to_be_altered() -> None:
    result = apply_stack(demo("shirt"), [MoveEdge(("front.armhole",), stations=(("start", 0.0), ("50 %", -8.0), ("end", 0.0)))])
    assert {finding.code for finding in result.findings} == {"partner-edge-stays", "alteration-seam-off"}
    old, new = (g.piece("front").drawn_shape.edge("armhole").path for g in (demo("shirt"), result.garment))
    middle = old.at(old.length / 2) + old.tangent_at(old.length / 2).left * 8.0
    assert nearest(new, middle)[1] < 0.02
    assert (new.start, new.end) == (old.start, old.end)


@settings(max_examples=10)
@given(one=st.floats(-12, 12), two=st.floats(-12, 12))
def test_moved_out_and_in_is_as_it_was(one: float, two: float) -> None:
    before = demo("shirt")
    there = MoveEdge(("front.armhole",), stations=(("start", 0.0), ("40 %", one), ("80 %", two), ("end", 0.0)))
    back = replace(there, stations=tuple((place, -amount) for place, amount in there.stations))
    assert same_edges(
        apply_stack(before, [there, MoveEdge(("front.side",), 5.0), back, MoveEdge(("front.side",), -5.0)]).garment, before
    )


@pytest.mark.parametrize(
    ("alteration", "words"),
    [
        (MoveEdge((), 5.0), "no edge is named"),
        (MoveEdge(("front.neck",)), "neither an amount nor stations"),
        (MoveEdge(("front",), 5.0), "is no edge of a piece"),
        (MoveEdge(("front.knee",), 5.0), "'knee'"),
        (MoveEdge(("fron.neck",), 5.0), "'fron'"),
        (MoveEdge(("front.neck",), 5.0, stations=(("start", 1.0),)), "both an amount and stations"),
        (MoveEdge(("front.neck",), math.nan), "finite"),
        (MoveEdge(("front.neck",), 5e4), "more than can be meant"),
        (MoveEdge(("front.centre",), 5.0), "lies on the fold"),
        (MoveEdge(("front.neck",), stations=(("level nowhere", 5.0),)), "'nowhere'"),
        (MoveEdge(("front.neck",), stations=(("start", 5.0), ("0 mm", 7.0))), "told for one place"),
        (Hem(5.0), "no edge of the garment is hemmed"),
        (Hem(5.0, pieces=("front",)), "no edge of front is hemmed"),
        (Hem(5.0, pieces=("front",), edges=("front.waist",)), "both pieces and edges"),
        (Hem(math.inf), "finite"),
        (Neckline(()), "no edge is named"),
        (Neckline((("front.neck", 5.0), ("front.neck", 6.0))), "named twice"),
        (Neckline((("front.neck", 5e3),)), "more than can be meant"),
        (Neckline((("front.neck", 5.0),), width=math.nan), "finite"),
    ],
)
def test_what_cannot_be_meant_is_refused(make_vest: Maker, alteration: Alteration, words: str) -> None:
    with pytest.raises((CannotAlter, NotThere, GeometryError), match=words):
        alteration.apply(make_vest())


def test_both_halves_of_a_pair_move_alike(make_leg: Maker) -> None:
    result = MoveEdge(("front.top",), 10.0).apply(make_leg())
    assert result.record.words == "Moved out by ⟨10 mm⟩: front.top"
    assert {part.hand for part in result.garment.parts_of("front")} == {Hand.LEFT, Hand.RIGHT}
    assert result.garment.piece("front").drawn_shape.edge("top").path.segments == (Line(Point(200, 610), Point(0, 610)),)
