"""Assembled surfaces, against Euler's formula: V - E + F = 2 - holes for whatever lies on a ball, 0 for a tube or a band."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern_shapes import L, R, box, garment_of, piece, polygon, seam

from firsthand.pattern import Assembly, Cut, EdgeRef, Garment, Hand, How, Piece, Seam, assemble


def holes(assembly: Assembly) -> list[list[str]]:
    return sorted(sorted(str(ref) for ref in loop) for loop in assembly.loops)


def follows_euler(assembly: Assembly) -> None:
    """Euler's formula, for components that are orientable and have no handle."""
    for component in assembly.components:
        assert component.euler == component.vertices - component.edges + component.faces
        assert component.euler == 2 - len(component.loops)


def tube() -> Garment:
    return garment_of([piece("tube", box(80, 50))], [seam("side", ["tube.right"], ["tube.left"])])


def test_a_disc_has_one_hole_around_it() -> None:
    front = piece("front", box(80, 50))
    pocket = piece("pocket", box(10, 10))
    sewn = assemble(garment_of([front, pocket], [seam("s", ["front.top"], ["pocket.bottom"])]))
    assert (sewn.euler, len(sewn.loops), sewn.orientable) == (1, 1, True)
    follows_euler(sewn)


def test_a_tube_has_two_holes_and_characteristic_nought() -> None:
    sewn = assemble(tube())
    assert sewn.euler == 0
    assert holes(sewn) == [["tube.bottom"], ["tube.top"]]
    follows_euler(sewn)


def test_a_tube_glued_the_other_way_round_is_a_band_with_one_side_and_one_edge() -> None:
    sewn = assemble(garment_of([piece("tube", box(80, 50))], [seam("side", ["tube.right"], ["tube.left"], reverse_b=False)]))
    assert sewn.euler == 0
    assert not sewn.orientable
    assert sewn.components[0].inside_out == ("side",)
    assert holes(sewn) == [["tube.bottom", "tube.top"]]


def skirt() -> Garment:
    half = piece("front", box(100, 300), Cut("shell", How.FOLD), fold="left", drawn=L)
    back = piece("back", box(100, 300), Cut("shell", How.FOLD), fold="left")
    return garment_of(
        [half, back],
        [
            seam("side right", ["front.right right"], ["back.right right"]),
            seam("side left", ["front.right left"], ["back.right left"]),
        ],
    )


def test_a_skirt_of_two_parts_on_the_fold_has_waist_and_hem() -> None:
    sewn = assemble(skirt())
    assert sewn.euler == 0
    assert holes(sewn) == [
        ["back.bottom left", "back.bottom right", "front.bottom left", "front.bottom right"],
        ["back.top left", "back.top right", "front.top left", "front.top right"],
    ]
    follows_euler(sewn)


def tunic_piece(name: str, drawn: Hand) -> Piece:
    """Half of a T with the fold on the left: of a front it is the wearer's left half, of a back the right one."""
    points = [(0, 0), (100, 0), (100, 200), (250, 200), (250, 260), (60, 280), (0, 270)]
    names = ["hem", "side", "under", "wrist", "shoulder", "neck", "fold"]
    return piece(name, polygon(points, names), Cut("shell", How.FOLD), fold="fold", drawn=drawn)


def tunic() -> Garment:
    seams = [
        seam(f"{edge} {hand}", [f"front.{edge} {hand}"], [f"back.{edge} {hand}"])
        for edge in ("side", "under", "shoulder")
        for hand in ("right", "left")
    ]
    return garment_of([tunic_piece("front", L), tunic_piece("back", R)], seams)


def test_a_t_shaped_tunic_has_four_holes() -> None:
    sewn = assemble(tunic())
    assert len(sewn.loops) == 4
    assert sewn.euler == -2
    assert ["back.wrist left", "front.wrist left"] in holes(sewn)
    follows_euler(sewn)


