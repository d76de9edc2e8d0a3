"""The drawing protocol's small sinks."""

import math

import pytest

from firsthand.errors import GeometryError
from firsthand.geometry import Affine, Box, Path, Point
from firsthand.geometry.drawing import Anchor, BoundsSink, LineKind, Recorder, Sink, WordKind

GOLDEN = """\
group 'front' 0 1 -1 0 100 0 clip 0 0 50 60
  cutting M 0 0 L 50 0 C 60 10 60 20 50 60.25
  name "front" at 25 30 middle turned 1.57
  group '' 1 0 0 1 0 0
    grain M 10 5 L 10 12345.67
fold M 0 -0.5 L 0 5"""


def draw(sink: Sink) -> None:
    sink.push(Affine.translation(100, 0) @ Affine.rotation(math.pi / 2), name="front", clip=Box(0, 0, 50, 60))
    sink.path(
        Path.joined(
            [Path.line(Point(0, 0), Point(50, 0)), Path.curve(Point(50, 0), Point(60, 10), Point(60, 20), Point(50, 60.25))]
        ),
        LineKind.CUTTING,
    )
    sink.words("front", Point(25, 30), WordKind.NAME, anchor=Anchor.MIDDLE, angle=math.pi / 2)
    sink.push(Affine())
    sink.path(Path.line(Point(10, 5), Point(10, 12345.67)), LineKind.GRAIN)
    sink.pop()
    sink.pop()
    sink.path(Path.line(Point(-0.0001, -0.5), Point(0, 5)), LineKind.FOLD)


def test_recorder_writes_down_what_it_is_told():
    recorder = Recorder()
    draw(recorder)
    assert recorder.text == GOLDEN


def test_bounds_leave_out_what_is_clipped():
    sink = BoundsSink()
    draw(sink)
    # The clip 50 x 60 turned by a quarter and shifted: x from 40 to 100, y from 0 to 50; then the fold line.
    assert sink.box is not None
    sides = (sink.box.left, sink.box.bottom, sink.box.right, sink.box.top)
    assert sides == pytest.approx((-0.0001, -0.5, 100, 50))


def test_bounds_of_turned_curves_are_exact():
    sink = BoundsSink()
    sink.push(Affine.rotation(math.pi / 4))
    sink.path(Path.arc(Point(0, 0), 10, 0, 2 * math.pi), LineKind.PART)
    assert sink.box is not None
    assert sink.box.width == pytest.approx(20, abs=1e-5)


@pytest.mark.parametrize("sink", [Recorder(), BoundsSink()])
def test_leaving_a_group_never_entered_is_refused(sink):
    with pytest.raises(GeometryError):
        sink.pop()
