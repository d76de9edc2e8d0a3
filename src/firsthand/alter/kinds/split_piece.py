"""Split a piece in two with a new seam."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import rebuilt
from firsthand.alter._notes import NOTCH_CUT_AWAY
from firsthand.alter._spots import inner_point, spot
from firsthand.alter.cutting.parted import Half, parted
from firsthand.alter.cutting.split_line import line_of
from firsthand.alter.model import ALTERATIONS, Altered, Entry, Stretch
from firsthand.alter.naming.hands import exchanged, free_name, is_name
from firsthand.alter.naming.records import mark_ids, moved_ids, with_rough
from firsthand.alter.naming.refs import Names, Target, Way, rerouted, settled
from firsthand.errors import CannotAlter, GeometryError
from firsthand.findings import Finding
from firsthand.pattern import (
    EdgeRef,
    Garment,
    Hand,
    How,
    Part,
    Piece,
    Seam,
    Shape,
    drawn_outline,
    is_backing,
    is_on_fold,
    sewn_length,
)
from firsthand.units import Length, said

__all__ = ["SplitPiece"]

WIDEST = 100.0
"""No seam allowance is wider, mm."""
MOST_NOTCHES = 20
"""More match notches on one seam are a slip of the keyboard."""
USUAL = 15.0
"""The allowance of a new seam of a piece that has no other, mm. Source: common practice."""


@ALTERATIONS.register("split-piece")
@dataclass(frozen=True, slots=True, kw_only=True)
class SplitPiece(Entry):
    """Cut a piece in two along a line, with a new seam between the two.

    The line runs from one place of the outline to another, straight, or through points inside as one smooth curve. Each half
    keeps its share of edges, notches, darts, pleats, lines and levels, and the grain; what is cut in two gets the word of its
    half behind its id, as ``side upper``. A line that begins or ends in the middle of a dart's mouth takes that dart into the
    seam: its legs become ends of the new edges. Everything that names the piece follows. Of a piece on the fold a half that no
    longer touches the fold is cut as a pair. What only lies behind other parts (interfacing) is cut in two and gets no seam.
    Both halves keep the outlines that were bought, as those of the whole.

    Parameters
    ----------
    piece
        Id of the piece.
    start, end
        Places on its outline, as ``side at 40 %`` or ``waist at dart d1``.
    through
        Points inside through which the line runs, in order from its start, as ``level bust at 60 %``.
    straight
        Whether it runs straight from point to point; else it is a smooth curve.
    names
        Ids of the two new pieces: first the upper one, or the one nearer to the fold, or the one farther to the left as drawn.
        Without names they are called by that, ``front upper`` and ``front lower`` (``inner``, ``outer``; ``first``,
        ``second``).
    seam
        Id of the new seam, to which its hand is added; without one the piece's id and ``split``.
    allowance
        Allowance of the new edges, mm; without one what most sewn edges of the piece have.
    notches
        How many match notches the new edges get; without a number two above 30 cm, one above 6 cm, and one at the point of
        each dart that goes into the seam.
    """

    kind: ClassVar[str] = "split-piece"

    piece: str
    start: str
    end: str
    through: tuple[str, ...] = ()
    straight: bool = False
    names: tuple[str, ...] = ()
    seam: str = ""
    allowance: Length | None = None
    notches: int | None = None

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        piece = garment.piece(self.piece)
        shape = piece.drawn_shape
        self._refuse_numbers()
        points = tuple(inner_point(shape, words) for words in self.through)
        line = line_of(shape, spot(shape, self.start), spot(shape, self.end), points, straight=self.straight)
        allowance = _usual(garment, piece) if self.allowance is None else self.allowance
        fold = piece.fold if any(cut.how is How.FOLD for cut in piece.cuts) else ""
        cut = _cut_name(shape)
        halves = parted(shape, line, fold=fold, cut=cut, allowance=allowance, notches=self.notches)
        named = dict(zip(self._ids(garment, halves), halves, strict=True))
        made = {name: with_rough(_piece(piece, name, half), garment) for name, half in named.items()}
        _refuse_uncut(piece, made.values())
        parts, seams = _parts(garment, piece, named), self._seams(garment, piece, made, cut)
        followed = rerouted(garment, _ways(piece, named), _names(piece, named))
        after = replace(followed, pieces=exchanged(garment.pieces, piece.id, made), parts=parts, seams=followed.seams + seams)
        edges, ids = _maps(piece, named)
        words = f"{piece.id} cut in two from {self.start} to {self.end}: {' and '.join(made)}"
        words += "" if seams else ", without a seam"
        figures = {"seam": line.middle.length, "allowance": allowance}
        return rebuilt(
            garment, settled(garment, after), self, words, figures, edges, ids, made, _lost(garment, self, piece, halves)
        )

    def _refuse_numbers(self) -> None:
        if self.allowance is not None and not 0 <= self.allowance <= WIDEST:
            words = (
                f"an allowance of {said(self.allowance)} cannot be meant" if abs(self.allowance) < 1e7 else "no such allowance"
            )
            raise CannotAlter(words, f"Write at most {said(WIDEST)}.")
        if self.notches is not None and not 0 <= self.notches <= MOST_NOTCHES:
            raise CannotAlter(f"{self.notches} match notches cannot be meant", f"Write at most {MOST_NOTCHES}.")
        if len(self.names) not in (0, 2) or len(set(self.names)) != len(self.names) or not all(self.names):
            raise CannotAlter("a split piece becomes two", "Name both, or neither.")

    def _ids(self, garment: Garment, halves: tuple[Half, Half]) -> tuple[str, str]:
        others = set(garment.pieces) - {self.piece}
        for name in self.names:
            if name in others or not is_name(name):
                raise CannotAlter(f"no new piece can be called {name!r}", "Choose a name that no piece has, without a point.")
        one, two = self.names or tuple(free_name(garment, f"{self.piece} {half.word}") for half in halves)
        return one, two

    def _seams(self, garment: Garment, piece: Piece, made: Mapping[str, Piece], cut: str) -> tuple[Seam, ...]:
        one, two = made
        lengths = [sewn_length(half.drawn_shape, cut) for half in made.values()]
        longer = lengths[0] - lengths[1]
        taken = {seam.id for seam in garment.seams}
        seams = []
        for role, copy, hand in _sewn_parts(garment, piece):
            name = " ".join(
                [self.seam or f"{self.piece} split"]
                + ([hand.value] if hand is not Hand.CENTRE else [])
                + ([role] if role != "shell" else [])
                + ([f"no. {copy}"] if copy > 1 else [])
            )
            name = _free(name, taken)
            taken.add(name)
            a, b = (EdgeRef(half, cut, hand, role, copy) for half in (one, two))
            seams.append(Seam(name, (a,), (b,), easing=longer if abs(longer) > 1e-6 else 0.0))
        return tuple(seams)


def _free(name: str, taken: set[str]) -> str:
    return next(new for new in (name, *(f"{name}-{n}" for n in range(2, len(taken) + 3))) if new not in taken)


def _cut_name(shape: Shape) -> str:
    """What the new edges are called: a word that neither an edge nor a corner of the piece has or begins with."""
    taken = {edge.id for edge in shape.edges} | {edge.corner.id.partition(" ")[0] for edge in shape.edges}
    return _free("split", taken)


def _refuse_uncut(old: Piece, made: Iterable[Piece]) -> None:
    """Refuse halves round which no cutting line can be drawn, if one could round the whole."""
    try:
        drawn_outline(old)
    except GeometryError:
        return
    for piece in made:
        try:
            drawn_outline(piece)
        except GeometryError as error:
            raise CannotAlter(f"{piece.id} could not be cut out: {error}", "Lead the line another way.") from error


def _usual(garment: Garment, piece: Piece) -> float:
    """The allowance that most sewn edges of a piece have."""
    sewn = {ref.edge for seam in garment.seams for ref in (*seam.a, *seam.b) if ref.piece == piece.id}
    counts = Counter(edge.allowance for edge in piece.drawn_shape.edges if edge.id in sewn)
    return counts.most_common(1)[0][0] if counts else USUAL


def _piece(piece: Piece, name: str, half: Half) -> Piece:
    """One of the two pieces; without an edge on the fold it is cut as a pair."""
    cuts = piece.cuts
    if piece.fold and not half.fold:
        cuts = tuple(replace(cut, how=How.PAIR) if cut.how is How.FOLD else cut for cut in cuts)
    title = f"{piece.name} ({half.word})"
    return replace(piece, id=name, name=title, shape=half.shape, fold=half.fold, cuts=cuts, part_of=piece.part_of or piece.id)


def _parts(garment: Garment, piece: Piece, named: Mapping[str, Half]) -> tuple[Part, ...]:
    """Each part in two; one on the fold becomes a right and a left one where a half does not touch the fold."""
    parts: list[Part] = []
    for part in garment.parts:
        if part.piece != piece.id:
            parts.append(part)
            continue
        for name, half in named.items():
            apart = is_on_fold(piece, part) and not half.fold
            hands = (piece.drawn, piece.drawn.other) if apart else (part.hand,)
            parts += [replace(part, piece=name, hand=hand) for hand in hands]
    return tuple(parts)


def _sewn_parts(garment: Garment, piece: Piece) -> Iterator[tuple[str, int, Hand]]:
    """Role, copy and hand of every part, or half of a part on the fold, that gets the new seam: not those behind others."""
    named = {ref.role for seam in garment.seams for ref in (*seam.a, *seam.b) if ref.piece == piece.id}
    roles = [cut.role for cut in piece.cuts if not is_backing(cut.role)]
    wanted = [role for role in roles if role in named] or roles[:1]
    for part in garment.parts_of(piece.id):
        if part.role in wanted:
            hands = (Hand.RIGHT, Hand.LEFT) if is_on_fold(piece, part) else (part.hand,)
            yield from ((part.role, part.copy, hand) for hand in hands)


def _targets(shape: Shape, named: Mapping[str, Half]) -> dict[str, list[tuple[float, float, str, str]]]:
    """For each old edge its stretches in order: from, to, and piece and edge now."""
    return {
        edge.id: sorted((run[0], run[1], name, new) for name, half in named.items() for new, run in half.runs.get(edge.id, ()))
        for edge in shape.edges
    }


def _ways(piece: Piece, named: Mapping[str, Half]) -> dict[Way, tuple[Target, ...]]:
    return {
        (piece.id, edge, None): tuple(Target(name, new) for _, _, name, new in stretches)
        for edge, stretches in _targets(piece.drawn_shape, named).items()
    }


def _names(piece: Piece, named: Mapping[str, Half]) -> Names:
    """Lines that are now on one of the two only lead there."""
    shape = piece.drawn_shape
    homes = {line.id: [name for name, half in named.items() if any(x.id == line.id for x in half.shape.lines)]
             for line in shape.lines}  # fmt: skip
    lines = {(piece.id, line): (on[0], line) for line, on in homes.items() if len(on) == 1}
    return Names({piece.id: tuple((name, Hand.CENTRE) for name in named)}, lines)


def _maps(piece: Piece, named: Mapping[str, Half]) -> tuple[dict[str, tuple[Stretch, ...]], dict[str, tuple[str, ...]]]:
    shape = piece.drawn_shape
    edges = {
        f"{piece.id}.{edge}": tuple(Stretch(name, new, lo, hi, 0.0, hi - lo) for lo, hi, name, new in stretches)
        for edge, stretches in _targets(shape, named).items()
    }
    news = [(name, {mark: mark for mark in mark_ids(half.shape)}) for name, half in named.items()]
    return edges, {piece.id: tuple(named)} | moved_ids(piece.id, shape, news)


def _lost(garment: Garment, alteration: SplitPiece, piece: Piece, halves: tuple[Half, Half]) -> Iterator[Finding]:
    called = alteration.id or alteration.kind
    for notch in dict.fromkeys(notch for half in halves for notch in half.lost):
        yield NOTCH_CUT_AWAY(
            f"{called} cuts away the notch {notch} of {piece.id}: the new seam meets the edge there",
            where=(garment.id, piece.id, notch),
            remedy="Match the end of the new seam instead.",
        )
