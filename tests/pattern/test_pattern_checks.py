"""Every check finds its fault, says it shortly, and is silent about a sound garment."""

from __future__ import annotations

import importlib
import math
import pkgutil
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_shapes import L, box, pattern_of, piece, polygon, ref, refs, seam

import firsthand.pattern.checks as checks
from firsthand.errors import GeometryError
from firsthand.findings import Block, Finding, FindingKind, Severity, catalogue
from firsthand.geometry import Affine, Path, Point
from firsthand.pattern import (
    CHECKS,
    Closure,
    ClosureKind,
    Condition,
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    How,
    Level,
    LevelLine,
    Notch,
    Opening,
    Pattern,
    Piece,
    Pleat,
    PrintedScale,
    Rough,
    Seam,
    Shape,
    check_garment,
    make_garment,
)


def found(pattern: Pattern, garment: Garment | None = None) -> dict[str, list[Finding]]:
    """Findings by code."""
    out: dict[str, list[Finding]] = {}
    for finding in check_garment(garment or make_garment(pattern, "M", id="skirt"), pattern):
        out.setdefault(finding.code, []).append(finding)
    return out


def with_fates(shape: Shape, **fates: FateKind) -> Shape:
    for name, kind in fates.items():
        shape = shape.with_edge(replace(shape.edge(name), fate=Fate(kind, 10.0 if kind is FateKind.HEM else 0.0)))
    return shape


def half(height: float = 300.0) -> Shape:
    shape = with_fates(box(100, height, level=100), bottom=FateKind.HEM, top=FateKind.BINDING, left=FateKind.FOLD)
    return replace(shape, notches=(Notch("hip", "right", 100.0),))


def skirt(*, front: Shape | None = None, back: Shape | None = None, **rest: object) -> Pattern:
    """A sound skirt of two parts on the fold."""
    pieces = [
        piece("front", front or half(), Cut("shell", How.FOLD), fold="left", drawn=L),
        piece("back", back or half(), Cut("shell", How.FOLD), fold="left"),
    ]
    seams = [seam(f"side {hand}", [f"front.right {hand}"], [f"back.right {hand}"]) for hand in ("right", "left")]
    around = {
        name: [f"{one}.{edge} {hand}" for one in ("front", "back") for hand in ("right", "left")]
        for name, edge in (("waist", "top"), ("hem", "bottom"))
    }
    return replace(pattern_of(pieces, seams, around), levels=(Level("round", "Hip", "hip_girth"),), **rest)  # type: ignore[arg-type]


def changed(pattern: Pattern, name: str, **values: object) -> Pattern:
    pieces = {**pattern.pieces, name: replace(pattern.pieces[name], **values)}  # type: ignore[arg-type]
    return replace(pattern, pieces=pieces)


def edges_of(pattern: Pattern, name: str, edges: tuple[Edge, ...]) -> Pattern:
    shape = pattern.pieces[name].sizes["M"]
    return changed(pattern, name, sizes={"M": replace(shape, edges=edges)})


def test_a_sound_garment_is_passed_in_silence() -> None:
    assert found(skirt()) == {}


def test_every_sort_of_finding_of_this_room_is_made_by_some_test_here() -> None:
    """The codes declared beside the checks are the codes looked for in the tests of this room."""
    text = "".join(path.read_text(encoding="utf-8") for path in File(__file__).parent.glob("test_*.py"))
    modules = [importlib.import_module(f"{checks.__name__}.{found.name}") for found in pkgutil.iter_modules(checks.__path__)]
    declared = {kind.code for module in modules for kind in vars(module).values() if isinstance(kind, FindingKind)}
    assert {module.__name__.rpartition(".")[2] for module in modules} >= {"seams", "holes", "outlines", "_registry"}
    assert declared <= catalogue().keys()
    assert {code for code in declared if f'"{code}"' not in text} == set()


# seams -----------------------------------------------------------------------------------------------------------


