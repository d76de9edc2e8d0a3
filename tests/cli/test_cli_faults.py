"""Faults seen at a fitting, on the command line: looked up, chosen, put into the stack and taken back."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from firsthand.demo import write_demo
from firsthand.fit.faults import faults

Run = Callable[..., Any]


@pytest.fixture
def costume(tmp_path: Path) -> Path:
    write_demo(tmp_path / "room")
    return tmp_path / "room" / "costumes" / "tide-warden"


def stack_of(costume: Path, garment: str) -> list[dict[str, Any]]:
    data = tomllib.loads((costume / "costume.toml").read_text("utf-8"))
    found: list[dict[str, Any]] = next(one for one in data["garment"] if one["id"] == garment).get("alteration", [])
    return found


def test_all_faults_can_be_listed_without_a_costume(run: Run) -> None:
    lines = run("faults").out.splitlines()
    assert [line.split()[0] for line in lines] == list(faults())
    assert {row["id"] for row in run("faults", "--json").json["faults"]} == set(faults())


def test_a_fault_says_its_causes_its_mends_and_its_caution(run: Run, costume: Path) -> None:
    answer = run("faults", costume, "shirt", "arm-tight")
    assert answer.code == 0
    assert "1. Give the upper arm more room." in answer.out
    assert "Caution: " in answer.out


def test_trying_writes_nothing(run: Run, costume: Path) -> None:
    before = stack_of(costume, "hose")
    answer = run("faults", costume, "hose", "crotch-short", "--mend", "1", "--amount", "12 mm")
    assert answer.code == 0
    assert 'kind = "lengthen"\namount = 1.2\nlevel = "hip"' in answer.out
    assert stack_of(costume, "hose") == before


def test_choosing_puts_it_into_the_stack_and_undo_takes_it_back(run: Run, costume: Path) -> None:
    before = (costume / "costume.toml").read_bytes()
    added = run("faults", costume, "hose", "calf-tight", "--mend", "1", "--amount", "1/2 in", "--add", "--json")
    assert added.json["added"] is True
    (entry,) = stack_of(costume, "hose")
    assert (entry["kind"], entry["amount"]) == ("calf", 1.27)
    assert "# calf-tight: give the calf more room" in (costume / "costume.toml").read_text("utf-8")
    assert run("undo", costume.parents[1]).code == 0
    assert (costume / "costume.toml").read_bytes() == before


def test_what_is_no_matter_of_the_pattern_adds_nothing(run: Run, costume: Path) -> None:
    answer = run("faults", costume, "shirt", "sleeve-twists", "--mend", "1", "--add", "--json")
    assert answer.json["added"] is False
    assert answer.json["toml"] == ""


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("hose", "nonsense"), 2, "there is no fault called"),
        (("hose", "crotch-short", "--mend", "9", "--amount", "1"), 2, "a number from 1 to 2"),
        (("hose", "crotch-short", "--mend", "1"), 2, "Measure how far the waist has to drop"),
        (("hose", "crotch-short", "--mend", "1", "--amount", "long"), 2, "a length, as 12 mm"),
        (("hose", "body-loose", "--mend", "1", "--amount", "12 mm"), 1, "say at which level it was seen"),
        (("hose", "crotch-short", "--mend", "1", "--amount", "9 m"), 2, "Measure it again"),
    ],
)
def test_what_cannot_be_is_said_with_the_place(
    run: Run, costume: Path, arguments: tuple[str, ...], code: int, words: str
) -> None:
    answer = run("faults", costume, *arguments)
    assert answer.code == code
    assert words in answer.err
