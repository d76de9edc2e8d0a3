"""Random garments that somebody might really sew: invented proportions, curves as cubics, seams cut from the same lengths.

All comes from one seed, so that a garment can be made again. Each draft is drawn with the middle of the body at x = 0 and the
side at x > 0, as a right back looks from outside; a right front is turned over. Numbers are our own, within the proportions of
a grown or half-grown body (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import TypeVar

from hypothesis import strategies as st

from firsthand.geometry import Affine, Path, Point, smooth
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Level,
    LevelLine,
    Notch,
    NotchKind,
    Opening,
    Pattern,
    Piece,
    Seam,
    Shape,
    assemble,
    make_garment,
)

__all__ = ["BUILDERS", "Draw", "garments", "plausible_garment", "plausible_pattern"]

T = TypeVar("T")
SIZES = ("S", "M", "L")
STEP = 0.05
"""How much wider a size is than the one before, as a share."""


class Draw:
    """Chooses; widths grow with the size, everything else is the same in every size."""

    def __init__(self, seed: int, grow: float = 1.0) -> None:
        self.random, self.grow = Random(seed), grow

    def number(self, low: float, high: float) -> float:
        """Any number between two."""
        return self.random.uniform(low, high)

    def width(self, low: float, high: float) -> float:
        """A width across the body, by size."""
        return self.grow * self.random.uniform(low, high)

    def chance(self, share: float) -> bool:
        """Whether something is so, in that share of cases."""
        return self.random.random() < share

    def one(self, items: Sequence[T]) -> T:
        """One of several."""
        return self.random.choice(items)

    def some(self, items: Sequence[T], most: int) -> list[T]:
        """One or a few of several."""
        return self.random.sample(items, self.random.randint(1, min(most, len(items))))


@dataclass(frozen=True)
class Draft:
    """Outlines by piece, how they are cut, and how they are sewn together."""

    shapes: Mapping[str, Shape]
    folds: Mapping[str, str]
    seams: tuple[Seam, ...]
    levels: tuple[Level, ...]


# tools --------------------------------------------------------------------------------------------------------


def edge(name: str, path: Path, fate: FateKind = FateKind.SEAM, *, allowance: float = 12.0, depth: float = 0.0) -> Edge:
    """An edge whose corner is named once the loop is closed."""
    margin = 0.0 if fate is FateKind.FOLD else allowance
    return Edge(name, Corner(name), path, margin, fate=Fate(fate, depth))


def hem(name: str, path: Path, depth: float = 20.0) -> Edge:
    """An edge that is turned up."""
    return edge(name, path, FateKind.HEM, allowance=depth + 10.0, depth=depth)


def shape(edges: Sequence[Edge], grain: tuple[Point, Point], **marks: Iterable[object]) -> Shape:
    """A shape with its corners named after the edges that meet there."""
    named = tuple(
        replace(one, corner=Corner(f"{last.id} to {one.id}")) for last, one in zip((edges[-1], *edges), edges, strict=False)
    )
    return Shape(named, grain, **{name: tuple(some) for name, some in marks.items()})  # type: ignore[arg-type]


def turned_over(one: Shape) -> Shape:
    """The mirror image in x, counter-clockwise again, ids kept."""
    flip = Affine.mirror()
    lengths = {e.id: e.path.length for e in one.edges}
    edges = [replace(e, path=e.path.transformed(flip).reversed()) for e in reversed(one.edges)]
    return shape(
        edges,
        (flip(one.grain[0]), flip(one.grain[1])),
        notches=[replace(n, at=lengths[n.edge] - n.at) for n in one.notches],
        darts=[replace(d, at=lengths[d.edge] - d.at, apex=flip(d.apex)) for d in one.darts],
        levels=[LevelLine(v.level, flip(v.b), flip(v.a)) for v in one.levels],
    )


def moved(path: Path, dx: float, dy: float = 0.0) -> Path:
    """A path moved."""
    return path.transformed(Affine.translation(dx, dy))


def run_on(path: Path, start: float = 0.0, end: float = 0.0) -> Path:
    """A path with straight pieces in front and behind: longer by exactly as much."""
    head = [Path.line(path.start - path.start_tangent * start, path.start)] if start else []
    tail = [Path.line(path.end, path.end + path.end_tangent * end)] if end else []
    return Path.joined([*head, path, *tail])


def dart(name: str, on: Edge, at: float, width: float, depth: float) -> Dart:
    """A dart with equal legs."""
    one, two = on.path.at(at - width / 2), on.path.at(at + width / 2)
    return Dart(name, on.id, at, width, one.towards(two, 0.5) + (two - one).unit().left * depth)


def level(name: str, y: float, half: float, left: float = 0.0) -> LevelLine:
    """A level line across, drawn a little short of the edges."""
    return LevelLine(name, Point(left + 0.06 * (half - left), y), Point(left + 0.94 * (half - left), y))


def solve(gap: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function is zero, to a millionth, by the rule of false position (Illinois variant)."""
    at_low, at_high = gap(low), gap(high)
    if at_low > 0 or at_high < 0:
        raise ValueError("nothing makes the lengths meet")
    for _ in range(60):
        x = (low * at_high - high * at_low) / (at_high - at_low)
        here = gap(x)
        if abs(here) < 1e-6:
            return x
        if here < 0:
            low, at_low, at_high = x, here, at_high / 2
        else:
            high, at_high, at_low = x, here, at_low / 2
    return x