def test_a_seam_that_differs_is_said_once_for_both_hands() -> None:
    longer = replace(half(307), notches=(Notch("hip", "right", 100.0),))
    back = replace(half(300), notches=(Notch("hip", "right", 100.0),))
    (finding,) = found(skirt(front=longer, back=back))["seam-length"]
    assert finding.message == "side: front is ⟨7 mm⟩ longer than back"
    assert (finding.severity, finding.blocks) == (Severity.DOUBT, ())
    assert finding.why[:2] == ("right of front: ⟨307 mm⟩ sewn", "right of back: ⟨300 mm⟩ sewn")
    (worse,) = found(skirt(front=half(330)))["seam-length"]
    assert (worse.severity, worse.blocks) == (Severity.FAULT, (Block("cut", "skirt/back"), Block("cut", "skirt/front")))


def test_a_gathered_side_that_is_wrong_is_too_long_for_the_other() -> None:
    pattern = skirt()
    full = replace(pattern, seams=tuple(replace(one, ratio=1.5) for one in pattern.seams))
    (finding,) = found(full)["seam-length"]
    assert finding.message == "side: back is ⟨100 mm⟩ too long for front"
    assert "expected: 1.5 × ⟨300 mm⟩ + ⟨0 mm⟩ eased in" in finding.why


def test_notches_that_miss_and_notches_alone() -> None:
    moved = replace(half(), notches=(Notch("hip", "right", 112.0),))
    (finding,) = found(skirt(back=moved))["notches-miss"]
    assert finding.message == "side: notches front.hip and back.hip miss each other by ⟨12 mm⟩"
    bare = replace(half(), notches=())
    (alone,) = found(skirt(back=bare))["notch-alone"]
    assert alone.message == "side: notch front.hip has no partner on the other side"


def test_notches_within_a_few_millimetres_are_left_alone() -> None:
    near = replace(half(), notches=(Notch("hip", "right", 102.0),))
    assert found(skirt(back=near)) == {}


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ("cape.hem right", "reference-dangling", "names the piece 'cape'"),
        ("back.wing right", "reference-dangling", "names the edge 'wing'"),
        ("back.top", "part-missing", "needs one half of back, and does not say which"),
        ("back.left right", "part-missing", "the fold of back"),
        ("back.top right 2", "part-missing", "needs back number 2, and only 1 is cut"),
        ("sleeve.top", "part-missing", "neither right nor left of sleeve, and it is cut as a pair"),
        ("band.top left", "part-missing", "needs a left one of band, and it is cut single"),
    ],
)
def test_names_and_parts_that_are_not_there(words: str, code: str, said: str) -> None:
    more = [piece("sleeve", box(10, 10)), piece("band", box(10, 10))]
    more[0] = replace(more[0], cuts=(Cut("shell", How.PAIR),))
    pattern = skirt()
    pattern = replace(pattern, pieces={**pattern.pieces, **{p.id: p for p in more}})
    for broken in (
        replace(pattern, seams=(*pattern.seams, Seam("odd", refs(words), refs("front.top right")))),
        replace(pattern, openings=(*pattern.openings, Opening("odd", refs(words)))),
        replace(pattern, closures=(Closure("odd", ClosureKind.ZIP, refs(words)),)),
    ):
        (finding,) = found(broken)[code]
        assert said in finding.message
        assert finding.where == ("skirt", "odd", str(ref(words)))
        assert finding.blocks == (Block("sew", "skirt"),)


def test_a_role_that_is_not_cut() -> None:
    pattern = skirt()
    lining = Seam("odd", (replace(ref("back.top right"), role="lining"),), refs("front.top right"))
    (finding,) = found(replace(pattern, seams=(*pattern.seams, lining)))["part-missing"]
    assert "back cut of lining, and none is" in finding.message


def test_a_seam_without_sense() -> None:
    pattern = skirt()
    bad = (replace(pattern.seams[0], ratio=math.nan), *pattern.seams[1:])
    assert "ratio" in found(replace(pattern, seams=bad))["seam-numbers"][0].message


