"""``firsthand names``: what alterations may name."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any


def test_everything_an_alteration_may_name_is_listed(run: Callable[..., Any], made: Path) -> None:
    answer = run("names", made / "costumes" / "tide-warden", "jerkin", "--json").json
    pieces = {row["piece"]: row for row in answer["pieces"]}
    assert pieces["front"]["edges"] == ["centre", "neck", "shoulder", "armhole", "side", "hem"]
    assert pieces["front"]["darts"] == ["bust dart"]
    assert pieces["front"]["levels"] == ["bust", "waist", "hip"]
    assert pieces["back"]["fold"] == "centre"
    assert pieces["wing"]["card"] is True
    seams = {row["seam"]: row for row in answer["seams"]}
    assert seams["side"] == {"seam": "side", "a": ["front.side right"], "b": ["back.side right"], "take_in": True}


def test_for_people_it_says_lengths_in_their_units(run: Callable[..., Any], made: Path) -> None:
    told = run("names", made / "costumes" / "tide-warden", "shirt", "--units", "inch").out
    assert "back: Shirt back, on the fold at centre" in told
    assert "side 16½ in (from hem to armhole)" in told
    assert "side: " in told


def test_a_garment_that_is_not_there(run: Callable[..., Any], made: Path) -> None:
    answer = run("names", made / "costumes" / "tide-warden", "coat")
    assert answer.code == 2


def test_the_save_that_made_the_workroom_stays(run: Callable[..., Any], tmp_path: Path) -> None:
    room = tmp_path / "room"
    assert run("new", room).code == 0
    answer = run("undo", room)
    assert answer.code == 2
    assert "nothing to take back" in answer.err
    assert (room / "workroom.toml").exists()
