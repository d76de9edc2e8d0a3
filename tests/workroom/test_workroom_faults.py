"""A save that falls at any point is whole or absent afterwards, and nothing that was confirmed is lost."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from faulty_disk import Fall, FaultyDisk, PowerDisk, fall, full, kill, read_only

from firsthand.errors import NotSaved
from firsthand.workroom import _commit, commit, history, undo
from firsthand.workroom._commit import recover
from firsthand.workroom._io import Disk
from firsthand.workroom._snapshot import snapshot

BEFORE = {"workroom.toml": b"room 1", "wearers/ines.toml": b"74", "patterns/apron/pattern.toml": b"apron"}
CHANGE = {
    "workroom.toml": b"room 2, longer",
    "wearers/ines.toml": None,
    "patterns/apron/pieces/bib.json": b"{}" * 3000,
    "costumes/baker/costume.toml": b"baker",
}
AFTER = {path: contents for path, contents in {**BEFORE, **CHANGE}.items() if contents is not None}


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is certain after a sync is modelled; nothing here needs the real one."""
    monkeypatch.setattr(os, "fsync", lambda handle: None)


def begun(folder: Path) -> Path:
    commit(folder, BEFORE, words="before", disk=FaultyDisk())
    return folder


def change(folder: Path, disk: Disk) -> int:
    return commit(folder, CHANGE, words="change", disk=disk)


def operations(folder: Path) -> int:
    disk = FaultyDisk()
    change(begun(folder), disk)
    return disk.count


def state(folder: Path) -> dict[str, bytes]:
    """What a reader sees, and what is really there, which must be the same."""
    seen = {path: contents for path, contents in snapshot(folder).files.items() if contents is not None}
    there = {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not str(path.relative_to(folder)).startswith(".") and not path.name.endswith(".saving")
    }
    assert seen == there
    return seen


def check(folder: Path, *, confirmed: bool = False) -> bool:
    """Whole or absent; the history agrees; life goes on. Gives whether the save is there."""
    found = state(folder)
    assert found in (BEFORE, AFTER)
    whole = found == AFTER
    assert whole or not confirmed
    assert [entry.words for entry in history(folder)] == ["before", "change"][: 2 if whole else 1]
    assert commit(folder, {"machines.toml": b"more"}, words="more", disk=FaultyDisk()) == (3 if whole else 2)
    assert state(folder) == {**found, "machines.toml": b"more"}
    undo(folder, disk=FaultyDisk())
    if whole:
        undo(folder, disk=FaultyDisk())
    assert state(folder) == BEFORE
    assert not list(folder.rglob("*.saving"))
    return whole


def outcomes(tmp_path: Path, run: Callable[[Path, int], bool]) -> list[bool]:
    """The outcome of a fall at each operation of the save, each in a folder of its own."""
    count = operations(tmp_path / "count")
    assert count > 30
    return [run(begun(tmp_path / f"room {at}"), at) for at in range(1, count + 1)]


def whole_from_one_point_on(found: list[bool]) -> None:
    """The save never was until it is recorded, and always will be after it."""
    assert found == sorted(found)
    assert not found[0]
    assert found[-1]


@pytest.mark.parametrize("torn", [False, True])
def test_the_process_ends_at_any_operation(tmp_path: Path, torn: bool) -> None:
    def run(folder: Path, at: int) -> bool:
        with pytest.raises(Fall):
            change(folder, FaultyDisk(at, fall, torn=torn))
        return check(folder)

    whole_from_one_point_on(outcomes(tmp_path, run))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_the_process_is_killed_at_any_operation(tmp_path: Path) -> None:
    def run(folder: Path, at: int) -> bool:
        child = os.fork()
        if not child:
            change(folder, FaultyDisk(at, kill))
            os._exit(0)
        assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL
        return check(folder)

    whole_from_one_point_on(outcomes(tmp_path, run))


@pytest.mark.parametrize("names_survive", [False, True])
def test_the_power_goes_at_any_operation(tmp_path: Path, names_survive: bool) -> None:
    def run(folder: Path, at: int) -> bool:
        disk = PowerDisk(folder, at)
        with pytest.raises(Fall):
            change(folder, disk)
        left = folder.with_name(f"{folder.name} left")
        disk.after_power_loss(left, names_survive=names_survive)
        return check(left)

    whole_from_one_point_on(outcomes(tmp_path, run))