def test_an_edge_sewn_twice() -> None:
    pattern = skirt()
    again = Seam("again", refs("front.right right"), refs("back.top right"), tolerance=1000)
    (finding,) = found(replace(pattern, seams=(*pattern.seams, again)))["edge-sewn-twice"]
    assert finding.message == "right of front is sewn 2 times: in side right and again"


def test_edges_out_of_order() -> None:
    pattern = skirt()
    band = piece("band", with_fates(box(400, 40), top=FateKind.FOLD, left=FateKind.HEM, right=FateKind.HEM))
    around = ["front.top left", "front.top right", "back.top right", "back.top left"]
    good = seam("waist", ["band.bottom"], around)
    bad = seam("waist", ["band.bottom"], [around[0], around[2], around[1], around[3]])
    with_band = replace(pattern, pieces={**pattern.pieces, "band": band})
    assert "seam-order" not in found(replace(with_band, seams=(*pattern.seams, good)))
    (finding,) = found(replace(with_band, seams=(*pattern.seams, bad)))["seam-order"]
    assert finding.message == "waist: top of back does not follow on from top of front"


# edges and levels ------------------------------------------------------------------------------------------------


def test_a_forgotten_waistband_is_an_edge_without_a_fate() -> None:
    bare = half().with_edge(replace(half().edge("top"), fate=None))
    (finding,) = found(skirt(front=bare))["edge-without-fate"]
    assert finding.message == "front: nothing says what becomes of top"
    assert finding.where == ("skirt", "front", "top")


def test_an_edge_meant_for_a_seam_that_no_seam_names() -> None:
    waiting = with_fates(half(), top=FateKind.SEAM)
    (finding,) = found(skirt(front=waiting))["edge-unsewn"]
    assert finding.message == "front: top should be sewn, and no seam names it"


def test_levels_that_nobody_carries_or_that_stop_at_a_seam() -> None:
    pattern = skirt()
    (nowhere,) = found(replace(pattern, levels=(Level("knee", "Knee", "knee_girth"),)))["level-nowhere"]
    assert nowhere.message == "Knee: no piece carries this level"
    point = replace(half(), levels=(LevelLine("round", Point(1, 1), Point(1, 1)),))
    assert found(skirt(back=point))["level-nowhere"][0].message == "Hip: the line of level 'round' has no length"
    (gap,) = found(skirt(back=replace(half(), levels=())))["level-gap"]
    assert gap.message == "Hip: the level runs into back, which does not carry it"
    for height, said in ((-30.0, "ends above"), (900.0, "begins below")):
        beyond = replace(half(), levels=(LevelLine("round", Point(0, height), Point(10, height)),))
        whole = make_garment(pattern, "M", id="skirt")
        back = whole.with_piece(replace(whole.piece("back"), shape=beyond))
        both = back.with_piece(replace(whole.piece("front"), shape=beyond))
        (ended,) = found(pattern, both)["level-ended"]
        assert ended.message == f"Hip: the garment {said} this level"
        (partly,) = found(pattern, back)["level-ended"]
        assert partly.message == f"Hip: back: {said} this level"
    card = changed(pattern, "back", sizes={}, rough={"M": Rough(300, 200)})
    (known,) = found(card)["level-card"]
    assert known.message == "Hip: back has no outline yet, so the girth is not known"


# holes -----------------------------------------------------------------------------------------------------------


def test_no_opening_declared() -> None:
    (finding,) = found(replace(skirt(), openings=()))["hole-undeclared"]
    assert finding.message == "2 holes stay when all seams are sewn, and no opening is declared"


def test_a_forgotten_seam_joins_two_openings() -> None:
    pattern = skirt()
    open_side = replace(pattern, seams=pattern.seams[:1])
    out = found(open_side)
    (joined,) = out["openings-joined"]
    assert joined.message == "hem and waist come out as one hole"
    (bare,) = out["hole-undeclared"]
    assert bare.message == "right of front and right of back lies on the opening waist and hem, which does not name it"


def test_an_opening_forgotten() -> None:
    pattern = skirt()
    (finding,) = found(replace(pattern, openings=pattern.openings[:1]))["hole-undeclared"]
    assert finding.message == "a hole stays that is no opening: bottom of front and bottom of back"


