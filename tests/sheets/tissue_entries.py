"""One entry of each kind of alteration on a garment of the demo, lengths in millimetres, for the sheets about the tissue."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from firsthand.alter import ALTERATIONS, apply_stack
from firsthand.demo import demo_patterns
from firsthand.fit import FitResult
from firsthand.pattern import Pattern, make_garment
from firsthand.sheets import Results, Settings

__all__ = ["ENTRIES", "altered_by", "results_of"]

Fields = dict[str, Any]
ENTRIES: tuple[tuple[str, str, Fields], ...] = (
    ("hose", "belly", {"amount": 25, "centre": "crotch at 50 %", "hinge": "side at level hip"}),
    ("jerkin", "blend-sizes", {"at": ["M at bust", "L at hip"]}),
    ("jerkin", "bust", {"amount": 40, "dart": "bust dart", "lower": "hem at 40 %", "hinge": "armhole at notch armhole"}),
    ("hose", "calf", {"amount": 20}),
    ("jerkin", "close-dart", {"piece": "front", "dart": "bust dart", "into": "ease"}),
    ("hose", "crotch-curve", {"piece": "back", "longer": 15}),
    ("skirt", "flare", {"amount": 120, "edges": ["front.hem", "back.hem"], "opposite": ["front.waist", "back.waist"]}),
    ("skirt", "fullness", {"amount": 30, "edge": "back.waist", "opposite": "hem"}),
    ("jerkin", "grade", {}),
    ("hose", "hem", {"amount": 25}),
    ("skirt", "join", {"seam": "side"}),
    ("shirt", "lengthen", {"amount": 25, "level": "upper arm"}),
    ("jerkin", "mirror", {"pieces": ["front"]}),
    ("jerkin", "move-dart", {"piece": "front", "dart": "bust dart", "along": -15}),
    ("jerkin", "move-edge", {"edges": ["front.armhole"], "stations": [["start", 0], ["notch armhole", 8], ["end", 0]]}),
    ("jerkin", "neckline", {"depths": [["front.neck", 20], ["back.neck", 0]]}),
    ("hose", "notches", {"seams": ["side"], "at": ["level calf", "40 %"]}),
    ("shirt", "pleat", {"piece": "back", "edge": "hem", "depth": 10, "to": "shoulder", "start": "40 %", "end": "50 %"}),
    ("jerkin", "round-back", {"amount": 20, "centre": "centre at 65 %", "hinge": "armhole at 50 %"}),
    ("cape", "scale", {"printed": 100, "measured": 97}),
    ("hose", "seat", {"amount": 25, "centre": "crotch at 50 %", "hinge": "side at level hip"}),
    ("jerkin", "shoulder-slope", {"amount": 8}),
    ("jerkin", "slash", {"piece": "front", "lines": [["hem at 80 %", "neck at 60 %"]], "spread": 30}),
    ("shirt", "sleeve-cap", {"seam": "sleeve", "amount": 10}),
    ("jerkin", "split-dart", {"piece": "front", "dart": "bust dart"}),
    ("jerkin", "split-hands", {"pieces": ["front"]}),
    ("shirt", "split-piece", {"piece": "sleeve", "start": "underarm-front at 50 %", "end": "underarm-back at 50 %"}),
    ("hose", "stretch", {"across": [["waist", "4 %"], ["hip", "6 %"]]}),
    ("jerkin", "take-in", {"amount": 24}),
    ("jerkin", "thickness", {"expected": 0.5, "thickness": 2.5}),
    ("jerkin", "true", {"seams": ["side"]}),
    ("shirt", "tuck", {"piece": "front", "edge": "hem", "depth": 5}),
    ("jerkin", "turn-dart", {"piece": "front", "dart": "bust dart", "to": "shoulder at 50 %"}),
    ("cape", "turn-of-cloth", {"piece": "collar", "thickness": 2, "edges": ["top", "end"]}),
    ("shirt", "unfold", {"piece": "back"}),
    ("shirt", "upper-arm", {"amount": 25, "level": "upper arm"}),
    ("jerkin", "widen-dart", {"piece": "front", "dart": "bust dart", "amount": 6}),
)
"""Garment, kind and fields."""


BEFORE: dict[str, tuple[tuple[str, Fields], ...]] = {
    "true": (("move-edge", {"edges": ["front.side"], "stations": [["start", 0], ["end", 12]]}),),
}
"""What must come before a kind for it to have something to do."""


def altered_by(garment: str, *entries: tuple[str, Fields], **settings: Any) -> Results:
    """A garment of the demo with a stack as it would be read from a file in millimetres."""
    from pydantic import TypeAdapter

    entries = tuple(one for kind, fields in entries for one in (*BEFORE.get(kind, ()), (kind, fields)))
    stack = [
        TypeAdapter(ALTERATIONS[kind]).validate_python({"id": f"{kind} {k}", **fields}, context={"units": "mm"})
        for k, (kind, fields) in enumerate(entries, 1)
    ]
    return results_of(garment, stack, **settings)


def results_of(garment: str, stack: list[Any], **settings: Any) -> Results:
    """A garment of the demo with a stack of alterations, all of which must be applied."""
    pattern = demo_patterns()[garment]
    if any(alteration.kind == "grade" for alteration in stack):
        pattern = without(pattern, "M")
    made = make_garment(pattern, "M", id=garment, name=garment.title())
    result = apply_stack(made, stack)
    outlines = tuple(
        {piece: after.pieces[piece].drawn_shape for piece in record.pieces if piece in after.pieces}
        for record, (_, after) in zip(result.records, result.stages, strict=True)
    )
    assert len(result.records) == len(stack), [finding.message for finding in result.findings]
    fit = FitResult(result.garment, (), (), result.records, altered=outlines)
    return Results("Tide Warden", "Isaura", replace(Settings(), **settings), fits={garment: fit})


def without(pattern: Pattern, size: str) -> Pattern:
    """A pattern of which one size was trimmed off."""
    pieces = {
        name: replace(piece, sizes={other: shape for other, shape in piece.sizes.items() if other != size})
        for name, piece in pattern.pieces.items()
    }
    return replace(pattern, pieces=pieces, trimmed=(size,))
