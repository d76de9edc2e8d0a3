"""Notches cut anew on both edges of seams."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.alter import Alteration, Lengthen, TakeIn, apply_stack
from firsthand.alter.kinds.notches import Notches
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, NotThere
from firsthand.pattern import Garment, Hand, NotchKind, Seam, make_garment, walk_seam

Maker = Callable[..., Garment]


@pytest.fixture
def legs(make_leg: Maker) -> Garment:
    made = make_leg()
    return made.with_piece(replace(made.piece("back"), drawn=Hand.LEFT))


def gaps(garment: Garment, seam: Seam) -> list[float]:
    return [abs(gap.gap) for gap in walk_seam(garment, seam).notch_gaps]


def test_a_new_notch_meets_on_both_edges_single_in_front_and_double_behind(legs: Garment) -> None:
    """Single in front and double behind: common practice."""
    done = Notches(seams=("outer",), at=("25 %", "40 cm")).apply(legs).garment
    front, back = (done.piece(name).drawn_shape for name in ("front", "back"))
    assert {n.kind for n in front.notches if n.edge == "outer" and n.id != "n2"} == {NotchKind.SINGLE}
    assert {n.kind for n in back.notches if n.edge == "outer" and n.id != "n2"} == {NotchKind.DOUBLE}
    seam = next(seam for seam in done.seams if seam.id == "outer right")
    assert len(gaps(done, seam)) == 3
    assert max(gaps(done, seam)) < 1e-6


def test_notches_that_do_not_meet_any_more_are_cut_where_the_first_edge_has_them(legs: Garment) -> None:
    longer = apply_stack(legs, [
        Lengthen(20, height=100, pieces=("front",)), Lengthen(20, height=500, pieces=("back",)),
    ]).garment  # fmt: skip
    seam = next(seam for seam in longer.seams if seam.id == "inner right")
    assert max(gaps(longer, seam)) == pytest.approx(20)
    done = Notches().apply(longer)
    assert max(gaps(done.garment, seam)) < 1e-6
    assert {n.id for n in done.garment.piece("back").drawn_shape.notches} == {"n1", "n2", "n3"}
    assert done.garment.piece("front").drawn_shape.edges == longer.piece("front").drawn_shape.edges
    assert done.record.words == "Notches cut anew on both edges of all seams: 2 pairs"


@given(st.floats(-30, 30), st.floats(0.1, 0.9))
def test_they_meet_on_any_altered_hose(amount: float, share: float) -> None:
    pattern = demo_patterns()["hose"]
    hose = make_garment(pattern, id="hose", size=pattern.sizes[0])
    stack: list[Alteration] = [
        TakeIn(amount, seams=("side",)),
        Notches(seams=("side", "inseam"), at=(f"{share:.4%}",)),
        Notches(),
    ]
    done = apply_stack(hose, stack).garment
    for seam in done.seams:
        off = abs(walk_seam(done, seam).difference)  # curves that are bent differently come out a little unlike
        assert all(gap <= off + 1e-6 for gap in gaps(done, seam) if math.isfinite(gap))


@pytest.mark.parametrize("name", sorted(demo_patterns()))
def test_what_meets_already_stays_within_what_is_eased(name: str) -> None:
    pattern = demo_patterns()[name]
    garment = make_garment(pattern, id=name, size=pattern.sizes[0])
    done = Notches().apply(garment).garment
    for seam in garment.seams:
        before, after = walk_seam(garment, seam), walk_seam(done, seam)
        assert len(after.notch_gaps) >= len([gap for gap in before.notch_gaps if math.isfinite(gap.gap)])
        assert after.difference == before.difference


def test_what_cannot_be_is_refused(legs: Garment) -> None:
    with pytest.raises(CannotAlter):
        Notches(at=("40 %",)).apply(legs)
    with pytest.raises(NotThere):
        Notches(seams=("shoulder",)).apply(legs)
    with pytest.raises(CannotAlter):
        Notches(seams=("outer",), at=("90 cm",)).apply(legs)


def test_both_halves_of_a_piece_on_the_fold_have_one_notch() -> None:
    """A collar that goes round both necks of a back on the fold: each place comes twice, and is one notch."""
    pattern = demo_patterns()["cape"]
    cape = make_garment(pattern, id="cape", size=pattern.sizes[0])
    done = apply_stack(cape, [Notches(seams=("neck",), at=("20 %", "80 %")), Notches()])
    for piece in done.garment.pieces.values():
        if piece.shape is not None:
            names = [notch.id for notch in piece.shape.notches]
            assert len(names) == len(set(names))
            places = [(notch.edge, round(notch.at, 3)) for notch in piece.shape.notches]
            assert len(places) == len(set(places))
