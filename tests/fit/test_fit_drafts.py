"""Drafted pieces within the fit, and seams that they and the alterations put off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

import pytest

from firsthand.alter import Lengthen
from firsthand.body import Body
from firsthand.draft import Band, Drafting, GatheredFrill
from firsthand.findings import Finding
from firsthand.fit import FitResult, fit_garment
from firsthand.pattern import Cut, Garment, How, Piece
from firsthand.units import Unit, shown

Maker = Callable[..., Garment]
Bodies = Callable[..., Body]


def only(result: FitResult, code: str) -> list[Finding]:
    return [finding for finding in result.findings if finding.code == code]


@dataclass(frozen=True, slots=True)
class Mended:
    """A piece of the garment drawn anew as long as another one."""

    kind: ClassVar[str] = "mended"

    id: str
    by: float

    def draft(self, garment: Garment | None) -> Drafting:
        assert garment is not None
        return Drafting(Lengthen(self.by, height=100, pieces=(self.id,)).apply(garment).garment.piece(self.id))


@pytest.mark.parametrize(
    ("draft", "remedy"),
    [
        (Band("waistband", -40), "Correct its numbers, or what it follows."),
        (
            Band("waistband", 40, onto=("front.no such right",)),
            "Write PIECE.EDGE and what tells the part from others, for example front.side left lining.",
        ),
        (GatheredFrill("frill", 40, length=500, fullness=float("nan")), "Correct its numbers, or what it follows."),
    ],
)
def test_a_refused_draft_says_what_to_do(make_tube: Maker, make_body: Bodies, draft: Band | GatheredFrill, remedy: str) -> None:
    (finding,) = only(fit_garment(make_tube(), make_body(bust_girth=880), drafts=[draft]), "draft-refused")
    assert finding.remedy == remedy
    assert finding.blocks


def test_its_lengths_are_in_the_readers_units(make_tube: Maker, make_body: Bodies) -> None:
    (finding,) = only(fit_garment(make_tube(), make_body(bust_girth=880), drafts=[Band("waistband", -40)]), "draft-refused")
    assert shown(finding.message, Unit.CM) == "waistband: depth must be a length above zero, not −4.0 cm"
    assert shown(finding.message, Unit.INCH).endswith("not −1⅝ in")


def test_a_draft_in_the_place_of_an_outline_is_noticed(make_tube: Maker, make_body: Bodies) -> None:
    tube, wearer = make_tube(), make_body(bust_girth=880)
    name = next(iter(tube.pieces))
    (finding,) = only(fit_garment(tube, wearer, drafts=[Band(name, 40, length=500)]), "draft-replaces")
    assert finding.where == (tube.id, name)
    card = tube.with_piece(Piece("cuff", "", "Cuff", (Cut("shell", How.PAIR),)))
    assert not only(fit_garment(card, wearer, drafts=[Band("cuff", 40, length=500)]), "draft-replaces")


def test_a_draft_made_anew_is_not_a_replacement(make_tube: Maker, make_body: Bodies) -> None:
    tube, wearer = make_tube(), make_body(bust_girth=880)
    again = [Band("cuff", 40, length=500), Band("cuff", 50, length=500)]
    assert not only(fit_garment(tube, wearer, drafts=again), "draft-replaces")
    other = [Band("cuff", 40, length=500), GatheredFrill("cuff", 40, length=500, fullness=2)]
    assert len(only(fit_garment(tube, wearer, drafts=other), "draft-replaces")) == 1


def test_seams_are_compared_after_the_drafts(make_tube: Maker, make_body: Bodies) -> None:
    tube, wearer = make_tube(), make_body(bust_girth=880)
    one, other = list(tube.pieces)[:2]
    longer = [Lengthen(20, height=100, pieces=(one,), id="longer")]
    (finding,) = only(fit_garment(tube, wearer, alterations=longer), "alteration-seam-off")
    assert finding.message == "since longer the seam side is off by ⟨20 mm⟩"
    assert not only(fit_garment(tube, wearer, alterations=longer, drafts=[Mended(other, 20)]), "alteration-seam-off")
    (finding,) = only(fit_garment(tube, wearer, drafts=[Mended(other, 7)]), "alteration-seam-off")
    assert finding.message == f"since {other} the seam side is off by ⟨7 mm⟩"
