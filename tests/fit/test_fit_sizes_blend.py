"""Sizes blended by level: made on the pieces, and measured again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sized import body_of, even, pattern_of, tube

from firsthand.alter import apply_stack
from firsthand.demo import demo_patterns
from firsthand.fit import ease_table
from firsthand.fit.sizing import SizeChoice, choose_size
from firsthand.geometry import Path, Point
from firsthand.pattern import Corner, Edge, make_garment

SIZES = ("10", "12", "14", "16", "18")
TUBES = even(SIZES, (920.0, 740.0, 1000.0))


def codes(choice: SizeChoice) -> list[str]:
    return [finding.code for finding in choice.findings]


def test_a_hip_two_sizes_above_the_bust_is_blended_and_measured_again() -> None:
    body = body_of(bust_girth=915.0, waist_girth=815.0, hip_girth=1064.0)
    pattern = pattern_of(TUBES)
    choice = choose_size(pattern, body, sort="dress", cut="close")
    assert choice.size == "12"
    assert [place.split(",")[0].split(" at ")[0] for place in choice.blend] == ["12", "14 to 16", "16"]
    assert choice.blend[-1] == "16 at hip"
    assert choice.blend_words.startswith("12 at the bust to ")
    assert [row.residual for row in choice.after] == [0.0, 0.0, 0.0]
    # from outside: the stack applied by itself, the ease as the table has it
    garment = make_garment(pattern, choice.size, id="g", sort="dress", cut="close")
    done = apply_stack(garment, choice.alterations)
    assert [row.verdict.value for row in ease_table(done.garment, body)] == ["good"] * 3
    assert not [finding for finding in done.findings if finding.code in ("alteration-refused", "alteration-seam-off")]
    assert [row.ease for row in ease_table(done.garment, body)] == pytest.approx([row.ease for row in choice.after])


def test_a_garment_of_curves_darts_and_seams_is_blended_and_measured_again() -> None:
    pattern = demo_patterns()["jerkin"]
    body = body_of(upper_chest_girth=830.0, bust_girth=880.0, waist_girth=720.0, hip_girth=1040.0)
    choice = choose_size(pattern, body, sort="jerkin", cut="semi-fitted")
    assert choice.blend_words == "S at the bust to S at the waist to L at the hip"
    assert [row.residual for row in choice.after] == [0.0, 0.0, 0.0]
    garment = make_garment(pattern, choice.size, id="g", sort="jerkin", cut="semi-fitted")
    done = apply_stack(garment, choice.alterations)
    assert not [finding for finding in done.findings if finding.code in ("alteration-refused", "alteration-seam-off")]
    assert [row.verdict.value for row in ease_table(done.garment, body)] == ["good"] * 3


def test_a_body_between_two_sizes_everywhere_takes_one_between_them() -> None:
    # Skin-tight in a firm cloth wants 0 to 13 mm (common practice): sizes 40 mm apart have gaps between them.
    body = body_of(bust_girth=935.0, waist_girth=755.0, hip_girth=1015.0)
    choice = choose_size(pattern_of(TUBES), body, sort="dress", cut="skin-tight")
    assert (choice.size, choice.blend) == ("12", ("10 to 12, 55 %",))
    assert choice.fits == "10 to 12, 54 %"
    assert [row.residual for row in choice.after] == [0.0, 0.0, 0.0]
    assert [row.ease for row in choice.after] == pytest.approx([7.0] * 3, abs=0.05)


def test_one_size_everywhere_needs_no_blend() -> None:
    body = body_of(bust_girth=915.0, waist_girth=757.0, hip_girth=980.0)
    choice = choose_size(pattern_of(TUBES), body, sort="dress", cut="close")
    assert (choice.size, choice.blend, choice.after, choice.altered) == ("12", (), (), ())


def test_what_a_blend_cannot_reach_is_told() -> None:
    body = body_of(bust_girth=915.0, waist_girth=1000.0, hip_girth=1100.0)
    choice = choose_size(pattern_of(TUBES), body, sort="dress", cut="close")
    assert "18 at waist" in choice.blend
    waist = next(row for row in choice.after if row.level == "waist")
    assert waist.residual is not None
    assert waist.residual < 0
    assert {"size-blend-off", "size-far-apart"} <= set(codes(choice))


def test_pieces_that_are_not_made_alike_cannot_be_blended() -> None:
    pattern = pattern_of(TUBES)
    odd = tube(1080.0, 900.0, 1160.0)
    hem = odd.edges[0]
    split = (
        replace(hem, path=Path.line(Point(0, 0), Point(100, 0))),
        Edge("vent", Corner("v"), Path.line(Point(100, 0), Point(290, 0))),
    )
    front = pattern.pieces["front"]
    uneven = replace(front, sizes={**front.sizes, "18": replace(odd, edges=(*split, *odd.edges[1:]))})
    body = body_of(bust_girth=1035.0, waist_girth=815.0, hip_girth=1100.0)
    choice = choose_size(replace(pattern, pieces={**pattern.pieces, "front": uneven}), body, sort="dress", cut="close")
    assert (choice.size, choice.blend) == ("18", ())
    (finding,) = [one for one in choice.findings if one.code == "size-blend-refused"]
    assert "is not made alike" in finding.message
    assert choice.altered


@settings(max_examples=15, deadline=None)
@given(bust=st.floats(880.0, 1030.0), waist=st.floats(-30.0, 60.0), hip=st.floats(-60.0, 100.0))
def test_a_blend_within_the_sizes_always_fits(bust: float, waist: float, hip: float) -> None:
    body = body_of(
        bust_girth=bust, waist_girth=min(max(bust - 180 + waist, 721.0), 880.0), hip_girth=min(bust + 60 + hip, 1100.0)
    )
    choice = choose_size(pattern_of(TUBES), body, sort="dress", cut="close")
    reached = [level for level in choice.levels if level.fits and not level.fits.startswith(("above", "below"))]
    after = {row.level: row for row in choice.after}
    for level in reached:
        assert not choice.blend or after[level.level].residual == 0.0
    assert choice.blend or not [level for level in reached if level.words]


def test_a_size_by_the_chart_is_not_overruled_by_a_level_that_is_compared() -> None:
    chart = {size: {"bust_girth": 860.0 + 40 * k} for k, size in enumerate(SIZES)}
    pattern = pattern_of(TUBES, chart=chart, levels=("hip",))
    choice = choose_size(pattern, body_of(bust_girth=900.0, hip_girth=1064.0), sort="dress", cut="close")
    assert (choice.size, choice.by, choice.blend) == ("12", "chart", ())
    assert [level.words for level in choice.altered] == ["let out ⟨75 mm⟩ at the hip"]


def test_sleeves_follow_the_armhole_unless_they_want_another_size() -> None:
    pattern = demo_patterns()["shirt"]
    body = body_of(bust_girth=890.0, upper_chest_girth=840.0, hip_girth=1080.0, upper_arm_girth=300.0, wrist_girth=160.0)
    choice = choose_size(pattern, body, sort="shirt", cut="loose")
    assert choice.blend == ("S at bust", "M at hip")
    assert {row.level: row.residual for row in choice.after} == {"bust": 0.0, "hip": 0.0, "upper arm": 0.0, "wrist": 0.0}
