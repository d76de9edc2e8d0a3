"""What a cloth other than the pattern expects does, on a tube whose girths are known in closed form."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from firsthand.alter import ALTERATIONS, apply_stack
from firsthand.body import Body
from firsthand.demo import demo_patterns
from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, Structure
from firsthand.findings import Block, Severity
from firsthand.fit import ease_table
from firsthand.fit.cloth import cloth_fit, grows_by, mmhg
from firsthand.fit.model import ClothFit, Suggested
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    Level,
    Part,
    Piece,
    Seam,
    Shape,
    girth,
    make_garment,
    parts_of_piece,
    sewn_length,
)
from firsthand.steps import Machines, garment_steps

Maker = Callable[..., Garment]
Bodies = Callable[..., Body]

KNIT = Fabric(
    "v", "Velour", 1500, structure=Structure.KNIT, stretch_across=0.6, stretch_along=0.25, growth=0.03, tension=80.0,
    tension_at=0.2,
)  # fmt: skip
WOVEN = Fabric("w", "Twill", 1400, thickness=0.0)


def fitted(
    garment: Garment, body: Body, fabric: Fabric | None = KNIT, *, expects: float = 0.25, thickness: float = 0.0, **more: object
) -> ClothFit:
    cloth = fabric or WOVEN
    rows = ease_table(garment, body, stretch=cloth.stretch_across, thickness=cloth.thickness)
    asked = {"fabric": fabric, "pattern_stretch": expects, "pattern_thickness": thickness, "rows": rows}
    return cloth_fit(garment, body, **asked, **more)  # type: ignore[arg-type]


def applied(garment: Garment, suggested: tuple[Suggested, ...]) -> Garment:
    stack = [ALTERATIONS[one.kind](id=one.id, **one.fields) for one in suggested]  # type: ignore[call-arg]
    result = apply_stack(garment, stack)
    assert len(result.records) == len(stack), [finding.message for finding in result.findings]
    return result.garment


def girths(garment: Garment) -> dict[str, float]:
    return {level.id: girth(garment, level).total or 0.0 for level in garment.levels}


def codes(fit: ClothFit) -> list[str]:
    return [finding.code for finding in fit.findings]


@pytest.fixture
def wearer(make_body: Bodies) -> Body:
    return make_body(bust_girth=900, waist_girth=740, hip_girth=960)


@pytest.fixture
def hose(make_tube: Maker) -> Garment:
    """Drafted five per cent smaller than the wearer, for a knit that gives a quarter."""
    return make_tube(bust=855, waist=703, hip=912, cut="skin-tight", sort="hose")


def test_a_stretchier_cloth_is_cut_smaller_by_what_the_pattern_lacks(hose: Garment, wearer: Body) -> None:
    """The pattern has 5 % already. For a stretch of 60 % the cut wants 8 to 15 % of the body: 11.5 %, so 900 x 0.885."""
    fit = fitted(hose, wearer)
    targets = {row.level: row.target for row in fit.rows}
    assert targets == pytest.approx({"bust": 796.5, "waist": 654.9, "hip": 849.6})
    (stretch,) = fit.alterations
    assert stretch.kind == "stretch"
    assert dict(stretch.fields["across"]) == pytest.approx(dict.fromkeys(targets, 1 - 0.885 / 0.95), abs=2e-5)  # type: ignore[arg-type]
    assert fit.rows[0].target_strain == pytest.approx(1 / 0.885 - 1)
    assert fit.rows[0].strain == pytest.approx(1 / 0.95 - 1)
    assert fit.rows[0].used == pytest.approx((1 / 0.95 - 1) / 0.6)
    assert "cloth-correction" in codes(fit)


def test_what_was_promised_is_what_comes_out(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer)
    after = applied(hose, fit.alterations)
    assert girths(after) == pytest.approx({row.level: row.target for row in fit.rows}, abs=0.5)
    again = fitted(after, wearer)
    assert again.alterations == (), "what is right is not reduced twice"
    assert "no correction" in again.words


def test_the_working_is_told_line_by_line(hose: Garment, wearer: Body) -> None:
    (found,) = [finding for finding in fitted(hose, wearer).findings if finding.code == "cloth-correction"]
    told = "\n".join(found.why)
    for words in (
        "stretch round the body 60 %",
        "expects 25 %",
        "at most a third is used up: 20 %",
        "⟨796.5 mm⟩",
        "13 % of strain",
    ):
        assert words in told


def test_lengthwise_a_quarter_of_it_where_the_cloth_gives(hose: Garment, wearer: Body) -> None:
    (stretch,) = fitted(hose, wearer).alterations
    assert stretch.fields["along"] == pytest.approx((1 - 0.885 / 0.95) / 4, abs=1e-4)
    (stiff,) = fitted(hose, wearer, replace(KNIT, stretch_along=0.05)).alterations
    assert "along" not in stiff.fields


def test_nothing_is_taken_out_lengthwise_where_a_length_is_short(make_body: Bodies) -> None:
    """Hose: from waist to waist through the fork they measure less than a long body, and the other way for a short one."""
    trunks = make_garment(demo_patterns()["hose"], "M", id="hose", cut="skin-tight", sort="hose")
    sizes = {"waist_girth": 760.0, "hip_girth": 1010.0, "thigh_girth": 595.0, "calf_girth": 370.0}
    for crotch, shorter in ((800.0, False), (600.0, True)):
        fit = fitted(trunks, make_body(**sizes, crotch_length=crotch))
        assert ("along" in fit.alterations[0].fields) == shorter
        assert any("short already" in line for line in fit.why) != shorter


def test_a_cloth_as_expected_needs_nothing(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer, replace(KNIT, stretch_across=0.27))
    assert fit.alterations == ()
    assert all(row.reduction == 0 and row.target is None for row in fit.rows)


def test_a_share_of_ones_own(hose: Garment, wearer: Body) -> None:
    """Half of 30 % is a strain of 15 %: body / 1.15."""
    fit = fitted(hose, wearer, replace(KNIT, stretch_across=0.3), expects=0.3, share=0.5)
    assert [row.target for row in fit.rows] == pytest.approx([900 / 1.15, 740 / 1.15, 960 / 1.15])


@pytest.mark.parametrize("share", [-0.1, 0.7, math.nan])
def test_a_share_beyond_what_any_source_says(hose: Garment, wearer: Body, share: float) -> None:
    with pytest.raises(GeometryError):
        fitted(hose, wearer, share=share)


@pytest.mark.parametrize("expects", [-0.1, math.nan, math.inf])
def test_an_expectation_without_sense(hose: Garment, wearer: Body, expects: float) -> None:
    with pytest.raises(GeometryError):
        fitted(hose, wearer, expects=expects)


def test_no_cloth_bound(hose: Garment, wearer: Body) -> None:
    assert fitted(hose, wearer, None).rows == ()


def test_a_fixed_reduction_is_a_larger_strain(make_tube: Maker, wearer: Body) -> None:
    """AUTEX Research Journal 2020 (aut-2020-0048): pressure garments 10 and 20 % smaller, strains of 11.1 and 25 %."""
    for reduction, strain in ((0.10, 0.11111), (0.20, 0.25)):
        tube = make_tube(bust=900 * (1 - reduction), cut="skin-tight", sort="hose")
        assert fitted(tube, wearer).rows[0].strain == pytest.approx(strain, abs=1e-5)


def test_a_bodysuit_that_does_not_reach(make_tube: Maker, make_body: Bodies) -> None:
    """untitledthoughts.com, How to choose a size with negative ease, size C in a knit of 30 %: 28, 23.5 and 32 in on a body of
    37, 28.5 and 36 in. 28 x 1.3 = 36.4 in falls short of the bust; waist and hip reach."""
    inch = 25.4
    suit = make_tube(bust=28 * inch, waist=23.5 * inch, hip=32 * inch, cut="skin-tight", sort="leotard")
    body = make_body(bust_girth=37 * inch, waist_girth=28.5 * inch, hip_girth=36 * inch)
    fit = fitted(suit, body, replace(KNIT, stretch_across=0.3), expects=0.3)
    found = [finding for finding in fit.findings if finding.code == "cloth-no-reach"]
    assert [finding.where for finding in found] == [("tube", "bust")]
    assert found[0].severity is Severity.FAULT
    assert found[0].blocks == (Block("cut", "tube"),)
    assert "⟨924.56 mm⟩" in found[0].message, "36.4 in"
    assert "⟨722.923077 mm⟩" in found[0].remedy, "37 in / 1.3"
    assert "opening" in found[0].remedy
    assert [finding.where[1] for finding in fit.findings if finding.code == "cloth-strained"] == ["waist", "hip"]


@pytest.mark.parametrize(("hip", "size"), [(930.0, "M"), (960.0, "L"), (1010.0, "")])
def test_a_size_that_would_go_on_is_named(make_body: Bodies, hip: float, size: str) -> None:
    """The hose are 912, 950 and 988 mm round the hip in their three sizes: 95 % of the bodies they are meant for."""
    trunks = make_garment(demo_patterns()["hose"], "S", id="hose", cut="skin-tight", sort="hose")
    (found,) = [one for one in fitted(trunks, make_body(hip_girth=hip), WOVEN).findings if one.code == "cloth-no-reach"]
    assert f"size {size} has it" in found.remedy if size else "has it" not in found.remedy


def test_a_stretch_pattern_in_a_woven_is_let_out(hose: Garment, wearer: Body) -> None:
    """Skin-tight in a cloth that does not stretch: nothing to 13 mm of ease (common practice), so 6.5 mm."""
    fit = fitted(hose, wearer, WOVEN)
    assert [row.target for row in fit.rows] == pytest.approx([906.5, 746.5, 966.5])
    assert girths(applied(hose, fit.alterations)) == pytest.approx({row.level: row.target for row in fit.rows}, abs=0.5)
    assert "larger" in fit.words
    assert [finding.where[1] for finding in fit.findings if finding.code == "cloth-no-reach"] == ["bust", "waist", "hip"]


def test_a_loose_garment_is_not_made_smaller_for_a_stretchy_cloth(make_tube: Maker, wearer: Body) -> None:
    fit = fitted(make_tube(bust=1000, waist=900, hip=1050), wearer, expects=0.0)
    assert fit.alterations == ()
    assert fit.findings == ()


@settings(max_examples=25, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(less=st.floats(0, 2), more=st.floats(0, 1))
def test_more_stretch_never_asks_for_more_cloth(make_tube: Maker, make_body: Bodies, less: float, more: float) -> None:
    body = make_body(bust_girth=900, waist_girth=740, hip_girth=960)
    tube = make_tube(bust=855, waist=703, hip=912, cut="skin-tight", sort="hose")
    there = [
        fitted(tube, body, replace(KNIT, structure=Structure.WOVEN, stretch_across=one, tension=0, tension_at=0), expects=5.0)
        for one in (less, less + more)
    ]
    for first, second in zip(*(fit.rows for fit in there), strict=True):
        assert (second.target or second.finished or 0) <= (first.target or first.finished or 0) + 1e-6


@settings(max_examples=25, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(
    stretch=st.floats(0, 1.5), expects=st.floats(0, 1.0), ease=st.floats(-0.2, 0.1), bust=st.floats(700, 1400),
    hip=st.floats(-200, 300), share=st.one_of(st.none(), st.floats(0, 2 / 3)),
)  # fmt: skip
def test_whatever_the_cloth_it_reaches_round_and_comes_out_as_promised(
    make_tube: Maker,
    make_body: Bodies,
    stretch: float,
    expects: float,
    ease: float,
    bust: float,
    hip: float,
    share: float | None,
) -> None:
    """Also a hip two sizes above the bust: never tighter than the share allows, and within half a millimetre."""
    body = make_body(bust_girth=bust, waist_girth=bust * 0.8, hip_girth=bust + hip)
    sizes = {name: value * (1 + ease) for name, value in (("bust", bust), ("waist", bust * 0.8), ("hip", bust + hip))}
    tube = make_tube(**sizes, cut="skin-tight", sort="hose")
    fit = fitted(tube, body, replace(KNIT, structure=Structure.WOVEN, stretch_across=stretch), expects=expects, share=share)
    for row in fit.rows:
        if row.target is not None and row.body is not None:
            assert row.body / row.target - 1 <= (1 / 3 if share is None else share) * stretch + 1e-9
            assert row.target_pressure is None or mmhg(row.target_pressure[1]) <= 10 + 1e-6
    if fit.alterations:
        after = girths(applied(tube, fit.alterations))
        assert all(abs(after[row.level] - row.target) <= 0.5 for row in fit.rows if row.target is not None)


# the neck ---------------------------------------------------------------------------------------------------


@settings(max_examples=20, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(stretch=st.floats(0, 1.5), neck=st.floats(250, 500), expects=st.floats(0, 1), share=st.floats(0, 2 / 3))
def test_the_neck_is_never_cut_smaller_nor_pressed(
    make_tube: Maker, make_body: Bodies, stretch: float, neck: float, expects: float, share: float
) -> None:
    tube = make_tube(bust=400, waist=800, hip=900, cut="skin-tight", sort="leotard")
    tube = replace(tube, levels=(Level("bust", "Neck", "neck_girth"), *tube.levels[1:]))
    body = make_body(neck_girth=neck, waist_girth=840, hip_girth=950)
    fit = fitted(tube, body, replace(KNIT, stretch_across=max(stretch, 0.01)), expects=expects, share=share)
    row = fit.rows[0]
    assert row.pressure is None
    assert row.target_pressure is None
    after = girths(applied(tube, fit.alterations)) if fit.alterations else girths(tube)
    assert after["bust"] >= min(400.0, max(neck, 400.0)) - 0.05
    if row.target is not None:
        assert row.target >= neck


def _with_neckline(tube: Garment) -> Garment:
    """The tube's upper edge is a neckline."""
    changed = {}
    for name, piece in tube.pieces.items():
        shape = piece.drawn_shape
        edges = tuple(replace(edge, id="neck") if edge.id == "top" else edge for edge in shape.edges)
        changed[name] = replace(piece, shape=replace(shape, edges=edges))
    return replace(tube, pieces=changed)


