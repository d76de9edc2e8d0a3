"""The commands about a fabric: what is known of it, and what it asks of a garment."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def test_what_is_missing_of_a_cloth_is_told_with_its_trial(run: Run, room: Path) -> None:
    shelf = room / "shelf" / "fabrics.toml"
    lines = [line for line in shelf.read_text("utf-8").splitlines() if not line.startswith(("growth", "pull"))]
    shelf.write_text("\n".join(lines) + "\n", "utf-8")
    told = run("cloth", "velour", room)
    assert told.code == 0
    assert "hold it so for one minute" in " ".join(told.out.split()).replace("Stretch it as far as before and ", "")
    assert "on no foot" in " ".join(told.out.split())
    assert run("cloth", "velour", room, "--json").json["missing"] == ["growth", "pull"]


def test_a_cloth_is_found_by_its_name_and_everything_known_is_said(run: Run, made: Path) -> None:
    told = run("cloth", "sea-green stretch velour", made)
    assert told.code == 0
    assert "Everything that matters is known" in told.out
    assert "60 %" in told.out
    assert "Hold the fold against a ruler" in run("cloth", "velour", made, "--why").out


def test_a_cloth_that_is_not_there(run: Run, made: Path) -> None:
    told = run("cloth", "brocade", made)
    assert told.code == 2
    assert "there is velour" in told.err


def test_the_fit_tells_what_the_cloth_does(run: Run, made: Path) -> None:
    told = run("fit", made, "--only", "hose")
    assert "Cut smaller for Sea-green stretch velour" in told.out
    assert "advised:" in told.out
    cloth = run("fit", made, "--only", "hose", "--json").json["garments"]["hose"]["cloth"]
    assert [row["level"] for row in cloth["levels"]] == ["waist", "hip", "thigh", "calf"]
    assert all(row["pressure"][0] < row["pressure"][1] for row in cloth["levels"])
    assert "Laplace" in run("fit", made, "--only", "hose", "--why").out


def test_what_the_cloth_asks_for_is_accepted_with_one_command(run: Run, room: Path) -> None:
    before = run("fit", room, "--only", "hose", "--json").json["garments"]["hose"]["cloth"]
    assert run("accept", room, "hose", "--cloth").code == 0
    data = tomllib.loads((room / "costumes" / "tide-warden" / "costume.toml").read_text("utf-8"))
    hose = next(garment for garment in data["garment"] if garment["id"] == "hose")
    assert [entry["kind"] for entry in hose["alteration"]] == ["stretch"]
    after = run("fit", room, "--only", "hose", "--json").json["garments"]["hose"]
    finished = {row["level"]: row["finished"] for row in after["after"]}
    assert finished == pytest.approx({row["level"]: row["target"] for row in before["levels"]}, abs=0.5)
    assert after["cloth"]["alterations"] == []
    assert run("accept", room, "hose", "--cloth").out.startswith("Nothing is proposed")


def test_a_share_of_the_stretch_is_read_from_the_brief(run: Run, room: Path) -> None:
    brief = room / "costumes" / "tide-warden" / "costume.toml"
    text = brief.read_text("utf-8")
    brief.write_text(text.replace('cut = "skin-tight"\n', 'cut = "skin-tight"\nstretch_share = "20 %"\n'), "utf-8")
    cloth = run("fit", room, "--only", "hose", "--json").json["garments"]["hose"]["cloth"]
    assert all(row["target_strain"] == pytest.approx(0.12, abs=1e-6) for row in cloth["levels"])
    brief.write_text(text.replace('cut = "skin-tight"\n', 'cut = "skin-tight"\nstretch_share = 0.9\n'), "utf-8")
    refused = run("fit", room, "--only", "hose")
    assert refused.code == 2
    assert "stretch_share" in refused.err
