"""The fit stage as a whole."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from firsthand.alter import Lengthen, TakeIn
from firsthand.body import Body
from firsthand.findings import Block, Severity
from firsthand.fit import EaseRow, Verdict, ease_table, fit_garment
from firsthand.pattern import Garment, Level

Maker = Callable[..., Garment]
Bodies = Callable[..., Body]


def codes(result: object) -> list[str]:
    return [finding.code for finding in result.findings]  # type: ignore[attr-defined]


def test_a_good_fit_proposes_nothing(make_tube: Maker, make_body: Bodies) -> None:
    result = fit_garment(make_tube(), make_body(bust_girth=880, waist_girth=760, hip_girth=940))
    assert result.proposal == {}
    assert result.proposal_words == ""
    assert result.findings == ()
    assert result.before == result.after


def test_a_loose_tube_is_taken_in_to_a_little_inside_its_band(make_tube: Maker, make_body: Bodies) -> None:
    """A straight tube of 1000 on a body of 880 at the bust only: ease 120, wanted 51 to 102, so at most 10 mm inside: 92."""
    tube = make_tube(bust=1000, waist=1000, hip=1000)
    result = fit_garment(tube, make_body(bust_girth=880), take_in=True)
    assert result.proposal == pytest.approx({"side right": 14, "side left": 14})
    assert result.after[0].finished == pytest.approx(972)
    assert result.after[0].verdict is Verdict.GOOD
    assert result.before[0].verdict is Verdict.LOOSE
    assert [record.kind for record in result.records] == ["take-in"]
    assert result.proposal_words == "Take in ⟨28 mm⟩ at the bust: side ⟨7 mm⟩ on each edge."


def test_a_proposal_is_only_applied_when_asked_for(make_tube: Maker, make_body: Bodies) -> None:
    result = fit_garment(make_tube(bust=1000, waist=1000, hip=1000), make_body(bust_girth=880))
    assert result.records == ()
    assert result.after[0].verdict is Verdict.LOOSE
    assert "take-in-proposed" in codes(result)
    (note,) = [f for f in result.findings if f.code == "take-in-proposed"]
    assert any("ease ⟨120 mm⟩" in line for line in note.why)


def test_no_level_is_made_tight_for_the_sake_of_another(make_tube: Maker, make_body: Bodies) -> None:
    """Bust far too loose, hip at its least: taken in at the bust, and not at the hip."""
    result = fit_garment(make_tube(bust=1100), make_body(bust_girth=880, hip_girth=940), take_in=True)
    assert result.before[0].verdict is Verdict.LOOSE
    assert [row.verdict for row in result.after] == [Verdict.GOOD, Verdict.UNKNOWN, Verdict.GOOD]
    assert "nothing at hip" in result.proposal_words


def test_a_tight_garment_is_let_out(make_tube: Maker, make_body: Bodies) -> None:
    result = fit_garment(make_tube(), make_body(hip_girth=990), take_in=True)
    assert sum(result.proposal.values()) < 0
    assert result.after[2].verdict is Verdict.GOOD
    assert result.proposal_words.startswith("Let out")


@settings(max_examples=15, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(
    bust=st.floats(820, 1100), waist=st.floats(700, 950), hip=st.floats(900, 1150),
)  # fmt: skip
def test_after_the_take_in_nothing_is_tight_and_no_less_is_good(
    make_tube: Maker, make_body: Bodies, bust: float, waist: float, hip: float
) -> None:
    """Least squares within what is common, by brute force: no other even amount does better without being tight."""
    wearer = make_body(bust_girth=880, waist_girth=740, hip_girth=960)
    tube = make_tube(bust=bust, waist=waist, hip=hip)
    result = fit_garment(tube, wearer, take_in=True)
    assert all(row.verdict is not Verdict.TIGHT for row in result.after)
    others = (ease_table(TakeIn(amount).apply(tube).garment, wearer) for amount in range(-150, 151, 25))
    assert _good(result.after) >= max(_good(rows) for rows in others)


def _good(rows: tuple[EaseRow, ...]) -> int:
    """Levels that are right; none if any is tight."""
    verdicts = [row.verdict for row in rows]
    return 0 if Verdict.TIGHT in verdicts else verdicts.count(Verdict.GOOD)


def test_alterations_come_first_and_refused_ones_are_found(make_tube: Maker, make_body: Bodies) -> None:
    stack = [TakeIn(10, id="a"), TakeIn(10, seams=("no such seam",), id="b"), Lengthen(20, level="waist", id="c")]
    result = fit_garment(make_tube(), make_body(bust_girth=880), alterations=stack)
    assert [record.alteration for record in result.records] == ["a", "c"]
    assert codes(result).count("alteration-refused") == 1


def test_smaller_than_the_body_blocks_cutting(make_tube: Maker, make_body: Bodies) -> None:
    result = fit_garment(make_tube(), make_body(bust_girth=1000), keep=["side"])
    (tight,) = (finding for finding in result.findings if finding.code == "ease-tight")
    assert (tight.code, tight.severity, tight.blocks) == ("ease-tight", Severity.FAULT, (Block("cut", "tube"),))
    stretchy = fit_garment(make_tube(), make_body(bust_girth=1000), keep=["side"], stretch=0.5)
    (tight,) = (finding for finding in stretchy.findings if finding.code == "ease-tight")
    assert (tight.severity, tight.blocks) == (Severity.DOUBT, ())


def test_tight_at_the_neck_is_a_fault_even_in_stretch_cloth(make_tube: Maker, make_body: Bodies) -> None:
    from dataclasses import replace

    tube = replace(make_tube(bust=350, take_in=False), levels=(Level("bust", "neck", "neck_girth"),), cut="skin-tight")
    found = fit_garment(tube, make_body(neck_girth=360), stretch=1.0).findings
    (tight,) = (finding for finding in found if finding.code == "ease-tight")
    assert tight.severity is Severity.FAULT
    assert "round the neck" in tight.message


def test_published_example_of_reach(make_tube: Maker, make_body: Bodies) -> None:
    """Bodysuit size C (untitledthoughts.com, 'How to choose a size with negative ease'): 28 in of cloth that stretches 30 %
    reaches 36.4 in and cannot go round a bust of 37; waist 23.5 reaches 30.55 for 28.5, hip 32 reaches 41.6 for 36."""
    inch = 25.4
    tube = make_tube(bust=28 * inch, waist=23.5 * inch, hip=32 * inch, cut="skin-tight", take_in=False)
    wearer = make_body(bust_girth=37 * inch, waist_girth=28.5 * inch, hip_girth=36 * inch)
    found = {f.where[1]: f.severity for f in fit_garment(tube, wearer, stretch=0.3).findings if f.code == "ease-tight"}
    assert found["bust"] is Severity.FAULT
    assert Severity.FAULT not in (found.get("waist"), found.get("hip"))


def test_what_stays_loose_is_said(make_tube: Maker, make_body: Bodies) -> None:
    result = fit_garment(make_tube(bust=1100), make_body(bust_girth=880), keep=["side"])
    (loose,) = (finding for finding in result.findings if finding.code == "ease-loose")
    assert loose.where == ("tube", "bust")
    assert "take-in-proposed" not in codes(result)


def test_what_is_more_than_three_sizes_off_is_not_taken_in_by_itself(make_tube: Maker, make_body: Bodies) -> None:
    tube = make_tube(bust=1100)
    result = fit_garment(tube, make_body(bust_girth=600, hip_girth=640), take_in=True)
    assert result.garment == tube
    (found,) = [one for one in result.findings if one.code == "fit-too-far"]
    assert "more than three sizes" in found.message
    assert result.proposed.alterations
