"""On the tissue, whatever the kind of alteration: what it is told by is its record alone."""

from __future__ import annotations

import math

import pytest

from firsthand.alter import (
    Alteration,
    Hem,
    Join,
    Lengthen,
    Mark,
    Mirror,
    SlashAndSpread,
    SplitHands,
    SplitPiece,
    TakeIn,
    Tissue,
    TurnDart,
    TurnOfCloth,
    Unfold,
    apply_stack,
    on_tissue,
)
from firsthand.demo import demo_patterns
from firsthand.geometry import extended, nearest
from firsthand.pattern import Garment, Piece, make_garment


def tissues(name: str, *stack: Alteration) -> tuple[Garment, dict[str, Tissue]]:
    """What to do on the tissue of each piece of a garment of the demo."""
    result = apply_stack(make_garment(demo_patterns()[name], "M", id=name), stack)
    assert len(result.records) == len(stack), [finding.message for finding in result.findings]
    altered = [
        {piece: after.pieces[piece].drawn_shape for piece in record.pieces}
        for record, (_, after) in zip(result.records, result.stages, strict=True)
    ]
    found = {key: on_tissue(piece, result.records, altered) for key, piece in result.garment.pieces.items()}
    return result.garment, {key: tissue for key, tissue in found.items() if tissue is not None}


def worst(piece: Piece, tissue: Tissue) -> float:
    """How far the marks made by the exact offsets lie from the new line at most, mm."""
    outline, bought = piece.drawn_shape.outline, piece.sizes["M"]
    found = [0.0]
    for offset in tissue.offsets:
        path = bought.edge(offset.edge).path
        run = abs(offset.along) + 10.0
        line, at = extended(path, run, run), run + offset.at + offset.along
        mine = [bit for bit in tissue.bits if bit.edge == offset.edge and bit.start - 1e-6 <= offset.at <= bit.end + 1e-6]
        bit = mine[0] if offset.place == "cut, first side" else mine[-1]
        foot = bit.motion(line.at(at))
        inwards = (bit.motion(line.at(at) + line.tangent_at(at)) - foot).unit().left
        found.append(nearest(outline, foot + inwards * offset.square)[1])
    return max(found)


STACKS: tuple[tuple[str, tuple[Alteration, ...]], ...] = (
    ("jerkin", (SplitHands(pieces=("front",)), TakeIn(amount=16.0))),
    ("jerkin", (TakeIn(amount=16.0), SplitHands(pieces=("front",)), TakeIn(amount=8.0))),
    ("jerkin", (TakeIn(amount=16.0), Unfold(piece="back"))),
    ("jerkin", (Unfold(piece="back"), TakeIn(amount=16.0))),
    ("jerkin", (TurnDart(piece="front", dart="bust dart", to="shoulder at 50 %"), TakeIn(amount=16.0))),
    ("hose", (Lengthen(amount=25.0, level="thigh"), TakeIn(amount=30.0), Hem(amount=20.0))),
    ("hose", (Lengthen(amount=25.0, level="thigh"), TakeIn(amount=30.0, hand="left"))),
)  # fmt: skip


@pytest.mark.parametrize(("name", "stack"), STACKS)
def test_exact_offsets_lead_exactly_to_the_new_line(name: str, stack: tuple[Alteration, ...]) -> None:
    garment, found = tissues(name, *stack)
    assert found
    for key, tissue in found.items():
        assert tissue.new == ""
        assert worst(garment.pieces[key], tissue) < 0.03, key
        assert not tissue.gone, key


def test_each_hand_is_told_by_itself_and_turned_over_where_it_is() -> None:
    _, found = tissues("jerkin", TakeIn(amount=16.0), SplitHands(pieces=("front",)))
    assert {key: tissue.turned for key, tissue in found.items()} == {"front right": False, "front left": True, "back": False}
    sides = [[(o.at, o.square) for o in found[f"front {hand}"].offsets if o.mark is Mark.STATION] for hand in ("right", "left")]
    assert {round(square, 1) for side in sides for _, square in side} == {4.0}
    # what is 5 cm from one end of an edge is told from the other end on the tracing turned over
    assert len(sides[0]) == len(sides[1])


def test_one_hand_alone_leaves_the_other_as_printed() -> None:
    _, found = tissues("hose", TakeIn(amount=30.0, hand="left"))
    moved = {key for key, tissue in found.items() if any(offset.moved for offset in tissue.offsets)}
    assert moved == {"front left", "back left"}


def test_an_opened_piece_has_offsets_on_both_halves() -> None:
    for stack in STACKS[2:4]:
        _, found = tissues("jerkin", *stack[1])
        assert found["back"].opened
        halves = [
            sorted(round(o.square, 1) for o in found["back"].offsets if o.edge == edge and o.mark is Mark.STATION)
            for edge in ("side", "side mirrored")
        ]
        assert halves[0] == halves[1] == [4.0] * len(halves[0])
        assert len(halves[0]) > 5


