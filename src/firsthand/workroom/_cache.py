"""What stages have made, kept in the workroom's ``.cache/``, which may be deleted any time.

The key of a result is the digest of the stage's arguments and of the program text of all rooms the stage can reach. The
result is kept under the digest of its own content, and that is what later stages are keyed with: when a changed input leads to
the same result, nothing after it runs again.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import TypeAdapter

from firsthand.errors import Conflict
from firsthand.workroom._canonical import digest

__all__ = ["ROOMS", "Cache", "Kept", "Ran", "Stage", "program_digest", "write_whole"]

T = TypeVar("T")

ROOMS = (
    "geometry", "pattern", "body", "fabric", "alter", "draft", "fit", "steps", "lay", "buy", "plan", "importers", "sheets",
)  # fmt: skip
"""The rooms that stages live in, in the order in which they import each other (a test holds them to the architecture)."""

_PACKAGE = Path(__file__).parents[1]
_DIGEST = re.compile(r"[0-9a-f]{64}")


@cache
def program_digest(room: str) -> str:
    """Digest of the text and tables of the floor, of every room up to and including one, and of the list of stages.

    Parameters
    ----------
    room
        One of :data:`ROOMS`.
    """
    made = hashlib.sha256()
    folders = [_PACKAGE / name for name in ROOMS[: ROOMS.index(room) + 1]]
    texts = [*_PACKAGE.glob("*.py"), _PACKAGE / "workroom" / "stages.py"]
    texts += [path for folder in folders for path in folder.rglob("*") if _is_text(path)]
    for path in sorted(texts):
        made.update(path.relative_to(_PACKAGE).as_posix().encode())
        made.update(path.read_bytes())
    return made.hexdigest()


def _is_text(path: Path) -> bool:
    return path.is_file() and path.suffix in {".py", ".json", ".csv", ".toml", ".html", ".css", ".ttf"}


@dataclass(frozen=True, slots=True)
class Stage(Generic[T]):
    """A pure function that the cache may answer for.

    Parameters
    ----------
    room
        The room it lives in: it depends on the program text up to there.
    gives
        Type of its result, for reading it back.
    """

    name: str
    room: str
    function: Callable[..., T]
    gives: Any

    @property
    def adapter(self) -> TypeAdapter[T]:
        """Writes and reads results."""
        return _adapter(self.gives)


@cache
def _adapter(gives: Any) -> TypeAdapter[Any]:
    return TypeAdapter(gives)


class Kept(Generic[T]):
    """A result of a stage, read back only when somebody wants its value."""

    def __init__(self, content: str, read: Callable[[], T]) -> None:
        self.content = content
        self._read = read
        self._value: T | None = None

    @property
    def value(self) -> T:
        """The result itself."""
        if self._value is None:
            self._value = self._read()
        return self._value


@dataclass(frozen=True, slots=True)
class Ran:
    """One stage that was asked for: whether it ran, or was answered from the cache."""

    stage: str
    about: str
    ran: bool


@dataclass(slots=True)
class Cache:
    """Results of stages below a folder.

    Parameters
    ----------
    folder
        Where results are kept; made when first needed.
    log
        What was asked for so far.
    trouble
        Why results could not be kept on the disk; empty when they could. They are then kept in memory only.
    """

    folder: Path
    log: list[Ran] = field(default_factory=list)
    trouble: str = ""
    _memory: dict[str, bytes] = field(default_factory=dict)

    def known(self, stage: Stage[T], *arguments: object) -> bool:
        """Whether the result for these arguments is kept."""
        return self._content(self._key(stage, arguments)) is not None

    def call(self, stage: Stage[T], about: str, *arguments: object) -> Kept[T]:
        """The result of a stage for these arguments.

        Parameters
        ----------
        stage
            What to run.
        about
            The garment, fabric or costume it is about, for the log.
        arguments
            Values, or results of earlier stages as :class:`Kept`, also inside tuples and mappings.
        """
        key = self._key(stage, arguments)
        content = self._content(key)
        self.log.append(Ran(stage.name, about, content is None))
        if content is None:
            content = self._make(stage, key, arguments)
        kept = content
        return Kept(content, lambda: self._read(stage, key, kept, arguments))

    def _key(self, stage: Stage[T], arguments: tuple[object, ...]) -> str:
        return digest(stage.name, program_digest(stage.room), _opened(arguments, lambda kept: f"kept {kept.content}"))

    def _content(self, key: str) -> str | None:
        content = self._load(f"keys/{key}").decode("ascii", "replace")
        # What is read from the disk becomes part of a path: anything but a digest is no answer.
        if not _DIGEST.fullmatch(content):
            return None
        return content if f"results/{content}" in self._memory or (self.folder / "results" / content).is_file() else None

    def _load(self, name: str) -> bytes:
        try:
            return self._memory.get(name) or (self.folder / name).read_bytes()
        except OSError:
            return b""

    def _keep(self, name: str, data: bytes) -> None:
        try:
            write_whole(self.folder / name, data)
        except OSError as error:
            self._memory[name] = data
            self.trouble = error.strerror or str(error)

    def _make(self, stage: Stage[T], key: str, arguments: tuple[object, ...]) -> str:
        data = stage.adapter.dump_json(stage.function(*_opened(arguments, lambda kept: kept.value)))
        content = hashlib.sha256(data).hexdigest()
        self._keep(f"results/{content}", data)
        self._keep(f"keys/{key}", content.encode("ascii"))
        return content

    def _read(self, stage: Stage[T], key: str, content: str, arguments: tuple[object, ...]) -> T:
        data = self._sound(content)
        if data is None:
            data = self._sound(self._make(stage, key, arguments))
        if data is None:
            raise Conflict(f"results kept in {self.folder} change while they are read")
        return stage.adapter.validate_json(data)

    def _sound(self, content: str) -> bytes | None:
        data = self._load(f"results/{content}")
        if hashlib.sha256(data).hexdigest() == content:
            return data
        with suppress(OSError):
            (self.folder / "results" / content).unlink()  # damaged: whoever asks next makes it again
        return None


def _opened(value: Any, how: Callable[[Kept[Any]], object]) -> Any:
    if isinstance(value, Kept):
        return how(value)
    if isinstance(value, tuple):
        return tuple(_opened(item, how) for item in value)
    if isinstance(value, dict):
        return {key: _opened(item, how) for key, item in value.items()}
    return value


def write_whole(path: Path, data: bytes) -> None:
    """Write a file that can be made again, so that nobody meets half of it; the folder is made if need be."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    part.write_bytes(data)
    part.replace(path)