def test_an_opening_that_is_sewn_shut() -> None:
    pattern = skirt()
    shut = [Seam(f"shut {hand}", refs(f"front.bottom {hand}"), refs(f"back.bottom {hand}")) for hand in ("right", "left")]
    (finding,) = found(replace(pattern, seams=(*pattern.seams, *shut)))["opening-sewn-shut"]
    assert finding.message == "the opening 'hem' is not there: bottom of back is sewn in shut left"


def test_one_opening_that_comes_out_as_two_holes() -> None:
    pattern = skirt()
    all_in_one = Opening("ends", tuple(edge for opening in pattern.openings for edge in opening.edges))
    (finding,) = found(replace(pattern, openings=(all_in_one,)))["opening-parted"]
    assert finding.message == "the opening 'ends' comes out as 2 holes"


def test_a_seam_sewn_inside_out() -> None:
    pattern = skirt()
    twisted = (pattern.seams[0], replace(pattern.seams[1], reverse_b=False))
    (finding,) = found(replace(pattern, seams=twisted))["seam-inside-out"]
    assert finding.message == "side left: sewn like this the garment has no outside"


def test_a_piece_drawn_for_the_other_hand_is_guessed_at() -> None:
    wrong = changed(skirt(), "front", drawn=replace(skirt().pieces["front"]).drawn.other)
    finding = found(wrong)["openings-joined"][0]
    assert finding.remedy == "Everything fits if front is drawn for the wearer's left: look at that first."


def jerkin(*, closures: Iterable[Closure], openings: Iterable[Opening]) -> Pattern:
    """A front in two halves that meet in the middle, and a back: holes are the waist and hem once the front is closed."""
    front = with_fates(half(), left=FateKind.FACING)
    pattern = changed(skirt(front=front), "front", fold="", cuts=(Cut("shell", How.PAIR),))
    return replace(pattern, closures=tuple(closures), openings=tuple(openings))


LACING = Closure("lacing", ClosureKind.LACING, refs("front.left right", "front.left left"), count=8)


def test_a_front_that_closes_parts_what_is_one_hole_while_it_is_open() -> None:
    openings = skirt().openings
    assert found(jerkin(closures=[LACING], openings=openings)) == {}
    declared = (*openings, Opening("front", LACING.edges, "lacing"))
    assert found(jerkin(closures=[LACING], openings=declared)) == {}
    as_sewn = Opening("all round", (*openings[0].edges, *openings[1].edges, *LACING.edges))
    assert found(jerkin(closures=[], openings=[as_sewn])) == {}


def test_without_the_closure_the_same_front_joins_waist_and_hem() -> None:
    assert "openings-joined" in found(jerkin(closures=[], openings=skirt().openings))
    cord = replace(LACING, kind=ClosureKind.DRAWSTRING)
    assert "openings-joined" in found(jerkin(closures=[cord], openings=skirt().openings))


def test_holes_next_to_a_card_are_not_guessed_at() -> None:
    card = changed(skirt(), "back", sizes={}, rough={"M": Rough(300, 200)})
    assert {"hole-undeclared", "openings-joined", "opening-sewn-shut"} & found(card).keys() == set()


# pieces ----------------------------------------------------------------------------------------------------------


def test_missing_and_torn_pieces() -> None:
    missing = changed(skirt(), "back", sizes={}, condition=Condition.MISSING, number="2", rough={"M": Rough(300, 200)})
    (finding,) = found(missing)["piece-missing"]
    assert finding.message == "back (piece 2) is missing from the envelope"
    assert set(finding.blocks) == {Block("print", "skirt/back"), Block("cut", "skirt/back")}
    (torn,) = found(changed(skirt(), "back", condition=Condition.TORN))["piece-torn"]
    assert (torn.message, torn.blocks) == ("back is torn: part of its outline is a guess", (Block("cut", "skirt/back"),))


