"""The warden's hose: a front and a back to each leg, drafted for a knit that gives a quarter.

The pattern is drafted five per cent smaller than the body all round. Sewn from a velour that gives more than it expects it
sits loosely, which is what the even take-in is for.

Deliberate: the waist has no fate. Whoever drew the pattern forgot to say that it becomes a casing for the elastic.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.demo._chart import CHART, LETTERS, chart_of
from firsthand.demo._tools import across, both, by_size, each, edge, hem, level, loop, notch, refs, solve, turned_over
from firsthand.geometry import Path, Point, smooth
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Cut,
    Edge,
    Haberdashery,
    Hand,
    Level,
    Opening,
    Pattern,
    Piece,
    Seam,
    Shape,
)

__all__ = ["hose"]

SMALLER = 0.95
"""Girths of the pattern over those of the body."""
GIVE = 0.25
"""Crosswise stretch the pattern was drafted for."""
EASED = 3.0
"""What a knit eases in along the inseam without being asked to, mm (common practice)."""
HIPS_WITHIN = 84.0
"""How much wider than the body's waist the waist edge is cut, so that it passes the hips, mm."""


@dataclass(frozen=True, slots=True)
class _Leg:
    """Widths of one leg half, inseam to side, at the heights of the leg; y is 0 at the crotch line."""

    hip: float
    fork: float
    waist: float
    thigh: float
    knee: float
    calf: float
    ankle: float
    rise: float
    hip_y: float
    knee_y: float
    hem_y: float

    @property
    def crotch(self) -> float:
        """Width at the crotch line."""
        return self.hip + self.fork

    def _slack(self) -> float:
        return self.crotch - self.thigh

    def inseam(self, fork_y: float) -> Path:
        """From the hem up to the fork, the leg's middle at x = 0 and the inseam at x > 0."""
        thigh_x = self.crotch / 2 - 0.6 * self._slack()
        return smooth(
            [
                Point(self.ankle / 2, self.hem_y),
                Point(self.calf / 2, self.knee_y - 115),
                Point(self.knee / 2, self.knee_y),
                Point(thigh_x, THIGH_Y),
                Point(self.crotch / 2, fork_y),
            ],
            start=Point(0, 1),
        )

    def side(self, waist: Point) -> Path:
        """From the waist down to the hem, the side at x < 0."""
        return smooth(
            [
                waist,
                Point(-self.crotch / 2, self.hip_y),
                Point(-self.crotch / 2 + 0.4 * self._slack(), THIGH_Y),
                Point(-self.knee / 2, self.knee_y),
                Point(-self.calf / 2, self.knee_y - 115),
                Point(-self.ankle / 2, self.hem_y),
            ],
            end=Point(0, -1),
        )


DRAWN_IN = 85.0
"""What the elastic takes out of the waist edge, mm."""
THIGH_Y = -40.0
"""The thigh is measured this far below the crotch line."""


def _leg(row: Mapping[str, float], *, back: bool) -> _Leg:
    way = 1.0 if back else -1.0
    hip = row["hip_girth"] * SMALLER
    rise = row["body_rise"] * SMALLER
    return _Leg(
        hip=hip / 4 + way * 8,
        fork=hip * (0.085 if back else 0.045),
        waist=(row["waist_girth"] + HIPS_WITHIN) * SMALLER / 4 + way * 4,
        thigh=row["thigh_girth"] * SMALLER / 2 + way * 18,
        knee=row["knee_girth"] * SMALLER / 2 + way * 8,
        calf=row["calf_girth"] * SMALLER / 2 + way * 8,
        ankle=row["heel_ankle_girth"] / (1 + GIVE) / 2 + way * 4,
        rise=rise,
        hip_y=rise - row["waist_to_hip"],
        knee_y=row["knee_height"] - row["inside_leg_length"],
        hem_y=25.0 - row["inside_leg_length"],
    )


def _seat(leg: _Leg, waist: Point, inseam: Path) -> Path:
    """The crotch edge from the fork up to the waist: it leaves the fork square to the inseam."""
    fork, middle = inseam.end, leg.crotch / 2 - leg.fork
    bend = Point(middle, leg.hip_y)
    up = (waist - bend).unit()
    across = fork + inseam.end_tangent.left * (0.62 * leg.fork)
    curve = Path.curve(fork, across, bend - up * (0.62 * (leg.hip_y - fork.y)), bend)
    return Path.joined([curve, Path.line(bend, waist)])


def _waist(seat: Path, side: Path) -> Path:
    """The waist edge from the middle of the body to the side, square to both."""
    middle, end = seat.end, side.start
    reach = middle.distance(end) / 3
    return Path.curve(middle, middle + seat.end_tangent.left * reach, end + side.start_tangent.left * reach, end)


def _front_side(leg: _Leg) -> tuple[Point, Path]:
    middle = Point(leg.crotch / 2 - leg.fork - 12, leg.rise - 8)
    return middle, leg.side(Point(middle.x - leg.waist, leg.rise + 6))


