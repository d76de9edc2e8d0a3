"""Checks of the pieces as they came: missing, torn, trimmed away, copied at a wrong scale, or only cards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from statistics import fmean

from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern._sewn import edge_length
from firsthand.pattern.checks._registry import CHECKS
from firsthand.pattern.checks._words import listed, piece_block
from firsthand.pattern.model import Condition, Garment, How, Pattern, Piece, Shape

__all__: list[str] = []

SCALE_TOLERANCE = 0.005
"""How far a copy may be off, as a share. Source: common practice (half a centimetre in a metre)."""

LONGEST = 10_000.0
"""No test line is longer, mm."""

MISSING = kind(
    "piece-missing",
    Severity.FAULT,
    "A piece is missing from the envelope. Draft it anew from the pieces next to it, or find another copy.",
)
TORN = kind(
    "piece-torn",
    Severity.DOUBT,
    "A printed piece is torn, so that part of its outline is a guess. Mend it, true it against the pieces it is sewn to, and "
    "only then cut; until it is called whole it is held back from cutting.",
)
TRIMMED = kind(
    "size-trimmed",
    Severity.FAULT,
    "The chosen size was cut away from the paper. Grade up from the largest size that is left, find another copy, or choose "
    "another size.",
)
SCALE = kind(
    "scale-wrong",
    Severity.FAULT,
    "The printed test line does not measure what it says: the pattern is a copy at another size, and every piece is too small "
    "or too large by that factor. Printing and cutting wait until the pieces are scaled by the inverse.",
)
CARD = kind(
    "piece-card",
    Severity.NOTE,
    "A piece is only a card, without an outline: it is laid and bought by its rough size, but its seams are not walked, "
    "nothing is drawn of it, and it adds nothing to a girth.",
)
CARD_SIZE = kind(
    "card-size",
    Severity.DOUBT,
    "A piece without an outline has no rough size for the chosen size either, so that no cloth can be reckoned for it.",
)
PART_TWICE = kind(
    "part-twice",
    Severity.FAULT,
    "Two cuts of one piece give parts of the same name. Put them together into one cut with a higher count.",
)
CUT_COUNT = kind(
    "cut-count",
    Severity.FAULT,
    "A piece is cut a number of times without sense, or nothing is cut of it, or it is cut on the fold and has no fold edge.",
)
TOPOLOGY = kind(
    "size-topology",
    Severity.FAULT,
    "The sizes of one piece do not have the same edges, corners, notches, darts and pleats, so that nothing can follow from "
    "one size to another.",
)


@CHECKS.register("conditions")
def conditions(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Pieces that are missing or torn."""
    for piece in garment.pieces.values():
        where = (garment.id, piece.id)
        if piece.condition is Condition.MISSING:
            yield MISSING(f"{piece.name} (piece {piece.number}) is missing from the envelope" if piece.number else
                          f"{piece.name} is missing from the envelope", where=where,
                          remedy="Draft it anew from the pieces next to it, or find another copy.",
                          blocks=[piece_block("print", garment, piece.id), piece_block("cut", garment, piece.id)])  # fmt: skip
        elif piece.condition is Condition.TORN:
            guess = "it has no outline until it is mended" if piece.is_card else "part of its outline is a guess"
            acts = ("print", "cut") if piece.is_card else ("cut",)
            yield TORN(f"{piece.name} is torn: {guess}", where=where,
                       remedy="Mend it and true it against the pieces it is sewn to, then call it whole.",
                       blocks=[piece_block(act, garment, piece.id) for act in acts])  # fmt: skip


