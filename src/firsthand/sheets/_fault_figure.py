"""Small figures of our own on which faults are drawn: 100 wide, y up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from firsthand.fit.faults import Fault, Mark, MarkKind, View
from firsthand.geometry import Affine, Path, Point, smooth
from firsthand.geometry.drawing import LineKind, Sink

__all__ = ["draw_fault", "draw_mark", "figure_size"]

SCALE = 0.46
"""Millimetres on paper to one of a figure."""
LONG = 0.8
"""Figures down to the ground are so much smaller."""
GARMENT, BODY, INSIDE, MARK = LineKind.FRAME, LineKind.RULE, LineKind.PLACEMENT, LineKind.NOTCH
LEFT, MIDDLE, TOP = 16.0, 50.0, 115.5
HEAD = 2.6
"""Length of an arrow's head, on the figure."""
FOLD_WIDE = 1.3
"""Between the two lines of a loose fold, on the figure."""

Knots = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class _Lines:
    """Lines of a figure: curves through points; ``both`` are drawn on both sides of the body."""

    garment: tuple[Knots, ...] = ()
    body: tuple[Knots, ...] = ()
    inside: tuple[Knots, ...] = ()
    garment_both: tuple[Knots, ...] = ()
    body_both: tuple[Knots, ...] = ()
    inside_both: tuple[Knots, ...] = ()


_ARMHOLE: Knots = ((28.0, 97.0), (34.0, 88.0), (34.2, 81.0), (31.0, 76.0))
_TORSO: tuple[Knots, ...] = (
    ((42.0, 104.0), (28.0, 97.0)), _ARMHOLE, ((31.0, 76.0), (33.2, 60.0), (34.0, 48.0), (31.5, 34.0), (30.0, 20.0)),
)  # fmt: skip
_TORSO_BODY: tuple[Knots, ...] = (
    ((43.5, 104.8), (44.6, 108.0), (44.6, 113.0)), ((28.0, 97.0), (22.5, 89.0), (20.0, 72.0), (17.5, 52.0)),
    ((31.0, 75.0), (29.0, 64.0), (26.0, 52.0)),
)  # fmt: skip
_WAIST: Knots = ((34.0, 48.0), (66.0, 48.0))
_HEM: Knots = ((30.0, 20.0), (50.0, 18.6), (70.0, 20.0))
_SKIRT_SIDES: tuple[Knots, ...] = (((38.0, 105.0), (33.5, 96.0), (31.0, 84.0), (28.5, 48.0), (27.0, 10.0)),)
_SKIRT_HEM: Knots = ((27.0, 10.0), (50.0, 8.0), (73.0, 10.0))
_SKIRT_BODY: tuple[Knots, ...] = (((38.0, 105.0), (37.0, 110.0), (37.2, 115.0)), ((43.0, 8.5), (43.5, 5.0)))
_LEG: tuple[Knots, ...] = (
    ((38.0, 106.0), (33.5, 97.0), (32.0, 86.0), (33.5, 60.0), (35.0, 36.0), (36.5, 10.0)),
    ((50.0, 72.0), (48.6, 60.0), (47.4, 36.0), (46.6, 10.0)), ((36.5, 10.0), (46.6, 10.0)),
)  # fmt: skip
_LEG_BODY: tuple[Knots, ...] = (
    ((38.0, 106.0), (37.0, 111.0), (37.2, 115.0)), ((38.5, 10.0), (38.0, 6.0)), ((45.0, 10.0), (45.4, 6.0)),
)  # fmt: skip