def each(name: str, a: Iterable[str], b: Iterable[str], **more: object) -> tuple[Seam, ...]:
    """A seam on the right and one on the left."""
    one, two = list(a), list(b)
    return tuple(Seam(f"{name} {hand.value}", _refs(one, hand), _refs(two, hand), **more) for hand in (Hand.RIGHT, Hand.LEFT))  # type: ignore[arg-type]


def across(name: str, edge_name: str) -> Seam:
    """A seam that joins the right part to the left one."""
    return Seam(name, _refs([edge_name], Hand.RIGHT), _refs([edge_name], Hand.LEFT))


def _refs(words: Iterable[str], hand: Hand) -> tuple[EdgeRef, ...]:
    return tuple(EdgeRef(*word.split("."), hand=hand) for word in words)


# bodices ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Half:
    """The lines of half a bodice front or back."""

    bottom: Path
    side: Path
    armhole: Path
    shoulder: Path
    neck: Path

    @property
    def centre(self) -> Path:
        """Down the middle."""
        return Path.line(self.neck.end, self.bottom.start)


def bodice(draw: Draw) -> Draft:
    """A bodice of a front and a back, with or without sleeves and a collar."""
    waisted, under, up = draw.chance(0.6), draw.number(185, 245), draw.number(185, 225)
    neck, slope, shoulder = draw.width(60, 80), math.radians(draw.number(17, 25)), draw.width(95, 135)
    back_bust, front_bust, nip = draw.width(215, 285), draw.width(225, 300), draw.width(8, 26)
    side_dart, shoulder_dart = (draw.number(15, 34), 0.0) if draw.chance(0.4) else (0.0, draw.number(12, 26))
    shoulder_dart = shoulder_dart if draw.chance(0.4) else 0.0
    bulge, base_drop, deep = draw.number(-6, 6), draw.number(0, 12), draw.number(70, 120)
    open_front, seamed_back = draw.chance(0.5), draw.chance(0.35)
    waist_darts = (draw.chance(0.6) and waisted, draw.chance(0.5) and waisted)
    dart_numbers = [(draw.number(0.42, 0.58), draw.number(14, 30), draw.number(80, 125)) for _ in range(2)]

    def half(bust: float, depth: float, down: float, more_shoulder: float) -> Half:
        bottom_end = Point(bust - (nip if waisted else -4.0), base_drop)
        top = Point(bust, under)
        side = Path.curve(bottom_end, bottom_end + Point(bulge, under / 3), top - Point(-bulge / 2, under / 3), top)
        side = run_on(side, start=down)
        out = Point(math.cos(slope), -math.sin(slope))
        neck_point = Point(neck, under + up)
        tip = neck_point + out * (shoulder + more_shoulder)
        hollow = top - Point(0.5 * (bust - tip.x) + 24.0, 0)
        armhole = Path.curve(top, hollow, tip + Point(-out.y, out.x) * (-0.5 * (tip.y - under)), tip)
        low = Point(0, side.start.y - base_drop * (0.8 if down else 1.0))
        middle = Point(0, neck_point.y - depth)
        lead = Point(out.y, -out.x)
        neckline = Path.curve(
            neck_point, neck_point + lead * (0.4 * depth + 5), middle + Point(0.5 * neck, 0), middle,
        )  # fmt: skip
        bottom = Path.curve(low, low + Point(0.4 * side.start.x, 0), side.start - Point(0.3 * side.start.x, 1.5), side.start)
        return Half(bottom, side, armhole, Path.line(tip, neck_point), neckline)

    back, front = half(back_bust, draw.number(14, 24), 0.0, 0.0), half(front_bust, deep, side_dart, shoulder_dart)
    sleeved, collared = draw.chance(0.4), open_front and draw.chance(0.5)
    finish = FateKind.SEAM if sleeved else FateKind.FACING
    round_neck = FateKind.SEAM if collared else FateKind.FACING

    def made(lines: Half, middle: FateKind, number: int) -> Shape:
        edges = [
            hem("bottom", lines.bottom, 25.0), edge("side", lines.side), edge("armhole", lines.armhole, finish, allowance=10),
            edge("shoulder", lines.shoulder), edge("neck", lines.neck, round_neck, allowance=8),
            edge("centre", lines.centre, middle),
        ]  # fmt: skip
        by = {one.id: one for one in edges}
        darts = []
        if waist_darts[number]:
            share, width, depth = dart_numbers[number]
            darts.append(dart("waist dart", by["bottom"], share * lines.bottom.length, width, depth))
        if number == 0 and side_dart:
            darts.append(dart("side dart", by["side"], lines.side.length - draw.number(55, 80), side_dart, 0.42 * front_bust))
        if number == 0 and shoulder_dart:
            darts.append(dart("shoulder dart", by["shoulder"], 0.5 * lines.shoulder.length, shoulder_dart, 120.0))
        kind = NotchKind.DOUBLE if number else NotchKind.SINGLE
        notches = [
            Notch("armhole notch", "armhole", 75.0, kind),
            Notch("side notch", "side", 45.0, kind),
        ]
        width = lines.side.end.x
        marks = [level("bust", under - 8.0, width), level("waist", lines.side.start.y + 24.0, lines.side.start.x)]
        return shape(edges, (Point(0.3 * width, 40), Point(0.3 * width, under)), notches=notches, darts=darts, levels=marks)

    front_middle = FateKind.FACING if open_front else FateKind.FOLD
    back_middle = FateKind.SEAM if seamed_back else FateKind.FOLD
    shapes = {"front": turned_over(made(front, front_middle, 0)), "back": made(back, back_middle, 1)}
    folds = {name: "centre" for name, fate in (("front", front_middle), ("back", back_middle)) if fate is FateKind.FOLD}
    seams = (
        *each("side", ["front.side"], ["back.side"], take_in=True),
        *each("shoulder", ["front.shoulder"], ["back.shoulder"]),
    )
    seams += (across("centre back", "back.centre"),) if seamed_back else ()
    levels = [Level("bust", "Bust", "bust_girth"), Level("waist", "Waist", "waist_girth")]
    if sleeved:
        ease, eased = draw.number(4, 24), draw.number(0.4, 0.6)
        parts = (front.armhole.length + eased * ease, back.armhole.length + (1 - eased) * ease)
        shapes["sleeve"] = sleeve(draw, *parts)
        if draw.chance(0.5):
            seams += each("sleeve", ["sleeve.cap front", "sleeve.cap back"], ["front.armhole", "back.armhole"], easing=ease)
        else:
            for name, share in (("front", eased), ("back", 1 - eased)):
                seams += each(f"sleeve {name}", [f"sleeve.cap {name}"], [f"{name}.armhole"], easing=share * ease)
        seams += each("underarm", ["sleeve.under front"], ["sleeve.under back"])
        levels += [Level("upper arm", "Upper arm", "upper_arm_girth", limb=True)]
    if collared:
        shapes["collar"], folds["collar"] = collar(draw, back.neck.length, front.neck.length), "middle"
        seams += each("neck", ["collar.lower"], ["back.neck", "front.neck"])
    return Draft(shapes, folds, seams, tuple(levels))


