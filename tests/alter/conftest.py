"""Small garments whose measures are known in closed form."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from firsthand.geometry import Cubic, Line, Path, Point, Segment
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    Level,
    LevelLine,
    Notch,
    Pattern,
    Piece,
    Seam,
    Shape,
    make_garment,
)  # fmt: skip

Maker = Callable[..., Garment]


def _edge(name: str, *segments: Segment) -> Edge:
    return Edge(name, Corner(f"{name} start"), Path(segments))


def _panel(width: float, height: float, lean: float, bulge: float, darts: tuple[Dart, ...] = ()) -> Shape:
    """A quarter of a leg: hem below, ``inner`` on the right, ``top`` above, ``outer`` on the left.

    The inner edge leans outwards to the top by ``lean``; both long edges bulge outwards by ``bulge``.
    """
    a, b, c, d = Point(0, 0), Point(width, 0), Point(width + lean, height), Point(0, height)
    out, up = Point(bulge, 0), Point(0, height / 3)
    inner = Cubic(b, b + up + out, c - up + out, c) if bulge else Line(b, c)
    outer = Cubic(d, d - up - out, a + up - out, a) if bulge else Line(d, a)
    return Shape(
        edges=(_edge("hem", Line(a, b)), _edge("inner", inner), _edge("top", Line(c, d)), _edge("outer", outer)),
        grain=(Point(width / 2, 20), Point(width / 2, height - 20)),
        notches=(Notch("n1", "inner", height / 2), Notch("n2", "outer", height / 2), Notch("n3", "top", 40)),
        darts=darts,
        levels=(LevelLine("middle", Point(10, height / 2), Point(width - 10, height / 2)),),
    )


def _both(a: str, b: str, name: str) -> tuple[Seam, ...]:
    """A seam on each hand."""
    piece_a, edge_a = a.split(".")
    piece_b, edge_b = b.split(".")
    return tuple(
        Seam(f"{name} {hand.value}", (EdgeRef(piece_a, edge_a, hand),), (EdgeRef(piece_b, edge_b, hand),), take_in=True)
        for hand in (Hand.RIGHT, Hand.LEFT)
    )


@pytest.fixture(scope="session")
def make_leg() -> Maker:
    """Two legs, each of a front and a back panel: girth at the middle = 2 x width + lean when straight."""

    def make(
        *, width: float = 200.0, height: float = 600.0, lean: float = 0.0, bulge: float = 0.0, darts: tuple[Dart, ...] = ()
    ) -> Garment:
        panels = {
            "front": _panel(width, height, lean, bulge, darts),
            "back": _panel(width, height, lean, bulge),
        }
        pieces = {
            name: Piece(name, str(k), name, (Cut("shell", How.PAIR),), sizes={"M": shape})
            for k, (name, shape) in enumerate(panels.items())
        }
        # The back is drawn with the same outline: its left part is the front's mirror image, so outer meets outer.
        seams = _both("front.outer", "back.outer", "outer") + _both("front.inner", "back.inner", "inner")
        levels = (Level("middle", "middle", "thigh_girth", limb=True),)
        return make_garment(Pattern("legs", "Legs", ("M",), pieces, seams, levels), "M", id="legs", sort="trousers")

    return make


@pytest.fixture(scope="session")
def make_vest() -> Maker:
    """A body of a front and a back on the fold, joined at the sides, with curved armholes above."""

    def make(*, half: float = 240.0, waist: float = 210.0, rise: float = 420.0) -> Garment:
        a, b, c, d, e = Point(0, 0), Point(waist, 0), Point(half, 220), Point(120, rise), Point(0, rise - 60)
        armhole = Cubic(c, c + Point(-45, 5), d + Point(10, -90), d)
        side = Cubic(b, b + Point(4, 80), c + Point(-4, -70), c)
        shape = Shape(
            edges=(
                _edge("waist", Line(a, b)), _edge("side", side), _edge("armhole", armhole),
                _edge("neck", Cubic(d, d + Point(-60, -10), e + Point(70, 0), e)), _edge("centre", Line(e, a)),
            ),
            grain=(Point(60, 40), Point(60, 300)),
            notches=(Notch("n1", "side", 100), Notch("n2", "armhole", 60)),
            levels=(LevelLine("bust", Point(0, 200), Point(half, 200)), LevelLine("waist", Point(0, 40), Point(waist, 40))),
        )  # fmt: skip
        cuts = (Cut("shell", How.FOLD), Cut("lining", How.FOLD))
        pieces = {n: Piece(n, n, n, cuts, sizes={"M": shape}, fold="centre") for n in ("front", "back")}
        seams = tuple(
            Seam(f"side {hand.value}{tail}", (EdgeRef("front", "side", hand, role),), (EdgeRef("back", "side", hand, role),),
                 take_in=True)
            for role, tail in (("shell", ""), ("lining", " lining")) for hand in (Hand.RIGHT, Hand.LEFT)
        )  # fmt: skip
        levels = (Level("bust", "bust", "bust_girth"), Level("waist", "waist", "waist_girth"))
        return make_garment(Pattern("vest", "Vest", ("M",), pieces, seams, levels), "M", id="vest", sort="jerkin")

    return make
