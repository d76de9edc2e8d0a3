"""Gathered frills."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.draft import DRAFTS, GatheredFrill, add_drafting
from firsthand.errors import FirsthandError, GeometryError, NotThere
from firsthand.pattern import EdgeRef as Ref
from firsthand.pattern import FateKind, Garment, Hand, SeamKind, cutting_line, edge_fate, part_shape, walk_seam

Maker = Callable[..., Garment]
INCH = 25.4
HEM = ("front.hem right", "back.hem right", "back.hem left", "front.hem left")


def test_published_ruffle() -> None:
    """stitchcoach, 'How to estimate ruffles and gathers', 2017: a seam of 15 in at 2.5 times needs 37.5 in of strip; with
    about 2 in of slack and 1 in for two seams 40.5."""
    figures = GatheredFrill("frill", 100, length=15 * INCH, fullness=2.5, join=0.5 * INCH).draft(None).figures
    assert figures["strip"] / INCH == pytest.approx(37.5)
    slack = GatheredFrill("frill", 100, length=15 * INCH, fullness=2.5, join=0.5 * INCH, slack=2 * INCH).draft(None).figures
    assert slack["cut length"] / INCH == pytest.approx(40.5)


def test_published_bed_skirt() -> None:
    """Julie M, 'Bed skirts': sides of 80, 80 and 60 in, 3 times as full, 20 in drop, 2 1/2 in hem, 1/2 in at the top, cloth
    54 in wide: 660 in of strip cut 23 in deep; 12.22 widths, of which only whole ones can be cut."""
    frill = GatheredFrill(
        "skirt", 20 * INCH, length=220 * INCH, fullness=3, width=54 * INCH, join=0, hem=2.5 * INCH, top=0.5 * INCH
    )
    drafting = frill.draft(None)
    figures = drafting.figures
    assert figures["strip"] / INCH == pytest.approx(660)
    assert figures["cut depth"] / INCH == pytest.approx(23)
    assert figures["strip count"] == 13
    assert figures["cloth"] / INCH == pytest.approx(299)
    assert drafting.piece.cuts[0].count == 13
    box = cutting_line(drafting.piece.drawn_shape).bounds
    assert (box.width, box.height) == pytest.approx((660 * INCH / 13, 23 * INCH))


def test_fractional_strips_do_not_exist() -> None:
    """A workroom page cuts 3.09 widths of 54 in for a strip of 167 in; four are needed (flagged as wrong in its source)."""
    frill = GatheredFrill("f", 12 * INCH, length=140 * INCH, strip=167 * INCH, width=54 * INCH, join=0, hem=0, top=0)
    figures = frill.draft(None).figures
    assert figures["strip count"] == 4
    assert figures["cloth"] / INCH == pytest.approx(48)


def test_joins_take_from_the_width() -> None:
    """n = ceil(ratio x edge / (usable width - joins)): 2.8 m of strip in cloth of 1.4 m need a third strip for the joins."""
    assert GatheredFrill("f", 80, length=1400, fullness=2, width=1400, join=0).draft(None).figures["strip count"] == 2
    assert GatheredFrill("f", 80, length=1400, fullness=2, width=1400, join=10).draft(None).figures["strip count"] == 3


@pytest.mark.parametrize(("fullness", "told"), [(1.2, True), (1.25, False), (3.0, False), (3.4, True)])
def test_a_fullness_that_no_frill_in_print_has_is_doubted(fullness: float, told: bool) -> None:
    findings = GatheredFrill("f", 80, length=1400, fullness=fullness).draft(None).findings
    assert [finding.code for finding in findings] == ["frill-fullness"] * told
    assert all(f"{fullness:.2f} times as long as its edge" in finding.message for finding in findings)


@settings(max_examples=40)
@given(length=st.floats(100, 5000), fullness=st.floats(1.3, 3), width=st.floats(400, 1600), join=st.floats(0, 20))
def test_solved_both_ways(length: float, fullness: float, width: float, join: float) -> None:
    there = GatheredFrill("f", 80, length=length, fullness=fullness, width=width, join=join).draft(None).figures
    back = GatheredFrill("f", 80, length=length, strip=there["strip"], width=width, join=join).draft(None).figures
    assert back["fullness ratio"] == pytest.approx(fullness)
    assert back["strip count"] == there["strip count"]
    assert there["cut length"] <= width + 1e-6
    assert (there["strip count"] - 1) * (width - 2 * join) < there["strip"] + 1e-6


@pytest.mark.parametrize("width", [0.0, 1400.0, 700.0])
@pytest.mark.parametrize("closed", [True, False])
def test_sewn_to_a_hem_in_the_round(make_skirt: Maker, width: float, closed: bool) -> None:
    skirt = make_skirt()
    drafting = GatheredFrill("frill", 90, onto=HEM, fullness=2, width=width, closed=closed).draft(skirt)
    done = add_drafting(skirt, drafting)
    gathered = drafting.seams[0]
    assert (gathered.kind, gathered.ratio) == (SeamKind.GATHERED, pytest.approx(2))
    for seam in drafting.seams:
        walk = walk_seam(done, seam)
        assert walk.difference == pytest.approx(0, abs=1e-6)
        assert all(abs(gap.gap) < 1e-3 for gap in walk.notch_gaps), walk.notch_gaps
    count = int(drafting.figures["strip count"])
    assert len(done.parts_of("frill")) == count
    assert len(drafting.seams) == 1 + count - (0 if closed else 1)
    for part in done.parts_of("frill"):
        for edge in part_shape(done, part).edges:
            fate = edge_fate(done, Ref("frill", edge.id, Hand.CENTRE, "shell", part.copy))
            assert fate is not None, edge.id


def test_open_ends_of_several_strips_are_hemmed(make_skirt: Maker) -> None:
    skirt = make_skirt()
    done = add_drafting(skirt, GatheredFrill("frill", 90, onto=HEM, fullness=2, width=700).draft(skirt))
    count = len(done.parts_of("frill"))
    free = [Ref("frill", "left", copy=1), Ref("frill", "right", copy=count)]
    assert [fate.kind for ref in free if (fate := edge_fate(done, ref))] == [FateKind.HEM, FateKind.HEM]


def test_the_gathered_edge_lies_above_the_hem() -> None:
    shape = GatheredFrill("f", 90, length=500, fullness=2).draft(None).piece.drawn_shape
    assert shape.edge("gathers").path.start.y == pytest.approx(shape.edge("hem").path.start.y + 90)
    assert shape.outline.area == pytest.approx(90 * 1000)
    along = GatheredFrill("f", 90, length=500, fullness=2, along=True).draft(None).piece.drawn_shape
    assert along.outline.bounds.height == pytest.approx(1000)


def test_unusual_fullness_is_noticed() -> None:
    for fullness, found in ((1.1, 1), (1.25, 0), (3.0, 0), (4.0, 1)):
        assert len(GatheredFrill("f", 90, length=500, fullness=fullness).draft(None).findings) == found


@pytest.mark.parametrize(
    ("frill", "error"),
    [
        (GatheredFrill("f", 0, length=100, fullness=2), GeometryError),
        (GatheredFrill("f", 90, length=100), GeometryError),
        (GatheredFrill("f", 90, length=100, fullness=2, strip=200), GeometryError),
        (GatheredFrill("f", 90, length=100, fullness=0.9), GeometryError),
        (GatheredFrill("f", 90, length=100, strip=100), GeometryError),
        (GatheredFrill("f", 90, fullness=2), GeometryError),
        (GatheredFrill("f", 90, length=math.nan, fullness=2), GeometryError),
        (GatheredFrill("f", 90, length=100, fullness=math.inf), GeometryError),
        (GatheredFrill("f", 90, length=100, fullness=2, width=15, join=10), GeometryError),
        (GatheredFrill("f", 90, length=100, fullness=2, hem=-1), GeometryError),
        (GatheredFrill("f", 90, onto=("front.frill right",), fullness=2), NotThere),
    ],
)
def test_senseless_frills_are_refused(make_skirt: Maker, frill: GatheredFrill, error: type[FirsthandError]) -> None:
    with pytest.raises(error):
        frill.draft(make_skirt())


def test_from_what_people_write() -> None:
    from pydantic import TypeAdapter

    from firsthand.units import Unit

    read = TypeAdapter(DRAFTS["gathered-frill"]).validate_python
    written = {"id": "f", "depth": "3 in", "length": 50, "fullness": "250 %", "width": 140}
    assert read(written, context={"units": Unit.CM}) == GatheredFrill("f", 76.2, length=500, fullness=2.5, width=1400)
