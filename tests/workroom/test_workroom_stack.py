"""Alterations and drafted pieces in a costume: read with the registered kinds, wrong ones named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import pytest

from firsthand.alter import ALTERATIONS, Altered, TakeIn
from firsthand.draft import DRAFTS, Drafting
from firsthand.errors import GeometryError
from firsthand.pattern import Garment
from firsthand.units import Angle, Length, Share

COSTUME = "costumes/baker/costume.toml"


@dataclass(frozen=True, slots=True)
class Swing:
    """An alteration of our own, for the test."""

    kind: ClassVar[str] = "swing"

    id: str
    by: Length
    angle: Angle = 0.0
    share: Share = 0.0
    pieces: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.by <= 0:
            raise GeometryError(f"a swing of {self.by:g} mm has no sense")

    def apply(self, garment: Garment) -> Altered:
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Tassel:
    """A drafted piece of our own, for the test."""

    kind: ClassVar[str] = "tassel"

    id: str
    length: Length

    def draft(self, garment: Garment | None) -> Drafting:
        raise NotImplementedError


@pytest.fixture(autouse=True)
def kinds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(ALTERATIONS._entries, "swing", Swing)
    monkeypatch.setitem(DRAFTS._entries, "tassel", Tassel)


def put(room: Any, text: str) -> None:
    room.files[COSTUME] += text


def test_alterations_and_drafted_pieces_are_read_in_their_order_with_units(room: Any) -> None:
    put(
        room,
        """
[[garment.alteration]]
kind = "swing"
id = "front swing"
by = 2.5
angle = 180
share = "40 %"
pieces = ["bib"]

[[garment.alteration]]
kind = "take-in"
amount = "1/2 in"

[[garment.alteration]]
kind = "take-in"
amount = 1
seams = ["strap"]

[[garment.draft]]
kind = "tassel"
id = "left tassel"
length = 12
""",
    )
    brief = room.read().costumes["baker"].garments[0]
    assert brief.alterations == (
        Swing("front swing", 25.0, pytest.approx(3.14159265), 0.4, ("bib",)),
        TakeIn(12.7, (), id="take-in 1"),
        TakeIn(10.0, ("strap",), id="take-in 2"),
    )
    assert brief.drafts == (Tassel("left tassel", 120.0),)


@pytest.mark.parametrize(
    ("table", "rows", "place", "said"),
    [
        ("alteration", 'kind = "swng"', "kind", "Did you mean swing?"),
        ("alteration", "id = 'a'", "kind", "found nothing"),
        ("alteration", "kind = 5", "kind", "found 5"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = nan', "by", "found NaN"),
        ("alteration", 'kind = "swing"\nid = "a"', "by", "found nothing"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = "soon"', "by", "34 1/2 in"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = [1]', "by", "34 1/2 in"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = -3', "", "a swing of -30 mm has no sense"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = 3\npeices = ["bib"]', "peices", "Did you mean pieces?"),
        ("alteration", 'kind = "swing"\nid = "a"\nby = 3\npieces = "bib"', "pieces", "a list"),
        ("draft", 'kind = "tassel"\nlength = 4', "id", "found nothing"),
        ("draft", 'kind = "band"\nid = "x"\nlength = 4\nbeads = 3', "beads", "Take the key out"),
    ],
)
def test_a_wrong_one_is_named_with_its_place(room: Any, table: str, rows: str, place: str, said: str) -> None:
    if 'kind = "band"' in rows and "band" not in DRAFTS:
        rows = rows.replace("band", "tassel")
    put(room, f"\n[[garment.{table}]]\n{rows}\n")
    problems = room.problems()
    where = f"garment[1].{table}[1]" + (f".{place}" if place else "")
    assert (COSTUME, where) in problems
    assert said in str(problems[COSTUME, where])


@pytest.mark.parametrize(("key", "meant"), [("amnt", "amount"), ("leg_nth", "")])
def test_a_mistyped_key_is_one_problem(room: Any, key: str, meant: str) -> None:
    """The key that is missing because another one was mistyped for it is not told as well."""
    put(room, f'\n[[garment.alteration]]\nkind = "lengthen"\n{key} = 1\n')
    problems = room.problems()
    assert (COSTUME, f"garment[1].alteration[1].{key}") in problems
    assert ((COSTUME, "garment[1].alteration[1].amount") in problems) is not bool(meant)
    if meant:
        assert len(problems) == 1
        assert f"Did you mean {meant}?" in str(next(iter(problems.values())))


def test_what_was_expected_reads_as_a_sentence(room: Any) -> None:
    put(room, '\n[[garment.alteration]]\nkind = "take-in"\namount = "soon"\n')
    room.files["wearers/ines.toml"] += 'hip_girth = "wide"\n'
    said = [str(problem) for problem in room.problems().values()]
    assert len(said) == 2
    assert all("expected a length, for example 87.5 cm or 34 1/2 in" in one for one in said), said


def test_ids_are_used_once(room: Any) -> None:
    put(room, "".join('\n[[garment.draft]]\nkind = "tassel"\nid = "a"\nlength = 4\n' for _ in range(2)))
    assert "an id used once" in str(room.problems()[COSTUME, "garment[1].draft[2].id"])


def test_an_unknown_measurement_is_noticed(room: Any) -> None:
    room.files["wearers/ines.toml"] += "hip_grith = 98\n"
    (finding,) = room.read().findings
    assert (finding.code, finding.where[1]) == ("unknown-key", "measurements.hip_grith")
    assert finding.remedy == "Did you mean hip_girth?"
