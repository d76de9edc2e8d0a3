"""From a pattern to a garment: a size chosen, parts counted out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from firsthand.errors import NotThere
from firsthand.pattern.model import Garment, Hand, How, Part, Pattern, Piece

__all__ = ["make_garment", "parts_of_piece"]


def parts_of_piece(piece: Piece) -> tuple[Part, ...]:
    """The parts that a piece is cut into.

    Parameters
    ----------
    piece
        The piece, with its cuts.

    Examples
    --------
    >>> from firsthand.pattern.model import Cut
    >>> cuff = Piece("cuff", "7", "Cuff", (Cut("shell", How.PAIR, 2), Cut("interfacing", How.PAIR)))
    >>> [part.id for part in parts_of_piece(cuff)]  # doctest: +NORMALIZE_WHITESPACE
    ['cuff right shell', 'cuff left shell', 'cuff right shell no. 2', 'cuff left shell no. 2',
     'cuff right interfacing', 'cuff left interfacing']
    """
    parts: list[Part] = []
    for cut in piece.cuts:
        hands = (piece.drawn, piece.drawn.other) if cut.how is How.PAIR else (Hand.CENTRE,)
        parts += [Part(piece.id, hand, cut.role, copy) for copy in range(1, cut.count + 1) for hand in hands]
    return tuple(parts)


def make_garment(
    pattern: Pattern,
    size: str,
    *,
    id: str,
    name: str = "",
    roles: Mapping[str, str] | None = None,
    cut: str = "semi-fitted",
    sort: str = "",
    over: Iterable[str] = (),
    wanted: Mapping[str, tuple[float, float]] | None = None,
) -> Garment:
    """The garment that a pattern makes in one size, before any alteration.

    Parameters
    ----------
    pattern, size
        The pattern and one of its sizes. A size that was trimmed away leaves pieces that are only cards.
    id, name, roles, cut, sort, over, wanted
        See :class:`firsthand.pattern.model.Garment`.

    Raises
    ------
    NotThere
        If the pattern never had that size.
    """
    if size not in pattern.sizes:
        raise NotThere("size", size, pattern.sizes)
    pieces = {key: piece.in_size(size) for key, piece in pattern.pieces.items()}
    return Garment(
        id=id,
        name=name or pattern.name,
        pattern=pattern.id,
        size=size,
        pieces=pieces,
        parts=tuple(part for piece in pieces.values() for part in parts_of_piece(piece)),
        seams=pattern.seams,
        levels=pattern.levels,
        closures=pattern.closures,
        openings=pattern.openings,
        haberdashery=pattern.haberdashery,
        roles=dict(roles or {}),
        cut=cut,
        sort=sort,
        over=tuple(over),
        applied=pattern.applied,
        sizes=pattern.sizes,
        chart=pattern.chart,
        wanted=dict(wanted or {}),
    )
