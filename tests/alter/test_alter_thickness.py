"""A thin-cloth pattern in thick cloth, and alterations that are made of others."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter import Alteration, Lengthen, Scale, TakeIn, apply_stack, composed
from firsthand.alter._together import together
from firsthand.alter.kinds.thickness import ForThickness, more_round
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import Garment, girth, make_garment, walk_seam

Maker = Callable[..., Garment]


def test_more_round_is_the_circumference_of_the_middle_of_the_cloth() -> None:
    """Two circles: a tube of cloth of a thickness round a body has its middle half a thickness outside."""
    body, thin, thick = 100.0, 0.4, 2.4
    for layers in (1, 2, 3):
        outer = [2 * math.pi * (body + (layers - 1) * t + t / 2) for t in (thin, thick)]
        assert more_round(thin, thick, layers) == pytest.approx(outer[1] - outer[0])


@pytest.mark.parametrize("name", ["hose", "jerkin"])
def test_each_level_grows_by_what_it_needs(name: str) -> None:
    pattern = demo_patterns()[name]
    garment = make_garment(pattern, id=name, size=pattern.sizes[0])
    result = apply_stack(garment, [ForThickness(expected=0.4, thickness=2.4)])
    assert len(result.records) == 1
    for level in garment.levels:
        before, after = girth(garment, level).total, girth(result.garment, level).total
        assert before is not None
        assert after is not None
        assert 0.999 * 2 * math.pi <= after - before <= 1.15 * 2 * math.pi  # slanting edges move along their normals
    for seam in garment.seams:
        assert abs(walk_seam(result.garment, seam).difference - walk_seam(garment, seam).difference) < 0.5


def test_layers_are_told_by_level(make_vest: Maker) -> None:
    vest = make_vest(waist=240.0)
    done = ForThickness(expected=0.5, thickness=1.5, layers=(("waist", 3),)).apply(vest)
    grown = {level.id: (girth(done.garment, level).total or 0) - (girth(vest, level).total or 0) for level in vest.levels}
    assert grown["bust"] == pytest.approx(math.pi, rel=0.02)
    assert grown["waist"] == pytest.approx(5 * math.pi, rel=0.02)
    assert done.record.words == (
        "Let out for cloth of 1.5 mm instead of 0.5 mm: ⟨3.141593 mm⟩ round the bust, ⟨15.707963 mm⟩ round the waist"
    )


@given(st.floats(0.1, 3), st.floats(0.1, 3))
def test_there_and_back(thin: float, thick: float) -> None:
    pattern = demo_patterns()["hose"]
    hose = make_garment(pattern, id="hose", size=pattern.sizes[0])
    stack = [ForThickness(expected=thin, thickness=thick), ForThickness(expected=thick, thickness=thin)]
    back = apply_stack(hose, stack).garment
    for name, piece in hose.pieces.items():
        for edge in piece.drawn_shape.edges:
            assert back.piece(name).drawn_shape.edge(edge.id).path.length == pytest.approx(edge.path.length, abs=1e-5)


@pytest.mark.parametrize(
    ("entry", "error"),
    [
        (ForThickness(expected=-1, thickness=2), CannotAlter),
        (ForThickness(expected=1, thickness=200), CannotAlter),
        (ForThickness(expected=1, thickness=2, layers=(("middle", 0),)), CannotAlter),
        (ForThickness(expected=1, thickness=2, levels=("hip",)), NotThere),
    ],
)
def test_what_has_no_sense_is_refused(make_leg: Maker, entry: ForThickness, error: type[Exception]) -> None:
    with pytest.raises(error):
        entry.apply(make_leg())


def test_without_seams_to_let_out_it_says_so() -> None:
    pattern = demo_patterns()["shirt"]
    shirt = make_garment(pattern, id="shirt", size=pattern.sizes[0])
    with pytest.raises(CannotAlter, match="no seam that the pattern offers"):
        ForThickness(expected=0.4, thickness=2.4).apply(shirt)


def test_alterations_made_of_others_have_one_record(make_leg: Maker) -> None:
    legs = make_leg(lean=20.0)
    entries: list[Alteration] = [Lengthen(30, level="middle"), TakeIn(20), Scale(100, 98)]
    one_by_one = apply_stack(legs, entries)
    done = together(legs, TakeIn(0, id="all"), [lambda garment, entry=entry: entry for entry in entries], "All", {"a": 1.0})  # type: ignore[misc]
    assert done.garment == one_by_one.garment
    assert (done.record.alteration, done.record.words, done.record.figures["a"]) == ("all", "All", 1.0)
    through = composed(one_by_one.records)
    for at in (0.0, 77.0, 300.0, 599.0):
        one, other = done.record.position("front", "inner", at), through.position("front", "inner", at)
        assert (one is None) == (other is None)
        if one and other:
            assert one[2] == pytest.approx(other[2], abs=1e-9)


def test_nothing_done_is_nothing_recorded(make_leg: Maker) -> None:
    legs = make_leg()
    done = together(legs, TakeIn(0, id="none"), [lambda garment: None, lambda garment: TakeIn(0)], "None", {})
    assert done.garment == legs
    assert (done.record.edges, done.record.pieces) == ({}, ())