def sleeve(draw: Draw, front: float, back: float) -> Shape:
    """A sleeve whose cap has two given lengths, from the shoulder point to either underarm."""
    height = draw.number(0.42, 0.55) * (front + back) / 2
    long, narrow, tilt = draw.number(160, 440), draw.number(0.68, 0.86), draw.number(0, 0.2)
    top = Point(0, height)

    def front_curve(wide: float) -> Path:
        return Path.curve(Point(wide, 0), Point(0.55 * wide, 0.5 * tilt * wide), top + Point(0.45 * wide, 0), top)

    def back_curve(wide: float) -> Path:
        return Path.curve(top, top - Point(0.52 * wide, 0), Point(-0.6 * wide, 0.35 * tilt * wide), Point(-wide, 0))

    ahead = solve(lambda wide: front_curve(wide).length - front, 20.0, front)
    behind = solve(lambda wide: back_curve(wide).length - back, 20.0, back)
    middle, half = (ahead - behind) / 2, narrow * (ahead + behind) / 2
    low = Point(middle - half, -long), Point(middle + half, -long)
    hem_path = Path.curve(low[0], low[0] + Point(0.6 * half, -6), low[1] - Point(0.6 * half, -6), low[1])
    edges = [
        hem("wrist", hem_path), edge("under front", Path.line(low[1], Point(ahead, 0))),
        edge("cap front", front_curve(ahead), allowance=10), edge("cap back", back_curve(behind), allowance=10),
        edge("under back", Path.line(Point(-behind, 0), low[0])),
    ]  # fmt: skip
    notches = [
        Notch("front notch", "cap front", 75.0), Notch("back notch", "cap back", back - 75.0, NotchKind.DOUBLE),
        Notch("under front notch", "under front", 0.6 * edges[1].path.length),
        Notch("under back notch", "under back", 0.4 * edges[4].path.length, NotchKind.DOUBLE),
    ]  # fmt: skip
    marks = [level("upper arm", -18.0, ahead - 4, -behind + 4)]
    return shape(edges, (Point(middle, -0.8 * long), Point(middle, 0.4 * height)), notches=notches, levels=marks)