@CHECKS.register("size")
def size(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """A size that is no longer on the paper."""
    if garment.size not in pattern.trimmed:
        return
    left = [size for size in pattern.sizes if size not in pattern.trimmed]
    remedy = f"Grade up from {left[-1]}, find another copy, or choose {' or '.join(left)}." if left else "Find another copy."
    gone = [piece for piece in garment.pieces.values() if piece.is_card]
    acts = [piece_block(act, garment, piece.id) for piece in gone for act in ("print", "cut")]
    yield TRIMMED(
        f"size {garment.size} was trimmed away from this copy of {pattern.name}",
        where=(garment.id,),
        remedy=remedy,
        blocks=[Block("fit", garment.id), *acts],
        why=[f"no outline in this size: {listed(piece.name for piece in gone)}"] if gone else [],
    )


@CHECKS.register("scale")
def scale(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """A copy at another scale, as long as its pieces are as they were bought."""
    if pattern.scale is None:
        return
    where, measured = (garment.id,), pattern.scale.measured
    if not (0 < measured < LONGEST and 0 < pattern.scale.printed < LONGEST):
        yield SCALE("the test line of this pattern has no length", where=where, remedy="Measure it again.",
                    blocks=[Block("print", garment.id), Block("cut", garment.id)])  # fmt: skip
        return
    factor = measured / pattern.scale.printed
    wrong = [piece for piece in garment.pieces.values() if piece.bought is not None and not _set_right(piece, 1 / factor)]
    if abs(factor - 1) <= SCALE_TOLERANCE or not wrong:
        return
    yield SCALE(
        f"{pattern.name} is a copy at {factor * 100:.1f} %: every piece is too {'small' if factor < 1 else 'large'}",
        where=where,
        remedy=f"Alter the whole garment by the scale {1 / factor:.4f}; allowances stay as they are.",
        blocks=[Block("print", garment.id), Block("cut", garment.id)],
        why=[
            # in millimetres for every reader: eighths of an inch would hide the difference
            f"the test line says {pattern.scale.printed:g} mm and measures {measured:g} mm",
            f"not yet scaled: {listed(piece.name for piece in wrong)}",
        ],
    )


def _set_right(piece: Piece, factor: float) -> bool:
    """Whether more edges have grown by a factor since they were bought than have stayed as they were."""
    bought, shape = piece.bought, piece.shape
    if bought is None or shape is None:
        return False
    old = {edge.id: edge_length(edge.path) for edge in bought.edges}
    ratios = [edge_length(edge.path) / old[edge.id] for edge in shape.edges if old.get(edge.id)]
    grown, same = (sum(abs(ratio / to - 1) < 0.002 for ratio in ratios) for to in (factor, 1.0))
    return grown > same or (bool(ratios) and grown == same == 0 and abs(fmean(ratios) / factor - 1) < abs(fmean(ratios) - 1))


@CHECKS.register("cards")
def cards(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Pieces that are only cards."""
    for piece in garment.pieces.values():
        if not piece.is_card:
            continue
        where, rough = (garment.id, piece.id), piece.rough.get(garment.size)
        if piece.condition is Condition.WHOLE:
            yield CARD(
                f"{piece.name} is only a card: it is laid and bought by its rough size, its seams are not checked",
                where=where,
                remedy="Take its outline in before cutting it.",
            )
        if rough is None or not (0 < rough.length < 1e5 and 0 < rough.width < 1e5):
            yield CARD_SIZE(f"{piece.name} has no outline and no rough size for {garment.size}", where=where,
                            remedy="Write down its length and width, allowances included.",
                            blocks=[piece_block(act, garment, piece.id) for act in ("lay", "buy", "cut")])  # fmt: skip


@CHECKS.register("counts")
def counts(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Parts of the same name, and cuts without sense."""
    twice = [part for part, count in Counter(part.id for part in garment.parts).items() if count > 1]
    for part in twice:
        yield PART_TWICE(
            f"{part} is cut twice under one name", where=(garment.id, part), remedy="Make it one cut, and count 2."
        )
    for piece in garment.pieces.values():
        for words in _cut_problems(piece):
            yield CUT_COUNT(f"{piece.name} {words}", where=(garment.id, piece.id), remedy="Mend how the piece is cut.",
                            blocks=[piece_block("lay", garment, piece.id), piece_block("cut", garment, piece.id)])  # fmt: skip


def _cut_problems(piece: Piece) -> Iterator[str]:
    if not piece.cuts:
        yield "is never cut: it has no cuts"
    for cut in piece.cuts:
        if cut.count < 1:
            yield f"is cut {cut.count} times of {cut.role}"
        if cut.how is How.FOLD and not piece.fold and piece.shape is not None:
            yield "is cut on the fold, and no edge lies on the fold"


@CHECKS.register("sizes")
def sizes(garment: Garment, pattern: Pattern) -> Iterator[Finding]:
    """Sizes of one piece that do not have the same edges and marks."""
    for piece in pattern.pieces.values():
        shapes = list(piece.sizes.items())
        for name, shape in shapes[1:]:
            first, base = shapes[0]
            differ = [what for (what, one), (_, two) in zip(_topology(base), _topology(shape), strict=True) if one != two]
            if differ:
                words = f"{piece.name}: sizes {first} and {name} differ in their {listed(differ)}"
                remedy = "Give both the same ids in the same order."
                yield TOPOLOGY(words, where=(garment.id, piece.id, name), remedy=remedy)


def _topology(shape: Shape) -> list[tuple[str, object]]:
    return [
        ("edges", [edge.id for edge in shape.edges]),
        ("corners", [edge.corner.id for edge in shape.edges]),
        ("notches", sorted((notch.id, notch.edge) for notch in shape.notches)),
        ("darts", sorted((dart.id, dart.edge) for dart in shape.darts)),
        ("pleats", sorted((pleat.id, pleat.edge) for pleat in shape.pleats)),
        ("lines", sorted((line.id, line.kind.value) for line in shape.lines)),
        ("levels", sorted(line.level for line in shape.levels)),
    ]
