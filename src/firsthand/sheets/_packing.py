"""Setting boxes side by side on one long sheet."""

from __future__ import annotations

from collections.abc import Mapping

from firsthand.geometry import Point

__all__ = ["pack"]


def pack(sizes: Mapping[str, tuple[float, float]], width: float, gap: float) -> dict[str, Point]:
    """Set boxes on a sheet of a given width, the tallest first, each as high up as it will go.

    Parameters
    ----------
    sizes
        Width and height of each box, mm.
    width
        Of the sheet, mm; a wider box stands alone and sticks out.
    gap
        Between boxes, mm.

    Returns
    -------
    dict
        The upper left corner of each box; the sheet's top is at y = 0 and y falls downwards.

    Examples
    --------
    >>> pack({"a": (60, 100), "b": (30, 40), "c": (30, 50)}, 100, 5)
    {'a': Point(x=0.0, y=0.0), 'c': Point(x=65.0, y=0.0), 'b': Point(x=65.0, y=-55.0)}
    """
    skyline: list[tuple[float, float, float]] = [(0.0, max([width, *(w for w, _ in sizes.values())]), 0.0)]
    places: dict[str, Point] = {}
    for name in sorted(sizes, key=lambda key: (-sizes[key][1], -sizes[key][0], key)):
        wide, high = sizes[name]
        x, depth = min(
            ((start, _depth(skyline, start, wide)) for start, _, _ in skyline if start + wide <= max(width, wide) + 1e-9),
            key=lambda spot: (round(spot[1] + high, 6), spot[0]),
        )
        places[name] = Point(x, 0.0 - depth)
        skyline = _laid(skyline, x, x + wide + gap, depth + high + gap)
    return places


def _depth(skyline: list[tuple[float, float, float]], start: float, wide: float) -> float:
    return max(depth for a, b, depth in skyline if a < start + wide - 1e-9 and b > start + 1e-9)


def _laid(
    skyline: list[tuple[float, float, float]], start: float, end: float, depth: float
) -> list[tuple[float, float, float]]:
    """The skyline with the stretch from ``start`` to ``end`` at a new depth."""
    kept = []
    for a, b, d in skyline:
        if a < start - 1e-9:
            kept.append((a, min(b, start), d))
        if b > end + 1e-9:
            kept.append((max(a, end), b, d))
    kept.append((start, end, depth))
    return sorted(kept)
