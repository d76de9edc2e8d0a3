"""Which size fits, asked and taken; a dress form beside the wearer."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("demo")
Run = Callable[..., Any]

FORM = """schema = 1
units = "cm"
name = "Old Agnes"
form = true
[measurements]
neck_girth = 34
bust_girth = 88
waist_girth = 70
top_hip_girth = 95
hip_girth = 96
back_waist_length = 40
"""


@pytest.fixture
def brief(room: Path) -> Path:
    return room / "costumes" / "tide-warden" / "costume.toml"


def test_every_garment_has_its_size_and_the_reason_in_a_line(run: Run, room: Path) -> None:
    answer = run("size", room)
    assert answer.code == 0
    lines = answer.out.splitlines()
    assert lines[0].startswith("Linen shirt: size M, by the high bust and its finished girth: ")
    # The brief's own comment: M has a waist edge of 75.5 cm, and the waist is 76 cm.
    assert "Half-circle skirt: size L, by the waist and the chart: it hangs from the waist, and the hips have room" in lines
    assert (
        "  or blend: L at the bust to M at the waist to L at the hip; made and measured again, every level within its band"
        in lines
    )


def test_the_table_is_shown_with_why_and_numbers_as_json(run: Run, room: Path) -> None:
    told = run("size", room, "jerkin", "--why")
    assert "ease in" in told.out
    assert "high bust 89.0 cm and a B cup of 5.1 cm" in told.out
    answer = run("size", room, "jerkin", "--json").json
    (jerkin,) = answer["garments"].values()
    assert (jerkin["size"], jerkin["by"], jerkin["level"]) == ("L", "finished girth", "bust")
    assert jerkin["blend"] == ["L at bust", "M at waist", "L at hip"]
    assert [row["residual"] for row in jerkin["after"]] == [0.0, 0.0, 0.0]
    assert [one["size"] for one in jerkin["levels"][0]["sizes"]] == ["S", "M", "L"]
    assert "revision" not in answer


def test_a_size_is_taken_with_its_blend_first_and_taken_back(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_text("utf-8")
    taken = run("size", room, "jerkin", "--take")
    assert taken.code == 0
    assert "Taken, as revision " in taken.out
    after = brief.read_text("utf-8")
    table = next(one for one in tomllib.loads(after)["garment"] if one["id"] == "jerkin")
    assert table["size"] == "L"
    assert table["alteration"] == [
        {"kind": "blend-sizes", "id": "sizes", "at": ["L at bust", "M at waist", "L at hip"]}
    ]  # fmt: skip
    kept = [line for line in before.splitlines() if line not in after.splitlines()]
    assert kept == []  # only one of several lines size = "M" is another now
    fit = run("fit", room, "--only", "jerkin", "--json").json["garments"]["jerkin"]
    assert {row["verdict"] for row in fit["after"]} == {"good"}
    again = run("size", room, "jerkin", "--take")
    assert again.code == 1
    assert "firsthand stack COSTUME jerkin --drop 'sizes'" in again.err
    assert run("undo", room).code == 0
    assert brief.read_text("utf-8") == before


def test_a_size_off_the_paper_is_taken_with_the_entry_that_makes_it(run: Run, room: Path, brief: Path) -> None:
    assert run("size", room, "cape", "--take").code == 0
    cape = next(one for one in tomllib.loads(brief.read_text("utf-8"))["garment"] if one["id"] == "cape")
    assert (cape["size"], cape["alteration"]) == ("L", [{"kind": "grade", "id": "size", "size": "L"}])


def test_alterations_meant_for_the_former_size_are_asked_about(run: Run, room: Path, brief: Path) -> None:
    text = brief.read_text("utf-8").replace('id = "shirt"\nname = "Linen shirt"\npattern = "shirt"\nsize = "M"', "", 1)
    start = 'id = "shirt"\nname = "Linen shirt"\npattern = "shirt"\nsize = "S"     # a guess'
    brief.write_text(text.replace("[[garment]]\n", f"[[garment]]\n{start}", 1), "utf-8")
    answer = run("size", room, "shirt", "--take", "--json").json
    assert [one["code"] for one in answer["findings"]] == ["size-altered"]
    shirt = tomllib.loads(brief.read_text("utf-8"))["garment"][0]
    assert (shirt["size"], len(shirt["alteration"])) == ("M", 2)
    assert 'size = "M"     # a guess' in brief.read_text("utf-8")


def test_what_is_cut_already_keeps_its_size(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_text("utf-8").replace('id = "jerkin"\n', 'id = "jerkin"\nstate = { front = "cut" }\n')
    brief.write_text(before, "utf-8")
    answer = run("size", room, "jerkin", "--take")
    assert answer.code == 1
    assert "jerkin: cut already (front) in size M" in answer.err
    assert brief.read_text("utf-8") == before


def test_ease_that_the_brief_asks_for_decides_the_size(run: Run, room: Path, brief: Path) -> None:
    text = brief.read_text("utf-8").replace('id = "jerkin"\n', 'id = "jerkin"\nwanted = { bust = [5, 7] }\n')
    brief.write_text(text, "utf-8")
    told = run("size", room, "jerkin", "--json").json["garments"]["jerkin"]
    assert (told["size"], told["levels"][0]["band"]["low"]) == ("M", 50.0)


def test_what_the_brief_says_already_is_not_written(run: Run, room: Path, brief: Path) -> None:
    before = brief.read_text("utf-8")
    answer = run("size", room, "shirt", "--take")
    assert "The brief says so already; nothing was written." in answer.out
    assert brief.read_text("utf-8") == before


def test_take_wants_a_garment(run: Run, room: Path) -> None:
    answer = run("size", room, "--take")
    assert answer.code == 2
    assert "firsthand size COSTUME GARMENT --take" in answer.err


def test_no_size_blocks(run: Run, room: Path) -> None:
    wearer = room / "wearers" / "isaura.toml"
    kept = [line for line in wearer.read_text("utf-8").splitlines() if not line.startswith("head_girth")]
    wearer.write_text("\n".join(kept) + "\n", "utf-8")
    answer = run("size", room, "hood")
    assert answer.code == 1
    assert "Velour hood: no size can be told." in answer.out
    assert "not taken: head; nothing else decides" in answer.out
    assert run("size", room, "hood", "--take").code == 1


def test_a_dress_form_beside_the_wearer(run: Run, room: Path, brief: Path) -> None:
    (room / "wearers" / "agnes.toml").write_text(FORM, "utf-8")
    answer = run("form", room, "agnes", "--wadding", "8")
    assert answer.code == 0
    assert "mark the wearer's waist" in " ".join(answer.out.split())
    assert "Begin at the bust" in answer.out
    assert "Count the pins out again" in answer.out
    assert "Old Agnes is larger than Isaura Penquill: 3.0 cm at the top hip" in answer.out
    rows = {row["key"]: row for row in run("form", room, "agnes", "--json").json["rows"]}
    assert rows["bust_girth"]["difference"] == pytest.approx(60.0)
    text = brief.read_text("utf-8").replace('wearer = "isaura"', 'wearer = "isaura"\nform = "agnes"')
    brief.write_text(text, "utf-8")
    assert run("form", room, "--json").json["form"] == "agnes"


def test_a_form_that_is_not_there_is_named(run: Run, room: Path, brief: Path) -> None:
    answer = run("form", room)
    assert answer.code == 2
    assert "form = true" in answer.err
    assert run("form", room, "isaura", "--cover", "thick").code == 2
    brief.write_text(brief.read_text("utf-8").replace('wearer = "isaura"', 'wearer = "isaura"\nform = "nobody"'), "utf-8")
    told = run("check", room)
    assert told.code == 2
    assert "wearers/nobody.toml with form = true" in told.err
