"""The check of a lay must find what is wrong: every sort of fault is made on purpose."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.fabric import Fabric, Nap
from firsthand.geometry import Path, Point
from firsthand.lay import Lay, LayItem, Placement, Way, verify

QUARTER = -math.pi / 2
CORNERS = (Point(0, 0), Point(100, 0), Point(140, 300), Point(20, 260))
GRAIN = (Point(50, 50), Point(50, 200))


def item(name: str, **change: object) -> LayItem:
    return replace(
        LayItem(name, name.title(), Path.polygon(CORNERS), parts=(f"g/{name}",), turns=(QUARTER,), grain=GRAIN),
        **change,  # type: ignore[arg-type]
    )


FABRIC = Fabric("linen", "Linen", 320, 10)
PIECES = (item("front"), item("back"), item("cuff"))


def lay(*placements: Placement, items: tuple[LayItem, ...] = PIECES, way: Way = Way.OPEN) -> Lay:
    return Lay("linen", way, 300 if way is Way.OPEN else 150, 620, items, placements)


# Turned by a quarter a piece reaches from x = 0 to 300 and from y = -140 to 0.
GOOD = (Placement("front", QUARTER, 0, 140), Placement("back", QUARTER, 0, 290), Placement("cuff", QUARTER, 310, 140))
SOUND = lay(*GOOD)


def test_a_sound_lay_passes() -> None:
    assert verify(SOUND, FABRIC) == ()


@settings(deadline=None)
@given(st.integers(0, 2), st.floats(-700, 700), st.floats(-400, 400))
def test_a_part_moved_over_another_or_the_edge_is_caught(which: int, dx: float, dy: float) -> None:
    moved = list(GOOD)
    moved[which] = replace(moved[which], x=moved[which].x + dx, y=moved[which].y + dy)
    shapes = [shapely.Polygon([(q.x, q.y) for q in (p.transform(corner) for corner in CORNERS)]) for p in moved]
    shared = sum(a.intersection(b).area for n, a in enumerate(shapes) for b in shapes[:n])
    outside = sum(shape.difference(shapely.box(0, 0, 620, 300)).area for shape in shapes)
    problems = verify(lay(*moved), FABRIC)
    if shared > 1e-2 or outside > 1e-2:
        assert problems
    if shared == 0 and outside == 0:
        assert not problems


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lay(*GOOD[:2]), "Cuff no. 1 is laid 0 times"),
        (lay(*GOOD, replace(GOOD[0], x=310, y=290)), "Front no. 1 is laid 2 times"),
        (lay(*GOOD, replace(GOOD[0], x=310, y=290, copy=2)), "not wanted"),
        (lay(*GOOD[:2], Placement("collar", 0, 0, 0)), "collar is laid but not known"),
        (lay(*GOOD[:2], replace(GOOD[2], turn=QUARTER + 0.01)), "is turned by"),
        (lay(*GOOD[:2], replace(GOOD[2], mirrored=True, turn=-QUARTER, y=0)), "wrong side up"),
        (lay(*GOOD[:2], replace(GOOD[2], layers=2)), "2 layers"),
        (lay(*GOOD[:2], replace(GOOD[2], x=math.nan)), "lies nowhere"),
        (replace(SOUND, length=600), "over the edge"),
        (replace(SOUND, width=280), "over the edge"),
        (replace(SOUND, width=400), "the cloth is ⟨300 mm⟩ wide"),
        (replace(SOUND, length=math.inf), "the cloth measures"),
        (replace(SOUND, fabric="silk"), "not for linen"),
        (replace(SOUND, gap=60.0), "too near"),
        (replace(SOUND, items=(*PIECES[:2], item("cuff", parts=("g/back",)))), "g/back would be cut 2 times"),
        (lay(*GOOD, items=(*PIECES, item("cuff"))), "the same id"),
    ],
)  # fmt: skip
def test_each_sort_of_fault_is_told(wrong: Lay, words: str) -> None:
    assert any(words in problem for problem in verify(wrong, FABRIC))


def test_grain_and_nap_are_looked_at_with_the_fabric() -> None:
    down = item("front", turns=(-QUARTER,))
    upside = lay(Placement("front", -QUARTER, 300, 0), items=(down,))
    assert verify(upside, FABRIC) == ()
    assert any("upside down" in problem for problem in verify(upside, replace(FABRIC, nap=Nap.ONE_WAY)))
    across = lay(Placement("front", 0, 0, 0), items=(item("front", turns=(0.0,)),))
    assert any("grain" in problem for problem in verify(across, FABRIC))


HALF = Path.polygon([Point(-90, 0), Point(0, 0), Point(0, 300), Point(-90, 300)])
FOLDED = item("back", fold=(Point(0, 0), Point(0, 300)), outline=HALF, layers=2)


def test_a_fold_edge_must_lie_on_the_fold() -> None:
    good = lay(Placement("back", QUARTER, 0, 0, layers=2), items=(FOLDED,), way=Way.FOLDED)
    assert verify(good, FABRIC) == ()
    off = lay(Placement("back", QUARTER, 0, 2e-6, layers=2), items=(FOLDED,), way=Way.FOLDED)
    assert any("beside the fold" in problem for problem in verify(off, FABRIC))
    opened = lay(Placement("back", QUARTER, 0, 0, layers=2), items=(FOLDED,))
    assert any("lies open" in problem for problem in verify(opened, FABRIC))


def test_a_part_that_may_lie_either_side_up_keeps_its_grain() -> None:
    either = item("front", flips=True, layers=2)
    # Mirrored (x -> -x) and turned the same way its grain runs the same way along the cloth.
    flipped = lay(Placement("front", QUARTER, 0, 0, mirrored=True, layers=2), items=(either,), way=Way.FOLDED)
    assert verify(flipped, replace(FABRIC, nap=Nap.ONE_WAY)) == ()
    upside = lay(Placement("front", -QUARTER, 300, 140, mirrored=True, layers=2), items=(either,), way=Way.FOLDED)
    assert verify(upside) != ()
