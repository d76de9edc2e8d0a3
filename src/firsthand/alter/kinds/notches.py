"""Notches cut anew on both edges of seams."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import finished
from firsthand.alter.kinds._bodily import seam_named
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chains import Link, chains, place_along
from firsthand.alter.moving.reshape import Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Notch, NotchKind, Seam, Shape, sewn_length, single_seams

__all__ = ["Notches"]

BACK = re.compile(r"\bback\b", re.IGNORECASE)
"""Backs are told by this word in the id or the name of a piece. Source: common practice, single in front and double behind."""
ON_END = 1.0
"""A notch this near to the end of a seam, mm, says nothing."""
SAME = 1e-6
SAME_PLACE = 0.01
"""Two notches this near to each other, mm, are one."""

Chain = tuple[Link, ...]


@ALTERATIONS.register("notches")
@dataclass(frozen=True, slots=True)
class Notches(Entry):
    """Cut the notches of seams anew on both edges, so that they meet: single in front, double behind.

    Places that are named get a notch on both edges. Without them the notches of the first edge of each seam stay, and its
    partner gets notches where they come in sewn length, in place of its own; where the first edge has none, the partner's
    stay and it gets its own from them. A seam of fullness has them in proportion. Whether a notch is single or double follows
    the trade's custom: double on pieces that are called a back, single on all others.

    Parameters
    ----------
    seams
        Names of the only seams; empty means all that have notches, or, with places, none.
    at
        Places along the seam: ``12 cm``, ``40 %``, ``level ID``.
    """

    kind: ClassVar[str] = "notches"

    seams: tuple[str, ...] = ()
    at: tuple[str, ...] = ()

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        if self.at and not self.seams:
            raise CannotAlter("places for notches need the seams named", "Name the seams with seams = [...].")
        seams = [seam_named(garment, name) for name in self.seams] or [seam for _, seam in single_seams(garment)]
        shapes = {name: piece.shape for name, piece in garment.pieces.items() if piece.shape is not None}
        count = 0
        for seam in seams:
            if all(ref.piece in shapes for ref in (*seam.a, *seam.b)):
                count += self._cut(garment, seam, shapes)
        changed = {name: Reshaped(shape, {}) for name, shape in shapes.items() if shape != garment.piece(name).shape}
        words = f"Notches cut anew on both edges of {', '.join(self.seams) or 'all seams'}: {count} pairs"
        return finished(garment, self, words, {"pairs count": float(count)}, changed)

    def _cut(self, garment: Garment, seam: Seam, shapes: dict[str, Shape]) -> int:
        """Put the notches of one seam into shapes; how many pairs there are."""
        one, two = chains(garment, seam)
        sides = _as_they_are(garment, one), _as_they_are(garment, two)
        if self.at:
            pairs = [place_along(seam.id, sides, words) for words in self.at]
            fresh = [pair for pair in pairs if not _is_there(sides[0], pair[0])]
            for number, side in enumerate(sides):
                _put(garment, shapes, side, [pair[number] for pair in fresh], keep=True, seam=seam.id)
            return len(fresh)
        leads = 0 if _places(sides[0]) else 1
        places, led = _places(sides[leads]), sides[1 - leads]
        ratio = _whole(led) / _whole(sides[leads])
        if places:
            _recut(garment, shapes, sides[leads])
            _put(garment, shapes, led, [at * ratio for at in places], keep=False, seam=seam.id)
        return len(places)


def _as_they_are(garment: Garment, side: Chain) -> Chain:
    """A side of a seam on its edges as they are now, wherever they were moved from."""
    links: list[Link] = []
    reached = 0.0
    for link in side:
        shape = garment.piece(link.piece).drawn_shape
        length = sewn_length(shape, link.edge)
        links.append(replace(link, shape=shape, start=reached, length=length))
        reached += length
    return tuple(links)


def _whole(side: Chain) -> float:
    return side[-1].start + side[-1].length


def _places(side: Chain) -> list[float]:
    """Where the notches of one side are in sewn length, mm, those at its ends left out."""
    whole = _whole(side)
    found = [link.sewn(notch.at) for link in side for notch in link.shape.notches if notch.edge == link.edge]
    return sorted(at for at in found if ON_END < at < whole - ON_END)


def _is_there(side: Chain, at: float) -> bool:
    return any(abs(place - at) < ON_END for place in _places(side))


def _kind(garment: Garment, piece: str) -> NotchKind:
    found = garment.piece(piece)
    return NotchKind.DOUBLE if BACK.search(found.id) or BACK.search(found.name) else NotchKind.SINGLE


def _put(garment: Garment, shapes: dict[str, Shape], side: Chain, places: Sequence[float], *, keep: bool, seam: str) -> None:
    """Notches at places of one side, in place of those that are there unless these are kept."""
    ids = _spare(shapes, side, keep)
    if not keep:
        for link in side:
            shape = shapes[link.piece]
            whole = _whole(side)
            stay = tuple(n for n in shape.notches if n.edge != link.edge or not ON_END < link.sewn(n.at) < whole - ON_END)
            shapes[link.piece] = replace(shape, notches=stay)
    for at in places:
        link = next((one for one in side if at <= one.start + one.length + SAME), side[-1])
        shape = shapes[link.piece]
        place = link.place(at)
        if any(n.edge == link.edge and abs(n.at - place) < SAME_PLACE for n in shape.notches):
            continue  # both halves of a piece on the fold lie on the seam
        name = ids[link.piece].pop(0) if ids.get(link.piece) else _free(shape, seam)
        notch = Notch(name, link.edge, place, _kind(garment, link.piece))
        shapes[link.piece] = replace(shape, notches=(*shape.notches, notch))


def _recut(garment: Garment, shapes: dict[str, Shape], side: Chain) -> None:
    """The notches of one side stay where they are, single or double by custom."""
    for link in side:
        shape = shapes[link.piece]
        made = tuple(replace(n, kind=_kind(garment, link.piece)) if n.edge == link.edge else n for n in shape.notches)
        shapes[link.piece] = replace(shape, notches=made)


def _spare(shapes: dict[str, Shape], side: Chain, keep: bool) -> dict[str, list[str]]:
    """Ids of the notches that go, so that those in their place have the same."""
    if keep:
        return {}
    return {piece: list(dict.fromkeys(_ids(shapes[piece], side, piece))) for piece in {link.piece for link in side}}


def _ids(shape: Shape, side: Chain, piece: str) -> Iterator[str]:
    whole = _whole(side)
    for link in (one for one in side if one.piece == piece):
        on = [n for n in shape.notches if n.edge == link.edge and ON_END < link.sewn(n.at) < whole - ON_END]
        yield from (n.id for n in sorted(on, key=lambda n: link.sewn(n.at)))


def _free(shape: Shape, seam: str) -> str:
    taken = {notch.id for notch in shape.notches}
    stem = f"{seam.removesuffix(' right').removesuffix(' left')} notch"
    return next(name for k in range(1, len(taken) + 2) if (name := f"{stem} {k}") not in taken)
