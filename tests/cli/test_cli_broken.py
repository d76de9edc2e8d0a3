"""A piece that is broken is told and left out, and everything else is made."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("demo")

COSTUME = Path("costumes") / "tide-warden"


def bend_the_back(room: Path, by: float) -> None:
    """Move the middle of the shirt back's fold edge, mm."""
    file = room / "patterns" / "shirt" / "pieces" / "back.json"
    piece = json.loads(file.read_text("utf-8"))
    for shape in piece["sizes"].values():
        edge = next(edge for edge in shape["edges"] if edge["id"] == "centre")
        (x, top), (_, (_, low)) = edge["start"], edge["path"][-1]
        edge["path"] = [["line", [x + by, (top + low) / 2]], ["line", [x, low]]]
    file.write_text(json.dumps(piece), "utf-8")


def made(room: Path, run: Callable[..., Any]) -> tuple[int, dict[str, list[Any]], list[str]]:
    answer = run("make", room / COSTUME, "--seconds", "0.3", "--json")
    found: dict[str, list[Any]] = {}
    for finding in answer.json["findings"]:
        found.setdefault(finding["code"], []).append(finding)
    return answer.code, found, [file["name"] for file in answer.json["files"]]


def test_a_fold_edge_bent_by_a_hair_changes_nothing(room: Path, run: Callable[..., Any]) -> None:
    _, before, files = made(room, run)
    bend_the_back(room, 0.03)
    _, after, same = made(room, run)
    assert {code: len(found) for code, found in after.items()} == {code: len(found) for code, found in before.items()}
    assert same == files


def test_one_piece_that_cannot_be_cut_stops_nothing_else(room: Path, run: Callable[..., Any]) -> None:
    _, _, files = made(room, run)
    bend_the_back(room, 2.0)
    code, found, still = made(room, run)
    assert code == 1
    assert still == files
    assert [finding["where"] for finding in found["fold-edge"]] == [["shirt", "back"]]
    (lacking,) = found["piece-not-laid"]
    assert lacking["blocks"] == [{"act": act, "what": "linen"} for act in ("cut", "lay")]
    assert (room / COSTUME / "out" / "lays" / "linen.pdf").is_file()


def test_a_cache_that_cannot_be_written_is_told_and_stops_nothing(room: Path, run: Callable[..., Any]) -> None:
    shutil.rmtree(room / ".cache")
    (room / ".cache").write_text("in the way")
    answer = run("check", room / COSTUME, "--json")
    (finding,) = [finding for finding in answer.json["findings"] if finding["code"] == "cache-unusable"]
    assert (finding["severity"], finding["blocks"]) == ("note", [])
