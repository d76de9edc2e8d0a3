"""Pleats and tucks put into pieces: cloth slashed in, folded edges that are what they were, widths at levels."""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import ALTERATIONS, AddPleats, AddTucks, Alteration, Lengthen, Scale, apply_stack
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.geometry import Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Garment,
    Hand,
    How,
    InnerLineKind,
    Level,
    LevelLine,
    Notch,
    Pattern,
    Piece,
    PleatKind,
    Seam,
    Shape,
    cut_outline,
    folded_edge,
    level_width,
    make_garment,
    sewn_length,
    walk_seam,
)

DATA = File(__file__).parent.parent / "data"
NIMI = {entry["id"]: entry for entry in json.loads((DATA / "pleats-nimi.json").read_text("utf-8"))["entries"]}
SKIRT = {entry["id"]: entry for entry in json.loads((DATA / "pleats-skirt.json").read_text("utf-8"))["entries"]}
INCH = 25.4
Maker = Callable[..., Garment]


def skirt_shape(waist: Path, hem: Path, *levels: float) -> Shape:
    """A panel between a waist that runs from right to left and a hem that runs from left to right."""
    paths = {
        "hem": hem, "side": Path.line(hem.end, waist.start), "waist": waist, "centre": Path.line(waist.end, hem.start),
    }  # fmt: skip
    edges = tuple(Edge(name, Corner(f"{name} corner"), path) for name, path in paths.items())
    lines = tuple(LevelLine(f"level {k}", Point(10, y), Point(30, y)) for k, y in enumerate(levels, 1))
    middle = (waist.start + hem.start) * 0.5
    return Shape(edges, (Point(middle.x, 100), Point(middle.x, 300)), levels=lines)


def skirt(shape: Shape, *, fold: bool = False) -> Garment:
    """A skirt of one panel and the band that is sewn to its waist."""
    width = sewn_length(shape, "waist")
    band = Shape(
        tuple(
            Edge(name, Corner(name), Path.line(a, b))
            for name, a, b in (
                ("bottom", Point(0, 0), Point(width, 0)), ("end", Point(width, 0), Point(width, 40)),
                ("top", Point(width, 40), Point(0, 40)), ("start", Point(0, 40), Point(0, 0)),
            )
        ),
        (Point(20, 5), Point(20, 35)),
    )  # fmt: skip
    how = How.FOLD if fold else How.PAIR
    pieces = {
        "panel": Piece("panel", "1", "Panel", (Cut("shell", how),), sizes={"M": shape}, fold="centre" if fold else ""),
        "band": Piece("band", "2", "Band", (Cut("shell", How.PAIR),), sizes={"M": band}),
    }
    seams = tuple(
        Seam(f"waist {hand.value}", (EdgeRef("panel", "waist", hand),), (EdgeRef("band", "bottom", hand),))
        for hand in (Hand.RIGHT, Hand.LEFT)
    )
    levels = tuple(Level(line.level, line.level, "hip_girth") for line in shape.levels)
    return make_garment(Pattern("skirt", "Skirt", ("M",), pieces, seams, levels), "M", id="skirt", sort="skirt")


def straight(width: float = 300.0, length: float = 500.0, *levels: float) -> Garment:
    return skirt(
        skirt_shape(Path.line(Point(width, length), Point(0, length)), Path.line(Point(0, 0), Point(width, 0)), *levels)
    )


def panel(garment: Garment) -> Shape:
    return garment.piece("panel").drawn_shape


def same_form(one: Path, two: Path) -> float:
    """How far two paths are from being the same but for where they lie, mm: by the distances between their points."""
    shares = [k / 12 for k in range(13)]
    a, b = ([path.at(path.length * share) for share in shares] for path in (one, two))
    return max(abs(p.distance(q) - r.distance(s)) for p, r in zip(a, b, strict=True) for q, s in zip(a, b, strict=True))


