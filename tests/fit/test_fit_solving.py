"""What is proposed, on garments whose girths are known in closed form and on bodies of all sorts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from firsthand.alter import TakeIn, apply_stack
from firsthand.body import Body
from firsthand.demo import demo_patterns
from firsthand.errors import NotThere
from firsthand.findings import Finding
from firsthand.fit import Proposal, Suggested, Verdict, ease_table, fit_garment
from firsthand.fit.solving import alteration_of, narrowed, propose
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    Level,
    LevelLine,
    PartState,
    Pattern,
    Piece,
    Seam,
    Shape,
    make_garment,
)  # fmt: skip

Maker = Callable[..., Garment]
Bodies = Callable[..., Body]
TOP, HEM, HIGH = 150.0, 90.0, 800.0
"""Half the width of a panel of the leg at its top and its hem, and its height, mm."""


def leg(cut: str = "close") -> Garment:
    """A trouser leg of two alike panels, each a trapezium: a cone when it is sewn."""
    points = [Point(-HEM, 0), Point(HEM, 0), Point(TOP, HIGH), Point(-TOP, HIGH)]
    names = ("hem", "side", "top", "inseam")
    edges = tuple(
        Edge(name, Corner(name), Path.line(a, b)) for name, a, b in zip(names, points, points[1:] + points[:1], strict=True)
    )
    marks = tuple(LevelLine(name, Point(-20, y), Point(20, y)) for name, y in (("thigh", 700.0), ("calf", 300.0)))
    shape = Shape(edges, (Point(0, 100), Point(0, 600)), levels=marks)
    pieces = {name: Piece(name, "", name, (Cut("shell", How.PAIR),), sizes={"M": shape}) for name in ("front", "back")}
    seams = tuple(
        Seam(f"{edge} {hand.value}", (EdgeRef("front", edge, hand),), (EdgeRef("back", edge, hand),), take_in=True)
        for edge in ("side", "inseam") for hand in (Hand.RIGHT, Hand.LEFT)
    )  # fmt: skip
    levels = (Level("thigh", "Thigh", "thigh_girth", limb=True), Level("calf", "Calf", "calf_girth", limb=True))
    return make_garment(Pattern("leg", "Leg", ("M",), pieces, seams, levels), "M", id="leg", cut=cut, sort="trousers")


def girth_of_leg(height: float) -> float:
    """Girth of the cone at a height: four half widths."""
    return 4 * (HEM + (TOP - HEM) * height / HIGH)


def after(garment: Garment, proposal: Proposal) -> Garment:
    """The garment with all that is proposed."""
    result = apply_stack(garment, [alteration_of(one) for one in proposal.alterations])
    assert not [one for one in result.findings if one.code == "alteration-refused"]
    return result.garment


def codes(findings: Iterable[Finding]) -> list[str]:
    return [finding.code for finding in findings]


# known in closed form -----------------------------------------------------------------------------------------


def test_a_straight_skirt_comes_to_the_very_millimetre(make_tube: Maker, make_body: Bodies) -> None:
    """Two straight panels of 520: 1040 round. Wanted 51 to 102 round a hip of 880, so 10 inside: 972, 68 less, 17 an edge."""
    skirt = make_tube(bust=1040, waist=1040, hip=1040)
    table = partial(ease_table, body=make_body(hip_girth=880))
    proposal = propose(skirt, table)
    (one,) = proposal.alterations
    assert one.fields == {"seams": ("side",), "amount": 68.0}
    assert proposal.words == "Take in ⟨68 mm⟩ at the hip: side ⟨17 mm⟩ on each edge."
    (hip,) = (row for row in table(after(skirt, proposal)) if row.level == "hip")
    assert hip.finished == pytest.approx(1040 - 68, abs=1e-6)


def test_a_cone_of_a_leg_ends_in_both_bands(make_body: Bodies) -> None:
    """An edge that leans by an angle gives its movement over the cosine of it, so the girth after is known."""
    garment = leg()
    assert [row.finished for row in ease_table(garment, make_body())] == pytest.approx([girth_of_leg(700), girth_of_leg(300)])
    wearer = make_body(thigh_girth=girth_of_leg(700) - 120, calf_girth=girth_of_leg(300) - 120)
    table = partial(ease_table, body=wearer)
    proposal = propose(garment, table)
    slant = math.hypot(HIGH, TOP - HEM) / HIGH
    for row, height in zip(table(after(garment, proposal)), (700, 300), strict=True):
        takes = sum(proposal.rows[0 if height == 700 else 1].seams.values())
        assert row.verdict is Verdict.GOOD
        # all round the body: half of it on each leg
        assert row.finished == pytest.approx(girth_of_leg(height) - takes / 2 * slant, abs=0.05)


def test_side_and_inseam_of_a_leg_share_evenly(make_body: Bodies) -> None:
    proposal = propose(leg(), partial(ease_table, body=make_body(thigh_girth=girth_of_leg(700) - 120)))
    (thigh,) = proposal.rows
    assert thigh.seams["side"] == pytest.approx(thigh.seams["inseam"], abs=0.01)


def test_a_seam_is_not_let_out_where_its_level_no_longer_answers(make_body: Bodies) -> None:
    """The bust line of the jerkin ends a little below the armhole; further out it runs into that."""
    jerkin = make_garment(demo_patterns()["jerkin"], "M", id="jerkin", sort="jerkin")
    wearer = make_body(bust_girth=1082, waist_girth=940, hip_girth=1100)
    proposal = propose(jerkin, partial(ease_table, body=wearer))
    assert proposal.alterations
    for row in proposal.rows:
        assert -sum(row.seams.values()) <= 1.5 * (row.after - row.before) + 1, row
    (bust,) = (row for row in proposal.rows if row.level == "bust")
    assert bust.residual < 0
    assert "runs into the armhole" in bust.reach
    assert proposal.words.endswith("A larger size would need less.")


def test_different_amounts_at_two_levels(make_tube: Maker, make_body: Bodies) -> None:
    """Bust 60 too loose, hip at the least of its band: all of it at the bust, and the hip as it was."""
    tube = make_tube(bust=1000, waist=1000, hip=1000)
    wearer = make_body(bust_girth=1000 - 162, hip_girth=1000 - 52)
    table = partial(ease_table, body=wearer)
    proposal = propose(tube, table)
    rows = {row.level: row for row in proposal.rows}
    assert rows["bust"].after <= rows["bust"].high
    assert rows["hip"].after >= rows["hip"].low - 1
    assert rows["hip"].seams.get("side", 0.0) == pytest.approx(0, abs=2.0)
    assert {row.level: row.verdict for row in table(after(tube, proposal))}["bust"] is Verdict.GOOD


# what always holds ----------------------------------------------------------------------------------------------

BODIES = {
    "uneven": {"bust_girth": 700, "waist_girth": 980, "hip_girth": 860},
    "very tall": {"bust_girth": 1180, "waist_girth": 1020, "hip_girth": 1210},
    "a child": {"bust_girth": 560, "waist_girth": 530, "hip_girth": 590},
    "hip two sizes above the bust": {"bust_girth": 840, "waist_girth": 700, "hip_girth": 1040},
    "one measurement": {"waist_girth": 700},
    "none": {},
}


@pytest.mark.parametrize("name", BODIES)
def test_bodies_of_all_sorts(make_tube: Maker, make_body: Bodies, name: str) -> None:
    """Accepted, nothing more is proposed; what was right still is; what stays wrong is said, with what would help."""
    holds(make_tube(), partial(ease_table, body=make_body(**BODIES[name])))


@settings(max_examples=25, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(
    bust=st.floats(600, 1200), waist=st.floats(500, 1100), hip=st.floats(600, 1300),
    panels=st.tuples(st.floats(800, 1150), st.floats(700, 1000), st.floats(850, 1250)),
)  # fmt: skip
def test_any_body_in_any_tube(
    make_tube: Maker, make_body: Bodies, bust: float, waist: float, hip: float, panels: tuple[float, float, float]
) -> None:
    tube = make_tube(bust=panels[0], waist=panels[1], hip=panels[2])
    holds(tube, partial(ease_table, body=make_body(bust_girth=bust, waist_girth=waist, hip_girth=hip)))


def holds(garment: Garment, table: partial[tuple[object, ...]]) -> None:
    """What holds for every proposal."""
    proposal = propose(garment, table)  # type: ignore[arg-type]
    altered = after(garment, proposal)
    before, ends = table(garment), table(altered)
    for one, two in zip(before, ends, strict=True):
        assert one.verdict is not Verdict.GOOD or two.verdict is Verdict.GOOD
        assert one.verdict is not Verdict.TIGHT or two.ease >= one.ease - 0.5
        assert one.verdict is not Verdict.LOOSE or two.verdict is not Verdict.TIGHT
    told = {row.level: row.after for row in proposal.rows}
    assert {row.level: row.ease for row in ends if row.level in told} == pytest.approx(told, abs=0.05)
    again = propose(altered, table)  # type: ignore[arg-type]
    assert again.alterations == ()
    left = {row.level for row in ends if row.verdict in (Verdict.TIGHT, Verdict.LOOSE)}
    assert {finding.where[1] for finding in proposal.findings} == left
    assert all(finding.remedy for finding in proposal.findings)


def test_nothing_is_proposed_for_a_good_fit(make_tube: Maker, make_body: Bodies) -> None:
    proposal = propose(make_tube(), partial(ease_table, body=make_body(bust_girth=880, waist_girth=760, hip_girth=940)))
    assert proposal.alterations == ()
    assert proposal.words == ""
    assert [row.residual for row in proposal.rows] == [0, 0, 0]


# contradictions and limits ----------------------------------------------------------------------------------------


def test_two_levels_too_near_to_each_other_contradict(make_tube: Maker, make_body: Bodies) -> None:
    """A level 20 mm below the bust: 200 less there than at the bust cannot be sewn; it is said which, and what helps."""
    tube = make_tube(bust=1100, waist=1100, hip=1100)
    mark = LevelLine("under", Point(0, 580), Point(50, 580))
    for name, piece in tube.pieces.items():
        shape = piece.drawn_shape
        tube = tube.with_piece(replace(piece, shape=replace(shape, levels=(*shape.levels, mark))))
        assert name in ("front", "back")
    tube = replace(tube, levels=(*tube.levels, Level("under", "Under the bust", "under_bust_girth")), cut="semi-fitted")
    wearer = make_body(bust_girth=1100 - 60, under_bust_girth=1100 - 300)
    proposal = propose(tube, partial(ease_table, body=wearer))
    (finding,) = proposal.findings
    assert finding.code == "fit-bands-contradict"
    assert finding.where == ("tube", "under")
    assert "bust lies" in finding.message
    assert "dart" in finding.remedy
    (under,) = (row for row in proposal.rows if row.level == "under")
    assert 0 < under.residual < 250


def test_two_levels_at_one_place_contradict(make_tube: Maker, make_body: Bodies) -> None:
    tube = make_tube(bust=1000, waist=1000, hip=1000)
    mark = LevelLine("chest", Point(0, 600), Point(50, 600))
    for piece in tube.pieces.values():
        shape = piece.drawn_shape
        tube = tube.with_piece(replace(piece, shape=replace(shape, levels=(*shape.levels, mark))))
    levels = (Level("bust", "Bust", "bust_girth"), Level("chest", "Chest", "upper_chest_girth"))
    tube = replace(tube, levels=levels)
    proposal = propose(tube, partial(ease_table, body=make_body(bust_girth=945, upper_chest_girth=800)))
    (finding,) = proposal.findings
    assert finding.code == "fit-bands-contradict"
    assert "bust lies at the same place of the seam and would become tight" in finding.message


def test_no_more_is_let_out_of_what_is_cut_than_its_inlay(make_tube: Maker, make_body: Bodies) -> None:
    """Inlay of 5 mm at each of four edges: at most 20 mm, where 70 are wanted."""
    tube = make_tube(bust=900, waist=900, hip=900)
    wearer = make_body(bust_girth=900, waist_girth=700, hip_girth=830)
    for piece in tube.pieces.values():
        edges = tuple(replace(edge, inlay=5.0 if edge.id == "side" else 0.0) for edge in piece.drawn_shape.edges)
        tube = tube.with_piece(replace(piece, shape=replace(piece.drawn_shape, edges=edges)))
    table = partial(ease_table, body=wearer)
    assert max(row.after - row.before for row in propose(tube, table).rows) > 60
    cut = replace(tube, parts=tuple(replace(part, state=PartState.CUT) for part in tube.parts))
    proposal = propose(cut, table)
    assert max(row.after - row.before for row in proposal.rows) == pytest.approx(20, abs=0.5)
    (finding,) = proposal.findings
    assert finding.code == "fit-seams-not-enough"
    assert "at most ⟨5 mm⟩ on each edge" in finding.message
    assert "strip" in finding.remedy


def test_a_level_that_no_seam_crosses_is_said(make_tube: Maker, make_body: Bodies) -> None:
    proposal = propose(make_tube(), partial(ease_table, body=make_body(bust_girth=1000)), keep=["side"])
    (finding,) = proposal.findings
    assert finding.code == "fit-seams-not-enough"
    assert "no seam that may be moved crosses it" in finding.message
    with pytest.raises(NotThere, match="sade"):
        propose(make_tube(), partial(ease_table, body=make_body(bust_girth=1000)), keep=["sade"])


def test_no_more_is_taken_in_than_there_is(make_tube: Maker, make_body: Bodies) -> None:
    """A body of 60 mm in a tube of 960: the seams would run into each other long before; as much as goes is proposed."""
    proposal = propose(make_tube(), partial(ease_table, body=make_body(bust_girth=300)))
    (bust,) = proposal.rows
    assert bust.residual > 0
    assert bust.after < bust.before - 300
    assert "can be taken in by at most" in bust.reach


# which seams ------------------------------------------------------------------------------------------------------


def test_without_an_offer_all_seams_across_the_level_count_but_those_that_close(make_tube: Maker, make_body: Bodies) -> None:
    tube = make_tube(bust=1000, waist=1000, hip=1000, take_in=False)
    table = partial(ease_table, body=make_body(bust_girth=880))
    assert propose(tube, table).alterations[0].fields["seams"] == ("side",)
    lace = Closure("lacing", ClosureKind.LACING, tuple(EdgeRef(p, "side", Hand.LEFT) for p in ("front", "back")))
    assert propose(replace(tube, closures=(lace,)), table).alterations == ()


def test_a_seam_down_the_centre_is_moved_after_the_side_seams(make_body: Bodies) -> None:
    """Panels with a centre back seam: the side seams take most of it."""
    garment = leg()
    centre = tuple(
        replace(seam, id=seam.id.replace("inseam", "centre"), a=seam.a, b=seam.b) if seam.id.startswith("inseam") else seam
        for seam in garment.seams
    )
    proposal = propose(replace(garment, seams=centre), partial(ease_table, body=make_body(thigh_girth=girth_of_leg(700) - 120)))
    (thigh,) = proposal.rows
    assert thigh.seams["side"] > 2 * thigh.seams.get("centre", 0.0)


# accepting a part ---------------------------------------------------------------------------------------------------


def test_only_a_level_or_a_seam_is_accepted(make_body: Bodies) -> None:
    wearer = make_body(thigh_girth=girth_of_leg(700) - 120, calf_girth=girth_of_leg(300) - 120)
    proposal = propose(leg(), partial(ease_table, body=wearer))
    assert {one.id for one in narrowed(proposal, ["side"]).alterations} == {"fit side"}
    one = narrowed(proposal, ["Calf"]).alterations[0]
    assert dict(one.fields["stations"])["level thigh"] == 0  # type: ignore[arg-type]
    assert dict(one.fields["stations"])["level calf"] != 0  # type: ignore[arg-type]
    assert narrowed(proposal, []) == proposal
    with pytest.raises(NotThere, match="elbow"):
        narrowed(proposal, ["elbow"])


def test_take_in_applies_what_is_proposed(make_tube: Maker, make_body: Bodies) -> None:
    wearer = make_body(bust_girth=880, hip_girth=940)
    result = fit_garment(make_tube(bust=1100), wearer, take_in=True)
    by_hand = apply_stack(make_tube(bust=1100), [alteration_of(one) for one in result.proposed.alterations])
    assert result.garment == by_hand.garment
    assert alteration_of(Suggested("take-in", "a", {"amount": 8.0})) == TakeIn(8.0, id="a")
