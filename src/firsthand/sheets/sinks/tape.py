"""A sink that remembers, and can play back on another one."""

from __future__ import annotations

from collections.abc import Callable

from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind

__all__ = ["Tape"]


class Tape:
    """Remembers a drawing, so that it can be drawn once its place or the number of pages is known.

    Examples
    --------
    >>> from firsthand.geometry.drawing import Recorder
    >>> tape, recorder = Tape(), Recorder()
    >>> tape.words("fold", Point(1, 2), WordKind.TINY)
    >>> tape.play(recorder)
    >>> recorder.text
    'tiny "fold" at 1 2'
    """

    def __init__(self) -> None:
        self._calls: list[Callable[[Sink], None]] = []

    def path(self, path: Path, kind: LineKind) -> None:
        """Remember a path."""
        self._calls.append(lambda sink: sink.path(path, kind))

    def words(self, text: str, at: Point, kind: WordKind, *, anchor: Anchor = Anchor.START, angle: float = 0.0) -> None:
        """Remember a line of text."""
        self._calls.append(lambda sink: sink.words(text, at, kind, anchor=anchor, angle=angle))

    def push(self, by: Affine, *, name: str = "", clip: Box | None = None) -> None:
        """Remember a group."""
        self._calls.append(lambda sink: sink.push(by, name=name, clip=clip))

    def pop(self) -> None:
        """Remember its end."""
        self._calls.append(lambda sink: sink.pop())

    def play(self, sink: Sink) -> None:
        """Draw everything again."""
        for call in self._calls:
            call(sink)