def _neck(garment: Garment) -> float:
    return sum(sewn_length(piece.drawn_shape, "neck") for piece in garment.pieces.values())


def test_a_neckline_that_would_shrink_is_lowered(hose: Garment, wearer: Body) -> None:
    suit = _with_neckline(hose)
    fit = fitted(suit, wearer, share=0.1)
    assert [one.kind for one in fit.alterations] == ["stretch", "neckline"]
    assert "the neckline lowered by" in fit.words
    after = applied(suit, fit.alterations)
    assert _neck(suit) - 0.1 <= _neck(after) <= _neck(suit) + 1
    assert girths(after) == pytest.approx({row.level: row.target for row in fit.rows}, abs=0.5)


def test_a_neckline_that_would_have_to_be_lowered_far_stays_and_that_is_said(hose: Garment, wearer: Body) -> None:
    fit = fitted(_with_neckline(hose), wearer)
    (found,) = [finding for finding in fit.findings if finding.code == "cloth-not-corrected"]
    assert "neckline would become smaller" in found.message
    assert fit.alterations == ()


# pressure ---------------------------------------------------------------------------------------------------


def test_pressure_by_hand(hose: Garment, wearer: Body) -> None:
    """80 N/m at 20 % is 400 N/m x strain; 1/0.95 - 1 of it round 900 mm: 21.05 x 2 pi / 900 kPa, 0.58 to 1.25 times that."""
    low, high = fitted(hose, wearer).rows[0].pressure or (0, 0)
    law = 400 * (1 / 0.95 - 1) * 2 * math.pi / 900
    assert (low, high) == pytest.approx((0.58 * law, 1.25 * law))


