"""Straight bands."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.draft import DRAFTS, Band, add_drafting
from firsthand.errors import FirsthandError, GeometryError, NotThere
from firsthand.pattern import EdgeRef as Ref
from firsthand.pattern import (
    FateKind,
    Garment,
    Hand,
    InnerLineKind,
    NotchKind,
    SeamKind,
    cutting_line,
    edge_fate,
    sewn_length,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]
INCH = 25.4
WAIST = ("front.waist right", "front.waist left", "back.waist left", "back.waist right")


def waist_of(skirt: Garment) -> float:
    return 2 * sum(sewn_length(skirt.piece(name).drawn_shape, "waist") for name in ("front", "back"))


def test_published_trouser_cuff() -> None:
    """thepinkthink, 'Sew pant cuffs': cuff 3 1/4 in high on a leg of 16 in, allowances 1/4 and 1/2 in: cut 7 by 17 in."""
    cuff = Band("cuff", 3.25 * INCH, length=16 * INCH, closed=True, pair=True, allowance=0.25 * INCH, end_allowance=0.5 * INCH)
    piece = cuff.draft(None).piece
    box = cutting_line(piece.drawn_shape).bounds
    assert (box.width / INCH, box.height / INCH) == pytest.approx((7, 17))
    assert cuff.draft(None).figures["cut depth"] == pytest.approx(7 * INCH)
    assert cuff.draft(None).figures["cut length"] == pytest.approx(17 * INCH)
    cut_off = 3.25 - 0.25  # what comes off the leg, so that it keeps its length
    assert -cut_off - 0.25 + 3.25 == 0


def test_rule_for_a_waistband() -> None:
    """skuola.net, 'Preparation and attachment of waist band': length = waist + overlap + allowances, width = 2 x depth +
    allowances. The numbers are ours: waist 70 cm, depth 3, overlap 4, allowance 1.5."""
    figures = Band("band", 30, length=700, overlap=40, allowance=15).draft(None).figures
    assert (figures["cut length"], figures["cut depth"]) == pytest.approx((770, 90))


def test_a_waistband_follows_what_it_is_sewn_to(make_skirt: Maker) -> None:
    skirt = make_skirt()
    drafting = Band("waistband", 35, onto=WAIST, overlap=30, interfaced=True).draft(skirt)
    done = add_drafting(skirt, drafting)
    assert drafting.figures["sewn length"] == pytest.approx(waist_of(skirt))
    (seam,) = drafting.seams
    walk = walk_seam(done, seam)
    assert walk.fits
    assert walk.difference == pytest.approx(0, abs=1e-6)
    assert all(abs(gap.gap) < 1e-6 for gap in walk.notch_gaps), walk.notch_gaps
    assert len(walk.notch_gaps) >= 4
    assert [part.id for part in done.parts if part.piece == "waistband"] == [
        "waistband centre shell", "waistband centre interfacing",
    ]  # fmt: skip


def test_every_edge_has_a_fate(make_skirt: Maker) -> None:
    skirt = make_skirt()
    for band in (Band("b", 35, onto=WAIST, overlap=30), Band("b", 35, onto=WAIST, doubled=False), Band("b", 35, length=500)):
        done = add_drafting(skirt, band.draft(skirt))
        for edge in done.piece("b").drawn_shape.edges:
            assert edge_fate(done, Ref("b", edge.id)) is not None, edge.id
    lap = done.piece("b").drawn_shape
    assert {line.kind for line in lap.lines} == {InnerLineKind.FOLD}


def test_it_runs_along_the_grain_unless_told(make_skirt: Maker) -> None:
    long = Band("b", 35, length=500).draft(None).piece.drawn_shape
    wide = Band("b", 35, length=500, across=True).draft(None).piece.drawn_shape
    assert (long.outline.bounds.width, long.outline.bounds.height) == pytest.approx((70, 500))
    assert (wide.outline.bounds.width, wide.outline.bounds.height) == pytest.approx((500, 70))
    for shape in (long, wide):
        assert shape.outline.area == pytest.approx(35000)
        assert shape.outline.is_closed
        assert shape.grain[0].x == pytest.approx(shape.grain[1].x)
        assert shape.grain[1].y > shape.grain[0].y


def test_notches_and_joins_are_carried_over(make_skirt: Maker) -> None:
    skirt = make_skirt(darts=False)
    drafting = Band("waistband", 35, onto=WAIST).draft(skirt)
    notches = drafting.piece.drawn_shape.notches
    assert [n.kind for n in notches].count(NotchKind.DOUBLE) == 4
    front = sewn_length(skirt.piece("front").drawn_shape, "waist")
    whole = waist_of(skirt)
    places = [n.at for n in notches]
    for join in (front, 2 * front, whole - (whole / 2 - front)):
        assert min(abs(place - at) for place in places for at in (join, whole - join)) < 1e-6
    assert places == sorted(places)


def test_cuffs_come_in_pairs_and_follow_pleats(make_sleeve: Maker) -> None:
    """260 mm less two knife pleats of 15 mm depth, which take up 30 mm each (NIMI *Dress Making*, p. 203): 200 mm."""
    sleeves = make_sleeve()
    drafting = Band("cuff", 60, onto=("sleeve.wrist right",), pair=True, overlap=25).draft(sleeves)
    done = add_drafting(sleeves, drafting)
    assert drafting.figures["sewn length"] == pytest.approx(200)
    assert [seam.id for seam in drafting.seams] == ["cuff right", "cuff left"]
    for seam in drafting.seams:
        walk = walk_seam(done, seam)
        assert walk.difference == pytest.approx(0, abs=1e-9)
        assert all(abs(gap.gap) < 1e-6 for gap in walk.notch_gaps), walk.notch_gaps
    assert [part.hand for part in done.parts_of("cuff")] == [Hand.RIGHT, Hand.LEFT]


def test_a_ring_is_sewn_end_to_end(make_sleeve: Maker) -> None:
    sleeves = make_sleeve()
    drafting = Band("cuff", 60, onto=("sleeve.wrist right",), pair=True, closed=True).draft(sleeves)
    done = add_drafting(sleeves, drafting)
    assert [seam.id for seam in drafting.seams] == ["cuff right", "cuff ends right", "cuff left", "cuff ends left"]
    assert all(walk_seam(done, seam).fits for seam in drafting.seams)


@pytest.mark.parametrize(
    ("length", "kind", "easing"),
    [
        (200.0, SeamKind.PLAIN, 0.0),
        (190.0, SeamKind.PLAIN, 10.0),
        (210.0, SeamKind.PLAIN, 10.0),
        (150.0, SeamKind.GATHERED, 0.0),
    ],
)
def test_a_band_with_its_own_length(make_sleeve: Maker, length: float, kind: SeamKind, easing: float) -> None:
    sleeves = make_sleeve()
    drafting = Band("cuff", 60, onto=("sleeve.wrist right",), pair=True, length=length).draft(sleeves)
    seam = drafting.seams[0]
    assert (seam.kind, seam.easing) == (kind, pytest.approx(easing))
    walk = walk_seam(add_drafting(sleeves, drafting), seam)
    assert walk.difference == pytest.approx(0, abs=1e-9)
    assert all(abs(gap.gap) < 1e-6 for gap in walk.notch_gaps), walk.notch_gaps


def test_a_card_gives_number_name_and_cloth(make_skirt: Maker) -> None:
    skirt = make_skirt()
    done = add_drafting(skirt, Band("band", 35, onto=WAIST).draft(skirt))
    piece = done.piece("band")
    assert (piece.number, piece.name, piece.cuts[0].role, piece.is_card) == ("7", "Waist piece", "contrast", False)
    assert done.seams[-1].a[0].role == "contrast"
    assert len(done.parts_of("band")) == 1


def test_it_follows_when_the_skirt_changes(make_skirt: Maker) -> None:
    band = Band("waistband", 35, onto=WAIST)
    small, large = (make_skirt(front=width) for width in (190.0, 230.0))
    longer = band.draft(large).figures["sewn length"] - band.draft(small).figures["sewn length"]
    assert longer == pytest.approx(waist_of(large) - waist_of(small))
    assert longer > 75


def test_drafting_again_changes_nothing(make_skirt: Maker) -> None:
    skirt, band = make_skirt(), Band("waistband", 35, onto=WAIST)
    once = add_drafting(skirt, band.draft(skirt))
    twice = add_drafting(once, band.draft(once))
    assert [s.id for s in twice.seams] == [s.id for s in once.seams]
    assert twice.parts == once.parts
    assert [n.at for n in twice.piece("waistband").drawn_shape.notches] == pytest.approx(
        [n.at for n in once.piece("waistband").drawn_shape.notches]
    )


@pytest.mark.parametrize(
    ("band", "error"),
    [
        (Band("b", 0, length=100), GeometryError),
        (Band("b", -5, length=100), GeometryError),
        (Band("b", math.nan, length=100), GeometryError),
        (Band("b", 30, length=math.inf), GeometryError),
        (Band("b", 30, length=0), GeometryError),
        (Band("b", 30), GeometryError),
        (Band("b", 30, length=100, overlap=-1), GeometryError),
        (Band("b", 30, length=100, overlap=10, closed=True), GeometryError),
        (Band("b", 30, length=100, allowance=-1), GeometryError),
        (Band("b", 30, onto=("front",)), NotThere),
        (Band("b", 30, onto=("apron.waist right",)), NotThere),
        (Band("b", 30, onto=("front.neck right",)), NotThere),
        (Band("b", 30, onto=("front.waist right lining",)), NotThere),
        (Band("b", 30, onto=("band.lower",)), NotThere),
    ],
)
def test_senseless_bands_are_refused(make_skirt: Maker, band: Band, error: type[FirsthandError]) -> None:
    with pytest.raises(error):
        band.draft(make_skirt())


def test_from_what_people_write() -> None:
    from pydantic import TypeAdapter

    from firsthand.units import Unit

    read = TypeAdapter(DRAFTS["band"]).validate_python
    written = {"id": "cuff", "depth": 6, "onto": ["sleeve.wrist right"], "overlap": "1 in", "pair": True}
    assert read(written, context={"units": Unit.CM}) == Band("cuff", 60.0, ("sleeve.wrist right",), overlap=25.4, pair=True)
    assert replace(Band("a", 1), id="b").kind == "band"


def test_free_edges(make_skirt: Maker) -> None:
    doubled, single = (Band("b", 35, length=500, doubled=two).draft(None).piece.drawn_shape for two in (True, False))
    kinds = [shape.edge("upper").fate.kind for shape in (doubled, single) if shape.edge("upper").fate]
    assert kinds == [FateKind.FACING, FateKind.HEM]


@pytest.mark.parametrize(
    ("onto", "message", "remedy"),
    [
        ("sleeve", "there is no edge called 'sleeve'", "Write PIECE.EDGE and what tells the part from others"),
        ("sleeve.wrist", "there is no part called 'sleeve.wrist'", "Add left or right behind the edge."),
    ],
)
def test_an_edge_that_is_not_there_is_told_with_what_to_write(make_sleeve: Maker, onto: str, message: str, remedy: str) -> None:
    with pytest.raises(NotThere) as caught:
        Band("b", 30, onto=(onto,)).draft(make_sleeve())
    assert str(caught.value).startswith(message)
    assert caught.value.remedy.startswith(remedy)
