"""SVG files."""

from __future__ import annotations

import io
import math
import os
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath

import svgelements

from firsthand.errors import BadInput, GeometryError
from firsthand.findings import Finding
from firsthand.geometry import Affine, Cubic, Line, Path, Point, Segment
from firsthand.importers._chains import RawLine
from firsthand.importers._file import EXTERNAL, MOST_ELEMENTS, UNITS_SVG, checked_file, plain, problem
from firsthand.importers._grammar import refuse_unknown_words
from firsthand.importers._layers import LAYERS, layer_meaning
from firsthand.importers._sort import Raw, RawMark, sorted_out
from firsthand.importers.model import Meaning, Proposals
from firsthand.units import MM_PER_INCH, Unit, parse_length

__all__ = ["import_svg"]

PIXEL = MM_PER_INCH / 96
"""A CSS pixel, mm. Source: W3C CSS Values and Units, absolute lengths: 96 px are one inch."""

_UNITS = {
    "": PIXEL,
    "px": PIXEL,
    "mm": 1.0,
    "cm": 10.0,
    "in": MM_PER_INCH,
    "pt": MM_PER_INCH / 72,
    "pc": MM_PER_INCH / 6,
    "q": 0.25,
}
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(px|mm|cm|in|pt|pc|[qQ]|)\s*")
_MEASURES = {"x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "x1", "y1", "x2", "y2", "dx", "dy"}
_UNSEEN = {"symbol", "clipPath", "mask", "pattern", "marker"}
_HREF = ("href", "{http://www.w3.org/1999/xlink}href")
_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
REMEDY = "Give the unit when importing, or set the drawing's size in millimetres."


def import_svg(path: str | os.PathLike[str], *, unit: Unit | None = None, layers: Mapping[str, Meaning] = LAYERS) -> Proposals:
    """Outlines of an SVG file.

    Parameters
    ----------
    path
        The file.
    unit
        What one unit of the drawing measures; None to go by its width and height, or else by 96 units to the inch.
    layers
        What layer names mean; words such as ``grain`` or ``notch`` in the names of groups and elements are understood too.

    Returns
    -------
    Proposals
        One for each closed outline that lies in no other. Transforms, ``viewBox`` and ``use`` are followed, references to
        other files are not. Arcs and circles become cubics to a millionth of their radius.

    Raises
    ------
    BadInput
        If the file cannot be read, has no closed outline, or an outline crosses itself or is absurdly large.
    """
    file = checked_file(path, "SVG")
    root = _tree(file)
    findings: list[Finding] = []
    if any(_outside(element) for element in root.iter()):
        findings.append(EXTERNAL("The drawing points to something outside itself, which was not followed."))
    unit_size, sure = _sized(root, unit)
    if unit is None and not sure:
        findings.append(
            UNITS_SVG(
                "The drawing does not give its size in a unit of length: 96 units were taken as one inch.",
                remedy="Measure one long line; if it is wrong give the unit when importing.",
                why=(f"one unit = {unit_size:.6g} mm",),
            )
        )
    raw = _read(root, file)
    proposals, stray = sorted_out(raw, lambda name: layer_meaning(name, layers), file, REMEDY)
    return Proposals(proposals, (*findings, *stray))


# the tree, made safe and exact ------------------------------------------------------------------------------------


def _tree(file: FilePath) -> ET.Element:
    expected, remedy = "an SVG drawing", "Export it again as plain SVG, not compressed."
    try:
        data = file.read_bytes()
        if b"<!ENTITY" in data:
            raise BadInput(
                [problem(file, "", "entities defined in the file", "a drawing without them", "Export it as plain SVG.")]
            )
        root = ET.fromstring(data)
    except ET.ParseError as error:
        place = f"line {error.position[0]}"
        raise BadInput([problem(file, place, "text that is not XML", expected, remedy)]) from None
    except (OSError, ValueError, LookupError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput([problem(file, "", str(error), expected, remedy)]) from None
    if _tag(root) != "svg":
        raise BadInput([problem(file, "", f"a document of the kind {_tag(root)!r}", expected, remedy)])
    refuse_unknown_words(root, data, file)
    _hide_unseen(root)
    count = _drawn(root, {e.get("id", ""): e for e in root.iter()}, (), file)
    if count > MOST_ELEMENTS:
        raise BadInput([problem(file, "", f"{count} elements", f"at most {MOST_ELEMENTS}", "Export only the outlines.")])
    return root


def _tag(element: ET.Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _hide_unseen(root: ET.Element) -> None:
    """Put what is only drawn when it is used where the reader looks for such things."""
    for parent in list(root.iter()):
        if _tag(parent) == "defs":
            continue
        for k, child in enumerate(list(parent)):
            if _tag(child) in _UNSEEN:
                space = str(child.tag).rpartition("}")[0]
                hidden = ET.Element(f"{space}}}defs" if space else "defs")
                hidden.append(child)
                parent[k] = hidden


def _reference(element: ET.Element) -> str:
    return next((element.get(key, "") for key in _HREF if element.get(key)), "").strip()


def _outside(element: ET.Element) -> bool:
    return _tag(element) != "a" and _reference(element)[:1] not in {"", "#"} and not _reference(element).startswith("data:")


def _drawn(element: ET.Element, named: Mapping[str, ET.Element], above: tuple[str, ...], file: FilePath) -> int:
    """How many elements would be drawn, every ``use`` followed."""
    total, todo = 0, [(element, above)]
    while todo:
        here, chain = todo.pop()
        total += 1
        if total > MOST_ELEMENTS:
            return total
        todo += [(child, chain) for child in here]
        target = _reference(here)[1:] if _tag(here) == "use" and _reference(here).startswith("#") else ""
        if target in chain or len(chain) > 50:
            found = f"an element that uses itself: {target}"
            raise BadInput([problem(file, target, found, "a drawing without circles", "Ungroup the copies and export again.")])
        if target and target in named:
            todo.append((named[target], (*chain, target)))
    return total


def _length(text: str | None) -> tuple[float, str] | None:
    """A positive length in millimetres and its unit."""
    match = _LENGTH.fullmatch(text or "")
    if not match or not 0 < float(match[1]) < math.inf:
        return None
    return float(match[1]) * _UNITS[match[2].lower()], match[2].lower()


def _sized(root: ET.Element, unit: Unit | None) -> tuple[float, bool]:
    """Rewrite the root so that the reader's numbers are millimetres; the size of a unit, and whether the file says it.

    The reader's own factors for millimetres and inches are rounded to six digits, so that every length with a unit is turned
    into a plain number here.
    """
    for element in root.iter():
        for name in _MEASURES & set(element.attrib):
            match = _LENGTH.fullmatch(element.get(name, ""))
            if match and match[2] and element is not root:
                element.set(name, repr(float(match[1]) * _UNITS[match[2].lower()] / PIXEL))
    width, height = _length(root.get("width")), _length(root.get("height"))
    box = [float(v) for v in re.findall(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", root.get("viewBox", ""))]
    if len(box) != 4 or not (box[2] > 0 and box[3] > 0):
        box = [0.0, 0.0, width[0] / PIXEL if width else 1000.0, height[0] / PIXEL if height else 1000.0]
        root.set("viewBox", " ".join(map(repr, box)))
    sure = any(length and length[1] not in {"", "px"} for length in (width, height))
    if unit is not None:
        size = parse_length(1, unit)
        width, height = (box[2] * size, ""), (box[3] * size, "")
    if width is None and height is None:
        width, height = (box[2] * PIXEL, ""), (box[3] * PIXEL, "")
    wide = width[0] if width else height[0] * box[2] / box[3] if height else 0.0
    high = height[0] if height else wide * box[3] / box[2]
    root.set("width", repr(wide))
    root.set("height", repr(high))
    return wide / box[2], sure


# what it draws ----------------------------------------------------------------------------------------------------


def _read(root: ET.Element, file: FilePath) -> Raw:
    raw = Raw()
    try:
        text = ET.tostring(root, encoding="unicode")
        drawing = svgelements.SVG.parse(io.StringIO(text), reify=False, ppi=96, on_error="raise")
        for element, layer in _shapes(drawing, ""):
            _take(element, layer, raw)
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, ArithmeticError, RecursionError) as error:
        if isinstance(error, BadInput):
            raise
        found = f"something that cannot be drawn ({plain(str(error)) or 'unknown'})"
        raise BadInput([problem(file, "", found, "shapes as SVG defines them", "Export it again as plain SVG.")]) from None
    return raw


def _shapes(group: object, layer: str) -> Iterator[tuple[svgelements.SVGElement, str]]:
    for element in group:  # type: ignore[attr-defined]
        if isinstance(element, svgelements.ClipPath | svgelements.Pattern):
            continue
        if isinstance(element, svgelements.Group | svgelements.Use):
            yield from _shapes(element, _name(element) or layer)
        else:
            yield element, layer


def _name(element: svgelements.SVGElement) -> str:
    own = element.values.get("attributes", {})
    return str(own.get(_LABEL) or own.get("id") or "")


def _take(element: svgelements.SVGElement, layer: str, raw: Raw) -> None:
    if isinstance(element, svgelements.Text):
        if element.text:
            at = _affine(element.transform)(Point(float(element.x or 0), float(element.y or 0)))
            raw.words.append((str(element.text).strip(), RawMark(at, layer)))
        return
    if not isinstance(element, svgelements.Shape):
        return
    to_page = _affine(element.transform)
    own = element.values.get("attributes", {})
    ident = str(own.get("id") or "")
    for segments in _runs(element):
        try:
            path = Path(tuple(segment.transformed(to_page) for segment in segments))
        except GeometryError as error:
            raise ValueError(str(error)) from None
        key = ident or f"element {len(raw.lines) + 1}"
        raw.names.setdefault(key, _name(element) or layer)
        raw.lines.append(RawLine(path, layer, (key,)))


def _affine(matrix: svgelements.Matrix) -> Affine:
    """The element's map to the page, with y turned up."""
    return Affine.scaling(1.0, -1.0) @ Affine(matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)


def _runs(shape: svgelements.Shape) -> list[list[Segment]]:
    """The subpaths of a shape in its own coordinates, segments without length left out."""
    runs: list[list[Segment]] = [[]]
    for piece in shape.segments(transformed=False):
        if isinstance(piece, svgelements.Move):
            runs.append([])
            continue
        start = runs[-1][-1].end if runs[-1] else _point(piece.start)
        runs[-1] += [s for s in _segments(piece, start) if s.length > 1e-9]
    return [run for run in runs if run]


def _point(at: svgelements.Point) -> Point:
    return Point(float(at.x), float(at.y))


def _segments(piece: svgelements.PathSegment, a: Point) -> list[Segment]:
    if piece.end is None:
        return []
    d = _point(piece.end)
    if isinstance(piece, svgelements.CubicBezier):
        return [Cubic(a, _point(piece.control1), _point(piece.control2), d)]
    if isinstance(piece, svgelements.QuadraticBezier):
        middle = _point(piece.control)
        return [Cubic(a, a.towards(middle, 2 / 3), d.towards(middle, 2 / 3), d)]
    if isinstance(piece, svgelements.Arc) and piece.sweep and piece.rx and piece.ry:
        return _arc(piece, a, d)
    return [Line(a, d)]


def _arc(arc: svgelements.Arc, a: Point, d: Point) -> list[Segment]:
    """An elliptical arc: an arc of the unit circle, stretched, turned and shifted."""
    turn = arc.get_rotation().as_radians
    shape = Affine.translation(arc.center.x, arc.center.y) @ Affine.rotation(turn) @ Affine.scaling(arc.rx, arc.ry)
    begin = shape.inverse()(a).angle
    sweep = math.copysign(min(abs(float(arc.sweep)), 2 * math.pi), float(arc.sweep))
    pieces = list(Path.arc(Point(0, 0), 1.0, begin, sweep).transformed(shape).segments)
    first, last = pieces[0], pieces[-1]
    assert isinstance(first, Cubic)
    pieces[0] = Cubic(a, first.b, first.c, first.d)
    last = pieces[-1]
    assert isinstance(last, Cubic)
    pieces[-1] = Cubic(last.a, last.b, last.c, d)
    return pieces
