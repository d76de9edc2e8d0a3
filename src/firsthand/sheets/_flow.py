"""Pages of headings, paragraphs and tables, filled from the top."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, LineKind, Sink, WordKind
from firsthand.sheets._lettering import LEADING, shortened, wrap
from firsthand.sheets._paper import UNPRINTABLE, Paper, paper
from firsthand.sheets._paragraph import paragraph
from firsthand.sheets.look import WORDS
from firsthand.sheets.model import Results, SheetFile
from firsthand.sheets.sinks.tape import Tape

__all__ = ["TICK", "Column", "Flow", "draw_tick", "list_paper"]

TICK = "\N{BALLOT BOX}"
"""A table cell that is drawn as an empty box to tick."""
AIR = 1.3
"""Above and below the words of a table's row, mm."""
GUTTER = 4.0
"""Between columns, mm."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its heading, and its share of the width."""

    title: str
    share: float
    anchor: Anchor = Anchor.START


class Flow:
    """A document that grows downwards and turns the page by itself.

    Parameters
    ----------
    paper
        The paper.
    title, about
        What stands at the top of the first page, and below it in smaller letters.
    enlarge
        Everything is this many times larger than usual.
    height
        Another height of the page, mm: for measuring.
    """

    def __init__(self, paper: Paper, title: str, about: str = "", *, enlarge: float = 1.0, height: float | None = None) -> None:
        self.title, self._paper, self._enlarge = title, paper, enlarge
        frame = paper.frame
        self.frame = Box(*(side / enlarge for side in (frame.left, frame.bottom, frame.right, frame.top)))
        if height is not None:
            self.frame = Box(self.frame.left, self.frame.top - height, self.frame.right, self.frame.top)
        self.pages: list[Tape] = [Tape()]
        self.y = self.frame.top
        if title:
            self.paragraph(title, WordKind.TITLE)
        if about:
            self.paragraph(about)
        self.gap(2.0)

    @property
    def sink(self) -> Tape:
        """The page being filled."""
        return self.pages[-1]

    @property
    def room(self) -> float:
        """Height left on the page, mm."""
        return self.y - self.frame.bottom

    def turn(self) -> None:
        """Begin a new page."""
        self.pages.append(Tape())
        self.y = self.frame.top

    def keep(self, height: float) -> None:
        """Turn the page if less than a height is left; something higher than a page stays where it is."""
        if self.room < height <= self.frame.height:
            self.turn()

    @contextmanager
    def column(self, left: float) -> Iterator[None]:
        """For what is filled in within, the page begins further to the right."""
        whole = self.frame
        self.frame = Box(left, whole.bottom, whole.right, whole.top)
        try:
            yield
        finally:
            self.frame = whole

    def gap(self, height: float) -> None:
        """Leave some air."""
        self.y -= height

    def heading(self, text: str, *, follow: float = 14.0) -> None:
        """A heading, kept together with what follows."""
        lines = len(wrap(text, WordKind.HEADING, self.frame.width))
        self.gap(3.0)
        self.keep(lines * _step(WordKind.HEADING) + follow)
        self.y = paragraph(self.sink, text, Point(self.frame.left, self.y), self.frame.width, WordKind.HEADING) - 1.0

    def paragraph(self, text: str, kind: WordKind = WordKind.BODY, *, indent: float = 0.0, right: float = 0.0) -> None:
        """Words across the page, between two indents."""
        for line in wrap(text, kind, self.frame.width - indent - right):
            self.keep(_step(kind))
            self.sink.words(line, Point(self.frame.left + indent, self.y - WORDS[kind].size), kind)
            self.y -= _step(kind)

    def rule(self, kind: LineKind = LineKind.RULE) -> None:
        """A line across the page."""
        self.sink.path(Path.line(Point(self.frame.left, self.y), Point(self.frame.right, self.y)), kind)

    def care(self, text: str, *, indent: float = 0.0) -> None:
        """A caution, with a heavy bar beside it."""
        left = self.frame.left + indent
        lines = wrap(text, WordKind.BODY, self.frame.width - indent - 4)
        high = len(lines) * _step(WordKind.BODY)
        self.keep(high + 1)
        self.sink.path(Path.line(Point(left + 0.6, self.y), Point(left + 0.6, self.y - high)), LineKind.CAUTION)
        self.paragraph(text, indent=indent + 4)
        self.gap(1.2)

    def table(self, columns: Sequence[Column], rows: Iterable[Sequence[str]]) -> None:
        """A table; its head is repeated on every page.

        Cells are broken over lines; a cell of :data:`TICK` is a box to tick.
        """
        edges = self._edges(columns)
        self._head(columns, edges)
        for row in rows:
            cells = [wrap(text, WordKind.BODY, b - a) for text, (a, b) in zip(row, edges, strict=True)]
            high = max(len(lines) for lines in cells) * _step(WordKind.BODY) + 2 * AIR
            if self.room < high:
                self.turn()
                self._head(columns, edges)
            for column, lines, (a, b) in zip(columns, cells, edges, strict=True):
                self._cell(lines, column.anchor, a, b)
            self.y -= high
            self.rule()

    def _edges(self, columns: Sequence[Column]) -> list[tuple[float, float]]:
        whole = sum(column.share for column in columns)
        spare = self.frame.width - GUTTER * (len(columns) - 1)
        edges, x = [], self.frame.left
        for column in columns:
            edges.append((x, x + spare * column.share / whole))
            x = edges[-1][1] + GUTTER
        return edges

    def _head(self, columns: Sequence[Column], edges: Sequence[tuple[float, float]]) -> None:
        cells = [wrap(column.title, WordKind.SMALL, b - a) for column, (a, b) in zip(columns, edges, strict=True)]
        most = max(len(lines) for lines in cells)
        self.keep(most * _step(WordKind.SMALL) + 12)
        for column, lines, (a, b) in zip(columns, cells, edges, strict=True):
            y = self.y - (most - len(lines)) * _step(WordKind.SMALL)
            for line in lines:
                at = _place(column.anchor, a, b, y - WORDS[WordKind.SMALL].size)
                self.sink.words(line, at, WordKind.SMALL, anchor=column.anchor)
                y -= _step(WordKind.SMALL)
        self.y -= most * _step(WordKind.SMALL) + 0.8
        self.rule(LineKind.FRAME)

    def _cell(self, lines: Sequence[str], anchor: Anchor, a: float, b: float) -> None:
        y = self.y - AIR
        for line in lines:
            base = y - WORDS[WordKind.BODY].size
            if line == TICK:
                draw_tick(self.sink, Point(a, base - 0.4), 3.6)
            else:
                self.sink.words(line, _place(anchor, a, b, base), WordKind.BODY, anchor=anchor)
            y -= _step(WordKind.BODY)

    def measure(self, fill: Callable[[Flow], None]) -> float:
        """Height that something would take, mm."""
        scratch = Flow(self._paper, "", enlarge=self._enlarge, height=1e6)
        before = scratch.y
        fill(scratch)
        return before - scratch.y

    def draw(self, sink: Sink, number: int, owner: str) -> None:
        """Draw one page, counted from 1, with its foot."""
        self.pages[number - 1].play(sink)
        low = (UNPRINTABLE + 0.8) / self._enlarge
        half = self.frame.width / 2
        page = f"{shortened(self.title, WordKind.TINY, half - 32)}, page {number} of {len(self.pages)}"
        sink.words(page, Point(self.frame.left, low), WordKind.TINY)
        name = shortened(owner, WordKind.TINY, half - 4)
        sink.words(name, Point(self.frame.right, low), WordKind.TINY, anchor=Anchor.END)

    def file(self, name: str, kind: str, results: Results) -> SheetFile:
        """The finished document as a PDF."""
        from firsthand.sheets.sinks.pdf import PdfDocument

        document = PdfDocument(self.title, subject=results.costume, language=results.settings.words)
        owner = ", for ".join(word for word in (results.costume, results.wearer) if word)
        for number in range(1, len(self.pages) + 1):
            bookmark = self.title if number == 1 else ""
            page = document.page(self._paper.width, self._paper.height, enlarge=self._enlarge, bookmark=bookmark)
            self.draw(page, number, owner)
        return SheetFile(name, kind, self.title, document.bytes(), self._paper.name, document.pages)


def list_paper(results: Results) -> Paper:
    """The paper for everything that is not at true size: the first one of the settings."""
    return paper(results.settings.papers[0] if results.settings.papers else "A4")


def draw_tick(sink: Sink, corner: Point, side: float) -> None:
    """An empty box to tick, from its lower left corner."""
    sink.push(Affine.translation(corner.x, corner.y))
    sink.path(Path.polygon(Box(0, 0, side, side).corners), LineKind.FRAME)
    sink.pop()


def _place(anchor: Anchor, a: float, b: float, y: float) -> Point:
    return Point({Anchor.START: a, Anchor.MIDDLE: (a + b) / 2, Anchor.END: b}[anchor], y)


def _step(kind: WordKind) -> float:
    return WORDS[kind].size * LEADING