def test_cards_say_what_they_mean_and_want_a_rough_size() -> None:
    card = changed(skirt(), "back", sizes={}, rough={"M": Rough(300, 200)})
    out = found(card)
    assert out["piece-card"][0].severity is Severity.NOTE
    assert "card-size" not in out
    (finding,) = found(changed(skirt(), "back", sizes={}))["card-size"]
    assert finding.blocks == (Block("lay", "skirt/back"), Block("buy", "skirt/back"), Block("cut", "skirt/back"))
    assert "card-size" in found(changed(skirt(), "back", sizes={}, rough={"M": Rough(math.nan, 200)}))


def test_a_size_that_was_trimmed_away() -> None:
    pattern = changed(replace(skirt(), sizes=("S", "M", "L"), trimmed=("M", "L")), "back", sizes={}, rough={"M": Rough(1, 1)})
    (finding,) = found(pattern)["size-trimmed"]
    assert finding.remedy == "Grade up from S, find another copy, or choose S."
    assert Block("fit", "skirt") in finding.blocks
    assert Block("print", "skirt/back") in finding.blocks


@pytest.mark.parametrize("printed", [100.0, 0.0, -1.0])
def test_a_copy_at_97_per_cent(printed: float) -> None:
    (finding,) = found(replace(skirt(), scale=PrintedScale(printed, 97.0)))["scale-wrong"]
    assert finding.blocks == (Block("print", "skirt"), Block("cut", "skirt"))
    if printed > 0:
        assert finding.message == "A pattern is a copy at 97.0 %: every piece is too small"
        assert finding.remedy == "Alter the whole garment by the scale 1.0309; allowances stay as they are."


def scaled(one: Piece, factor: float) -> Piece:
    shape, by = one.drawn_shape, Affine.scaling(factor)
    edges = tuple(replace(edge, path=edge.path.transformed(by)) for edge in shape.edges)
    return replace(one, shape=replace(shape, edges=edges))


def test_a_copy_is_right_when_it_is_near_or_its_pieces_have_been_scaled() -> None:
    assert found(replace(skirt(), scale=PrintedScale(100, 99.6))) == {}
    pattern = replace(skirt(), scale=PrintedScale(100, 97))
    garment = make_garment(pattern, "M", id="skirt")
    for name in garment.pieces:
        garment = garment.with_piece(scaled(garment.pieces[name], 100 / 97))
        assert ("scale-wrong" in found(pattern, garment)) == (name == "front")  # until both are done
    assert "scale-wrong" in found(pattern, make_garment(pattern, "M", id="skirt"))


def test_counts_of_parts() -> None:
    twice = changed(skirt(), "back", cuts=(Cut("shell", How.FOLD), Cut("shell", How.SINGLE)))
    assert found(twice)["part-twice"][0].message == "back centre shell is cut twice under one name"
    messages = [
        found(changed(skirt(), "back", cuts=cuts))["cut-count"][0].message
        for cuts in ((), (Cut("shell", How.FOLD, 0),), (Cut("shell", How.FOLD, -1),))
    ]
    assert messages == ["back is never cut: it has no cuts", "back is cut 0 times of shell", "back is cut -1 times of shell"]
    (finding,) = found(changed(skirt(), "back", fold=""))["cut-count"]
    assert finding.message == "back is cut on the fold, and no edge lies on the fold"


def test_sizes_of_different_topology() -> None:
    other = polygon([(0, 0), (90, 0), (90, 150), (90, 300), (0, 300)], ["bottom", "right", "upper", "top", "left"])
    pattern = changed(skirt(), "back", sizes={"M": half(), "L": other})
    (finding,) = found(pattern)["size-topology"]
    assert finding.message == "back: sizes M and L differ in their edges, corners, notches and levels"


# outlines --------------------------------------------------------------------------------------------------------


