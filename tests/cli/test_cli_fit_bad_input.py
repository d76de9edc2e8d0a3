"""Bad input to the commands of the fit: a clear answer, nothing reckoned from what cannot be, nothing half written."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.xdist_group("demo")

Run = Callable[..., Any]
WEARER, COSTUME = Path("wearers") / "isaura.toml", Path("costumes") / "tide-warden" / "costume.toml"


def spoil(room: Path, path: Path, pattern: str, new: str) -> None:
    """Exchange the first words that match in a file."""
    file = room / path
    text = file.read_text("utf-8")
    changed = re.sub(pattern, lambda _: new, text, count=1, flags=re.MULTILINE)
    assert changed != text
    file.write_text(changed, "utf-8")


@pytest.fixture
def inside(room: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(room)
    return room


@pytest.mark.parametrize("girth", ["9", "940"])
def test_an_impossible_body_is_told_by_every_command_and_nothing_is_reckoned_from_it(
    inside: Path, run: Run, girth: str
) -> None:
    for key in ("bust_girth", "waist_girth", "hip_girth"):
        spoil(inside, WEARER, f"^{key} .*", f"{key} = {girth}")
    said = f"full bust cannot be {girth}.0 cm"
    for command in (("fit", "tide-warden"), ("size", "tide-warden", "jerkin"), ("accept", "tide-warden", "jerkin")):
        assert said in run(*command).out, command
    fit = run("fit", "tide-warden", "--json").json
    assert [row["body"] for row in fit["garments"]["jerkin"]["after"]] == [None, None, None]
    assert {finding["code"] for finding in fit["findings"]} == {"measurement-absurd"}
    before = (inside / COSTUME).read_bytes()
    assert "Nothing is proposed" in run("accept", "tide-warden", "jerkin").out
    assert (inside / COSTUME).read_bytes() == before
    findings = run("check", "tide-warden", "--json").json["findings"]
    assert len([one for one in findings if one["code"] == "measurement-absurd"]) == 3


def test_a_body_in_another_unit_has_no_size(inside: Path, run: Run) -> None:
    spoil(inside, WEARER, '^units = "cm"', 'units = "in"')
    done = run("size", "tide-warden")
    assert done.code == 1
    assert "all lengths together look like centimetres written for inches" in done.out


def test_an_impossible_form_is_told(inside: Path, run: Run) -> None:
    (inside / "wearers/stand.toml").write_text(
        'schema = 1\nunits = "cm"\nform = true\n[measurements]\nwaist_girth = 700\nhip_girth = 95\n', "utf-8"
    )
    done = run("form", "tide-warden", "stand", "--json")
    assert [one["code"] for one in done.json["findings"]][:1] == ["measurement-absurd"]
    assert {row["key"]: row["form"] for row in done.json["rows"]}["waist_girth"] is None
    for wadding in ("0.00001", "-3", "900 cm", "nan", "x"):
        answer = run("form", "tide-warden", "stand", "--wadding", wadding)
        assert (answer.code, "Traceback" in answer.err) == (2, False), wadding


@pytest.mark.parametrize(
    ("more", "place"),
    [
        (("--note", "a\nb\x1b[31m"), "words"),
        (("--note", "x" * 3000), "words"),
        (("--beneath", "\x07"), "beneath[1]"),
    ],
)
def test_a_fitting_that_could_not_be_read_again_is_not_written(
    inside: Path, run: Run, more: tuple[str, ...], place: str
) -> None:
    folder = inside / "costumes/tide-warden/fittings"
    before = sorted(folder.iterdir())
    done = run("fitting", "tide-warden", "jerkin", "--pin", "side, waist, 1 cm", "--date", "2027-02-06", *more)
    assert done.code == 2
    assert f"2027-02-06.toml, {place}: found" in done.err
    assert sorted(folder.iterdir()) == before
    assert run("fitting", "tide-warden").code == 0


def test_all_parts_can_be_named_so(inside: Path, run: Run) -> None:
    done = run("state", "tide-warden", "jerkin", "all", "--cut", "--json")
    assert {one["state"] for one in done.json["parts"]} == {"cut"}
    assert 'state = { all = "cut" }' in (inside / COSTUME).read_text("utf-8")
    assert run("state", "tide-warden", "jerkin", "", "--cut").code == 2


def test_cloth_grows_by_no_more_than_it_stretches(inside: Path, run: Run) -> None:
    spoil(inside, Path("shelf/fabrics.toml"), '^id = "melton"$', 'id = "melton"\nstretch_across = 0.1\ngrowth = 0.2')
    done = run("cloth", "melton")
    assert done.code == 2
    assert "found a growth of 20 % of cloth that stretches 10 %, expected no more than the stretch" in done.err


def test_a_fitting_whose_sheets_cannot_be_written_is_said_to_be_saved(inside: Path, run: Run) -> None:
    shutil.rmtree(inside / "costumes/tide-warden/out")
    (inside / "costumes/tide-warden/out").write_text("in the way")
    done = run("fitting", "tide-warden", "jerkin", "--pin", "side, waist, 1 cm", "--date", "2027-02-06")
    assert done.code == 2
    assert "The fitting 2027-02-06 itself is saved" in done.err
    assert (inside / "costumes/tide-warden/fittings/2027-02-06.toml").is_file()


def test_a_workroom_that_cannot_be_written_says_so_and_stays_whole(inside: Path, run: Run, monkeypatch: Any) -> None:
    import os

    files = {path: path.read_bytes() for path in inside.rglob("*.toml")}
    monkeypatch.setattr(os, "fsync", _full)
    for command in (
        ("take", "isaura", "bust_girth", "95"),
        ("state", "tide-warden", "jerkin", "--cut"),
        ("accept", "tide-warden", "jerkin"),
        ("fitting", "tide-warden", "jerkin", "--pin", "side, waist, 1 cm", "--date", "2027-02-06"),
    ):
        done = run(*command)
        assert done.code == 2, command
        assert "could not save" in done.err
        assert {path: path.read_bytes() for path in inside.rglob("*.toml")} == files


def _full(_: int) -> None:
    raise OSError(28, "No space left on device")


@pytest.mark.parametrize("gone", ["cards", "levels"])
def test_a_garment_of_cards_and_a_level_that_no_piece_has(inside: Path, run: Run, gone: str) -> None:
    pattern = inside / "patterns/jerkin"
    if gone == "cards":
        shutil.rmtree(pattern / "pieces")
    else:
        text = (pattern / "pattern.toml").read_text("utf-8")
        tail = '\n[[level]]\nid = "tail"\nname = "Tail"\nbody = "tail_girth"\n'
        (pattern / "pattern.toml").write_text(text + tail, "utf-8")
    for command in (("fit", "tide-warden"), ("size", "tide-warden", "jerkin"), ("fitting", "tide-warden"), ("body", "isaura")):
        done = run(*command, "--json")
        assert done.code in (0, 1), (command, done.err)
        assert done.json
    rows = run("fit", "tide-warden", "--json").json["garments"]["jerkin"]["after"]
    unknown = [row["level"] for row in rows if row["finished"] is None]
    assert unknown == (["bust", "waist", "hip"] if gone == "cards" else ["tail"])
