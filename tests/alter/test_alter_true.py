"""Truing: edges run on across seams, and both sides of a seam are equally long."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter import Lengthen, TakeIn, Trued, apply_stack
from firsthand.alter._meetings import meetings
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import Garment, Hand, check_garment, make_garment, walk_seam

Maker = Callable[..., Garment]


@pytest.fixture(name="leg", scope="session")
def legs_that_meet(make_leg: Maker) -> Maker:
    """Legs whose back is drawn for the left, so that the hems of front and back meet at the inseam."""

    def make(**numbers: float) -> Garment:
        legs = make_leg(**numbers)
        return legs.with_piece(replace(legs.piece("back"), drawn=Hand.LEFT))

    return make


def gaps(garment: Garment) -> list[float]:
    return [math.degrees(meeting.gap) for meeting in meetings(garment) if meeting.one_line]


def test_corners_are_found_at_both_ends_of_each_seam(leg: Maker) -> None:
    """A leg whose inner edges lean by 40 in 600: its hems make a corner of twice atan(40/600) at the inseam."""
    legs = leg(lean=40.0)
    lean = 2 * math.degrees(math.atan(40 / 600))
    found = {(m.seam, m.one[1], m.one[2]): math.degrees(m.gap) for m in meetings(legs)}
    assert found[("inner", "inner", True)] == pytest.approx(-lean)  # at the hem the corners are too wide
    assert found[("inner", "inner", False)] == pytest.approx(lean)  # at the top too narrow
    assert found[("outer", "outer", True)] == pytest.approx(0, abs=1e-9)
    assert len(found) == 4


def test_edges_run_on_across_a_seam(leg: Maker) -> None:
    legs = leg(lean=40.0)
    trued = Trued().apply(legs)
    assert gaps(trued.garment) == pytest.approx([0, 0, 0, 0], abs=1e-6)
    for seam in legs.seams:
        assert walk_seam(trued.garment, seam).difference == pytest.approx(0, abs=1e-9)
    assert trued.record.words == "Trued 4 corners at seams, by at most 3.8 degrees, and evened no seams"
    assert (
        trued.garment.piece("front").drawn_shape.edge("hem").path.start
        == legs.piece("front").drawn_shape.edge("hem").path.start
    )


def test_an_uneven_seam_is_evened_at_its_free_end(leg: Maker) -> None:
    longer = Lengthen(6, height=100, pieces=("front",)).apply(leg()).garment
    assert abs(walk_seam(longer, longer.seams[0]).difference) == pytest.approx(6)
    trued = Trued().apply(longer)
    for seam in longer.seams:
        assert walk_seam(trued.garment, seam).difference == pytest.approx(0, abs=1e-6)
    front, back = (trued.garment.piece(name).drawn_shape for name in ("front", "back"))
    assert front.edge("inner").path.length == pytest.approx(603)
    assert back.edge("inner").path.length == pytest.approx(603)
    assert trued.record.words.endswith("evened 2 seams")


def test_what_differs_by_more_than_a_little_is_left_to_be_looked_at(leg: Maker) -> None:
    longer = Lengthen(16, height=100, pieces=("front",)).apply(leg()).garment
    assert Trued().apply(longer).garment == longer
    evened = Trued(most=20).apply(longer).garment
    assert walk_seam(evened, longer.seams[0]).difference == pytest.approx(0, abs=1e-6)


def test_a_wide_corner_is_meant(leg: Maker) -> None:
    wide = leg(lean=200.0)  # 18.4 degrees on each side
    assert Trued().apply(wide).garment == wide


@given(st.floats(5, 60), st.floats(0, 15), st.floats(20, 90))
def test_twice_is_once(leg: Maker, lean: float, bulge: float, reach: float) -> None:
    once = Trued(reach=reach).apply(leg(lean=lean, bulge=bulge))
    assert all(abs(gap) < 0.05 or abs(gap) > 30 for gap in gaps(once.garment))
    assert Trued(reach=reach).apply(once.garment).record.pieces == ()


@pytest.mark.parametrize("name", sorted(demo_patterns()))
def test_it_brings_no_new_faults_to_whole_garments(name: str) -> None:
    pattern = demo_patterns()[name]
    garment = make_garment(pattern, id=name, size=pattern.sizes[0])
    result = apply_stack(garment, [TakeIn(10)] * any(seam.take_in for seam in garment.seams) + [Trued()])
    assert [f.code for f in result.findings if f.code == "alteration-refused"] == []
    assert all(abs(gap) <= 0.05 or abs(gap) > 30 for gap in gaps(result.garment))
    new = {f.code for f in check_garment(result.garment, pattern)} - {f.code for f in check_garment(garment, pattern)}
    assert new == set()


def test_what_cannot_be_is_refused(leg: Maker) -> None:
    with pytest.raises(CannotAlter):
        Trued(reach=0).apply(leg())
    with pytest.raises(NotThere):
        Trued(seams=("shoulder",)).apply(leg())
