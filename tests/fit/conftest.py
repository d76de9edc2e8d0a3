"""A garment of straight and slanting lines, whose girths are known in closed form."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from firsthand.body import Body, Measurement
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    Level,
    LevelLine,
    Pattern,
    Piece,
    Seam,
    Shape,
    make_garment,
)  # fmt: skip

Maker = Callable[..., Garment]


@pytest.fixture(scope="session")
def make_body() -> Callable[..., Body]:
    """A wearer with measurements in mm."""

    def make(**values: float) -> Body:
        return Body("w", "Wearer", {key: Measurement(key, value) for key, value in values.items()}, table="female")

    return make


@pytest.fixture(scope="session")
def make_tube() -> Maker:
    """Front and back on the fold, a quarter of the girth each: bust 600 mm up, waist 400, hip 200, straight between them."""

    def make(
        *, bust: float = 960.0, waist: float = 800.0, hip: float = 1000.0, cut: str = "semi-fitted", sort: str = "dress",
        take_in: bool = True,
    ) -> Garment:  # fmt: skip
        points = [Point(0, 0), Point(hip / 4, 0), Point(hip / 4, 200), Point(waist / 4, 400), Point(bust / 4, 600)]
        points += [Point(bust / 4, 700), Point(0, 700)]
        edges = (
            Edge("hem", Corner("a"), Path.line(*points[:2])), Edge("side", Corner("b"), Path.line(*points[1:6])),
            Edge("top", Corner("c"), Path.line(*points[5:])), Edge("fold", Corner("d"), Path.line(points[6], points[0])),
        )  # fmt: skip
        levels = (("bust", 600.0), ("waist", 400.0), ("hip", 200.0))
        marks = tuple(LevelLine(name, Point(0, y), Point(50, y)) for name, y in levels)
        shape = Shape(edges, (Point(50, 50), Point(50, 500)), levels=marks)
        cuts = (Cut("shell", How.FOLD),)
        pieces = {name: Piece(name, "", name, cuts, sizes={"M": shape}, fold="fold") for name in ("front", "back")}
        seams = tuple(
            Seam(f"side {hand.value}", (EdgeRef("front", "side", hand),), (EdgeRef("back", "side", hand),), take_in=take_in)
            for hand in (Hand.RIGHT, Hand.LEFT)
        )
        asked = tuple(Level(name, name, f"{name}_girth") for name, _ in levels)
        return make_garment(Pattern("tube", "Tube", ("M",), pieces, seams, asked), "M", id="tube", cut=cut, sort=sort)

    return make
