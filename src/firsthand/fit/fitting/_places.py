"""Places along a seam or edge in the words of a fitting, and what they are for the stack."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from firsthand.alter import along
from firsthand.alter.moving.chains import Link, chains
from firsthand.alter.moving.grounds import ground_shape, on_ground, standing_of
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Garment, Seam, Shape, sewn_length
from firsthand.units import parse_length, parse_share, said

__all__ = ["Run", "edge_run", "plain_place", "said_place", "seam_run"]

HOW = "Write for example: 8 cm below waist, level hip, 12 cm from the top, 5 cm from the hem, notch waist, 40 %, top, bottom."
UPRIGHT = 0.3
"""A line has a top and a bottom if it rises by more than this share of its length."""
SORTS = ("level", "notch", "dart", "pleat")
TOUCH = 0.5
"""Places this little beyond an end lie on it, mm."""


@dataclass(frozen=True, slots=True)
class Run:
    """A line that can be fitted: one side of a seam, or an edge, as it is now and on the line it was moved from.

    Parameters
    ----------
    name
        For messages.
    now, ground
        Its edges as they are, and as they were before they were ever moved, in order.
    levels
        Ids of levels by what people call them.
    """

    name: str
    now: tuple[Link, ...]
    ground: tuple[Link, ...]
    levels: dict[str, str]

    @property
    def length(self) -> float:
        """Sewn length as it is, mm."""
        return self.now[-1].start + self.now[-1].length

    @property
    def whole(self) -> float:
        """Sewn length before it was ever moved, mm."""
        return self.ground[-1].start + self.ground[-1].length

    def spot(self, sewn: float) -> tuple[int, float]:
        """Number of the edge and arc length on it, as it is, of a place."""
        for k, link in enumerate(self.now):
            if sewn <= link.start + link.length + 1e-9 or k == len(self.now) - 1:
                length = link.shape.edge(link.edge).path.length
                return k, min(max(link.place(sewn), 0.0), length)
        raise AssertionError  # never: the last one takes what is left

    def on_ground(self, sewn: float) -> float:
        """The place on the line it was moved from, mm of sewn length, for a place on the line as it is."""
        k, at = self.spot(sewn)
        link, was = self.now[k], self.ground[k]
        if self.unmoved:
            return sewn
        return min(max(was.sewn(on_ground(standing_of(link.shape, link.edge), at)), 0.0), self.whole)

    @property
    def unmoved(self) -> bool:
        """Whether it lies where it was before it was ever moved."""
        pairs = zip(self.now, self.ground, strict=True)
        return all(now.shape.edge(now.edge).path == was.shape.edge(was.edge).path for now, was in pairs)

    def up(self) -> int:
        """1 if the line runs upwards, -1 if downwards, 0 if neither."""
        one, two = self._end(0), self._end(-1)
        rise = (two - one).dot(self.now[0].shape.up)
        return 0 if abs(rise) < UPRIGHT * self.length else (1 if rise > 0 else -1)

    def _end(self, which: int) -> Point:
        link = self.now[which]
        path = link.shape.edge(link.edge).path
        return path.start if link.forwards == (which == 0) else path.end

    def ends(self) -> dict[str, float]:
        """Places of the ends by what they may be called: start, end, top, bottom, and what lies beside the line there."""
        found = {"start": 0.0, "end": self.length}
        if self.up():
            found |= {"top": self.length if self.up() > 0 else 0.0, "bottom": 0.0 if self.up() > 0 else self.length}
        for which, at in ((0, 0.0), (-1, self.length)):
            found.setdefault(self.beside(which), at)
        return found

    def beside(self, which: int) -> str:
        """Id of the edge that meets the line at its first (0) or last (-1) end."""
        link = self.now[which]
        ids = [edge.id for edge in link.shape.edges]
        k = ids.index(link.edge)
        return ids[k - 1] if link.forwards == (which == 0) else ids[(k + 1) % len(ids)]

    def place(self, words: str) -> float:
        """The place that words name, mm of sewn length from the start as it is.

        Raises
        ------
        NotThere, CannotAlter
            If it is not there, lies beyond the line, or cannot be read.
        """
        at = self._place(" ".join(plain_place(words).split()))
        if not -TOUCH <= at <= self.length + TOUCH:
            beyond = f"{self.name} is {said(self.length)} long, and {words} lies {said(max(-at, at - self.length))} beyond it"
            raise CannotAlter(beyond, "Measure along the seam again, or name a place on it.")
        return min(max(at, 0.0), self.length)

    def _place(self, text: str) -> float:
        ends = self.ends()
        if text in ends:
            return ends[text]
        if match := re.fullmatch(r"(.+?) (below|above) (.+)", text):
            way = self.up() * (1 if match[2] == "above" else -1)
            if not way:
                raise CannotAlter(f"{self.name} runs across the body: nothing on it is {match[2]} anything", HOW)
            return self._mark(match[3], ends) + way * self._length(match[1])
        if match := re.fullmatch(r"(.+?) from (.+)", text):
            if match[2] not in ends:
                raise NotThere(f"end of {self.name}", match[2], ends)
            end = ends[match[2]]
            return end + (1 if end == 0.0 else -1) * self._length(match[1])
        if re.match(r"[\d.,]", text):
            return self._counted(text)
        return self._mark(text, ends)

    def _counted(self, text: str) -> float:
        """A length or share from the top, or where it has none from the start."""
        try:
            by = parse_share(text) * self.length if text.endswith("%") else self._length(text)
        except ValueError:
            raise CannotAlter(f"{text!r} is no place on {self.name}", HOW) from None
        return self.length - by if self.up() > 0 else by

    def _length(self, text: str) -> float:
        try:
            if not re.search(r"[a-zA-Z\"″%]$", text):
                raise ValueError(text)
            return parse_share(text) * self.length if text.endswith("%") else parse_length(text)
        except ValueError:
            raise CannotAlter(f"{text!r} is no length with its unit", HOW) from None

    def _mark(self, text: str, ends: dict[str, float]) -> float:
        if text in ends:
            return ends[text]
        sort, _, name = text.partition(" ")
        if sort not in SORTS:
            sort, name = "level", text
        if sort == "level":
            name = self.levels.get(name.lower(), name)
        for link in self.now:
            try:
                return link.sewn(along(link.shape, link.edge, f"{sort} {name}"))
            except NotThere:
                continue
        raise NotThere(f"{sort} on {self.name}", name, self._known(sort, ends))

    def _known(self, sort: str, ends: dict[str, float]) -> list[str]:
        found: list[str] = []
        for link in self.now:
            if sort == "level":
                found += [line.level for line in link.shape.levels]
            else:
                marks = {"notch": link.shape.notches, "dart": link.shape.darts, "pleat": link.shape.pleats}[sort]
                found += [mark.id for mark in marks if mark.edge == link.edge]  # type: ignore[attr-defined]
        return [*dict.fromkeys(found), *(ends if sort == "level" else ())]


def plain_place(words: str) -> str:
    """Words of a place without what people say beside it.

    Examples
    --------
    >>> plain_place("at the level  waist"), plain_place("80 mm below the waist line")
    ('level waist', '80 mm below waist')
    """
    text = re.sub(r"\b(the|at|on)\s+", "", " ".join(words.split()))
    text = re.sub(r"\b(below|above) level ", r"\1 ", text)
    return re.sub(r"\s+line$|\s+level$", "", text)


def said_place(words: str) -> str:
    """Words of a place with its length marked, so that it is shown in the reader's units.

    Examples
    --------
    >>> said_place("5 cm below armhole"), said_place("level hip"), said_place("40 %")
    ('⟨50 mm⟩ below armhole', 'level hip', '40 %')
    """
    match = re.match(r"(.+?)(?= (?:below|above|from) |$)", words)
    if match is None or not re.match(r"[\d.,½¼¾⅛⅜⅝⅞]", words):
        return words
    try:
        return said(parse_length(match[1])) + words[match.end() :]
    except ValueError:
        return words


def seam_run(garment: Garment, seam: Seam, side: int = 0) -> Run:
    """One side of a seam: 0 for side ``a``, 1 for ``b``."""
    ground = chains(garment, seam)[side]
    return Run(seam.id, tuple(_now(garment, ground)), ground, _levels(garment))


def edge_run(garment: Garment, piece: str, edge: str) -> Run:
    """An edge by itself, in the direction in which it is drawn."""
    shape = ground_shape(garment.piece(piece).drawn_shape)
    ground = (Link(piece, edge, shape, True, 0.0, sewn_length(shape, edge)),)
    return Run(f"{piece}.{edge}", tuple(_now(garment, ground)), ground, _levels(garment))


def _now(garment: Garment, ground: Sequence[Link]) -> Iterator[Link]:
    reached = 0.0
    for link in ground:
        shape: Shape = garment.piece(link.piece).drawn_shape
        length = sewn_length(shape, link.edge)
        yield replace(link, shape=shape, start=reached, length=length)
        reached += length


def _levels(garment: Garment) -> dict[str, str]:
    return {name.lower(): level.id for level in garment.levels for name in (level.id, level.name)}
