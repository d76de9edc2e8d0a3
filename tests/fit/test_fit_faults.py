"""Faults seen at a fitting: the catalogue holds together, and what mends a fault does what it says on real garments."""

from __future__ import annotations

import math

import pytest

from firsthand.alter import ALTERATIONS
from firsthand.demo import demo_patterns
from firsthand.errors import BadInput
from firsthand.fit.faults import Fault, Mend, View, faults, faults_of, ready
from firsthand.pattern import Garment, girth, make_garment, sewn_length, walk_seam

SORTS = {"shirt": "shirt", "hose": "hose", "jerkin": "jerkin", "skirt": "skirt", "cape": "cape"}


def demo_garment(name: str) -> Garment:
    return make_garment(demo_patterns()[name], "M", id=name, sort=SORTS.get(name, ""))


def the_mend(fault: str, kind: str) -> Mend:
    return next(mend for cause in faults()[fault].causes for mend in cause.mends if mend.kind == kind)


def altered(name: str, fault: str, kind: str, amount: float, level: str = "") -> tuple[Garment, Garment]:
    """A demo garment before and after a mend."""
    before = demo_garment(name)
    made = ready(before, the_mend(fault, kind), amount, level=level)
    assert made.alterations, made.trouble
    after = before
    for alteration in made.alterations:
        after = alteration.apply(after).garment
    return before, after


def round_at(garment: Garment, level: str) -> float:
    found = girth(garment, next(one for one in garment.levels if one.id == level)).total
    assert found is not None
    return found


@pytest.mark.parametrize("fault", faults().values(), ids=lambda fault: fault.id)
def test_each_fault_says_what_is_seen_why_how_to_make_sure_and_what_mends_it(fault: Fault) -> None:
    assert all((fault.sees, fault.source, fault.marks, fault.causes))
    for cause in fault.causes:
        assert all((cause.words, cause.sure, cause.mends))
        for mend in cause.mends:
            assert mend.sign in (1, -1)
            assert not mend.kind or (mend.kind in ALTERATIONS and mend.amount), mend.words


def test_marks_lie_on_the_figures() -> None:
    for fault in faults().values():
        for mark in fault.marks:
            assert len(mark.points) >= 2
            assert all(14 <= x <= 86 and 4 <= y <= 116 for x, y in mark.points), fault.id
            assert all(math.dist(a, b) > 0.5 for a, b in zip(mark.points, mark.points[1:], strict=False)), fault.id


def test_every_figure_is_used_and_ids_are_their_own() -> None:
    assert {fault.view for fault in faults().values()} == set(View)
    assert len(faults()) >= 35


def test_neck_and_tight_things_come_with_a_caution() -> None:
    for name in ("neck-tight", "hood-pulls-back"):
        assert "neck" in faults()[name].caution
    for name in ("arm-tight", "armhole-tight", "body-tight", "thigh-tight"):
        assert faults()[name].caution


@pytest.mark.parametrize("name", SORTS)
def test_a_garment_shows_only_what_it_has_the_pieces_for(name: str) -> None:
    shown = {fault.id for fault in faults_of(demo_garment(name))}
    assert ("crotch-short" in shown) == (name == "hose")
    assert ("cap-low" in shown) == (name == "shirt")
    assert ("dart-beside-bust" in shown) == (name == "jerkin")
    assert shown


@pytest.mark.parametrize("name", ["shirt", "hose", "jerkin", "skirt"])
def test_what_a_garment_shows_can_be_mended_on_it(name: str) -> None:
    garment = demo_garment(name)
    for fault in faults_of(garment):
        tried = [ready(garment, mend, 6.0, level=garment.levels[0].id) for cause in fault.causes for mend in cause.mends]
        assert any(one.alterations or not one.mend.kind for one in tried), [one.trouble for one in tried]


# Each mend goes the way its words say (common practice for all of them; the sources stand in the catalogue).


def test_drags_from_a_full_bust_are_mended_by_more_room_there() -> None:
    before, after = altered("jerkin", "bust-drags", "bust", 10.0)
    more = round_at(after, "bust") - round_at(before, "bust")
    assert 5 < more <= 10.5  # all of it at the dart's point; the level runs beside it, where the wedge is narrower


