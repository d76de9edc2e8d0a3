"""Sizes blended on random but plausible panels: identities, ends, monotone shares, ids, and no outline that crosses itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter.kinds.blend_sizes import BlendSizes
from firsthand.alter.sizing.curves import Run, Strand
from firsthand.alter.sizing.shares import Ladder
from firsthand.geometry import Affine, Cubic, Line, Path, Point, nearest
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Garment,
    Hand,
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
    walk_seam,
)  # fmt: skip

numbers = st.floats(-1.0, 1.0, allow_nan=False)
widths = st.floats(120.0, 320.0)


@st.composite
def drafts(draw: st.DrawFn) -> tuple[float, ...]:
    """How a panel is drafted: lean, bulge, rise of the hem, where the dart sits and how wide it is."""
    return tuple(draw(numbers) for _ in range(5))


def panel(width: float, height: float, draft: tuple[float, ...], *, dart: bool = True) -> Shape:
    lean, bulge, rise, at, wide = draft
    a, b = Point(0, 0), Point(width, 15 * rise)
    c, d = Point(width + 25 * lean, height), Point(0, height + 10)
    up, out = Point(0, height / 3), Point(14 * bulge, 0)
    side = Cubic(b, b + up + out, c - up + out, c)
    top = Cubic(c, c + Point(-width / 3, -8), d + Point(width / 3, 0), d)
    edges = (("hem", Line(a, b)), ("side", side), ("top", top), ("centre", Line(d, a)))
    darts = (Dart("d", "side", height * (0.5 + 0.1 * at), 18 + 6 * wide, Point(width / 2, height * (0.5 + 0.1 * at))),)
    return Shape(
        edges=tuple(Edge(name, Corner(f"{name} start"), Path((segment,))) for name, segment in edges),
        grain=(Point(20, 30), Point(20, height - 30)),
        notches=(Notch("n", "side", 60.0), Notch("t", "top", 40.0)),
        darts=darts if dart else (),
        levels=tuple(
            LevelLine(name, Point(10, height * share), Point(width - 40, height * share))
            for name, share in (("high", 0.8), ("low", 0.2))
        ),
    )


LEVELS = (Level("high", "high", "bust_girth"), Level("low", "low", "hip_girth"))


def garment(one: Shape, two: Shape) -> Garment:
    pieces = {n: Piece(n, n, n, (Cut("shell"),), sizes={"12": one, "16": two}) for n in ("front", "back")}
    seams = tuple(
        Seam(f"side {hand.value}", (EdgeRef("front", "side", hand),), (EdgeRef("back", "side", hand.other),))
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    return make_garment(Pattern("p", "P", ("12", "16"), pieces, seams, LEVELS), "12", id="g")


def apart(one: Shape, two: Shape) -> float:
    a, b = one.outline, two.outline
    return max(nearest(q, p.at(p.length * k / 40))[1] for p, q in ((a, b), (b, a)) for k in range(41))


@given(widths, st.floats(300, 500), drafts(), st.sampled_from(["12 to 16, 30 %", "12 at high, 16 at low"]))
@settings(max_examples=15, deadline=None)
def test_a_size_blended_with_itself_is_itself(width: float, height: float, draft: tuple[float, ...], words: str) -> None:
    shape = panel(width, height, draft)
    at = tuple(words.split(", ")) if "high" in words else (words,)
    made = BlendSizes(at).apply(garment(shape, shape)).garment.piece("front").drawn_shape
    assert [e.path for e in made.edges] == [e.path for e in shape.edges] or (" to " in words and apart(made, shape) < 1e-6)
    assert [n.at for n in made.notches] == pytest.approx([n.at for n in shape.notches])
    assert made.darts[0].mouth == pytest.approx(shape.darts[0].mouth)


@given(widths, widths, st.floats(300, 500), st.floats(-20, 20), drafts(), drafts())
@settings(max_examples=25, deadline=None)
def test_blends_of_random_panels_hold(
    one: float, two: float, height: float, longer: float, draft: tuple[float, ...], other: tuple[float, ...]
) -> None:
    mixed = tuple(0.8 * a + 0.2 * b for a, b in zip(draft, other, strict=True))
    two = min(max(two, one - 60), one + 60)  # a few sizes apart
    small, large = panel(one, height, draft), panel(two, height + longer, mixed)
    before = garment(small, large)
    altered = BlendSizes(("12 at high", "16 at low")).apply(before)
    shape = altered.garment.piece("front").drawn_shape
    polygon = shapely.Polygon([(p.x, p.y) for p in shape.outline.flattened(0.02)])
    assert polygon.is_valid
    for ids in (lambda s: [e.id for e in s.edges], lambda s: [n.id for n in s.notches], lambda s: [d.id for d in s.darts]):
        assert ids(shape) == ids(small)
    assert level_width(shape, "high") == pytest.approx(level_width(small, "high"), abs=0.3)
    assert level_width(shape, "low") == pytest.approx(level_width(large, "low"), abs=0.3)
    walk = walk_seam(altered.garment, altered.garment.seams[0])  # both pieces are alike, and so must their blends be
    assert abs(walk.difference) < 1e-6
    low, high = sorted(sewn_length(s, "side") for s in (small, large))
    assert low - 0.5 < sewn_length(shape, "side") < high + 0.5
    for name, edge in ((p, e) for p in ("front", "back") for e in shape.edges):
        long = before.piece(name).drawn_shape.edge(edge.id).path.length
        places = [altered.record.position(name, edge.id, long * k / 10) for k in range(11)]
        reached = [place[2] for place in places if place is not None]
        assert len(reached) == 11
        assert reached == sorted(reached)
        assert reached[-1] == pytest.approx(edge.path.length, abs=1e-6)


@given(widths, st.floats(300, 500), drafts(), st.floats(-300, 300), st.floats(-300, 300))
@settings(max_examples=10, deadline=None)
def test_it_does_not_matter_where_a_size_is_drawn_on_the_paper(
    width: float, height: float, draft: tuple[float, ...], x: float, y: float
) -> None:
    def fold(shape: Shape) -> Shape:
        piece = Piece("f", "f", "f", (Cut("shell"),), sizes={"12": panel(width, height, draft), "16": shape}, fold="centre")
        garment = make_garment(Pattern("p", "P", ("12", "16"), {"f": piece}, (), LEVELS), "12", id="g")
        return BlendSizes(("12 at high", "16 at low")).apply(garment).garment.piece("f").drawn_shape

    large, away = panel(width + 40, height + 10, draft), Affine.translation(x, y)
    moved = replace(
        large,
        edges=tuple(replace(edge, path=edge.path.transformed(away)) for edge in large.edges),
        grain=(away(large.grain[0]), away(large.grain[1])),
        darts=tuple(replace(dart, apex=away(dart.apex)) for dart in large.darts),
        levels=tuple(replace(level, a=away(level.a), b=away(level.b)) for level in large.levels),
    )
    assert apart(fold(large), fold(moved)) < 0.05


@given(
    st.lists(st.floats(0, 1000), min_size=2, max_size=5, unique=True), st.lists(st.floats(-200, 1200), min_size=2, max_size=20)
)
@settings(deadline=None)
def test_shares_add_to_one_and_run_one_way_between_two_levels(levels: list[float], heights: list[float]) -> None:
    levels = sorted(levels)
    if min(np.diff(levels)) < 1e-3:
        return
    ladder = Ladder({}, tuple(enumerate(levels)))
    shares = ladder.shares(np.array(sorted(heights)), len(levels))
    assert shares.sum(axis=1) == pytest.approx(1)
    assert shares.min() >= -1e-9
    mean = shares @ np.arange(len(levels))
    assert np.all(np.diff(mean) >= -1e-9)
    assert ladder.shares(np.array([-1e4, 1e4]), len(levels)).tolist() == [
        [1.0, *[0.0] * (len(levels) - 1)],
        pytest.approx([*[0.0] * (len(levels) - 1), 1.0]),
    ]


@given(widths, st.floats(300, 500), drafts(), drafts(), st.lists(st.floats(0, 1), min_size=7, max_size=7))
@settings(max_examples=15, deadline=None)
def test_drawn_curves_are_within_two_hundredths_of_the_true_mixture(
    width: float, height: float, draft: tuple[float, ...], other: tuple[float, ...], shares: list[float]
) -> None:
    strand = Strand.of([panel(width, height, draft), panel(width + 40, height + 8, other)], 1)
    row = np.cumsum(shares) / max(sum(shares), 1e-9)
    run = Run(np.linspace(0, 1, 7), np.column_stack([1 - row, row]), np.zeros((7, 2)))
    path = strand.drawn(run).path
    true = strand.points(np.linspace(0, 1, 151), run)[0]
    assert max(nearest(path, Point(float(x), float(y)))[1] for x, y in true) < 0.02
