"""What the fit proposes, accepted into the costume's file with one command."""

from __future__ import annotations

import difflib
import json
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., object]
FILE = "costumes/tide-warden/costume.toml"


@pytest.fixture
def inside(room: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(room)
    return room


def stack(room: Path, garment: str) -> list[dict[str, object]]:
    data = tomllib.loads((room / FILE).read_text())
    return next(one.get("alteration", []) for one in data["garment"] if one["id"] == garment)


def test_a_proposal_is_written_and_nothing_else_and_undone(inside: Path, run: Run) -> None:
    before = (inside / FILE).read_text()
    shown = run("accept", "tide-warden", "jerkin", "--dry-run")
    assert shown.code == 0  # type: ignore[attr-defined]
    assert "[[garment.alteration]]" in shown.out  # type: ignore[attr-defined]
    assert (inside / FILE).read_text() == before
    done = run("accept", "tide-warden", "jerkin")
    assert done.code == 0  # type: ignore[attr-defined]
    after = (inside / FILE).read_text()
    assert [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] == "-"] == []
    (entry,) = stack(inside, "jerkin")
    assert entry["kind"] == "take-in"
    assert float(entry["amount"]) < 0  # type: ignore[arg-type]
    assert "# from the proposal of the fit, for the ease wanted at bust" in after
    assert run("undo").code == 0  # type: ignore[attr-defined]
    assert (inside / FILE).read_text() == before


def test_after_it_was_accepted_nothing_is_proposed(inside: Path, run: Run) -> None:
    assert run("accept", "tide-warden", "jerkin").code == 0  # type: ignore[attr-defined]
    again = run("accept", "tide-warden", "jerkin")
    assert again.code == 0  # type: ignore[attr-defined]
    assert "Nothing is proposed for Laced melton jerkin" in again.out  # type: ignore[attr-defined]
    assert len(stack(inside, "jerkin")) == 1
    fit = run("fit", "--only", "jerkin", "--json").json  # type: ignore[attr-defined]
    rows = fit["garments"]["jerkin"]["after"]
    assert {row["verdict"] for row in rows} == {"good"}


def test_a_proposal_accepted_takes_the_place_of_take_in(inside: Path, run: Run) -> None:
    """With take_in = true the same is applied at each run, and after it was accepted nothing is left for it to do."""
    before = run("fit", "--only", "hose", "--json").json["garments"]["hose"]["after"]  # type: ignore[attr-defined]
    assert run("accept", "tide-warden", "hose").code == 0  # type: ignore[attr-defined]
    fit = run("fit", "--only", "hose", "--json").json["garments"]["hose"]  # type: ignore[attr-defined]
    assert [row["finished"] for row in fit["after"]] == pytest.approx([row["finished"] for row in before], abs=0.01)
    assert fit["proposal"]["alterations"] == []


def test_only_one_level_or_one_other_kind_is_accepted(inside: Path, run: Run) -> None:
    answer = run("accept", "tide-warden", "hose", "--only", "waist", "--json").json  # type: ignore[attr-defined]
    assert answer["revision"] is not None
    (entry,) = stack(inside, "hose")
    stations = dict(entry["stations"])  # type: ignore[call-overload]
    assert stations["level waist"] > 0
    assert {stations[name] for name in stations if name != "level waist"} == {0}
    assert run("accept", "tide-warden", "hose", "--only", "fit seat").code == 0  # type: ignore[attr-defined]
    assert [one["kind"] for one in stack(inside, "hose")] == ["take-in", "seat"]
    unknown = run("accept", "tide-warden", "hose", "--only", "elbow")
    assert unknown.code == 2  # type: ignore[attr-defined]
    assert "elbow" in unknown.err  # type: ignore[attr-defined]


def test_a_second_one_gets_an_id_of_its_own(inside: Path, run: Run) -> None:
    assert run("accept", "tide-warden", "hose", "--only", "waist").code == 0  # type: ignore[attr-defined]
    assert run("accept", "tide-warden", "hose").code == 0  # type: ignore[attr-defined]
    names = [one["id"] for one in stack(inside, "hose")]
    assert len(set(names)) == len(names) > 1


def test_the_fit_says_what_is_proposed_short_and_with_the_working(inside: Path, run: Run) -> None:
    short, long = run("fit", "--only", "jerkin"), run("fit", "--only", "jerkin", "--why")
    assert "Let out" in short.out  # type: ignore[attr-defined]
    assert "proposed at" not in short.out  # type: ignore[attr-defined]
    assert "proposed at" in long.out  # type: ignore[attr-defined]
    told = run("fit", "--only", "jerkin", "--json").json["garments"]["jerkin"]["proposal"]  # type: ignore[attr-defined]
    assert {"words", "rows", "alterations", "others", "missing", "findings"} <= set(told)
    assert {row["level"] for row in told["rows"]} == {"bust", "waist", "hip"}
    assert json.dumps(told)