def test_cloth_is_added_and_every_seam_still_fits() -> None:
    before = straight()
    altered = AddPleats(piece="panel", edge="waist", depth=20, count=3, to="hem", id="p").apply(before)
    shape = panel(altered.garment)
    assert [pleat.id for pleat in shape.pleats] == ["pleat 1", "pleat 2", "pleat 3"]
    assert shape.edge("waist").path.length == pytest.approx(420)
    assert shape.edge("hem").path.length == pytest.approx(420)
    assert sewn_length(shape, "waist") == pytest.approx(300)
    gaps = [walk_seam(altered.garment, seam).difference for seam in altered.garment.seams]
    assert gaps == pytest.approx([0.0, 0.0])
    assert altered.record.figures == {"depth": 20, "each takes up": 40, "all take up": 120}
    assert altered.record.words == "3 pleats (knife) ⟨20 mm⟩ deep at panel.waist, ⟨120 mm⟩ of cloth added"
    # half a space, then space by space, on the folded edge and the cloth alike
    assert sorted(pleat.at for pleat in shape.pleats) == pytest.approx([50 + 20, 150 + 60, 250 + 100])
    folds = [line for line in shape.lines if line.kind is InnerLineKind.FOLD]
    assert len(folds) == 6
    assert all(line.path.length == pytest.approx(500) for line in shape.lines)
    x = sorted({round(line.path.start.x, 6) for line in shape.lines})
    assert [b - a for a, b in itertools.pairwise(x)] == pytest.approx([20, 20, 100, 20, 20, 100, 20, 20])


@pytest.mark.parametrize("form", PleatKind)
@settings(max_examples=25, deadline=None)
@given(
    rise=st.floats(-40, 40), bow=st.floats(-15, 15), flare=st.floats(0, 120), count=st.integers(1, 5), depth=st.floats(2, 40),
    far=st.floats(0, 50), towards_end=st.booleans(),
)  # fmt: skip
def test_folding_gives_the_edge_as_it_was(
    form: PleatKind, rise: float, bow: float, flare: float, count: int, depth: float, far: float, towards_end: bool
) -> None:
    waist = Path.curve(Point(300, 600 + rise), Point(200, 600 + rise + bow), Point(100, 600 + bow), Point(0, 600))
    garment = skirt(skirt_shape(waist, Path.line(Point(-flare, 0), Point(300 + flare, 0)), 300.0))
    entry = AddPleats(
        piece="panel", edge="waist", depth=depth, count=count, to="hem", form=form, towards_end=towards_end,
        depths=(("level 1", (depth + far) / 2),), closed=150.0,
    )  # fmt: skip
    try:
        altered = entry.apply(garment)
    except CannotAlter:
        return  # a level on a slanting line is not crossed half way: the far end would come out below nothing
    shape = panel(altered.garment)
    folded = folded_edge(shape, "waist")
    assert folded.length == pytest.approx(waist.length, abs=1e-4)
    assert same_form(folded, waist) < 1e-4
    assert sewn_length(shape, "waist") == pytest.approx(waist.length, abs=1e-4)
    assert cut_outline(altered.garment, altered.garment.parts[0]).outline.is_closed


def test_a_hinged_pleat_leaves_the_other_edge_alone() -> None:
    garment = straight(300.0, 500.0, 250.0)
    altered = AddPleats(piece="panel", edge="waist", depth=20, to="hem", depths=(("level 1", 10.0),), closed=400).apply(garment)
    shape = panel(altered.garment)
    assert shape.edge("hem").path.length == pytest.approx(300, abs=1e-6)
    (pleat,) = shape.pleats
    assert pleat.depth_at(250) == pytest.approx(10, abs=0.02)
    assert pleat.depth_at(500) == pytest.approx(0, abs=0.02)
    assert level_width(shape, "level 1") == pytest.approx(300, abs=0.6)  # a straight line over two halves, one of them turned


