"""Where on the body something of a pattern lies, told by the trade's words in its ids."""

from __future__ import annotations

import re
from collections.abc import Iterable

from firsthand.pattern import Garment, Piece

__all__ = [
    "ARMHOLE", "BACK", "BAND", "CAP", "CROTCH", "FACE", "FRONT", "GUSSET", "HEM", "LEG", "NECK", "SHOULDER", "SIDE", "SLEEVE",
    "WAIST", "WRIST", "has_edge", "is_one", "shell_pieces", "words_of",
]  # fmt: skip

NECK = frozenset({"neck", "neckline", "collar", "throat"})
SHOULDER = frozenset({"shoulder"})
ARMHOLE = frozenset({"armhole", "armscye", "scye", "armholes"})
WRIST = frozenset({"wrist", "cuff", "sleeve"})
SLEEVE = frozenset({"sleeve", "oversleeve", "undersleeve", "topsleeve"})
CAP = frozenset({"cap", "head", "crown"})
WAIST = frozenset({"waist", "waistband", "waistline"})
LEG = frozenset({"leg", "ankle", "foot", "inseam", "calf", "knee"})
CROTCH = frozenset({"crotch", "fork", "rise"})
HEM = frozenset({"hem", "bottom"})
FRONT = frozenset({"front"})
BACK = frozenset({"back"})
SIDE = frozenset({"side", "outseam"})
FACE = frozenset({"face"})
BAND = frozenset({"waistband", "band"})
GUSSET = frozenset({"gusset"})


def words_of(*names: str) -> frozenset[str]:
    """The words that ids and names are made of.

    Examples
    --------
    >>> sorted(words_of("cap-front", "Neck edge"))
    ['cap', 'edge', 'front', 'neck']
    """
    return frozenset(word for name in names for word in re.split(r"[^a-z]+", name.lower()) if word)


def is_one(names: frozenset[str], *ids: str) -> bool:
    """Whether one of the words is in the ids."""
    return bool(names & words_of(*ids))


def shell_pieces(garment: Garment) -> tuple[Piece, ...]:
    """Pieces with an outline that are cut of shell."""
    return tuple(
        piece for piece in garment.pieces.values() if piece.shape is not None and any(cut.role == "shell" for cut in piece.cuts)
    )


def has_edge(pieces: Iterable[Piece], names: frozenset[str]) -> bool:
    """Whether one of the pieces has an edge of that name."""
    return any(is_one(names, edge.id) for piece in pieces for edge in piece.drawn_shape.edges)
