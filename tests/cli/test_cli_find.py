"""Which costume a command is about."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from firsthand.cli._find import check_only, find_costume
from firsthand.demo import write_demo
from firsthand.errors import BadInput

Run = Callable[..., Any]


@pytest.fixture
def two(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workroom with two costumes, to stand in."""
    room = tmp_path / "room"
    first = write_demo(room)
    second = room / "costumes" / "second"
    shutil.copytree(first, second, ignore=shutil.ignore_patterns("out"))
    brief = second / "costume.toml"
    lines = [line for line in brief.read_text("utf-8").splitlines() if not line.startswith("name =")]
    brief.write_text("\n".join(['name = "The Second"', *lines]), "utf-8")
    monkeypatch.chdir(room)
    return room


def refused(name: str) -> str:
    with pytest.raises(BadInput) as caught:
        find_costume(name)
    (problem,) = caught.value.problems
    return str(problem)


@pytest.mark.parametrize(
    "name",
    ["second", "second/", "costumes/second", "costumes/second/", "costumes/second/costume.toml", "The Second", "the second"],
)
def test_a_costume_by_id_by_path_and_by_the_name_it_is_shown_by(two: Path, name: str) -> None:
    assert find_costume(name)[1].id == "second"


@pytest.mark.parametrize(("inside", "name"), [("", ""), ("", "."), ("", "costume.toml"), ("out", ""), ("out", "..")])
def test_standing_in_a_costume_chooses_it(two: Path, monkeypatch: pytest.MonkeyPatch, inside: str, name: str) -> None:
    (two / "costumes" / "second" / "out").mkdir()
    monkeypatch.chdir(two / "costumes" / "second" / inside)
    assert find_costume(name)[1].id == "second"


def test_links_lead_to_costumes(two: Path, tmp_path: Path) -> None:
    (two / "costumes" / "linked").symlink_to(two / "costumes" / "second")
    assert [find_costume(name)[1].id for name in ("linked", "costumes/linked")] == ["linked", "linked"]
    (tmp_path / "far").symlink_to(two / "costumes" / "second")
    (two / "near").symlink_to(two / "costumes" / "second")
    assert [find_costume(name)[1].id for name in (str(tmp_path / "far"), "near")] == ["second", "second"]


def test_from_elsewhere_by_path(two: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert find_costume("room/costumes/second")[1].id == "second"
    assert "no workroom" in refused("second")


def test_what_is_no_costume_is_refused_with_those_there_are(two: Path) -> None:
    there = "expected one of second, tide-warden (costumes of room)"
    assert refused("patterns/hose").startswith(f"COSTUME: found 'patterns/hose', {there}.")
    assert refused("nobody").startswith(f"COSTUME: found 'nobody', {there}.")
    assert refused("costumes/nobody").startswith(f"COSTUME: found 'costumes/nobody', {there}.")
    assert refused("").startswith(f"COSTUME: found nothing, {there}.")
    assert refused(".").startswith(f"COSTUME: found '.', {there}.")


def test_a_folder_of_the_workroom_is_no_costume_even_if_there_is_only_one(two: Path) -> None:
    shutil.rmtree(two / "costumes" / "second")
    assert find_costume("")[1].id == find_costume(".")[1].id == "tide-warden"
    for name in ("patterns/hose", "nobody"):
        assert "expected tide-warden (costumes of room)" in refused(name)


def test_a_costume_without_its_file_is_said_to_be_that(two: Path) -> None:
    (two / "costumes" / "third").mkdir()
    for name in ("third", "costumes/third"):
        assert "found costumes/third, a folder without costume.toml, expected one of second, " in refused(name)


def test_a_garment_that_is_not_there_names_the_option(two: Path) -> None:
    costume = find_costume("second")[1]
    check_only(costume, [costume.garments[0].id])
    with pytest.raises(BadInput, match=r"^--only: found 'zork', expected a garment of second: ") as caught:
        check_only(costume, ["zork"])
    assert caught.value.problems[0].remedy == "Write one of these."


def test_a_workroom_is_not_made_within_a_workroom(run: Run, two: Path) -> None:
    for folder in (two / "sub", two / "costumes" / "new" / "sub"):
        answer = run("new", folder)
        assert answer.code == 2
        assert "a folder within the workroom room" in " ".join(answer.err.split())
        assert not folder.exists()


@pytest.mark.parametrize("name", ["a/b", "../../evil", "\N{SOCKS}", " "])
def test_outlines_are_not_put_where_nobody_can_name_them(run: Run, two: Path, name: str) -> None:
    drawing = two / "square.svg"
    box = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
    path = '<path id="bib" d="M 10 10 H 90 V 90 H 10 Z"/>'
    drawing.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {box}>{path}</svg>', "utf-8")
    before = sorted(two.rglob("*"))
    answer = run("import", "svg", drawing, "--into", name)
    assert answer.code == 2
    assert f"--into: found {name!r}, expected a name of letters, digits, spaces, - and _" in " ".join(answer.err.split())
    assert sorted(two.rglob("*")) == before