def test_two_layers_add_and_a_stiff_one_holds(hose: Garment, wearer: Body) -> None:
    lined = replace(hose, parts=(*hose.parts, Part("front", Hand.CENTRE, "lining")))
    single = fitted(hose, wearer).rows[0].pressure or (0, 0)
    double = fitted(lined, wearer, layers={"lining": KNIT}).rows[0].pressure or (0, 0)
    assert double == pytest.approx((2 * single[0], 2 * single[1]))
    held = fitted(lined, wearer, layers={"lining": WOVEN})
    assert held.rows[0].available == 0
    assert held.rows[0].pressure is None, "nobody pulled the lining"
    assert "cloth-stiff-layer" in codes(held)


def test_pressure_only_as_far_as_it_was_pulled(hose: Garment, wearer: Body) -> None:
    assert fitted(hose, wearer, replace(KNIT, tension=0.0, tension_at=0.0)).rows[0].pressure is None
    short = fitted(hose, wearer, replace(KNIT, tension_at=0.03)).rows[0]
    assert short.pressure is None
    assert any("pulled to 3 % only" in line for line in short.why)


def test_high_pressure_is_cautioned_and_never_proposed(hose: Garment, wearer: Body) -> None:
    strong = replace(KNIT, tension=1500.0)
    fit = fitted(hose, wearer, strong)
    (waist,) = [finding for finding in fit.findings if finding.code == "cloth-presses" and finding.where[1] == "waist"]
    assert waist.severity is Severity.DOUBT
    assert "numb" in waist.remedy
    assert "doctor" in waist.remedy
    for row in fit.rows:
        assert row.target_pressure is None or mmhg(row.target_pressure[1]) <= 10 + 1e-6
    assert all((row.target or 0) > row.finished for row in fit.rows if row.finished), "cut larger, although it would stretch"


