"""Whole fabrics laid both ways, and what is told of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from firsthand.errors import BadInput, GeometryError
from firsthand.fabric import Fabric, Nap
from firsthand.findings import held
from firsthand.geometry import Path, Point
from firsthand.lay import FabricLays, LayItem, Placement, Way, lay_fabric, verify
from firsthand.lay import _fabric as fabric_room
from firsthand.lay import _open as open_room
from firsthand.lay._items import Collected
from firsthand.lay._placer import place, rows
from firsthand.lay._problem import make_problem, placements
from firsthand.lay._solver import Solver, SolverFailed
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    Fate,
    FateKind,
    Garment,
    How,
    Pattern,
    Piece,
    Rough,
    Shape,
    make_garment,
)  # fmt: skip

CLOTH = Fabric("cloth", "Melton", 1420, 10)


def garment(*pieces: Piece) -> Garment:
    return make_garment(Pattern("coat", "Coat", ("M",), {p.id: p for p in pieces}), "M", id="coat", roles={"shell": "cloth"})


def card(name: str, length: float, width: float, how: How = How.PAIR, count: int = 1) -> Piece:
    return Piece(name, "1", name.title(), (Cut("shell", how, count),), rough={"M": Rough(length, width)})


FRONT, BACK, SLEEVE = card("front", 700, 320), card("back", 700, 600, How.FOLD), card("sleeve", 600, 300)


def codes(lays: FabricLays) -> list[str]:
    return [finding.code for finding in lays.findings]


def test_both_ways_are_laid_and_the_shorter_is_meant() -> None:
    lays = lay_fabric({"coat": garment(FRONT, BACK, SLEEVE)}, CLOTH, seconds=1.2)
    assert {lay.way for lay in lays.lays} == {Way.OPEN, Way.FOLDED}
    assert lays.best is not None
    for lay in lays.lays:
        assert verify(lay, CLOTH) == ()
        assert lay.bound - 1e-6 <= lay.length
        assert (lay.gap, lay.seed, lay.seconds) == (2.0, 1, 1.2)
        assert lays.best.length <= lay.length + 1
        cut = [part for item in lay.items for part in item.parts]
        assert sorted(cut) == sorted(f"coat/{part.id}" for part in garment(FRONT, BACK, SLEEVE).parts)
    folded = next(lay for lay in lays.lays if lay.way is Way.FOLDED)
    backs = [p for p in folded.placements if folded.item(p.item).fold is not None]
    assert len(backs) == 1
    assert folded.width == 700
    # By hand: no three of them fit across 700 mm, so one of 600 lies behind one of 700, with the gap between.
    assert folded.length == pytest.approx(1302, abs=3)


def test_nap_lays_all_tops_one_way() -> None:
    napped = replace(CLOTH, nap=Nap.ONE_WAY)
    lays = lay_fabric({"coat": garment(FRONT, BACK, SLEEVE)}, napped, seconds=0.6)
    for lay in lays.lays:
        for placement in lay.placements:
            lower, upper = (placement.transform(end) for end in lay.item(placement.item).grain or ())
            assert upper.x > lower.x


@pytest.mark.parametrize(("on_hand", "code"), [(5000.0, "fabric-enough"), (500.0, "fabric-short"), (0.0, "")])
def test_what_is_on_hand_is_compared(on_hand: float, code: str) -> None:
    lays = lay_fabric({"coat": garment(FRONT)}, replace(CLOTH, on_hand=on_hand, shrink_along=0.5), seconds=0.4)
    assert lays.best is not None
    # By hand: two fronts of 700 lie side by side; half is lost in the wash, so 1400 must be there.
    assert lays.best.length == pytest.approx(700)
    assert codes(lays) == ["lay-length", *([code] if code else [])]
    if code == "fabric-short":
        finding = lays.findings[-1]
        assert "⟨900 mm⟩ short" in finding.message
        assert [(block.act, block.what) for block in finding.blocks] == [("cut", "cloth")]
        assert finding.why[0] == "No lay can be short enough."


def half(*corners: tuple[float, float], middle: float = 0.0) -> Piece:
    """A back on the fold, whose fold edge, the first one, is moved over in its middle."""
    points = [Point(*corner) for corner in corners]
    paths = [Path.line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    if middle:
        paths[0] = Path.line(points[0], points[0].towards(points[1], 0.5) + Point(middle, 0), points[1])
    fates = [Fate(FateKind.FOLD), *[Fate(FateKind.RAW)] * (len(points) - 1)]
    edges = tuple(Edge(f"e{k}", Corner(f"c{k}"), path, fate=fates[k]) for k, path in enumerate(paths))
    shape = Shape(edges, (Point(-100, 100), Point(-100, 300)))
    return Piece("back", "2", "Back", (Cut("shell", How.FOLD),), fold="e0", sizes={"M": shape})


SOUND = ((0, 0), (0, 600), (-200, 580), (-250, 0))


@pytest.mark.parametrize("middle", [0.0, 0.03, -0.03])
def test_a_fold_edge_bent_by_a_hair_is_laid_on_the_fold(middle: float) -> None:
    lays = lay_fabric({"coat": garment(FRONT, half(*SOUND, middle=middle))}, CLOTH, seconds=0.4)
    assert codes(lays) == ["lay-length"]
    assert {lay.way for lay in lays.lays} == {Way.OPEN, Way.FOLDED}
    assert all(verify(lay, CLOTH) == () for lay in lays.lays)


def test_a_piece_that_cannot_be_laid_is_told_left_out_and_blocks_laying_and_cutting() -> None:
    lays = lay_fabric({"coat": garment(FRONT, half(*SOUND, middle=0.2))}, CLOTH, seconds=0.4)
    found = [finding for finding in lays.findings if finding.code == "piece-not-laid"]
    assert len(found) == 1
    assert found[0].message == "Back cannot be laid: fold edge 'e0' is not straight: it strays ⟨0.2 mm⟩."
    assert found[0].where == ("coat", "back")
    assert [(block.act, block.what) for block in found[0].blocks] == [("cut", "cloth"), ("lay", "cloth")]
    assert {lay.way for lay in lays.lays} == {Way.OPEN, Way.FOLDED}
    for lay in lays.lays:
        assert {part for item in lay.items for part in item.parts} == {"coat/front right shell", "coat/front left shell"}


def test_a_lay_that_lacks_a_piece_is_not_offered_beside_one_that_has_it() -> None:
    # its side reaches over the fold by less than anybody could cut, and yet by more than the cloth has
    over = half((0, 0), (0, 400), (0.03, 600), (-200, 580), (-250, 0))
    shape = over.sizes["M"]
    bare = replace(shape, edges=tuple(replace(edge, allowance=0.0) for edge in shape.edges))
    lays = lay_fabric({"coat": garment(FRONT, replace(over, sizes={"M": bare}))}, CLOTH, seconds=0.4)
    assert [lay.way for lay in lays.lays] == [Way.OPEN]
    assert codes(lays) == ["fold-not-laid", "lay-length"]
    assert "Back cannot be laid on Melton folded" in lays.findings[0].message


def test_a_piece_without_size_blocks_the_lay_and_one_too_wide_for_the_fold_does_not() -> None:
    bare = Piece("pocket", "3", "Pocket", (Cut("shell", How.SINGLE),))
    broad = card("cape", 600, 900, How.SINGLE)
    lays = lay_fabric({"coat": garment(broad, bare)}, CLOTH, seconds=0.4)
    blocks = {finding.code: [(block.act, block.what) for block in finding.blocks] for finding in lays.findings}
    assert blocks["piece-without-size"] == [("cut", "cloth"), ("lay", "cloth")]
    assert blocks["fold-too-narrow"] == []


def test_an_item_that_encloses_nothing_is_told_too(monkeypatch: pytest.MonkeyPatch) -> None:
    flat = LayItem("coat/tape", "Tape", Path.line(Point(0, 0), Point(0, 50), Point(0, 0)), ("coat/tape centre shell",))
    real = fabric_room.collect

    def with_tape(garments: Mapping[str, Garment], fabric: Fabric, way: Way) -> Collected:
        found = real(garments, fabric, way)
        return replace(found, items=(*found.items, flat))

    monkeypatch.setattr(fabric_room, "collect", with_tape)
    lays = lay_fabric({"coat": garment(FRONT)}, CLOTH, seconds=0.4)
    assert codes(lays)[0] == "piece-not-laid"
    assert lays.findings[0].where == ("cloth", "coat/tape")
    assert held(lays.findings, "lay") == ("lay cloth",)
    assert lays.best is not None
    with pytest.raises(GeometryError, match="with an area"):
        make_problem([flat], 1400, 2.0)


def test_a_piece_wider_than_the_fabric_is_named_and_the_others_are_laid() -> None:
    wide = card("cape", 600, 1500, How.SINGLE)
    lays = lay_fabric({"coat": garment(FRONT, wide)}, CLOTH, seconds=0.4)
    (finding,) = [finding for finding in lays.findings if finding.code == "piece-wider-than-fabric"]
    assert "Cape" in finding.message
    assert "⟨1500 mm⟩" in finding.message
    assert "⟨1400 mm⟩" in finding.message
    assert finding.remedy.startswith("Cut it crosswise")
    assert [(block.act, block.what) for block in finding.blocks] == [("cut", "cloth"), ("lay", "cloth")]
    assert lays.best is not None
    assert {part for item in lays.best.items for part in item.parts} == {"coat/front right shell", "coat/front left shell"}


@pytest.mark.parametrize(
    ("length", "width", "remedy"),
    [(5.0, 1401.0, "2.5° off the grain"), (1500.0, 1500.0, "Put a seam in it, or take a fabric of ⟨1500 mm⟩ usable width.")],
)
def test_the_smallest_change_that_helps_is_said(length: float, width: float, remedy: str) -> None:
    lays = lay_fabric({"coat": garment(card("cape", length, width, How.SINGLE))}, CLOTH, seconds=0.4)
    assert lays.best is None
    assert any(remedy in finding.remedy for finding in lays.findings if finding.code == "piece-wider-than-fabric")


def test_a_piece_wider_than_the_doubled_cloth_leaves_the_open_lay() -> None:
    lays = lay_fabric({"coat": garment(card("skirt", 600, 800))}, CLOTH, seconds=0.4)
    assert [lay.way for lay in lays.lays] == [Way.OPEN]
    assert "fold-too-narrow" in codes(lays)


def test_nothing_to_lay_is_no_lay() -> None:
    assert lay_fabric({}, CLOTH).best is None
    assert lay_fabric({"coat": garment(FRONT)}, replace(CLOTH, id="silk")) == FabricLays("silk", ())


def test_progress_is_told_and_can_stop_the_search() -> None:
    heard: list[tuple[Way, float]] = []

    def stop(way: Way, length: float) -> bool:
        heard.append((way, length))
        return False

    lays = lay_fabric({"coat": garment(FRONT, BACK, SLEEVE, card("cuff", 110, 240, count=8))}, CLOTH, seconds=60, progress=stop)
    assert heard
    assert all(math.isfinite(length) for _, length in heard)
    assert lays.best is not None
    assert verify(lays.best, CLOTH) == ()


@pytest.mark.parametrize(
    "wrong", [{"seconds": 0}, {"seconds": math.nan}, {"seed": -1}, {"workers": 0}, {"gap": -1}, {"gap": math.inf}]
)
def test_senseless_options_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(BadInput):
        lay_fabric({"coat": garment(FRONT)}, CLOTH, **wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "wrong", [{"width": 0}, {"width": math.nan}, {"selvedge": 800}, {"preshrunk": False, "shrink_along": 1.0}]
)
def test_senseless_fabrics_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(BadInput):
        lay_fabric({"coat": garment(FRONT)}, replace(CLOTH, **wrong))  # type: ignore[arg-type]


# the engines by themselves ----------------------------------------------------------------------------------------


def block(name: str, length: float, width: float, demand: int = 1, **change: object) -> LayItem:
    corners = [Point(0, 0), Point(length, 0), Point(length, width), Point(0, width)]
    return replace(LayItem(name, name, Path.polygon(corners), demand=demand), **change)  # type: ignore[arg-type]


def test_our_placer_tiles_exactly_and_repeats_itself() -> None:
    items = [block("a", 50, 100, 6), block("b", 100, 50, 6)]
    problem = make_problem(items, 300, 0.0, slimness=0.0)
    one, two = (place(problem, seconds=60, seed=7, orders=12) for _ in range(2))
    assert one == two
    assert one.length == pytest.approx(200)
    assert len(rows(problem).spots) == 12


def test_our_placer_keeps_the_gap_on_the_fold() -> None:
    # Cards for the fold next to blocks: every distance is at least the gap, looked at by the independent check.
    fold = (Point(0, 0), Point(90, 0))
    half = block("half", 90, 40, 2, fold=fold, layers=2)
    items = (half, block("pair", 60, 35, 5, layers=2, flips=True))
    from firsthand.lay import Lay

    problem = make_problem(items, 120, 0.5, slimness=0.0)
    best = place(problem, seconds=60, seed=1, orders=10)
    laid = Lay("", Way.FOLDED, 120, best.length, items, placements(problem, best), gap=0.5)
    assert verify(laid) == ()
    assert best.length == pytest.approx(181 + 1, abs=1.5)


def test_the_solver_is_ended_and_keeps_its_best() -> None:
    problem = make_problem([block("a", 50, 90, 9), block("b", 37, 41, 9)], 300, 0.0, slimness=0.0)
    with Solver(problem, seconds=600, seed=1, processes=1) as solver:
        while solver.running and solver.length == math.inf:
            solver.wait(0.05)
        best = solver.gather()
    assert len(best.spots) == 18


def test_where_the_solver_fails_our_placer_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise SolverFailed("PanicException: no")

    monkeypatch.setattr(Solver, "gather", fail)
    problem = make_problem([block("a", 50, 100, 12)], 300, 0.0, slimness=0.0)
    found = open_room.lay_open(problem, seconds=0.4, seed=1, workers=1, check=lambda *_: True)
    assert (found.engine, found.sound) == ("placer", True)
    assert found.length == pytest.approx(200)


def test_an_unsound_lay_is_dropped_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def shifted(problem: object, solution: object) -> tuple[Placement, ...]:
        return tuple(replace(p, x=p.x + 1.0) for p in placements(problem, solution))  # type: ignore[arg-type]

    monkeypatch.setattr(open_room, "placements", shifted)
    lays = lay_fabric({"coat": garment(FRONT)}, CLOTH, seconds=0.4)
    assert lays.lays == ()
    assert codes(lays).count("lay-unsound") == 2
