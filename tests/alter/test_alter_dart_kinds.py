"""Darts turned, moved, split and left out, as they are written in a stack."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from cut_shapes import angle_at, assert_sound, bodice, bodices, legs, lengths, sewn
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import CloseDart, MoveDart, SplitDart, TurnDart, apply_stack
from firsthand.alter._spots import Spot
from firsthand.alter.cutting.darts import divided, legs_trued, merged, shifted
from firsthand.alter.cutting.pointing import pointed, pointed_at_angle
from firsthand.alter.cutting.sections import turned_dart
from firsthand.alter.kinds.close_dart import Into
from firsthand.alter.kinds.move_dart import Keep
from firsthand.alter.model import Alteration
from firsthand.errors import CannotAlter, FirsthandError, GeometryError, NotThere
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    Pattern,
    Piece,
    Seam,
    SeamKind,
    Shape,
    make_garment,
    sewn_length,
    walk_seam,
)  # fmt: skip


def dart_of(shape: Shape, name: str) -> Dart:
    return next(dart for dart in shape.darts if dart.id == name)


def legs_of(shape: Shape, name: str) -> tuple[float, float]:
    dart = dart_of(shape, name)
    path = shape.edge(dart.edge).path
    one, two = (path.at(dart.at + sign * dart.width / 2).distance(dart.apex) for sign in (-1, 1))
    return one, two


def axis_of(shape: Shape, name: str) -> Point:
    """The direction from the middle of a dart's mouth to its point."""
    dart = dart_of(shape, name)
    one, two = (shape.edge(dart.edge).path.at(at) for at in dart.mouth)
    return (dart.apex - one.towards(two, 0.5)).unit()


def top(front: Shape | None = None) -> Garment:
    """A bodice of two fronts and two backs of one outline, and a waistband as long as their waists with the darts sewn."""
    shape = front or bodice()
    waist = 4 * sewn_length(shape, "waist")
    corners = [Point(0, 0), Point(waist, 0), Point(waist, 40), Point(0, 40)]
    sides = zip(("lower", "end", "upper", "start"), corners, (*corners[1:], corners[0]), strict=True)
    band = Shape(tuple(Edge(n, Corner(n), Path((Line(a, b),))) for n, a, b in sides), (Point(20, 20), Point(waist - 20, 20)))
    pieces = {name: Piece(name, name, name, (Cut("shell", How.PAIR),), sizes={"M": shape}) for name in ("front", "back")}
    pieces["band"] = Piece("band", "3", "Band", (Cut("shell", How.SINGLE),), sizes={"M": band})
    right, left = Hand.RIGHT, Hand.LEFT
    waists = (("front", left), ("front", right), ("back", right), ("back", left))
    seams = tuple(
        Seam(f"{edge} {hand.value}", (EdgeRef("front", edge, hand),), (EdgeRef("back", edge, hand),))
        for edge in ("side", "shoulder") for hand in (right, left)
    )  # fmt: skip
    seams += (Seam("waist", (EdgeRef("band", "upper"),), tuple(EdgeRef(piece, "waist", hand) for piece, hand in waists)),)
    return make_garment(Pattern("top", "Top", ("M",), pieces, seams), "M", id="top", sort="bodice")


def front(garment: Garment) -> Shape:
    return garment.piece("front").drawn_shape


def seam(garment: Garment, name: str) -> Seam:
    return next(seam for seam in garment.seams if seam.id == name)


def total(shape: Shape) -> float:
    return math.fsum(angle_at(shape, dart.id) for dart in shape.darts)


def differences(garment: Garment) -> list[float]:
    return [walk_seam(garment, seam).difference for seam in garment.seams]


# turn ------------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(shape=bodices, to=st.sampled_from(["shoulder at 50 %", "armhole at 60 mm", "neck at 40 %", "centre at -12 cm"]),
       share=st.one_of(st.just(1.0), st.floats(0.1, 0.9)))  # fmt: skip