def test_the_smallest_girth_is_pressed_hardest(hose: Garment, wearer: Body) -> None:
    pressures = {row.level: row.pressure for row in fitted(hose, wearer).rows}
    assert max(pressures, key=lambda level: pressures[level] or (0, 0)) == "waist"


def test_nothing_is_stretched_on_a_child(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, replace(wearer, child=True, table=""))
    assert all((row.target_strain or 0) <= 1e-9 for row in fit.rows)
    assert "cloth-presses" in codes(fit), "as it is, it would press"


# directions, recovery, ways, seams ---------------------------------------------------------------------------


def test_a_cloth_that_stretches_most_lengthwise(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer, replace(KNIT, stretch_across=0.3, stretch_along=0.8))
    (found,) = [finding for finding in fit.findings if finding.code == "cloth-other-way"]
    assert "Turn the layout" in found.remedy


def test_a_level_along_the_grain_has_the_lengthwise_stretch(hose: Garment, wearer: Body) -> None:
    turned = {}
    for name, piece in hose.pieces.items():
        shape = piece.drawn_shape
        middle = shape.grain[0]
        turned[name] = replace(piece, shape=replace(shape, grain=(middle, middle + (shape.grain[1] - middle).left)))
    row = fitted(replace(hose, pieces=turned), wearer).rows[0]
    assert row.available == pytest.approx(0.25)
    assert row.pressure is None, "the strip was pulled the other way"


