"""Cut smaller for stretch: by level across, lengthwise apart."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plausible import plausible_garment

from firsthand.alter import CutForStretch, apply_stack
from firsthand.demo import demo_patterns
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Line, Path, Point, intersections
from firsthand.pattern import Garment, LevelLine, Shape, check_garment, girth, make_garment, walk_seam

Maker = Callable[..., Garment]


def with_levels(garment: Garment, **heights: float) -> Garment:
    """Levels added to every piece at heights above the hem."""
    for name, piece in garment.pieces.items():
        shape = piece.drawn_shape
        more = tuple(LevelLine(level, Point(10, y), Point(150, y)) for level, y in heights.items())
        garment = garment.with_piece(replace(garment.pieces[name], shape=replace(shape, levels=shape.levels + more)))
    return garment


def test_fixed_reductions_of_pressure_garments(make_leg: Maker) -> None:
    """AUTEX Research Journal 2020, doi 10.2478/aut-2020-0048: pattern = body x (1 - p); 10 % is 11.1 % of strain when worn."""
    legs = make_leg()
    before = girth(legs, legs.levels[0]).total
    for share, strain in ((0.10, 11.11111), (0.20, 25.0)):
        cut = CutForStretch(across=(("middle", share),)).apply(legs).garment
        after = girth(cut, cut.levels[0]).total
        assert before is not None
        assert after is not None
        assert after / before == pytest.approx(1 - share, abs=1e-9)
        assert (before / after - 1) * 100 == pytest.approx(strain, abs=1e-4)


def test_lengthwise_apart_from_across(make_leg: Maker) -> None:
    legs = make_leg()
    cut = CutForStretch(across=(("middle", 0.1),), along=0.02).apply(legs)
    box = cut.garment.piece("front").drawn_shape.outline.bounds
    assert [box.width, box.height] == pytest.approx([180, 588])
    assert all(isinstance(segment, Line) for edge in cut.garment.piece("front").drawn_shape.edges for segment in edge.path)
    where = cut.record.position("front", "inner", 300.0)
    assert where is not None
    assert where[2] == pytest.approx(294.0)
    assert cut.record.words == "Cut smaller for stretch: 10 % at the middle, 2 % lengthwise"


def test_each_level_has_its_own_share_and_all_between_is_smooth(make_leg: Maker) -> None:
    legs = with_levels(make_leg(bulge=20.0), low=100.0, high=500.0)
    cut = CutForStretch(across=(("low", 0.05), ("high", 0.15))).apply(legs).garment
    old, new = legs.piece("front").drawn_shape, cut.piece("front").drawn_shape
    assert girth_at(new, 100.0) == pytest.approx(girth_at(old, 100.0) * 0.95, abs=0.02)
    assert girth_at(new, 500.0) == pytest.approx(girth_at(old, 500.0) * 0.85, abs=0.02)
    assert girth_at(new, 300.0) == pytest.approx(girth_at(old, 300.0) * 0.90, abs=0.02)
    edge = new.edge("outer").path
    for one, two in zip(edge.segments, edge.segments[1:], strict=False):
        assert one.tangent(1.0).distance(two.tangent(0.0)) < 1e-6  # no kink


def girth_at(shape: Shape, height: float) -> float:
    across = intersections(shape.outline, Path.line(Point(-500, height), Point(800, height)))
    xs = sorted(crossing.point.x for crossing in across)
    return xs[-1] - xs[0]


def levels_of(garment: Garment) -> list[str]:
    return sorted({line.level for piece in garment.pieces.values() if piece.shape for line in piece.shape.levels})


def shares_for(garment: Garment, seed: int, most: float) -> CutForStretch:
    """Shares at some of the levels, and lengthwise."""
    random = Random(seed)
    across = tuple((level, random.uniform(-most, most)) for level in levels_of(garment) if random.random() < 0.7)
    return CutForStretch(across=across, along=random.uniform(-most, most) / 2)


def differences(garment: Garment) -> dict[str, float]:
    """By how much seams that fit are off."""
    drawn = {name for name, piece in garment.pieces.items() if piece.shape}
    walks = [walk_seam(garment, s) for s in garment.seams if all(ref.piece in drawn for ref in (*s.a, *s.b))]
    return {walk.seam.id: walk.difference for walk in walks if walk.fits}


def still_fits(before: Garment, entry: CutForStretch) -> bool:
    """Whether it was done; then every seam that fitted fits within half a millimetre."""
    result = apply_stack(before, [entry])
    after = differences(result.garment)
    for seam in differences(before) if result.records else ():
        assert abs(after.get(seam, math.inf)) <= 0.5, (seam, after.get(seam))
    return bool(result.records)


@given(st.sampled_from([name for name in demo_patterns() if name not in ("hood", "ruff")]), st.integers(0, 2**32 - 1))
def test_seams_of_the_demo_that_fitted_fit_within_half_a_millimetre(name: str, seed: int) -> None:
    pattern = demo_patterns()[name]
    garment = make_garment(pattern, id=name, size=pattern.sizes[seed % len(pattern.sizes)])
    assert still_fits(garment, shares_for(garment, seed, 0.2))


@given(st.integers(0, 2**32 - 1))
def test_seams_of_any_garment_that_fitted_fit_within_half_a_millimetre(seed: int) -> None:
    garment = plausible_garment(seed)
    assert still_fits(garment, shares_for(garment, seed, 0.15))


def test_what_is_evened_is_shared_and_told() -> None:
    """Different shares at bust, waist and hip leave the sides of the jerkin by some millimetres unlike; each gives half."""
    pattern = demo_patterns()["jerkin"]
    jerkin = make_garment(pattern, id="jerkin", size=pattern.sizes[0])
    altered = CutForStretch(across=(("bust", 0.04), ("hip", 0.08), ("waist", 0.12)), along=0.03).apply(jerkin)
    assert "seams evened by at most" in altered.record.words
    assert 1.5 < altered.record.figures["side evened"] < 4.0
    assert abs(differences(altered.garment)["side right"]) < 0.06
    where = altered.record.position("front", "side", 100.0)
    assert where is not None
    assert where[:2] == ("front", "side")


def test_a_gathered_side_keeps_its_ratio() -> None:
    """The sleeve of the shirt is pleated into its cuff: the cuff has the share of the wrist, the sleeve that of the arm."""
    pattern = demo_patterns()["shirt"]
    shirt = make_garment(pattern, id="shirt", size=pattern.sizes[1])
    cut = CutForStretch(across=(("upper arm", 0.02), ("wrist", 0.12))).apply(shirt).garment
    before, after = (walk_seam(one, next(s for s in one.seams if s.id == "cuff right")) for one in (shirt, cut))
    assert abs(after.difference) < 0.1
    assert after.b_length / before.b_length == pytest.approx(0.88, abs=0.01)  # the sleeve gave way, not the cuff


def test_only_seams_between_pieces_that_are_cut_smaller_are_evened(make_leg: Maker) -> None:
    legs = make_leg()
    result = apply_stack(legs, [CutForStretch(along=0.1, pieces=("front",))])
    assert result.garment.piece("front").drawn_shape.edge("outer").path.length == pytest.approx(540)
    assert "alteration-seam-off" in {finding.code for finding in result.findings}


def test_a_cap_without_levels_follows_what_it_is_sewn_to(make_leg: Maker) -> None:
    legs = make_leg()
    back = legs.piece("back")
    legs = legs.with_piece(replace(back, shape=replace(back.drawn_shape, levels=())))
    cut = CutForStretch(across=(("middle", 0.1),)).apply(legs)
    assert cut.garment.piece("back").drawn_shape.outline.bounds.width == pytest.approx(180)
    assert cut.findings == ()


def test_a_piece_that_is_not_reached_is_named(make_leg: Maker) -> None:
    legs = replace(make_leg(), seams=())
    back = legs.piece("back")
    legs = legs.with_piece(replace(back, shape=replace(back.drawn_shape, levels=())))
    (finding,) = CutForStretch(across=(("middle", 0.1),)).apply(legs).findings
    assert (finding.code, finding.where[1]) == ("stretch-not-reached", "back")


def test_the_head_of_a_sleeve_still_fits_its_armhole() -> None:
    pattern = demo_patterns()["shirt"]
    shirt = make_garment(pattern, id="shirt", size=pattern.sizes[1])
    shares = (("bust", 0.1), ("hip", 0.1), ("upper arm", 0.1), ("wrist", 0.1))
    cut = CutForStretch(across=shares, along=0.03).apply(shirt).garment
    sleeves = [seam for seam in shirt.seams if seam.id.startswith(("sleeve", "cuff"))]
    assert len(sleeves) == 8
    for seam in sleeves:
        assert abs(walk_seam(cut, seam).difference - walk_seam(shirt, seam).difference) < 0.2


def test_a_fold_stays_straight_and_the_pattern_has_no_new_faults() -> None:
    for name, pattern in demo_patterns().items():
        garment = make_garment(pattern, id=name, size=pattern.sizes[0])
        levels = {line.level for piece in garment.pieces.values() if piece.shape for line in piece.shape.levels}
        if not levels:
            continue
        shares = tuple((level, 0.02 * k) for k, level in enumerate(sorted(levels), 1))
        cut = CutForStretch(across=shares, along=0.01).apply(garment).garment
        for piece in cut.pieces.values():
            if piece.fold:
                fold = piece.drawn_shape.edge(piece.fold).path
                assert fold.length == pytest.approx(fold.start.distance(fold.end), abs=1e-9)
        codes = {f.code for f in check_garment(cut, pattern)} - {f.code for f in check_garment(garment, pattern)}
        assert codes <= {"seam-length", "seam-notches"}, (name, codes)


@pytest.mark.parametrize(
    ("entry", "error"),
    [
        (CutForStretch(across=(("middle", 8.0),)), CannotAlter),
        (CutForStretch(across=(("middle", math.nan),)), GeometryError),
        (CutForStretch(across=(("hip", 0.1),)), NotThere),
        (CutForStretch(along=0.1, pieces=("sleeve",)), NotThere),
    ],
)
def test_what_has_no_sense_is_refused(make_leg: Maker, entry: CutForStretch, error: type[Exception]) -> None:
    with pytest.raises(error):
        entry.apply(make_leg())


def test_nothing_changes_nothing(make_leg: Maker) -> None:
    legs = make_leg()
    assert CutForStretch().apply(legs).garment == legs
    assert CutForStretch(across=(("middle", 0.0),)).apply(legs).garment == legs