def test_a_dart_turned(shape: Shape, to: str, share: float) -> None:
    garment = top(shape)
    turn = TurnDart(piece="front", dart="waist dart", to=to, share=share, trued=False)
    result = apply_stack(garment, [turn])
    assert not [f for f in result.findings if f.code in ("alteration-refused", "alteration-seam-off")]
    new = front(result.garment)
    assert total(new) == pytest.approx(total(shape), abs=1e-9)
    assert sewn(new) == pytest.approx(sewn(shape), abs=0.01)
    assert differences(result.garment) == pytest.approx(differences(garment), abs=0.01)
    trued = apply_stack(garment, [replace(turn, trued=True)])
    assert not [f for f in trued.findings if f.code in ("alteration-refused", "alteration-seam-off")]
    assert total(front(trued.garment)) == pytest.approx(total(shape), abs=1e-9)
    assert sewn(front(trued.garment)) == pytest.approx(sewn(shape), abs=0.6)


def test_ids_say_where_a_dart_is() -> None:
    whole = TurnDart(piece="front", dart="waist dart", to="shoulder at 50 %").apply(top())
    assert whole.record.ids == {}
    assert dart_of(front(whole.garment), "waist dart").edge == "shoulder"
    part = TurnDart(piece="front", dart="waist dart", to="shoulder at 50 %", share=0.4, new="tip").apply(top())
    assert part.record.ids == {"front.waist dart": ("front.waist dart", "front.tip")}
    renamed = TurnDart(piece="front", dart="waist dart", to="shoulder at 50 %", new="tip").apply(top())
    assert renamed.record.ids == {"front.waist dart": ("front.tip",)}
    assert renamed.record.words == "waist dart of front turned to shoulder at 50 %"


def test_one_dart_is_added_to_another() -> None:
    shape = bodice()
    joined = TurnDart(piece="front", dart="waist dart", to="side at dart side dart").apply(top(shape))
    (dart,) = front(joined.garment).darts
    assert (dart.id, dart.edge) == ("side dart", "side")
    one, two = legs_of(front(joined.garment), "side dart")
    assert one == pytest.approx(two, abs=0.05)
    assert sewn(front(joined.garment)) == pytest.approx(sewn(shape), abs=0.5)
    assert total(front(joined.garment)) == pytest.approx(total(shape), abs=1e-3)  # both pointed at one point
    assert joined.record.ids == {"front.waist dart": ("front.side dart",)}


# move ------------------------------------------------------------------------------------------------------