def test_a_cloth_that_grows_bags_out(make_tube: Maker, wearer: Body) -> None:
    tight = make_tube(bust=800, waist=650, hip=850, cut="skin-tight", sort="hose")
    fit = fitted(tight, wearer, replace(KNIT, growth=0.08))
    assert "cloth-grows" in codes(fit)
    assert next(way.id for way in fit.ways if way.advised) == "toile"


def test_three_ways_where_it_is_uncertain(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer, replace(KNIT, growth=None))
    assert [way.id for way in fit.ways] == ["cut", "inlays", "toile"]
    (advised,) = [way for way in fit.ways if way.advised]
    assert advised.id == "inlays"
    assert "recovers" in advised.why
    assert fit.ways[0].minutes < fit.ways[1].minutes < fit.ways[2].minutes
    assert fit.ways[0].cloth < fit.ways[1].cloth < fit.ways[2].cloth
    assert "cloth-uncertain" in codes(fit)


def test_a_knit_that_nobody_measured(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer, replace(KNIT, stretch_across=0.0))
    assert "cloth-stretch-unknown" in codes(fit)
    assert fit.alterations == ()
    assert next(way.id for way in fit.ways if way.advised) == "toile"


def test_seams_that_must_stretch(hose: Garment, wearer: Body) -> None:
    fit = fitted(hose, wearer)
    assert [(seam.seam, seam.runs) for seam in fit.seams] == [("side", "along")]
    assert "304" in fit.seams[0].stitch
    assert "cloth-seams" in codes(fit)


def test_a_missing_measurement_is_left_out(hose: Garment, make_body: Bodies) -> None:
    fit = fitted(hose, make_body(hip_girth=960))
    assert [row.target is None for row in fit.rows] == [True, True, False]
    after = girths(applied(hose, fit.alterations))
    assert after["hip"] == pytest.approx(849.6, abs=0.5)


