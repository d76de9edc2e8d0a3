"""Saving, taking back, and going back."""

from __future__ import annotations

import json
import multiprocessing
import os
import socket
import time
from pathlib import Path

import pytest

from firsthand.errors import BadInput, Conflict, NotThere
from firsthand.workroom import _lock, commit, history, restore, undo
from firsthand.workroom._journal import digest
from firsthand.workroom._lock import held
from firsthand.workroom._snapshot import snapshot


def contents(folder: Path) -> dict[str, bytes]:
    """Everything that is not firsthand's own."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not str(path.relative_to(folder)).startswith(".")
    }


def test_a_save_writes_all_its_files(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "room"
    assert commit(folder, {"workroom.toml": b"a", "patterns/x/pieces/y.json": b"b"}, words="first") == 1
    assert contents(folder) == {"workroom.toml": b"a", "patterns/x/pieces/y.json": b"b"}
    assert commit(folder, {"workroom.toml": b"c", "patterns/x/pieces/y.json": None}, words="second") == 2
    assert contents(folder) == {"workroom.toml": b"c"}
    assert not (folder / "patterns").exists()
    assert [(entry.revision, entry.words, entry.files) for entry in history(folder)] == [
        (1, "first", ("patterns/x/pieces/y.json", "workroom.toml")),
        (2, "second", ("patterns/x/pieces/y.json", "workroom.toml")),
    ]
    assert list((folder / ".journal").iterdir()) == []


def test_a_save_that_changes_nothing_is_none(tmp_path: Path) -> None:
    commit(tmp_path, {"a.toml": b"1"}, words="first")
    assert commit(tmp_path, {"a.toml": b"1", "b.toml": None}, words="again") == 1


def test_undo_goes_back_step_by_step(tmp_path: Path) -> None:
    states = [{}, {"a.toml": b"1"}, {"a.toml": b"2", "w/b.toml": b"1"}, {"w/b.toml": b"2"}]
    for state in states[1:]:
        commit(tmp_path, {"a.toml": None, **state}, words="step")
    for number, state in enumerate(reversed(states[:-1]), 4):
        assert undo(tmp_path) == number
        assert contents(tmp_path) == state
    with pytest.raises(NotThere):
        undo(tmp_path)
    assert [entry.undoes for entry in history(tmp_path)] == [0, 0, 0, 3, 2, 1]


def test_saving_after_undo_is_undone_first(tmp_path: Path) -> None:
    for value in (b"1", b"2"):
        commit(tmp_path, {"a.toml": value}, words="step")
    undo(tmp_path)
    commit(tmp_path, {"a.toml": b"3"}, words="step")
    undo(tmp_path)
    assert contents(tmp_path) == {"a.toml": b"1"}
    undo(tmp_path)
    assert contents(tmp_path) == {}


def test_any_state_comes_back(tmp_path: Path) -> None:
    states = [{}, {"a": b"1"}, {"a": b"2", "w/b": b"1"}, {"w/b": b"2"}, {"c": b"1", "w/b": b"2"}]
    for state in states[1:]:
        commit(tmp_path, {"a": None, **state}, words="step")
    for revision in (2, 4, 0, 3, 1):
        restore(tmp_path, revision)
        assert contents(tmp_path) == states[revision], revision
    undo(tmp_path)
    assert contents(tmp_path) == states[3]
    with pytest.raises(NotThere, match="99"):
        restore(tmp_path, 99)


def test_what_was_edited_by_hand_is_not_taken_back_unasked(tmp_path: Path) -> None:
    commit(tmp_path, {"a.toml": b"1"}, words="first")
    commit(tmp_path, {"a.toml": b"2"}, words="second")
    (tmp_path / "a.toml").write_bytes(b"by hand")
    for back in (undo, lambda folder: restore(folder, 1)):
        with pytest.raises(Conflict, match=r"a\.toml was changed meanwhile"):
            back(tmp_path)
    assert contents(tmp_path) == {"a.toml": b"by hand"}
    revision = undo(tmp_path, over_edits=True)
    assert contents(tmp_path) == {"a.toml": b"1"}
    assert (tmp_path / ".history" / f"{revision:06d}" / "former" / "a.toml").read_bytes() == b"by hand"


def test_an_edit_by_hand_between_saves_is_kept(tmp_path: Path) -> None:
    commit(tmp_path, {"a.toml": b"1"}, words="first")
    (tmp_path / "a.toml").write_bytes(b"by hand")
    commit(tmp_path, {"a.toml": b"2"}, words="second")
    undo(tmp_path)
    assert contents(tmp_path) == {"a.toml": b"by hand"}


@pytest.mark.parametrize(
    "path",
    [
        "../a", "/etc/a", "a/../../b", "a//b", "", "./a", "a\\b", "c:a", ".history/a", ".journal/save", ".lock", ".History/x",
        "x/.a.saving", "x" * 300, "x/" * 600 + "y", "a\0b", "a\ud800", "why?", "a\nb", "dot./a", "space /a",
    ],
)  # fmt: skip
def test_paths_that_lead_astray_are_refused(tmp_path: Path, path: str) -> None:
    with pytest.raises(BadInput):
        commit(tmp_path / "room", {"good.toml": b"1", path: b"2"}, words="astray")
    assert not (tmp_path / "room" / "good.toml").exists()


def test_links_that_lead_astray_are_refused(tmp_path: Path) -> None:
    (tmp_path / "room").mkdir()
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "room" / "link").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(BadInput, match="leads out of the workroom"):
        commit(tmp_path / "room", {"link/a.toml": b"1"}, words="astray")


@pytest.mark.parametrize("files", [{"w": b"1"}, {"a.toml/b": b"1"}, {"n": b"1", "n/b": b"1"}])
def test_a_file_in_the_place_of_a_folder_is_refused(tmp_path: Path, files: dict[str, bytes]) -> None:
    commit(tmp_path, {"a.toml": b"1", "w/b.toml": b"1"}, words="first")
    with pytest.raises(BadInput, match="a file and a folder of one name"):
        commit(tmp_path, files, words="astray")
    assert len(history(tmp_path)) == 1


def test_the_rights_of_a_file_stay(tmp_path: Path) -> None:
    commit(tmp_path, {"a.toml": b"1"}, words="first")
    (tmp_path / "a.toml").chmod(0o600)
    commit(tmp_path, {"a.toml": b"2"}, words="second")
    assert (tmp_path / "a.toml").stat().st_mode & 0o777 == 0o600


# two at once ------------------------------------------------------------------------------------------------


def test_a_save_made_from_an_older_state_is_refused(tmp_path: Path) -> None:
    commit(tmp_path, {"a.toml": b"1"}, words="first")
    with pytest.raises(Conflict, match="at revision 1, not 0"):
        commit(tmp_path, {"a.toml": b"2"}, words="late", expected_revision=0)
    known = {"a.toml": digest(b"1"), "b.toml": ""}
    (tmp_path / "a.toml").write_bytes(b"by hand")
    with pytest.raises(Conflict, match=r"a\.toml was changed"):
        commit(tmp_path, {"b.toml": b"2"}, words="late", expected=known)
    assert contents(tmp_path) == {"a.toml": b"by hand"}


def test_somebody_who_saves_now_is_waited_for_and_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_lock, "WAIT", 0.05)
    with held(tmp_path), pytest.raises(Conflict, match=f"by process {os.getpid()}"):
        commit(tmp_path, {"a.toml": b"1"}, words="meanwhile")
    assert commit(tmp_path, {"a.toml": b"1"}, words="afterwards") == 1


def test_the_mark_of_a_dead_process_is_stale(tmp_path: Path) -> None:
    (tmp_path / ".lock").write_text(json.dumps({"pid": 999_999_999, "device": socket.gethostname(), "since": time.time()}))
    assert commit(tmp_path, {"a.toml": b"1"}, words="first") == 1
    assert (tmp_path / ".lock").read_text() == ""


@pytest.mark.parametrize(("age", "refused"), [(30.0, True), (7200.0, False), (-60.0, False)])
def test_another_device_is_named(tmp_path: Path, age: float, refused: bool) -> None:
    (tmp_path / ".lock").write_text(json.dumps({"pid": 1, "device": "attic computer", "since": time.time() - age}))
    if refused:
        with pytest.raises(Conflict, match="attic computer"):
            commit(tmp_path, {"a.toml": b"1"}, words="first")
    else:
        assert commit(tmp_path, {"a.toml": b"1"}, words="first") == 1


@pytest.mark.parametrize("mark", ["nonsense", "[1]", '{"device": 5}', '{"device": "x", "since": "now"}'])
def test_a_mark_that_cannot_be_read_hinders_nobody(tmp_path: Path, mark: str) -> None:
    (tmp_path / ".lock").write_text(mark)
    assert commit(tmp_path, {"a.toml": b"1"}, words="first") == 1


def _save_often(folder: str, name: str, times: int) -> None:
    done = 0
    while done < times:
        taken = snapshot(Path(folder))
        count = int(taken.files["machines.toml"] or b"0") + 1
        try:
            commit(
                folder,
                {"machines.toml": str(count).encode(), "workroom.toml": str(count).encode()},
                words=name,
                expected_revision=taken.revision,
            )
            done += 1
        except Conflict:
            continue


def test_two_processes_lose_nothing_and_a_reader_sees_no_halves(tmp_path: Path) -> None:
    commit(tmp_path, {"machines.toml": b"0", "workroom.toml": b"0"}, words="first")
    context = multiprocessing.get_context("fork")
    writers = [context.Process(target=_save_often, args=(str(tmp_path), name, 10)) for name in ("one", "two")]
    for writer in writers:
        writer.start()
    while any(writer.is_alive() for writer in writers):
        files = snapshot(tmp_path).files
        assert files["machines.toml"] == files["workroom.toml"]
    for writer in writers:
        writer.join()
        assert writer.exitcode == 0
    assert contents(tmp_path) == {"machines.toml": b"20", "workroom.toml": b"20"}
    assert sorted(entry.words for entry in history(tmp_path)) == ["first", *["one"] * 10, *["two"] * 10]
