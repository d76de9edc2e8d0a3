"""The warden's cape: shaped over the shoulder, with a stand collar and a clasp at the neck.

Deliberate: the paper is a copy. Its test line says 100 mm and measures 97 mm, and so every outline here is 0.97 of the one
that was drafted; and size L has been trimmed off.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from firsthand.demo._chart import CHART, LETTERS, chart_of
from firsthand.demo._tools import both, each, edge, facing, fold, hem, level, loop, notch, refs, scaled, solve, turned_over
from firsthand.geometry import Path, Point, smooth
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Cut,
    Edge,
    Haberdashery,
    Hand,
    How,
    Level,
    Opening,
    Pattern,
    Piece,
    PrintedScale,
    Rough,
    Seam,
    Shape,
)

__all__ = ["COPY", "cape", "cape_as_drafted"]

COPY = 0.97
"""Size of the copy over that of the original."""
LENGTH = 430.0
"""From the nape to the hem, mm."""
NECK_EASE = 16.0
"""Of the neck edge over the base of the neck, mm."""
COLLAR_BACK, COLLAR_FRONT, COLLAR_RISE = 62.0, 50.0, 14.0
"""Height of the collar at the back and at its end, and how far its end is swung up, mm."""
FRONT_DROP = 6.0
"""How much more the front hangs than the back at the side seam's lower end, mm."""


def _neckline(row: Mapping[str, float], *, front: bool) -> Path:
    """From the shoulder in to the middle: y is 0 at the nape, the middle at x = 0, the shoulder at x > 0."""
    width = (row["neck_base_girth"] + NECK_EASE) / 5.4
    top, drop = Point(width, 22.0), (width - 4.0 if front else 0.0)
    middle, slope = Point(0, -drop), math.radians(21)
    down = Point.polar(1, -math.pi / 2 - slope)
    return Path.curve(top, top + down * (0.55 * (top.y + drop)), middle + Point(0.58 * width, 0), middle)


def _shoulder(row: Mapping[str, float], *, front: bool, sweep: float) -> Path:
    """From the neck over the shoulder and down the arm to the hem; ``sweep`` moves its lower end down."""
    top, slope = _neckline(row, front=front).start, math.radians(21)
    point = top + Point.polar(row["shoulder_length"] + 4.0, -slope)
    out = row["back_width"] / 2 + (60.0 if front else 66.0)
    return smooth(
        [top, top.towards(point, 0.6), point, Point(out, point.y - 100), Point(out + 56, -LENGTH + 60 - sweep)],
        start=point - top,
        end=Point(0.16, -1),
    )


def _sweep(row: Mapping[str, float]) -> float:
    """How much lower the front's shoulder seam must end to be as long as the back's."""
    wanted = _shoulder(row, front=False, sweep=0.0).length
    return solve(lambda sweep: _shoulder(row, front=True, sweep=sweep).length - wanted, -60.0, 60.0)


def _hem(middle: Point, side: Path) -> Path:
    """From the middle out to the side, square to both."""
    end = side.end
    reach = (end.x - middle.x) / 3
    return Path.curve(middle, middle + Point(reach, 0), end - side.end_tangent.left * reach, end)


def _body(row: Mapping[str, float], *, front: bool) -> Shape:
    side = _shoulder(row, front=front, sweep=_sweep(row) if front else 0.0)
    neckline = _neckline(row, front=front)
    bottom = Point(0, -LENGTH - (FRONT_DROP if front else 0.0))
    middle = Path.line(neckline.end, bottom)
    edges = loop(
        hem("hem", _hem(bottom, side), 25.0, turning=5.0),
        edge("shoulder", side.reversed()),
        edge("neck", neckline, allowance=10.0),
        facing("front", middle, allowance=45.0, depth=40.0) if front else fold("centre", middle),
    )
    return _marked(turned_over(edges) if front else edges, neckline.end, front=front)


def _marked(edges: tuple[Edge, ...], middle: Point, *, front: bool) -> Shape:
    by, way = {one.id: one for one in edges}, -1.0 if front else 1.0
    return Shape(
        edges=edges,
        grain=(Point(way * 70, -LENGTH + 70), Point(way * 70, middle.y - 60)),
        notches=(
            notch("shoulder point", by["shoulder"], -way * 130.0, double=not front),
            notch("arm", by["shoulder"], way * 150.0, double=not front),
        ),
    )