def test_a_tight_hip_is_let_out_there_and_nowhere_else() -> None:
    before, after = altered("hose", "hip-tight", "take-in", 10.0)
    assert round_at(after, "hip") == pytest.approx(round_at(before, "hip") + 10, abs=0.5)
    assert round_at(after, "waist") == pytest.approx(round_at(before, "waist"), abs=0.5)
    assert round_at(after, "calf") == pytest.approx(round_at(before, "calf"), abs=0.5)


def test_loose_folds_are_taken_in_where_they_were_seen() -> None:
    before, after = altered("jerkin", "body-loose", "take-in", 12.0, level="waist")
    assert round_at(after, "waist") == pytest.approx(round_at(before, "waist") - 12, abs=0.6)
    assert round_at(after, "hip") == pytest.approx(round_at(before, "hip"), abs=0.5)


def test_a_short_crotch_is_made_longer_from_waist_to_waist() -> None:
    before, after = altered("hose", "crotch-short", "lengthen", 8.0)
    longer = 0.0
    for piece in ("front", "back"):
        one, two = before.piece(piece).shape, after.piece(piece).shape
        assert one is not None
        assert two is not None
        longer += sewn_length(two, "crotch") - sewn_length(one, "crotch")
    assert longer == pytest.approx(16, abs=1.5)  # both, along the grain; made fair after, where the edge slants


def test_a_full_seat_gets_its_length_at_the_centre_back_and_keeps_its_side() -> None:
    before, after = altered("hose", "seat-tight", "seat", 10.0)
    one, two = before.piece("back").shape, after.piece("back").shape
    assert one is not None
    assert two is not None
    assert sewn_length(two, "crotch") - sewn_length(one, "crotch") == pytest.approx(10, abs=0.5)
    assert sewn_length(two, "side") == pytest.approx(sewn_length(one, "side"), abs=0.6)


def test_a_low_cap_is_made_higher_so_that_it_is_longer_than_it_was() -> None:
    before, after = altered("shirt", "cap-low", "sleeve-cap", 6.0)
    seam = next(one for one in before.seams if one.id.startswith("sleeve"))
    assert walk_seam(after, seam).difference != pytest.approx(walk_seam(before, seam).difference, abs=1.0)


def test_an_armhole_that_cuts_in_is_lowered_under_the_arm_only() -> None:
    before, after = altered("jerkin", "armhole-tight", "move-edge", 8.0)
    for piece in ("front", "back"):
        one, two = before.piece(piece).shape, after.piece(piece).shape
        assert one is not None
        assert two is not None
        assert sewn_length(two, "side") < sewn_length(one, "side") - 4
        assert sewn_length(two, "shoulder") == pytest.approx(sewn_length(one, "shoulder"), abs=0.1)


def test_a_long_shoulder_is_shortened_at_its_tip_only() -> None:
    before, after = altered("shirt", "shoulder-long", "move-edge", 8.0)
    for piece in ("front", "back"):
        one, two = before.piece(piece).shape, after.piece(piece).shape
        assert one is not None
        assert two is not None
        assert sewn_length(two, "shoulder") == pytest.approx(sewn_length(one, "shoulder") - 8, abs=1.0)
        assert sewn_length(two, "side") == pytest.approx(sewn_length(one, "side"), abs=0.1)


def test_swinging_a_leg_keeps_its_girth_at_the_foot() -> None:
    before, after = altered("hose", "leg-folds-inwards", "take-in", 8.0)
    hem = before.piece("front").shape
    new = after.piece("front").shape
    assert hem is not None
    assert new is not None
    assert new.edge("hem").path.length == pytest.approx(hem.edge("hem").path.length, abs=0.6)


def test_what_the_pattern_lacks_is_named() -> None:
    made = ready(demo_garment("shirt"), the_mend("bust-drags", "bust"), 8.0)
    assert not made.alterations
    assert made.trouble == "front has no bust dart"


def test_what_is_no_matter_of_the_pattern_alters_nothing() -> None:
    mend = next(m for c in faults()["sleeve-twists"].causes for m in c.mends)
    made = ready(demo_garment("shirt"), mend, 8.0)
    assert made.alterations == ()
    assert made.trouble == ""


@pytest.mark.parametrize("amount", [0.0, math.nan, math.inf, 4000.0])
def test_an_amount_that_is_none_is_refused(amount: float) -> None:
    with pytest.raises(BadInput):
        ready(demo_garment("hose"), the_mend("hip-tight", "take-in"), amount)
