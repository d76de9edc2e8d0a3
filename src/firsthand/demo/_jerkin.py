"""The warden's jerkin: sleeveless, to the hip, laced up the front, drafted for a thin wool cloth.

The front has a dart from the side towards the bust; the front's armhole is raised until the side seam, with its dart
closed, is as long as the back's. Shell and lining are joined down the fronts and round the neck; the armholes are bound
through both layers and the hems are left apart, so that the melton can hang.

The shoulder wing is torn out of the envelope: all that is left of it is its size on the instruction sheet.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from firsthand.demo._chart import CHART, LETTERS, chart_of
from firsthand.demo._tools import (
    both,
    by_size,
    each,
    edge,
    fold,
    hem,
    level,
    loop,
    notch,
    raw,
    refs,
    solve,
    turned_over,
    turned_over_path,
)
from firsthand.geometry import Path, Point, smooth
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Condition,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Haberdashery,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Opening,
    Pattern,
    Piece,
    Pressed,
    Rough,
    Seam,
    Shape,
)

__all__ = ["jerkin"]

EASE = {"bust": 100.0, "waist": 120.0, "hip": 90.0}
"""Over the body, with the laced gap, mm: worn over a shirt."""
GAP = 40.0
"""Left open by the lacing, mm."""
BELOW_HIP = 25.0
DART = 25.0
SHOULDER_EASE = 4.0
"""Eased into the front shoulder, mm."""
EYELETS = 8
"""Pairs of them."""
EYELET_IN = 14.0
"""From the front edge to the middle of an eyelet, mm."""
STAY = 42.0
"""Width of the stay under the eyelets, mm."""
BOUND = Fate(FateKind.BINDING, 8.0)


@dataclass(frozen=True, slots=True)
class _Half:
    """One half, drafted with the middle of the body at x = 0 and the side at x > 0; y is 0 at the waist.

    Parameters
    ----------
    middle_x
        Where the middle edge lies: half the laced gap for the front.
    """

    bust: float
    waist: float
    hip: float
    middle_x: float
    neck: Point
    neck_y: float
    shoulder: Point
    across: float
    hip_y: float

    def side(self, underarm_y: float) -> Path:
        """From the hem up to the underarm."""
        run = self.waist + (self.hip - self.waist) * (self.hip_y - BELOW_HIP) / self.hip_y
        return smooth(
            [
                Point(run, self.hip_y - BELOW_HIP + 10),
                Point(self.hip - 1, self.hip_y),
                Point(self.waist, 0),
                Point(self.bust, underarm_y),
            ]
        )

    def hem(self, side: Path) -> Path:
        """From the middle out to the side, square to both."""
        start, end = Point(self.middle_x, self.hip_y - BELOW_HIP), side.start
        reach = (end.x - start.x) / 3
        return Path.curve(start, start + Point(reach, 0), end + side.start_tangent.left * reach, end)

    def armhole(self, underarm_y: float) -> Path:
        """From the underarm up to the shoulder, square to the side and to the shoulder seam."""
        up = (self.neck - self.shoulder).unit() * -1
        deep = self.shoulder.y - underarm_y
        corner = Point(self.across + 0.32 * (self.bust - self.across), underarm_y + 0.11 * deep)
        waypoint = Point(self.across, underarm_y + 0.48 * deep)
        along = self.side(underarm_y).end_tangent.left
        return smooth([Point(self.bust, underarm_y), corner, waypoint, self.shoulder], start=along, end=up.left)

    @property
    def shoulder_seam(self) -> Path:
        """From the armhole in to the neck."""
        return Path.line(self.shoulder, self.neck)

    @property
    def neckline(self) -> Path:
        """From the shoulder down to the middle, square to both."""
        middle = Point(self.middle_x, self.neck_y)
        down = (self.neck - self.shoulder).unit().left
        wide, deep = self.neck.x - middle.x, self.neck.y - middle.y
        return Path.curve(self.neck, self.neck + down * (0.6 * deep), middle + Point(0.6 * wide, 0), middle)


def _girths(row: Mapping[str, float]) -> dict[str, float]:
    """A quarter of each finished girth, mm, with the gap."""
    return {name: (row[f"{name}_girth"] + ease) / 4 for name, ease in EASE.items()}


def _shoulder_end(neck: Point, length: float, degrees: float) -> Point:
    return neck + Point.polar(length, -math.radians(degrees))


def _back_half(row: Mapping[str, float]) -> _Half:
    girth = _girths(row)
    neck = Point(row["neck_base_girth"] / 5 + 1, row["back_waist_length"] + 20)
    return _Half(
        bust=girth["bust"] - 5,
        waist=girth["waist"] - 8,
        hip=girth["hip"] + 2,
        middle_x=0.0,
        neck=neck,
        neck_y=row["back_waist_length"],
        shoulder=_shoulder_end(neck, row["shoulder_length"] + SHOULDER_EASE, 19),
        across=row["back_width"] / 2 + 9,
        hip_y=-row["waist_to_hip"],
    )


def _front_half(row: Mapping[str, float]) -> _Half:
    girth = _girths(row)
    neck = Point(row["neck_base_girth"] / 5 - 3, row["back_waist_length"] + 20 + DART - 3)
    return _Half(
        bust=girth["bust"] + 5,
        waist=girth["waist"] + 8,
        hip=girth["hip"] - 2,
        middle_x=GAP / 2,
        neck=neck,
        neck_y=neck.y - row["neck_base_girth"] / 5 - 8,
        shoulder=_shoulder_end(neck, row["shoulder_length"], 22),
        across=row["back_width"] / 2 - 8,
        hip_y=-row["waist_to_hip"],
    )


def _underarm(row: Mapping[str, float]) -> tuple[float, float]:
    """Heights of the underarm, back and front, that make the side seams meet with the dart closed."""
    back = row["back_waist_length"] - row["scye_depth"] - 24
    wanted = _back_half(row).side(back).length + DART
    front = _front_half(row)
    return back, solve(lambda y: front.side(y).length - wanted, back, back + 60)


def _edges(half: _Half, underarm_y: float, middle: Edge) -> tuple[Edge, ...]:
    side = half.side(underarm_y)
    return loop(
        hem("hem", half.hem(side), 30.0),
        edge("side", side, inlay=10.0),
        edge("armhole", half.armhole(underarm_y), allowance=8.0, fate=BOUND),
        edge("shoulder", half.shoulder_seam),
        edge("neck", half.neckline, allowance=8.0),
        middle,
    )


def _back(row: Mapping[str, float]) -> Shape:
    half, (underarm_y, _) = _back_half(row), _underarm(row)
    middle = Path.line(Point(0, half.neck_y), Point(0, half.hip_y - BELOW_HIP))
    edges = _edges(half, underarm_y, fold("centre", middle))
    by = {one.id: one for one in edges}
    return Shape(
        edges=edges,
        grain=(Point(50, half.hip_y), Point(50, half.neck_y - 60)),
        notches=(
            notch("waist", by["side"], -by["side"].path.length / 2, double=True),
            notch("armhole", by["armhole"], 110.0, double=True),
        ),
        levels=_levels(half, underarm_y - 6, 1.0),
    )


def _front(row: Mapping[str, float]) -> Shape:
    half, (_, underarm_y) = _front_half(row), _underarm(row)
    middle = Path.line(Point(half.middle_x, half.neck_y), Point(half.middle_x, half.hip_y - BELOW_HIP))
    edges = turned_over(_edges(half, underarm_y, edge("centre", middle, allowance=10.0)))
    by = {one.id: one for one in edges}
    sewn_half = (by["side"].path.length - DART) / 2
    return Shape(
        edges=edges,
        grain=(Point(-60, half.hip_y), Point(-60, half.neck_y - 40)),
        notches=(
            notch("waist", by["side"], -sewn_half),
            notch("armhole", by["armhole"], -110.0),
        ),
        # Pressed down, as darts across the body are by common practice: towards the hem, where the side ends.
        darts=(Dart("bust dart", "side", 62.0, DART, Point(-0.44 * half.bust, underarm_y - 28), Pressed.END),),
        lines=tuple(_eyelet(half, k) for k in range(EYELETS)),
        levels=_levels(half, underarm_y - 6, -1.0),
    )


def _levels(half: _Half, bust_y: float, way: float) -> tuple[LevelLine, ...]:
    def at(name: str, width: float, y: float) -> LevelLine:
        return level(name, Point(way * half.middle_x, y), Point(way * width, y))

    return at("bust", half.bust, bust_y), at("waist", half.waist, 0.0), at("hip", half.hip, half.hip_y)


def _eyelet(half: _Half, number: int) -> InnerLine:
    """A round eyelet, 5 mm across, from 20 mm below the neck down to the waist and a little below."""
    top, bottom = half.neck_y - 20.0, -40.0
    y = top + (bottom - top) * number / (EYELETS - 1)
    centre = Point(-half.middle_x - EYELET_IN, y)
    return InnerLine(f"eyelet {number + 1}", InnerLineKind.EYELET, Path.arc(centre, 2.5, 0, 2 * math.pi))


def _stay(row: Mapping[str, float]) -> Shape:
    """The strip of interfacing that holds the eyelets: along the front edge, its top cut to the neckline."""
    half = _front_half(row)
    right, left = -half.middle_x, -half.middle_x - STAY
    neckline = half.neckline
    at = solve(lambda run: neckline.at(run).x - (half.middle_x + STAY), 0.0, neckline.length)
    top = turned_over_path(neckline.between(at, neckline.length))
    bottom = half.hip_y - BELOW_HIP + 12
    return Shape(
        edges=loop(
            raw("lower", Path.line(Point(left, bottom), Point(right, bottom))),
            raw("front", Path.line(Point(right, bottom), Point(right, half.neck_y))),
            raw("neck", top),
            raw("inner", Path.line(top.end, Point(left, bottom))),
        ),
        grain=(Point((left + right) / 2, bottom + 60), Point((left + right) / 2, half.neck_y - 60)),
    )


def _seams() -> tuple[Seam, ...]:
    """Shell and lining each by themselves, then the two joined: laid one on the other they run the same way round."""
    shoulder = Seam("shoulder", (), (), easing=SHOULDER_EASE)
    own = [
        seam
        for role, words in (("shell", ""), ("lining", " lining"))
        for seam in (
            *each(_named(shoulder, words), ["back.shoulder"], ["front.shoulder"], role=role),
            *each(_named(Seam("side", (), (), take_in=True), words), ["front.side"], ["back.side"], role=role),
        )
    ]
    shell, lining = _round_the_neck("shell"), _round_the_neck("lining")
    return (
        *own,
        *each(Seam("front edge", (), (), reverse_b=False), ["front.centre"], ["front.centre"], b_role="lining"),
        Seam("neck", shell, lining, reverse_b=False),
    )


def _round_the_neck(role: str) -> tuple[EdgeRef, ...]:
    return refs(["front.neck", "back.neck"], Hand.RIGHT, role) + refs(["back.neck", "front.neck"], Hand.LEFT, role)


def _named(seam: Seam, words: str) -> Seam:
    return replace(seam, id=seam.id + words)


def _openings() -> tuple[Opening, ...]:
    edges = ["front.armhole", "back.armhole"]
    armholes = [
        Opening(f"armhole {role} {hand.value}", refs(edges, hand, role))
        for role in ("shell", "lining")
        for hand in (Hand.RIGHT, Hand.LEFT)
    ]
    hems = ["front.hem", "back.hem"]
    return (*armholes, Opening("hem", both(hems) + both(hems, "lining")))


def jerkin() -> Pattern:
    """The pattern of the jerkin."""
    rough = {"S": Rough(105, 320), "M": Rough(108, 330), "L": Rough(111, 340)}
    layers = (Cut("shell", How.FOLD), Cut("lining", How.FOLD))
    pieces = {
        "front": Piece("front", "1", "Jerkin front", (Cut("shell"), Cut("lining")), sizes=by_size(_front, CHART)),
        "back": Piece("back", "2", "Jerkin back", layers, sizes=by_size(_back, CHART), fold="centre"),
        "stay": Piece("stay", "3", "Front stay", (Cut("interfacing"),), sizes=by_size(_stay, CHART)),
        "wing": Piece("wing", "4", "Shoulder wing", (Cut("shell"), Cut("lining")), rough=rough, condition=Condition.TORN),
    }
    laced = refs(["front.centre"], Hand.RIGHT) + refs(["front.centre"], Hand.LEFT)
    return Pattern(
        id="jerkin",
        name="Warden's laced jerkin",
        sizes=LETTERS,
        pieces=pieces,
        seams=_seams(),
        levels=(
            Level("bust", "Bust", "bust_girth", extra=GAP),
            Level("waist", "Waist", "waist_girth", extra=GAP),
            Level("hip", "Hip", "hip_girth", extra=GAP),
        ),
        closures=(Closure("front lacing", ClosureKind.LACING, laced, count=EYELETS, overlap=-GAP),),
        openings=_openings(),
        haberdashery=(
            Haberdashery("eyelet", count=2 * EYELETS, size="5 mm"),
            Haberdashery("cord", length=2600.0, size="5 mm"),
            Haberdashery("bias binding", length=1150.0, size="18 mm"),
        ),
        chart=chart_of(["bust_girth", "waist_girth", "hip_girth", "back_waist_length"]),
        expects_thickness=0.6,
    )
