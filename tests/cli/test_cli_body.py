"""``firsthand body``, ``measure`` and ``take``, as people and machines call them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from firsthand.demo import write_demo

Run = Callable[..., Any]


@pytest.fixture
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    write_demo(tmp_path / "room")
    monkeypatch.chdir(tmp_path / "room")
    return tmp_path / "room"


def test_a_costume_says_what_it_needs_and_what_is_missing(room: Path, run: Run) -> None:
    answer = run("body", "--json").json
    rows = {row["key"]: row for row in answer["measurements"]}
    assert answer["wearer"] == "isaura"
    assert answer["costumes"] == ["tide-warden"]
    assert [key for key, row in rows.items() if row["missing"]] == ["upper_arm_girth"]
    arm = rows["upper_arm_girth"]
    assert "level Upper arm" in arm["for"]["shirt"]
    assert arm["compared"]
    assert arm["estimate"]["low"] < arm["estimate"]["value"] < arm["estimate"]["high"]
    assert rows["hand_girth"]["for"] == {
        "shirt": [f"must go through the opening wrist {hand}, which buttons close" for hand in ("right", "left")]
    }
    codes = {finding["code"] for finding in answer["findings"]}
    assert {"measurement-missing", "measurement-implausible", "measurement-once"} <= codes


def test_the_same_in_words_and_by_the_wearers_name(room: Path, run: Run) -> None:
    names = ("tide-warden", "Isaura Penquill", "wearers/isaura.toml")
    by_costume, by_name, by_file = (run("body", name) for name in names)
    assert by_costume.code == by_name.code == by_file.code == 0
    assert by_costume.out == by_name.out == by_file.out
    assert "bicep *" in by_costume.out
    assert "1 missing" in by_costume.out
    assert "alteration upper-arm 1" not in by_costume.out
    assert "alteration upper-arm 1" in run("body", "--why").out


def test_a_measurement_is_explained_by_key_number_or_trade_name(run: Run) -> None:
    by_key, by_trade, by_number = (run("measure", name, "--json").json for name in ("waist_girth", "natural waist", "10"))
    assert by_key == by_trade == by_number
    assert "tied tape" in by_key["how"]
    words = run("measure", "stature").out
    assert "hardback book" in words
    assert "Best over bare feet." in words
    assert "With a friend:" in run("measure", "nape to waist").out
    assert len(run("measure", "--json").json["measurements"]) == 48


@pytest.mark.parametrize("name", ["nose", "girth", "", "49"])
def test_what_nobody_measures_is_refused(name: str, run: Run) -> None:
    answer = run("measure", name)
    if name == "":
        assert answer.code == 0
        return
    assert answer.code == 2
    assert answer.err.startswith("KEY: found")


def test_taking_keeps_comments_and_can_be_undone(room: Path, run: Run) -> None:
    file = room / "wearers" / "isaura.toml"
    before = file.read_bytes()
    answer = run("take", "isaura", "waist_girth", "29 7/8 in", "75,5 cm", "--json").json
    assert answer["value"] == pytest.approx(758.825)
    assert answer["again"] == 755.0
    assert run("take", "isaura", "neck", "35", "34.8").code == 0
    assert "13 3/4 in" not in file.read_text(encoding="utf-8")
    assert run("take", "isaura", "bicep", "11 3/4 in").code == 0
    text = file.read_text(encoding="utf-8")
    measured = tomllib.loads(text)["measurements"]
    assert measured["waist_girth"] == ["29 7/8 in", "75,5 cm"]
    assert measured["upper_arm_girth"] == "11 3/4 in"
    assert "# written down in a hurry, and only once" in text
    assert "# forgotten; the shirt sleeve wants it" in text
    assert list(measured).index("upper_arm_girth") < list(measured).index("wrist_girth")
    for _ in range(3):
        assert run("undo").code == 0
    assert file.read_bytes() == before


def test_a_doubt_is_told_at_once_and_is_saved_all_the_same(room: Path, run: Run) -> None:
    answer = run("take", "isaura", "thigh_girth", "23.5", "23.5", "--json").json
    assert [finding["code"] for finding in answer["findings"]] == ["measurement-implausible"]
    assert "inches written for centimetres" in answer["findings"][0]["message"]
    assert answer["revision"] == 2
    assert run("take", "isaura", "thigh_girth", "--drop", "--json").json["missing"]


def test_a_reading_may_be_typed_with_spaces_and_named_in_plain_words(room: Path, run: Run) -> None:
    answer = run("take", "isaura", "hips", "39", "3/4", "in", "39", "1/2", "in", "--json").json
    assert answer["value"] == pytest.approx(39.75 * 25.4)
    assert answer["again"] == pytest.approx(39.5 * 25.4)


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (("isaura", "waist_girth", "soon"), "expected a length, for example 87.5 cm"),
        (("isaura", "waist_girth", "34", "34", "35"), "3 readings"),
        (("isaura", "arm_length", "57", "58"), "one reading"),
        (("isaura", "waist_girth", "0"), "above zero"),
        (("isaura", "shoulder_slope", "95"), "degrees"),
        (("isaura", "body_mass", "heavy"), "kilograms"),
        (("isaura", "waist_girth"), "no reading"),
        (("isaura", "waist_girth", "76", "--drop"), "both"),
        (("nobody", "waist_girth", "76"), "a wearer of this workroom"),
        (("isaura", "nose", "5"), "measurement"),
    ],
)
def test_what_cannot_be_taken_says_why_and_changes_nothing(room: Path, run: Run, arguments: tuple[str, ...], word: str) -> None:
    before = (room / "wearers" / "isaura.toml").read_bytes()
    answer = run("take", *arguments)
    assert answer.code == 2
    assert word in answer.err
    assert (room / "wearers" / "isaura.toml").read_bytes() == before


def test_the_form_is_written_blank_and_filled(room: Path, run: Run, tmp_path: Path) -> None:
    filled, blank = tmp_path / "filled.pdf", tmp_path / "blank.pdf"
    assert run("body", "--sheet", filled).code == 0
    assert run("body", "--sheet", blank, "--blank", "--all", "--units", "inch").code == 0
    words = {file: [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(file)] for file in (filled, blank)}
    assert "Measurements of Isaura Penquill" in words[filled][0]
    assert "101.0" in "".join(words[filled])
    assert "Not taken. In nine bodies of ten" in "".join(words[filled])
    assert "101.0" not in "".join(words[blank])
    assert "first, in" in "".join(words[blank])
    assert len(words[blank]) > len(words[filled])