def test_a_box_pleat_of_the_trade_practical() -> None:
    """NIMI *Dress Making* trade practical, p. 204: one box pleat 12 cm deep in a section of 60 cm needs 108 cm."""
    given_, stated = NIMI["PLE3"]["inputs"], NIMI["PLE3"]["stated"]
    altered = AddPleats(piece="panel", edge="waist", depth=given_["depth"] * 10, form=PleatKind.BOX).apply(
        straight(given_["section"] * 10, 500)
    )
    shape = panel(altered.garment)
    assert shape.edge("waist").path.length == pytest.approx(stated["pattern"] * 10)
    assert shape.pleats[0].visible == pytest.approx(2 * given_["depth"] * 10)


@pytest.mark.parametrize("name", ["PLE1", "PLE2"])
def test_knife_pleats_of_the_trade_practical(name: str) -> None:
    """NIMI *Dress Making* trade practical, pp. 203-204: 18 pleats 4 cm deep in 92 cm need 236 cm."""
    given_, stated = NIMI[name]["inputs"], NIMI[name]["stated"]
    count = int(stated["n"])
    altered = AddPleats(piece="panel", edge="waist", depth=given_["depth"] * 10, count=count).apply(
        straight(given_["section"] * 10, 500)
    )
    shape = panel(altered.garment)
    assert shape.edge("waist").path.length == pytest.approx(stated["pattern"] * 10)
    assert folded_edge(shape, "waist").length == pytest.approx(given_["section"] * 10)
    if "width_corr" in stated:
        ats = [pleat.at for pleat in shape.pleats]
        shown = ats[1] - ats[0] - 2 * given_["depth"] * 10
        assert shown == pytest.approx(stated["width_corr"] * 10, abs=0.2)


def test_a_cloth_comes_down_to_the_body_at_three_levels() -> None:
    """Conover, *A Complete Course in Dressmaking*, vol. 5, pp. 63-69: half a skirt of 44 in of cloth in eight pleats.

    The first pleat takes up 2 1/8 in all the way, the other seven what is left at each level.
    """
    given_, stated = SKIRT["PLE6"]["inputs"], SKIRT["PLE6"]["stated"]
    garment = straight(given_["half_cloth"] * INCH, 900.0, 720.0, 0.0)
    fixed, rest = given_["first_pleat"], int(given_["pleats"]) - 1
    each = {name: (stated[name] - fixed) / rest * INCH / 2 for name in ("waist", "hip", "hem")}
    assert each["hip"] * 2 == pytest.approx(stated["hip_each"] * INCH)
    edge = panel(garment).edge("waist").path.length
    first = AddPleats(piece="panel", edge="waist", depth=fixed * INCH / 2, start="start", end="6 cm", closed=900, added=False)
    others = AddPleats(
        piece="panel", edge="waist", depth=each["waist"], count=rest, start="6.5 cm", end=f"{edge - 1} mm", closed=900,
        depths=(("level 1", each["hip"]), ("level 2", each["hem"])), added=False,
    )  # fmt: skip
    result = apply_stack(garment, [replace(first, id="first"), replace(others, id="others")])
    shape = panel(result.garment)
    assert sewn_length(shape, "waist") == pytest.approx(given_["half_waist"] * INCH)
    assert level_width(shape, "level 1") == pytest.approx(given_["half_hip"] * INCH)
    assert level_width(shape, "level 2") == pytest.approx(given_["half_hem"] * INCH)
    assert shape.edge("waist").path == panel(garment).edge("waist").path


def test_tucks_stitched_all_the_way_leave_both_edges_as_they_are_sewn() -> None:
    garment = straight(300.0, 500.0, 250.0, 500.0, 0.0)
    altered = AddTucks(piece="panel", edge="waist", depth=5, count=10, to="hem").apply(garment)
    shape = panel(altered.garment)
    assert shape.edge("waist").path.length == pytest.approx(400)
    for edge in ("waist", "hem"):
        assert sewn_length(shape, edge) == pytest.approx(300)
        assert folded_edge(shape, edge).length == pytest.approx(300)
    assert [level_width(shape, f"level {k}") for k in (1, 2, 3)] == pytest.approx([300, 300, 300])
    sewn = [line for line in shape.lines if line.kind is InnerLineKind.STITCHING]
    assert len(sewn) == 20
    assert {round(line.path.length, 6) for line in sewn} == {500.0}
    ways = {pleat.edge: pleat.towards_end for pleat in shape.pleats}
    assert ways == {"waist": True, "hem": False}  # the same way across the piece


