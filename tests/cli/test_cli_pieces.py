"""Files of polygons that are wrong in every way: named in one line, never a crash."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SQUARE = {"id": 0, "demand": 1, "polygon": [[0, 0], [10, 0], [10, 10], [0, 10]]}


@pytest.mark.parametrize(
    ("contents", "said"),
    [
        (b"[" * 100_000, "lists within lists"),
        (b'{"items": ' + b"9" * 5000 + b"}", "thousands of digits"),
        (json.dumps({"items": [SQUARE]}).encode("utf-16"), "UTF-8"),
        (json.dumps({"items": [SQUARE]}).encode("utf-16-le"), "JSON"),
        (b'{"items": [{"id": 1, "id": 2}]}', "the key 'id' twice"),
        (b'{"items": [}', "line 1, column 12"),
        (b"\xff\xfe", "UTF-8"),
        (b"", "line 1"),
    ],
)
def test_a_file_that_is_no_json_is_named(run: Callable[..., Any], tmp_path: Path, contents: bytes, said: str) -> None:
    pieces = tmp_path / "pieces.json"
    pieces.write_bytes(contents)
    answer = run("lay", "--pieces", pieces, "--width", "20", "--seconds", "0.1")
    assert answer.code == 2
    assert said in answer.err
    assert str(pieces) in answer.err
    assert answer.out == ""


@pytest.mark.parametrize("error", [PermissionError(13, "Permission denied"), OSError(5, "Input/output error")])
def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError) -> None:
    from firsthand.cli._find import read_json
    from firsthand.errors import BadInput

    def refuse(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(BadInput, match=f"pieces.json.*{str(error.strerror).lower()}"):
        read_json(tmp_path / "pieces.json")


def test_a_mark_of_the_byte_order_before_utf_8_is_no_harm(tmp_path: Path) -> None:
    from firsthand.cli._find import read_json

    (tmp_path / "pieces.json").write_text("[1]", encoding="utf-8-sig")
    assert read_json(tmp_path / "pieces.json") == [1]


def test_what_is_wrong_in_the_file_and_with_the_options_is_told_at_once(run: Callable[..., Any], tmp_path: Path) -> None:
    pieces = tmp_path / "pieces.json"
    pieces.write_text(json.dumps({"items": [SQUARE | {"id": "\ud800"}]}))
    answer = run("lay", "--pieces", pieces, "--width", "1e10", "--seed", "-1", "--json")
    assert answer.code == 2
    width, seed, name = answer.err.splitlines()
    assert width.startswith("--width: found 10000000000.0, expected")
    assert seed.startswith("--seed: found -1, expected")
    assert name.startswith(f"{pieces}, items[1].id: found ")