def test_a_shoulder_left_open_joins_neck_and_sleeve() -> None:
    whole = tunic()
    seams = [s for s in whole.seams if s.id != "shoulder left"]
    sewn = assemble(garment_of(whole.pieces.values(), seams))
    assert len(sewn.loops) == 3
    assert any({"front.neck left", "front.wrist left"} <= set(loop) for loop in holes(sewn))
    follows_euler(sewn)


def trousers() -> Garment:
    """Two legs: each a front and a back; inside legs and outside legs, then the crutch seam in one chain."""
    points = [(0, 0), (100, 0), (100, 400), (120, 410), (115, 600), (0, 600)]
    front = piece("front", polygon(points, ["hem", "inside", "fork", "crutch", "waist", "outside"]), Cut("shell", How.PAIR))
    # The back is drawn as seen from behind: its outside leg lies on the other side.
    points = [(-100, 0), (0, 0), (0, 600), (-115, 600), (-130, 410), (-100, 400)]
    names = ["hem", "outside", "waist", "crutch", "fork", "inside"]
    back = piece("back", polygon(points, names), Cut("shell", How.PAIR))
    seams = [
        seam(f"{name} {hand}", edges, there, tolerance=30)
        for hand in ("right", "left")
        for name, edges, there in (
            ("outside", [f"front.outside {hand}"], [f"back.outside {hand}"]),
            ("inside", [f"front.inside {hand}", f"front.fork {hand}"], [f"back.inside {hand}", f"back.fork {hand}"]),
        )
    ]
    crutch = seam("crutch", ["front.crutch right", "back.crutch right"], ["front.crutch left", "back.crutch left"])
    return garment_of([front, back], [*seams, crutch])


def test_trousers_of_two_legs_have_three_holes() -> None:
    sewn = assemble(trousers())
    assert sewn.orientable
    assert len(sewn.components) == 1
    assert sewn.euler == -1
    assert ["back.hem left", "front.hem left"] in holes(sewn)
    assert ["back.waist left", "back.waist right", "front.waist left", "front.waist right"] in holes(sewn)
    follows_euler(sewn)


def with_sleeves(order: str) -> Garment:
    """A body of two parts on the fold with an armhole in two edges, and a sleeve set into it."""
    points = [(0, 0), (100, 0), (100, 200), (70, 300), (40, 320), (0, 300)]
    names = ["hem", "side", "armhole", "shoulder", "neck", "fold"]
    front = piece("front", polygon(points, names), Cut("shell", How.FOLD), fold="fold", drawn=L)
    back = piece("back", polygon(points, names), Cut("shell", How.FOLD), fold="fold")
    points = [(0, 0), (200, 0), (210, 200), (105, 280), (-5, 200)]
    sleeve = piece("sleeve", polygon(points, ["wrist", "under_f", "cap_f", "cap_b", "under_b"]), Cut("shell", How.PAIR))
    seams = []
    for hand in ("right", "left"):
        seams += [seam(f"{edge} {hand}", [f"front.{edge} {hand}"], [f"back.{edge} {hand}"]) for edge in ("side", "shoulder")]
        seams.append(seam(f"under {hand}", [f"sleeve.under_b {hand}"], [f"sleeve.under_f {hand}"]))
        caps = [f"sleeve.cap_b {hand}", f"sleeve.cap_f {hand}"]
        holes_ = [f"back.armhole {hand}", f"front.armhole {hand}"]
        if order == "other way":
            caps, holes_ = caps[::-1], holes_[::-1]
        seams.append(seam(f"sleeve {hand}", caps, holes_))
    return garment_of([front, back, sleeve], seams)


@pytest.mark.parametrize("order", ["one way", "other way"])
def test_sleeves_set_into_armholes_of_two_parts(order: str) -> None:
    sewn = assemble(with_sleeves(order))
    assert sewn.orientable
    assert len(sewn.components) == 1
    assert sewn.euler == -2
    assert holes(sewn) == [
        ["back.hem left", "back.hem right", "front.hem left", "front.hem right"],
        ["back.neck left", "back.neck right", "front.neck left", "front.neck right"],
        ["sleeve.wrist left"],
        ["sleeve.wrist right"],
    ]
    follows_euler(sewn)


