"""From the parts of garments to the items that are laid on one fabric."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.errors import GeometryError, NotThere
from firsthand.fabric import Fabric, Nap
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.geometry import Affine, Point
from firsthand.lay._shapes import alike, outward, turned
from firsthand.lay.model import LayItem, Way
from firsthand.pattern import CutOutline, Garment, Hand, Part, PartState, Piece, cut_outline, is_on_fold

__all__ = ["Collected", "collect", "lay_items", "refused"]

PIECE_WITHOUT_SIZE = kind(
    "piece-without-size",
    Severity.FAULT,
    "A piece has neither an outline nor a rough size, so no room could be kept for it: the lay is too short by this piece.",
)
PIECE_NOT_LAID = kind(
    "piece-not-laid",
    Severity.FAULT,
    "A piece has an outline, a fold edge or allowances that nothing can be cut by, so it is missing from the lay, which is too "
    "short by it. Cutting that fabric waits until the piece is mended.",
)
FOLD_OFF_GRAIN = kind(
    "fold-off-grain",
    Severity.DOUBT,
    "The fold edge of a piece does not run along its grain line. On the fold of the fabric the fold edge decides.",
)

SYMMETRY = 0.1
"""An outline that differs from its mirror image by less, mm, is the same (common practice: less than a chalk line)."""
OFF_GRAIN = math.radians(1.0)
"""A fold edge further off the grain than this is told (common practice)."""


@dataclass(frozen=True, slots=True)
class Collected:
    """Items, what was noticed on the way, and a finding for each piece that gave none."""

    items: tuple[LayItem, ...]
    findings: tuple[Finding, ...]
    missing: tuple[Finding, ...] = ()


def lay_items(garments: Mapping[str, Garment], fabric: Fabric, way: Way) -> tuple[LayItem, ...]:
    """What has to be laid on a fabric.

    Parts that are cut or sewn already are left out; room is kept for those that are held back. On open cloth every part
    is an item of its own, opened out if it is cut on the fold. On double cloth a pair is one item that cuts both hands, as
    are two copies of a piece that is alike on both sides; a part on the fold is its half with the fold edge on the fold;
    any other part lies on both layers but is cut from one, and the second layer under it is spare.

    Parameters
    ----------
    garments
        All garments of the costume, by id.
    fabric
        The fabric: its nap decides whether parts may lie upside down, and one that is not preshrunk makes them larger.
    way
        How the cloth lies.

    Returns
    -------
    tuple of LayItem
        In the order of garments and parts. Pieces without an outline are rectangles of their rough size; those without
        any size are left out.
    """
    return collect(garments, fabric, way).items


def collect(garments: Mapping[str, Garment], fabric: Fabric, way: Way) -> Collected:
    """Items together with findings; see :func:`lay_items`."""
    cut_here = {key: [part for part in one.parts if _wanted(one, part, fabric)] for key, one in garments.items()}
    several = sum(bool(parts) for parts in cut_here.values()) > 1
    items: list[LayItem] = []
    findings: list[Finding] = []
    missing: list[Finding] = []
    for key, parts in cut_here.items():
        for group in _groups(parts, garments[key], way):
            try:
                items.append(_item(key, garments[key], group, fabric, way, several=several, findings=findings))
            except (GeometryError, NotThere) as error:
                missing.append(_not_laid(key, garments[key], group[0], fabric, error))
    return Collected(tuple(items), tuple(dict.fromkeys(findings)), tuple(dict.fromkeys(missing)))


def _wanted(garment: Garment, part: Part, fabric: Fabric) -> bool:
    there = part.piece in garment.pieces and part.state in (PartState.PLANNED, PartState.HELD_BACK)
    return there and garment.roles.get(part.role) == fabric.id


def _groups(parts: Sequence[Part], garment: Garment, way: Way) -> Iterator[tuple[Part, ...]]:
    """Parts that one placement cuts."""
    if way is Way.OPEN:
        yield from ((part,) for part in parts)
        return
    pairs: dict[object, list[Part]] = {}
    for part in parts:
        pairs.setdefault(_double_key(garment, part), []).append(part)
    for pair in pairs.values():
        drawn = garment.pieces[pair[0].piece].drawn
        yield tuple(sorted(pair, key=lambda part: part.hand not in (drawn, Hand.CENTRE)))


def _double_key(garment: Garment, part: Part) -> object:
    """What two parts have in common that are cut at once from double cloth: both hands, or two copies of what has none."""
    if part.hand is not Hand.CENTRE:
        return part.piece, part.role, part.copy, part.state
    piece = garment.pieces[part.piece]
    if is_on_fold(piece, part) or not _same_both_sides(garment, piece, part):
        return part
    return part.piece, part.role, (part.copy + 1) // 2, part.state, Hand.CENTRE


def _same_both_sides(garment: Garment, piece: Piece, part: Part) -> bool:
    """Whether the outline is its own mirror image across the grain."""
    if piece.shape is None:
        return True
    try:
        outline = _as_drawn(garment, piece, part)
        upright = turned(outward(outline.outline), math.pi / 2 - (outline.grain[1] - outline.grain[0]).angle)
    except GeometryError:
        return False
    return alike(upright, turned(upright, 0.0, mirrored=True), tolerance=SYMMETRY)


def _mapped(outline: CutOutline, by: Affine) -> CutOutline:
    fold = None if outline.fold is None else (by(outline.fold[0]), by(outline.fold[1]))
    grain = (by(outline.grain[0]), by(outline.grain[1]))
    return replace(outline, outline=outline.outline.transformed(by), grain=grain, fold=fold)


def _item(
    key: str, garment: Garment, parts: tuple[Part, ...], fabric: Fabric, way: Way, *, several: bool, findings: list[Finding]
) -> LayItem:
    part, piece = parts[0], garment.pieces[parts[0].piece]
    halved = way is Way.FOLDED and is_on_fold(piece, part)
    outline = _as_drawn(garment, piece, part, halved=halved)
    if halved:
        outline, off = _along_fold(outline)
        findings += _off_grain(key, piece, fabric, off)
    outline = _mapped(outline, _grown(outline.grain, fabric))
    mirrored = part.hand is not Hand.CENTRE and part.hand is not piece.drawn
    double = way is Way.FOLDED
    return LayItem(
        id=f"{key}/{part.id}",
        label=_label(garment, piece, parts, way, several=several, halved=halved),
        outline=outline.outline,
        parts=tuple(f"{key}/{one.id}" for one in parts),
        turns=_turns(outline.grain, fabric, piece, mirrored=mirrored),
        mirrored=mirrored,
        fold=outline.fold,
        grain=outline.grain,
        flips=double and not halved,
        layers=2 if double and (halved or len(parts) == 2) else 1,
    )


def _as_drawn(garment: Garment, piece: Piece, part: Part, *, halved: bool = False) -> CutOutline:
    """As drawn: the other hand is laid mirrored."""
    drawn = part if part.hand is Hand.CENTRE else replace(part, hand=piece.drawn)
    return cut_outline(garment, drawn, opened=not halved)


def _along_fold(half: CutOutline) -> tuple[CutOutline, float]:
    """The half of a piece with its grain along the fold edge, and how far the drawn grain is off it."""
    assert half.fold is not None  # a half lies on the fold
    up, (start, end) = half.grain[1] - half.grain[0], half.fold
    along = (end - start).unit() if up.dot(end - start) >= 0 else (start - end).unit()
    off = abs(along.angle_to(up))
    return replace(half, grain=(half.grain[0], half.grain[0] + along * up.norm)), off


def _grown(grain: tuple[Point, Point], fabric: Fabric) -> Affine:
    """What makes a piece larger for a fabric that will shrink after it is cut."""
    if fabric.preshrunk or not (fabric.shrink_along or fabric.shrink_across):
        return Affine()
    upright = Affine.rotation(math.pi / 2 - (grain[1] - grain[0]).angle)
    return upright.inverse() @ Affine.scaling(1 / (1 - fabric.shrink_across), 1 / (1 - fabric.shrink_along)) @ upright


def _turns(grain: tuple[Point, Point], fabric: Fabric, piece: Piece, *, mirrored: bool) -> tuple[float, ...]:
    """Turns that lay the grain along the fabric, up towards +x first."""
    up = grain[1] - grain[0]
    if up.norm == 0:
        raise GeometryError(f"the grain line of {piece.name} has no length")
    angle = math.pi - up.angle if mirrored else up.angle
    first = math.remainder(-angle, 2 * math.pi)
    if fabric.nap is Nap.ONE_WAY or not piece.turning:
        return (first,)
    return (first, math.remainder(first + math.pi, 2 * math.pi))


def _label(garment: Garment, piece: Piece, parts: tuple[Part, ...], way: Way, *, several: bool, halved: bool) -> str:
    part = parts[0]
    named = not several or piece.name.lower().startswith(garment.name.lower())
    words = [piece.name if named else f"{garment.name}: {piece.name}"]
    words += [part.hand.value] if part.hand is not Hand.CENTRE and len(parts) == 1 else []
    words += [part.role] if part.role not in ("shell", *piece.name.lower().split()) else []
    if len(parts) == 2 and part.hand is Hand.CENTRE:
        words += [f"no. {part.copy} and {parts[1].copy}"]
    else:
        words += [f"no. {part.copy}"] if part.copy != 1 else []
    notes = ["pair"] if len(parts) == 2 and part.hand is not Hand.CENTRE else []
    notes += ["on the fold"] if halved else []
    notes += ["one layer"] if way is Way.FOLDED and len(parts) == 1 and not halved else []
    notes += ["held back"] if part.state is PartState.HELD_BACK else []
    return ", ".join([" ".join(words), *notes])


def _off_grain(key: str, piece: Piece, fabric: Fabric, off: float) -> Iterable[Finding]:
    if off > OFF_GRAIN:
        yield FOLD_OFF_GRAIN(
            f"The fold edge of {piece.name} lies {math.degrees(off):.0f}° off its grain line.",
            where=(key, piece.id),
            remedy="Correct the grain line, or lay the fabric open.",
        )


def _not_laid(key: str, garment: Garment, part: Part, fabric: Fabric, error: Exception) -> Finding:
    piece = garment.pieces[part.piece]
    blocks = [Block("cut", fabric.id)]
    if piece.shape is None:
        return PIECE_WITHOUT_SIZE(
            f"{piece.name} has neither an outline nor a rough size in size {piece.size}.",
            where=(key, piece.id),
            remedy="Measure its length and width and write them in the pattern.",
            blocks=blocks,
        )
    return PIECE_NOT_LAID(
        f"{piece.name} cannot be laid: {error}.", where=(key, piece.id), remedy="Mend its outline.", blocks=blocks
    )


def refused(item: LayItem, fabric: Fabric, error: GeometryError) -> Finding:
    """An item that the engines cannot take."""
    return PIECE_NOT_LAID(
        f"{item.label} cannot be laid: {error}.",
        where=(fabric.id, item.id),
        remedy="Mend its outline.",
        blocks=[Block("cut", fabric.id)],
    )