@pytest.mark.parametrize("names_survive", [False, True])
def test_what_was_confirmed_outlives_the_power(tmp_path: Path, names_survive: bool) -> None:
    folder = begun(tmp_path / "room")
    disk = PowerDisk(folder)
    assert change(folder, disk) == 2
    disk.after_power_loss(tmp_path / "left", names_survive=names_survive)
    assert check(tmp_path / "left", confirmed=True)


@pytest.mark.parametrize("why", [full, read_only])
def test_an_error_at_any_operation_says_what_became_of_the_save(tmp_path: Path, why: Callable[[], None]) -> None:
    def run(folder: Path, at: int) -> bool:
        with pytest.raises(NotSaved) as caught:
            change(folder, FaultyDisk(at, why))
        whole = check(folder)
        assert caught.value.recorded is whole, caught.value
        assert ("will be finished" if whole else "nothing was changed") in str(caught.value)
        return whole

    whole_from_one_point_on(outcomes(tmp_path, run))


def test_falling_again_while_mending_does_no_harm(tmp_path: Path) -> None:
    count = operations(tmp_path / "count")
    tried = 0
    for at in range(1, count + 1, 2):
        fallen = begun(tmp_path / f"room {at}")
        with pytest.raises(Fall):
            change(fallen, FaultyDisk(at, fall))
        mending = FaultyDisk()
        shutil.copytree(fallen, tmp_path / f"copy {at}")
        recover(tmp_path / f"copy {at}", disk=mending)
        for again in range(1, mending.count + 1, 5):
            folder = tmp_path / f"room {at} {again}"
            shutil.copytree(fallen, folder)
            with pytest.raises(Fall):
                recover(folder, disk=FaultyDisk(again, fall))
            check(folder)
            tried += 1
    assert tried > 50


def test_a_reader_who_cannot_write_sees_the_recorded_save(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = begun(tmp_path / "room")
    at = next(n for n, what in enumerate(_log(tmp_path / "log"), 1) if what.startswith("rename .workroom.toml"))
    with pytest.raises(NotSaved):
        change(folder, FaultyDisk(at, full))
    assert (folder / "workroom.toml").read_bytes() == b"room 1"

    def refuse(root: Path) -> None:
        read_only()

    with monkeypatch.context() as patch:
        patch.setattr(_commit, "held", refuse)
        taken = snapshot(folder)
    assert {path: contents for path, contents in taken.files.items() if contents is not None} == AFTER
    assert taken.revision == 2
    assert check(folder)


def _log(folder: Path) -> list[str]:
    disk = FaultyDisk()
    change(begun(folder), disk)
    return disk.log


def test_an_edit_between_the_fall_and_the_mending_is_kept(tmp_path: Path) -> None:
    folder = begun(tmp_path / "room")
    at = next(n for n, what in enumerate(_log(tmp_path / "log"), 1) if what.startswith("rename .workroom.toml"))
    with pytest.raises(Fall):
        change(folder, FaultyDisk(at, fall))
    (folder / "workroom.toml").write_bytes(b"by hand")
    assert state(folder) == AFTER
    assert (folder / ".history" / "000002" / "found" / "workroom.toml").read_bytes() == b"by hand"


def test_a_journal_that_was_overtaken_is_dropped(tmp_path: Path) -> None:
    """A journal brought back by a synchronising folder, of a save that others have built upon, is not played again."""
    folder = begun(tmp_path / "room")
    at = next(n for n, what in enumerate(_log(tmp_path / "log"), 1) if what == "write .entry.json.saving")
    with pytest.raises(Fall):
        change(folder, FaultyDisk(at, fall))
    journal = (folder / ".journal" / "save").read_bytes()
    assert state(folder) == AFTER
    commit(folder, {"workroom.toml": b"room 3"}, words="later")
    (folder / ".journal" / "save").write_bytes(journal)
    assert state(folder) == {**AFTER, "workroom.toml": b"room 3"}
    assert len(history(folder)) == 3


def test_a_journal_of_rubbish_is_dropped(tmp_path: Path) -> None:
    folder = begun(tmp_path / "room")
    for rubbish in (b"", b"{}", b"\0" * 5000):
        (folder / ".journal" / "save").write_bytes(rubbish)
        assert state(folder) == BEFORE
        assert not (folder / ".journal" / "save").exists()
