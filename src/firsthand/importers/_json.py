"""Proposals as plain data, for machines."""

from __future__ import annotations

from typing import Any

from firsthand.geometry import Line, Path, Point
from firsthand.importers.model import Proposal, Proposals

__all__ = ["proposals_json"]


def proposals_json(proposals: Proposals) -> dict[str, Any]:
    """Proposals as JSON values: lengths in millimetres, y up, paths as in the files of pieces.

    Examples
    --------
    >>> cuff = Proposal("cuff", Path.polygon([Point(0, 0), Point(90, 0), Point(90, 60)]))
    >>> data = proposals_json(Proposals((cuff,)))
    >>> data["proposals"][0]["path"][0], data["proposals"][0]["area"]
    (['line', [90.0, 0.0]], 2700.0)
    """
    return {
        "schema": 1,
        "units": "mm",
        "proposals": [_proposal(one) for one in proposals.proposals],
        "findings": [
            {"code": f.code, "severity": f.severity.value, "message": f.message, "remedy": f.remedy, "why": list(f.why)}
            for f in proposals.findings
        ],
    }


def _proposal(one: Proposal) -> dict[str, Any]:
    box = one.outline.bounds
    return {
        "name": one.name,
        "size": one.size,
        "accuracy_mm": None if one.accuracy is None else round(one.accuracy, 4),
        "outline": _flat(one.outline),
        "layer": one.layer,
        "ids": list(one.ids),
        "width": round(box.width, 6),
        "height": round(box.height, 6),
        "length": round(one.outline.length, 6),
        "area": round(one.outline.area, 6),
        **_path(one.outline),
        "lines": [
            {"kind": line.kind.value, "layer": line.layer, "points": _flat(line.path), **_path(line.path)} for line in one.lines
        ],
        "marks": [{"kind": mark.kind.value, "layer": mark.layer, "at": _point(mark.point)} for mark in one.marks],
        "words": list(one.words),
    }


def _point(point: Point) -> list[float]:
    return [round(point.x, 9), round(point.y, 9)]


def _path(path: Path) -> dict[str, Any]:
    return {
        "start": _point(path.start),
        "path": [
            ["line", _point(s.b)] if isinstance(s, Line) else ["curve", _point(s.b), _point(s.c), _point(s.d)] for s in path
        ],
    }


def _flat(path: Path) -> list[list[float]]:
    """Points that stray from the path by 0.05 mm at most; a closed path does not repeat its first."""
    points = [_point(point) for point in path.flattened(0.05)]
    return points[:-1] if len(points) > 1 and path.is_closed and points[0] == points[-1] else points