_FIGURES: Mapping[View, _Lines] = {
    View.BODICE_FRONT: _Lines(
        garment=(((42, 104), (45, 97), (50, 94.5), (55, 97), (58, 104)), _HEM), garment_both=_TORSO, body_both=_TORSO_BODY,
        inside=(((50, 94.5), (50, 18.6)), _WAIST), inside_both=(((32.4, 66), (38.5, 69)), ((32.8, 63.5), (38.5, 69))),
    ),
    View.BODICE_BACK: _Lines(
        garment=(((42, 104), (46, 102.4), (50, 102), (54, 102.4), (58, 104)), _HEM), garment_both=_TORSO, body_both=_TORSO_BODY,
        inside=(((50, 102), (50, 18.6)), _WAIST), inside_both=(((41, 48), (42.5, 64)), ((44, 48), (42.5, 64))),
    ),
    View.SLEEVE: _Lines(
        garment=(
            ((54, 98), (47, 93), (43.4, 84), (44.2, 60), (45.6, 20)), ((54, 98), (61.4, 93), (65.6, 84), (64, 60), (61, 20)),
            ((45.6, 20), (61, 20)),
        ),
        inside=(((43.4, 80), (48, 77), (54, 76), (61, 77), (65.6, 80)), ((54, 98), (53.4, 20))),
        body=(
            ((54, 98), (56, 104), (55, 113)), ((45, 113), (44, 105), (40, 99), (35, 88), (32, 70), (34, 50), (31, 20)),
            ((48, 20), (47.5, 12), (50, 6)), ((58.5, 20), (59.5, 12), (57, 6)), ((65.6, 84), (69, 70), (67, 50), (71, 20)),
        ),
    ),
    View.SKIRT_FRONT: _Lines(
        garment=(((38, 105), (50, 104), (62, 105)), _SKIRT_HEM), garment_both=_SKIRT_SIDES, body_both=_SKIRT_BODY,
        inside=(((50, 104), (50, 8)), ((31, 84), (69, 84))),
    ),
    View.SKIRT_BACK: _Lines(
        garment=(((38, 105), (50, 103.4), (62, 105)), _SKIRT_HEM), garment_both=_SKIRT_SIDES, body_both=_SKIRT_BODY,
        inside=(((50, 103.4), (50, 8)), ((31, 84), (69, 84))),
        inside_both=(((41, 104.6), (42.2, 93)), ((43.6, 104.3), (42.2, 93))),
    ),
    View.SKIRT_SIDE: _Lines(
        garment=(
            ((41, 105), (59, 104)), ((41, 105), (36, 98), (29.5, 86), (27.5, 66), (27, 10)),
            ((59, 104), (64, 97), (67, 88), (69.5, 60), (72, 10)), ((27, 10), (50, 8.6), (72, 10)),
        ),
        inside=(((50, 104.5), (50, 9)),), body=(((41, 105), (39, 110), (38.6, 115)), ((59, 104), (59, 110), (60, 115))),
    ),
    View.LEGS_FRONT: _Lines(
        garment=(((38, 106), (50, 105), (62, 106)),), garment_both=_LEG, body_both=_LEG_BODY,
        inside=(((50, 105), (50, 72)), ((32, 86), (68, 86))),
    ),
    View.LEGS_BACK: _Lines(
        garment=(((38, 106), (50, 107), (62, 106)),), garment_both=_LEG, body_both=_LEG_BODY,
        inside=(((50, 107), (50, 72)), ((32, 86), (68, 86))), inside_both=(((42, 106.5), (43, 96)), ((44.4, 106.7), (43, 96))),
    ),
    View.LEGS_SIDE: _Lines(
        garment=(
            ((42, 106), (58, 105)), ((42, 106), (37, 98), (33, 86), (35, 74), (39, 60), (41, 36), (42, 10)),
            ((58, 105), (61, 97), (61.5, 86), (59, 60), (56, 36), (55, 10)), ((42, 10), (55, 10)),
        ),
        inside=(((50, 105.6), (48.4, 60), (48.4, 10)),),
        body=(((42, 106), (40, 111), (39.6, 115)), ((58, 105), (58, 111), (59, 115)), ((43, 10), (43, 5), (58, 5), (54, 10))),
    ),
    View.HOOD: _Lines(
        garment=(
            ((62, 86), (52, 92.5), (40, 91), (30, 80), (28, 66), (32, 50), (38, 38)),
            ((62, 86), (63.4, 70), (62, 54), (63, 40)), ((38, 38), (50, 36), (63, 40)),
        ),
        inside=(((45.6, 92.4), (40, 70), (46, 37)),),
        body=(
            ((62.4, 82), (66, 76), (66.4, 70), (69.6, 63), (66.6, 61), (66.6, 55), (62.6, 52)),
            ((38, 38), (32, 34), (22, 28)), ((63, 40), (66, 34), (74, 28)),
        ),
    ),
}  # fmt: skip


def figure_size(view: View) -> tuple[float, float]:
    """Width of a column of figures and height of one figure on paper, mm."""
    by = _scale(view)
    return (MIDDLE - LEFT) * 2 * SCALE, (TOP - _low(view)) * by


def draw_fault(sink: Sink, fault: Fault, corner: Point) -> None:
    """Draw a fault on its figure, the upper left corner of which is given."""
    lines, by = _FIGURES[fault.view], _scale(fault.view)
    onto = Affine.translation(corner.x + (MIDDLE - LEFT) * SCALE - MIDDLE * by, corner.y - TOP * by) @ Affine.scaling(by)
    for kind, once, both in (
        (BODY, lines.body, lines.body_both),
        (INSIDE, lines.inside, lines.inside_both),
        (GARMENT, lines.garment, lines.garment_both),
    ):
        for knots in (*once, *both, *(_across(one) for one in both)):
            sink.path(_through(knots).transformed(onto), kind)
    for mark in fault.marks:
        draw_mark(sink, mark, onto)


def _scale(view: View) -> float:
    return SCALE * (LONG if _low(view) < 10 else 1.0)


def _low(view: View) -> float:
    return {View.BODICE_FRONT: 17.0, View.BODICE_BACK: 17.0, View.HOOD: 26.0}.get(view, 4.0)


def draw_mark(sink: Sink, mark: Mark, onto: Affine) -> None:
    """Draw one mark: taut lines straight and heavy, loose folds double, gaping edges hatched, shifts as arrows."""
    for knots in (mark.points, _across(mark.points)) if mark.mirrored else (mark.points,):
        for path in _DRAWN[mark.kind](knots):
            sink.path(path.transformed(onto), MARK if mark.kind in (MarkKind.PULL, MarkKind.SHIFT) else GARMENT)


def _across(knots: Knots) -> Knots:
    return tuple((100 - x, y) for x, y in knots)


def _through(knots: Iterable[tuple[float, float]]) -> Path:
    return smooth([Point(x, y) for x, y in knots])


def _pull(knots: Knots) -> Iterable[Path]:
    yield _through(knots)


def _slack(knots: Knots) -> Iterable[Path]:
    path = _through(knots)
    normal = (path.end - path.start).unit().left * (FOLD_WIDE / 2)
    yield path.transformed(Affine.translation(normal.x, normal.y))
    yield path.transformed(Affine.translation(-normal.x, -normal.y))


def _gape(knots: Knots) -> Iterable[Path]:
    path = _through(knots)
    yield path
    count = max(3, round(path.length / 2.2))
    for k in range(count + 1):
        at = path.length * k / count
        yield Path.line(path.at(at), path.at(at) - path.tangent_at(at).left * 2.4)


def _shift(knots: Knots) -> Iterable[Path]:
    path = _through(knots)
    back = -path.end_tangent
    yield path
    for side in (0.45, -0.45):
        yield Path.line(path.end, path.end + (back + back.left * side).unit() * HEAD)


_DRAWN = {MarkKind.PULL: _pull, MarkKind.SLACK: _slack, MarkKind.GAPE: _gape, MarkKind.SHIFT: _shift}
