"""Lengthening, shortening and scaling."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Lengthen, Record, Scale, TakeIn, apply_stack
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Cubic, Path, Point
from firsthand.pattern import Dart, Garment, Pleat, Shape, walk_seam

Maker = Callable[..., Garment]

leans = st.floats(-60, 60, allow_nan=False)
bulges = st.floats(-25, 25, allow_nan=False).map(lambda value: round(value, 3))


def lengths(garment: Garment) -> dict[str, float]:
    return {f"{n}.{e.id}": e.path.length for n, p in garment.pieces.items() for e in p.drawn_shape.edges}


def front(garment: Garment) -> Shape:
    return garment.piece("front").drawn_shape


@settings(max_examples=30)
@given(amount=st.floats(0.5, 300), lean=leans, bulge=bulges)
def test_lengthening_adds_exactly_that_to_both_long_edges(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=bulge)
    result = apply_stack(legs, [Lengthen(amount, level="middle", trued=False)])
    assert {finding.code for finding in result.findings} <= {"alteration-notches-off"}  # they lie on the very line of the cut
    old, new = lengths(legs), lengths(result.garment)
    for name, length in old.items():
        grows = amount if name.endswith(("inner", "outer")) else 0.0
        assert new[name] == pytest.approx(length + grows, abs=1e-6)
    assert all(walk_seam(result.garment, seam).fits for seam in result.garment.seams)
    assert front(result.garment).outline.bounds.height == pytest.approx(600 + amount)


@settings(max_examples=30)
@given(amount=st.floats(0.5, 200), lean=leans, bulge=bulges)
def test_longer_then_shorter_restores_the_outline(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    """The strip put in is the strip taken out: areas and points are those of the bought piece."""
    legs = make_leg(lean=lean, bulge=bulge)
    back = apply_stack(legs, [Lengthen(amount, level="middle", trued=False), Lengthen(-amount, level="middle", trued=False)])
    assert back.findings == ()
    assert lengths(back.garment) == pytest.approx(lengths(legs), abs=1e-4)
    assert front(back.garment).outline.area == pytest.approx(front(legs).outline.area, rel=1e-9)
    for one, two in zip(front(back.garment).notches, front(legs).notches, strict=True):
        assert (one.id, one.edge) == (two.id, two.edge)
        assert one.at == pytest.approx(two.at, abs=1e-4)


@settings(max_examples=30)
@given(amount=st.floats(1, 200), lean=leans)
def test_shortening_keeps_partners_equal(make_leg: Maker, amount: float, lean: float) -> None:
    legs = make_leg(lean=lean)
    short = apply_stack(legs, [Lengthen(-amount, level="middle")]).garment
    assert front(short).outline.bounds.height == pytest.approx(600 - amount)
    assert all(abs(walk_seam(short, seam).difference) < 1e-6 for seam in short.seams)
    corners = {edge.id: edge.path.start for edge in front(short).edges}
    assert corners["inner"] == Point(200, 0)
    assert corners["top"].distance(Point(200 + lean, 600 - amount)) < 1e-9


@pytest.mark.parametrize("amount", [40.0, -40.0])
def test_edges_along_the_grain_need_no_truing(make_leg: Maker, amount: float) -> None:
    legs = make_leg()
    made = [Lengthen(amount, level="middle", trued=trued).apply(legs) for trued in (True, False)]
    assert made[0].garment == made[1].garment
    assert made[0].record == made[1].record


@pytest.mark.parametrize("amount", [60.0, -60.0])
def test_a_curved_or_leaning_edge_runs_smoothly_after(make_leg: Maker, amount: float) -> None:
    path = front(Lengthen(amount, level="middle").apply(make_leg(lean=50, bulge=20)).garment).edge("inner").path
    kinks = [one.tangent(1).cross(two.tangent(0)) for one, two in itertools.pairwise(path.segments)]
    assert max(abs(kink) for kink in kinks) < 0.006
    plain = front(Lengthen(amount, level="middle", trued=False).apply(make_leg(lean=50, bulge=20)).garment).edge("inner").path
    assert path.length == pytest.approx(plain.length, abs=1.5)


@pytest.mark.parametrize("amount", [40.0, -25.0])
def test_a_fold_that_leans_a_little_stays_straight(make_vest: Maker, amount: float) -> None:
    """As after cutting for stretch: the piece is spread along its fold, not along the grain."""
    vest = make_vest()
    leaning = replace(front(vest), grain=(Point(60, 40), Point(66, 300)))
    vest = vest.with_piece(replace(vest.piece("front"), shape=leaning))
    path = front(Lengthen(amount, level="waist").apply(vest).garment).edge("centre").path
    assert len(path.segments) == 1
    assert path.length == pytest.approx(front(vest).edge("centre").path.length + amount)
    tilted = replace(front(vest), grain=(Point(60, 40), Point(130, 300)))
    vest = vest.with_piece(replace(vest.piece("front"), shape=tilted))
    with pytest.raises(CannotAlter, match="lies on the fold and would be bent"):
        Lengthen(amount, level="waist").apply(vest)


@pytest.mark.parametrize("amount", [30.0, -30.0])
def test_a_tuck_all_the_way_stays_one(make_leg: Maker, amount: float) -> None:
    legs = make_leg()
    tuck = Pleat("tuck", "hem", 100.0, 5.0, reach=600.0, towards=Point(100, 600))
    short = Pleat("short", "hem", 150.0, 5.0, reach=60.0)
    legs = legs.with_piece(replace(legs.piece("front"), shape=replace(front(legs), pleats=(tuck, short))))
    one, two = front(Lengthen(amount, level="middle").apply(legs).garment).pleats
    assert (one.towards, one.reach) == (Point(100, 600 + amount), pytest.approx(600 + amount))
    assert two == short


def test_what_lies_on_the_line_stays_with_what_is_below(make_leg: Maker) -> None:
    """A notch exactly at the level stays there on both edges, although they run opposite ways."""
    legs = make_leg()
    longer = front(apply_stack(legs, [Lengthen(50, level="middle")]).garment)
    points = {n.id: longer.edge(n.edge).path.at(n.at) for n in longer.notches}
    assert points["n1"].y == pytest.approx(300)
    assert points["n2"].y == pytest.approx(300)
    assert points["n3"].y == pytest.approx(650)
    assert longer.levels[0].a.y == 300
    assert longer.grain[1].y == 630


def test_positions_follow(make_leg: Maker) -> None:
    (record,) = apply_stack(make_leg(), [Lengthen(50, level="middle")]).records
    assert record.position("front", "inner", 299.0) == pytest.approx(("front", "inner", 299.0), abs=1e-9)
    assert record.position("front", "inner", 301.0) == pytest.approx(("front", "inner", 351.0), abs=1e-9)
    assert record.position("front", "outer", 100.0) == pytest.approx(("front", "outer", 100.0), abs=1e-9)
    assert record.position("front", "hem", 100.0) == pytest.approx(("front", "hem", 100.0), abs=1e-9)
    (record,) = apply_stack(make_leg(), [Lengthen(-50, level="middle")]).records
    assert record.position("front", "inner", 320.0) is None
    assert record.position("front", "inner", 400.0) == pytest.approx(("front", "inner", 350.0), abs=1e-9)


@settings(max_examples=30)
@given(amount=st.floats(-150, 150), lean=leans, bulge=bulges)
def test_maps_cover_and_rise(make_leg: Maker, amount: float, lean: float, bulge: float) -> None:
    legs = make_leg(lean=lean, bulge=bulge)
    result = apply_stack(legs, [Lengthen(amount, level="middle")])
    for record in result.records:
        _assert_sound(record, result.garment)


def _assert_sound(record: Record, garment: Garment) -> None:
    for name, runs in record.edges.items():
        piece, edge = name.split(".")
        new = garment.piece(piece).drawn_shape.edge(edge).path.length
        marks = [m for run in sorted(runs, key=lambda r: r.old_start) for m in (run.new_start, run.new_end)]
        assert all(b >= a - 1e-6 for a, b in itertools.pairwise(marks))
        assert marks[0] >= -1e-6
        assert marks[-1] <= new + 1e-6


def test_vest_at_the_waist(make_vest: Maker) -> None:
    """All pieces that have the level move together; the neck and the armhole are only shifted."""
    vest = make_vest()
    result = apply_stack(vest, [Lengthen(30, level="waist", trued=False)])
    old, new = lengths(vest), lengths(result.garment)
    assert {name: round(new[name] - old[name], 6) for name in old if new[name] != pytest.approx(old[name])} == {
        "front.side": 30.0, "front.centre": 30.0, "back.side": 30.0, "back.centre": 30.0,
    }  # fmt: skip


def test_at_a_height(make_leg: Maker) -> None:
    legs = make_leg()
    new = apply_stack(legs, [Lengthen(20, height=100, pieces=("front",))])
    assert lengths(new.garment)["front.inner"] == pytest.approx(620)
    assert lengths(new.garment)["back.inner"] == pytest.approx(600)
    assert [f.code for f in new.findings] == ["alteration-seam-off"] * 2
    assert new.findings[0].message == "since lengthen 1 the seam outer is off by ⟨20 mm⟩"


def test_a_dart_across_the_line_grows(make_leg: Maker) -> None:
    legs = make_leg(darts=(Dart("dart", "hem", 100, 20, Point(100, 380)),))
    longer = front(apply_stack(legs, [Lengthen(50, level="middle")]).garment)
    assert longer.darts[0].apex == Point(100, 430)
    assert longer.darts[0].at == 100
    shorter = front(apply_stack(legs, [Lengthen(-50, level="middle")]).garment)
    assert shorter.darts[0].apex == Point(100, 330)


def test_what_cannot_be_cut_is_refused(make_leg: Maker, make_vest: Maker) -> None:
    point = make_leg(darts=(Dart("dart", "hem", 100, 20, Point(100, 320)),))
    with pytest.raises(CannotAlter, match=r"the point of dart lies in what would be taken out; at most ⟨20 mm⟩"):
        Lengthen(-50, level="middle").apply(point)
    mouth = make_leg(darts=(Dart("dart", "outer", 300, 20, Point(100, 300)),))
    with pytest.raises(CannotAlter, match=r"the mouth of dart would be cut into; at most ⟨0 mm⟩"):
        Lengthen(50, level="middle").apply(mouth)
    with pytest.raises(CannotAlter, match=r"corner armhole start lies in what would be taken out; at most ⟨20 mm⟩"):
        Lengthen(-40, level="bust").apply(make_vest())


def test_a_piece_along_which_the_level_runs_is_left(make_leg: Maker) -> None:
    """As a cuff cut lengthwise is when the sleeve is lengthened at the wrist."""
    legs = make_leg()
    middle = replace(front(legs), grain=(Point(20, 300), Point(180, 300)))
    legs = legs.with_piece(replace(legs.piece("front"), shape=middle))
    result = apply_stack(legs, [Lengthen(20, level="middle")])
    assert result.records[0].pieces == ("back",)
    with pytest.raises(CannotAlter, match="runs along the grain of front"):
        Lengthen(20, level="middle", pieces=("front",)).apply(legs)


@pytest.mark.parametrize(
    ("alteration", "error"),
    [
        (Lengthen(10, level="knee"), NotThere),
        (Lengthen(10), CannotAlter),
        (Lengthen(10, height=50), CannotAlter),
        (Lengthen(10, height=5000, pieces=("front",)), CannotAlter),
        (Lengthen(10, level="middle", height=10), CannotAlter),
        (Lengthen(math.nan, level="middle"), GeometryError),
        (Lengthen(1e6, level="middle"), CannotAlter),
        (Lengthen(10, level="middle", pieces=("sleeve",)), NotThere),
        (Scale(printed=100, measured=0), GeometryError),
        (Scale(printed=math.inf, measured=100), GeometryError),
        (Scale(printed=100, measured=1), CannotAlter),
        (Scale(printed=100, measured=97, pieces=("sleeve",)), NotThere),
    ],
)
def test_senseless_alterations_are_refused(make_leg: Maker, alteration: Lengthen | Scale, error: type[Exception]) -> None:
    with pytest.raises(error):
        alteration.apply(make_leg())
    (finding,) = apply_stack(make_leg(), [alteration]).findings
    assert finding.code == "alteration-refused"


def test_a_copy_at_97_percent_is_put_right(make_vest: Maker) -> None:
    """The test line says 100 and measures 97: every length grows by 100 / 97, allowances do not."""
    vest = make_vest()
    result = apply_stack(vest, [Scale(printed=100, measured=97)])
    old, new = lengths(vest), lengths(result.garment)
    assert new == pytest.approx({name: length * 100 / 97 for name, length in old.items()})
    assert [e.allowance for e in front(result.garment).edges] == [e.allowance for e in front(vest).edges]
    assert result.garment.piece("front").bought == front(vest)
    assert result.records[0].position("front", "side", 97.0) == ("front", "side", pytest.approx(100.0))
    assert result.findings == ()


@given(printed=st.floats(50, 200), measured=st.floats(60, 180))
@settings(max_examples=30)
def test_scaling_back_is_the_inverse(make_vest: Maker, printed: float, measured: float) -> None:
    vest = make_vest()
    back = apply_stack(vest, [Scale(printed=printed, measured=measured), Scale(printed=measured, measured=printed)]).garment
    for edge, same in zip(front(back).edges, front(vest).edges, strict=True):
        assert edge.path.start.distance(same.path.start) < 1e-9
        assert edge.path.length == pytest.approx(same.path.length, abs=1e-7)


def test_one_piece_scaled_alone_is_noticed(make_vest: Maker) -> None:
    found = apply_stack(make_vest(), [Scale(printed=100, measured=97, pieces=("front",))]).findings
    assert {f.code for f in found} == {"alteration-seam-off"}
    assert [f.where for f in found] == [("vest", "side right"), ("vest", "side right lining")]


def test_stack_names_its_alterations_and_goes_on_after_a_refusal(make_leg: Maker) -> None:
    stack = [TakeIn(20), TakeIn(20, seams=("no",)), TakeIn(20, id="a"), Lengthen(5, level="middle", id="a")]
    result = apply_stack(make_leg(), stack)
    assert [record.alteration for record in result.records] == ["take-in 1", "a 3", "a 4"]
    refused = [finding for finding in result.findings if finding.code == "alteration-refused"]
    assert [finding.where for finding in refused] == [("legs", "take-in 2")]


def test_from_what_people_write() -> None:
    from pydantic import TypeAdapter

    from firsthand.alter import ALTERATIONS
    from firsthand.units import Unit

    read = TypeAdapter(ALTERATIONS["take-in"]).validate_python
    assert read({"amount": "1/2 in", "seams": ["side"]}, context={"units": Unit.CM}) == TakeIn(12.7, seams=("side",))
    longer = TypeAdapter(ALTERATIONS["lengthen"]).validate_python({"amount": 2, "level": "hip"}, context={"units": Unit.CM})
    assert longer == Lengthen(20.0, level="hip")
    assert {"take-in", "scale", "lengthen"} <= set(ALTERATIONS)


def test_inner_lines_are_spread_with_the_piece(make_leg: Maker) -> None:
    from firsthand.pattern import InnerLine, InnerLineKind

    legs = make_leg()
    ring = Path.arc(Point(100, 310), 40, 0.3, 2 * math.pi)
    straight = Path((Cubic(Point(50, 100), Point(50, 200), Point(60, 400), Point(60, 500)),))
    lines = (InnerLine("hole", InnerLineKind.CUT_OUT, ring), InnerLine("mark", InnerLineKind.PLACEMENT, straight))
    legs = legs.with_piece(replace(legs.piece("front"), shape=replace(front(legs), lines=lines)))
    hole, mark = front(apply_stack(legs, [Lengthen(30, level="middle")]).garment).lines
    assert hole.path.is_closed
    assert hole.path.length == pytest.approx(ring.length + 60, abs=1e-4)
    assert mark.path.end == Point(60, 530)
