"""What is measured at the table: as it is typed, what it gives, and how it is told."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, Structure, advice, parse_growth, parse_stretch, pull_tension, trials
from firsthand.units import Unit

KNIT = Fabric("v", "Velour", 1500, structure=Structure.KNIT)


@pytest.mark.parametrize(
    ("typed", "share"),
    [
        ("4 in to 5 in", 0.25),  # alexmarie.com.ng, Calculating the stretch in knit fabrics: 4 to 5 in is 25 %
        ("4 to 7 in", 0.75),  # the same: 4 to 7 in is 75 %
        ("10 cm to 15 cm", 0.50),  # thesewingdirectory.co.uk, What is stretch
        ("10 to 13 cm", 0.30),  # the same
        ("4 in to 10 in", 1.50),  # fabric.com blog 2007-08-23
        ("10 in to 14 in", 0.40),  # sewingartistry newsletter
        ("100 mm → 130 mm", 0.30),
        ("10 cm to 10 cm", 0.0),
        (0.3, 0.3),
        ("30 %", 0.3),
    ],
)
def test_stretch_as_it_is_measured(typed: str | float, share: float) -> None:
    assert parse_stretch(typed) == pytest.approx(share)


def test_bare_numbers_are_in_the_units_of_the_file() -> None:
    assert parse_stretch("4 to 5 in", Unit.CM) == 0.25
    assert parse_stretch("10 to 13", Unit.CM) == 0.3
    assert parse_stretch("10 cm to 5 in", Unit.CM) == pytest.approx(0.27)


@pytest.mark.parametrize("typed", ["13 cm to 10 cm", "0 cm to 4 cm", "much", True, "nan", "-3 %", 40, "10 to", "1 to 9", ""])
def test_a_stretch_that_cannot_be_meant(typed: str | float) -> None:
    with pytest.raises(ValueError):
        parse_stretch(typed)


def test_growth() -> None:
    assert parse_growth("10 cm after 10.5 cm") == pytest.approx(0.05)
    with pytest.raises(ValueError):
        parse_growth("10 cm after 16 cm")


def test_a_pull_by_hand() -> None:
    """0.5 kg x 9.80665 m/s2 / 0.05 m; weight of the standard kilogram: 3rd General Conference on Weights and Measures."""
    tension, strain = pull_tension(50, 500, 100, 120)
    assert tension == pytest.approx(98.0665)
    assert strain == pytest.approx(0.2)


@pytest.mark.parametrize(
    "numbers",
    [(0, 500, 100, 120), (50, -1, 100, 120), (50, 500, 100, 100), (50, 500, 100, float("nan")), (50, 500_000, 100, 120)],
)
def test_a_pull_that_cannot_be_meant(numbers: tuple[float, float, float, float]) -> None:
    with pytest.raises(GeometryError):
        pull_tension(*numbers)


@given(st.floats(10, 300), st.floats(0, 4.9))
def test_stretch_is_read_back(rest: float, share: float) -> None:
    assert parse_stretch(f"{rest:.4f} mm to {rest * (1 + share):.4f} mm") == pytest.approx(share, abs=1e-4)


@pytest.mark.parametrize(
    "wrong",
    [
        {"growth": 0.6},
        {"growth": -0.1},
        {"tension": 90.0},
        {"tension_at": 0.2},
        {"tension": 9e4, "tension_at": 0.2},
        {"tension": 90.0, "tension_at": 6.0},
    ],
)
def test_numbers_of_a_fabric_without_sense(wrong: dict[str, float]) -> None:
    with pytest.raises(GeometryError):
        advice(replace(KNIT, **wrong))


def test_what_is_missing_of_a_knit_and_how_to_find_it_out() -> None:
    told = {one.id: one for one in trials(KNIT)}
    missing = [name for name, one in told.items() if one.matters and not one.known]
    assert missing == ["stretch_across", "stretch_along", "growth", "pull", "thickness", "shrinkage", "weight"]
    assert "one minute" in " ".join(told["growth"].how)
    assert "ruler" in " ".join(told["stretch_across"].how)
    assert "on no foot" in told["pull"].care, "a weight that falls hurts"


def test_a_poor_recovery_is_said() -> None:
    told = {one.id: one for one in trials(replace(KNIT, stretch_across=0.5, growth=0.08))}
    assert told["growth"].known == "8 %"
    assert "poor" in told["growth"].remark


def test_a_woven_needs_no_pull() -> None:
    told = {one.id: one for one in trials(Fabric("linen", "Linen", 1400))}
    assert not told["growth"].matters
    assert not told["pull"].matters


def test_more_stretch_lengthwise_is_said() -> None:
    told = {one.id: one for one in trials(replace(KNIT, stretch_across=0.4, stretch_along=0.7))}
    assert "turn the layout" in told["stretch_along"].remark
