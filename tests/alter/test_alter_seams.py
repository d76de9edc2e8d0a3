"""Seams are compared when the whole stack is done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.alter import Lengthen, StackResult, apply_stack, seams_off
from firsthand.findings import Severity
from firsthand.pattern import Garment

Maker = Callable[..., Garment]
FRONT, BACK = ("front",), ("back",)


def off(result: StackResult) -> list[tuple[str, ...]]:
    return [f.where for f in result.findings if f.code == "alteration-seam-off"]


def test_what_a_later_alteration_puts_right_is_not_spoken_of(make_leg: Maker) -> None:
    stack = [Lengthen(20, height=100, pieces=FRONT), Lengthen(20, height=100, pieces=BACK)]
    assert len(off(apply_stack(make_leg(), stack[:1]))) == 2  # outer and inner, each once for both hands
    assert off(apply_stack(make_leg(), stack)) == []


def test_it_is_put_down_to_what_it_is_off_since(make_leg: Maker) -> None:
    """Off after a, right after b, off again after c and more so after d: c is named."""
    stack = [
        Lengthen(20, height=100, pieces=FRONT, id="a"),
        Lengthen(20, height=100, pieces=BACK, id="b"),
        Lengthen(5, height=100, pieces=FRONT, id="c"),
        Lengthen(5, height=100, pieces=FRONT, id="d"),
    ]
    result = apply_stack(make_leg(), stack)
    assert off(result) == [("legs", "outer right"), ("legs", "inner right")]
    first = result.findings[0]
    assert first.message == "since c the seam outer is off by ⟨10 mm⟩"
    assert first.severity is Severity.DOUBT
    told = [("before", 0), ("after a", 20), ("after b", 0), ("after c", 5), ("after d", 10)]
    assert first.why == tuple(f"off by ⟨{mm} mm⟩ {when}" for when, mm in told)


@pytest.mark.parametrize(("tolerance", "found"), [(1.5, 2), (2.9, 2), (3.0, 0)])
def test_within_the_tolerance_nothing_is_said(make_leg: Maker, tolerance: float, found: int) -> None:
    """A knit eases 3 mm in along an inseam (common practice)."""
    legs = make_leg()
    legs = replace(legs, seams=tuple(replace(seam, tolerance=tolerance) for seam in legs.seams))
    assert len(off(apply_stack(legs, [Lengthen(3, height=100, pieces=FRONT)]))) == found


def test_what_was_off_before_is_for_the_check_of_the_pattern(make_leg: Maker) -> None:
    odd = apply_stack(make_leg(), [Lengthen(20, height=100, pieces=FRONT)]).garment
    assert off(apply_stack(odd, [Lengthen(20, height=100, pieces=FRONT)])) == []


def test_seams_can_be_compared_later(make_leg: Maker) -> None:
    legs = make_leg()
    result = apply_stack(legs, [Lengthen(20, height=100, pieces=FRONT)], compare=False)
    assert result.findings == ()
    assert len(seams_off(legs, result.stages)) == 2
    assert seams_off(legs, ()) == ()


def test_other_terms_of_a_seam_hide_nothing(make_leg: Maker) -> None:
    """What a seam was off by is still told when an alteration after that wrote it other terms by which it does not fit."""
    legs = make_leg()
    odd = apply_stack(legs, [Lengthen(20, height=100, pieces=FRONT, id="a")]).garment
    eased = replace(odd, seams=tuple(replace(seam, easing=4.0) for seam in odd.seams))
    whole = replace(odd, seams=tuple(replace(seam, easing=20.0) for seam in odd.seams))
    found = seams_off(legs, [("a", odd), ("b", eased)])
    assert {finding.where[1] for finding in found} == {"outer right", "inner right"}
    assert found[0].message == "since a the seam outer is off by ⟨16 mm⟩"
    assert seams_off(legs, [("a", odd), ("c", whole)]) == ()
