"""Openings run on round a drafted piece that is sewn to their edges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from firsthand.draft import Band, GatheredFrill, PatchPocket, add_drafting
from firsthand.pattern import EdgeRef, Garment, Hand, Opening, Pattern, assemble, check_garment

WAIST = ("front.waist right", "back.waist right", "back.waist left", "front.waist left")
HEM = ("front.hem right", "back.hem right", "back.hem left", "front.hem left")


def opened(garment: Garment) -> Garment:
    """With its waist and hem declared, and the front drawn as one that faces the back."""
    garment = garment.with_piece(replace(garment.piece("front"), drawn=Hand.LEFT))
    hands = (Hand.RIGHT, Hand.LEFT)
    made = [Opening(e, tuple(EdgeRef(p, e, h) for p in ("front", "back") for h in hands)) for e in ("waist", "hem")]
    return replace(garment, openings=tuple(made))


def loops(garment: Garment) -> list[list[EdgeRef]]:
    return sorted(sorted(loop) for loop in assemble(garment).loops)


def declared(garment: Garment) -> list[list[EdgeRef]]:
    return sorted(sorted(opening.edges) for opening in garment.openings)


def test_an_opening_moves_to_the_free_edge_of_a_ring(make_skirt: Callable[..., Garment]) -> None:
    skirt = opened(make_skirt())
    assert declared(skirt) == loops(skirt)
    band = Band(id="band", depth=40, onto=WAIST, closed=True)
    made = add_drafting(skirt, band.draft(skirt))
    waist = next(opening for opening in made.openings if opening.id == "waist")
    assert {(ref.piece, ref.edge) for ref in waist.edges} == {("band", "upper")}
    assert declared(made) == loops(made)


def test_two_pieces_one_after_the_other_leave_every_hole_declared(make_skirt: Callable[..., Garment]) -> None:
    made = opened(make_skirt())
    for draft in (
        Band(id="band", depth=40, onto=WAIST, closed=True),
        GatheredFrill(id="frill", depth=100, fullness=1.5, onto=HEM, closed=True),
    ):
        made = add_drafting(made, draft.draft(made))
        assert declared(made) == loops(made)
    assert [opening.id for opening in made.openings] == ["waist", "hem"]


def test_an_opening_that_keeps_an_edge_runs_on_round_the_ends(make_skirt: Callable[..., Garment]) -> None:
    skirt = opened(make_skirt())
    skirt = replace(skirt, seams=tuple(seam for seam in skirt.seams if "left" not in seam.id))
    side = tuple(EdgeRef(piece, "side", Hand.LEFT) for piece in ("front", "back"))
    hem, waist = skirt.openings[1].edges, skirt.openings[0].edges
    skirt = replace(skirt, openings=(Opening("all round", (*waist, *side, *hem)),))
    assert declared(skirt) == loops(skirt)
    band = Band(
        id="band", depth=40, onto=("front.waist left", "front.waist right", "back.waist right", "back.waist left"), overlap=30
    )
    made = add_drafting(skirt, band.draft(skirt))
    assert declared(made) == loops(made)
    assert {ref.edge for ref in made.openings[0].edges if ref.piece == "band"} == {"lap", "left", "right", "upper"}


def test_a_pocket_on_its_face_makes_no_hole(make_skirt: Callable[..., Garment]) -> None:
    skirt = opened(make_skirt())
    made = add_drafting(skirt, PatchPocket("pocket", 100, 120, "front", (90, 300), pair=True).draft(skirt))
    pattern = Pattern("p", "P", (made.size,), made.pieces)
    new = {f.message for f in check_garment(made, pattern)} - {f.message for f in check_garment(skirt, pattern)}
    assert new == set()
    assert declared(made) == loops(made)
