"""The JSON door: plain polygons in a strip. Every answer is looked at here again with shapely, from the JSON alone."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import Any

import pytest
import shapely
from shapely import affinity

from firsthand.errors import BadInput
from firsthand.lay import lay_pieces

DATA = Path(__file__).parents[1] / "data" / "lay"


def rectangle(id: object, length: float, width: float, demand: int = 1, turns: object = (0.0,)) -> dict[str, Any]:
    points = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]
    return {"id": id, "demand": demand, "allowed_orientations": list(turns) if turns is not None else None, "polygon": points}


def laid(data: dict[str, Any], answer: dict[str, Any]) -> list[Any]:
    """The polygons where the answer says they lie."""
    known = {item["id"]: shapely.Polygon(item["polygon"]) for item in data["items"]}
    return [
        affinity.translate(affinity.rotate(known[p["id"]], p["rotation_deg"], origin=(0, 0)), p["x"], p["y"])
        for p in answer["placements"]
    ]


def assert_sound(data: dict[str, Any], width: float, answer: dict[str, Any]) -> None:
    shapes = laid(data, answer)
    box = shapely.union_all(shapes).bounds
    least = 1e-9 * width
    assert min(box[:2]) > -least
    assert box[2] < answer["length"] + least
    assert box[3] < width + least
    shared = sum(a.intersection(b).area for n, a in enumerate(shapes) for b in shapes[:n])
    assert shared < 1e-8 * width * width
    for item in data["items"]:
        mine = [p for p in answer["placements"] if p["id"] == item["id"]]
        assert len(mine) == item["demand"]
        turns = item["allowed_orientations"]
        assert all(min(abs(math.remainder(p["rotation_deg"] - t, 360)) for t in turns) < 1e-9 for p in mine)
    covered = sum(shape.area for shape in shapes)
    assert answer["density"] == pytest.approx(covered / (width * answer["length"]))


# Floors: what the published heuristic still reaches on the same instances in a tenth of the time, less some points for a
# loaded machine. Best known 90.92 % and 79.83 % (Gardeyn, Vanden Berghe, Wauters 2025, arXiv:2509.13329v1, table 2).
@pytest.mark.parametrize(("name", "floor"), [("shirts", 0.77), ("swim", 0.63)])
def test_garment_instances_are_laid_soundly_and_not_loosely(name: str, floor: float) -> None:
    data = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    answer = lay_pieces(data, data["strip_width"], seconds=2.5, seed=1, workers=2)
    assert_sound(data, data["strip_width"], answer)
    assert answer["density"] > floor
    assert answer["density"] < data["best_known"]["density_pct"] / 100 + 0.01
    json.dumps(answer)


@pytest.mark.parametrize("scale", [1e-6, 1.0, 1e3])
def test_panels_that_tile_the_strip_leave_nothing_over(scale: float) -> None:
    # By arithmetic: 12 panels of 50 x 100 fill a strip of 300 to a length of 200, in any unit.
    data = {"items": [rectangle("panel", 50 * scale, 100 * scale, demand=12)]}
    answer = lay_pieces(data, 300 * scale, seconds=0.8)
    assert_sound(data, 300 * scale, answer)
    assert answer["length"] == pytest.approx(200 * scale, rel=1e-6)
    assert answer["density"] == pytest.approx(1, rel=1e-6)


def test_a_piece_as_wide_as_the_strip_and_pieces_far_from_the_origin() -> None:
    wide = rectangle(1, 30, 100)
    far = rectangle(2, 20, 50, demand=2)
    far["polygon"] = [[x + 1e5, y - 3e5] for x, y in far["polygon"]]
    answer = lay_pieces({"items": [wide, far]}, 100, seconds=0.6)
    assert_sound({"items": [wide, far]}, 100, answer)
    assert answer["length"] == pytest.approx(50, rel=1e-6)


def test_many_different_pieces_are_laid() -> None:
    chance = random.Random(3)

    def star(corners: int) -> list[list[float]]:
        radii = [chance.uniform(20, 60) for _ in range(corners)]
        angles = [2 * math.pi * k / corners for k in range(corners)]
        return [[r * math.cos(a), r * math.sin(a)] for r, a in zip(radii, angles, strict=True)]

    items = [{"id": k, "demand": 1, "allowed_orientations": [0, 180], "polygon": star(5 + k % 5)} for k in range(160)]
    answer = lay_pieces({"items": items}, 900, seconds=1.0)
    assert_sound({"items": items}, 900, answer)
    assert answer["density"] > 0.5


def test_a_fringe_of_thousands_of_points_and_thousands_of_pieces_are_laid_soundly() -> None:
    # Both took more than a minute as long as every point was looked at.
    angles = [2 * math.pi * k / 2000 for k in range(2000)]
    star = [[25 + (20 + 5 * (k % 2)) * math.cos(a), 25 + (20 + 5 * (k % 2)) * math.sin(a)] for k, a in enumerate(angles)]
    data = {"items": [{"id": 0, "demand": 3, "allowed_orientations": [0.0], "polygon": star}]}
    assert_sound(data, 60, lay_pieces(data, 60, seconds=0.1, workers=1))
    many = lay_pieces({"items": [rectangle("tile", 10, 10, demand=2000)]}, 60, seconds=0.1, workers=1)
    assert many["length"] == pytest.approx(3340)  # by arithmetic: 6 across, 334 columns


def test_free_turning_is_used() -> None:
    data = {"items": [rectangle("bar", 10, 80, turns=None)]}
    answer = lay_pieces(data, 40, seconds=0.6)
    assert laid(data, answer)[0].bounds[3] <= 40 + 1e-6
    assert answer["length"] < 80.5


def test_no_pieces_need_no_length() -> None:
    assert lay_pieces({"items": []}, 100)["length"] == 0
    assert lay_pieces({"items": [rectangle(0, 10, 10, demand=0)]}, 100)["placements"] == []


def test_unknown_keys_a_repeated_last_point_and_clockwise_outlines_are_taken() -> None:
    item = rectangle("a", 20, 10) | {"colour": "red"}
    item["polygon"] = [*item["polygon"], item["polygon"][0]][::-1]
    assert lay_pieces({"items": [item], "made": "by hand"}, 10, seconds=0.5)["length"] == pytest.approx(20, rel=1e-6)


BAD: list[tuple[str, dict[str, Any]]] = [
    ("polygon", {"polygon": [[0, 0], [1, math.nan], [1, 1]]}),
    ("polygon", {"polygon": [[0, 0], [1, math.inf], [1, 1]]}),
    ("polygon", {"polygon": [[0, 0], [1, "2"], [1, 1]]}),
    ("polygon", {"polygon": [[0, 0], [1, 1]]}),
    ("polygon", {"polygon": [[0, 0], [1, 1], [0, 0], [1, 1]]}),
    ("polygon", {"polygon": [[0, 0], [10, 10], [10, 0], [0, 10]]}),
    ("polygon", {"polygon": [[0, 0], [5, 5], [9, 9]]}),
    ("polygon", {"polygon": None}),
    ("items[1]", {"polygon": [[0, 0], [5, 0], [5, 500], [0, 500]]}),
    ("demand", {"demand": -1}),
    ("demand", {"demand": 1.5}),
    ("demand", {"demand": True}),
    ("allowed_orientations", {"allowed_orientations": ["up"]}),
    ("allowed_orientations", {"allowed_orientations": 90}),
    ("id", {"id": [1]}),
]


@pytest.mark.parametrize(("place", "wrong"), BAD, ids=[f"{place}-{n}" for n, (place, _) in enumerate(BAD)])
def test_bad_items_are_named(place: str, wrong: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as caught:
        lay_pieces({"items": [rectangle(0, 10, 10) | wrong]}, 100)
    assert any(place in problem.place for problem in caught.value.problems)


def test_all_problems_are_told_at_once() -> None:
    items = [rectangle(0, 10, 10) | {"demand": -3}, rectangle(0, 10, 10), "piece"]
    with pytest.raises(BadInput) as caught:
        lay_pieces({"items": items}, math.nan, seconds=-1, seed=-1, workers=0)
    assert {p.place for p in caught.value.problems} == {
        "width", "seconds", "seed", "workers", "items[1].demand", "items[2].id", "items[3]",
    }  # fmt: skip


@pytest.mark.parametrize("data", [{}, {"items": 3}, {"items": None}, []])
def test_data_without_items_are_refused(data: Any) -> None:
    with pytest.raises(BadInput):
        lay_pieces(data, 100)


def test_a_long_piece_fits_when_it_may_be_turned() -> None:
    answer = lay_pieces({"items": [rectangle(0, 30, 200, turns=(0.0, 90.0))]}, 100, seconds=0.5)
    assert answer["length"] == pytest.approx(200, rel=1e-6)


@pytest.mark.parametrize("far", [1e8, -3e8])
def test_pieces_far_from_the_origin_are_laid_as_near_ones(far: float) -> None:
    item = rectangle(0, 20, 30, demand=2, turns=(0.0, 180.0))
    item["polygon"] = [[x + far, y - far] for x, y in item["polygon"]]
    answer = lay_pieces({"items": [item]}, 60, seconds=0.3)
    assert answer["length"] == pytest.approx(20)
    box = shapely.union_all(laid({"items": [item]}, answer)).bounds
    assert box == pytest.approx((0, 0, 20, 60), abs=1e-6)


SAID: list[tuple[dict[str, Any], float, str]] = [
    ({"polygon": [[0, 0], [50, 0], [50, 30], [0, 30], [50, 0]]}, 60, "touches itself near (50, 0)"),
    ({"polygon": [[0, 0], [50, 30], [50, 0], [0, 30]]}, 60, "crosses itself near (25, 15)"),
    ({"polygon": [[0, 0], [5, 5], [9, 9]]}, 60, "has no area"),
    ({"polygon": [[3, 3], [3, 3]]}, 60, "found 1 different point, expected"),
    ({"polygon": []}, 60, "found 0 different points"),
    ({"polygon": [[0, 0], [1e6, 0], [1e6, 1e-3], [0, 1e-3]]}, 1000, "a sliver 1000000 long and some 0.001 wide"),
    ({"polygon": [[0, 0], [1e6, 0], [1e6, 30], [0, 30]]}, 60, "at most 5000 times the strip's width, 300000"),
    ({"polygon": [[0, 0], [50, 0], [50, 30], [0, 30]]}, 1e-9, "at most 5000 times the strip's width, 5e-06"),
    ({"polygon": [[0, 0], [1e-9, 0], [0, 1e-9]]}, 60, "at least 1e-06 times the strip's width, 6e-05"),
    ({"polygon": [[0, 0], [50, 0], [50, 30], [0, 30]]}, 29.999999,
     "30 wide in every allowed turn, expected at most the strip's width, 29.999999"),
    ({"polygon": [[n, n % 2] for n in range(10_001)]}, 60, "10001 points, expected at most 10000"),
    ({"demand": 1e9}, 60, "a whole number from 0 to 5000"),
    ({"demand": math.inf}, 60, "a whole number from 0 to 5000"),
    ({"id": "\ud800"}, 60, "an id that can be written"),
    ({"id": 10**5000}, 60, "a huge number"),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "width", "said"), SAID, ids=range(len(SAID)))
def test_what_is_wrong_is_said_in_the_numbers_of_the_file(wrong: dict[str, Any], width: float, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        lay_pieces({"items": [rectangle(0, 20, 10) | wrong]}, width, name="pieces.json")
    (problem,) = caught.value.problems
    assert problem.place.startswith("items[1].")
    assert said in str(problem)
    assert str(problem).startswith("pieces.json, ")


@pytest.mark.parametrize("width", [1e10, math.inf, 0.0, 1e-10])
def test_the_limits_of_the_width_are_said(width: float) -> None:
    with pytest.raises(BadInput, match=r"--width: found .*, expected a width from 1e-09 to 1e\+09"):
        lay_pieces({"items": []}, width, name="pieces.json")


@pytest.mark.parametrize(("data", "found"), [([], "a list"), (None, "null"), (5, "5")])
def test_what_is_no_object_is_said(data: Any, found: str) -> None:
    with pytest.raises(BadInput) as caught:
        lay_pieces(data, 60, name="pieces.json")
    assert str(caught.value).startswith(f"pieces.json: found {found}, expected an object with items. ")


def test_more_pieces_or_points_than_can_be_laid_are_refused() -> None:
    with pytest.raises(BadInput, match="6000 pieces in all, expected at most 5000"):
        lay_pieces({"items": [rectangle(k, 10, 10, demand=3000) for k in range(2)]}, 60)
    circle = [[math.cos(k / 100), math.sin(k / 100)] for k in range(600)]
    with pytest.raises(BadInput, match="600000 points in all, expected at most 500000"):
        lay_pieces({"items": [{"id": 0, "demand": 1000, "polygon": circle}]}, 60)