def collar(draw: Draw, back: float, front: float) -> Shape:
    """Half a collar or band: its lower edge as long as the neck."""
    high, rise, lean = draw.number(30, 85), draw.number(0, 18), draw.number(-8, 25)

    def lower(long: float) -> Path:
        return Path.curve(Point(0, 0), Point(0.4 * long, 0), Point(0.75 * long, 0.6 * rise), Point(long, rise))

    path = lower(solve(lambda long: lower(long).length - back - front, 0.7 * (back + front), 1.01 * (back + front)))
    end = Path.line(path.end, path.end + Point(lean, high))
    upper = Path.curve(end.end, end.end - Point(0.35 * path.end.x, 0.4 * rise), Point(0.35 * path.end.x, high), Point(0, high))
    edges = [
        edge("lower", path, allowance=8), edge("end", end, FateKind.FACING, allowance=8),
        edge("upper", upper, FateKind.FACING, allowance=8),
        edge("middle", Path.line(Point(0, high), Point(0, 0)), FateKind.FOLD),
    ]  # fmt: skip
    marks = [Notch("shoulder notch", "lower", back)]
    return shape(edges, (Point(0.3 * path.end.x, 8), Point(0.3 * path.end.x, high - 4)), notches=marks)


# skirts -------------------------------------------------------------------------------------------------------


