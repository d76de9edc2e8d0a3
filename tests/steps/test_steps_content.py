"""What steps say: linings, cards, set-ups, minutes, cautions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.steps.small_garments import FABRICS, costume, hollow, jerkin, ref, shaped, shirt, skirt, straight

from firsthand.findings import Finding, Severity
from firsthand.pattern import (
    Closure,
    ClosureKind,
    Cut,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Pattern,
    Piece,
    Pressed,
    Seam,
    SeamKind,
    make_garment,
)
from firsthand.steps import RULES, Machines, Place, Step, costume_steps, garment_steps
from firsthand.steps._prepare import signed_turn


def steps_of(garment: Garment, machines: Machines | None = None) -> dict[str, Step]:
    return {step.id: step for step in garment_steps(garment, FABRICS, machines or Machines())}


def test_the_lining_is_sewn_like_the_shell_and_joined() -> None:
    steps = steps_of(jerkin())
    for seam in ("side right", "side left", "shoulder right", "shoulder left"):
        assert steps[f"jerkin/seam/{seam} lining"].stage == "lining"
        assert steps[f"jerkin/seam/{seam} lining"].setup.thread == "green"
        assert steps[f"jerkin/seam/{seam}"].setup.thread == "slate"
    join = steps["jerkin/join/lining"]
    assert join.length > 0
    assert not [name for name in steps if "/facing/" in name], "the lining is the facing"


def test_seams_under_a_lining_are_not_neatened() -> None:
    """Enclosed edges need no finish: Univ. of Kentucky Coop. Ext. FCS2-304."""
    assert not [name for name in steps_of(jerkin()) if "/neaten/" in name]
    assert [name for name in steps_of(shirt()) if "/neaten/" in name]


def test_a_card_is_drawn_and_made_up() -> None:
    steps = steps_of(jerkin())
    assert "⟨100 mm⟩" in steps["jerkin/draw"].instruction
    assert "⟨300 mm⟩" in steps["jerkin/draw"].instruction
    assert len(steps["jerkin/make/wing"].parts) == 4


def test_a_garment_of_nothing_but_cards_still_gets_steps() -> None:
    garment = jerkin()
    cards = {name: replace(piece, shape=None) for name, piece in garment.pieces.items()}
    steps = steps_of(replace(garment, pieces=cards))
    assert "jerkin/seam/side right" in steps
    assert "jerkin/tissue" not in steps
    assert all(math.isfinite(step.minutes) and step.minutes > 0 for step in steps.values())


def test_set_ups_follow_the_fabric() -> None:
    velour = replace(skirt(), roles={"shell": "velour", "interfacing": "fusible"})
    seam = steps_of(velour)["skirt/seam/side right"].setup
    assert (seam.stitch, seam.length, seam.needle, seam.foot, seam.thread) == (
        "narrow zigzag",
        2.5,
        "stretch 75/11",
        "walking",
        "teal",
    )
    assert steps_of(velour)["skirt/press/side right"].setup.heat == "two dots, 150 °C at most"


def test_without_an_overlocker_the_machine_neatens() -> None:
    neaten = steps_of(shirt(), Machines(overlocker=False))["shirt/neaten/side right"]
    assert neaten.place is Place.MACHINE
    assert neaten.setup.stitch == "zigzag"
    assert all(step.place is not Place.OVERLOCKER for step in steps_of(shirt(), Machines(overlocker=False)).values())


def test_lengths_are_sewn_lengths() -> None:
    """The side of the flared skirt is a straight line: Pythagoras. The gathered waist is as long as its band."""
    steps = steps_of(skirt(flared=True))
    assert steps["skirt/seam/side right"].length == pytest.approx(math.hypot(240, 420))
    assert steps["skirt/seam/waist"].length == pytest.approx(840.0)
    assert steps["skirt/gather/waist"].length == pytest.approx(2 * 1600.0), "two rows along both halves, front and back"
    assert steps["skirt/neaten/side right"].length == pytest.approx(2 * math.hypot(240, 420)), "each allowance for itself"
    assert steps_of(shirt())["shirt/seam/cuff right"].length == pytest.approx(230.0), "the pleats are folded away"


def test_a_simple_skirt_takes_as_long_as_sewers_say() -> None:
    """Timed by sewers: 3 to 6 hours for a simple skirt with everything (chicagocountrygirl 2015, eword10 2009 and others)."""
    minutes = sum(step.minutes for step in costume_steps({"skirt": skirt()}, FABRICS, Machines()))
    assert 120 <= minutes <= 360


def test_cautions_stand_where_someone_can_be_hurt() -> None:
    steps = {step.id: step for step in costume_steps(costume(), FABRICS, Machines())}
    assert all("blade" in step.caution for name, step in steps.items() if "/cut " in name)
    assert all(
        "iron" in step.caution for name, step in steps.items() if name.endswith(("/tissue", "/last press", "/press test"))
    )
    assert all("knife" in step.caution for step in steps.values() if step.place is Place.OVERLOCKER)
    assert "stairs" in next(step.caution for name, step in steps.items() if "skirt/hem/" in name)


@pytest.mark.parametrize("kind", list(ClosureKind))
def test_every_closure_has_its_step_at_the_end(kind: ClosureKind) -> None:
    closure = Closure("shut", kind, (ref("front.side", Hand.LEFT),), count=2)
    steps = steps_of(replace(skirt(), closures=(closure,)))
    found = [step for step in steps.values() if step.stage == "closures"]
    assert found
    assert all("shut" in step.title for step in found)


def strip(**depths: float) -> Garment:
    """A strip of one piece, each edge hemmed so deep."""
    corners = dict(zip(depths, ((0, 0), (900, 0), (900, 90), (0, 90)), strict=True))
    edges = straight(*((name, Fate(FateKind.HEM, depth), *corners[name]) for name, depth in depths.items()))
    pieces = {"strip": Piece("strip", "1", "Strip", (Cut("shell", How.SINGLE),), sizes={"M": shaped(*edges)})}
    return make_garment(Pattern("strip", "Strip", ("M",), pieces), "M", id="strip", roles={"shell": "linen"})


def test_hems_of_one_depth_are_one_step_that_names_them_all() -> None:
    """The two end hems of a frill lie on either side of its long one."""
    hems = [step for name, step in steps_of(strip(lower=10, right=5, upper=10, left=5)).items() if "/hem/" in name]
    assert [step.title for step in hems] == ["Hem lower and upper of strip", "Hem right and left of strip"]
    assert [step.length for step in hems] == [pytest.approx(1800.0), pytest.approx(180.0)]
    assert ["⟨10 mm⟩" in step.instruction for step in hems] == [True, False]
    assert "⟨5 mm⟩" in hems[1].instruction


def test_an_edge_called_hem_is_not_hemmed_twice_in_words() -> None:
    assert steps_of(skirt())["skirt/hem/front.hem right"].title == "Hem of front, back"
    titles = [step.title for name, step in steps_of(strip(hem=10, right=10, upper=20, left=20)).items() if "/hem/" in name]
    assert titles == ["Hem the edges hem and right of strip", "Hem upper and left of strip"]


def test_what_closes_round_the_neck_must_let_go() -> None:
    closure = Closure("tie", ClosureKind.DRAWSTRING, (ref("front.neck", Hand.RIGHT),), at_neck=True)
    held = steps_of(replace(shirt(), closures=(closure,)))["shirt/drawstring/tie"]
    parting = steps_of(replace(shirt(), closures=(replace(closure, parts_under_pull=True),)))["shirt/drawstring/tie"]
    assert "neck" in held.caution
    assert parting.caution == ""


def test_elastic_is_tried_on() -> None:
    closure = Closure("waist", ClosureKind.ELASTIC, (ref("front.waist", Hand.RIGHT),))
    assert "tight" in steps_of(replace(skirt(), closures=(closure,)))["skirt/elastic/waist"].caution


def test_doubts_are_settled_before_cutting() -> None:
    found = [
        Finding("seam-length", Severity.FAULT, "side: 12 mm too long", ("skirt", "side right"), "True it."),
        Finding("note", Severity.NOTE, "nice", ("skirt",)),
        Finding("other", Severity.FAULT, "elsewhere", ("shirt",)),
    ]
    steps = {step.id: step for step in costume_steps({"skirt": skirt()}, FABRICS, Machines(), findings=found)}
    assert "12 mm too long: True it." in steps["skirt/settle"].instruction
    assert "nice" not in steps["skirt/settle"].instruction
    assert "skirt/settle" in steps["skirt/tissue"].after


def test_unbound_roles_are_worked_without_a_fabric() -> None:
    steps = {step.id: step for step in costume_steps({"skirt": replace(skirt(), roles={})}, {}, Machines())}
    assert "skirt/seam/side right" in steps
    assert not [name for name in steps if name.startswith("fabric/")]
    assert steps["skirt/press/side right"].setup.heat.startswith("one dot")


def test_altered_pieces_are_altered_on_the_paper() -> None:
    garment = skirt()
    piece = garment.piece("front")
    changed = replace(piece, shape=piece.drawn_shape.with_edge(replace(piece.drawn_shape.edge("hem"), allowance=50)))
    assert "skirt/alter" not in steps_of(garment)
    assert "Front" in steps_of(garment.with_piece(changed))["skirt/alter"].instruction


def test_a_hollow_edge_turns_inwards() -> None:
    edge = skirt().piece("front").drawn_shape.edge("side")
    assert signed_turn(edge.path) == pytest.approx(0.0)
    assert signed_turn(hollow(edge, 60).path) < -0.35
    assert signed_turn(hollow(edge, 60).path.reversed()) == pytest.approx(-signed_turn(hollow(edge, 60).path))


def test_stretched_seams_are_quartered_and_cautioned() -> None:
    garment = skirt()
    seams = tuple(replace(seam, kind=SeamKind.STRETCHED) if seam.id == "waist" else seam for seam in garment.seams)
    steps = steps_of(replace(garment, seams=seams))
    assert "skirt/quarter/waist" in steps["skirt/seam/waist"].after
    assert steps["skirt/seam/waist"].caution


def test_rules_can_be_listed() -> None:
    assert {"fused before sewn", "crossed seams first", "flat before round", "the pattern's own order"} <= set(RULES)
    assert all(rule.__doc__ for _, rule in RULES.items())


def test_nothing_gives_nothing() -> None:
    assert costume_steps({}, {}, Machines()) == ()


def test_seams_that_name_nothing_there_do_not_stop_the_rest() -> None:
    """What is wrong with them is a finding of the pattern's own checks."""
    garment = skirt()
    odd = (Seam("ghost", (ref("ghost.edge"),), (ref("front.nowhere", Hand.RIGHT),)), Seam("empty", (), ()), garment.seams[1])
    closure = Closure("waist hook", ClosureKind.BUTTONS, (ref("ghost.edge"),), 1)
    made = costume_steps({"skirt": replace(garment, seams=(*garment.seams, *odd), closures=(*garment.closures, closure))},
                         FABRICS, Machines())  # fmt: skip
    ids = [step.id for step in made]
    assert len(set(ids)) == len(ids)
    assert {"skirt/seam/ghost", "skirt/seam/empty", "skirt/seam/side right", "skirt/seam/side right no. 2"} <= set(ids)


@pytest.mark.parametrize(
    ("pressed", "words"),
    [
        (Pressed.START, "towards the edge armhole, as it is cut for"),
        (Pressed.END, "towards the edge hem, as it is cut for"),
        (Pressed.OPEN, "press it open"),
        (Pressed.BOX, "half to either side"),
    ],
)
def test_a_dart_is_pressed_as_its_edge_is_cut_for(pressed: Pressed, words: str) -> None:
    garment = jerkin()
    front = garment.piece("front")
    shape = front.drawn_shape
    darts = tuple(replace(dart, pressed=pressed) for dart in shape.darts)
    garment = garment.with_piece(replace(front, shape=replace(shape, darts=darts)))
    told = [step.instruction for step in garment_steps(garment, FABRICS, Machines()) if "/press dart/" in step.id]
    assert told
    assert all(text.startswith("Over a ham or a rolled towel: ") and words in text for text in told)
