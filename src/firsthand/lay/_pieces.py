"""Laying plain polygons in a strip: the JSON door, for machines and benchmarks."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from firsthand.errors import BadInput, FirsthandError, Problem
from firsthand.geometry import Path, Point
from firsthand.lay._open import lay_open
from firsthand.lay._problem import make_problem
from firsthand.lay._shapes import Polygon
from firsthand.lay._verify import verify
from firsthand.lay.model import Lay, LayItem, Placement, Way

__all__ = ["lay_pieces"]

_LEAST, _MOST = 1e-9, 1e9
"""Numbers beyond these are slips."""
_TOUCH = 1e-9
"""Two parts that share less than this share of the width squared only touch."""


def lay_pieces(
    data: Mapping[str, Any], width: float, *, seconds: float = 20.0, seed: int = 1, workers: int = 2
) -> dict[str, Any]:
    """Lay polygons in a strip as short as can be found.

    Parameters
    ----------
    data
        ``{"items": [{"id": .., "demand": 2, "allowed_orientations": [0.0, 180.0], "polygon": [[x, y], ..]}, ..]}``.
        Orientations are degrees; ``null`` allows any, an empty or missing list only 0. Other keys are passed over.
    width
        Of the strip, in the unit of the polygons.
    seconds, seed, workers
        How long to look, where to begin, and how many processes.

    Returns
    -------
    dict
        ``length``, ``density``, ``seconds``, ``seed``, and ``placements``, each with ``id``, ``rotation_deg``, ``x``,
        ``y``, ``mirrored``: turn the given polygon about the origin, then shift it; x runs along the length, y across
        the width. The answer was verified with shapely before it was given.

    Raises
    ------
    BadInput
        With everything that is wrong with the data.

    Examples
    --------
    >>> panel = {"id": 0, "demand": 2, "allowed_orientations": [0.0], "polygon": [[0, 0], [50, 0], [50, 30], [0, 30]]}
    >>> answer = lay_pieces({"items": [panel]}, 60, seconds=0.5)
    >>> round(answer["length"], 3), round(answer["density"], 3), len(answer["placements"])
    (50.0, 1.0, 2)
    """
    problems = [*_options(width, seconds, seed, workers)]
    entries = _entries(data, problems)
    scale = _scale(width)
    items = [item for k, entry in enumerate(entries) if (item := _item(k, entry, width, scale, problems)) is not None]
    problems += _repeated(entries)
    if problems:
        raise BadInput(problems)
    began = time.monotonic()
    wanted = tuple(item for item, _ in items if item.demand)
    strip = width * scale
    problem = make_problem(wanted, strip, 0.0, slimness=0.0)

    def sound(placed: Sequence[Placement], length: float) -> bool:
        return not verify(Lay("", Way.OPEN, strip, length, wanted, tuple(placed)), overlap=_TOUCH * strip * strip)

    found = lay_open(problem, seconds=seconds, seed=seed, workers=workers, check=sound)
    if not found.sound:
        raise FirsthandError("no sound lay of these pieces was found; give more seconds")
    names = {item.id: name for item, name in items}
    lay = Lay("", Way.OPEN, strip, found.length, wanted, found.placements)
    return {
        "length": found.length / scale,
        "density": lay.density,
        "seconds": round(time.monotonic() - began, 3),
        "seed": seed,
        "placements": [
            {
                "id": names[p.item],
                "rotation_deg": math.degrees(p.turn) + 0.0,
                "x": p.x / scale + 0.0,
                "y": p.y / scale + 0.0,
                "mirrored": p.mirrored,
            }
            for p in found.placements
        ],
    }


def _scale(width: Any) -> float:
    """A power of two, so that nothing is rounded, that makes the strip some 1000 wide whatever the unit of the file."""
    return 2.0 ** (10 - math.frexp(width)[1]) if _number(width, _LEAST, _MOST) else 1.0


def _number(value: Any, low: float, high: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high


def _options(width: Any, seconds: Any, seed: Any, workers: Any) -> Iterator[Problem]:
    if not _number(width, _LEAST, _MOST):
        yield Problem("", "width", repr(width), "a width above zero", "Give the width of the strip in the unit of the file.")
    if not (_number(seconds, 0, 86_400) and seconds > 0):
        yield Problem("", "seconds", repr(seconds), "a time above zero and within a day", "Give for example 20.")
    if not (_number(seed, 0, 2**63 - 1) and isinstance(seed, int)):
        yield Problem("", "seed", repr(seed), "a whole number, zero or more", "Give for example 1.")
    if not (_number(workers, 1, 256) and isinstance(workers, int)):
        yield Problem("", "workers", repr(workers), "a whole number from 1", "Give the number of processor cores to use.")


def _entries(data: Any, problems: list[Problem]) -> list[Mapping[str, Any]]:
    items = data.get("items") if isinstance(data, Mapping) else None
    if not isinstance(items, list | tuple):
        problems.append(Problem("", "items", _short(items), "a list of items", "Give the shapes under the key items."))
        return []
    for k, entry in enumerate(items):
        if not isinstance(entry, Mapping):
            problems.append(Problem("", f"items[{k}]", _short(entry), "an item", "Give id, demand and polygon."))
    return [entry for entry in items if isinstance(entry, Mapping)]


def _short(value: Any) -> str:
    words = repr(value)
    return words if len(words) <= 60 else words[:57] + "..."


def _repeated(entries: Sequence[Mapping[str, Any]]) -> Iterator[Problem]:
    seen: set[str] = set()
    for k, entry in enumerate(entries):
        name = repr(entry.get("id", k))
        if name in seen:
            yield Problem("", f"items[{k}].id", name, "an id of its own", "Give every item another id.")
        seen.add(name)


def _item(k: int, entry: Mapping[str, Any], width: Any, scale: float, problems: list[Problem]) -> tuple[LayItem, Any] | None:
    """The item and its id as written; the reasons why not go to the problems."""
    place, before = f"items[{k}]", len(problems)
    name, demand = entry.get("id", k), entry.get("demand", 1)
    if not isinstance(name, str | int) or isinstance(name, bool):
        problems.append(Problem("", f"{place}.id", _short(name), "a word or whole number", "Give the item an id."))
    if not (_number(demand, 0, 100_000) and demand == int(demand)):
        problems.append(Problem("", f"{place}.demand", _short(demand), "a whole number, zero or more", "Say how many."))
    turns = _turns(place, entry.get("allowed_orientations", []), problems)
    points = _polygon(place, entry.get("polygon"), scale, problems)
    if len(problems) > before or points is None:
        return None
    item = LayItem(str(k), str(name), Path.polygon(points), demand=int(demand), turns=turns)
    if _number(width, _LEAST, _MOST) and demand:
        problems += _too_wide(place, points, turns, width, scale)
    return item, name


def _turns(place: str, given: Any, problems: list[Problem]) -> tuple[float, ...]:
    if given is None:
        return ()
    if not isinstance(given, list | tuple) or not all(_number(turn, -1e6, 1e6) for turn in given):
        remedy = "Give for example [0, 180]."
        problems.append(Problem("", f"{place}.allowed_orientations", _short(given), "a list of degrees", remedy))
        return (0.0,)
    return tuple(math.radians(turn) for turn in dict.fromkeys(given)) or (0.0,)


def _polygon(place: str, given: Any, scale: float, problems: list[Problem]) -> list[Point] | None:
    place = f"{place}.polygon"
    if not isinstance(given, list | tuple):
        problems.append(Problem("", place, _short(given), "a list of points", "Give at least three points [x, y]."))
        return None
    wrong = [n for n, point in enumerate(given) if not _is_point(point)]
    for n in wrong:
        remedy = "Mend or leave out this point."
        problems.append(Problem("", f"{place}[{n}]", _short(given[n]), "two finite numbers [x, y]", remedy))
    if wrong:
        return None
    points = _distinct([Point(x * scale, y * scale) for x, y in given])
    if len(points) < 3:
        problems.append(Problem("", place, f"{len(points)} different points", "at least three", "Give the whole outline."))
        return None
    shape = shapely.Polygon([(point.x, point.y) for point in points])
    if not shape.is_valid:
        where = shapely.is_valid_reason(shape)
        problems.append(Problem("", place, where, "an outline that does not cross itself", "Mend the outline there."))
    elif shape.area <= 1e-9 * shape.length**2:
        problems.append(
            Problem("", place, f"an area of {shape.area / scale**2:g}", "an area", "Give an outline that encloses something.")
        )
    return points


def _is_point(point: Any) -> bool:
    return isinstance(point, list | tuple) and len(point) == 2 and all(_number(value, -_MOST, _MOST) for value in point)


def _distinct(points: list[Point]) -> list[Point]:
    return [point for n, point in enumerate(points) if point.distance(points[n - 1]) > 1e-6]


def _too_wide(place: str, points: list[Point], turns: tuple[float, ...], width: float, scale: float) -> Iterator[Problem]:
    polygon: Polygon = np.array([(point.x, point.y) for point in points])
    heights = [_height(polygon, turn) / scale for turn in turns or _flat_turns(polygon)]
    if min(heights) > width * (1 + 1e-9):
        found = f"a piece {min(heights):g} wide in every allowed turn"
        remedy = "Allow it to be turned, make it in two, or give a wider strip."
        yield Problem("", place, found, f"at most the strip's width, {width:g}", remedy)


def _height(polygon: Polygon, turn: float) -> float:
    across = polygon[:, 0] * math.sin(turn) + polygon[:, 1] * math.cos(turn)
    return float(across.max() - across.min())


def _flat_turns(polygon: Polygon) -> list[float]:
    """Turns that lay a side of the convex hull along the strip: a shape is narrowest in one of these."""
    corners = list(shapely.Polygon(polygon).convex_hull.exterior.coords)
    return [-math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in itertools.pairwise(corners)]