def skirt(draw: Draw) -> Draft:
    """A skirt of two to four panels: all sides are the same curve."""
    long, hip = draw.number(380, 950), draw.number(175, 225)
    in_waist, flare = draw.width(22, 55), draw.width(8, 130)
    sides, seamed, open_back = draw.chance(0.5), draw.chance(0.4), draw.chance(0.3)
    dip = draw.number(4, 14)
    darts = [(draw.chance(0.5), draw.number(0.4, 0.6), draw.number(12, 28), draw.number(75, 115)) for _ in range(3)]
    waists = [draw.width(115, 165) for _ in range(3)]
    hip_out = Point(in_waist, -hip)
    hem_out = Point(in_waist + flare * (long - hip) / 600, -long)
    fall = (hem_out - hip_out).unit()
    straight = Path.line(hem_out, hip_out)
    curve = Path.curve(hip_out, hip_out - fall * (0.4 * hip), Point(0.25 * in_waist, -0.35 * hip), Point(0, 0))
    side = Path.joined([straight, curve])

    def panel(number: int, middle: FateKind | None) -> Shape:
        wide = waists[number]
        out = moved(side, wide)
        inner = Path.line(Point(0, -dip), Point(0, -long - 0.02 * wide))
        left = inner if middle else moved(side.transformed(Affine.mirror()).reversed(), -wide)
        bottom = Path.curve(
            left.end, left.end + Point(0.5 * (out.start.x - max(left.end.x, 0.0)), 0) - Point(0, 0 if middle else 6),
            out.start - Point(0.4 * out.start.x, 6), out.start,
        )  # fmt: skip
        top = Path.curve(
            out.end, out.end - Point(0.35 * wide, 0.5 * dip),
            left.start + (Point(0.35 * wide, 0) if middle else Point(0.35 * wide, -0.5 * dip)), left.start,
        )  # fmt: skip
        edges = [
            hem("hem", bottom),
            edge("side", out),
            edge("waist", top, FateKind.FACING),
            edge("inner", left, middle or FateKind.SEAM),
        ]
        has, share, width, depth = darts[number]
        notches = [Notch("hip notch", "side", straight.length + 10, NotchKind.DOUBLE if number == 1 else NotchKind.SINGLE)]
        notches += [] if middle else [Notch("inner notch", "inner", side.length - straight.length - 10)]
        mark = [dart("waist dart", edges[2], share * top.length, width, depth)] if has else []
        reach = (out.end.x + in_waist, 0.0 if middle else -wide - in_waist)
        levels = [level("hip", -hip, *reach)]
        levels += [level("knee", -0.5 * long - 0.5 * hip, *reach)] if long > 600 else []
        return shape(
            edges, (Point(0.2 * wide, -0.8 * long), Point(0.2 * wide, -0.3 * long)), notches=notches, darts=mark, levels=levels
        )

    back_middle = FateKind.FACING if open_back else FateKind.SEAM if seamed else FateKind.FOLD
    shapes = {"front": turned_over(panel(0, FateKind.FOLD)), "back": panel(1, back_middle)}
    folds = {"front": "inner"} | ({"back": "inner"} if back_middle is FateKind.FOLD else {})
    seams: tuple[Seam, ...] = (across("centre back", "back.inner"),) if back_middle is FateKind.SEAM else ()
    if sides:
        shapes["gore"] = panel(2, None)
        seams += each("fore seam", ["front.side"], ["gore.side"], take_in=True)
        seams += each("aft seam", ["gore.inner"], ["back.side"], take_in=True)
    else:
        seams += each("side", ["front.side"], ["back.side"], take_in=True)
    levels = [Level("hip", "Hip", "hip_girth")] + ([Level("knee", "Knee", "hip_girth")] if long > 600 else [])
    return Draft(shapes, folds, seams, tuple(levels))


# trousers -----------------------------------------------------------------------------------------------------


