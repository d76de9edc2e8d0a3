"""Writing a pattern and reading it again gives an equal pattern."""

import math
from dataclasses import replace
from pathlib import Path as Folder

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firsthand.geometry import Affine, Path, Point
from firsthand.pattern import (
    Applied,
    Closure,
    ClosureKind,
    Condition,
    Corner,
    CornerShape,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Haberdashery,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Notch,
    NotchKind,
    Opening,
    Pattern,
    Piece,
    Pleat,
    PleatKind,
    Pressed,
    PrintedScale,
    Rough,
    Seam,
    SeamKind,
    Shape,
)
from firsthand.workroom import load_pattern
from firsthand.workroom._writing import pattern_files


def written(folder: Folder, pattern: Pattern) -> Pattern:
    root = folder / pattern.id
    for path, contents in pattern_files(pattern).items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_bytes(contents)
    return load_pattern(root)


def shape(width: float, height: float, turn: float = 0.0) -> Shape:
    """A body front of sorts: a straight centre on the fold, a curved armhole, a dart, a pleat and marks."""
    by = Affine.rotation(turn)
    a, b, c, d = (by(Point(x, y)) for x, y in ((0, 0), (width, 0), (width * 0.8, height), (0, height)))
    side = Path.curve(b, by(Point(width * 1.05, height / 3)), by(Point(width * 0.7, height * 0.7)), c)
    edges = (
        Edge("hem", Corner("hem centre", CornerShape.MIRRORED), Path.line(a, b), 30.0, 0.0, Fate(FateKind.HEM, 25.0)),
        Edge("side", Corner("hem side", CornerShape.SQUARED_NEXT), side, 15.0, 10.1),
        Edge("neck", Corner("neck side"), Path.line(c, d), 6.5, 0.0, Fate(FateKind.BAND)),
        Edge("centre", Corner("neck centre"), Path.line(d, a), 0.0, 0.0, Fate(FateKind.FOLD)),
    )
    return Shape(
        edges,
        (by(Point(width / 2, height * 0.1)), by(Point(width / 2, height * 0.9))),
        (Notch("n1", "side", side.length / 3, NotchKind.DOUBLE),),
        (Dart("waist", "hem", width / 2, 20.0, by(Point(width / 2, height / 2)), Pressed.OPEN),),
        (Pleat("p1", "neck", 10.0, 5.0, PleatKind.BOX, False, 12.5, ((10.0, 4.0), (20.5, 0.0)), by(Point(50, 60))),),
        (InnerLine("pocket", InnerLineKind.PLACEMENT, Path.line(by(Point(5, 5)), by(Point(9, 5)))),),
        (LevelLine("waist", by(Point(0, height / 2)), by(Point(width, height / 2))),),
    )


CENTRE_BACK = (EdgeRef("back", "centre", Hand.RIGHT), EdgeRef("back", "centre", Hand.LEFT))


def pattern(*, turn: float = 0.0, seams: tuple[Seam, ...] = ()) -> Pattern:
    front = Piece(
        "front", "1", "Front", (Cut("shell", How.FOLD), Cut("lining", How.FOLD)),
        sizes={"S": shape(200, 300, turn), "M": shape(210.5, 310.25, turn)}, fold="centre", grain_tolerance=math.radians(2.5),
    )  # fmt: skip
    back = replace(
        front, id="back", number="2", name="", cuts=(Cut("shell", How.PAIR),), fold="", drawn=Hand.LEFT, turning=False,
        condition=Condition.TORN,
    )  # fmt: skip
    card = Piece(
        "belt loop", "3", "Belt loop", (Cut("shell", How.SINGLE, 5),), rough={"S": Rough(80.0, 33.3), "M": Rough(80, 40)}
    )
    return Pattern(
        "jerkin", "Jerkin", ("S", "M"), {piece.id: piece for piece in (front, back, card)},
        seams=seams,
        levels=(Level("waist", "Waist", "waist_girth", extra=-20.0), Level("wrist", "", "wrist_girth", limb=True)),
        closures=(
            Closure("lace", ClosureKind.LACING, CENTRE_BACK, 9, -15.0),
            Closure("band", ClosureKind.TAPE, alone=False, parts_under_pull=True, at_neck=True),
            Closure("vent right", ClosureKind.HOOKS, (EdgeRef("back", "hem", Hand.RIGHT),), 2),
            Closure("vent left", ClosureKind.HOOKS, (EdgeRef("back", "hem", Hand.LEFT),), 2),
        ),
        openings=(
            Opening("hem", tuple(EdgeRef(p, "hem", h) for h in (Hand.RIGHT, Hand.LEFT) for p in ("front", "back"))),
            Opening("back", (EdgeRef("back", "centre", Hand.RIGHT), EdgeRef("back", "centre", Hand.LEFT)), "lace"),
            Opening("neck right", (EdgeRef("front", "neck", Hand.RIGHT),), "band"),
            Opening("neck left", (EdgeRef("front", "neck", Hand.LEFT),), "band"),
        ),
        haberdashery=(Haberdashery("eyelet", 18, size="6 mm brass"), Haberdashery("cord", length=2500.0, colour="black")),
        chart={"S": {"waist_girth": 720.0}, "M": {"waist_girth": 760.0}},
        trimmed=("M",), scale=PrintedScale(100.0, 97.0), expects_stretch=0.35, expects_thickness=0.9,
        applied=(Applied("belt loop", "front", "pocket"), Applied("belt loop", "back", role="shell", hand=Hand.LEFT)),
    )  # fmt: skip