def test_outlines_that_are_open_clockwise_or_crossed() -> None:
    edges = half().edges
    gap = replace(edges[1], path=Path.line(Point(100, 2), Point(100, 300)))
    (opened,) = found(edges_of(skirt(), "back", (edges[0], gap, *edges[2:])))["outline-open"]
    assert opened.message == "back: right begins ⟨2 mm⟩ away from the end of bottom"
    assert opened.blocks == (Block("print", "skirt/back"), Block("lay", "skirt/back"), Block("cut", "skirt/back"))
    assert found(edges_of(skirt(), "back", ()))["outline-open"][0].message == "back: it has no edges"
    around = tuple(replace(edge, path=edge.path.reversed()) for edge in reversed(edges))
    assert "outline-clockwise" in found(edges_of(skirt(), "back", around))
    bowtie = [(0, 0), (100, 0), (0, 300), (100, 300)]
    crossed = polygon(bowtie, ["bottom", "right", "top", "left"])
    (crossing,) = found(edges_of(skirt(), "back", crossed.edges))["outline-crosses"]
    assert crossing.message == "back: its stitching line crosses itself at ⟨50 mm⟩, ⟨150 mm⟩"


@pytest.mark.parametrize("allowance", [-5.0, math.nan, math.inf])
def test_allowances_without_sense_give_no_cutting_line(allowance: float) -> None:
    bad = half().with_edge(replace(half().edge("top"), allowance=allowance))
    (finding,) = found(skirt(back=bad))["cutting-line-none"]
    assert "allowance" in finding.message


def test_marks_that_are_not_on_their_edges() -> None:
    cases = {
        "notch 'n' lies beyond the end of top, which is ⟨100 mm⟩ long": {"notches": (Notch("n", "top", 120.0),)},
        "notch 'n' lies on the edge 'wing', which is not there": {"notches": (Notch("n", "wing", 20.0),)},
        "notch 'n' has no sensible place or width": {"notches": (Notch("n", "top", math.nan),)},
        "dart 'd' lies beyond the end of top, which is ⟨100 mm⟩ long": {"darts": (Dart("d", "top", 95, 20, Point(50, 200)),)},
        "pleat 'p' lies beyond the end of top, which is ⟨100 mm⟩ long": {"pleats": (Pleat("p", "top", 5, 10),)},
        "darts and pleats take more out of top than there is": {
            "darts": tuple(Dart(f"d{k}", "top", 50, 60, Point(50, 200)) for k in range(2))
        },
    }
    for said, marks in cases.items():
        out = found(skirt(back=replace(half(), **marks)))  # type: ignore[arg-type]
        assert f"back: {said}" in [finding.message for finding in out["mark-off-edge"]]


def test_ids_that_are_there_twice() -> None:
    twice = replace(half(), notches=(Notch("hip", "right", 200.0), Notch("hip", "right", 200.0)))
    assert found(skirt(back=twice))["id-twice"][0].message == "back: two notches are called hip"


def test_fold_edges() -> None:
    assert "its fold edge 'middle' is not there" in found(changed(skirt(), "back", fold="middle"))["fold-edge"][0].message
    bare = half().with_edge(Edge("left", Corner("c"), half().edge("left").path, 15.0))
    (finding,) = found(skirt(back=bare))["fold-edge"]
    assert finding.message == "back: its fold edge 'left' carries ⟨15 mm⟩ of allowance"
    bent = half().with_edge(replace(half().edge("left"), path=Path.line(Point(0, 300), Point(9, 100), Point(0, 0))))
    assert "not straight" in found(skirt(back=bent))["fold-edge"][0].message
    assert "cutting-line-none" not in found(skirt(back=bent))
    hair = half().with_edge(replace(half().edge("left"), path=Path.line(Point(0, 300), Point(-0.03, 150), Point(0, 0))))
    assert found(skirt(back=hair)) == {}
    over = polygon([(0, 0), (100, 0), (100, 300), (-60, 300), (0, 200)], ("bottom", "right", "top", "over", "left"), margin=5)
    (finding,) = found(skirt(back=with_fates(over, left=FateKind.FOLD)))["fold-edge"]
    assert "mm⟩ over the fold edge 'left'" in finding.message
    assert {block.act for block in finding.blocks} == {"print", "lay", "cut"}


