"""Places on pieces in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from firsthand.alter import Entry, Scale, TakeIn, apply_stack
from firsthand.alter._spots import Spot, along, inner_point, level_at, spot
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Dart, Garment, Shape

Maker = Callable[..., Garment]


@pytest.fixture
def panel(make_leg: Maker) -> Shape:
    """200 wide, 600 high, straight: hem, inner (right), top, outer (left); a dart in the top."""
    garment = make_leg()
    return replace(garment.piece("front").drawn_shape, darts=(Dart("d", "top", 120.0, 20.0, Point(80, 480)),))


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ("start", 0.0), ("end", 600.0), ("12 cm", 120.0), ("-3 cm", 570.0), ("40 %", 240.0), ("0 %", 0.0), ("1 in", 25.4),
        ("notch n1", 300.0), ("level middle", 300.0), (" 40  % ", 240.0), ("60 cm", 600.0),
    ],
)  # fmt: skip
def test_places_on_an_edge(panel: Shape, words: str, at: float) -> None:
    assert along(panel, "inner", words) == pytest.approx(at)
    found = spot(panel, f"inner at {words}")
    assert isinstance(found, Spot)
    assert (found.edge, found.at) == ("inner", pytest.approx(at))


@pytest.mark.parametrize(
    ("words", "point"),
    [
        ("point of d", (80, 480)), ("level middle at 25 %", (50, 300)), ("level middle", (100, 300)),
        ("hem at 5 cm", (50, 0)), ("10 cm, 25 cm", (100, 250)), ("top at dart d", (80, 600)), ("outer at end", (0, 0)),
    ],
)  # fmt: skip
def test_points(panel: Shape, words: str, point: tuple[float, float]) -> None:
    found = inner_point(panel, words)
    assert (found.x, found.y) == pytest.approx(point)


@pytest.mark.parametrize("words", ["", "12", "somewhere", "61 cm", "-61 cm", "110 %", "nan cm", "12 ells", "% 4"])
def test_what_is_no_place_is_refused(panel: Shape, words: str) -> None:
    with pytest.raises(CannotAlter):
        along(panel, "inner", words)


@pytest.mark.parametrize("words", ["", "12, 13", "point", "10 cm", "10 cm, 5", "level middle at 140 %", "level middle at x"])
def test_what_is_no_point_is_refused(panel: Shape, words: str) -> None:
    with pytest.raises(CannotAlter):
        inner_point(panel, words)


@pytest.mark.parametrize("words", ["notch n2", "dart d", "level hip", "pleat p"])
def test_what_is_not_on_the_edge_is_named(panel: Shape, words: str) -> None:
    with pytest.raises(NotThere):
        along(panel, "inner", words)


def test_an_edge_or_mark_that_is_not_there(panel: Shape) -> None:
    for words in ("neck at start", "point of e", "level hip at 3 %"):
        with pytest.raises(NotThere):
            inner_point(panel, words)
    assert level_at(panel, "top", "middle") is None


def test_what_is_switched_off_is_passed_over(make_leg: Maker) -> None:
    legs = make_leg()
    on, off = Scale(100, 97, id="a"), TakeIn(20, id="b", off=True)
    assert apply_stack(legs, [on, off]).garment == apply_stack(legs, [on]).garment
    assert [record.alteration for record in apply_stack(legs, [off, on]).records] == ["a"]
    assert Entry() == Entry(id="", off=False)