# thickness --------------------------------------------------------------------------------------------------


def test_thick_cloth_is_let_out_round_every_level(make_tube: Maker, wearer: Body) -> None:
    """2 pi x (0.5 of a layer) x 1.6 mm = 5.03 mm round each level: geometry of a cloth whose middle lies further out."""
    coat = make_tube(bust=1000, waist=900, hip=1050)
    fit = fitted(coat, wearer, replace(WOVEN, thickness=2.2), expects=0.0, thickness=0.6)
    (thick,) = fit.alterations
    assert thick.kind == "thickness"
    before, after = girths(coat), girths(applied(coat, fit.alterations))
    assert {name: after[name] - before[name] for name in before} == pytest.approx(dict.fromkeys(before, math.pi * 1.6), abs=0.5)
    assert grows_by(1.6) == pytest.approx(math.pi * 1.6)
    assert "cloth-thick" in codes(fit)


def test_thin_cloth_changes_nothing(make_tube: Maker, wearer: Body) -> None:
    fit = fitted(make_tube(), wearer, replace(WOVEN, thickness=0.5), expects=0.0, thickness=0.6)
    assert fit.alterations == ()


def test_the_outer_layer_of_a_collar_gets_its_turn_of_cloth(make_tube: Maker, wearer: Body) -> None:
    """At a turned edge the outer layer grows by three thicknesses of what the pattern does not expect: 3 x 1.6 mm."""
    corners = [Point(0, 0), Point(200, 0), Point(200, 60), Point(0, 60)]
    names = ("stand", "end", "outer", "back")
    ends = [*corners[1:], corners[0]]
    edges = tuple(Edge(name, Corner(name), Path.line(a, b)) for name, a, b in zip(names, corners, ends, strict=True))
    shape = Shape(edges, (Point(50, 5), Point(50, 55)))
    collar = Piece("collar", "", "Collar", (Cut("shell", How.PAIR, 2),), sizes={"M": shape}, size="M", shape=shape)
    coat = make_tube(bust=1000, waist=900, hip=1050)
    layers = [(EdgeRef("collar", "outer", Hand.RIGHT, "shell", copy),) for copy in (1, 2)]
    coat = replace(
        coat,
        pieces={**coat.pieces, "collar": collar},
        parts=(*coat.parts, *parts_of_piece(collar)),
        seams=(*coat.seams, Seam("collar outer", *layers)),
    )
    fit = fitted(coat, wearer, replace(WOVEN, thickness=2.2), expects=0.0, thickness=0.6)
    turn = next(one for one in fit.alterations if one.kind == "turn-of-cloth")
    assert turn.fields == {"piece": "collar", "thickness": pytest.approx(1.6), "edges": ("outer",)}
    assert any("⟨4.8 mm⟩" in line for line in fit.why)
    assert "turn of cloth of collar" in next(one.message for one in fit.findings if one.code == "cloth-thick")


def test_the_steps_of_all_seams_that_must_stretch_name_a_stitch_that_does(make_body: Bodies) -> None:
    """A straight lockstitch (301) breaks on strong stretch, a zigzag (304) or an overlock does not: common practice."""
    trunks = make_garment(demo_patterns()["hose"], "M", id="hose", roles={"shell": "v"}, cut="skin-tight", sort="hose")
    body = make_body(waist_girth=760, hip_girth=1010, thigh_girth=595, calf_girth=370)
    names = {seam.seam for seam in fitted(trunks, body).seams}
    assert names == {"side", "inseam", "crotch", "hem of front", "hem of back"}
    steps = garment_steps(trunks, {"v": KNIT}, Machines())
    sewn = [step for step in steps if "/seam/" in step.id or "/hem/" in step.id]
    assert len(sewn) >= len(names)
    assert {step.setup.stitch for step in sewn if step.setup} == {"narrow zigzag"}


def test_a_pull_without_its_stretch_says_nothing_of_pressure(hose: Garment, wearer: Body) -> None:
    made = fitted(hose, wearer, replace(KNIT, tension_at=0.0))
    assert all(row.pressure is None for row in made.rows)
