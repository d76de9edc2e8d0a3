"""A demo workroom in which everything was made once, and the command line called in this process."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from firsthand.cli import main

QUICK = ("--seconds", "0.3")


class Answer(NamedTuple):
    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


def call(arguments: tuple[object, ...], capsys: pytest.CaptureFixture[str]) -> Answer:
    before = sys.argv
    sys.argv = ["firsthand", *map(str, arguments)]
    capsys.readouterr()
    try:
        main()
        code: object = 0
    except SystemExit as stop:
        code = stop.code or 0
    finally:
        sys.argv = before
    said = capsys.readouterr()
    assert isinstance(code, int), code
    return Answer(code, said.out, said.err)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Answer]:
    return lambda *arguments: call(arguments, capsys)


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo workroom in which everything has been made once."""
    folder = tmp_path_factory.mktemp("demo") / "room"
    command = [sys.executable, "-m", "firsthand", "demo", str(folder), *QUICK]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture
def room(made: Path, tmp_path: Path) -> Path:
    """A copy of that workroom, to change."""
    return Path(shutil.copytree(made, tmp_path / "room"))
