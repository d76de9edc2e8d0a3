"""Plausible pieces to be cut: a bodice front with darts, a skirt gore, a trouser leg; and what is asked of every result."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from hypothesis import strategies as st

from firsthand.alter.moving.reshape import Reshaped
from firsthand.geometry import Cubic, Line, Path, Point, Segment, self_crossings
from firsthand.pattern import Corner, Dart, Edge, InnerLine, InnerLineKind, LevelLine, Notch, Pleat, Shape, sewn_length


def edge(name: str, *segments: Segment) -> Edge:
    return Edge(name, Corner(f"{name} start"), Path(segments))


def bodice(width: float = 240.0, length: float = 400.0, dart: float = 30.0, curve: float = 1.0) -> Shape:
    """A front bodice, its centre at x = 0: a waist dart and a side dart, both pointing at the bust, equal legs each."""
    bust = Point(width * 0.42, length * 0.52)
    waist_side, armpit = Point(width * 0.86, 0), Point(width, length * 0.6)
    tip, neck, centre = Point(width * 0.62, length * 0.98), Point(width * 0.3, length), Point(0, length * 0.82)
    hole = Cubic(armpit, armpit + Point(-46, 4) * curve, tip + Point(4, -96), tip)
    scoop = Cubic(neck, neck + Point(-6, -44), centre + Point(44 * curve, 0), centre)
    low = bust - Point(0, 26)
    side = Path.line(waist_side, armpit)
    foot = (low - waist_side).dot(side.start_tangent)  # square to the seam, so that both legs are alike
    return Shape(
        edges=(
            edge("waist", Line(Point(0, 0), waist_side)), edge("side", Line(waist_side, armpit)), edge("armhole", hole),
            edge("shoulder", Line(tip, neck)), edge("neck", scoop), edge("centre", Line(centre, Point(0, 0))),
        ),
        grain=(Point(20, 60), Point(20, length * 0.7)),
        notches=(Notch("n1", "armhole", 60), Notch("n2", "side", 20), Notch("n3", "waist", 10)),
        darts=(
            Dart("waist dart", "waist", bust.x, dart, low),
            Dart("side dart", "side", foot, dart * 0.8, low),
        ),
        lines=(InnerLine("placket", InnerLineKind.PLACEMENT, Path.line(Point(8, 20), Point(8, length * 0.7))),),
        levels=(LevelLine("bust", Point(5, bust.y), Point(width - 5, bust.y)), LevelLine("waist", Point(0, 4), Point(100, 4))),
    )  # fmt: skip


def gore(top: float = 160.0, hem: float = 260.0, length: float = 600.0, dip: float = 12.0) -> Shape:
    """A gore of a skirt with a hollow waist and a round hem."""
    a, b = Point(-hem / 2, 0), Point(hem / 2, 0)
    c, d = Point(top / 2, length), Point(-top / 2, length)
    low, high = Point(hem / 4, -dip), Point(top / 4, -dip)
    return Shape(
        edges=(
            edge("hem", Cubic(a, Point(-low.x, low.y), low, b)), edge("right", Line(b, c)),
            edge("waist", Cubic(c, c + Point(-high.x, high.y), d + high, d)), edge("left", Line(d, a)),
        ),
        grain=(Point(3, 100), Point(3, length - 100)),
        notches=(Notch("h", "hem", hem * 0.3), Notch("w", "waist", top * 0.45), Notch("r", "right", length * 0.6)),
        pleats=(Pleat("p", "waist", top * 0.12, 6.0),),
        lines=(InnerLine("tape", InnerLineKind.STITCHING, Path.line(Point(-top * 0.4, 300), Point(top * 0.4, 300))),),
        levels=(LevelLine("hip", Point(-top * 0.45, length - 180), Point(top * 0.45, length - 180)),),
    )  # fmt: skip


def leg(width: float = 280.0, length: float = 1000.0, hook: float = 60.0) -> Shape:
    """A trouser front: crotch hook, curved side, a dart at the waist."""
    rise = length * 0.74
    a, b = Point(-width * 0.36, 0), Point(width * 0.36, 0)
    fork = Point(width * 0.5 + hook, rise)
    front, side = Point(width * 0.46, length), Point(-width * 0.42, length)
    return Shape(
        edges=(
            edge("hem", Line(a, b)),
            edge("inner", Cubic(b, b + Point(4, rise / 3), fork + Point(-hook, -rise / 3), fork)),
            edge("crotch", Cubic(fork, fork + Point(-hook * 0.8, 4), front + Point(4, -150), front)),
            edge("waist", Line(front, side)),
            edge("side", Cubic(side, side + Point(-width * 0.12, -200), a + Point(-6, rise / 2), a)),
        ),
        grain=(Point(0, 60), Point(0, length - 200)),
        notches=(Notch("knee in", "inner", rise / 2), Notch("knee out", "side", length / 2), Notch("top", "waist", 30)),
        darts=(Dart("dart", "waist", width * 0.5, 22, Point(width * 0.46 - width * 0.5, length - 110)),),
        levels=(
            LevelLine("knee", Point(-width * 0.36, rise / 2), Point(width * 0.36, rise / 2)),
            LevelLine("hip", Point(-width * 0.45, length - 200), Point(width * 0.45, length - 200)),
        ),
    )  # fmt: skip


bodices = st.builds(bodice, st.floats(200, 320), st.floats(340, 460), st.floats(12, 45), st.floats(0.3, 1.2))
gores = st.builds(gore, st.floats(80, 220), st.floats(220, 500), st.floats(400, 1000), st.floats(0, 25))
legs = st.builds(leg, st.floats(200, 360), st.floats(850, 1150), st.floats(30, 80))


def lengths(shape: Shape) -> dict[str, float]:
    return {e.id: e.path.length for e in shape.edges}


def sewn(shape: Shape) -> dict[str, float]:
    return {e.id: sewn_length(shape, e.id) for e in shape.edges}


def assert_sound(before: Shape, result: Reshaped) -> None:
    """The outline is closed and crosses nothing, all names resolve, places lie on their edges, maps rise and stay on them."""
    shape = result.shape
    assert [e.id for e in shape.edges] == [e.id for e in before.edges]
    for one, two in zip(shape.edges, (*shape.edges[1:], shape.edges[0]), strict=True):
        assert one.path.end == two.path.start
    assert shape.outline.area > 0
    assert not self_crossings(shape.outline)
    long = lengths(shape)
    for mark in (*shape.notches, *shape.darts, *shape.pleats):
        assert -1e-6 <= mark.at <= long[mark.edge] + 1e-6
    assert {n.id for n in before.notches} == {n.id for n in shape.notches} | set(result.lost)
    assert [p.id for p in before.pleats] == [p.id for p in shape.pleats]
    assert [line.id for line in before.lines] == [line.id for line in shape.lines]
    assert [level.level for level in before.levels] == [level.level for level in shape.levels]
    was = lengths(before)
    for name, runs in result.maps.items():
        ordered = sorted(runs)
        marks = [mark for run in ordered for mark in run[2:]]
        assert all(b >= a - 1e-6 for a, b in itertools.pairwise(marks))
        assert marks[0] >= -1e-6
        assert marks[-1] <= long[name] + 1e-6
        olds = [mark for run in ordered for mark in run[:2]]
        assert all(b >= a - 1e-6 for a, b in itertools.pairwise(olds))
        assert olds[0] >= -1e-6
        assert olds[-1] <= was[name] + 1e-6


def angle_at(shape: Shape, name: str) -> float:
    """The angle of a dart by the law of cosines."""
    dart = next(d for d in shape.darts if d.id == name)
    path = shape.edge(dart.edge).path
    one, two = (path.at(dart.at + sign * dart.width / 2) for sign in (-1, 1))
    a, b, c = one.distance(dart.apex), two.distance(dart.apex), one.distance(two)
    return math.acos((a * a + b * b - c * c) / (2 * a * b))


def without_darts(shape: Shape) -> Shape:
    return replace(shape, darts=())
