"""The cache of stages: what is kept, what runs again, what happens when its files are damaged."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firsthand.workroom import _cache
from firsthand.workroom._cache import Cache, Kept, Stage, program_digest
from firsthand.workroom._canonical import digest

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5) | st.binary(max_size=5),
    lambda inner: st.tuples(inner, inner) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=8,
)


def exact(value: object) -> object:
    """A value that compares equal only where type, sign of zero and content are the same."""
    if isinstance(value, float):
        return ("float", value.hex())
    if isinstance(value, tuple):
        return ("tuple", tuple(exact(item) for item in value))
    if isinstance(value, dict):
        return ("dict", frozenset((key, exact(item)) for key, item in value.items()))
    return (type(value).__name__, value)


@given(VALUES, VALUES)
def test_digests_are_equal_exactly_for_equal_values(one: object, two: object) -> None:
    assert (digest(one) == digest(two)) == (exact(one) == exact(two))


@dataclass(frozen=True)
class Inches:
    length: float


@dataclass(frozen=True)
class Centimetres:
    length: float


def test_the_type_of_a_value_is_part_of_its_digest() -> None:
    assert digest(Inches(1.0)) != digest(Centimetres(1.0))
    with pytest.raises(TypeError, match="set has no canonical form"):
        digest({1, 2})


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    return Cache(tmp_path)


def stage(name: str, function: object, gives: object = float) -> Stage[float]:
    return Stage(name, "geometry", function, gives)  # type: ignore[arg-type]


def test_a_stage_runs_once_for_the_same_arguments(cache: Cache) -> None:
    runs: list[float] = []

    def half(number: float) -> float:
        runs.append(number)
        return number / 2

    halve = stage("half", half)
    assert [cache.call(halve, "x", 6.0).value for _ in range(2)] == [3.0, 3.0]
    assert cache.call(halve, "x", 8.0).value == 4.0
    assert runs == [6.0, 8.0]
    assert [entry.ran for entry in cache.log] == [True, False, True]


def test_a_changed_input_with_the_same_result_runs_nothing_after_it(cache: Cache) -> None:
    rounded, doubled = stage("round", round, int), stage("double", lambda n: 2 * n, int)
    for number in (1.9, 2.1):
        cache.call(doubled, "x", {"a": cache.call(rounded, "x", number)}["a"])
    assert [(entry.stage, entry.ran) for entry in cache.log] == [
        ("round", True), ("double", True), ("round", True), ("double", False),
    ]  # fmt: skip


def test_results_inside_tuples_and_mappings_are_put_by_value(cache: Cache) -> None:
    one = cache.call(stage("one", lambda: 1.0), "x")
    total = stage("total", lambda numbers, named: sum(numbers) + named["b"])
    assert cache.call(total, "x", (one, 2.0), {"b": one}).value == 4.0


@pytest.mark.parametrize("damage", [b"", b"{", b"7.5"])
def test_a_damaged_result_is_made_again(cache: Cache, damage: bytes) -> None:
    made = stage("made", lambda: 2.5)
    content = cache.call(made, "x").content
    (cache.folder / "results" / content).write_bytes(damage)
    assert cache.call(made, "x").value == 2.5
    assert (cache.folder / "results" / content).read_bytes() == b"2.5"


def test_a_deleted_cache_is_made_again(cache: Cache) -> None:
    made = stage("made", lambda: 2.5)
    kept: Kept[float] = cache.call(made, "x")
    for path in sorted(cache.folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    assert kept.value == 2.5
    assert cache.call(made, "x").value == 2.5


def test_the_text_of_a_room_counts_for_itself_and_the_rooms_below(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = tmp_path / "firsthand"
    for name in ("errors.py", "workroom/stages.py", *(f"{room}/rule.py" for room in _cache.ROOMS)):
        (package / name).parent.mkdir(parents=True, exist_ok=True)
        (package / name).write_text("1")
    monkeypatch.setattr(_cache, "_PACKAGE", package)

    def digests() -> dict[str, str]:
        program_digest.cache_clear()
        return {room: program_digest(room) for room in ("pattern", "fit", "sheets")}

    before = digests()
    (package / "fit" / "rule.py").write_text("2")
    after_rule = digests()
    (package / "workroom" / "stages.py").write_text("2")
    after_stages = digests()
    program_digest.cache_clear()
    assert [before[room] == after_rule[room] for room in before] == [True, False, False]
    assert [after_rule[room] == after_stages[room] for room in before] == [False, False, False]


def test_a_key_that_names_another_file_is_no_answer_and_touches_nothing(cache: Cache) -> None:
    made = stage("made", lambda: 2.5)
    cache.call(made, "x")
    precious = cache.folder.parent / "precious.txt"
    precious.write_text("mine")
    for key in (cache.folder / "keys").iterdir():
        key.write_text("../../precious.txt")
    assert not cache.known(made)
    assert cache.call(made, "x").value == 2.5
    assert precious.read_text() == "mine"


def test_where_nothing_can_be_kept_the_work_is_done_all_the_same(tmp_path: Path) -> None:
    blocked = tmp_path / "cache"
    blocked.write_text("a file in the way")
    cache = Cache(blocked)
    made = stage("made", lambda: 2.5)
    assert [cache.call(made, "x").value for _ in range(2)] == [2.5, 2.5]
    assert [entry.ran for entry in cache.log] == [True, False]
    assert cache.trouble
    assert blocked.read_text() == "a file in the way"


def test_folders_in_place_of_kept_files_are_passed_over(cache: Cache) -> None:
    made = stage("made", lambda: 2.5)
    content = cache.call(made, "x").content
    result = cache.folder / "results" / content
    result.unlink()
    result.mkdir()
    assert cache.call(made, "x").value == 2.5