def trousers(draw: Draw) -> Draft:
    """Trousers of a front and a back."""
    rise, leg, knee = draw.number(225, 300), draw.number(420, 800), draw.number(0.5, 0.58)
    hem_half, knee_half, hip_half = draw.width(80, 130), draw.width(95, 140), draw.width(215, 270)
    waist_in, fork = draw.width(14, 36), draw.width(30, 60)
    back_fork, back_more, lean = fork + draw.width(25, 60), draw.width(5, 25), draw.number(12, 40)
    seat_up, crease = draw.number(12, 35), 0.5 * (hip_half - fork)
    darts = [(draw.chance(0.5), draw.number(14, 26), draw.number(70, 110)) for _ in range(2)]

    def side(half: tuple[float, float, float], top: float, lift: float) -> Path:
        points = [
            Point(crease + half[0], 0), Point(crease + half[1], knee * leg), Point(half[2], leg + 0.35 * rise),
            Point(half[2] - top, leg + rise + lift),
        ]  # fmt: skip
        return smooth(points)

    def inseam(half: tuple[float, float], tip: float, lift: float) -> Path:
        """From the crotch down to the hem."""
        return smooth([Point(-tip, leg + lift), Point(crease - half[1], knee * leg), Point(crease - half[0], 0)])

    front_lines = (side((hem_half, knee_half, hip_half), waist_in, 0.0), inseam((hem_half, knee_half), fork, 0.0))
    wide = (hem_half + 10, knee_half + 12, hip_half + back_more)

    def back_side(lift: float) -> Path:
        return side(wide, waist_in, lift)

    def back_inseam(lift: float) -> Path:
        return inseam((wide[0], wide[1]), back_fork, lift)

    out_lift = solve(lambda lift: back_side(lift).length - front_lines[0].length, -80, 80)
    in_lift = solve(lambda lift: back_inseam(lift).length - front_lines[1].length, -150, 80)
    back_lines = (back_side(out_lift), back_inseam(in_lift))

    def piece(lines: tuple[Path, Path], centre: tuple[float, float], number: int) -> Shape:
        outer, inner = lines
        top, low = Point(centre[0], leg + rise + centre[1]), Point(centre[0] * 0.45, leg + 0.42 * rise)
        tip = inner.start
        hollow = Point(0.1 * centre[0], leg + 0.1 * rise)
        crotch = Path.joined([Path.line(top, low), Path.curve(low, hollow, tip.towards(Point(0, tip.y), 0.75), tip)])
        waist = Path.curve(outer.end, outer.end - Point(40, 2), top + Point(40, 0), top)
        edges = [
            hem("hem", Path.line(inner.end, outer.start), 30), edge("side", outer), edge("waist", waist, FateKind.FACING),
            edge("crotch", crotch), edge("inseam", inner),
        ]  # fmt: skip
        has, width, depth = darts[number]
        marks = [dart("waist dart", edges[2], 0.5 * waist.length, width, depth)] if has else []
        kind = NotchKind.DOUBLE if number else NotchKind.SINGLE
        notches = [Notch("knee out", "side", 0.45 * outer.length, kind), Notch("knee in", "inseam", 0.5 * inner.length, kind)]
        levels = [
            level("hip", leg + 0.4 * rise, outer.end.x, low.x), level("thigh", leg - 30, outer.end.x, tip.x + 10),
            level("knee", knee * leg, crease + knee_half, crease - knee_half),
        ]  # fmt: skip
        return shape(edges, (Point(crease, 60), Point(crease, leg)), notches=notches, darts=marks, levels=levels)

    shapes = {
        "front": turned_over(piece(front_lines, (draw.number(2, 12), 0.0), 0)),
        "back": piece(back_lines, (lean, seat_up), 1),
    }
    seams = (
        *each("side", ["front.side"], ["back.side"], take_in=True),
        *each("inseam", ["front.inseam"], ["back.inseam"], take_in=True),
        across("front crotch", "front.crotch"), across("back crotch", "back.crotch"),
    )  # fmt: skip
    levels = (
        Level("hip", "Hip", "hip_girth"), Level("thigh", "Thigh", "thigh_girth", limb=True),
        Level("knee", "Knee", "knee_girth", limb=True),
    )  # fmt: skip
    return Draft(shapes, {}, seams, levels)


