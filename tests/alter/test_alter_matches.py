"""The report of what no longer matches after a stack."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.alter import TakeIn, Trued, apply_stack, no_longer_matches
from firsthand.demo import demo_patterns
from firsthand.geometry import Path, Point
from firsthand.pattern import Garment, Hand, Notch, make_garment

Maker = Callable[..., Garment]


@pytest.fixture
def leg(make_leg: Maker) -> Garment:
    """Two legs with a notch in each inseam that meet, and hems that run on across it."""
    legs = make_leg()
    back = legs.piece("back")
    return legs.with_piece(replace(back, drawn=Hand.LEFT))


def with_hem(garment: Garment, drop: float) -> Garment:
    """The front's hem, 200 wide, running down towards the outer edge."""
    piece = garment.piece("front")
    shape = piece.drawn_shape
    low = Point(0, -drop)
    edges = {edge.id: edge for edge in shape.edges}
    edges["hem"] = replace(edges["hem"], path=Path.line(low, Point(200, 0)))
    edges["outer"] = replace(edges["outer"], path=Path.line(edges["outer"].path.start, low))
    return garment.with_piece(replace(piece, shape=replace(shape, edges=tuple(edges.values()))))


def with_notch(garment: Garment, at: float) -> Garment:
    piece = garment.piece("front")
    shape = piece.drawn_shape
    notches = tuple(Notch(n.id, n.edge, at) if n.edge == "inner" else n for n in shape.notches)
    return garment.with_piece(replace(piece, shape=replace(shape, notches=notches)))


def codes(before: Garment, *after: tuple[str, Garment]) -> dict[str, str]:
    return {finding.code: finding.message for finding in no_longer_matches(before, after)}


def test_nothing_off_nothing_said(leg: Garment) -> None:
    assert no_longer_matches(leg, ()) == ()
    assert no_longer_matches(leg, [("as it was", leg)]) == ()


def test_a_corner_across_a_seam_is_put_down_to_what_made_it(leg: Garment) -> None:
    askew = with_hem(leg, 20.0)
    found = no_longer_matches(leg, [("first", leg), ("askew", askew), ("last", askew)])
    assert [finding.message for finding in found if finding.code == "alteration-corners-off"] == [
        "since askew front.hem makes a corner of 6 degrees across the seam inner",
        "since askew front.hem makes a corner of 6 degrees across the seam outer",
    ]
    assert "alteration-corners-off" not in codes(leg, ("askew", askew), ("put right", leg))
    assert "alteration-corners-off" not in codes(leg, ("slight", with_hem(leg, 5.0)))
    assert "alteration-corners-off" not in codes(leg, ("meant", with_hem(leg, 150.0)))


def test_notches_that_do_not_meet_any_more(leg: Garment) -> None:
    found = codes(leg, ("a", leg), ("b", with_notch(leg, 305.0)), ("c", with_notch(leg, 306.0)))
    assert found == {"alteration-notches-off": "since b notches of the seam inner miss each other by ⟨6 mm⟩"}
    assert codes(leg, ("b", with_notch(leg, 302.0))) == {}


def test_a_lost_seam_makes_another_opening(leg: Garment) -> None:
    torn = replace(leg, seams=leg.seams[:-1])
    found = codes(leg, ("torn", torn))
    assert found == {"alteration-assembly-off": "since torn the sewn garment has 3 openings instead of 4"}


def test_turned_inside_out(leg: Garment) -> None:
    (one, *others) = leg.seams
    odd = replace(leg, seams=(replace(one, reverse_b=False), *others))
    assert "has the face of the cloth inside somewhere" in codes(leg, ("odd", odd))["alteration-assembly-off"]


def test_a_take_in_that_cuts_into_a_curve_asks_for_truing_and_truing_answers() -> None:
    pattern = demo_patterns()["jerkin"]
    jerkin = make_garment(pattern, id="jerkin", size=pattern.sizes[0])
    taken = [finding.code for finding in apply_stack(jerkin, [TakeIn(12)]).findings]
    assert taken == ["alteration-corners-off", "alteration-corners-off"]  # the armhole of the shell, and of the lining
    assert [finding.code for finding in apply_stack(jerkin, [TakeIn(12), Trued()]).findings] == []
