"""Words that several checks share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from firsthand.findings import Block
from firsthand.pattern._sense import Itself
from firsthand.pattern.model import EdgeRef, Garment, Hand, Piece, Seam

__all__ = ["edge_words", "listed", "piece_block", "piece_names", "single_seams", "stem"]

HANDS = (" right", " left")


def listed(words: Iterable[str]) -> str:
    """Words one after the other, the last behind an "and"."""
    *first, last = dict.fromkeys(words) or ("nothing",)
    return f"{', '.join(first)} and {last}" if first else last


def edge_words(garment: Garment, refs: Iterable[EdgeRef]) -> str:
    """Edges for people, the two halves or hands of one edge named once."""
    return listed(f"{ref.edge} of {_name(garment, ref.piece)}" for ref in refs)


def piece_names(garment: Garment, refs: Iterable[EdgeRef]) -> str:
    """The pieces that edges belong to, for people."""
    return listed(_name(garment, ref.piece) for ref in refs)


def _name(garment: Garment, piece: str) -> str:
    found: Piece | None = garment.pieces.get(piece)
    return found.name.lower() if found is not None else piece


def piece_block(act: str, garment: Garment, piece: str) -> Block:
    """An act on one piece of a garment that must wait."""
    return Block(act, f"{garment.id}/{piece}")


def stem(name: str) -> str:
    """The id of a seam or closure without its hand: what a right and a left one have in common.

    Examples
    --------
    >>> stem("side right"), stem("side left"), stem("left side"), stem("centre back")
    ('side', 'side', 'left side', 'centre back')
    """
    return next((name.removesuffix(hand) for hand in HANDS if name.endswith(hand)), name)


def single_seams(garment: Garment) -> Iterator[tuple[str, Seam]]:
    """Each seam with the name for people; of two that are each other's mirror image only one, named without its hand."""
    return iter(_singles(Itself(garment.seams)))


@lru_cache(maxsize=64)
def _singles(seams: Itself[tuple[Seam, ...]]) -> tuple[tuple[str, Seam], ...]:
    seen: set[tuple[object, ...]] = set()
    images = [_key(seam, mirrored=True) for seam in seams.value]
    found: list[tuple[str, Seam]] = []
    mirrored = set(images)
    for seam, image in zip(seams.value, images, strict=True):
        if image in seen:
            continue
        key = _key(seam)
        seen.add(key)
        sided = any(ref.hand is not Hand.CENTRE for ref in (*seam.a, *seam.b))
        found.append((stem(seam.id) if sided and key in mirrored else seam.id, seam))
    return tuple(found)


def _key(seam: Seam, *, mirrored: bool = False) -> tuple[object, ...]:
    """What makes two seams the same but for their names; of its mirror image if asked."""
    sides = (
        tuple((ref.piece, ref.edge, ref.hand.other if mirrored else ref.hand, ref.role, ref.copy) for ref in refs)
        for refs in (seam.a, seam.b)
    )
    return (*sides, seam.easing, seam.ratio, seam.tolerance, seam.reverse_b)
