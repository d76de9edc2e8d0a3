"""The content stream of a page, carried out: what it draws, with layer, colour and dashes.

Operators as in ISO 32000-1, annex A. Lettering is left to :mod:`._words`.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path as FilePath
from typing import Any

from firsthand.errors import BadInput, GeometryError
from firsthand.geometry import Affine, Box, Cubic, Line, Path, Point, Segment
from firsthand.importers._file import plain, problem
from firsthand.importers.pdf._clip import clipped, hull_box
from firsthand.importers.pdf._content import cmyk, grey, layer_name, number, painted, rgb, space_name
from firsthand.importers.pdf._open import Sheet, TooMuch, decoded
from firsthand.importers.pdf._state import Look, PageDrawing, Pen, Stroke

__all__ = ["Budget", "drawing_of"]

DEEPEST = 12
"""Forms within forms."""
MOST_OPERATORS = 3_000_000
MOST_STROKES = 400_000
MOST_FORMS = 20_000
MOST_ANCHORS = 600
"""Corners beyond the clip that are kept of a page."""
STEEPEST = 200
"""Saved states within each other."""
_OPERATORS = (
    "q Q cm w d G g RG rg K k CS cs SC sc SCN scn gs m l c v y h re W W* n S s f F f* B B* b b* Do BDC BMC EMC INLINE IMAGE"
)


Step = tuple[str, Sequence[Any]]


class Budget:
    """How much one file may ask for, all pages together; parsed forms are kept for the pages that use them again."""

    def __init__(self) -> None:
        self.operators = 0
        self.strokes = 0
        self.forms = 0
        self.parsed: dict[tuple[int, int], list[Step]] = {}

    def spend(self, operators: int) -> None:
        """Count operators; raises when there are too many."""
        self.operators += operators
        if self.operators > MOST_OPERATORS:
            raise TooMuch(f"more than {MOST_OPERATORS} drawing steps")


def drawing_of(sheet: Sheet, document: Any, budget: Budget, file: FilePath) -> PageDrawing:
    """What a page draws.

    Raises
    ------
    BadInput
        If it cannot be carried out, or asks for too much.
    """
    import pikepdf

    drawing = PageDrawing(sheet.number, sheet.width, sheet.height)
    try:
        _Hand(drawing, document, budget, sheet).draw()
    except (
        pikepdf.PdfError, ValueError, TypeError, KeyError, IndexError, AttributeError, ArithmeticError, RuntimeError,
        NotImplementedError, MemoryError,
    ) as error:  # fmt: skip
        if isinstance(error, BadInput):
            raise
        found = plain(str(error)) or "something that cannot be drawn"
        remedy = "Print the pages again as a new PDF."
        raise BadInput([problem(file, f"page {sheet.number}", found, "a page that can be drawn", remedy)]) from None
    return drawing


class _Hand:
    """Carries out operators."""

    def __init__(self, drawing: PageDrawing, document: Any, budget: Budget, sheet: Sheet) -> None:
        self._drawing = drawing
        self._document = document
        self._budget = budget
        self._sheet = sheet
        self._page_box = Box(0.0, 0.0, sheet.width, sheet.height)
        self._pen = Pen(sheet.to_mm, self._page_box)
        self._stack: list[Pen] = []
        self._floor = 0
        self._layers: list[str] = []
        self._runs: list[list[Segment]] = []
        self._here = self._start = Point(0.0, 0.0)
        self._clipping = False
        self._forms: list[tuple[int, int]] = []

    def draw(self) -> None:
        """Carry out the page."""
        import pikepdf

        contents = self._sheet.page.obj.get("/Contents", None)
        if contents is None:
            return
        streams = list(contents) if isinstance(contents, pikepdf.Array) else [contents]
        if len(streams) > 1000:
            raise TooMuch("a page of very many streams")
        data = b"\n".join(decoded(stream) for stream in streams if isinstance(stream, pikepdf.Stream))
        self._carry_out(self._parsed(data), self._sheet.page.resources)

    def _parsed(self, data: bytes) -> list[Step]:
        import pikepdf

        if not data.strip():
            return []
        self._budget.spend(len(data) // 100)
        with warnings.catch_warnings():  # a stream that breaks off is read as far as it goes
            warnings.simplefilter("ignore")
            found = pikepdf.parse_content_stream(pikepdf.Stream(self._document, data), operators=_OPERATORS)
        return [(str(one.operator), list(one.operands)) for one in found]

    def _carry_out(self, steps: Sequence[Step], resources: Any) -> None:
        self._budget.spend(len(steps))
        for name, operands in steps:
            known = _STEPS.get(name)
            if known is None:
                continue
            needed, step = known
            if len(operands) >= needed:  # an operator without its operands is passed over
                step(self, operands, resources)

    # states -------------------------------------------------------------------------------------------------------

    def _save(self, operands: Any, resources: Any) -> None:
        if len(self._stack) >= STEEPEST:
            raise TooMuch(f"more than {STEEPEST} states saved within each other")
        self._stack.append(self._pen.copy())

    def _restore(self, operands: Any, resources: Any) -> None:
        if len(self._stack) > self._floor:
            self._pen = self._stack.pop()

    def _concat(self, operands: Any, resources: Any) -> None:
        self._pen.ctm = self._pen.ctm @ Affine(*(number(v) for v in operands[:6]))

    def _width(self, operands: Any, resources: Any) -> None:
        self._pen.width = abs(number(operands[0]))

    def _dash(self, operands: Any, resources: Any) -> None:
        lengths = [number(v) for v in list(operands[0])[:12]]
        self._pen.dash = tuple(lengths) if any(v > 0 for v in lengths) else ()

    def _graphics_state(self, operands: Any, resources: Any) -> None:
        entry = resources.get("/ExtGState", {}).get(str(operands[0]), {})
        if "/LW" in entry:
            self._pen.width = abs(number(entry["/LW"]))
        if "/D" in entry:
            self._dash(list(entry["/D"]), resources)

    def _paint(self, colour: str, space: str, stroking: bool) -> None:
        if stroking:
            self._pen.stroke, self._pen.stroke_space = colour, space
        else:
            self._pen.fill, self._pen.fill_space = colour, space

    # paths --------------------------------------------------------------------------------------------------------

    def _move(self, operands: Any, resources: Any) -> None:
        self._here = self._start = self._point(operands, 0)
        self._runs.append([])

    def _point(self, operands: Any, k: int) -> Point:
        return self._pen.ctm(Point(number(operands[k]), number(operands[k + 1])))

    def _add(self, segment: Segment) -> None:
        if not self._runs:
            self._runs.append([])
        self._runs[-1].append(segment)

    def _line(self, operands: Any, resources: Any) -> None:
        to = self._point(operands, 0)
        if to.distance(self._here) > 1e-9:
            self._add(Line(self._here, to))
            self._here = to

    def _curve(self, operands: Any, resources: Any) -> None:
        self._bend(self._point(operands, 0), self._point(operands, 2), self._point(operands, 4))

    def _curve_from(self, operands: Any, resources: Any) -> None:
        self._bend(self._here, self._point(operands, 0), self._point(operands, 2))

    def _curve_to(self, operands: Any, resources: Any) -> None:
        end = self._point(operands, 2)
        self._bend(self._point(operands, 0), end, end)

    def _bend(self, b: Point, c: Point, d: Point) -> None:
        a = self._here
        if max(a.distance(b), a.distance(c), a.distance(d)) > 1e-9:
            self._add(Cubic(a, b, c, d))
            self._here = d

    def _close(self, operands: Any, resources: Any) -> None:
        if self._runs and self._runs[-1]:
            if self._here.distance(self._start) > 1e-9:
                self._add(Line(self._here, self._start))
            self._here = self._start
            self._runs.append([])

    def _rectangle(self, operands: Any, resources: Any) -> None:
        x, y, wide, high = (number(v) for v in operands[:4])
        corners = [self._pen.ctm(Point(x + i * wide, y + j * high)) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))]
        sides = [Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True) if a.distance(b) > 1e-9]
        self._runs.append(list(sides))
        self._here = self._start = corners[0]
        self._runs.append([])

    def _clip(self, operands: Any, resources: Any) -> None:
        self._clipping = True

    def _end(self, stroke: bool, fill: bool, close: bool) -> None:
        if close:
            self._close((), None)
        runs, self._runs = [run for run in self._runs if run], []
        if stroke or fill:
            self._keep(runs, stroke)
        if self._clipping:
            self._clipping = False
            self._narrow(runs)

    def _keep(self, runs: list[list[Segment]], stroke: bool) -> None:
        pen = self._pen
        scale = math.sqrt(abs(pen.ctm.a * pen.ctm.d - pen.ctm.b * pen.ctm.c))
        layer = next((name for name in reversed(self._layers) if name), "")
        dash = tuple(round(v * scale, 2) for v in pen.dash)
        colour = pen.stroke if stroke else pen.fill
        look = Look(layer, colour, dash if stroke else (), not stroke, round(pen.width * scale, 2) if stroke else 0.0)
        for run in runs:
            try:
                path = Path(tuple(run))
            except GeometryError as error:
                raise ValueError(str(error)) from None
            if len(self._drawing.anchors) < MOST_ANCHORS and not _within(hull_box(path), pen.clip):
                self._drawing.anchors += path.joints[:MOST_ANCHORS]
            for part in clipped(path, pen.clip):
                self._budget.strokes += 1
                if self._budget.strokes > MOST_STROKES:
                    raise TooMuch(f"more than {MOST_STROKES} lines")
                self._drawing.strokes.append(Stroke(part, look))

    def _narrow(self, runs: list[list[Segment]]) -> None:
        """Clip to the box of a path; what is drawn between the path and its box is kept rather than lost."""
        boxes = [segment.bounds for run in runs for segment in run]
        old = self._pen.clip
        if not boxes:
            self._pen.clip = Box(old.left, old.bottom, old.left, old.bottom)
            return
        left, right = max(old.left, min(b.left for b in boxes)), min(old.right, max(b.right for b in boxes))
        bottom, top = max(old.bottom, min(b.bottom for b in boxes)), min(old.top, max(b.top for b in boxes))
        self._pen.clip = Box(min(left, right), min(bottom, top), max(left, right), max(bottom, top))
        if self._pen.clip not in self._drawing.windows and len(self._drawing.windows) < 50:
            self._drawing.windows.append(self._pen.clip)

    # forms, pictures and layers -----------------------------------------------------------------------------------

    def _begin_marked(self, operands: Any, resources: Any) -> None:
        import pikepdf

        entry = operands[1] if len(operands) > 1 else None
        if str(operands[0]) == "/OC" and isinstance(entry, pikepdf.Name):
            entry = resources.get("/Properties", {}).get(str(entry), None)
        self._layers.append(layer_name(entry) if str(operands[0]) == "/OC" else "")
        if len(self._layers) > STEEPEST:
            raise TooMuch(f"more than {STEEPEST} marked parts within each other")

    def _end_marked(self, operands: Any, resources: Any) -> None:
        if self._layers:
            self._layers.pop()

    def _picture(self, operands: Any, resources: Any) -> None:
        corners = [self._pen.ctm(Point(x, y)) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))]
        box, clip = Box.around(corners), self._pen.clip
        wide = max(0.0, min(box.right, clip.right) - max(box.left, clip.left))
        self._drawing.pictures += wide * max(0.0, min(box.top, clip.top) - max(box.bottom, clip.bottom))

    def _do(self, operands: Any, resources: Any) -> None:
        import pikepdf

        entry = resources.get("/XObject", {}).get(str(operands[0]), None)
        if not isinstance(entry, pikepdf.Stream):
            return
        if str(entry.get("/Subtype", "")) == "/Image":
            self._picture(operands, resources)
        elif str(entry.get("/Subtype", "")) == "/Form":
            self._form(entry, resources)

    def _form(self, form: Any, resources: Any) -> None:
        key = tuple(form.objgen)
        if key in self._forms:
            raise ValueError("a form that draws itself")
        self._budget.forms += 1
        if self._budget.forms > MOST_FORMS:
            raise TooMuch(f"more than {MOST_FORMS} forms to be drawn")
        if len(self._forms) >= DEEPEST:
            raise TooMuch(f"forms within forms, more than {DEEPEST} deep")
        if key not in self._budget.parsed:
            self._budget.parsed[key] = self._parsed(decoded(form))
        steps = self._budget.parsed[key]
        self._save((), None)
        kept = (self._floor, self._layers, self._runs, self._here, self._start)
        self._floor, self._layers, self._runs = len(self._stack), list(self._layers), []
        self._layers.append(layer_name(form["/OC"]) if "/OC" in form else "")
        self._forms.append(key)
        if "/Matrix" in form:
            self._concat(list(form["/Matrix"]), None)
        box = [number(v) for v in form.get("/BBox", [])]
        if len(box) == 4:
            self._rectangle([box[0], box[1], box[2] - box[0], box[3] - box[1]], None)
            self._clip((), None)
            self._end(False, False, False)
        self._carry_out(steps, form.get("/Resources", resources))
        self._forms.pop()
        del self._stack[self._floor :]
        self._floor, self._layers, self._runs, self._here, self._start = kept
        self._restore((), None)


def _within(box: Box, outer: Box) -> bool:
    return box.left >= outer.left and box.right <= outer.right and box.bottom >= outer.bottom and box.top <= outer.top


Handler = Callable[[_Hand, Any, Any], None]


def _ends(stroke: bool, fill: bool, close: bool) -> Handler:
    return lambda hand, operands, resources: hand._end(stroke, fill, close)


def _sets(maker: Callable[..., str], count: int, stroking: bool) -> Handler:
    def put(hand: _Hand, operands: Any, resources: Any) -> None:
        hand._paint(maker(*(number(v) for v in operands[:count])), "", stroking)

    return put


def _spaces(stroking: bool) -> Handler:
    def put(hand: _Hand, operands: Any, resources: Any) -> None:
        hand._paint("#000000", space_name(operands[0], resources), stroking)

    return put


def _paints(stroking: bool) -> Handler:
    def put(hand: _Hand, operands: Any, resources: Any) -> None:
        space = hand._pen.stroke_space if stroking else hand._pen.fill_space
        hand._paint(painted(list(operands), space), space, stroking)

    return put


_STEPS: dict[str, tuple[int, Handler]] = {
    "q": (0, _Hand._save), "Q": (0, _Hand._restore), "cm": (6, _Hand._concat), "w": (1, _Hand._width),
    "d": (1, _Hand._dash), "gs": (1, _Hand._graphics_state),
    "G": (1, _sets(grey, 1, True)), "g": (1, _sets(grey, 1, False)),
    "RG": (3, _sets(rgb, 3, True)), "rg": (3, _sets(rgb, 3, False)),
    "K": (4, _sets(cmyk, 4, True)), "k": (4, _sets(cmyk, 4, False)),
    "CS": (1, _spaces(True)), "cs": (1, _spaces(False)),
    "SC": (1, _paints(True)), "SCN": (1, _paints(True)), "sc": (1, _paints(False)), "scn": (1, _paints(False)),
    "m": (2, _Hand._move), "l": (2, _Hand._line), "c": (6, _Hand._curve), "v": (4, _Hand._curve_from),
    "y": (4, _Hand._curve_to), "h": (0, _Hand._close), "re": (4, _Hand._rectangle),
    "W": (0, _Hand._clip), "W*": (0, _Hand._clip),
    "n": (0, _ends(False, False, False)), "S": (0, _ends(True, False, False)), "s": (0, _ends(True, False, True)),
    "f": (0, _ends(False, True, True)), "F": (0, _ends(False, True, True)), "f*": (0, _ends(False, True, True)),
    "B": (0, _ends(True, True, False)), "B*": (0, _ends(True, True, False)), "b": (0, _ends(True, True, True)),
    "b*": (0, _ends(True, True, True)),
    "Do": (1, _Hand._do), "BDC": (1, _Hand._begin_marked), "BMC": (1, _Hand._begin_marked), "EMC": (0, _Hand._end_marked),
    "INLINE IMAGE": (0, _Hand._picture), "BI": (0, _Hand._picture),
}  # fmt: skip
"""How many operands each operator needs, and what it does."""
