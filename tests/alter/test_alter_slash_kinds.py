"""Slash, flare and fullness, as they are written in a stack."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from cut_shapes import assert_sound, gore, lengths
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.alter import Flare, Fullness, SlashAndSpread, apply_stack
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter, FirsthandError, GeometryError, NotThere
from firsthand.geometry import Line, Path, Point
from firsthand.pattern import (
    Corner,
    Cut,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Pattern,
    Piece,
    Seam,
    SeamKind,
    Shape,
    make_garment,
    walk_seam,
)  # fmt: skip

Maker = Callable[..., Garment]
INCH = 25.4
CROSSED = (("hem at 40 %", "waist at 40 %"), ("hem at 60 %", "waist at 60 %"))


def rectangle(width: float, height: float, *, hem: bool = True) -> Shape:
    corners = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    names = ("hem", "side", "waist", "centre")
    fates = (Fate(FateKind.HEM, 30.0) if hem else None, None, None, None)
    edges = tuple(
        Edge(n, Corner(n), Path((Line(a, b),)), fate=f)
        for n, a, b, f in zip(names, corners, (*corners[1:], corners[0]), fates, strict=True)
    )
    return Shape(edges, (Point(width / 4, 20), Point(width / 4, height - 20)))


def skirt(waist: float = 360.0, length: float = 600.0) -> Garment:
    """A front and a back on the fold, a waistband as long as both: all straight."""
    halves = {name: rectangle(waist / 2, length) for name in ("front", "back")}
    pieces = {
        n: Piece(n, n, n, (Cut("shell", How.FOLD), Cut("lining", How.FOLD)), sizes={"M": s}, fold="centre")
        for n, s in halves.items()
    }
    pieces["band"] = Piece("band", "3", "Band", (Cut("shell", How.SINGLE),), sizes={"M": rectangle(2 * waist, 60.0, hem=False)})
    right, left = Hand.RIGHT, Hand.LEFT
    waists = tuple(EdgeRef(p, "waist", h) for p, h in (("front", left), ("front", right), ("back", right), ("back", left)))
    seams = (
        Seam("side right", (EdgeRef("front", "side", right),), (EdgeRef("back", "side", right),)),
        Seam("side left", (EdgeRef("front", "side", left),), (EdgeRef("back", "side", left),)),
        Seam("waist", (EdgeRef("band", "hem"),), waists),
    )
    return make_garment(Pattern("skirt", "Skirt", ("M",), pieces, seams), "M", id="skirt", sort="skirt")


def drawn(garment: Garment, name: str = "front") -> Shape:
    return garment.piece(name).drawn_shape


def one_gore(shape: Shape | None = None) -> Garment:
    piece = Piece("gore", "1", "Gore", (Cut("shell", How.SINGLE, 6),), sizes={"M": shape or gore()})
    return make_garment(Pattern("gores", "Gores", ("M",), {"gore": piece}), "M", id="gores", sort="skirt")


# slash -----------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(spread=st.floats(1, 25), far=st.one_of(st.just(0.0), st.floats(0, 10)), count=st.integers(1, 5))
def test_several_lines_at_once(spread: float, far: float, count: int) -> None:
    places = [(k + 1) / (count + 1) for k in range(count)]
    lines = tuple((f"hem at {100 * p:.3f} %", f"waist at {100 * min(0.7, 1 - p):.3f} %") for p in places)
    garment = one_gore(replace(gore(), pleats=()))
    result = SlashAndSpread(piece="gore", lines=lines, spread=spread, spread_far=far, trued=False).apply(garment)
    old, new = lengths(drawn(garment, "gore")), lengths(drawn(result.garment, "gore"))
    assert new["hem"] == pytest.approx(old["hem"] + count * spread, abs=1e-6)
    assert new["waist"] == pytest.approx(old["waist"] + count * far, abs=1e-6)
    for edge in ("left", "right"):
        assert new[edge] == pytest.approx(old[edge], rel=1e-9)
    maps = {
        name.split(".")[1]: tuple((s.old_start, s.old_end, s.new_start, s.new_end) for s in runs)
        for name, runs in result.record.edges.items()
    }
    assert_sound(drawn(garment, "gore"), Reshaped(drawn(result.garment, "gore"), maps))


def test_the_order_of_the_lines_does_not_matter() -> None:
    lines = (
        ("hem at 20 %", "waist at 80 %"),
        ("hem at 50 %", "0 cm, 30 cm", "waist at 50 %"),
        ("hem at 80 %", "waist at 20 %"),
    )
    made = [SlashAndSpread(piece="gore", lines=order, spread=12.0).apply(one_gore()) for order in (lines, lines[::-1])]
    one, two = (drawn(result.garment, "gore") for result in made)
    assert lengths(one) == pytest.approx(lengths(two), abs=1e-6)
    for edge, same in zip(one.edges, two.edges, strict=True):
        assert edge.path.start.distance(same.path.start) < 1e-6


def test_spread_and_overlap_say_what_they_did() -> None:
    lines = (("hem at 40 %", "waist at 50 %"),)
    spread = SlashAndSpread(piece="gore", lines=lines, spread=20.0, id="a").apply(one_gore())
    assert spread.record.words == (
        "gore slashed and spread along the line from hem at 40 % to waist at 50 %, by ⟨20 mm⟩ hinged"
    )
    less = SlashAndSpread(piece="gore", lines=lines, spread=-20.0, spread_far=-20.0).apply(one_gore())
    assert less.record.words.endswith("by ⟨20 mm⟩ parallel")
    assert "overlapped" in less.record.words
    assert lengths(drawn(less.garment, "gore"))["waist"] == pytest.approx(160 - 20, abs=3)
    same = SlashAndSpread(piece="gore", lines=lines).apply(one_gore())
    assert same.garment.pieces == one_gore().pieces


def test_a_notch_in_what_is_overlapped_is_lost_and_said() -> None:
    at = 100 * (0.3 * 260 - 6) / gore().edge("hem").path.length
    slash = SlashAndSpread(piece="gore", lines=((f"hem at {at:.3f} %", "waist at 60 %"),), spread=-20.0, stays="left")
    result = apply_stack(one_gore(), [slash])
    assert [f.where for f in result.findings if f.code == "notch-cut-away"] == [("gores", "gore", "h")]
    assert result.records[0].ids == {"gore.h": ()}
    other = apply_stack(one_gore(), [replace(slash, stays="right")])
    assert [n.id for n in drawn(other.garment, "gore").notches] == ["h", "w", "r"]


def test_the_fold_stays_and_is_never_bent() -> None:
    garment = skirt()
    wide = SlashAndSpread(piece="front", lines=(("hem at 20 %", "waist at 80 %"),), spread=60.0).apply(garment).garment
    assert drawn(wide).edge("centre") == drawn(garment).edge("centre")
    with pytest.raises(CannotAlter, match=r"front.centre lies on the fold and would be bent"):
        SlashAndSpread(piece="front", lines=(("centre at 50 %", "side at 50 %"),), spread=20.0).apply(garment)
    longer = SlashAndSpread(piece="front", lines=(("centre at 50 %", "side at 50 %"),), spread=20.0, spread_far=20.0).apply(
        garment
    )
    assert lengths(drawn(longer.garment))["centre"] == pytest.approx(620)


def test_stays_names_the_section() -> None:
    lines = (("hem at 40 %", "waist at 50 %"),)
    for words, edge in (("right", "right"), ("left at 20 %", "left"), ("", "left")):
        grain = replace(gore(), grain=(Point(-20, 100), Point(-20, 400)))
        made = SlashAndSpread(piece="gore", lines=lines, spread=20.0, stays=words).apply(one_gore(grain))
        assert drawn(made.garment, "gore").edge(edge) == grain.edge(edge)


@pytest.mark.parametrize(
    ("slash", "error", "words"),
    [
        (SlashAndSpread(piece="gore", lines=()), CannotAlter, "no line"),
        (SlashAndSpread(piece="gore", lines=(("hem at 40 %",),), spread=5.0), CannotAlter, "two places"),
        (SlashAndSpread(piece="gores", lines=(("hem at 40 %", "waist at 50 %"),)), NotThere, "gores"),
        (SlashAndSpread(piece="gore", lines=(("seam at 40 %", "waist at 50 %"),)), NotThere, "seam"),
        (SlashAndSpread(piece="gore", lines=(("hem at 40 %", "waist at 50 %"),), spread=math.nan), GeometryError, "finite"),
        (SlashAndSpread(piece="gore", lines=(("hem at 40 %", "waist at 50 %"),), spread=1e5), CannotAlter, "can be meant"),
        (SlashAndSpread(piece="gore", lines=(("hem at 40 %", "waist at 50 %"),), spread=-190.0), CannotAlter, "overlapping by"),
        (SlashAndSpread(piece="gore", lines=CROSSED, spread=5.0), CannotAlter, "cross each other"),
        (SlashAndSpread(piece="gore", lines=CROSSED[:1], spread=5.0, stays="no at 3 cm"), NotThere, "no"),
    ],
)  # fmt: skip
def test_slashes_that_cannot_be(slash: SlashAndSpread, error: type[FirsthandError], words: str) -> None:
    with pytest.raises(error, match=words):
        slash.apply(one_gore())
    (finding,) = apply_stack(one_gore(), [slash]).findings
    assert finding.code == "alteration-refused"


def test_too_much_says_how_much_goes() -> None:
    slash = SlashAndSpread(piece="gore", lines=(("hem at 40 %", "waist at 50 %"),), spread=-190.0)
    with pytest.raises(CannotAlter) as caught:
        slash.apply(one_gore())
    most = int(str(caught.value).rpartition("⟨")[2].split()[0])
    assert 40 < most < 190
    replace(slash, spread=-float(most)).apply(one_gore())


# flare -----------------------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(amount=st.one_of(st.floats(10, 900), st.floats(-200, -10)), count=st.integers(1, 6))
def test_the_whole_hem_gains_the_amount(amount: float, count: int) -> None:
    garment = skirt()
    flare = Flare(amount=amount, edges=("front.hem", "back.hem"), count=count, trued=False)
    result = apply_stack(garment, [flare])
    assert not [f for f in result.findings if f.code != "alteration-corners-off"]
    hems = sum(2 * lengths(drawn(result.garment, name))["hem"] for name in ("front", "back"))
    was = sum(2 * lengths(drawn(garment, name))["hem"] for name in ("front", "back"))
    assert hems == pytest.approx(was + amount, abs=1e-6 if amount > 0 else 0.02 * abs(amount) + 1)
    for name in ("front", "back"):
        for edge in ("waist", "side", "centre"):
            assert lengths(drawn(result.garment, name))[edge] == pytest.approx(lengths(drawn(garment, name))[edge], rel=1e-9)
    assert all(abs(walk_seam(result.garment, seam).difference) < 1e-6 for seam in result.garment.seams)


def test_a_straight_sided_gore_flares_as_drawn() -> None:
    """A front gore with straight edges is at the hem its top and a sixth of its length wide: 3 in and 42 in make 10 in.

    Source: Carrie Crane Ingalls, Text-Book on Domestic Art (1911), five-gored underskirt draft; waist 24 in and
    length are ours. The half gore of 3 in at the top, made as a straight strip, is flared by the 7 in that the draft adds.
    """
    strip = rectangle(3 * INCH, 42 * INCH)
    piece = Piece("front", "1", "Front", (Cut("shell", How.FOLD),), sizes={"M": strip}, fold="centre")
    garment = make_garment(Pattern("u", "U", ("M",), {"front": piece}), "M", id="u", sort="skirt")
    flared = drawn(Flare(amount=2 * 7 * INCH, edges=("front.hem",), count=4).apply(garment).garment)
    assert lengths(flared)["hem"] == pytest.approx(10 * INCH, rel=0.002)
    assert lengths(flared)["waist"] == pytest.approx(3 * INCH, rel=0.002)
    assert lengths(flared)["side"] == pytest.approx(42 * INCH)


def test_many_slashes_make_a_part_of_a_ring() -> None:
    """A strip flared by ever more slashes becomes the sector of a ring whose hem is as much longer as its radius is.

    Geometry: hem and waist are arcs about one centre, with radii r + length and r where the angle is gain / length.
    """
    width, length, gain = 300.0, 500.0, 400.0
    piece = Piece("front", "1", "Front", (Cut("shell", How.SINGLE),), sizes={"M": rectangle(width, length)})
    garment = make_garment(Pattern("u", "U", ("M",), {"front": piece}), "M", id="u", sort="skirt")
    flared = drawn(Flare(amount=gain, edges=("front.hem",), count=30).apply(garment).garment)
    angle = gain / length
    side, centre = flared.edge("side").path, flared.edge("centre").path
    turn = (side.end - side.start).angle - (centre.start - centre.end).angle
    assert abs(turn) == pytest.approx(angle, rel=0.01)
    area = angle / 2 * ((width / angle + length) ** 2 - (width / angle) ** 2)
    assert flared.outline.area == pytest.approx(area, rel=0.01)


def test_pairs_and_named_places_count() -> None:
    garment = one_gore()
    flare = Flare(amount=120.0, edges=("gore.hem",), places=("25 %", "notch h"), trued=False)
    made = flare.apply(garment)
    assert lengths(drawn(made.garment, "gore"))["hem"] == pytest.approx(lengths(gore())["hem"] + 20)
    assert made.record.figures == {"amount": 120.0, "edge gore.hem": pytest.approx(20.0)}
    assert made.record.words == "Flared by ⟨120 mm⟩ in all at gore.hem"


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
def test_the_grain_runs_down_the_middle(count: int) -> None:
    """A gore that was alike on both sides of its grain is so after it was flared: both sides lean as much."""
    garment = one_gore(replace(gore(), grain=(Point(0, 100), Point(0, 500)), pleats=()))
    for amount in (6 * 100.0, -6 * 40.0):
        flared = drawn(Flare(amount=amount, edges=("gore.hem",), count=count).apply(garment).garment, "gore")
        right, left = (flared.edge(name).path for name in ("right", "left"))
        assert abs((right.end - right.start).unit().x) == pytest.approx(abs((left.end - left.start).unit().x), abs=0.002)
        assert flared.grain == (Point(0, 100), Point(0, 500))


@pytest.mark.parametrize(
    ("flare", "error", "words"),
    [
        (Flare(amount=30.0, edges=()), CannotAlter, "no edge"),
        (Flare(amount=30.0, edges=("hem",)), CannotAlter, "names no edge"),
        (Flare(amount=30.0, edges=("front.no",)), NotThere, "no"),
        (Flare(amount=30.0, edges=("front.hem", "front.waist")), CannotAlter, "two edges"),
        (Flare(amount=30.0, edges=("front.hem",), count=0), CannotAlter, "0 lines"),
        (Flare(amount=30.0, edges=("front.hem",), opposite=("front.hem",)), CannotAlter, "itself"),
        (Flare(amount=math.inf, edges=("front.hem",)), GeometryError, "finite"),
        (Flare(amount=-1300.0, edges=("front.hem",)), CannotAlter, "taking out flare by"),
    ],
)
def test_flares_that_cannot_be(flare: Flare, error: type[FirsthandError], words: str) -> None:
    with pytest.raises(error, match=words):
        flare.apply(skirt())


def test_the_opposite_edge_has_to_be_named_where_it_cannot_be_seen(make_vest: Maker) -> None:
    with pytest.raises(CannotAlter, match="opposite to waist cannot be seen"):
        Flare(amount=60.0, edges=("front.waist",)).apply(make_vest())
    flared = Flare(amount=60.0, edges=("front.waist", "back.waist"), opposite=("front.neck", "back.neck"), count=1)
    result = apply_stack(make_vest(), [flared])
    assert not [f for f in result.findings if f.code == "alteration-seam-off"]


# fullness --------------------------------------------------------------------------------------------------


@settings(max_examples=20, deadline=None)
@given(amount=st.floats(20, 600), count=st.integers(1, 5))
def test_the_seam_is_gathered_and_fits(amount: float, count: int) -> None:
    garment = skirt()
    result = apply_stack(garment, [Fullness(amount=amount, edge="front.waist", opposite="hem", count=count)])
    assert not [f for f in result.findings if f.code in ("alteration-seam-off", "alteration-refused")]
    front = drawn(result.garment)
    assert lengths(front)["waist"] == pytest.approx(180 + amount / 2)
    assert lengths(front)["hem"] == pytest.approx(180 + amount / 2)
    seam = next(s for s in result.garment.seams if s.id == "waist")
    assert seam.kind is SeamKind.GATHERED
    assert seam.ratio == pytest.approx((720 + amount) / 720)
    assert seam.a[0].piece == "front"
    assert abs(walk_seam(result.garment, seam).difference) < 1e-6
    assert result.records[0].figures["ratio of waist"] == seam.ratio


def test_fullness_taken_out_again_is_a_plain_seam() -> None:
    stack = [Fullness(amount=100.0, edge="front.waist", count=1, id="in")]
    full = apply_stack(skirt(), stack).garment
    back = Fullness(amount=-100.0, edge="front.waist", count=1, places=("22.5 cm",)).apply(full).garment
    seam = next(s for s in back.seams if s.id == "waist")
    assert (seam.kind, seam.ratio) == (SeamKind.PLAIN, 1.0)
    assert lengths(drawn(back))["waist"] == pytest.approx(180, abs=1e-6)
    assert abs(walk_seam(back, seam).difference) < 1e-6


def test_more_taken_out_than_there_is_is_found() -> None:
    stack = [Fullness(amount=100.0, edge="front.waist", id="in"), Fullness(amount=-160.0, edge="front.waist", id="out")]
    found = [f.message for f in apply_stack(skirt(), stack).findings if f.code == "alteration-seam-off"]
    assert found == ["since out the seam waist is off by ⟨160 mm⟩"]
    only = [f.message for f in apply_stack(skirt(), [Fullness(amount=-60.0, edge="front.waist")]).findings]
    assert only == ["since fullness 1 the seam waist is off by ⟨60 mm⟩"]


def test_hinged_fullness_leaves_the_hem() -> None:
    made = Fullness(amount=80.0, edge="front.waist", hinged=True).apply(skirt()).garment
    assert lengths(drawn(made))["hem"] == pytest.approx(180, rel=2e-3)
    assert lengths(drawn(made))["waist"] == pytest.approx(220, rel=2e-3)
    seam = next(s for s in made.seams if s.id == "waist")
    assert abs(walk_seam(made, seam).difference) < 1e-6


def test_what_was_off_before_goes_into_the_gathers() -> None:
    garment = skirt()
    loose = replace(garment, seams=tuple(replace(s, easing=-30.0) if s.id == "waist" else s for s in garment.seams))
    for of in (garment, loose):
        made = Fullness(amount=80.0, edge="front.waist").apply(of).garment
        assert abs(walk_seam(made, next(s for s in made.seams if s.id == "waist")).difference) < 1e-6


def test_nothing_is_nothing() -> None:
    garment = skirt()
    for alteration in (Fullness(amount=0.0, edge="front.waist"), Flare(amount=0.0, edges=("front.hem",))):
        made = alteration.apply(garment)
        assert made.garment == garment
        assert made.record.pieces == ()


def test_from_what_people_write() -> None:
    from pydantic import TypeAdapter

    from firsthand.alter import ALTERATIONS
    from firsthand.units import Unit

    context = {"units": Unit.CM}
    slash = TypeAdapter(ALTERATIONS["slash"]).validate_python(
        {"piece": "front", "lines": [["hem at 30 %", "waist at 30 %"]], "spread": 3}, context=context
    )
    assert slash == SlashAndSpread(piece="front", lines=(("hem at 30 %", "waist at 30 %"),), spread=30.0)
    flare = TypeAdapter(ALTERATIONS["flare"]).validate_python({"amount": "24 in", "edges": ["front.hem"]}, context=context)
    assert flare.amount == pytest.approx(609.6)
    full = TypeAdapter(ALTERATIONS["fullness"]).validate_python({"amount": 20, "edge": "front.waist"}, context=context)
    assert full == Fullness(amount=200.0, edge="front.waist")
