"""``firsthand fitting`` and ``firsthand state``."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
FOLDER = "costumes/tide-warden/fittings"


@pytest.fixture
def inside(room: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(room)
    return room


def test_pins_are_entered_and_answered_and_taken_back(inside: Path, run: Run) -> None:
    words = "left side seam, 8 cm below the waist, 4 mm, doubled, to nothing at hip"
    done = run("fitting", "tide-warden", "jerkin", "--pin", words, "--carry", "--date", "2027-02-06", "--note", "Basted")
    assert done.code == 0
    assert "pinned 0.4 cm in the fold" in done.out
    assert "chalk-strips-2027-02-06-A4.pdf" in done.out.replace("\n", "")
    data = tomllib.loads((inside / FOLDER / "2027-02-06.toml").read_text())
    (pin,) = data["pin"]
    assert pin == {
        "garment": "jerkin", "seam": "side", "hand": "left", "at": "8 cm below waist", "amount": 0.4, "doubled": True,
        "carry": True, "nothing": ["hip"],
    }  # fmt: skip
    assert (inside / "costumes/tide-warden/out/jerkin/fitting-2027-02-06.pdf").read_bytes().startswith(b"%PDF")
    assert run("undo").code == 0
    assert not (inside / FOLDER / "2027-02-06.toml").exists()


def test_what_was_sewn_is_told_to_machines(inside: Path, run: Run) -> None:
    run("state", "tide-warden", "jerkin", "--cut")
    done = run(
        "fitting", "tide-warden", "jerkin", "--sewn", "side, hip, let out 14 mm, to the end", "--date", "2027-02-06", "--json"
    )
    told = done.json
    assert told["fitting"] == "2027-02-06"
    assert {one["outcome"] for one in told["consequences"]} == {"recut"}
    assert {one["code"] for one in told["findings"]} == {"fitting-inlay-short"}
    assert told["lines"][0]["name"] == "side"
    assert all(Path(file).is_file() for file in told["files"])


def test_everything_wrong_is_told_with_what_was_meant(inside: Path, run: Run) -> None:
    done = run("fitting", "tide-warden", "jerkin", "--pin", "sid left, waste, 12, dubled", "--on", "nobody", "--date", "6.2.27")
    assert done.code == 2
    for words in ("--date", "--on", "Did you mean doubled", "as 12 mm", "Did you mean seam side"):
        assert words in done.err
    assert not (inside / FOLDER / "2027-02-06.toml").exists()
    assert run("fitting", "tide-warden", "--pin", "side, waist, 1 cm").code == 2


def test_history_is_listed_and_goes_into_the_pattern(inside: Path, run: Run) -> None:
    listed = run("fitting", "tide-warden")
    assert listed.code == 0
    assert "2027-01-23, jerkin, on isaura" in listed.out
    assert "ease before" in listed.out
    done = run("fitting", "tide-warden", "2027-01-23", "--into-pattern")
    assert done.code == 0
    assert "in the stack of jerkin" in done.out
    again = run("fitting", "tide-warden", "2027-01-23", "--json").json["fittings"]
    assert [one["applied"] for one in again] == [False]
    assert run("fitting", "tide-warden", "2027-01-23", "--into-pattern").code == 2
    assert run("fitting", "tide-warden", "2027-01-24").code == 2
    assert run("fitting", "tide-warden", "cloak").code == 2


def test_states_are_said_and_shown(inside: Path, run: Run) -> None:
    done = run("state", "tide-warden", "jerkin", "front", "back lining", "--cut", "--json")
    states = {one["part"]: one["state"] for one in done.json["parts"]}
    assert states["front left shell"] == states["back centre lining"] == "cut"
    assert states["back centre shell"] == "planned"
    shown = run("state", "tide-warden", "jerkin")
    assert "front right shell: cut" in shown.out
    wrong = run("state", "tide-warden", "jerkin", "frot", "--sewn")
    assert wrong.code == 2
    assert "front" in wrong.err
    assert run("state", "tide-warden", "jerkin", "--sewn", "--cut").code == 2
