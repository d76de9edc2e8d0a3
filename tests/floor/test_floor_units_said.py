"""Lengths kept in texts: readable as they stand, exact enough for every unit, shown in the reader's own."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.units import Unit, format_length, said, shown

LENGTHS = st.floats(-9999.0, 9999.0, allow_nan=False)


@given(LENGTHS, st.sampled_from([Unit.MM, Unit.CM, Unit.INCH]))
def test_a_marked_length_is_shown_as_the_length_itself_would_be(length: float, unit: Unit) -> None:
    length = round(length, 3)
    text = shown(f"off by {said(length)} here", unit)
    assert "⟨" not in text
    if abs(length) >= 2:  # below that, what would round to nothing is shown with two decimals
        assert text == f"off by {format_length(length, unit)} here"


@given(st.floats(1.0, 9999.0), st.sampled_from([Unit.CM, Unit.INCH]))
def test_what_is_the_most_is_never_rounded_up(length: float, unit: Unit) -> None:
    text = shown(f"at most {said(length)}", unit).removeprefix("at most ").removesuffix(f" {unit.value}")
    fraction = sum((" ⅛¼⅜½⅝¾⅞".index(sign) / 8 for sign in text if sign in "⅛¼⅜½⅝¾⅞"), 0.0)
    number = fraction + float(re.sub("[⅛¼⅜½⅝¾⅞]", "", text) or 0)
    one = 25.4 if unit is Unit.INCH else 10.0
    assert number * one <= length + 1e-4 * one
    assert length - number * one <= one / 8


@pytest.mark.parametrize(
    ("millimetres", "centimetres", "inches"),
    [
        (0.0, "0.0 cm", "0 in"),
        (0.3, "0.03 cm", "0.01 in"),
        (0.01, "0.0 cm", "0 in"),
        (1.5875, "0.2 cm", "0.06 in"),  # a sixteenth of an inch
        (15.875, "1.6 cm", "⅝ in"),
        (-63.5, "−6.3 cm", "−2½ in"),
        (9144.0, "914.4 cm", "360 in"),
        (914_400.0, "914.4 m", "1000.0 yd"),  # a yard is 0.9144 m: international agreement of 1959
    ],
)
def test_lengths_in_both_units(millimetres: float, centimetres: str, inches: str) -> None:
    assert shown(said(millimetres), Unit.CM) == centimetres
    assert shown(said(millimetres), Unit.INCH) == inches


def test_several_lengths_and_other_text() -> None:
    text = f"{said(254)} by {said(127)}, 2.2 mm thick ⟨sic⟩"
    assert shown(text, Unit.INCH) == "10 in by 5 in, 2.2 mm thick ⟨sic⟩"
    assert shown(shown(text, Unit.INCH), Unit.CM) == shown(text, Unit.INCH)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_numbers_without_sense_are_written_as_they_are(number: float) -> None:
    assert shown(f"carries {said(number)}", Unit.CM) == f"carries {number} mm"


def test_a_mark_can_be_read_as_it_stands() -> None:
    assert said(1288.3) == "⟨1288.3 mm⟩"
    assert said(-1e-9) == "⟨0 mm⟩"
