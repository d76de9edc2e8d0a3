"""What is put into ``out/``: written when changed, kept when not, removed when no longer made."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from firsthand.errors import BadInput
from firsthand.sheets import SheetFile
from firsthand.workroom._cache import Kept
from firsthand.workroom.out import write_out


def kept(content: str, *sheets: tuple[str, bytes]) -> Kept[tuple[SheetFile, ...]]:
    return Kept(content, lambda: tuple(SheetFile(name, "list", name, data) for name, data in sheets))


def unread() -> tuple[SheetFile, ...]:
    raise AssertionError("what has not changed must not be read back")


def test_only_what_changed_is_written(tmp_path: Path) -> None:
    first = write_out(tmp_path, {"a": kept("1", ("a/x.pdf", b"x")), "b": kept("2", ("y.pdf", b"y"))})
    assert first.written == ("a/x.pdf", "y.pdf")
    again = write_out(tmp_path, {"a": Kept("1", unread), "b": kept("3", ("y.pdf", b"new"))})
    assert (again.written, again.removed) == (("y.pdf",), ())
    assert [item.name for item in again.files] == ["a/x.pdf", "y.pdf"]
    assert (tmp_path / "y.pdf").read_bytes() == b"new"


def test_what_is_no_longer_made_is_removed_and_nothing_else(tmp_path: Path) -> None:
    write_out(tmp_path, {"a": kept("1", ("x.pdf", b"x"), ("y.pdf", b"y"))})
    (tmp_path / "mine.txt").write_text("kept")
    assert write_out(tmp_path, {"a": kept("2", ("y.pdf", b"y"))}).removed == ("x.pdf",)
    assert sorted(path.name for path in tmp_path.iterdir()) == [".made.json", "mine.txt", "y.pdf"]


def test_a_file_that_was_deleted_or_damaged_is_written_again(tmp_path: Path) -> None:
    sheets = {"a": kept("1", ("x.pdf", b"x"), ("y.pdf", b"y"))}
    write_out(tmp_path, sheets)
    (tmp_path / "x.pdf").unlink()
    (tmp_path / "y.pdf").write_bytes(b"scribble")
    assert write_out(tmp_path, sheets).written == ("x.pdf", "y.pdf")
    (tmp_path / ".made.json").write_text("{")
    assert write_out(tmp_path, sheets).written == ()


@pytest.mark.parametrize("name", ["../../mine.txt", "/mine.txt", "a/../../mine.txt"])
def test_a_manifest_that_leads_out_of_the_folder_removes_nothing(tmp_path: Path, name: str) -> None:
    out = tmp_path / "costume" / "out"
    out.mkdir(parents=True)
    mine = tmp_path / "mine.txt"
    mine.write_text("kept")
    listed = {"name": name, "kind": "", "title": "", "paper": "", "pages": 1, "test_square": 0, "sha256": ""}
    if name.startswith("/"):
        listed["name"] = str(mine)
    (out / ".made.json").write_text(json.dumps({"costume": {"content": "x", "files": [listed]}}))
    assert write_out(out, {"a": kept("1", ("x.pdf", b"x"))}).removed == ()
    assert mine.read_text() == "kept"


def test_what_lies_in_the_way_is_named_with_a_remedy(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(BadInput) as caught:
        write_out(tmp_path / "out", {"a": kept("1", ("x.pdf", b"x"))})
    (problem,) = caught.value.problems
    assert problem.file.startswith(str(tmp_path / "out"))
    assert "Move away" in problem.remedy
