"""Ease tables and their bands."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.body import Body
from firsthand.errors import GeometryError
from firsthand.fit import CUTS, EaseRow, Verdict, beneath, ease_band, ease_table, fit_garment, girth_beneath
from firsthand.geometry import Path, Point
from firsthand.pattern import Garment

Maker = Callable[..., Garment]
Bodies = Callable[..., Body]
INCH = 25.4


def row(rows: tuple[EaseRow, ...], level: str) -> EaseRow:
    return next(r for r in rows if r.level == level)


def test_ease_is_finished_less_body(make_tube: Maker, make_body: Bodies) -> None:
    rows = ease_table(make_tube(), make_body(bust_girth=880, waist_girth=760, hip_girth=940))
    assert [r.level for r in rows] == ["bust", "waist", "hip"]
    assert [r.finished for r in rows] == pytest.approx([960, 800, 1000])
    assert [r.ease for r in rows] == pytest.approx([80, 40, 60])
    assert {r.verdict for r in rows} == {Verdict.GOOD}


def test_what_is_not_known_is_said_to_be_so(make_tube: Maker, make_body: Bodies) -> None:
    tube = make_tube()
    rows = ease_table(tube, make_body(bust_girth=880))
    assert row(rows, "waist").body is None
    assert row(rows, "waist").ease is None
    assert row(rows, "waist").verdict is Verdict.UNKNOWN
    assert "no measurement waist_girth of Wearer" in row(rows, "waist").why
    card = tube.with_piece(replace(tube.piece("back"), shape=None))
    bust = row(ease_table(card, make_body(bust_girth=880)), "bust")
    assert bust.finished is None
    assert bust.verdict is Verdict.UNKNOWN
    assert any("only a card" in line for line in bust.why)


def test_layers_beneath_add_two_pi_t(make_tube: Maker, make_body: Bodies) -> None:
    """Geometry (Steiner): the parallel curve of a convex curve at distance t is longer by 2 pi t; shapely agrees."""
    import shapely

    torso = shapely.Point(0, 0).buffer(100, quad_segs=400)
    torso = shapely.affinity.scale(torso, 1.5, 1.0)
    assert torso.buffer(3, quad_segs=400).length - torso.length == pytest.approx(girth_beneath([1, 2]), abs=0.01)
    wearer = make_body(bust_girth=880, waist_girth=760, hip_girth=940)
    rows = ease_table(make_tube(), wearer, beneath=beneath([(1.0, ["bust_girth"]), (2.0, ["bust_girth", "hip_girth"])]))
    assert row(rows, "bust").body == pytest.approx(880 + 6 * math.pi)
    assert row(rows, "waist").body == pytest.approx(760)
    assert row(ease_table(make_tube(), wearer, beneath={"": 12.0}), "waist").body == pytest.approx(772)


def test_a_layer_counts_at_the_chest_where_the_other_garment_says_bust(make_tube: Maker, make_body: Bodies) -> None:
    rows = ease_table(make_tube(), make_body(chest_girth=880), beneath=beneath([(1.0, ["chest_girth"])]))
    assert row(rows, "bust").body == pytest.approx(880 + 2 * math.pi)
    assert "chest_girth stands in for bust_girth" in row(rows, "bust").why


def test_thick_cloth_lies_half_inside(make_tube: Maker, make_body: Bodies) -> None:
    rows = ease_table(make_tube(), make_body(bust_girth=880), thickness=4.0)
    assert row(rows, "bust").body == pytest.approx(880 + 4 * math.pi)


@pytest.mark.parametrize(
    ("sort", "cut", "key", "low", "high"),
    [  # Central Washington University, costume text, ch. 16 'Ease in Clothing', in inches
        ("dress", "close", "bust_girth", 1.5, 2.0),
        ("dress", "close", "waist_girth", 0.75, 1.0),
        ("skirt", "semi-fitted", "waist_girth", 0.5, 0.75),
        ("dress", "close", "hip_girth", 2.0, 2.75),
        ("shirt", "close", "chest_girth", 1.5, 2.5),
        ("trousers", "close", "hip_girth", 1.5, 2.0),
    ],
)
def test_published_bands(sort: str, cut: str, key: str, low: float, high: float) -> None:
    band = ease_band(sort, cut, key, body=900)
    assert band is not None
    assert (band.low, band.high) == pytest.approx((low * INCH, high * INCH), abs=0.7)
    assert "Central Washington University" in band.source


def test_published_least_amounts() -> None:
    """Thigh 1 in and up (same text); knee 1 in and up (older Guide C-209); woven upper arm 2 in and up (Threads, 2021)."""
    for key, least, name in (("thigh_girth", 1, "Central"), ("knee_girth", 1, "C-209"), ("upper_arm_girth", 2, "Threads")):
        band = ease_band("trousers", "semi-fitted", key, body=500)
        assert band is not None
        assert band.low == pytest.approx(least * INCH, abs=0.7)
        assert name in band.source


@pytest.mark.parametrize("cut", CUTS)
@pytest.mark.parametrize("stretch", [0.0, 0.25, 0.6, 1.2])
@pytest.mark.parametrize("sort", ["hose", "dress", "hood", "shirt", "something else"])
def test_never_tight_at_the_neck(cut: str, stretch: float, sort: str) -> None:
    for key in ("neck_girth", "neck_base_girth"):
        band = ease_band(sort, cut, key, body=360, stretch=stretch)
        assert band is not None
        assert band.low >= 0


@pytest.mark.parametrize("stretch", [0.2, 0.3, 0.5, 0.8, 1.5])
@pytest.mark.parametrize("cut", ["skin-tight", "close"])
def test_at_most_a_third_of_the_stretch_is_used_up(stretch: float, cut: str) -> None:
    """Common practice, the cautious share. The strain of a garment smaller by p is p / (1 - p)."""
    band = ease_band("hose", cut, "hip_girth", body=1000, stretch=stretch)
    assert band is not None
    assert band.low >= -1000 * stretch / 3
    assert band.low <= band.high
    assert "third" in band.source or "stretch" in band.source


def test_a_cloth_that_hardly_stretches_is_not_worn_smaller_than_the_body() -> None:
    band = ease_band("hose", "skin-tight", "hip_girth", body=1000, stretch=0.15)
    assert band is not None
    assert band.low == 0


def test_where_no_source_says_anything_there_is_no_band() -> None:
    assert ease_band("shirt", "close", "foot_length", body=250) is None


@pytest.mark.parametrize("wrong", [{"stretch": -0.1}, {"thickness": math.nan}, {"beneath": {"": -1.0}}])
def test_senseless_numbers_are_refused(make_tube: Maker, make_body: Bodies, wrong: dict[str, float]) -> None:
    with pytest.raises(GeometryError):
        ease_table(make_tube(), make_body(bust_girth=900), **wrong)  # type: ignore[arg-type]
    with pytest.raises(GeometryError):
        girth_beneath([-1])


def shortened(garment: Garment, height: float, *pieces: str) -> Garment:
    """The tube cut off so far above its hem."""
    for name in pieces:
        piece = garment.piece(name)
        shape = piece.drawn_shape
        hem, side, fold = (shape.edge(edge).path for edge in ("hem", "side", "fold"))
        at = next(float(at) for at in range(int(side.length)) if side.at(at).y >= height)
        left = Point(hem.start.x, side.at(at).y)
        cut, rest = Path.line(left, side.at(at)), side.between(at, side.length)
        for edge, path in (("hem", cut), ("side", rest), ("fold", Path.line(fold.start, left))):
            shape = shape.with_edge(replace(shape.edge(edge), path=path))
        garment = garment.with_piece(replace(piece, shape=shape))
    return garment


def test_a_garment_shortened_above_a_level_has_no_girth_there(make_tube: Maker, make_body: Bodies) -> None:
    """No girth is not a girth of nothing: it can be neither tight nor loose."""
    body = make_body(bust_girth=880, waist_girth=760, hip_girth=940)
    short = shortened(make_tube(), 300.0, "front", "back")
    hip = row(ease_table(short, body), "hip")
    assert (hip.finished, hip.ease, hip.verdict) == (None, None, Verdict.UNKNOWN)
    assert hip.note == "the garment ends above this level"
    assert hip.note in hip.why
    assert row(ease_table(short, body), "waist").finished == pytest.approx(800, abs=1.0)
    assert [f for f in fit_garment(short, body).findings if f.where == ("tube", "hip")] == []


def test_a_garment_of_which_a_piece_ends_above_a_level_has_no_girth_there(make_tube: Maker, make_body: Bodies) -> None:
    hip = row(ease_table(shortened(make_tube(), 300.0, "front"), make_body(hip_girth=940)), "hip")
    assert (hip.finished, hip.verdict) == (None, Verdict.UNKNOWN)
    assert hip.note == "front: ends above this level"