def refs(*edges: str, hand: Hand = Hand.RIGHT) -> tuple[EdgeRef, ...]:
    return tuple(EdgeRef(*edge.split("."), hand=hand) for edge in edges)


SIDES = (
    Seam("side right", refs("front.side"), refs("back.side"), take_in=True),
    Seam("side left", refs("front.side", hand=Hand.LEFT), refs("back.side", hand=Hand.LEFT), take_in=True),
)


def test_everything_a_pattern_can_hold_comes_back(tmp_path: Folder) -> None:
    whole = pattern(seams=SIDES)
    assert written(tmp_path, whole) == whole


def test_what_is_not_to_be_told_in_centimetres_is_told_in_millimetres(tmp_path: Folder) -> None:
    whole = replace(pattern(turn=0.7), levels=(Level("waist", "Waist", "waist_girth", extra=100.0 / 3.0),))
    assert b'units = "mm"' in pattern_files(whole)["pattern.toml"]
    assert written(tmp_path, whole) == whole


def test_a_seam_of_both_hands_is_written_once() -> None:
    text = pattern_files(pattern(seams=SIDES))["pattern.toml"].decode()
    assert text.count("[[seam]]") == 1
    assert 'id = "side"\na = ["front.side"]\nb = ["back.side"]\ntake_in = true' in text


def test_seams_across_come_back_as_they_were(tmp_path: Folder) -> None:
    across = (
        Seam("wrap right", refs("front.side"), refs("back.side", hand=Hand.LEFT)),
        Seam("wrap left", refs("front.side", hand=Hand.LEFT), refs("back.side")),
    )
    files = pattern_files(pattern(seams=across))
    assert b'hands = "across"' in files["pattern.toml"]
    assert written(tmp_path, pattern(seams=across)) == pattern(seams=across)


@pytest.mark.parametrize(
    "seams",
    [
        # each hand after its own hand
        (*SIDES, *(replace(s, id=s.id.replace("side", "hem"), after=(s.id,)) for s in SIDES)),
        # both hands after the same hand: cannot be said once
        (*SIDES, *(replace(s, id=s.id.replace("side", "hem"), after=("side right",)) for s in SIDES)),
        # the one id without a hand is taken
        (*SIDES, replace(SIDES[0], id="side")),
        # not side by side
        (SIDES[0], replace(SIDES[0], id="centre"), SIDES[1]),
        # unlike each other
        (SIDES[0], replace(SIDES[1], easing=4.0, ratio=2.0, kind=SeamKind.GATHERED)),
        # one after a seam that is itself not to be said once
        (*SIDES[:1], *(replace(s, id=s.id.replace("side", "hem"), after=(s.id,)) for s in SIDES), *SIDES[1:]),
        # left before right
        SIDES[::-1],
        # both after one
        (replace(SIDES[0], id="yoke"), *(replace(s, after=("yoke",)) for s in SIDES)),
        # after both
        (*SIDES, replace(SIDES[0], id="waist", after=("side right", "side left"))),
    ],
)
def test_seams_that_depend_on_each_other_come_back_as_they_were(tmp_path: Folder, seams: tuple[Seam, ...]) -> None:
    assert written(tmp_path, pattern(seams=seams)).seams == seams


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    width=st.floats(60, 900), height=st.floats(60, 900), turn=st.floats(-3.1, 3.1),
    easing=st.floats(-50, 50), ratio=st.floats(0.01, 19), rough=st.floats(0.01, 4000), extra=st.floats(-100, 100),
)  # fmt: skip
def test_any_numbers_come_back_digit_for_digit(
    tmp_path: Folder, width: float, height: float, turn: float, easing: float, ratio: float, rough: float, extra: float
) -> None:
    seams = tuple(replace(seam, easing=easing, ratio=ratio) for seam in SIDES)
    whole = pattern(seams=seams)
    front = replace(whole.pieces["front"], sizes={"S": shape(width, height, turn)})
    card = replace(whole.pieces["belt loop"], rough={"S": Rough(rough, rough)})
    whole = replace(
        whole,
        pieces={**whole.pieces, "front": front, "belt loop": card},
        levels=(replace(whole.levels[0], extra=extra),),
    )
    assert written(tmp_path, whole) == whole
