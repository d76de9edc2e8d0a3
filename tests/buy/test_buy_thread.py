"""Thread and buttonholes against published values."""

from __future__ import annotations

import math

import pytest

from firsthand.buy import buttonhole_length, formula_ratio, metric_ticket, thread_for
from firsthand.buy._thread import RATIOS
from firsthand.errors import GeometryError

INCH = 25.4


@pytest.mark.parametrize(
    ("thickness", "printed"),
    # Union Special chart in an American & Efird bulletin (web.archive.org/web/20080216233719, amefird.com): 401, 8 stitches/in.
    [(0.055, 4.88), (0.060, 4.96), (0.065, 5.04), (0.070, 5.12), (0.075, 5.20)],
)
def test_chain_stitch_is_the_printed_chart(thickness: float, printed: float) -> None:
    assert formula_ratio("401", thickness=thickness * INCH, density=8 / INCH) == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(("thickness", "printed"), [(0.025, 2.5), (0.01, 2.2)])
def test_lockstitch_is_the_printed_value(thickness: float, printed: float) -> None:
    """textilecalculations.com: 301 at 10 stitches/in."""
    assert formula_ratio("301", thickness=thickness * INCH, density=10 / INCH) == pytest.approx(printed, abs=1e-9)


def test_unravelled_seam() -> None:
    """apparelscience.com: 15 cm of 401 took 19.5 + 62 cm of thread, so 100 cm take 540 cm, 621 with 15 %.

    They round the two factors to 1.3 and 4.1; unrounded it is 543.3 and 624.8.
    """
    rounded, exact = 1.3 + 4.1, (19.5 + 62) / 15
    assert thread_for(100, rounded, waste=0) == pytest.approx(540)
    assert thread_for(100, rounded, waste=0.15) == pytest.approx(621)
    assert thread_for(100, exact, waste=0) == pytest.approx(543.3, abs=0.05)
    assert thread_for(100, exact, waste=0.15) == pytest.approx(624.8, abs=0.05)


def test_published_ratios() -> None:
    """Coats guide and apparelscience.com: 301 2.5, 304 5.5, both half needle and half bobbin; 504 14 (secondary figure)."""
    assert (RATIOS["301"].total, RATIOS["304"].total, RATIOS["504"].total) == (2.5, 5.5, 14.0)
    assert RATIOS["301"].needle == RATIOS["304"].needle == 0.5
    assert all(ratio.source for ratio in RATIOS.values())


def test_formula_and_table_agree_at_the_table_s_density() -> None:
    """The table was measured at 7 stitches/cm: 2.5 then means a seam 0.36 mm thick, two layers of light cloth."""
    assert formula_ratio("301", thickness=0.357, density=0.7) == pytest.approx(2.5, abs=0.01)


@pytest.mark.parametrize(("tex", "ticket"), [(40, 75), (25, 120)])
def test_ticket_numbers(tex: float, ticket: float) -> None:
    """onlineclothingstudy 2013-01: metric ticket = 3000 / tex."""
    assert metric_ticket(tex) == ticket


def test_buttonhole() -> None:
    """about.com sewing 1999-06-03: a 1 in button, 1/4 in thick, needs 1 1/8 + 1/8 in."""
    assert buttonhole_length(1.0 * INCH, 0.25 * INCH) == pytest.approx((1.125 + 0.125) * INCH)


def test_a_coverall_s_buttonhole_is_long_enough() -> None:
    """US A-A-55095A p. 5: for a 30-line button (3/4 in) at least 3/4 in, and 1/16 in more."""
    assert buttonhole_length(30 * 0.635, 3.0) >= (0.75 + 0.0625) * INCH


@pytest.mark.parametrize("wrong", [(0, 1), (-1, 1), (math.nan, 1), (10, -1), (10, math.inf)])
def test_buttons_without_sense(wrong: tuple[float, float]) -> None:
    with pytest.raises(GeometryError):
        buttonhole_length(*wrong)


def test_thread_without_sense() -> None:
    with pytest.raises(GeometryError):
        thread_for(-1, 2.5)
    with pytest.raises(GeometryError):
        thread_for(1, math.nan)
    with pytest.raises(GeometryError):
        metric_ticket(0)
    with pytest.raises(GeometryError, match="no thread formula"):
        formula_ratio("999", thickness=1, density=1)
    with pytest.raises(GeometryError):
        formula_ratio("301", thickness=1, density=0)
