"""Pressure by Laplace's law, checked by hand and against published numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.errors import GeometryError
from firsthand.fabric import GRAVITY
from firsthand.fit.cloth import band_of, laplace, mmhg, strain_at


def test_by_hand() -> None:
    """100 N/m round a radius of 0.1 m is 1000 Pa."""
    assert laplace(100.0, 2 * math.pi * 100.0) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("kgf", "layers", "circumference", "width"), [(1.0, 2, 22.0, 10.0), (0.5, 1, 35.0, 7.5), (2.0, 4, 18.0, 8.0)]
)
def test_the_bandage_formula(kgf: float, layers: int, circumference: float, width: float) -> None:
    """S. Thomas, World Wide Wounds, June 2003: p mmHg = 4620 x tension (kgf) x layers / (circumference cm x width cm)."""
    tension = kgf * GRAVITY / (width / 100) * layers
    published = 4620 * kgf * layers / (circumference * width)
    assert mmhg(laplace(tension, circumference * 10)) == pytest.approx(published, rel=5e-4)


@pytest.mark.parametrize(("low", "high", "kpa"), [(18, 21, (2.4, 2.8)), (23, 32, (3.1, 4.3)), (34, 46, (4.5, 6.1))])
def test_mmhg_and_kpa_agree_with_the_medical_classes(low: float, high: float, kpa: tuple[float, float]) -> None:
    """RAL-GZ 387/1 (January 2008) prints each class in both units, kPa to one decimal."""
    assert (low, high) == (pytest.approx(mmhg(kpa[0]), abs=0.4), pytest.approx(mmhg(kpa[1]), abs=0.4))


@given(st.floats(0, 2000), st.floats(100, 1500), st.floats(1.01, 3))
def test_a_smaller_girth_is_pressed_harder(tension: float, girth: float, more: float) -> None:
    assert laplace(tension, girth) >= laplace(tension, girth * more)
    assert laplace(tension * more, girth) == pytest.approx(laplace(tension, girth) * more)


@given(st.floats(0.1, 5), st.floats(100, 1500), st.floats(20, 3000))
def test_at_the_strain_the_band_ends_at_the_pressure(pressure: float, girth: float, stiffness: float) -> None:
    strain = strain_at(pressure, girth, stiffness)
    assert band_of(laplace(stiffness * strain, girth))[1] == pytest.approx(pressure)


@pytest.mark.parametrize(("tension", "girth"), [(-1, 300), (100, 0), (math.nan, 300), (100, math.inf)])
def test_numbers_without_sense(tension: float, girth: float) -> None:
    with pytest.raises(GeometryError):
        laplace(tension, girth)