def _front(row: Mapping[str, float]) -> Shape:
    leg = _leg(row, back=False)
    middle, side = _front_side(leg)
    inseam = leg.inseam(0.0)
    seat = _seat(leg, middle, inseam)
    return _shape(leg, _edges(inseam, seat, _waist(seat, side), side))


def _back(row: Mapping[str, float]) -> Shape:
    """The back, drafted the same way round as the front and then turned over.

    Its fork is lowered and its waist raised at the side until both of its seams are as long as the front's.
    """
    leg, front = _leg(row, back=True), _leg(row, back=False)
    wanted, side_wanted = front.inseam(0.0).length, _front_side(front)[1].length
    inseam = leg.inseam(solve(lambda y: leg.inseam(y).length - wanted, -34.0, 25.0))
    middle = Point(leg.crotch / 2 - leg.fork - 24, leg.rise + 26)
    waist_y = solve(lambda y: leg.side(Point(middle.x - leg.waist, y)).length - side_wanted, leg.rise - 40, leg.rise + 60)
    side = leg.side(Point(middle.x - leg.waist, waist_y))
    seat = _seat(leg, middle, inseam)
    return _shape(leg, turned_over(_edges(inseam, seat, _waist(seat, side), side)), way=-1.0)


def _edges(inseam: Path, seat: Path, waist: Path, side: Path) -> tuple[Edge, ...]:
    return loop(
        hem("hem", Path.line(side.end, inseam.start), 20.0),
        edge("inseam", inseam, allowance=10.0),
        edge("crotch", seat, allowance=10.0),
        edge("waist", waist, allowance=35.0, fate=None),
        edge("side", side, allowance=10.0, inlay=5.0),
    )


def _shape(leg: _Leg, edges: tuple[Edge, ...], *, way: float = 1.0) -> Shape:
    """The shape with its markings; ``way`` is -1 for the back, whose edges run the other way round."""
    by = {one.id: one for one in edges}
    middle = way * (leg.crotch / 2 - leg.fork)
    side, seat, inseam = by["side"], by["crotch"], by["inseam"]
    knee = leg.knee_y - leg.hem_y
    ends = way * leg.crotch / 2

    def on(one: Edge, at: float) -> Point:
        return one.path.at(at if at >= 0 else one.path.length + at)

    return Shape(
        edges=edges,
        grain=(Point(0, leg.hem_y + 60), Point(0, leg.hip_y)),
        notches=(
            notch("hip", side, way * 200.0, double=way < 0),
            notch("knee", side, way * -knee, double=way < 0),
            notch("knee inside", inseam, way * knee, double=way < 0),
            notch("seat", seat, way * -150.0, double=way < 0),
        ),
        levels=(
            level("waist", on(seat, way * -12.0), on(side, way * 12.0)),
            level("hip", Point(middle, leg.hip_y), Point(-ends, leg.hip_y)),
            level("thigh", Point(ends - way * 12, THIGH_Y), Point(-ends + way * 12, THIGH_Y)),
            level("calf", Point(way * leg.calf / 2, leg.knee_y - 115), Point(-way * leg.calf / 2, leg.knee_y - 115)),
        ),
    )


def hose() -> Pattern:
    """The pattern of the hose: four parts of velour, elastic at the waist."""
    waist = both(["front.waist", "back.waist"])
    pieces = {
        "front": Piece("front", "1", "Hose front", (Cut("shell"),), sizes=by_size(_front, CHART)),
        "back": Piece("back", "2", "Hose back", (Cut("shell"),), sizes=by_size(_back, CHART)),
    }
    crotch = Seam("crotch", (), (), after=("inseam right", "inseam left"))
    return Pattern(
        id="hose",
        name="Warden's hose",
        sizes=LETTERS,
        pieces=pieces,
        seams=(
            *each(Seam("side", (), (), take_in=True), ["front.side"], ["back.side"]),
            *each(Seam("inseam", (), (), tolerance=EASED, take_in=True), ["front.inseam"], ["back.inseam"]),
            across(crotch, ["back.crotch", "front.crotch"]),
        ),
        levels=(
            Level("waist", "Waist", "waist_girth", extra=-DRAWN_IN),
            Level("hip", "Hip", "hip_girth"),
            Level("thigh", "Thigh", "thigh_girth", limb=True),
            Level("calf", "Calf", "calf_girth", limb=True),
        ),
        closures=(Closure("waist elastic", ClosureKind.ELASTIC, waist),),
        openings=(
            Opening("waist", waist, "waist elastic"),
            Opening("ankle right", refs(["front.hem", "back.hem"], Hand.RIGHT)),
            Opening("ankle left", refs(["front.hem", "back.hem"], Hand.LEFT)),
        ),
        haberdashery=(Haberdashery("elastic", length=730.0, size="25 mm"),),
        chart=chart_of(["waist_girth", "hip_girth", "thigh_girth", "calf_girth", "inside_leg_length"]),
        expects_stretch=GIVE,
        expects_thickness=1.2,
    )
