"""Pieces that are laid on others, as a pattern's file says them."""

from __future__ import annotations

from typing import Any

import pytest

from firsthand.pattern import Applied, Hand, make_garment

PATTERN = "patterns/apron/pattern.toml"


def put(room: Any, text: str) -> None:
    room.files[PATTERN] += f"\n[[applied]]\n{text}\n"


def test_they_reach_the_garment(room: Any) -> None:
    put(room, 'piece = "pocket"\nonto = "bib"')
    put(room, 'piece = "pocket"\nonto = "strap"\nline = "mark"\nhand = "left"')
    mark = {"id": "mark", "kind": "placement", "start": [20.0, 20.0], "path": [["line", [60.0, 20.0]]]}
    for shape in room.files["patterns/apron/pieces/strap.json"]["sizes"].values():
        shape["lines"] = [mark]
    pattern = room.read().patterns["apron"]
    assert pattern.applied == (Applied("pocket", "bib"), Applied("pocket", "strap", "mark", hand=Hand.LEFT))
    assert make_garment(pattern, "M", id="apron").applied == pattern.applied


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ('piece = "pokcet"\nonto = "bib"', "piece", "a piece of this pattern: bib, strap or pocket"),
        ('piece = "pocket"\nonto = "bbi"', "onto", "a piece of this pattern"),
        ('piece = "pocket"\nonto = "bib"\nline = "mark"', "line", "an inner line of bib: nothing"),
        ('piece = "pocket"\nonto = "bib"\nrole = "lining"', "role", "a role that bib is cut from: shell"),
        ('piece = "pocket"\nonto = "bib"\nhand = "upper"', "hand", "found 'upper'"),
        ('piece = "pocket"', "onto", "found nothing"),
    ],
)
def test_what_is_not_there_is_named(room: Any, text: str, place: str, said: str) -> None:
    put(room, text)
    problems = room.problems()
    assert said in str(problems[PATTERN, f"applied[1].{place}"])
