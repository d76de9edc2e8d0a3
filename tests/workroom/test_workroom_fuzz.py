"""Whatever stands in a file, the answer is a workroom or problems with their places; never a crash."""

from __future__ import annotations

import copy
import datetime
import json
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firsthand.errors import BadInput
from firsthand.workroom import load_workroom

plain = st.one_of(
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.text(max_size=8),
    st.booleans(),
    st.sampled_from(["front.side", "strap.end no. 9999", "9" * 400, "../x", "1/0 in", "5 %", "NaN", "", "S", "each", "-0.0"]),
)
junk = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("abid.", min_size=1), inner, max_size=3)
)
words = junk | st.dates() | st.datetimes()


def places(value: Any) -> Iterator[tuple[Any, ...]]:
    """Every place in nested tables and lists."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield (key,)
        yield from ((key, *below) for below in places(item))


def spoilt(data: dict[str, Any], place: tuple[Any, ...], value: Any) -> dict[str, Any]:
    """A copy with another value in one place; with nothing there if the value is None."""
    data = copy.deepcopy(data)
    inner: Any = data
    for step in place[:-1]:
        inner = inner[step]
    if value is None:
        del inner[place[-1]]
    else:
        inner[place[-1]] = value
    return data


def check(folder: Path) -> None:
    problems = ()
    try:
        load_workroom(folder)
    except BadInput as bad:
        problems = bad.problems
    for problem in problems:
        assert problem.file
        assert problem.found
        assert problem.expected
        assert problem.remedy
        assert len(str(problem)) < 1500


SPOIL = settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
JSON, TOML = (
    "patterns/apron/pieces/bib.json",
    ("patterns/apron/pattern.toml", "costumes/baker/costume.toml", "shelf/fabrics.toml"),
)


def _marked(room: Any) -> dict[str, Any]:
    data: dict[str, Any] = copy.deepcopy(room.files[JSON])
    shape = data["sizes"]["S"]
    shape["notches"] = [{"id": "n", "edge": "hem", "at": 5}]
    shape["darts"] = [{"id": "d", "edge": "hem", "at": 50, "width": 9, "apex": [50, 60]}]
    shape["pleats"] = [{"id": "p", "edge": "top", "at": 50, "depth": 9}]
    shape["lines"] = [{"id": "l", "kind": "eyelet", "start": [1, 1], "path": [["curve", [2, 2], [3, 3], [4, 4]]]}]
    shape["levels"] = [{"level": "waist", "a": [0, 9], "b": [9, 9]}]
    shape["edges"][0]["fate"] = {"kind": "hem", "depth": 9}
    return data


@SPOIL
@given(data=st.data())
def test_a_spoilt_outline(
    tmp_path_factory: pytest.TempPathFactory, make_room: Callable[[Path], Any], data: st.DataObject
) -> None:
    room = make_room(tmp_path_factory.getbasetemp() / "spoilt outline")
    whole = _marked(room)
    place = data.draw(st.sampled_from(sorted(places(whole), key=str)))
    room.files[JSON] = json.dumps(spoilt(whole, place, data.draw(st.none() | junk)))
    check(room.write())


@SPOIL
@given(data=st.data())
def test_a_spoilt_table(
    tmp_path_factory: pytest.TempPathFactory, make_room: Callable[[Path], Any], data: st.DataObject
) -> None:
    room = make_room(tmp_path_factory.getbasetemp() / "spoilt table")
    path = data.draw(st.sampled_from(TOML))
    extra = '[[garment.alteration]]\nkind = "take-in"\namount = 3\nseams = ["strap"]\n' if "costume" in path else ""
    whole = tomllib.loads(room.files[path] + extra)
    place = data.draw(st.sampled_from(sorted(places(whole), key=str)))
    value = data.draw(st.none() | words)
    room.files[path] = tomlkit.dumps(spoilt(whole, place, value))
    check(room.write())


@SPOIL
@given(at=st.integers(0, 1200), what=st.binary(max_size=4), cut=st.booleans())
def test_a_torn_file(
    tmp_path_factory: pytest.TempPathFactory, make_room: Callable[[Path], Any], at: int, what: bytes, cut: bool
) -> None:
    room = make_room(tmp_path_factory.getbasetemp() / "torn")
    for path in (JSON, "costumes/baker/costume.toml"):
        text = room.files[path] if isinstance(room.files[path], str) else json.dumps(room.files[path])
        data = text.encode()
        room.files[path] = data[:at] + what + (b"" if cut else data[at + 1 :])
    check(room.write())


def test_dates_are_dates(room: Any) -> None:
    room.change("costumes/baker/costume.toml", "due = 2027-05-15", "due = 2027-05-15T10:00:00Z")
    assert room.read().costumes["baker"].due == datetime.date(2027, 5, 15).isoformat()