@settings(max_examples=30, deadline=None)
@given(shape=bodices, by=st.one_of(st.floats(1, 35), st.floats(-35, -1)))
def test_a_dart_shifted_along_its_edge(shape: Shape, by: float) -> None:
    """The waist runs straight over the open mouth: the dart is the same one elsewhere."""
    was = dart_of(shape, "waist dart")
    result = shifted(shape, "waist dart", was.at + by)
    assert_sound(shape, result)
    now = dart_of(result.shape, "waist dart")
    assert now.at == pytest.approx(was.at + by, abs=1e-6)
    assert now.width == was.width
    assert now.apex.distance(was.apex + Point(by, 0)) < 1e-6
    assert sewn(result.shape) == pytest.approx(sewn(shape), abs=1e-6)
    assert legs_of(result.shape, "waist dart") == pytest.approx(legs_of(shape, "waist dart"), abs=1e-6)
    assert angle_at(result.shape, "waist dart") == pytest.approx(angle_at(shape, "waist dart"), abs=1e-9)
    back = shifted(result.shape, "waist dart", was.at)
    assert dart_of(back.shape, "waist dart").apex.distance(was.apex) < 1e-6
    assert lengths(back.shape) == pytest.approx(lengths(shape), abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(shape=bodices, by=st.one_of(st.floats(3, 12), st.floats(-12, -3)))
def test_a_dart_in_a_shaped_edge_is_closed_and_opened(shape: Shape, by: float) -> None:
    """Turned to the shoulder, which runs on with the dart sewn, and shifted there: the shoulder still does."""
    shape = replace(shape, darts=(dart_of(shape, "waist dart"),))
    turned = turned_dart(shape, "waist dart", Spot("shoulder", 0.5 * lengths(shape)["shoulder"])).shape
    was = dart_of(turned, "waist dart")
    result = shifted(turned, "waist dart", was.at + by)
    assert_sound(turned, result)
    now = dart_of(result.shape, "waist dart")
    assert now.at == pytest.approx(was.at + by, abs=1.0)
    assert angle_at(result.shape, "waist dart") == pytest.approx(angle_at(turned, "waist dart"), abs=1e-9)
    one, two = legs_of(result.shape, "waist dart")
    assert one == pytest.approx(two, abs=1e-6)
    assert axis_of(result.shape, "waist dart").dot(axis_of(turned, "waist dart")) == pytest.approx(1.0, abs=1e-9)
    assert sewn(result.shape) == pytest.approx(sewn(turned), abs=1.0)


def test_a_dart_is_not_shifted_over_another() -> None:
    shape = replace(bodice(), darts=(*bodice().darts, Dart("small", "waist", 140.0, 8.0, Point(140, 90))))
    with pytest.raises(CannotAlter, match="small is in the way of waist dart"):
        shifted(shape, "waist dart", 125.0)
    assert dart_of(shifted(shape, "waist dart", 90.0).shape, "small") == dart_of(shape, "small")


@settings(max_examples=30, deadline=None)
@given(shape=bodices, x=st.floats(-25, 25), y=st.floats(-40, 30))
def test_a_moved_point_keeps_what_is_taken_up_and_trues_the_legs(shape: Shape, x: float, y: float) -> None:
    was = dart_of(shape, "waist dart")
    result = pointed(shape, "waist dart", was.apex + Point(x, y))
    assert_sound(shape, result)
    now = dart_of(result.shape, "waist dart")
    assert now.apex == was.apex + Point(x, y)
    one, two = legs_of(result.shape, "waist dart")
    assert one == pytest.approx(two, abs=0.02)
    assert now.width == pytest.approx(was.width, rel=0.06)
    assert sewn(result.shape)["waist"] == pytest.approx(sewn(shape)["waist"], abs=2.0)
    assert {name: long for name, long in lengths(result.shape).items() if name != "waist"} == {
        name: long for name, long in lengths(shape).items() if name != "waist"
    }


@settings(max_examples=40, deadline=None)
@given(shape=st.one_of(bodices, legs), x=st.floats(-20, 20), y=st.floats(-30, 30), fold=st.booleans())
def test_a_moved_point_keeps_the_angle_and_every_sewn_length(shape: Shape, x: float, y: float, fold: bool) -> None:
    name = shape.darts[0].id
    apex = dart_of(shape, name).apex + Point(x, y)
    result = pointed_at_angle(shape, name, apex, "centre" if fold and shape.darts[0].id == "waist dart" else "")
    assert_sound(shape, result)
    now = dart_of(result.shape, name)
    assert now.apex == apex
    assert angle_at(result.shape, name) == pytest.approx(angle_at(shape, name), abs=1e-9)
    one, two = legs_of(result.shape, name)
    assert one == pytest.approx(two, abs=1e-6)
    assert sewn(result.shape) == pytest.approx(sewn(shape), abs=0.01)
    for old, new in zip(shape.edges, result.shape.edges, strict=True):
        assert new.path.start.distance(old.path.start) < abs(now.width - dart_of(shape, name).width) + 2.0
        if fold and old.id == "centre":
            assert abs(new.path.start.x) + abs(new.path.end.x) < 1e-9


@settings(max_examples=20, deadline=None)
@given(shape=bodices, x=st.floats(-15, 15), y=st.floats(-30, 20), along=st.one_of(st.just(0.0), st.floats(-25, 25)))
def test_a_dart_moved_in_a_stack_keeps_its_angle_and_all_seams(shape: Shape, x: float, y: float, along: float) -> None:
    garment = top(shape)
    result = apply_stack(garment, [MoveDart(piece="front", dart="waist dart", x=x, y=y, along=along)])
    new = front(result.garment)
    assert result.findings == ()
    assert angle_at(new, "waist dart") == pytest.approx(angle_at(shape, "waist dart"), abs=1e-9)
    assert sewn(new) == pytest.approx(sewn(shape), abs=0.01)
    assert differences(result.garment) == pytest.approx(differences(garment), abs=0.01)


def test_what_a_moved_point_keeps_is_said() -> None:
    angle, take_up = (
        front(MoveDart(piece="front", dart="waist dart", y=-30.0, keep=keep).apply(top()).garment) for keep in Keep
    )
    was = dart_of(bodice(), "waist dart")
    assert MoveDart(piece="front", dart="waist dart").keep is Keep.ANGLE
    assert dart_of(take_up, "waist dart").width == pytest.approx(was.width, abs=0.01)
    assert angle_at(take_up, "waist dart") > angle_at(bodice(), "waist dart") + 0.02
    legs = [math.hypot(was.width / 2, was.apex.y - by) for by in (0, 30)]
    assert dart_of(angle, "waist dart").width == pytest.approx(was.width * legs[1] / legs[0], rel=0.01)


def test_a_trued_edge_runs_on_smoothly_when_the_dart_is_sewn() -> None:
    shape = replace(bodice(), darts=(dart_of(bodice(), "waist dart"),))
    moved = pointed(shape, "waist dart", dart_of(shape, "waist dart").apex + Point(25, 0)).shape
    closed = turned_dart(moved, "waist dart", Spot("shoulder", 60.0)).shape.edge("waist").path
    turns = [
        abs(math.atan2(a.tangent(1).cross(b.tangent(0)), a.tangent(1).dot(b.tangent(0))))
        for a, b in itertools.pairwise(closed.segments)
    ]
    assert max(turns) < 1e-3


def test_moved_as_people_write_it() -> None:
    garment = top()
    for move in (
        MoveDart(piece="front", dart="waist dart", along=-20.0),
        MoveDart(piece="front", dart="waist dart", to="waist at 40 %"),
        MoveDart(piece="front", dart="waist dart", x=10.0, y=-15.0),
        MoveDart(piece="front", dart="waist dart", point="level bust at 45 %"),
        MoveDart(piece="front", dart="waist dart", to="waist at 40 %", point="9 cm, 17 cm"),
    ):
        result = apply_stack(garment, [move])
        assert not [f for f in result.findings if f.code in ("alteration-refused", "alteration-seam-off")]
        one, two = legs_of(front(result.garment), "waist dart")
        assert one == pytest.approx(two, abs=0.05)
    same = MoveDart(piece="front", dart="waist dart").apply(garment)
    assert same.garment == garment


def test_a_dart_beside_a_corner_keeps_the_leg_there() -> None:
    shape = replace(bodice(), darts=(Dart("d", "waist", 10.0, 20.0, Point(30, 120)),))
    result = legs_trued(shape, "d")
    one, two = legs_of(result.shape, "d")
    assert one == pytest.approx(math.hypot(30, 120), abs=1e-6)
    assert two == pytest.approx(one, abs=1e-6)


def test_legs_alike_are_left_alone() -> None:
    shape = bodice()
    assert legs_trued(shape, "waist dart").shape is shape


# split -----------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(shape=bodices, count=st.integers(2, 4), gap=st.floats(8, 18))
def test_split_darts_add_up(shape: Shape, count: int, gap: float) -> None:
    shape = replace(shape, darts=tuple(d for d in shape.darts if d.id == "waist dart"))
    was = angle_at(shape, "waist dart")
    result, names = divided(shape, "waist dart", count, gap)
    assert_sound(shape, result)
    assert names == ("waist dart", *(f"waist dart {k}" for k in range(2, count + 1)))
    new = result.shape
    assert [d.id for d in sorted(new.darts, key=lambda d: d.at)] == list(names)
    for name in names:
        one, two = legs_of(new, name)
        assert one == pytest.approx(two, abs=1e-6)
        assert angle_at(new, name) == pytest.approx(was / count, abs=1e-9)
    assert total(new) == pytest.approx(was, abs=1e-9)
    assert sewn(new) == pytest.approx(sewn(shape), abs=1.0)
    order = sorted(new.darts, key=lambda d: d.at)
    for one_dart, two_dart in itertools.pairwise(order):
        assert two_dart.mouth[0] - one_dart.mouth[1] == pytest.approx(gap, abs=1.0)
    axes = [axis_of(new, name) for name in names]
    assert max(abs(axes[0].cross(axis)) for axis in axes) < 1e-9


def test_split_as_people_write_it() -> None:
    result = apply_stack(top(), [SplitDart(piece="front", dart="waist dart", into=3, gap=15.0)])
    assert not [f for f in result.findings if f.code in ("alteration-refused", "alteration-seam-off")]
    assert result.records[0].ids["front.waist dart"] == ("front.waist dart", "front.waist dart 2", "front.waist dart 3")
    assert result.records[0].words == "waist dart of front made into 3, ⟨15 mm⟩ apart"


# left out --------------------------------------------------------------------------------------------------


@settings(max_examples=15, deadline=None)
@given(shape=bodices)
def test_into_gathers_or_ease_the_waist_fits(shape: Shape) -> None:
    garment = top(shape)
    width = dart_of(shape, "waist dart").width
    made = CloseDart(piece="front", dart="waist dart", into=Into.GATHERS).apply(garment)
    waist = seam(made.garment, "waist")
    assert (waist.kind, waist.a[0].piece) == (SeamKind.GATHERED, "front")
    assert waist.ratio == pytest.approx(1 + 2 * width / (4 * sewn(shape)["waist"]), abs=1e-6)
    assert differences(made.garment) == pytest.approx([0.0] * 5, abs=1e-6)
    eased = CloseDart(piece="front", dart="waist dart", into=Into.EASE).apply(garment)
    assert seam(eased.garment, "waist").kind is SeamKind.PLAIN
    assert seam(eased.garment, "waist").easing == pytest.approx(-2 * width, abs=1e-6)
    assert differences(eased.garment) == pytest.approx([0.0] * 5, abs=1e-6)
    for result in (made, eased):
        assert [d.id for d in front(result.garment).darts] == ["side dart"]
        assert result.record.ids == {"front.waist dart": ()}


def test_into_a_pleat_nothing_else_changes() -> None:
    garment = top()
    made = CloseDart(piece="front", dart="waist dart", into=Into.PLEAT).apply(garment)
    (pleat,) = front(made.garment).pleats
    assert pleat.take_up == pytest.approx(dart_of(bodice(), "waist dart").width)
    assert made.garment.seams == garment.seams
    assert sewn(front(made.garment)) == pytest.approx(sewn(bodice()))
    twice = replace(front(made.garment), darts=(dart_of(bodice(), "waist dart"),), pleats=(replace(pleat, at=20.0, depth=1.0),))
    with pytest.raises(CannotAlter, match="a pleat waist dart already"):
        CloseDart(piece="front", dart="waist dart", into=Into.PLEAT).apply(top(twice))


def test_into_a_seam() -> None:
    garment = top(replace(bodice(), darts=(dart_of(bodice(), "waist dart"),)))
    made = CloseDart(piece="front", dart="waist dart", into=Into.SEAM, to="shoulder at 50 %", names=("middle", "side")).apply(
        garment
    )
    assert set(made.record.pieces) == {"middle", "side"}
    assert made.record.kind == "close-dart"
    assert all(not made.garment.piece(name).drawn_shape.darts for name in ("middle", "side"))
    shapes = [made.garment.piece(name).drawn_shape for name in ("middle", "side")]
    waists = sum(sewn_length(s, edge.id) for s in shapes for edge in s.edges if edge.id.startswith("waist"))
    assert waists == pytest.approx(sewn(bodice())["waist"], abs=1e-6)


# refusals --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("alteration", "error", "words"),
    [
        (TurnDart(piece="front", dart="no", to="shoulder at 50 %"), NotThere, "no"),
        (TurnDart(piece="no", dart="waist dart", to="shoulder at 50 %"), NotThere, "no"),
        (TurnDart(piece="front", dart="waist dart", to="shoulder"), CannotAlter, "no place on the outline"),
        (TurnDart(piece="front", dart="waist dart", to="shoulder at 50 %", share=0.0), CannotAlter, "share"),
        (TurnDart(piece="front", dart="waist dart", to="waist at dart waist dart"), CannotAlter, "begins in the mouth"),
        (TurnDart(piece="front", dart="waist dart", to="shoulder at 50 %", new="side dart"), CannotAlter, "already"),
        (TurnDart(piece="front", dart="waist dart", to="side at dart no"), NotThere, "no"),
        (MoveDart(piece="front", dart="waist dart", along=math.nan), GeometryError, "finite"),
        (MoveDart(piece="front", dart="waist dart", along=400.0), CannotAlter, "no room"),
        (MoveDart(piece="front", dart="waist dart", along=5.0, to="waist at 40 %"), CannotAlter, "not by both"),
        (MoveDart(piece="front", dart="waist dart", to="side at 40 %"), CannotAlter, "lies on waist, not on side"),
        (MoveDart(piece="front", dart="waist dart", y=-400.0), CannotAlter, "point of waist dart would be cut off"),
        (MoveDart(piece="front", dart="waist dart", x=490.0), CannotAlter, "cut"),
        (SplitDart(piece="front", dart="waist dart", into=1), CannotAlter, "made into 1"),
        (SplitDart(piece="front", dart="waist dart", gap=0.0), CannotAlter, "at least"),
        (SplitDart(piece="front", dart="waist dart", gap=math.inf), GeometryError, "finite"),
        (SplitDart(piece="front", dart="waist dart", into=8, gap=90.0), CannotAlter, "no room"),
        (CloseDart(piece="front", dart="no", into=Into.EASE), NotThere, "no"),
        (CloseDart(piece="front", dart="waist dart", into=Into.SEAM), CannotAlter, "where it ends"),
        (CloseDart(piece="front", dart="waist dart", into=Into.EASE, to="shoulder at 50 %"), CannotAlter, "Leave out|only"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(alteration: Alteration, error: type[FirsthandError], words: str) -> None:
    with pytest.raises(error, match=words):
        alteration.apply(top())
    (finding,) = apply_stack(top(), [alteration]).findings
    assert finding.code == "alteration-refused"


def test_darts_that_do_not_touch_are_not_merged() -> None:
    with pytest.raises(CannotAlter, match="do not touch"):
        merged(bodice(), "waist dart", "side dart")


def test_from_what_people_write() -> None:
    from pydantic import TypeAdapter

    from firsthand.alter import ALTERATIONS
    from firsthand.units import Unit

    context = {"units": Unit.CM}
    turn = {"piece": "front", "dart": "d1", "to": "shoulder at 50 %", "share": "40 %"}
    assert TypeAdapter(ALTERATIONS["turn-dart"]).validate_python(turn, context=context).share == 0.4
    close = {"piece": "front", "dart": "d1", "into": "gathers"}
    assert TypeAdapter(ALTERATIONS["close-dart"]).validate_python(close, context=context).into is Into.GATHERS
    split = {"piece": "front", "dart": "d1", "gap": 1.5}
    assert TypeAdapter(ALTERATIONS["split-dart"]).validate_python(split, context=context).gap == 15.0
    move = {"piece": "front", "dart": "d1", "along": "1/2 in", "keep": "take-up"}
    moved = TypeAdapter(ALTERATIONS["move-dart"]).validate_python(move, context=context)
    assert (moved.keep, moved.along) == (Keep.TAKE_UP, 12.7)
