"""Alterations of other kinds than taking in: each proposed one was tried, brings the garment nearer, and fits the stack."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import pytest
from tests.alter.plausible import plausible_garment  # type: ignore[import-not-found]

from firsthand.alter import ALTERATIONS, apply_stack
from firsthand.body import Body, Measurement
from firsthand.demo import demo_patterns
from firsthand.fit import EaseRow, Suggested, Verdict, ease_table, fit_garment, length_table
from firsthand.fit.solving import Others, alteration_of, narrowed, others, others_need
from firsthand.pattern import Garment, make_garment

Table = Callable[[Garment], tuple[EaseRow, ...]]


def wearer(**values: float) -> Body:
    return Body("w", "Wearer", {key: Measurement(key, value) for key, value in values.items()}, table="female")


def demo(name: str, sort: str, cut: str) -> Garment:
    return make_garment(demo_patterns()[name], "M", id=name, sort=sort, cut=cut)


def tried(garment: Garment, body: Body, *, stretch: float = 0.0) -> tuple[Others, Table, Table]:
    table, lengths = partial(ease_table, body=body, stretch=stretch), partial(length_table, body=body, stretch=stretch)
    return others(garment, body, table, lengths), table, lengths


def after(garment: Garment, one: Suggested) -> Garment:
    result = apply_stack(garment, [alteration_of(one)])
    assert [record.kind for record in result.records] == [one.kind]
    return result.garment


def row(rows: tuple[EaseRow, ...], level: str) -> EaseRow:
    return next(one for one in rows if one.level == level)


def test_a_short_crotch_is_given_over_the_seat_or_the_belly() -> None:
    """Each of them alone brings the length through the crotch into its band; in the file it is an alteration as any."""
    hose, body = demo("hose", "hose", "skin-tight"), wearer(crotch_length=660)
    found, _, lengths = tried(hose, body, stretch=0.6)
    assert row(lengths(hose), "crotch_length").verdict is Verdict.TIGHT
    assert {one.kind for one in found.found} >= {"seat", "belly"}
    for one in found.found:
        assert row(lengths(after(hose, one)), "crotch_length").verdict is Verdict.GOOD
        assert one.comment.endswith(("over the seat", "over the belly", "at the back"))


def test_a_sleeve_too_tight_at_the_upper_arm_is_widened_with_its_cap() -> None:
    shirt = demo("shirt", "shirt", "loose")
    finished = row(ease_table(shirt, wearer()), "upper arm").finished or 0.0
    found, table, _ = tried(shirt, wearer(upper_arm_girth=finished - 40))
    (one,) = (one for one in found.found if one.kind == "upper-arm")
    assert row(table(shirt), "upper arm").verdict is Verdict.TIGHT
    assert row(table(after(shirt, one)), "upper arm").verdict is Verdict.GOOD


def test_room_over_the_bust_is_put_into_the_front_alone() -> None:
    """Through the bust dart; the level lies above its point, so that a little more is put in than the girth lacks."""
    jerkin = demo("jerkin", "jerkin", "semi-fitted")
    finished = row(ease_table(jerkin, wearer()), "bust").finished or 0.0
    found, table, _ = tried(jerkin, wearer(bust_girth=finished - 45))
    (one,) = (one for one in found.found if one.kind == "bust")
    assert 42 <= one.fields["amount"] <= 1.5 * 42
    assert row(table(jerkin), "bust").verdict is Verdict.TIGHT
    assert row(table(after(jerkin, one)), "bust").verdict is Verdict.GOOD


def test_too_much_for_one_place_and_what_the_pattern_lacks_are_said() -> None:
    jerkin = demo("jerkin", "jerkin", "semi-fitted")
    found, _, _ = tried(jerkin, wearer(bust_girth=1080))
    assert [one for one in found.found if one.kind == "bust"] == []
    assert any(words.startswith("bust, bust: it would take") and "another size" in words for words in found.missing)
    shirt = demo("shirt", "shirt", "close")
    found, _, _ = tried(shirt, wearer(bust_girth=1120))
    (missing,) = (words for words in found.missing if words.startswith("bust, bust: "))
    assert "dart" in missing


def test_a_long_back_is_shortened_to_its_wearer() -> None:
    """Bodices of all sorts with a back 40 mm too long: what is proposed brings it to within 20 mm of the wearer, or is not."""
    proposed = 0
    for seed in range(24):
        garment = plausible_garment(seed)
        if "back_waist_length" not in others_need(garment):
            continue
        length = next(by for by in _back_of(garment))
        found, _, _ = tried(garment, wearer(back_waist_length=length - 60))
        for one in found.found:
            if one.kind == "lengthen":
                proposed += 1
                assert next(_back_of(after(garment, one))) == pytest.approx(length - 50, abs=1.0)
    assert proposed >= 3


def _back_of(garment: Garment) -> object:
    from firsthand.fit.solving._others import _back_length

    yield _back_length(garment)


def test_shoulders_that_slope_otherwise() -> None:
    """The slope of the demo shirt's own shoulders asks for nothing, six degrees more for the tip to be lowered."""
    from firsthand.fit.solving._others import _slope

    jerkin = demo("jerkin", "jerkin", "semi-fitted")
    slope, out = _slope(jerkin) or (0.0, 0.0)
    assert tried(jerkin, wearer(shoulder_slope=slope + math.radians(1)))[0].found == ()
    (one,) = (one for one in tried(jerkin, wearer(shoulder_slope=slope + math.radians(6)))[0].found)
    assert one.kind == "shoulder-slope"
    wanted = out * (math.tan(slope + math.radians(6)) - math.tan(slope))
    assert one.fields["amount"] == pytest.approx(wanted, abs=1.0)
    assert (_slope(after(jerkin, one)) or (0.0, 0.0))[0] == pytest.approx(slope + math.radians(6), abs=math.radians(0.3))


def test_nothing_is_tried_where_nothing_is_known_or_wrong() -> None:
    for name, pattern in demo_patterns().items():
        garment = make_garment(pattern, pattern.sizes[0], id=name, sort=name, cut="semi-fitted")
        assert tried(garment, wearer())[0] == Others()


def test_they_are_taken_only_by_name_and_never_by_take_in() -> None:
    hose, body = demo("hose", "hose", "skin-tight"), wearer(crotch_length=660)
    fit = fit_garment(hose, body, take_in=True, stretch=0.6)
    assert fit.records == ()
    assert fit.proposed.alterations == ()
    (one,) = narrowed(fit.proposed, ["fit seat"]).alterations
    assert one.kind == "seat"
    assert one.kind in ALTERATIONS
