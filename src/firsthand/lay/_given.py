"""Polygons as they are given in a file: read, refused with everything that is wrong, and brought to the engines' scale."""

from __future__ import annotations

import math
import re
import reprlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from firsthand.errors import Problem
from firsthand.geometry import Path, Point
from firsthand.lay._shapes import Polygon
from firsthand.lay.model import LayItem

__all__ = ["LEAST", "MOST", "Given", "number", "options", "read_items"]

LEAST, MOST = 1e-9, 1e9
"""Widths and coordinates beyond these are slips."""
PIECES = 5_000
"""Pieces in one lay."""
POINTS = 10_000
"""Points of one outline."""
ALL_POINTS = 500_000
"""Points of all outlines together, each as often as it is laid."""
LONGEST, SHORTEST = 5_000.0, 1e-6
"""Most and least extent of a piece, in widths of the strip: single numbers hold no more."""
SLIVER = 1e-7
"""An outline that encloses less than this share of the square of its length is a slip."""
LETTERS = 200
"""Of an id."""


@dataclass(frozen=True, slots=True)
class Given:
    """An item in the engines' scale, its id as written, and the point of the file's outline that is its origin."""

    item: LayItem
    name: str | int
    origin: tuple[float, float]


class _Wrong(list[Problem]):
    """What is wrong with a file."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file

    def at(self, place: str, found: str, expected: str, remedy: str) -> None:
        """Enter a problem."""
        self.append(Problem(self.file, place, found, expected, remedy))


def number(value: Any, low: float, high: float) -> bool:
    """Whether a value is a number within limits."""
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def options(dashes: str, width: Any, seconds: Any, seed: Any, workers: Any) -> Iterator[Problem]:
    """What is wrong with the options; ``dashes`` before their names where they come from a command line."""
    if not number(width, LEAST, MOST):
        remedy = "Give the width of the strip in the unit of the file."
        yield Problem("", f"{dashes}width", _short(width), f"a width from {LEAST:g} to {MOST:g}", remedy)
    if not (number(seconds, 0, 86_400) and seconds > 0):
        expected = "a time above zero and within a day"
        yield Problem("", f"{dashes}seconds", _short(seconds), expected, "Give for example 20.")
    if not (number(seed, 0, 2**63 - 1) and isinstance(seed, int)):
        yield Problem("", f"{dashes}seed", _short(seed), "a whole number, zero or more", "Give for example 1.")
    if not (number(workers, 1, 256) and isinstance(workers, int)):
        expected = "a whole number from 1 to 256"
        yield Problem("", f"{dashes}workers", _short(workers), expected, "Give the number of processor cores to use.")


def read_items(data: Any, width: Any, scale: float, file: str) -> tuple[list[Given], list[Problem]]:
    """The items of a file, and everything that is wrong with them; places count from 1."""
    wrong = _Wrong(file)
    entries = _entries(data, wrong)
    given = [one for k, entry in entries if (one := _item(k, entry, width, scale, wrong)) is not None]
    _repeated(entries, wrong)
    pieces = sum(one.item.demand for one in given)
    if pieces > PIECES:
        wrong.at("items", f"{pieces} pieces in all", f"at most {PIECES}", "Lay them in several goes.")
    points = sum(one.item.demand * len(one.item.outline.segments) for one in given)
    if points > ALL_POINTS:
        wrong.at(
            "items", f"{points} points in all", f"at most {ALL_POINTS}", "Give outlines with fewer points, or fewer pieces."
        )
    return given, list(wrong)


def _entries(data: Any, wrong: _Wrong) -> list[tuple[int, Mapping[str, Any]]]:
    remedy = "Give the shapes in a list under the key items."
    if not isinstance(data, Mapping):
        wrong.at("" if wrong.file else "data", _what(data), "an object with items", remedy)
        return []
    items = data.get("items")
    if not isinstance(items, list | tuple):
        wrong.at("items", _what(items) if "items" in data else "nothing", "a list of items", remedy)
        return []
    for k, entry in enumerate(items, 1):
        if not isinstance(entry, Mapping):
            wrong.at(f"items[{k}]", _what(entry), "an object", "Give id, demand and polygon.")
    return [(k, entry) for k, entry in enumerate(items, 1) if isinstance(entry, Mapping)]


def _what(value: Any) -> str:
    if isinstance(value, Mapping):
        return "an object"
    return "a list" if isinstance(value, list | tuple) else _short(value)


def _short(value: Any) -> str:
    if value is None:
        return "null"
    try:
        words = reprlib.repr(value)
    except ValueError:  # a whole number with thousands of digits
        words = "a huge number"
    return words if len(words) <= 60 else words[:57] + "..."


def _repeated(entries: Sequence[tuple[int, Mapping[str, Any]]], wrong: _Wrong) -> None:
    seen: set[str | int] = set()
    for k, entry in entries:
        name = entry.get("id", k - 1)
        if not _is_name(name):
            continue
        if name in seen:
            wrong.at(f"items[{k}].id", _short(name), "an id of its own", "Give every item another id.")
        seen.add(name)


def _is_name(name: Any) -> bool:
    if isinstance(name, str):
        return len(name) <= LETTERS and not any(0xD800 <= ord(letter) <= 0xDFFF for letter in name)
    return number(name, -(2**63), 2**63 - 1) and isinstance(name, int)


def _item(k: int, entry: Mapping[str, Any], width: Any, scale: float, wrong: _Wrong) -> Given | None:
    """The item; the reasons why not go to the problems."""
    place, before = f"items[{k}]", len(wrong)
    name, demand = entry.get("id", k - 1), entry.get("demand", 1)
    if not _is_name(name):
        expected = f"a whole number or a word of at most {LETTERS} letters"
        wrong.at(f"{place}.id", _short(name), expected, "Give the item an id that can be written.")
    if not (number(demand, 0, PIECES) and demand == int(demand)):
        wrong.at(f"{place}.demand", _short(demand), f"a whole number from 0 to {PIECES}", "Say how many.")
    turns = _turns(place, entry.get("allowed_orientations", []), wrong)
    outline = _outline(f"{place}.polygon", entry.get("polygon"), width, wrong)
    if len(wrong) > before or outline is None or not number(width, LEAST, MOST):
        return None
    origin = outline.min(axis=0)
    points = _distinct((outline - origin) * scale)
    _look(f"{place}.polygon", points, origin, scale, wrong)
    if demand and len(wrong) == before:
        _width(f"{place}.polygon", points, turns, width, scale, wrong)
    if len(wrong) > before:
        return None
    path = Path.polygon([Point(x, y) for x, y in points.tolist()])
    item = LayItem(str(k), str(name), path, demand=int(demand), turns=turns)
    return Given(item, name, (float(origin[0]), float(origin[1])))


def _turns(place: str, given: Any, wrong: _Wrong) -> tuple[float, ...]:
    if given is None:
        return ()
    if not isinstance(given, list | tuple) or len(given) > 360 or not all(number(turn, -1e6, 1e6) for turn in given):
        expected = "a list of at most 360 turns in degrees"
        wrong.at(f"{place}.allowed_orientations", _short(given), expected, "Give for example [0, 180].")
        return (0.0,)
    return tuple(math.radians(turn) for turn in dict.fromkeys(given)) or (0.0,)


def _outline(place: str, given: Any, width: Any, wrong: _Wrong) -> Polygon | None:
    """The points, if there are enough of them and they reach as far as a piece may."""
    if not isinstance(given, list | tuple):
        wrong.at(place, _what(given), "a list of points", "Give at least three points [x, y].")
        return None
    if len(given) > POINTS:
        wrong.at(place, f"{len(given)} points", f"at most {POINTS}", "Give an outline with fewer points.")
        return None
    odd = [n for n, point in enumerate(given) if not _is_point(point)]
    for n in odd[:10]:
        expected = f"two numbers [x, y] within {MOST:g}"
        wrong.at(f"{place}[{n + 1}]", _short(given[n]), expected, "Mend or leave out this point.")
    if odd:
        return None
    different = len({(float(x), float(y)) for x, y in given})
    if different < 3:
        found = f"{different} different point{'' if different == 1 else 's'}"
        wrong.at(place, found, "at least three", "Give the whole outline.")
        return None
    points = np.array(given, dtype=np.float64)
    extent = float(np.ptp(points, axis=0).max())
    if number(width, LEAST, MOST) and not SHORTEST * width <= extent <= LONGEST * width:
        many, limit = ("at most", LONGEST) if extent > width else ("at least", SHORTEST)
        expected = f"{many} {limit:g} times the strip's width, {_figure(limit * width)}"
        wrong.at(place, f"a piece {_figure(extent)} long", expected, "Is the width in the unit of the file?")
        return None
    return points


def _is_point(point: Any) -> bool:
    return isinstance(point, list | tuple) and len(point) == 2 and all(number(value, -MOST, MOST) for value in point)


def _distinct(points: Polygon) -> Polygon:
    kept: list[Any] = []
    for point in points:
        if not kept or np.hypot(*(point - kept[-1])) > 1e-6:
            kept.append(point)
    while len(kept) > 1 and np.hypot(*(kept[0] - kept[-1])) <= 1e-6:
        kept.pop()
    return np.array(kept)


def _look(place: str, points: Polygon, origin: Any, scale: float, wrong: _Wrong) -> None:
    """Whether the outline encloses something and does not cross itself."""
    hull, extent = shapely.MultiPoint(points).convex_hull.area, float(np.ptp(points, axis=0).max())
    remedy = "Give an outline that encloses something."
    if len(points) < 3 or hull <= 1e-14 * extent**2:
        wrong.at(place, "an outline that has no area", "one that encloses something", "Its points lie in a line: mend them.")
        return
    if hull <= SLIVER * extent**2:
        found = f"a sliver {_figure(extent / scale)} long and some {hull / extent / scale:.2g} wide"
        wrong.at(place, found, f"a shape wider than {SLIVER:g} of its length", remedy)
        return
    shape = shapely.Polygon(points)
    if not shape.is_valid:
        expected = "one that neither crosses nor touches itself"
        wrong.at(place, _crossing(shapely.is_valid_reason(shape), origin, scale), expected, "Mend the outline there.")
    elif shape.area <= 1e-9 * shape.length**2:
        wrong.at(place, f"an area of {shape.area / scale**2:.3g}", "more area within so long an outline", remedy)


def _crossing(reason: str, origin: Any, scale: float) -> str:
    """Shapely's reason in the file's own numbers."""
    how = "touches" if reason.startswith("Ring") else "crosses"
    where = re.search(r"\[(\S+) (\S+)\]", reason)
    if where is None:
        return f"an outline that {how} itself"
    x, y = (float(where[n + 1]) / scale + float(origin[n]) for n in range(2))
    return f"an outline that {how} itself near ({_figure(x)}, {_figure(y)})"


def _figure(value: float, digits: int = 9) -> str:
    return f"{value:.{digits}g}"


def _width(place: str, points: Polygon, turns: tuple[float, ...], width: float, scale: float, wrong: _Wrong) -> None:
    need = (min(_height(points, turn) for turn in turns) if turns else _narrowest(points)) / scale
    if need <= width * (1 + 1e-9):
        return
    digits = next((n for n in range(6, 17) if _figure(need, n) != _figure(width, n)), 17)
    remedy = "Allow it to be turned, make it in two, or give a wider strip."
    found = f"a piece {_figure(need, digits)} wide in every allowed turn"
    wrong.at(place, found, f"at most the strip's width, {_figure(width, digits)}", remedy)


def _height(polygon: Polygon, turn: float) -> float:
    return float(np.ptp(polygon[:, 0] * math.sin(turn) + polygon[:, 1] * math.cos(turn)))


def _narrowest(polygon: Polygon) -> float:
    """The least width over all turns: a shape is narrowest with a side of its convex hull along the strip."""
    hull = np.array(shapely.geometry.polygon.orient(shapely.MultiPoint(polygon).convex_hull).exterior.coords)[:-1]
    along = np.roll(hull, -1, axis=0) - hull
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    across = np.column_stack([-along[:, 1], along[:, 0]])
    heights = [float((hull @ normal - corner @ normal).max()) for normal, corner in zip(across, hull, strict=True)]
    return min(heights)