def test_a_band_in_one_edge_on_a_waist_in_many_is_cut_where_they_end() -> None:
    base = skirt()
    band = piece("band", box(400, 40))
    waist = ["front.top left", "front.top right", "back.top right", "back.top left"]
    seams = [*base.seams, seam("waist", ["band.bottom"], waist), seam("ends", ["band.right"], ["band.left"])]
    sewn = assemble(garment_of([*base.pieces.values(), band], seams))
    assert (sewn.euler, sewn.orientable, len(sewn.loops)) == (0, True, 2)
    assert ["band.top"] in holes(sewn)
    follows_euler(sewn)


def test_a_bag_shut_all_round_has_no_hole() -> None:
    sewn = assemble(
        garment_of(
            [piece("front", box(50, 50)), piece("back", box(50, 50))],
            [
                seam(
                    "all",
                    [f"front.{e}" for e in ("bottom", "right", "top", "left")],
                    [f"back.{e}" for e in ("bottom", "left", "top", "right")],
                ),
            ],
        )
    )
    assert (sewn.euler, sewn.loops) == (2, ())


def test_lining_sewn_to_shell_round_all_its_holes_makes_handles() -> None:
    """Two tubes glued along both ends: a torus, characteristic 0, no hole."""
    pieces = [piece("shell", box(80, 50)), piece("inside", box(80, 50))]
    seams = [
        seam("a", ["shell.right"], ["shell.left"]),
        seam("b", ["inside.right"], ["inside.left"]),
        seam("top", ["shell.top"], ["inside.top"]),
        seam("hem", ["shell.bottom"], ["inside.bottom"]),
    ]
    sewn = assemble(garment_of(pieces, seams))
    assert (sewn.euler, sewn.loops, sewn.orientable) == (0, (), True)


def test_what_cannot_be_glued_is_named_and_left_out() -> None:
    base = skirt()
    card = piece("card", None)
    seams = [
        *base.seams,
        seam("again", ["front.right right"], ["back.top right"]),
        seam("nowhere", ["front.wing right"], ["back.top right"]),
        seam("to a card", ["front.top right"], ["card.top"]),
        seam("itself", ["front.bottom right"], ["front.bottom right"]),
    ]
    sewn = assemble(garment_of([*base.pieces.values(), card], seams))
    assert sewn.left_out == ("again", "nowhere", "to a card", "itself")
    assert sewn.euler == 0


def test_parts_in_no_seam_are_left_out() -> None:
    badge = piece("badge", box(5, 5))
    sewn = assemble(garment_of([*tube().pieces.values(), badge], tube().seams))
    assert [c.parts for c in sewn.components] == [("tube centre shell",)]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(0, 3), min_size=1, max_size=12), st.randoms(use_true_random=False))
def test_any_gluing_of_squares_follows_euler_or_has_a_handle_or_one_side(shape: list[int], random: object) -> None:
    """Classification of surfaces: V - E + F = 2 - 2 * handles - holes where it has two sides, whatever is glued."""
    count = len(shape)
    sides = [EdgeRef(f"p{k}", edge) for k in range(count) for edge in ("bottom", "right", "top", "left")]
    random.shuffle(sides)  # type: ignore[attr-defined]
    pairs = list(zip(sides[::2], sides[1::2], strict=False))[: sum(shape)]
    seams = [Seam(f"s{k}", (a,), (b,)) for k, (a, b) in enumerate(pairs)]
    sewn = assemble(garment_of([piece(f"p{k}", box(10, 10)) for k in range(count)], seams))
    free = len(sides) - 2 * len(pairs)
    joined = {part.split()[0] for c in sewn.components for part in c.parts}
    assert sum(len(loop) for loop in sewn.loops) == free - 4 * (count - len(joined))
    for component in sewn.components:
        assert component.orientable  # head to tail always keeps the face outside
        handles, rest = divmod(2 - len(component.loops) - component.euler, 2)
        assert rest == 0
        assert handles >= 0
