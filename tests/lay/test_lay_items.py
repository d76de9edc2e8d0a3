"""From parts to what is laid: hands, folds, nap, shrinkage, states and cards."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from firsthand.fabric import Fabric, Nap
from firsthand.geometry import Path, Point
from firsthand.lay import LayItem, Placement, Way, lay_items
from firsthand.lay._items import collect
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    Fate,
    FateKind,
    Garment,
    How,
    PartState,
    Pattern,
    Piece,
    Rough,
    Shape,
    make_garment,
)

CLOTH = Fabric("cloth", "Cloth", 1400, 10)
NAPPED = replace(CLOTH, nap=Nap.ONE_WAY)
ALLOWANCE = 15.0


def shape(*corners: tuple[float, float], fold: str = "", allowance: float = ALLOWANCE) -> Shape:
    points = [Point(*corner) for corner in corners]
    edges = []
    for k, point in enumerate(points):
        name = f"edge {k}"
        fate = Fate(FateKind.FOLD if name == fold else FateKind.RAW)
        path = Path.line(point, points[(k + 1) % len(points)])
        edges.append(Edge(name, Corner(f"corner {k}"), path, 0.0 if name == fold else allowance, fate=fate))
    return Shape(tuple(edges), grain=(Point(-100, 100), Point(-100, 300)))


def garment(*pieces: Piece, **roles: str) -> Garment:
    pattern = Pattern("coat", "Coat", ("M",), {piece.id: piece for piece in pieces})
    return make_garment(pattern, "M", id="coat", roles=roles or {"shell": "cloth"})


SLEEVE = Piece("sleeve", "3", "Sleeve", (Cut("shell"),), sizes={"M": shape((-200, 0), (0, 0), (-40, 500), (-180, 450))})
BACK = Piece(
    "back", "2", "Back", (Cut("shell", How.FOLD),), fold="edge 1",
    sizes={"M": shape((-250, 0), (0, 0), (0, 600), (-200, 580), fold="edge 1")},
)  # fmt: skip
BELT = Piece("belt", "4", "Belt", (Cut("shell", How.SINGLE),), rough={"M": Rough(900, 80)})


def by_part(items: tuple[LayItem, ...]) -> dict[str, LayItem]:
    return {part: item for item in items for part in item.parts}


def laid(item: LayItem, turn: float, *, mirrored: bool | None = None) -> Path:
    side = item.mirrored if mirrored is None else mirrored
    return item.outline.transformed(Placement(item.id, turn, 0, 0, side).transform)


def test_on_open_cloth_every_part_is_laid_by_itself() -> None:
    items = by_part(lay_items({"coat": garment(SLEEVE, BACK, BELT)}, CLOTH, Way.OPEN))
    assert set(items) == {
        "coat/sleeve right shell",
        "coat/sleeve left shell",
        "coat/back centre shell",
        "coat/belt centre shell",
    }
    right, left = items["coat/sleeve right shell"], items["coat/sleeve left shell"]
    assert (right.mirrored, left.mirrored) == (False, True)
    assert right.outline == left.outline
    assert not right.flips
    # Opened out the back is as wide as two halves and their allowances at the sides.
    assert items["coat/back centre shell"].outline.bounds.width == pytest.approx(2 * (250 + ALLOWANCE), rel=0.01)
    assert items["coat/back centre shell"].fold is None
    assert all(item.layers == 1 for item in items.values())


def test_the_cutting_line_is_laid_not_the_stitching_line() -> None:
    square = Piece(
        "square", "1", "Square", (Cut("shell", How.SINGLE),), sizes={"M": shape((0, 0), (100, 0), (100, 200), (0, 200))}
    )
    (item,) = lay_items({"coat": garment(square)}, CLOTH, Way.OPEN)
    assert item.outline.bounds.width == pytest.approx(100 + 2 * ALLOWANCE)
    assert item.outline.bounds.height == pytest.approx(200 + 2 * ALLOWANCE)


@pytest.mark.parametrize("way", list(Way))
def test_the_grain_lies_along_the_cloth_with_up_towards_the_end(way: Way) -> None:
    for fabric, count in ((CLOTH, 2), (NAPPED, 1)):
        for item in lay_items({"coat": garment(SLEEVE, BACK, BELT)}, fabric, way):
            assert len(item.turns) == count
            assert item.grain is not None
            lower, upper = (Placement(item.id, item.turns[0], 0, 0, item.mirrored).transform(p) for p in item.grain)
            assert upper.x > lower.x
            assert upper.y == pytest.approx(lower.y, abs=1e-9)


def test_a_piece_that_may_not_be_turned_has_one_turn_without_nap_too() -> None:
    (item, _) = lay_items({"coat": garment(replace(SLEEVE, turning=False))}, CLOTH, Way.OPEN)
    assert len(item.turns) == 1


def test_on_double_cloth_a_pair_is_cut_at_once_and_a_back_lies_on_the_fold() -> None:
    items = lay_items({"coat": garment(SLEEVE, BACK, BELT)}, NAPPED, Way.FOLDED)
    sleeve, back, belt = items
    assert sleeve.parts == ("coat/sleeve right shell", "coat/sleeve left shell")
    assert (sleeve.layers, sleeve.flips, sleeve.fold) == (2, True, None)
    assert (back.layers, back.flips) == (2, False)
    assert back.fold is not None  # with the allowances that lie on the fold, above and below the stitching line
    low, high = back.fold
    assert (low.x, high.x, low.y) == (0, 0, -ALLOWANCE)
    assert high.y == pytest.approx(600 + ALLOWANCE * math.hypot(200, 20) / 200)
    assert laid(back, back.turns[0]).bounds.bottom == pytest.approx(0, abs=1e-9)
    assert (belt.layers, belt.label) == (1, "Belt, one layer")


def test_two_copies_that_are_alike_on_both_sides_are_cut_at_once() -> None:
    straps = replace(BELT, cuts=(Cut("shell", How.SINGLE, 3),))
    items = lay_items({"coat": garment(straps)}, CLOTH, Way.FOLDED)
    assert [(len(item.parts), item.layers) for item in items] == [(2, 2), (1, 1)]
    crooked = replace(SLEEVE, cuts=(Cut("shell", How.SINGLE, 2),))
    items = lay_items({"coat": garment(crooked)}, CLOTH, Way.FOLDED)
    assert [(len(item.parts), item.layers) for item in items] == [(1, 1), (1, 1)]


def test_what_is_cut_or_sewn_is_left_out_and_what_is_held_back_keeps_its_room() -> None:
    coat = garment(SLEEVE, BACK, BELT)
    states = {
        "sleeve right shell": PartState.CUT,
        "back centre shell": PartState.HELD_BACK,
        "belt centre shell": PartState.SEWN,
    }
    coat = replace(coat, parts=tuple(replace(p, state=states.get(p.id, p.state)) for p in coat.parts))
    items = lay_items({"coat": coat}, CLOTH, Way.FOLDED)
    assert [item.parts for item in items] == [("coat/sleeve left shell",), ("coat/back centre shell",)]
    assert items[0].layers == 1
    assert items[0].mirrored
    assert "held back" in items[1].label


def test_only_parts_of_this_fabric_are_laid() -> None:
    lined = replace(SLEEVE, cuts=(Cut("shell"), Cut("lining"), Cut("mounting")))
    coat = garment(lined, shell="cloth", lining="silk")
    assert set(by_part(lay_items({"coat": coat}, CLOTH, Way.OPEN))) == {"coat/sleeve right shell", "coat/sleeve left shell"}
    silk = replace(CLOTH, id="silk")
    assert set(by_part(lay_items({"coat": coat}, silk, Way.OPEN))) == {"coat/sleeve right lining", "coat/sleeve left lining"}


def test_a_fabric_not_preshrunk_makes_pieces_larger_each_way() -> None:
    # By arithmetic: what loses 5 % must be cut 1 / 0.95 as long.
    raw = replace(CLOTH, preshrunk=False, shrink_along=0.05, shrink_across=0.02)
    plain = by_part(lay_items({"coat": garment(BELT, BACK)}, CLOTH, Way.FOLDED))
    grown = by_part(lay_items({"coat": garment(BELT, BACK)}, raw, Way.FOLDED))
    for part, item in plain.items():
        assert grown[part].outline.bounds.height == pytest.approx(item.outline.bounds.height / 0.95)
        assert grown[part].outline.bounds.width == pytest.approx(item.outline.bounds.width / 0.98)
    washed = replace(raw, preshrunk=True)
    same = by_part(lay_items({"coat": garment(BELT, BACK)}, washed, Way.FOLDED))
    assert {part: item.outline for part, item in same.items()} == {part: item.outline for part, item in plain.items()}


def test_shrinkage_follows_a_grain_that_is_drawn_aslant() -> None:
    raw = replace(CLOTH, preshrunk=False, shrink_along=0.1)
    square = shape((0, 0), (100, 0), (100, 100), (0, 100), allowance=0.0)
    aslant = replace(square, grain=(Point(0, 0), Point(100, 100)))
    piece = Piece("patch", "9", "Patch", (Cut("shell", How.SINGLE),), sizes={"M": aslant})
    (item,) = lay_items({"coat": garment(piece)}, raw, Way.OPEN)
    assert item.outline.area == pytest.approx(100 * 100 / 0.9)
    box = laid(item, item.turns[0]).bounds
    assert box.width == pytest.approx(100 * math.sqrt(2) / 0.9)
    assert box.height == pytest.approx(100 * math.sqrt(2))


def test_cards_are_rectangles() -> None:
    found = collect({"coat": garment(BELT)}, CLOTH, Way.OPEN)
    assert (found.items[0].outline.bounds.height, found.items[0].outline.bounds.width) == (900, 80)
    assert not found.findings
    on_fold = replace(BELT, cuts=(Cut("shell", How.FOLD),))
    (half,) = lay_items({"coat": garment(on_fold)}, CLOTH, Way.FOLDED)
    assert half.outline.bounds.width == 40
    assert half.fold is not None


def test_a_card_without_a_size_is_told_and_blocks_the_cutting() -> None:
    found = collect({"coat": garment(replace(BELT, rough={}), SLEEVE)}, CLOTH, Way.OPEN)
    assert len(found.items) == 2
    (finding,) = found.missing
    assert finding.code == "piece-without-size"
    assert [(block.act, block.what) for block in finding.blocks] == [("cut", "cloth")]


def test_a_fold_edge_off_the_grain_is_told() -> None:
    drawn = BACK.sizes["M"]
    crooked = replace(BACK, sizes={"M": replace(drawn, grain=(Point(-100, 100), Point(-80, 300)))})
    found = collect({"coat": garment(crooked)}, CLOTH, Way.FOLDED)
    assert [finding.code for finding in found.findings] == ["fold-off-grain"]
    assert not collect({"coat": garment(crooked)}, CLOTH, Way.OPEN).findings


def test_garments_are_named_where_several_share_a_fabric() -> None:
    coat, cloak = garment(SLEEVE), replace(garment(SLEEVE), id="cloak", name="Cloak")
    labels = {item.label for item in lay_items({"coat": coat, "cloak": cloak}, CLOTH, Way.OPEN)}
    assert labels == {"Coat: Sleeve right", "Coat: Sleeve left", "Cloak: Sleeve right", "Cloak: Sleeve left"}
