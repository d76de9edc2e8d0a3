"""Advice against published tables."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, Nap, Structure, advice, before_shrinking

PLAIN = Fabric("f", "Cloth", 1400.0)


@pytest.mark.parametrize(
    ("fibre", "limit", "dots"),
    [
        # GINETEX care symbols: one dot 110 °C, two dots 150 °C, three dots 200 °C.
        ("acrylic", 110, "one dot"),
        ("nylon", 110, "one dot"),
        ("acetate", 110, "one dot"),
        ("wool", 150, "two dots"),
        ("silk", 150, "two dots"),
        ("polyester", 150, "two dots"),
        ("viscose", 150, "two dots"),
        ("cotton", 200, "three dots"),
        ("linen", 200, "three dots"),
        # A blend takes the most delicate fibre (Enkho iron manual, p. 29).
        ("cotton/polyester", 150, "two dots"),
        ("wool, nylon", 110, "one dot"),
        ("linen/acrylic", 110, "one dot"),
    ],
)
def test_heat_is_the_ginetex_table(fibre: str, limit: float, dots: str) -> None:
    told = advice(replace(PLAIN, fibre=fibre))
    assert told.heat_limit == limit
    assert told.heat.startswith(f"{dots}, {limit} °C at most")
    assert any("GINETEX" in source for source in told.sources)


@pytest.mark.parametrize("fibre", ["vinyl", "foil", "polypropylene"])
def test_what_melts_is_not_ironed(fibre: str) -> None:
    """Common practice."""
    assert advice(replace(PLAIN, fibre=fibre)).heat_limit == 0


def test_an_unknown_fibre_gets_the_coolest_iron() -> None:
    assert advice(PLAIN).heat_limit == 110


@pytest.mark.parametrize(
    ("weight", "low", "high"),
    [
        # Siruba HSP-6810 manual, p. 17: light 70-80, medium 75-90, heavy 80-90 (coating 100: easysewingtechniques).
        (90, 70, 80), (200, 75, 90), (400, 80, 90), (600, 80, 100),
    ],
)  # fmt: skip
def test_needles_lie_in_the_published_bands(weight: float, low: int, high: int) -> None:
    needle = advice(replace(PLAIN, weight=weight)).needle
    assert low <= int(needle.split()[-1].split("/")[0]) <= high


def test_needle_and_stitch_by_cloth() -> None:
    """Two-way stretch: stretch 75/11 at 2.5 mm; coating 100/16 at 3 mm. Source: easysewingtechniques."""
    knit = advice(replace(PLAIN, structure=Structure.KNIT, stretch_across=0.6, weight=200))
    coating = advice(replace(PLAIN, weight=600, thickness=3.0))
    assert (knit.needle, knit.stitch_length) == ("stretch 75/11", 2.5)
    assert (coating.needle, coating.stitch_length) == ("universal 100/16", 3.0)
    assert advice(replace(PLAIN, structure=Structure.LEATHER)).needle.startswith("leather")


def test_a_seam_stretches_with_its_cloth() -> None:
    """A straight lockstitch breaks on strong stretch: common practice; stable up to 18-25 %: quiltnparty.com."""
    assert not advice(replace(PLAIN, stretch_across=0.10)).stretches
    assert advice(replace(PLAIN, stretch_across=0.25)).seam_stitch == "narrow zigzag"
    assert advice(replace(PLAIN, stretch_along=0.30)).stretches
    assert advice(replace(PLAIN, structure=Structure.KNIT)).stretches, "nobody measured this knit"


def test_edges_that_do_not_fray_need_no_finish() -> None:
    """Leather, suede, felt, lace: Canadian school course, moodlehub 47832."""
    for sort in ("felt", "suede", "lace", "wool melton"):
        assert advice(replace(PLAIN, sort=sort)).neaten == ""
    assert advice(replace(PLAIN, sort="linen")).neaten == "3-thread overlock"
    assert advice(replace(PLAIN, sort="linen"), overlocker=False).neaten == "zigzag"


def test_pile_and_nap() -> None:
    told = advice(replace(PLAIN, sort="velour", fibre="polyester", nap=Nap.ONE_WAY))
    assert told.nap
    assert told.foot == "walking"
    assert "back" in told.pressing


@pytest.mark.parametrize(("fibre", "low", "high"), [("linen", 0.05, 0.10), ("cotton", 0.02, 0.07), ("polyester", 0.0, 0.03)])
def test_shrinkage_that_nobody_measured_lies_in_the_published_band(fibre: str, low: float, high: float) -> None:
    """onlineclothingstudy 2018-08; fabricis.com."""
    told = advice(replace(PLAIN, fibre=fibre))
    assert low <= told.shrink_along <= high
    assert not told.shrink_known


def test_a_measured_shrinkage_wins() -> None:
    told = advice(replace(PLAIN, fibre="linen", shrink_along=0.02))
    assert told.shrink_known
    assert (told.shrink_along, told.shrink_across) == (0.02, 0.0)


def test_shrinking_is_undone_by_division() -> None:
    """20 shrinks to 17 at 15 % (kembrel): to have 17, 20 are bought."""
    assert before_shrinking(17.0, 0.15) == pytest.approx(20.0)


@given(st.floats(0, 1e6), st.floats(0, 0.9))
def test_what_is_bought_shrinks_to_what_is_needed(length: float, share: float) -> None:
    assert before_shrinking(length, share) * (1 - share) == pytest.approx(length)


@pytest.mark.parametrize(
    ("length", "share"), [(math.nan, 0.1), (-1, 0.1), (100, 1.0), (100, -0.1), (100, math.nan), (math.inf, 0)]
)
def test_no_shrinking_without_sense(length: float, share: float) -> None:
    with pytest.raises(GeometryError):
        before_shrinking(length, share)


@pytest.mark.parametrize(
    "wrong",
    [{"width": 0.0}, {"width": math.nan}, {"weight": -1.0}, {"thickness": math.inf}, {"stretch_across": 40.0},
     {"selvedge": 800.0}, {"shrink_along": 0.9}],
)  # fmt: skip
def test_fabrics_without_sense_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(GeometryError, match="fabric f"):
        advice(replace(PLAIN, **wrong))


def test_every_rule_has_a_source() -> None:
    for fibre in ("linen", "wool", "polyester", "leather", "silk", ""):
        assert all(rule.source and rule.says for rule in advice(replace(PLAIN, fibre=fibre)).rules)