def test_a_piece_too_large_to_print_is_told_and_held_back_from_printing_only() -> None:
    band = with_fates(box(60, 4990, margin=15), bottom=FateKind.RAW, right=FateKind.RAW, top=FateKind.RAW, left=FateKind.RAW)
    (finding,) = found(pattern_of([piece("band", band, Cut("shell", How.SINGLE))], []))["piece-too-large"]
    assert finding.message == "band: it is ⟨5020 mm⟩ long with its allowances, too large to print"
    assert (finding.severity, finding.blocks) == (Severity.DOUBT, (Block("print", "skirt/band"),))
    short = replace(band, edges=tuple(replace(edge, allowance=5.0) for edge in band.edges))
    assert "piece-too-large" not in found(pattern_of([piece("band", short, Cut("shell", How.SINGLE))], []))


def test_a_grain_line_without_length() -> None:
    assert "grain-none" in found(skirt(back=replace(half(), grain=(Point(1, 1), Point(1, 1)))))


# closures --------------------------------------------------------------------------------------------------------


def test_closures() -> None:
    buttons = replace(LACING, id="front", kind=ClosureKind.BUTTONS, count=0)
    (count,) = found(jerkin(closures=[buttons], openings=skirt().openings))["closure-count"]
    assert count.message == "front: how many buttons?"
    named = tuple(replace(opening, closure="zip") for opening in skirt().openings[:1])
    (opening,) = found(replace(skirt(), openings=(*named, *skirt().openings[1:])))["opening-closure"]
    assert opening.message == "the opening 'waist' names the closure 'zip', which is not there"
    neck = Closure("tie", ClosureKind.DRAWSTRING, at_neck=True)
    (caution,) = found(replace(skirt(), closures=(neck,)))["neck-closure"]
    assert caution.message == "tie closes round the neck and does not come apart when pulled: it can strangle"
    assert "child" in caution.remedy
    assert "neck-closure" not in found(replace(skirt(), closures=(replace(neck, parts_under_pull=True),)))


# all of them -----------------------------------------------------------------------------------------------------


def test_checks_are_registered_by_name() -> None:
    assert {"references", "seam lengths", "fates", "openings", "outlines", "scale", "closures"} <= set(CHECKS)


def test_a_check_that_cannot_be_finished_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def unfinished(garment: Garment, pattern: Pattern) -> Iterable[Finding]:
        raise GeometryError("a shape without sense")

    monkeypatch.setitem(CHECKS._entries, "odd", unfinished)
    (finding,) = found(skirt())["check-stopped"]
    assert finding.message == "check 'odd' could not be finished: a shape without sense"


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_checks_never_raise_whatever_is_wrong(data: st.DataObject) -> None:
    odd = st.sampled_from([math.nan, math.inf, -1.0, 0.0, 1e9, 15.0])
    shape = half()
    for edge in shape.edges:
        shape = shape.with_edge(replace(edge, allowance=data.draw(odd), inlay=data.draw(odd)))
    shape = replace(
        shape,
        edges=tuple(data.draw(st.permutations(shape.edges)))[: data.draw(st.integers(0, 4))],
        notches=(Notch("n", data.draw(st.sampled_from(["right", "wing"])), data.draw(odd)),),
        darts=(Dart("d", "top", data.draw(odd), data.draw(odd), Point(1, 1)),),
    )
    pattern = skirt(back=shape)
    named = st.builds(EdgeRef, st.sampled_from(["front", "back", "cape"]), st.sampled_from(["right", "top", "left", ""]),
                      st.sampled_from(list(L.__class__)), st.sampled_from(["shell", "lining"]), st.integers(0, 2))  # fmt: skip
    chain = st.lists(named, max_size=3).map(tuple)
    more = tuple(Seam(f"s{k}", data.draw(chain), data.draw(chain), ratio=data.draw(odd)) for k in range(2))
    opening = Opening("o", data.draw(chain), "no")
    scale = PrintedScale(data.draw(odd), data.draw(odd))
    pattern = replace(pattern, seams=(*pattern.seams, *more), openings=(opening,), scale=scale)
    for finding in check_garment(make_garment(pattern, "M", id="skirt"), pattern):
        assert finding.message
        assert finding.remedy
        assert finding.where[0] == "skirt"