def test_tucks_stitched_for_a_while_open_below() -> None:
    garment = straight(300.0, 500.0, 450.0, 250.0)
    altered = AddTucks(piece="panel", edge="waist", depth=5, count=4, stitched=100).apply(garment)
    shape = panel(altered.garment)
    assert [level_width(shape, f"level {k}") for k in (1, 2)] == pytest.approx([300, 340])
    assert sewn_length(shape, "hem") == pytest.approx(340)
    lengths = {line.kind: round(line.path.length, 6) for line in shape.lines}
    assert lengths == {InnerLineKind.STITCHING: 100.0, InnerLineKind.FOLD: 500.0}
    narrower = AddTucks(piece="panel", edge="waist", depth=5, count=4, added=False).apply(garment)
    assert sewn_length(panel(narrower.garment), "waist") == pytest.approx(260)
    assert "shorter sewn" in narrower.record.words


def test_pleats_between_two_places_run_to_two_other_places() -> None:
    garment = straight()
    altered = AddPleats(
        piece="panel", edge="waist", depth=10, count=2, start="5 cm", end="15 cm", to="hem", to_start="10 cm", to_end="-10 cm"
    ).apply(garment)
    shape = panel(altered.garment)
    for pleat, far in zip(shape.pleats, (175.0, 125.0), strict=True):
        assert pleat.towards is not None
        lean = pleat.towards - shape.edge("waist").path.at(pleat.at)
        near = 300 - (75.0 if pleat.id == "pleat 1" else 125.0)
        assert abs(lean.x / lean.y) == pytest.approx(abs(near - far) / 500, abs=1e-6)
    assert folded_edge(shape, "waist").length == pytest.approx(300)


def test_a_piece_on_the_fold_keeps_its_fold() -> None:
    waist, hem = Path.line(Point(0, 500), Point(-300, 520)), Path.line(Point(-300, 0), Point(0, 0))
    paths = {"hem": hem, "centre": Path.line(hem.end, waist.start), "waist": waist, "side": Path.line(waist.end, hem.start)}
    shape = Shape(tuple(Edge(n, Corner(n), p) for n, p in paths.items()), (Point(-290, 100), Point(-290, 300)))
    garment = skirt(shape, fold=True)
    altered = AddPleats(piece="panel", edge="waist", depth=15, count=2, to="hem", form=PleatKind.INVERTED).apply(garment)
    now = panel(altered.garment)
    assert now.edge("centre").path == shape.edge("centre").path
    whole = cut_outline(altered.garment, altered.garment.parts_of("panel")[0], opened=True).outline.bounds
    assert whole.width == pytest.approx(2 * (300 + 120 + 15))
    across = AddTucks(
        piece="panel", edge="side", depth=5, count=3, to="centre", start="10 cm", end="-10 cm", to_start="10 cm", to_end="42 cm"
    ).apply(garment)
    tucked = panel(across.garment)
    assert tucked.edge("centre").path.start.x == tucked.edge("centre").path.end.x == 0
    with pytest.raises(CannotAlter, match="no longer be straight"):
        AddTucks(piece="panel", edge="side", depth=5, count=3, to="centre", to_start="20 cm").apply(garment)
    with pytest.raises(CannotAlter, match="lies on the fold"):
        AddTucks(piece="panel", edge="centre", depth=5, to="side").apply(garment)


