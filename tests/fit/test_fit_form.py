"""A dress form beside its wearer."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sized import body_of

from firsthand.errors import GeometryError, NotThere
from firsthand.fit.sizing import FormFit, FormVerdict, compare_form

WEARER = {
    "neck_girth": 370.0, "bust_girth": 980.0, "under_bust_girth": 820.0, "waist_girth": 790.0, "hip_girth": 1050.0,
    "back_waist_length": 415.0, "shoulder_length": 132.0,
}  # fmt: skip
FORM = {**WEARER, "bust_girth": 880.0, "waist_girth": 740.0, "hip_girth": 1000.0, "back_waist_length": 400.0}


def fit_of(form: dict[str, float], wearer: dict[str, float] = WEARER, **more: float) -> FormFit:
    return compare_form(body_of(form=True, name="Form", **form), body_of(**wearer), **more)  # type: ignore[arg-type]


def codes(answer: FormFit) -> list[str]:
    return [finding.code for finding in answer.findings]


def test_the_table_pads_what_is_smaller_and_leaves_what_is_alike() -> None:
    answer = fit_of(FORM, wadding=6.0)
    rows = {row.key: row for row in answer.rows}
    assert [rows[key].verdict.value for key in ("neck_girth", "bust_girth", "waist_girth", "hip_girth")] == [
        "alike", "pad", "pad", "pad",
    ]  # fmt: skip
    # Steiner's formula: a layer of thickness t all round any convex body makes its girth longer by 2 pi t.
    assert rows["waist_girth"].even == pytest.approx(50 / (2 * math.pi))
    # Over the front half alone the surface turns half way: twice as thick.
    assert rows["bust_girth"].local == pytest.approx(100 / math.pi)
    assert rows["bust_girth"].layers == 5
    assert rows["bust_girth"].layers * 6.0 <= rows["bust_girth"].local


def test_a_pad_over_half_a_round_body_makes_the_girth_come_out() -> None:
    # Reference: a circle of the form's girth with a pad of the told thickness over half of it that runs out in a cosine, its
    # length summed by chords. First order in thickness over radius, so within a few per cent.
    (row,) = fit_of({"bust_girth": 880.0}, {"bust_girth": 940.0}).rows
    radius = 880.0 / (2 * math.pi)
    turns = [math.pi * k / 2000 for k in range(2001)]
    # thickest in the middle of the front, nothing at the sides: twice the mean in the middle
    pad = [radius + row.local * (1 - math.cos(2 * turn)) for turn in turns]
    points = [(r * math.cos(turn), r * math.sin(turn)) for r, turn in zip(pad, turns, strict=True)]
    front = sum(math.dist(one, two) for one, two in itertools.pairwise(points))
    assert front + math.pi * radius == pytest.approx(940.0, abs=9.0)


def test_the_order_of_padding_and_what_it_does_not_tell() -> None:
    answer = fit_of(FORM)
    assert answer.steps[0].startswith("Tape the wearer's waist line")
    assert answer.steps[1].startswith("Begin at the bust")
    assert answer.steps[-2].startswith("Close-fitting cover")
    assert "pins" in answer.steps[-1]
    assert [line.partition(":")[0] for line in answer.not_told[:3]] == ["Arms", "Sitting, kneeling and walking", "Legs"]


def test_a_form_that_is_larger_cannot_be_padded() -> None:
    answer = fit_of({**FORM, "hip_girth": 1070.0})
    row = next(row for row in answer.rows if row.key == "hip_girth")
    assert (row.verdict, row.even, row.layers) == (FormVerdict.LARGER, 0.0, 0)
    assert "form-larger" in codes(answer)
    assert not [step for step in answer.steps if step.startswith("Hip")]


def test_lengths_cannot_be_changed() -> None:
    row = next(row for row in fit_of(FORM).rows if row.key == "back_waist_length")
    assert row.verdict is FormVerdict.FIXED
    assert row.words == "⟨15 mm⟩ longer on the wearer: mark the wearer's waist ⟨15 mm⟩ below the form's"
    assert "form-length" in codes(fit_of(FORM))


def test_a_cover_takes_its_share() -> None:
    covered = next(row for row in fit_of(FORM, cover=2.0).rows if row.key == "waist_girth")
    assert covered.even == pytest.approx(50 / (2 * math.pi) - 2.0)
    filled = next(row for row in fit_of(FORM, cover=8.0).rows if row.key == "waist_girth")
    assert (filled.verdict, filled.words) == (FormVerdict.ALIKE, "the cover fills it")


@given(st.floats(600.0, 1200.0), st.floats(600.0, 1200.0), st.floats(0.0, 5.0), st.floats(1.0, 30.0))
def test_the_padded_form_is_never_larger_than_the_wearer(form: float, wearer: float, cover: float, wadding: float) -> None:
    (row,) = fit_of({"under_bust_girth": form}, {"under_bust_girth": wearer}, cover=cover, wadding=wadding).rows
    if row.verdict is FormVerdict.PAD:
        assert form + 2 * math.pi * (row.even + cover) == pytest.approx(wearer)
        assert form + 2 * math.pi * (row.layers * wadding + cover) <= wearer + 1e-6


def test_a_form_much_too_small_is_said() -> None:
    assert "form-far-smaller" in codes(fit_of({**FORM, "bust_girth": 700.0}))


def test_what_was_not_taken_of_both_is_named() -> None:
    answer = fit_of({key: value for key, value in FORM.items() if key != "hip_girth"})
    (finding,) = [one for one in answer.findings if one.code == "form-not-compared"]
    assert finding.message == "taken of one of the two only: hip"


def test_nothing_in_common_is_said_and_nothing_padded() -> None:
    answer = fit_of({"neck_girth": 340.0}, {"hip_girth": 1000.0})
    assert codes(answer) == ["form-nothing-in-common"]
    assert answer.steps == ()


def test_a_form_that_is_not_marked_is_asked_about() -> None:
    person, form = body_of(**FORM), body_of(form=True, name="Form", **WEARER)
    assert [one.code for one in compare_form(person, form).findings][:2] == ["form-not-marked", "form-not-marked"]


def test_mens_chest_is_one_row() -> None:
    answer = fit_of({"chest_girth": 980.0}, {"chest_girth": 1040.0})
    assert [row.key for row in answer.rows] == ["chest_girth"]
    mixed = fit_of({"chest_girth": 880.0}, {"bust_girth": 940.0})
    assert [row.key for row in mixed.rows] == ["bust_girth"]


def test_numbers_without_sense_are_refused() -> None:
    for more in ({"wadding": -1.0}, {"cover": math.nan}):
        with pytest.raises(GeometryError):
            fit_of(FORM, **more)
    with pytest.raises(GeometryError):
        fit_of({"waist_girth": 0.0})
    with pytest.raises(NotThere):
        compare_form(body_of(form=True), body_of(), levels=["tail_girth"])