def test_a_turned_dart_is_a_turn_round_its_point() -> None:
    garment, found = tissues("jerkin", TurnDart(piece="front", dart="bust dart", to="shoulder at 50 %"))
    ((section,),) = [stage.moved for stage in found["front"].stages]
    dart = next(d for d in garment.pieces["front"].sizes["M"].darts if d.id == "bust dart")
    path = garment.pieces["front"].sizes["M"].edge(dart.edge).path
    one, two = (path.at(dart.at + side * dart.width / 2) - dart.apex for side in (-1, 1))
    assert abs(section.turn) == pytest.approx(math.atan2(abs(one.cross(two)), one.dot(two)), abs=2e-3)
    assert section.pivot == "the point of bust dart"
    ends = {end.edge: end for end in section.ends}
    assert ends["side"].dart == "bust dart"
    assert ends["side"].opened == pytest.approx(-dart.width, abs=0.1)
    assert ends["shoulder"].opened > dart.width  # further from the point it opens wider
    assert {end.cut for end in section.ends} == {0}
    assert [mark.name for mark in found["front"].added] == ["bust dart"]


@pytest.mark.parametrize("trued", [True, False])
def test_a_strip_between_two_cuts_is_a_section_even_where_its_edges_were_made_fair(trued: bool) -> None:
    lines = (("hem at 40 %", "neck at 40 %"), ("hem at 70 %", "shoulder at 70 %"))
    slash = SlashAndSpread(piece="back", lines=lines, spread=20.0, spread_far=20.0, trued=trued)
    garment, found = tissues("jerkin", slash)
    ((middle, outer),) = [stage.moved for stage in found["back"].stages]
    assert math.hypot(middle.right, middle.up) == pytest.approx(20.0, abs=0.01)
    assert middle.between
    assert set(outer.edges) == {"side", "armhole"}
    assert {round(end.opened, 2) for end in middle.ends} == {20.0}
    assert sorted(end.cut for end in middle.ends) == [0, 0, 1, 1]
    assert worst(garment.pieces["back"], found["back"]) < 0.03
    if not trued:
        assert found["back"].offsets == ()


def test_a_piece_in_two_is_cut_along_a_line_on_its_tissue() -> None:
    """Ends and bends, measured off on the printed piece, lie on the new edge; each half knows whose tissue it is."""
    cut = SplitPiece(piece="stay", start="front at 40 %", end="inner at 60 %")
    garment, found = tissues("jerkin", TakeIn(amount=16.0), cut)
    halves = {key: tissue for key, tissue in found.items() if tissue.source == "stay"}
    assert {key: tissue.new for key, tissue in halves.items()} == {"stay upper": "", "stay lower": ""}
    for key, tissue in halves.items():
        (line,) = tissue.lines
        assert line.edge == "split"
        bought, now = garment.pieces[key].sizes["M"], garment.pieces[key].drawn_shape.edge("split").path
        start, end = (bought.edge(spot.edge).path.at(spot.at) for spot in (line.start, line.end))
        assert start.distance(now.start) < 0.01
        assert end.distance(now.end) < 0.01
        assert line.length == pytest.approx(now.length)
        assert not line.bends
        assert not tissue.gone


def test_a_bent_cut_is_told_by_its_chord() -> None:
    cut = SplitPiece(
        piece="sleeve", start="underarm-front at 50 %", end="underarm-back at 50 %", through=("level upper arm at 50 %",)
    )
    garment, found = tissues("shirt", cut)
    seen = {key: tissue for key, tissue in found.items() if tissue.source == "sleeve"}
    assert len(seen) == 2
    for key, tissue in seen.items():
        (line,) = tissue.lines
        now = garment.pieces[key].drawn_shape.edge("split").path
        way = (now.end - now.start).unit()
        assert len(line.bends) == int(now.start.distance(now.end) // 50)
        for bend in line.bends:
            assert nearest(now, now.start + way * bend.along + way.left * bend.left)[1] < 0.06


def test_the_outer_layer_is_drawn_on_the_tissue_of_the_piece_it_was_made_of() -> None:
    turn = TurnOfCloth(piece="collar", thickness=2.0, edges=("top", "end"))
    garment, found = tissues("cape", turn)
    assert {key: (tissue.new, tissue.source) for key, tissue in found.items()} == {"collar outer": ("", "collar")}
    assert worst(garment.pieces["collar outer"], found["collar outer"]) < 0.03
    grown = {offset.edge: offset.square for offset in found["collar outer"].offsets if offset.mark is Mark.STATION}
    assert grown["top"] == pytest.approx(-6.0, abs=0.01)  # three thicknesses


def test_what_is_joined_is_taped_on() -> None:
    _, found = tissues("skirt", Join(seam="side"), Hem(amount=20.0))
    (taped,) = found["front"].taped
    assert (taped.piece, taped.along, taped.to) == ("back", ("side",), ("side",))
    assert found["front"].foreign
    assert {offset.edge for offset in found["front"].offsets if offset.moved} >= {"hem"}


def test_what_is_only_opened_out_or_turned_over_is_said() -> None:
    _, found = tissues("jerkin", Unfold(piece="back"), Mirror(pieces=("front",)))
    assert {key: (one.opened, one.turned, one.offsets) for key, one in found.items()} == {
        "back": (True, False, ()), "front": (False, True, ())}  # fmt: skip
