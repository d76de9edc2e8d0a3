"""The warden's shirt: loose, with a drawstring neck and full sleeves pleated into buttoned cuffs.

The cap of the sleeve is solved so that it is as long as the armhole and a little ease; the pleats at the wrist so that
what they leave is as long as the cuff. The neck's cord is cut at the centre back and joined there by a snap, so that it comes
apart when it is pulled: a cord that goes round a neck must never be one closed loop.

Deliberate: the double notch at the back of the sleeve cap sits 10 mm too low, in every size.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from firsthand.demo._chart import CHART, LETTERS, chart_of
from firsthand.demo._tools import both, by_size, each, edge, facing, fold, hem, level, loop, notch, refs, solve, turned_over
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Cut,
    Edge,
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
    Pleat,
    Seam,
    SeamKind,
    Shape,
)

__all__ = ["shirt"]

EASE = 220.0
"""Of the body of the shirt over the bust, mm."""
DROP = 30.0
"""How far the shoulder runs over the arm, mm."""
SLOPE = math.radians(19.0)
"""Of the shoulder seam."""
CAP_EASE = 8.0
"""How much longer the cap is than the armhole, mm: within 0 to 13 for a shirt (common practice)."""
NOTCH_UP = 90.0
"""Notches of the armhole above the underarm, mm."""
SLIP = 10.0
"""How much too low the back notch of the sleeve is, mm."""
CUFF_DEPTH, CUFF_EASE, CUFF_LAP = 60.0, 35.0, 20.0
"""Finished depth of the cuff, its ease over the wrist, and how far its ends lap, mm."""
SLIT = 80.0
"""Bottom of the underarm seam left open above the cuff, mm."""
PLEATS = 3
TILT = 0.13
"""Rise of the cap where it leaves the underarm, over its run: square to the underarm seam, which slants as much."""


@dataclass(frozen=True, slots=True)
class _Body:
    """Points of one half of the body, the middle at x = 0 and the side at x > 0; y is 0 at the waist."""

    neck: Point
    shoulder: Point
    underarm: Point
    waist_to_hip: float
    neck_base: float
    nape: float

    @property
    def hem_end(self) -> Point:
        return Point(self.underarm.x + 14, -self.waist_to_hip - 60)

    @property
    def armhole(self) -> Path:
        """From the underarm up to the shoulder."""
        up = Point(math.sin(SLOPE), math.cos(SLOPE))
        return Path.curve(self.underarm, self.underarm - Point(62, 0), self.shoulder - up * 112, self.shoulder)

    def neckline(self, depth: float) -> Path:
        """From the shoulder in to the middle, ``depth`` below the nape."""
        middle = Point(0, self.nape - depth)
        down = Point(-math.sin(SLOPE), -math.cos(SLOPE))
        reach = 0.5 * self.neck.x
        return Path.curve(self.neck, self.neck + down * (0.45 * (self.neck.y - middle.y) + 4), middle + Point(reach, 0), middle)


def _body(row: Mapping[str, float]) -> _Body:
    side_neck = Point(row["neck_base_girth"] / 5, row["back_waist_length"] + 19)
    out = Point(math.cos(SLOPE), -math.sin(SLOPE))
    neck = 0.36 * row["neck_base_girth"]
    return _Body(
        neck=side_neck + out * ((neck - side_neck.x) / out.x),
        shoulder=side_neck + out * (row["shoulder_length"] + DROP),
        underarm=Point((row["bust_girth"] + EASE) / 4, row["back_waist_length"] - row["scye_depth"] - 45),
        waist_to_hip=row["waist_to_hip"],
        neck_base=row["neck_base_girth"],
        nape=row["back_waist_length"],
    )


def _half(row: Mapping[str, float], *, front: bool) -> Shape:
    body = _body(row)
    base = Point(0, body.hem_end.y)
    hem_path = Path.line(base, body.hem_end)
    side = edge("side", Path.line(body.hem_end, body.underarm))
    armhole = edge("armhole", body.armhole, allowance=10.0)
    shoulder = edge("shoulder", Path.line(body.shoulder, body.neck))
    neck = hem("neck", body.neckline(82.0 if front else 12.0), 12.0, turning=6.0, kind=FateKind.CASING)
    middle = fold("centre", Path.line(neck.path.end, base))
    edges = loop(hem("hem", hem_path, 20.0, turning=10.0), side, armhole, shoulder, neck, middle)
    if front:
        edges = turned_over(edges)
    return _marked(body, edges, front=front)


def _marked(body: _Body, edges: tuple[Edge, ...], *, front: bool) -> Shape:
    """The shape with its markings; the back runs the other way round than the front."""
    by, way = {one.id: one for one in edges}, -1.0 if front else 1.0
    half = way * body.underarm.x

    def across_at(name: str, y: float) -> LevelLine:
        return level(name, Point(0, y), Point(half, y))

    return Shape(
        edges=edges,
        grain=(Point(way * 60, body.hem_end.y + 80), Point(way * 60, body.underarm.y)),
        notches=(
            notch("waist", by["side"], -way * body.underarm.distance(Point(body.underarm.x, 0)), double=not front),
            notch("armhole", by["armhole"], way * NOTCH_UP, double=not front),
        ),
        levels=(
            across_at("bust", body.underarm.y - 8),
            across_at("hip", -body.waist_to_hip),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Cap:
    """A sleeve cap: how high it is, and how wide in front and behind."""

    height: float
    front: float
    back: float

    @property
    def front_curve(self) -> Path:
        """From the front underarm up to the shoulder."""
        top = Point(0, self.height)
        hollow = Point(0.52 * self.front, 0.48 * TILT * self.front)
        return Path.curve(Point(self.front, 0), hollow, top + Point(0.48 * self.front, 0), top)

    @property
    def back_curve(self) -> Path:
        """From the shoulder down to the back underarm: fuller than the front."""
        top = Point(0, self.height)
        hollow = Point(-0.66 * self.back, 0.34 * TILT * self.back)
        return Path.curve(top, top - Point(0.56 * self.back, 0), hollow, Point(-self.back, 0))


def _cap(row: Mapping[str, float]) -> _Cap:
    """The cap as wide as the arm needs, and as high as makes both of its curves fit the armhole."""
    armhole, width = _body(row).armhole.length + CAP_EASE / 2, row["upper_arm_girth"] + 144.0

    def at(height: float) -> _Cap:
        front = solve(lambda wide: _Cap(height, wide, 1).front_curve.length - armhole, width / 4, 3 * width / 4)
        return _Cap(height, front, width - front)

    return at(solve(lambda height: at(height).back_curve.length - armhole, 60.0, 160.0))


def _sleeve(row: Mapping[str, float]) -> Shape:
    cap, cuff = _cap(row), _cuff_length(row)
    middle = (cap.front - cap.back) / 2
    length = row["arm_length"] - DROP - CUFF_DEPTH + 25.0
    half, bottom = (cuff + PLEATS * 40.0) / 2, cap.height - length
    ends = Point(middle - half, bottom), Point(middle + half, bottom)
    hem_path = Path.curve(ends[0], ends[0] + Point(0.6 * half, -22), ends[1] + Point(-0.6 * half, 12), ends[1])
    slit_front, under_front = Path.line(ends[1], cap.front_curve.start).split(SLIT)
    under_back = slit_front.reversed(), under_front.reversed()
    edges = loop(
        edge("hem", hem_path, allowance=10.0),
        facing("slit-front", slit_front, allowance=15.0),
        edge("underarm-front", under_front),
        edge("cap-front", cap.front_curve, allowance=10.0),
        edge("cap-back", cap.back_curve, allowance=10.0),
        edge("underarm-back", Path.line(cap.back_curve.end, ends[0]).split(under_back[1].length)[0]),
        facing("slit-back", Path.line(cap.back_curve.end, ends[0]).split(under_back[1].length)[1], allowance=15.0),
    )
    by = {one.id: one for one in edges}
    depth = (hem_path.length - cuff) / (2 * PLEATS)
    return Shape(
        edges=edges,
        grain=(Point(0, bottom + 60), Point(0, cap.height - 60)),
        notches=(
            notch("armhole front", by["cap-front"], NOTCH_UP),
            notch("armhole back", by["cap-back"], -(NOTCH_UP - SLIP), double=True),
        ),
        pleats=tuple(Pleat(f"pleat {k + 1}", "hem", 0.32 * hem_path.length + k * 3.0 * depth, depth) for k in range(PLEATS)),
        levels=(level("upper arm", Point(cap.front, -4), Point(-cap.back, -4)),),
    )


def _cuff_length(row: Mapping[str, float]) -> float:
    return row["wrist_girth"] + CUFF_EASE + CUFF_LAP


def _cuff(row: Mapping[str, float]) -> Shape:
    """The cuff, its length up the grain, folded along its middle: the outer half at x < CUFF_DEPTH."""
    length, depth = _cuff_length(row), CUFF_DEPTH

    def ends(a: float, b: float, y: float) -> Path:
        return Path.line(Point(a, y), Point(b, y))

    return Shape(
        edges=loop(
            edge("back-end-outer", ends(0, depth, 0), allowance=10.0),
            edge("back-end-inner", ends(depth, 2 * depth, 0), allowance=10.0),
            facing("inside", Path.line(Point(2 * depth, 0), Point(2 * depth, length)), allowance=10.0),
            edge("front-end-inner", ends(2 * depth, depth, length), allowance=10.0),
            edge("front-end-outer", ends(depth, 0, length), allowance=10.0),
            edge("join", Path.line(Point(0, length), Point(0, 0)), allowance=10.0),
        ),
        grain=(Point(depth / 2, 40), Point(depth / 2, length - 40)),
        lines=(
            InnerLine("fold", InnerLineKind.FOLD, Path.line(Point(depth, 0), Point(depth, length))),
            *(_buttonhole(k, x, length) for k, x in enumerate((18.0, 42.0), 1)),
            *(_button(k, x) for k, x in enumerate((18.0, 42.0), 1)),
        ),
        levels=(level("wrist", Point(depth / 2, 0), Point(depth / 2, length)),),
    )


def _buttonhole(number: int, x: float, length: float) -> InnerLine:
    at = length - CUFF_LAP / 2
    return InnerLine(f"buttonhole {number}", InnerLineKind.BUTTONHOLE, Path.line(Point(x, at - 9), Point(x, at + 5)))


def _button(number: int, x: float) -> InnerLine:
    return InnerLine(f"button {number}", InnerLineKind.PLACEMENT, Path.arc(Point(x, CUFF_LAP / 2), 5.5, 0, 2 * math.pi))


def _seams() -> tuple[Seam, ...]:
    cap = Seam("sleeve", (), (), easing=CAP_EASE)
    return (
        *each(Seam("shoulder", (), ()), ["back.shoulder"], ["front.shoulder"]),
        *each(Seam("side", (), ()), ["front.side"], ["back.side"]),
        *each(Seam("underarm", (), ()), ["sleeve.underarm-front"], ["sleeve.underarm-back"]),
        *each(cap, ["sleeve.cap-front", "sleeve.cap-back"], ["front.armhole", "back.armhole"]),
        *each(Seam("cuff back end", (), ()), ["cuff.back-end-outer"], ["cuff.back-end-inner"]),
        *each(Seam("cuff front end", (), ()), ["cuff.front-end-inner"], ["cuff.front-end-outer"]),
        *each(Seam("cuff", (), (), SeamKind.PLEATED), ["sleeve.hem"], ["cuff.join"]),
    )


def shirt() -> Pattern:
    """The pattern of the shirt."""
    neck = both(["front.neck", "back.neck"])
    slits = {hand: refs(["sleeve.slit-front", "cuff.inside", "sleeve.slit-back"], hand) for hand in (Hand.RIGHT, Hand.LEFT)}
    cut = (Cut("shell", How.FOLD),)
    pieces = {
        "front": Piece("front", "1", "Shirt front", cut, sizes=by_size(partial(_half, front=True), CHART), fold="centre"),
        "back": Piece("back", "2", "Shirt back", cut, sizes=by_size(partial(_half, front=False), CHART), fold="centre"),
        "sleeve": Piece("sleeve", "3", "Sleeve", (Cut("shell"),), sizes=by_size(_sleeve, CHART)),
        "cuff": Piece("cuff", "4", "Cuff", (Cut("shell"), Cut("interfacing")), sizes=by_size(_cuff, CHART)),
    }
    return Pattern(
        id="shirt",
        name="Warden's shirt",
        sizes=LETTERS,
        pieces=pieces,
        seams=_seams(),
        levels=(
            Level("bust", "Bust", "bust_girth"),
            Level("hip", "Hip", "hip_girth"),
            Level("upper arm", "Upper arm", "upper_arm_girth", limb=True),
            Level("wrist", "Wrist", "wrist_girth", limb=True, extra=-CUFF_LAP),
        ),
        closures=(
            Closure("neck cord", ClosureKind.DRAWSTRING, neck, count=1, parts_under_pull=True, at_neck=True),
            *(
                Closure(
                    f"cuff {hand.value}", ClosureKind.BUTTONS,
                    refs(["cuff.front-end-outer", "cuff.back-end-outer"], hand), count=2, overlap=CUFF_LAP,
                )
                for hand in slits
            ),
        ),
        openings=(
            Opening("neck", neck, "neck cord"),
            Opening("hem", both(["front.hem", "back.hem"])),
            *(Opening(f"wrist {hand.value}", edges, f"cuff {hand.value}") for hand, edges in slits.items()),
        ),
        haberdashery=(
            Haberdashery("button", count=4, size="11 mm"),
            Haberdashery("cord", length=1100.0, size="4 mm"),
            Haberdashery("snap", count=1, size="10 mm"),
        ),
        chart=chart_of(["bust_girth", "hip_girth", "upper_arm_girth", "wrist_girth", "arm_length"]),
        expects_thickness=0.6,
    )  # fmt: skip