def test_what_is_marked_on_the_piece_goes_along() -> None:
    garment = straight(300.0, 500.0, 250.0)
    marked = replace(panel(garment), notches=(Notch("n1", "waist", 200.0), Notch("n2", "side", 100.0)))
    garment = garment.with_piece(replace(garment.piece("panel"), shape=marked))
    result = apply_stack(
        garment,
        [
            AddPleats(piece="panel", edge="waist", depth=20, count=2, to="hem", id="one"),
            Scale(printed=100, measured=80, pieces=("panel",), id="two"),
            AddPleats(piece="panel", edge="waist", depth=5, start="notch n1", end="notch n1 ", to="hem", id="off", off=True),
        ],
    )
    shape = panel(result.garment)
    factor = 1.25
    assert [notch.at for notch in shape.notches] == pytest.approx([(200 + 40) * factor, 100 * factor])
    assert [pleat.depth for pleat in shape.pleats] == pytest.approx([25.0, 25.0])
    assert folded_edge(shape, "waist").length == pytest.approx(300 * factor)
    record = result.records[0]
    assert (record.position("panel", "waist", 200.0) or ("", "", 0.0))[2] == pytest.approx(240.0)
    assert (record.position("panel", "hem", 290.0) or ("", "", 0.0))[2] == pytest.approx(370.0)


def test_pleats_go_along_with_what_is_altered_after_them() -> None:
    garment = straight(300.0, 500.0, 250.0)
    entries: list[Alteration] = [
        AddPleats(piece="panel", edge="waist", depth=20, to="hem", depths=(("level 1", 15.0),), closed=200, id="one"),
        Lengthen(amount=50, level="level 1", id="two"),
        Scale(printed=100, measured=50, pieces=("panel",), id="three"),
    ]
    before, longer, larger = (panel(apply_stack(garment, entries[:k]).garment).pleats[0] for k in (1, 2, 3))
    assert before.towards is not None
    assert longer.towards == before.towards  # the hem stays where it is, and what is above the level goes up
    assert larger.towards == before.towards * 2
    assert larger.depths == tuple((place * 2, depth * 2) for place, depth in before.depths)
    assert (larger.depth, larger.reach) == (before.depth * 2, 400)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"count": 0}, "0 of them cannot be meant"),
        ({"count": 1000}, "1000 of them"),
        ({"depth": 0.0}, "a pleat ⟨0 mm⟩ deep is none"),
        ({"depth": -5.0}, "is none"),
        ({"depth": 900.0}, "more than can be meant"),
        ({"closed": -1.0}, "cannot be closed"),
        ({"start": "10 cm", "end": "10 cm"}, "one and the same"),
        ({"to": "waist"}, "from waist to itself"),
        ({"edge": "side"}, "side runs with the grain"),
        ({"depths": (("level 2", 4.0),)}, "runs along the edge"),
        ({"depths": (("level 1", 4.0), ("level 3", 5.0))}, "cannot have two more depths"),
        ({"depths": (("level 1", 4.0),)}, "would end before the other edge"),
        ({"depths": (("level 9", 4.0),)}, "does not cross the level level 9"),
        ({"added": False, "count": 6, "depth": 30.0}, "at most ⟨25 mm⟩"),
    ],
)
def test_what_cannot_be_is_refused_and_says_why(changes: dict[str, object], words: str) -> None:
    garment = straight(300.0, 500.0, 250.0, 500.0, 100.0)
    entry = AddPleats(**({"piece": "panel", "edge": "waist", "depth": 20.0} | changes))  # type: ignore[arg-type]
    with pytest.raises(CannotAlter) as error:
        entry.apply(garment)
    assert words in str(error.value)


def test_names_and_numbers_without_sense_are_refused() -> None:
    garment = straight()
    for changes in ({"piece": "wing"}, {"edge": "wing"}, {"to": "wing"}, {"start": "notch wing"}):
        with pytest.raises(NotThere):
            AddPleats(**({"piece": "panel", "edge": "waist", "depth": 20.0} | changes)).apply(garment)  # type: ignore[arg-type]
    with pytest.raises(GeometryError):
        AddPleats(piece="panel", edge="waist", depth=math.nan).apply(garment)
    with pytest.raises(CannotAlter):
        AddTucks(piece="panel", edge="waist", depth=5, stitched=math.nan).apply(garment)
    assert ALTERATIONS["pleat"] is AddPleats
    assert ALTERATIONS["tuck"] is AddTucks
