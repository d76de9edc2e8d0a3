"""The outline that is cut, laid and printed: the same one for every room."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from firsthand.errors import GeometryError, NotThere
from firsthand.geometry import Cubic, Line, Path, Point, Segment, nearest
from firsthand.pattern._cutting import cutting_line
from firsthand.pattern._fold import STRAIGHT, fold_line, straightened
from firsthand.pattern._parts import is_on_fold, part_shape
from firsthand.pattern.model import Garment, How, Part, Piece, Shape
from firsthand.units import said

__all__ = ["CutOutline", "cut_outline", "drawn_fold", "drawn_outline"]

_NEAR = 1e-5
"""Points of a cutting line that lie so near to the fold lie on it, mm: ten times what joins its segments."""


@dataclass(frozen=True, slots=True)
class CutOutline:
    """What is cut of a part.

    Parameters
    ----------
    outline
        The cutting line, closed and counter-clockwise.
    grain
        Lower and upper end of the grain line.
    fold
        The stretch of the outline that lies on the fold, in the direction of the outline, and is not cut; it is one straight
        segment of it. None if nothing lies on a fold.
    from_card
        Whether it is only the rectangle of a card's rough size.
    """

    outline: Path
    grain: tuple[Point, Point]
    fold: tuple[Point, Point] | None = None
    from_card: bool = False

    @property
    def cut(self) -> Path:
        """What of the outline is cut: all of it, or the open path from one end of the fold round to the other.

        Examples
        --------
        >>> corners = [Point(-80, 0), Point(0, 0), Point(0, 200), Point(-80, 200)]
        >>> half = CutOutline(Path.polygon(corners), (corners[0], corners[3]), (corners[1], corners[2]))
        >>> half.cut.length, half.outline.length
        (360.0, 560.0)
        """
        if self.fold is None:
            return self.outline
        segments = list(self.outline.segments)
        at = segments.index(Line(*self.fold))
        return Path((*segments[at + 1 :], *segments[:at]))


def cut_outline(garment: Garment, part: Part, *, opened: bool = False) -> CutOutline:
    """The outline along which a part is cut, face up.

    Parameters
    ----------
    garment, part
        A part and the garment it belongs to.
    opened
        For a part cut on the fold: the whole of it, opened out, rather than the half that lies against the fold.

    Returns
    -------
    CutOutline
        For a piece that is only a card, the rectangle of its rough size; the half of one lies against the fold at x = 0 the
        way a right half is drawn.

    Raises
    ------
    NotThere
        If the piece is not there, or is a card without a rough size for its size.
    GeometryError
        If there is no cutting line, the fold edge is not straight, or the outline reaches over the fold.

    Examples
    --------
    >>> from firsthand.pattern.model import Cut, Hand, Rough
    >>> sash = Piece("sash", "9", "Sash", (Cut("shell", How.FOLD),), {"M": Rough(1800, 160)}, size="M")
    >>> garment = Garment("belt", "Belt", "p", "M", {"sash": sash}, (Part("sash", Hand.CENTRE, "shell"),))
    >>> half = cut_outline(garment, garment.parts[0])
    >>> half.outline.bounds, half.fold, half.from_card
    (Box(left=-80.0, bottom=0.0, right=0.0, top=1800.0), (Point(x=0.0, y=0.0), Point(x=0.0, y=1800.0)), True)
    >>> cut_outline(garment, garment.parts[0], opened=True).outline.bounds.width
    160.0
    """
    piece = garment.piece(part.piece)
    halved = is_on_fold(piece, part) and not opened
    if piece.shape is None:
        return _rectangle(piece, halved=halved)
    if halved:
        return _on_fold(piece.shape, piece.fold)
    if not piece.fold and any(cut.role == part.role and cut.how is How.FOLD for cut in piece.cuts):
        raise GeometryError("it is cut on the fold, and no edge lies on the fold")
    if is_on_fold(piece, part):
        fold_line(piece.shape, piece.fold)  # opened out it would hide that it is not straight
    shape = part_shape(garment, part)
    return CutOutline(cutting_line(shape), shape.grain)


def drawn_outline(piece: Piece) -> CutOutline:
    """The outline along which the paper of a piece is cut, as the piece is drawn: the half of one that is cut on the fold.

    Raises
    ------
    NotThere
        If the piece is only a card.
    GeometryError
        If there is no cutting line, the fold edge is not straight, or the outline reaches over the fold.
    """
    shape = piece.drawn_shape
    fold = drawn_fold(piece)
    return _on_fold(shape, fold) if fold else CutOutline(cutting_line(shape), shape.grain)


def drawn_fold(piece: Piece) -> str:
    """The id of the edge that lies on the fold wherever the drawn piece is cut by; empty if it is never cut on the fold."""
    return piece.fold if any(cut.how is How.FOLD for cut in piece.cuts) else ""


def _rectangle(piece: Piece, *, halved: bool) -> CutOutline:
    rough = piece.rough.get(piece.size or "")
    if rough is None or not (0 < rough.length < math.inf and 0 < rough.width < math.inf):
        raise NotThere("rough size", piece.size or "(no size chosen)", piece.rough)
    left = -(rough.width / 2 if halved else rough.width)
    corners = (Point(left, 0), Point(0, 0), Point(0, rough.length), Point(left, rough.length))
    grain = (Point(left / 2, 0.25 * rough.length), Point(left / 2, 0.75 * rough.length))
    return CutOutline(Path.polygon(corners), grain, (corners[1], corners[2]) if halved else None, from_card=True)


@lru_cache(maxsize=512)
def _on_fold(shape: Shape, fold: str) -> CutOutline:
    """The half against the fold, its outline exactly on the fold where it lies there."""
    a, b = fold_line(shape, fold)
    cutting = cutting_line(straightened(shape, fold), fold=fold)
    along = (b - a).unit()
    over = max(along.cross(a - point) for point in cutting.flattened(STRAIGHT / 2))
    if over > STRAIGHT:
        raise GeometryError(f"its cutting line reaches {said(over)} over the fold edge {fold!r}")
    others = [edge.path for edge in shape.edges if edge.id != fold]
    segments = list(cutting.segments)
    lies = [_lies(segment, a, along, others) for segment in segments]
    if all(lies) or not any(lies):
        raise GeometryError(f"nothing of its cutting line lies on the fold edge {fold!r}")
    first, last = max(_runs(lies), key=lambda run: segments[run[0]].start.distance(segments[run[1]].end))
    ends = [a + along * along.dot(point - a) for point in (segments[first].start, segments[last].end)]
    rest = [segments[(last + 1 + k) % len(segments)] for k in range((first - last - 1) % len(segments))]
    rest[0] = replace(rest[0], a=ends[1])
    rest[-1] = _ended(rest[-1], ends[0])
    return CutOutline(Path((Line(ends[0], ends[1]), *rest)), shape.grain, (ends[0], ends[1]))


def _lies(segment: Segment, a: Point, along: Point, others: Sequence[Path]) -> bool:
    """Whether a segment of a cutting line lies on the fold; a slit in line with the fold does not, it is cut."""
    if any(abs(along.cross(point - a)) > _NEAR for point in (segment.start, segment.end)) or not isinstance(segment, Line):
        return False
    middle = segment.start.towards(segment.end, 0.5)
    return all(nearest(path, middle)[1] > _NEAR for path in others)


def _runs(lies: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """First and last of each run of neighbours on the fold, round the whole outline."""
    count = len(lies)
    for first in range(count):
        if lies[first] and not lies[first - 1]:
            last = first
            while lies[(last + 1) % count]:
                last = (last + 1) % count
            yield first, last


def _ended(segment: Segment, at: Point) -> Segment:
    return replace(segment, d=at) if isinstance(segment, Cubic) else replace(segment, b=at)
