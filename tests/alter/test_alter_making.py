"""A new kind of alteration made with the toolbox: nothing but what is its own is written out."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import ClassVar

import pytest

from firsthand.alter import Alteration, Altered, Entry, Flare, Lengthen, Scale, TakeIn, apply_stack
from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter.moving.profile import constant
from firsthand.alter.moving.reshape import Reshaped, moved_by
from firsthand.errors import CannotAlter, GeometryError
from firsthand.findings import Finding
from firsthand.pattern import Garment, Notch
from firsthand.units import Length, Unit, said, shown

Maker = Callable[..., Garment]


@dataclass(frozen=True, slots=True)
class MoveEdge(Entry):
    """Move one edge of a piece inwards; a negative amount moves it out."""

    kind: ClassVar[str] = "move-edge"

    piece: str
    edge: str
    amount: Length

    def apply(self, garment: Garment) -> Altered:
        sensible(self.amount, 300.0)
        changed = as_much_as_goes(partial(self._moved, garment), self.amount, "moving it by")
        words = f"Moved {self.piece}.{self.edge} by {said(self.amount)}"
        return finished(garment, self, words, {"amount": self.amount}, changed)

    def _moved(self, garment: Garment, amount: float) -> dict[str, Reshaped]:
        return reshaped(garment, {self.piece: partial(moved_by, profiles={self.edge: constant(amount)})})


def refused(result: object) -> Finding:
    (finding,) = result.findings  # type: ignore[attr-defined]
    assert isinstance(finding, Finding)
    assert finding.code == "alteration-refused"
    return finding


def test_it_changes_the_piece_and_keeps_what_was_bought(make_leg: Maker) -> None:
    legs = make_leg()
    done = MoveEdge("front", "top", 30).apply(legs)
    piece = done.garment.piece("front")
    assert piece.drawn_shape.outline.bounds.height == pytest.approx(570)
    assert piece.bought == legs.piece("front").drawn_shape
    assert done.record.pieces == ("front",)
    assert done.record.position("front", "inner", 570.0) == ("front", "inner", pytest.approx(570.0))
    assert done.record.position("front", "inner", 580.0) is None


def test_it_says_which_notch_it_cut_away(make_leg: Maker) -> None:
    legs = make_leg()
    shape = legs.piece("front").drawn_shape
    marked = replace(shape, notches=(*shape.notches, Notch("high", "inner", 590)))
    done = MoveEdge("front", "top", 30, id="lower it").apply(legs.with_piece(replace(legs.piece("front"), shape=marked)))
    assert [(f.code, f.message) for f in done.findings] == [("notch-cut-away", "lower it cuts away the notch high of front")]
    assert done.record.ids == {"front.high": ()}


def test_too_much_says_how_much_goes_in_message_and_remedy(make_leg: Maker) -> None:
    """The panel is 200 wide; 1 mm at least is left of the hem."""
    finding = refused(apply_stack(make_leg(), [MoveEdge("front", "inner", 250)]))
    assert finding.message.startswith("moving it by ⟨250 mm⟩ is too much: on front nothing would be left of")
    assert finding.message.endswith("; at most ⟨199 mm⟩")
    assert shown(finding.remedy, Unit.CM) == "Use at most 19.9 cm."


@pytest.mark.parametrize(("amount", "error"), [(math.nan, GeometryError), (math.inf, GeometryError), (-301.0, CannotAlter)])
def test_what_cannot_be_meant_is_refused(make_leg: Maker, amount: float, error: type[Exception]) -> None:
    with pytest.raises(error):
        MoveEdge("front", "inner", amount).apply(make_leg())


def test_nothing_changes_nothing(make_leg: Maker) -> None:
    done = MoveEdge("front", "inner", 0).apply(make_leg())
    assert done.garment == make_leg()
    assert done.record.pieces == ()


def test_each_refusal_has_a_remedy_of_its_own(make_leg: Maker) -> None:
    legs = make_leg()
    stacks: dict[str, Alteration] = {
        "Use at most ⟨199 mm⟩.": MoveEdge("front", "inner", 250),
        "Name what is there.": TakeIn(20, seams=("no such",)),
        'Name the left seam as well, or write hand = "right".': TakeIn(20, seams=("outer right",)),
        "Name one of the two.": Lengthen(20),
        "Check both lengths and their units.": Scale(100, 1),
        "Correct its numbers.": TakeIn(math.nan),
        "Look whether a digit or the unit is wrong.": TakeIn(5000),
    }
    assert {refused(apply_stack(legs, [alteration])).remedy for alteration in stacks.values()} == set(stacks)


def test_a_name_that_is_nearly_right_is_answered_with_the_right_one(make_leg: Maker) -> None:
    legs = make_leg()
    for alteration, remedy in (
        (Lengthen(20, level="midle"), "Did you mean level middle?"),
        (Lengthen(20, level="middle", pieces=("fromt",)), "Did you mean piece front?"),
        (MoveEdge("front", "iner", 5), "Did you mean edge inner?"),
        (TakeIn(20, seams=("outer rigth",)), "Did you mean seam outer right or outer left?"),
    ):
        assert refused(apply_stack(legs, [alteration])).remedy.startswith(remedy.removesuffix("?"))


def test_a_refused_flare_names_its_piece(make_leg: Maker) -> None:
    entries = (
        (Flare(amount=40.0, edges=("front.hem",), opposite=("front.hem",)), "on front: hem cannot be opposite"),
        (Flare(amount=40.0, edges=("back.hem",), places=("notch n9",)), "there is no notch on hem of back"),
        (Flare(amount=40.0, edges=("back.hem",), count=900), "on back: 900 lines"),
    )
    for entry, words in entries:
        assert words in refused(apply_stack(make_leg(), [entry])).message


def test_a_refusal_says_its_id_in_where_alone(make_leg: Maker) -> None:
    finding = refused(apply_stack(make_leg(), [MoveEdge("front", "inner", 250, id="closer")]))
    assert finding.where == ("legs", "closer")
    assert "closer" not in finding.message


def test_records_say_their_numbers(make_leg: Maker) -> None:
    stack: list[Alteration] = [
        TakeIn(67),
        Lengthen(30, level="middle"),
        Lengthen(-15, height=100, pieces=("front", "back")),
        Scale(100, 97),
    ]
    assert [record.words for record in apply_stack(make_leg(), stack).records] == [
        "Taken in ⟨67 mm⟩ in all, evenly at outer, inner",
        "Lengthened at the middle by ⟨30 mm⟩: front, back",
        "Shortened at a height of ⟨100 mm⟩ by ⟨15 mm⟩: front, back",
        "Scaled by 1.0309 from a test line of 100 mm that measures 97 mm; allowances kept as they are",
    ]
