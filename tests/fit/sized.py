"""Patterns in several sizes of straight and slanting lines, whose girths are known in closed form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from firsthand.body import Body, Measurement
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Hand,
    How,
    Level,
    LevelLine,
    Pattern,
    Piece,
    Seam,
    Shape,
)

LEVELS = (("bust", 600.0), ("waist", 400.0), ("hip", 200.0))


def tube(bust: float, waist: float, hip: float) -> Shape:
    """Half a front or back, a quarter of each girth wide: hip 200 mm up, waist 400, bust 600, straight between them."""
    points = [Point(0, 0), Point(hip / 4, 0), Point(hip / 4, 200), Point(waist / 4, 400), Point(bust / 4, 600)]
    points += [Point(bust / 4, 700), Point(0, 700)]
    edges = (
        Edge("hem", Corner("a"), Path.line(*points[:2])), Edge("side", Corner("b"), Path.line(*points[1:6])),
        Edge("top", Corner("c"), Path.line(*points[5:])), Edge("fold", Corner("d"), Path.line(points[6], points[0])),
    )  # fmt: skip
    marks = tuple(LevelLine(name, Point(0, y), Point(50, y)) for name, y in LEVELS)
    return Shape(edges, (Point(50, 50), Point(50, 500)), levels=marks)


def pattern_of(
    girths: Mapping[str, tuple[float, float, float]],
    *,
    chart: Mapping[str, Mapping[str, float]] | None = None,
    sizes: Sequence[str] = (),
    trimmed: Sequence[str] = (),
    levels: Sequence[str] = ("bust", "waist", "hip"),
) -> Pattern:
    """Front and back on the fold in sizes with these finished girths at bust, waist and hip, mm."""
    shapes = {size: tube(*three) for size, three in girths.items()}
    cuts = (Cut("shell", How.FOLD),)
    pieces = {name: Piece(name, "", name, cuts, sizes=shapes, fold="fold") for name in ("front", "back")}
    seams = tuple(
        Seam(
            f"side {hand.value}",
            (EdgeRef("front", "side", hand),),
            (EdgeRef("back", "side", hand),),
            reverse_b=False,
            take_in=True,
        )
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    asked = tuple(Level(name, name.capitalize(), f"{name}_girth") for name in levels)
    known = tuple(sizes) or tuple(girths)
    return Pattern("tube", "Tube", known, pieces, seams, asked, chart=chart or {}, trimmed=tuple(trimmed))


def card_pattern(chart: Mapping[str, Mapping[str, float]]) -> Pattern:
    """A pattern of which only the chart is known."""
    return Pattern("cards", "Cards", tuple(chart), {"front": Piece("front", "", "front", (Cut("shell"),))}, chart=chart)


def body_of(*, table: str = "female", child: bool = False, form: bool = False, name: str = "Wearer", **values: float) -> Body:
    """A body with measurements, mm."""
    taken = {key: Measurement(key, value) for key, value in values.items()}
    return Body(name.lower(), name, taken, table=table, child=child, form=form)


def even(sizes: Sequence[str], first: tuple[float, float, float], step: float = 40.0) -> dict[str, tuple[float, float, float]]:
    """Finished girths that grow by the same step from size to size."""
    return {size: (first[0] + k * step, first[1] + k * step, first[2] + k * step) for k, size in enumerate(sizes)}
