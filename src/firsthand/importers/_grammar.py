"""Whether the words of an SVG file are those that SVG defines: a reader that skips the others would draw it wrong."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path as FilePath
from xml.parsers import expat

from firsthand.errors import BadInput, Problem
from firsthand.importers._file import problem

__all__ = ["DEEPEST", "refuse_unknown_words"]

DEEPEST = 150
"""No drawing has groups within groups deeper than this."""
MOST = 20
"""So many problems of one file are told."""

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_WIDTH = re.compile(rf"\s*{_NUMBER}\s*(?:px|mm|cm|in|pt|pc|[qQ]|r?em|ex|ch|v[wh]|%)?\s*|\s*auto\s*")
_CALL = re.compile(r"\s*,?\s*([A-Za-z]+)\s*\(([^()]*)\)\s*")
_VALUES = re.compile(rf"\s*{_NUMBER}(?:deg|rad|grad|turn|px|mm|cm|in|pt|pc|%)?(?:\s*,\s*|\s+|(?=[+-])|\s*$)")
_TRANSFORMS = {"matrix": {6}, "translate": {1, 2}, "scale": {1, 2}, "rotate": {1, 3}, "skewX": {1}, "skewY": {1}}
"""How many numbers each takes. Source: W3C SVG 1.1, 7.6 The transform attribute."""
_TAKES = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2}
"""How many numbers each command of a path takes. Source: W3C SVG 1.1, 8.3 Path data."""
_MEASURES = {
    "rect": ("x", "y", "width", "height", "rx", "ry"), "circle": ("cx", "cy", "r"), "ellipse": ("cx", "cy", "rx", "ry"),
    "line": ("x1", "y1", "x2", "y2"), "use": ("x", "y"),
}  # fmt: skip


def refuse_unknown_words(root: ET.Element, data: bytes, file: FilePath) -> None:
    """Refuse a drawing with groups too deep, or with paths, points, measures or transforms that are not SVG.

    Raises
    ------
    BadInput
        Naming the line and the element of each, at most twenty.
    """
    if _too_deep(root):
        found, remedy = "groups within groups, very many deep", "Ungroup the drawing and export again."
        raise BadInput([problem(file, "", found, f"at most {DEEPEST} groups within each other", remedy)])
    wrong = [(index, element, *words) for index, element in enumerate(root.iter()) for words in _unknown(element)][:MOST]
    if wrong:
        lines = _lines(data)
        raise BadInput([_told(file, lines[index], element, *words) for index, element, *words in wrong])


def _told(file: FilePath, line: int, element: ET.Element, found: str, expected: str) -> Problem:
    name = element.get("id") or str(element.tag).rpartition("}")[2]
    return problem(file, f"line {line}, element {name}", found, expected, "Redraw it, or export it again as plain SVG.")


def _too_deep(root: ET.Element) -> bool:
    row = [root]
    for _ in range(DEEPEST):
        row = [child for element in row for child in element]
    return bool(row)


def _lines(data: bytes) -> list[int]:
    """The line where each element begins, in the order of the file."""
    found: list[int] = []
    reader = expat.ParserCreate()
    reader.StartElementHandler = lambda name, attributes: found.append(reader.CurrentLineNumber)
    reader.Parse(data, True)
    return found


def _unknown(element: ET.Element) -> Iterator[tuple[str, str]]:
    """What is written in an element and is not SVG, and what would be."""
    tag = str(element.tag).rpartition("}")[2]
    path, points, transform = element.get("d", ""), element.get("points", ""), element.get("transform", "")
    if tag == "path" and path.strip() not in {"", "none"} and (word := _path_fault(path)):
        yield f"a path with {word}", "letters and numbers of a path as SVG defines them"
    if tag in {"polygon", "polyline"} and (word := _points_fault(points)):
        yield f"points with {word}", "pairs of numbers"
    if transform.strip() not in {"", "none"} and (word := _transform_fault(transform)):
        yield f"a transform with {word}", "translate, scale, rotate, skewX, skewY or matrix with their numbers"
    for name in _MEASURES.get(tag, ()):
        value = element.get(name)
        if value is not None and not _WIDTH.fullmatch(value):
            yield f"{name} = {_short(value)}", "a number, with a unit or without"


def _short(text: str) -> str:
    words = " ".join(text.split())
    return repr(words if len(words) <= 30 else f"{words[:30]}…")


def _strange(text: str, letters: str) -> str:
    """The first word of a text that is neither a number nor made of known letters."""
    rest = re.sub(_NUMBER, " ", text)
    for word in re.findall(r"[^\s,]+", rest):
        if any(letter not in letters for letter in word):
            return _short(word)
    return ""


def _path_fault(text: str) -> str:
    strange = _strange(text, "MmZzLlHhVvCcSsQqTtAa")
    if strange:
        return strange
    if text.split()[0][0] not in "Mm":
        return "no place to begin at"
    for letter, numbers in re.findall(r"([MmLlHhVvCcSsQqTt])([^A-DF-Za-df-z]*)", text):
        count, takes = len(re.findall(_NUMBER, numbers)), _TAKES[letter.lower()]
        if count == 0 or count % takes:
            return f"{count} numbers after {letter}"
    return ""


def _points_fault(text: str) -> str:
    count = len(re.findall(_NUMBER, text))
    return _strange(text, "") or ("an odd number of numbers" if count % 2 else "")


def _transform_fault(text: str) -> str:
    at = 0
    while at < len(text):
        call = _CALL.match(text, at)
        if call is None:
            return _short(text[at:])
        values = list(_VALUES.finditer(call[2]))
        whole = "".join(value[0] for value in values) == call[2].rstrip() or "".join(value[0] for value in values) == call[2]
        if len(values) not in _TRANSFORMS.get(call[1], set()) or not whole:
            return _short(call[0])
        at = call.end()
    return ""