def _collar(row: Mapping[str, float]) -> Shape:
    """The stand collar, half of it, as long along its lower edge as the neck of the cape."""
    wanted = sum(_neckline(row, front=front).length for front in (True, False))

    def lower(length: float) -> Path:
        end = Point(length, COLLAR_RISE)
        return Path.curve(Point(0, 0), Point(0.45 * length, 0), end - Point(0.3 * length, 0.17 * 0.3 * length), end)

    neck = lower(solve(lambda length: lower(length).length - wanted, 0.8 * wanted, wanted))
    tip = neck.end + neck.end_tangent.left * COLLAR_FRONT - neck.end_tangent * 4
    back = Point(0, COLLAR_BACK)
    top = Path.curve(tip, tip - neck.end_tangent * (0.3 * tip.x), back + Point(0.45 * tip.x, 0), back)
    edges = loop(
        facing("neck", neck, allowance=10.0),
        edge("end", Path.line(neck.end, tip), allowance=10.0),
        edge("top", top, allowance=10.0),
        fold("centre", Path.line(back, Point(0, 0))),
    )
    shoulder = _neckline(row, front=False).length
    return Shape(
        edges=edges,
        grain=(Point(40, 8), Point(40, COLLAR_BACK - 10)),
        notches=(notch("shoulder", edges[0], shoulder),),
        levels=(level("neck", Point(0, COLLAR_BACK / 2), neck.end.towards(tip, 0.5)),),
    )


def _pieces(factor: float, sizes: tuple[str, ...]) -> dict[str, Piece]:
    def copied(name: str, *, front: bool = False) -> dict[str, Shape]:
        return {
            size: scaled(_collar(CHART[size]) if name == "collar" else _body(CHART[size], front=front), factor)
            for size in sizes
        }

    rough = {"front": Rough(560, 350), "back": Rough(520, 680), "collar": Rough(95, 440)}
    trimmed = {name: {size: one for size in LETTERS if size not in sizes} for name, one in rough.items()}
    layers = (Cut("shell", How.FOLD), Cut("lining", How.FOLD), Cut("interfacing", How.FOLD))
    return {
        "front": Piece("front", "1", "Cape front", (Cut("shell"),), trimmed["front"], copied("front", front=True)),
        "back": Piece("back", "2", "Cape back", (Cut("shell", How.FOLD),), trimmed["back"], copied("back"), fold="centre"),
        "collar": Piece("collar", "3", "Stand collar", layers, trimmed["collar"], copied("collar"), fold="centre"),
    }


def _seams() -> tuple[Seam, ...]:
    """The collar's two layers run the same way round where they are joined, so the lining is not walked backwards."""
    around = [
        refs(["collar.end", "collar.top"], Hand.RIGHT, role) + refs(["collar.top", "collar.end"], Hand.LEFT, role)
        for role in ("shell", "lining")
    ]
    return (
        *each(Seam("shoulder", (), ()), ["front.shoulder"], ["back.shoulder"]),
        Seam("collar edge", around[0], around[1], reverse_b=False),
        *each(Seam("neck", (), (), after=("collar edge",)), ["collar.neck"], ["back.neck", "front.neck"]),
    )


def _cape(factor: float, sizes: tuple[str, ...]) -> Pattern:
    fronts = both(["front.front"])
    inside = both(["collar.neck"], "lining")
    return Pattern(
        id="cape",
        name="Warden's shoulder cape",
        sizes=LETTERS,
        pieces=_pieces(factor, sizes),
        seams=_seams(),
        levels=(Level("neck", "Neck", "neck_girth"),),
        closures=(
            Closure("neck clasp", ClosureKind.CLASP, both(["collar.end"]), count=1, parts_under_pull=True, at_neck=True),
        ),
        openings=(Opening("front and hem", both(["front.hem", "back.hem"]) + fronts + inside, "neck clasp"),),
        haberdashery=(Haberdashery("clasp", count=1, size="magnetic, 20 mm"),),
        chart=chart_of(["bust_girth", "neck_girth", "shoulder_length"]),
        trimmed=tuple(size for size in LETTERS if size not in sizes),
        scale=PrintedScale(100.0, 100.0 * factor),
        expects_thickness=1.5,
    )


def cape() -> Pattern:
    """The pattern of the cape as it came: copied too small, its largest size trimmed away."""
    return _cape(COPY, LETTERS[:2])


def cape_as_drafted() -> Pattern:
    """The same pattern before it was copied and trimmed, to compare with."""
    return _cape(1.0, LETTERS)
