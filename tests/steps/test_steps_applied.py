"""Pockets and badges: made ready, sewn on while the part beneath is flat, then that part's seams.

Order and ways of working: common practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.steps.small_garments import FABRICS, ref, shaped, skirt, straight

from firsthand.pattern import Applied, Cut, Fate, FateKind, Garment, Hand, How, Part, Piece, Rough, parts_of_piece
from firsthand.steps import Machines, Step, check_steps, costume_steps

ON = Fate(FateKind.APPLIED)
POCKET = straight(
    ("bottom", ON, 0, 0), ("right", ON, 160, 0), ("top", Fate(FateKind.HEM, 20), 160, 180), ("left", ON, 0, 180)
)  # fmt: skip


def with_pocket(*more: Applied, piece: Piece | None = None, applied: Applied | None = None) -> Garment:
    """The gathered skirt with a pocket on its front."""
    shape = shaped(*POCKET)
    pocket = piece or Piece("pocket", "4", "Pocket", (Cut("shell", How.SINGLE),), sizes={"M": shape}, size="M", shape=shape)
    made = skirt()
    laid = (applied or Applied("pocket", "front", "pocket place"), *more)
    return replace(made.with_piece(pocket), parts=made.parts + parts_of_piece(pocket), applied=laid)


def steps_of(garment: Garment) -> dict[str, Step]:
    return {step.id: step for step in costume_steps({garment.id: garment}, FABRICS, Machines())}


def ahead(steps: dict[str, Step], name: str) -> set[str]:
    """Everything that must be done before a step."""
    return {before for one in steps[name].after for before in (one, *ahead(steps, one))}


def test_a_pocket_is_hemmed_turned_and_sewn_on_before_the_seams_of_its_front() -> None:
    steps = steps_of(with_pocket())
    ready, on = steps["skirt/ready/pocket"], steps["skirt/apply/pocket on front"]
    assert ready.title == "Hem the top and turn the other edges of the pocket"
    assert on.title == "Mark and sew the pocket on the front"
    assert "pocket place" in on.instruction
    assert "skirt/press ready/pocket" in ahead(steps, on.id)
    for name in ("seam/side right", "seam/side left", "seam/waist", "gather/waist"):
        assert "skirt/press apply/pocket on front" in ahead(steps, f"skirt/{name}")
    assert not [name for name in steps if "/hem/pocket" in name], "its hem is part of making it ready"
    assert check_steps(with_pocket()) == ()


def test_lengths_are_those_of_the_edges_sewn() -> None:
    steps = steps_of(with_pocket())
    assert steps["skirt/ready/pocket"].length == pytest.approx(160.0)
    assert steps["skirt/apply/pocket on front"].length == pytest.approx(160.0 + 2 * 180.0)


def test_the_machine_is_set_up_for_the_cloth() -> None:
    velour = replace(with_pocket(), roles={"shell": "velour", "interfacing": "fusible"})
    setup = steps_of(velour)["skirt/apply/pocket on front"].setup
    assert (setup.stitch, setup.length, setup.needle, setup.thread) == ("narrow zigzag", 2.5, "stretch 75/11", "teal")


def test_a_flap_is_sewn_on_the_pocket_before_the_pocket_is_sewn_on() -> None:
    shape = shaped(*POCKET)
    badge = Piece("badge", "5", "Badge", (Cut("shell", How.SINGLE),), sizes={"M": shape}, size="M", shape=shape)
    made = with_pocket(Applied("badge", "pocket"))
    made = replace(made.with_piece(badge), parts=made.parts + parts_of_piece(badge))
    steps = steps_of(made)
    assert "skirt/press apply/badge on pocket" in ahead(steps, "skirt/apply/pocket on front")
    assert "does not say where" in steps["skirt/apply/badge on pocket"].instruction


def test_a_pair_lies_on_the_parts_of_its_own_hands_and_one_on_the_hand_named() -> None:
    made = with_pocket()
    pair = tuple(Part("pocket", hand, "shell") for hand in (Hand.RIGHT, Hand.LEFT))
    fronts = tuple(Part("front", hand, "shell") for hand in (Hand.RIGHT, Hand.LEFT))
    rest = tuple(part for part in made.parts if part.piece not in ("pocket", "front"))
    both = replace(made, parts=rest + pair + fronts)
    named = {f"skirt/{part.id}" for part in (*pair, *fronts)}
    assert set(steps_of(both)["skirt/apply/pocket on front"].parts) == named
    left = replace(made, parts=rest + pair[:1] + fronts, applied=(Applied("pocket", "front", hand=Hand.LEFT),))
    on = steps_of(left)["skirt/apply/pocket on front left"]
    assert on.title == "Mark and sew the pocket on the front left"
    assert set(on.parts) == {f"skirt/{part.id}" for part in (pair[0], fronts[1])}


def test_a_badge_of_cloth_with_no_allowance_has_nothing_to_turn() -> None:
    edges = tuple(replace(edge, allowance=0.0, fate=ON) for edge in POCKET)
    bare = Piece("pocket", "4", "Badge", (Cut("shell", How.SINGLE),), size="M", shape=shaped(*edges))
    steps = steps_of(with_pocket(piece=bare))
    assert "skirt/ready/pocket" not in steps
    assert steps["skirt/apply/pocket on front"].length == pytest.approx(680.0)


def test_a_pocket_that_is_only_a_card_is_made_and_sewn_on_once() -> None:
    card = Piece("pocket", "4", "Pocket", (Cut("shell", How.SINGLE),), rough={"M": Rough(200, 180)}, size="M")
    steps = steps_of(with_pocket(piece=card))
    assert steps["skirt/ready/pocket"].title == "Hem and turn the edges of the pocket"
    assert steps["skirt/apply/pocket on front"].length == pytest.approx(380.0)
    assert "skirt/make/pocket" not in steps


def test_a_seam_that_catches_the_pocket_comes_after_it() -> None:
    made = with_pocket()
    side = next(seam for seam in made.seams if seam.id == "side right")
    caught = replace(side, a=(*side.a, ref("pocket.right")))
    steps = steps_of(replace(made, seams=tuple(caught if seam is side else seam for seam in made.seams)))
    assert "skirt/apply/pocket on front" in ahead(steps, "skirt/seam/side right")


def test_what_is_applied_but_not_there_makes_no_step() -> None:
    steps = steps_of(with_pocket(applied=Applied("pouch", "front"), piece=None))
    assert not [name for name in steps if "/apply/" in name]
