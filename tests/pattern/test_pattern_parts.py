"""Parts as cut, sewn lengths, levels and girths, in closed form."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_shapes import C, L, R, box, garment_of, piece, polygon, ref, seam, sector

from firsthand.errors import GeometryError, NotThere
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    CornerShape,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    How,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Notch,
    Part,
    Pleat,
    PleatKind,
    Shape,
    edge_fate,
    find_part,
    girth,
    level_width,
    opened,
    part_shape,
    sewn_at,
    sewn_length,
    take_up,
)
from firsthand.pattern._parts import flipped, opened_shape, ref_to, resolve

EXAMPLES = json.loads((File(__file__).parents[1] / "data" / "pleats-nimi.json").read_text(encoding="utf-8"))


# turning over and opening out ------------------------------------------------------------------------------------


def marked() -> Shape:
    """Half a back with a notch, a dart, a pleat, a line and a level, the fold at x = 0."""
    shape = polygon(
        [(0, 0), (120, -10), (100, 200), (0, 220)],
        ["hem", "side", "top", "fold"],
        corners=[CornerShape.MITRED, CornerShape.MIRRORED, CornerShape.SQUARED, CornerShape.MITRED],
        fates={"fold": FateKind.FOLD, "hem": FateKind.HEM},
    )
    return replace(
        shape,
        notches=(Notch("n", "side", 30.0),),
        darts=(Dart("d", "top", 40.0, 20.0, Point(60, 120)),),
        pleats=(Pleat("p", "hem", 25.0, 5.0),),
        lines=(
            InnerLine("pocket", InnerLineKind.PLACEMENT, Path.line(Point(20, 50), Point(60, 50))),
            InnerLine("middle", InnerLineKind.STITCHING, Path.line(Point(0, 20), Point(0, 60))),
        ),
        levels=(LevelLine("hip", Point(20, 60), Point(90, 60)), LevelLine("slant", Point(20, 100), Point(80, 110))),
    )


def test_turning_over_twice_gives_the_shape_back() -> None:
    assert flipped(flipped(marked())) == marked()


def test_a_part_of_the_other_hand_is_counter_clockwise_with_the_same_ids_in_the_mirror() -> None:
    shape, other = marked(), flipped(marked())
    assert other.outline.area == pytest.approx(shape.outline.area)
    assert {edge.id for edge in other.edges} == {edge.id for edge in shape.edges}
    for edge in shape.edges:
        image = other.edge(edge.id).path
        assert (image.start, image.end) == (
            Point(-edge.path.end.x, edge.path.end.y),
            Point(-edge.path.start.x, edge.path.start.y),
        )
    notch, again = shape.notches[0], other.notches[0]
    place, image = shape.edge("side").path.at(notch.at), other.edge("side").path.at(again.at)
    assert (image.x, image.y) == (pytest.approx(-place.x), pytest.approx(place.y))
    assert not other.pleats[0].towards_end
    corners = {edge.corner.id: edge.corner.shape for edge in other.edges}
    assert corners["before top"] is CornerShape.SQUARED_NEXT
    assert corners["before side"] is CornerShape.MIRRORED_LAST


def test_opening_out_doubles_area_and_marks_and_drops_the_fold() -> None:
    half = marked()
    whole = opened_shape(half, "fold")
    assert whole.outline.is_closed
    assert whole.outline.area == pytest.approx(2 * half.outline.area)
    assert [edge.id for edge in whole.edges] == ["hem", "side", "top", "top mirrored", "side mirrored", "hem mirrored"]
    assert {n.id: n.edge for n in whole.notches} == {"n": "side", "n mirrored": "side mirrored"}
    assert [d.id for d in whole.darts] == ["d", "d mirrored"]
    assert whole.darts[1].apex == Point(-60, 120)
    assert [line.id for line in whole.lines] == ["pocket", "middle", "pocket mirrored"]  # the one on the fold is not doubled
    assert len({edge.corner.id for edge in whole.edges}) == 6
    assert [line.level for line in whole.levels] == ["hip", "slant", "slant"]
    assert [whole.levels[0].a, whole.levels[0].b] == [Point(-90, 60), Point(90, 60)]


def test_opening_out_a_piece_opens_all_sizes_and_leaves_one_without_a_fold_alone() -> None:
    back = piece("back", marked(), Cut("shell", How.FOLD), fold="fold").in_size("M")
    whole = opened(back)
    assert (whole.fold, whole.cuts) == ("", (Cut("shell", How.SINGLE),))
    assert whole.bought == whole.shape == opened_shape(marked(), "fold")
    assert opened(whole) is whole
    assert opened(piece("card", None, Cut("shell", How.FOLD), fold="fold")).shape is None


def test_a_crooked_fold_is_opened_about_its_chord_and_one_that_is_not_there_is_refused() -> None:
    shape = polygon([(0, 0), (100, 0), (100, 200), (0, 200), (2, 100)], ["hem", "side", "top", "fold", "more"])
    bent = Edge("fold", Corner("f"), Path.line(Point(0, 200), Point(2, 100), Point(0, 0)), 0.0)
    crooked = replace(shape, edges=(*shape.edges[:3], bent))
    whole = opened_shape(crooked, "fold").outline
    assert (whole.area, whole.bounds.width) == (40_000.0, 200.0)
    nowhere = replace(bent, path=Path.line(Point(0, 200), Point(2, 100), Point(0, 200)))
    with pytest.raises(GeometryError, match="has no length"):
        opened_shape(replace(crooked, edges=(*crooked.edges[:3], nowhere)), "fold")
    with pytest.raises(NotThere):
        opened_shape(marked(), "centre")


def two_sided() -> Garment:
    pieces = [
        piece("back", marked(), Cut("shell", How.FOLD), Cut("lining", How.FOLD), fold="fold"),
        piece("sleeve", box(50, 80), Cut("shell", How.PAIR), Cut("lining", How.PAIR)),
        piece("cuff", box(50, 20), Cut("shell", How.SINGLE, 2)),
        piece("card", None, Cut("shell")),
    ]
    return garment_of(
        pieces, [seam("s", ["sleeve.right right"], ["sleeve.left right"]), seam("b", ["back.side left"], ["cuff.top"])]
    )


def test_parts_have_their_shapes() -> None:
    garment = two_sided()
    by_id = {part.id: part for part in garment.parts}
    assert part_shape(garment, by_id["back centre shell"]) == opened_shape(marked(), "fold")
    assert part_shape(garment, by_id["sleeve right shell"]) == box(50, 80)
    assert part_shape(garment, by_id["sleeve left lining"]) == flipped(box(50, 80))
    assert part_shape(garment, by_id["cuff centre shell no. 2"]) == box(50, 20)
    with pytest.raises(NotThere):
        part_shape(garment, by_id["card right shell"])


def test_references_find_their_edges_and_back() -> None:
    garment = two_sided()
    for words in ("back.side right", "back.top left", "sleeve.right left", "cuff.top 2"):
        found = resolve(garment, ref(words))
        assert found is not None
        assert ref_to(garment, found) == ref(words)
    left = resolve(garment, ref("back.side left"))
    assert left is not None
    assert left.edge == "side mirrored"
    for words in (
        "back.side",
        "back.fold right",
        "sleeve.right",
        "sleeve.wing right",
        "cuff.top 3",
        "cape.hem",
        "card.top right",
    ):
        assert resolve(garment, ref(words)) is None
    assert find_part(garment, EdgeRef("back", "side", L, "mounting")) is None


def test_fates() -> None:
    garment = two_sided()
    assert edge_fate(garment, ref("sleeve.right right")) == Fate(FateKind.SEAM)
    assert edge_fate(garment, ref("sleeve.right left")) is None
    assert edge_fate(garment, EdgeRef("sleeve", "right", R, "lining")) == Fate(FateKind.SEAM)  # as the shell
    assert edge_fate(garment, ref("back.hem right")) == Fate(FateKind.HEM)
    assert edge_fate(garment, ref("back.fold right")) == Fate(FateKind.FOLD)
    with pytest.raises(NotThere):
        edge_fate(garment, ref("back.wing right"))
    with pytest.raises(NotThere):
        edge_fate(garment, ref("cuff.top 3"))


# sewn lengths ----------------------------------------------------------------------------------------------------


def strip(length: float, **marks: object) -> Shape:
    return replace(box(length, 150), **marks)  # type: ignore[arg-type]


@pytest.mark.parametrize("example", EXAMPLES["entries"], ids=lambda e: e["id"])
def test_pleats_of_the_government_trade_practical(example: dict[str, dict[str, float]]) -> None:
    """NIMI *Dress Making* trade practical, pp. 203-204: the pleated cloth comes down to the section it is made for, in cm."""
    given_, stated = example["inputs"], example["stated"]
    kind = PleatKind.BOX if example["id"] == "PLE3" else PleatKind.KNIFE  # type: ignore[comparison-overlap]
    count, cloth = int(stated.get("n", 1)), stated["pattern"] * 10
    pleats = tuple(Pleat(f"p{k}", "top", (k + 0.5) * cloth / count, given_["depth"] * 10, kind) for k in range(count))
    shape = strip(cloth, pleats=pleats)
    assert sewn_length(shape, "top") == pytest.approx(given_["section"] * 10)
    if "pleat_stuff" in stated:
        assert take_up(shape, "top") == pytest.approx(stated["pleat_stuff"] * 10)


def test_darts_and_pleats_close_where_they_are() -> None:
    shape = strip(300, darts=(Dart("d", "bottom", 100, 20, Point(100, 90)),), pleats=(Pleat("p", "bottom", 200, 10),))
    assert sewn_length(shape, "bottom") == 260
    assert [sewn_at(shape, "bottom", at) for at in (0, 80, 90, 100, 110, 190, 210, 300)] == [0, 80, 90, 90, 90, 170, 170, 260]


def test_more_taken_up_than_there_is_and_senseless_widths_are_refused() -> None:
    with pytest.raises(GeometryError, match="only ⟨300 mm⟩"):
        sewn_length(strip(300, darts=(Dart("d", "top", 100, 301, Point(100, 90)),)), "top")
    for width in (-1.0, math.nan, math.inf):
        with pytest.raises(GeometryError):
            sewn_length(strip(300, darts=(Dart("d", "top", 100, width, Point(100, 90)),)), "top")
    with pytest.raises(NotThere):
        sewn_length(strip(300), "wing")


@given(st.floats(0, 300), st.floats(0, 300))
def test_sewn_positions_keep_their_order(one: float, two: float) -> None:
    shape = strip(300, darts=(Dart("d", "top", 100, 20, Point(100, 90)),), pleats=(Pleat("p", "top", 200, 10),))
    low, high = sorted((one, two))
    assert sewn_at(shape, "top", low) <= sewn_at(shape, "top", high) + 1e-9
    assert 0 <= sewn_at(shape, "top", low) <= sewn_length(shape, "top")


# levels and girths -----------------------------------------------------------------------------------------------


def test_a_level_is_run_on_to_the_outline_and_hollows_do_not_count() -> None:
    bay = polygon([(0, 0), (300, 0), (300, 200), (200, 200), (150, 50), (100, 200), (0, 200)])
    shape = replace(bay, levels=(LevelLine("x", Point(10, 125), Point(20, 125)),))
    assert level_width(shape, "x") == pytest.approx(250)  # half way up the hollow it is 50 wide
    assert level_width(shape, "y") is None


def test_a_level_that_a_shape_no_longer_reaches_has_no_width_rather_than_a_width_of_nothing() -> None:
    for height in (-40, 340):
        assert level_width(box(200, 300, level=height), "round") is None
    assert level_width(box(200, 300, level=0), "round") == pytest.approx(200)


def test_a_level_along_a_straight_edge_is_as_long_as_the_edge_and_its_dart_closes_wholly() -> None:
    shape = box(200, 300, level=300)
    assert level_width(shape, "round") == pytest.approx(200)
    assert level_width(replace(shape, darts=(Dart("d", "top", 90, 30, Point(110, 150)),)), "round") == pytest.approx(170)


@settings(max_examples=40)
@given(st.floats(151, 299))
def test_a_dart_takes_out_by_similar_triangles(height: float) -> None:
    shape = replace(box(200, 300, level=height), darts=(Dart("d", "top", 100, 30, Point(100, 150)),))
    assert level_width(shape, "round") == pytest.approx(200 - 30 * (height - 150) / 150)


@settings(max_examples=20)
@given(st.floats(1, 149))
def test_below_its_point_a_dart_takes_nothing(height: float) -> None:
    shape = replace(box(200, 300, level=height), darts=(Dart("d", "top", 100, 30, Point(100, 150)),))
    assert level_width(shape, "round") == pytest.approx(200)


def test_a_pleat_counts_as_far_as_it_stays_closed() -> None:
    pleat = Pleat("p", "top", 100, 10, reach=80)
    for height, width in ((300, 180), (250, 180), (225, 180), (215, 200), (50, 200)):
        assert level_width(replace(box(200, 300, level=height), pleats=(pleat,)), "round") == pytest.approx(width)
    loose = replace(pleat, reach=0.0)
    assert level_width(replace(box(200, 300, level=299), pleats=(loose,)), "round") == pytest.approx(200)
    assert level_width(replace(box(200, 300, level=300), pleats=(loose,)), "round") == pytest.approx(180)


def test_the_level_of_an_opened_piece_is_twice_that_of_the_half_even_where_it_runs_askew() -> None:
    half = marked()
    whole = opened_shape(half, "fold")
    for level in ("hip", "slant"):
        one = level_width(half, level)
        assert one is not None
        assert level_width(whole, level) == pytest.approx(2 * one)


def test_a_level_line_without_length_is_refused() -> None:
    with pytest.raises(GeometryError):
        level_width(replace(box(10, 10), levels=(LevelLine("x", Point(1, 1), Point(1, 1)),)), "x")


ROUND = Level("round", "Round", "waist_girth")


def test_the_girth_of_a_tube_is_its_width() -> None:
    tube = garment_of([piece("tube", box(640, 300, level=120))], levels=(ROUND,))
    assert girth(tube, ROUND).total == pytest.approx(640)


def test_girth_of_a_cone_frustum_in_closed_form() -> None:
    """A level that is an arc on the cone is straight on the piece here: the chord 2 R sin(angle / 2) at the middle height."""
    angle, height = math.radians(60), 350.0
    cone = garment_of([piece("gore", sector(200, 500, angle, level=height), Cut("shell", How.SINGLE, 4))], levels=(ROUND,))
    assert girth(cone, ROUND).total == pytest.approx(4 * 2 * height * math.tan(angle / 2), abs=0.01)


def test_a_printed_net_of_a_frustum_closes_to_its_two_diameters() -> None:
    """Diameters 5 and 8 in, height 4 in: net of radii 7.12 and 11.39 in over 126.4 degrees. Source: ceemrr.com, *The net of a
    frustum* (duct example), printed to two decimals."""
    inch = 25.4
    net = sector(7.12 * inch, 11.39 * inch, math.radians(126.4))
    assert sewn_length(net, "top") == pytest.approx(math.pi * 5 * inch, rel=1e-3)
    assert sewn_length(net, "bottom") == pytest.approx(math.pi * 8 * inch, rel=1e-3)
    assert sewn_length(net, "left") == pytest.approx(math.hypot(4, 1.5) * inch, rel=1e-3)


def body() -> Garment:
    front = piece("front", box(120, 300, level=100), Cut("shell", How.FOLD), Cut("lining", How.FOLD), fold="left", drawn=L)
    back = piece("back", box(110, 300, level=100), Cut("shell", How.PAIR), Cut("lining", How.PAIR))
    seams = [
        seam("side right", ["front.right right"], ["back.right right"]),
        seam("side left", ["front.right left"], ["back.right left"]),
        seam("back", ["back.left right"], ["back.left left"]),
    ]
    return garment_of([front, back], seams, levels=(ROUND,))


def test_hands_folds_and_roles_of_a_girth() -> None:
    summed = girth(body(), ROUND)
    assert summed.total == pytest.approx(2 * 120 + 2 * 110)  # linings add nothing
    assert [(term.part, round(term.width)) for term in summed.terms] == [
        ("front centre shell", 240), ("back right shell", 110), ("back left shell", 110),
    ]  # fmt: skip
    laced = replace(ROUND, extra=30.0)
    assert girth(body(), laced).total == pytest.approx(490)


def test_a_contrast_counts_and_a_facing_does_not() -> None:
    parts = [piece("yoke", box(100, 50, level=20), Cut("contrast")), piece("facing", box(100, 50, level=20), Cut("facing"))]
    assert girth(garment_of(parts), ROUND).total == pytest.approx(200)


def test_the_girth_of_a_limb_is_that_of_one_side() -> None:
    level = replace(ROUND, limb=True)
    pair = garment_of([piece("leg", box(250, 300, level=20), Cut("shell", How.PAIR))])
    assert girth(pair, level).total == pytest.approx(250)
    half = piece("sleeve", box(150, 300, level=20), Cut("shell", How.FOLD, 2), fold="left")
    assert girth(garment_of([half]), level).total == pytest.approx(300)


def test_a_girth_with_a_missing_piece_is_not_a_sum_but_names_it() -> None:
    whole = body()
    card = piece("back", None, Cut("shell", How.PAIR))
    summed = girth(garment_of([whole.pieces["front"], card], whole.seams), ROUND)
    assert (summed.total, summed.missing) == (None, ("back",))
    assert summed.terms
    other = replace(card, sizes={"S": box(110, 300, level=100)})
    assert girth(garment_of([whole.pieces["front"], other]), ROUND).missing == ("back",)
    assert girth(garment_of([piece("tube", box(10, 10))]), ROUND).total is None


def test_a_card_sewn_to_the_edge_that_a_level_runs_along_is_not_missed() -> None:
    skirt = piece("skirt", box(600, 300, level=300))
    band = piece("band", None, Cut("shell", How.SINGLE))
    garment = garment_of([skirt, band], [seam("waist", ["skirt.top"], ["band.bottom"])])
    assert girth(garment, ROUND).total == pytest.approx(600)


def test_parts_are_named_by_hand() -> None:
    assert Part("back", C, "shell").id == "back centre shell"
