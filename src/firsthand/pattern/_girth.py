"""Finished girths, summed across parts."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from firsthand.pattern._level import exits, level_crossing, lies_above
from firsthand.pattern._parts import PartEdge, part_shape, ref_to
from firsthand.pattern._roles import UNDER_ROLES
from firsthand.pattern.model import EdgeRef, Garment, Hand, Level, Part, Piece, Shape

__all__ = ["Girth", "Term", "girth", "level_neighbours", "outer_parts"]


@dataclass(frozen=True, slots=True)
class Term:
    """What one part adds to a girth.

    Parameters
    ----------
    part
        The part's id.
    width
        What it adds, darts and pleats closed, mm.
    flat
        Its width as cut between the stitching lines, mm.
    taken_up
        What darts and pleats take out, mm.
    """

    part: str
    width: float
    flat: float = 0.0
    taken_up: float = 0.0


@dataclass(frozen=True, slots=True)
class Girth:
    """A finished girth.

    Parameters
    ----------
    total
        Sum of the terms and ``extra``, mm; None if no part carries the level, pieces are missing from the sum, or some no
        longer reach the level.
    terms
        What each part adds.
    missing
        Ids of pieces without an outline that belong into the sum.
    extra
        What the closure adds or takes, mm.
    above, below
        Ids of pieces that carry the level's line and lie wholly above it or not: they were shortened, and the ring is open.
    off
        Ids of pieces whose line of the level does not meet them even as they were bought.
    """

    total: float | None
    terms: tuple[Term, ...] = ()
    missing: tuple[str, ...] = ()
    extra: float = 0.0
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    off: tuple[str, ...] = ()

    @property
    def ended(self) -> str:
        """Where the garment no longer reaches the level, in words; empty where all that carries it does."""
        if self.off:
            return f"the line of this level does not cross {', '.join(self.off)}"
        names = ", ".join((*self.above, *self.below))
        if not names:
            return ""
        if self.above and self.below:
            return f"{names} no longer reach this level"
        who = f"{names}:" if self.terms else "the garment"
        return f"{who} {'ends above' if self.above else 'begins below'} this level"


def outer_parts(garment: Garment, piece: Piece) -> tuple[Part, ...]:
    """The parts of a piece that lie outermost: those of shell, or if it has none those of another role that shows."""
    parts = garment.parts_of(piece.id)
    shell = tuple(part for part in parts if part.role == "shell")
    return shell or tuple(part for part in parts if part.role not in UNDER_ROLES)


def _one_side(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """The parts of one limb: the right ones, and half of those that belong to no side (all of a single one)."""
    right = tuple(part for part in parts if part.hand is Hand.RIGHT)
    centre = tuple(part for part in parts if part.hand is Hand.CENTRE)
    return right + centre[: math.ceil(len(centre) / 2)]


def _carries(garment: Garment, piece: str, level: str) -> bool:
    """Whether a piece has a line of a level, or may have one that it does not show as it is only a card."""
    found = garment.pieces.get(piece)
    return found is None or found.shape is None or any(line.level == level for line in found.shape.levels)


def _reached(garment: Garment, refs: Iterable[EdgeRef], level: str) -> list[str]:
    """The pieces into which a level may run where it leaves one: of several outlines only those that carry it, if any do."""
    names = list(dict.fromkeys(ref.piece for ref in refs if ref.role not in UNDER_ROLES))
    shown = [name for name in names if name in garment.pieces and garment.pieces[name].shape is not None]
    some = any(_carries(garment, name, level) for name in shown)
    return [name for name in names if not some or _carries(garment, name, level)]


def level_neighbours(garment: Garment, level: Level) -> dict[str, tuple[str, ...]]:
    """For each piece that carries a level, the pieces sewn to it where the level runs out of it."""
    found: dict[str, tuple[str, ...]] = {}
    for piece in garment.pieces.values():
        parts = outer_parts(garment, piece)
        if piece.shape is None or not parts or all(line.level != level.id for line in piece.shape.levels):
            continue
        over: list[str] = []
        for edges in exits(part_shape(garment, parts[0]), level.id):
            refs = {ref_to(garment, PartEdge(parts[0], edge)) for edge in edges}
            sides = [side for seam in garment.seams for side in ((seam.a, seam.b), (seam.b, seam.a))]
            over += _reached(garment, [ref for here, there in sides if refs & set(here) for ref in there], level.id)
        found[piece.id] = tuple(dict.fromkeys(over))
    return found


def _cards(garment: Garment, level: Level) -> tuple[str, ...]:
    """Pieces without an outline that belong to a level: another size shows it, or a piece that carries it is sewn to them."""
    if all(piece.shape is not None for piece in garment.pieces.values()):
        return ()  # nothing to look for; looking is half the work of a girth
    beside = {name for over in level_neighbours(garment, level).values() for name in over}
    return tuple(
        piece.id
        for piece in garment.pieces.values()
        if piece.shape is None
        and outer_parts(garment, piece)
        and (piece.id in beside or any(line.level == level.id for shape in piece.sizes.values() for line in shape.levels))
    )


def _never_met(piece: Piece, level: str) -> bool:
    """Whether the line of a level lies beside the piece as it was bought: drawn wrong, not shortened away.

    Of a size that was made again it is the sizes that were left that were bought.
    """
    bought: list[Shape | None] = [piece.bought] if piece.bought else [*piece.sizes.values()]
    bought = bought or [piece.shape]
    drawn = [shape for shape in bought if shape is not None and any(line.level == level for line in shape.levels)]
    return bool(drawn) and all(level_crossing(shape, level) is None for shape in drawn)


def girth(garment: Garment, level: Level) -> Girth:
    """The finished girth of a garment at a level.

    The widths of all outer parts that carry the level are added up, with what the closure adds or takes. Outer parts are those
    cut of shell; of a piece not cut of shell, those of another role that shows. A second layer of the same cloth belongs into
    a role of its own (``facing``, say), or it would be counted. For a level on a limb it is the girth of one side: the right
    parts, and half the number of those without a side.

    Parameters
    ----------
    garment, level
        A garment and one of its levels.

    Returns
    -------
    Girth
        Its total is None, never a sum with a gap, if a piece that belongs to it has no outline or no longer reaches the level.

    Raises
    ------
    GeometryError
        If the line of the level has no length on some piece.
    """
    terms: list[Term] = []
    ended: dict[str, bool] = {}
    off: dict[str, None] = {}
    for piece in garment.pieces.values():
        if piece.shape is None or all(line.level != level.id for line in piece.shape.levels):
            continue
        parts = outer_parts(garment, piece)
        for part in _one_side(parts) if level.limb else parts:
            crossing = level_crossing(part_shape(garment, part), level.id)
            if crossing is None and _never_met(piece, level.id):
                off[piece.id] = None
            elif crossing is None:
                ended[piece.id] = lies_above(piece.shape, level.id)
            else:
                terms.append(Term(part.id, crossing.width, crossing.flat, crossing.taken_up))
    missing = _cards(garment, level)
    whole = terms and not missing and not ended and not off
    total = math.fsum(term.width for term in terms) + level.extra if whole else None
    above, below = (tuple(name for name, is_above in ended.items() if is_above is want) for want in (True, False))
    return Girth(total, tuple(terms), missing, level.extra, above, below, tuple(off))
