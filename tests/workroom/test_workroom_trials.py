"""What was measured of a cloth, read from the shelf's file as it was typed."""

from __future__ import annotations

from typing import Any

import pytest

from firsthand.errors import BadInput

FABRICS = "shelf/fabrics.toml"
WIDTH = "width = 140\n"


def written(room: Any, lines: str) -> Any:
    room.files[FABRICS] = room.files[FABRICS].replace(WIDTH, WIDTH + lines)
    return room.read().fabrics["ticking"]


def test_stretch_growth_and_pull_as_measured(room: Any) -> None:
    cloth = written(
        room,
        'stretch_across = "10 to 13"\nstretch_along = 0.1\ngrowth = "10 cm after 10.3 cm"\n'
        'pull = { width = 5, weight = 500, rest = "10 cm", pulled = "4 3/4 in" }\n',
    )
    assert (cloth.stretch_across, cloth.stretch_along) == pytest.approx((0.3, 0.1))
    assert cloth.growth == pytest.approx(0.03)
    assert cloth.tension == pytest.approx(98.0665)
    assert cloth.tension_at == pytest.approx(0.2065)


def test_what_is_not_measured_is_not_known(room: Any) -> None:
    cloth = room.read().fabrics["ticking"]
    assert (cloth.growth, cloth.tension) == (None, 0.0)


@pytest.mark.parametrize(
    ("lines", "place"),
    [
        ('stretch_across = "13 cm to 10 cm"\n', "fabric[1].stretch_across"),
        ('growth = "10 cm after 17 cm"\n', "fabric[1].growth"),
        ("pull = { width = 5, weight = 500, rest = 10, pulled = 9 }\n", "fabric[1].pull"),
        ("pull = { width = 0, weight = 500, rest = 10, pulled = 12 }\n", "fabric[1].pull.width"),
        ("pull = { width = 5, weight = 500, rest = 10 }\n", "fabric[1].pull.pulled"),
        ("pull = { width = 5, weight = 500, rest = 10, pulled = 12 }\ntension = 90\ntension_at = 0.2\n", "fabric[1].pull"),
        ("tension = 90\n", "fabric[1]"),
    ],
)
def test_what_cannot_be_meant_is_said_with_its_place(room: Any, lines: str, place: str) -> None:
    with pytest.raises(BadInput) as caught:
        written(room, lines)
    assert [problem.place for problem in caught.value.problems] == [place]