# capes --------------------------------------------------------------------------------------------------------


def cape(draw: Draw) -> Draft:
    """A cape of sectors, with or without a collar."""
    inner, long = draw.width(90, 150), draw.number(280, 750)
    collared = draw.chance(0.5)

    def sector(angle: float, middle: FateKind) -> Shape:
        outer, centre = inner + long, Point(0, 0)
        start = -math.pi / 2
        bottom, top = Path.arc(centre, outer, start, angle), Path.arc(centre, inner, start, angle).reversed()
        edges = [
            hem("hem", bottom, 15), edge("side", Path.line(bottom.end, top.start)),
            edge("neck", top, FateKind.SEAM if collared else FateKind.FACING, allowance=8),
            edge("centre", Path.line(top.end, bottom.start), middle),
        ]  # fmt: skip
        return shape(
            edges, (Point(25, -outer + 60), Point(25, -inner - 40)), notches=[Notch("side notch", "side", 0.4 * long)],
        )  # fmt: skip

    front, back = (sector(draw.number(0.7, 1.5), middle) for middle in (FateKind.FACING, FateKind.FOLD))
    shapes, folds = {"front": turned_over(front), "back": back}, {"back": "centre"}
    seams = each("side", ["front.side"], ["back.side"], take_in=True)
    if collared:
        lengths = {name: one.edge("neck").path.length for name, one in shapes.items()}
        shapes["collar"], folds["collar"] = collar(draw, lengths["back"], lengths["front"]), "middle"
        seams += each("neck", ["collar.lower"], ["back.neck", "front.neck"])
    return Draft(shapes, folds, seams, ())


BUILDERS: Mapping[str, Callable[[Draw], Draft]] = {"bodice": bodice, "skirt": skirt, "trousers": trousers, "cape": cape}


# garments -----------------------------------------------------------------------------------------------------


def plausible_pattern(seed: int) -> Pattern:
    """A pattern in one size or three; all its openings declared."""
    chooser = Random(seed)
    name = chooser.choice(list(BUILDERS))
    sizes = SIZES if chooser.random() < 0.3 else SIZES[1:2]
    inner = chooser.randrange(2**32)
    growth = {size: 1.0 + STEP * (SIZES.index(size) - 1) for size in sizes}
    drafts = {size: BUILDERS[name](Draw(inner, growth[size])) for size in sizes}
    first = drafts[sizes[0]]
    pieces = {
        key: Piece(
            id=key,
            number=str(number),
            name=key.title(),
            cuts=(Cut("shell", How.FOLD if key in first.folds else How.PAIR),),
            sizes={size: draft.shapes[key] for size, draft in drafts.items()},
            fold=first.folds.get(key, ""),
        )
        for number, key in enumerate(first.shapes, 1)
    }
    chart = {
        size: {
            "bust_girth": 900.0 * (1 + STEP * (SIZES.index(size) - 1)),
            "hip_girth": 960.0 * (1 + STEP * (SIZES.index(size) - 1)),
        }
        for size in sizes
    }
    pattern = Pattern(name, name.title(), sizes, pieces, first.seams, first.levels, chart=chart if len(sizes) > 1 else {})
    loops = assemble(make_garment(pattern, "M", id=name)).loops
    return replace(pattern, openings=tuple(Opening(f"opening {k}", loop) for k, loop in enumerate(loops, 1)))


def plausible_garment(seed: int) -> Garment:
    """The garment of :func:`plausible_pattern` in size M."""
    pattern = plausible_pattern(seed)
    return make_garment(pattern, "M", id=pattern.id, sort=pattern.id)


garments = st.integers(0, 2**32 - 1).map(plausible_garment)
"""Random garments; what falsifies a property can be made again from its seed."""
