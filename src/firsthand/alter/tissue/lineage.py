"""One piece back to the outline that was bought, through records that gave it another name, its own hand, or opened it out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.alter._composed import composed
from firsthand.alter.model import Record, Stretch
from firsthand.pattern import MIRRORED, Piece, Shape, flipped, opened

__all__ = ["Lineage", "Taped", "lineage"]

Shapes = Mapping[str, Shape]


@dataclass(frozen=True, slots=True)
class Taped:
    """Another piece whose tissue is taped on: its id, edges of it, and the edges of this one on which they are laid."""

    piece: str
    along: tuple[str, ...] = ()
    to: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Lineage:
    """What was done to one piece, told in the ids of its bought outline.

    Parameters
    ----------
    records
        In order; every edge they name is one of this piece, as its bought outline is drawn.
    shapes
        The outline after each of them, drawn as the bought one is.
    broken
        Why the piece cannot be followed back to one bought outline; empty if it can.
    """

    records: tuple[Record, ...] = ()
    shapes: tuple[Shape, ...] = ()
    broken: str = ""
    turned: bool = False
    """Whether it is drawn turned over, seen from the tissue."""
    opened: bool = False
    """Whether the tissue shows only half of it."""
    source: str = ""
    """The piece whose tissue it is drawn on, if that is not its own."""
    taped: tuple[Taped, ...] = ()
    """Pieces that were joined to it."""
    foreign: frozenset[str] = frozenset()
    """Its edges that are on the tissue of one of those."""


def lineage(piece: Piece, records: Sequence[Record], altered: Sequence[Shapes]) -> Lineage:
    """What was done to a piece.

    Parameters
    ----------
    piece
        As altered.
    records, altered
        What was done to the garment, in order, and for each the outlines of the pieces it changed, as they were after it.
    """
    found: list[_Step] = []
    taped: list[Taped] = []
    here = piece.id
    known = altered if len(altered) == len(records) else [{} for _ in records]
    for record, shapes in zip(reversed(records), reversed(known), strict=True):
        if here not in {*record.pieces, *(s.piece for runs in record.edges.values() for s in runs)}:
            continue
        sources = _sources(record, here)
        others = _others(piece, sources)
        before, owner = _before(record, here, sources - others)
        if not before:
            return Lineage((record,), (), f"it was made of {' and '.join(sorted(sources))}")
        found.append((record, owner, here, shapes.get(here)))
        taped += [Taped(other, _sewn(record, other), _sewn(record, before)) for other in sorted(others)]
        here = before
    bought = piece.bought
    if bought is None:
        words = "it was not among the pieces bought" if here == piece.id else f"it was made of {here}"
        return Lineage(tuple(record for record, *_ in found), (), words)
    source = "" if here == piece.id else here
    told = _told(piece.id, bought, found[::-1])
    return replace(told, source=source, taped=tuple(taped[::-1]), foreign=_foreign(piece, records, taped))


_Step = tuple[Record, str, str, Shape | None]


def _others(piece: Piece, sources: set[str]) -> set[str]:
    """Of the pieces of which one was made those whose tissue lies beside it."""
    joined = {other.id for other in piece.joined} & sources
    return joined if len(sources - joined) == 1 else set()


def _before(record: Record, here: str, sources: set[str]) -> tuple[str, str]:
    """The piece it was before a record, and the name by which the record speaks of that; nothing if it was several.

    A piece that was made beside another one, which is still there, is spoken of by its own name.
    """
    layers = {name for name in sources - {here} if {name, here} <= set(record.ids.get(name, ()))}
    if len(layers) == 1:
        return next(iter(layers)), here
    if len(sources) > 1:
        return "", ""
    before = here if here in sources or not sources else next(iter(sources))
    return before, before


def _sewn(record: Record, piece: str) -> tuple[str, ...]:
    """Edges of a piece of which a record left nothing."""
    return tuple(name.partition(".")[2] for name, runs in record.edges.items() if name.startswith(f"{piece}.") and not runs)


def _foreign(piece: Piece, records: Sequence[Record], taped: Sequence[Taped]) -> frozenset[str]:
    maps, theirs = composed(records), {one.piece for one in taped}
    edges = piece.drawn_shape.edges if theirs else ()
    places = {edge.id: maps.origin(piece.id, edge.id, edge.path.length / 2) for edge in edges}
    return frozenset(name for name, place in places.items() if place is not None and place[0] in theirs)


def _sources(record: Record, piece: str) -> set[str]:
    """Pieces of which a piece was made by a record."""
    named = {name.partition(".")[0] for name, runs in record.edges.items() if any(s.piece == piece for s in runs)}
    whole = {name for name, new in record.ids.items() if "." not in name and piece in new}
    return named | whole


View = tuple[tuple[str, bool], ...]
"""How an outline on the way is seen in the bought one: for each image of its edges what is added to their ids, and whether
positions run backwards on it."""
AS_IS: View = (("", False),)
TURNED: View = (("", True),)
HALF: View = (("", False), (MIRRORED, True))


def _told(piece: str, bought: Shape, found: Sequence[_Step]) -> Lineage:
    records, shapes = [], []
    last, raw_last = bought, None
    views: set[View] = set()
    for record, before, after, raw in found:
        view = _view(raw, bought) if raw is not None else AS_IS
        shape = _seen(raw, bought, view) if raw is not None else last
        if shape is None:
            return Lineage((record,), (), f"its edges are no longer those of the {piece.replace('-', ' ')} as bought")
        old_view = _view(raw_last, bought) if raw_last is not None else _first_view(record, before, after, view)
        told = _Told(before, after, piece, old_view, view, _lengths(raw_last or bought), _lengths(raw or raw_last or bought))
        records.append(told.record(record))
        shapes.append(shape)
        last, raw_last = shape, raw or raw_last
        views |= {old_view, view}
    return Lineage(tuple(records), tuple(shapes), turned=TURNED in views, opened=HALF in views)


def _names(shape: Shape) -> list[str]:
    return [edge.id for edge in shape.edges]


def _lengths(shape: Shape) -> dict[str, float]:
    return {edge.id: edge.path.length for edge in shape.edges}


def _view(shape: Shape, bought: Shape) -> View:
    theirs = _names(bought)
    images = [name for name in theirs if name.endswith(MIRRORED)]
    if images and not any(name in _names(shape) for name in images):
        return HALF
    order = [theirs.index(name) for name in _names(shape) if name in theirs]
    rising = sum(1 for k in range(len(order)) if (order[k] - order[k - 1]) % len(theirs) <= len(theirs) // 2)
    return TURNED if len(order) > 2 and rising < len(order) / 2 else AS_IS


def _first_view(record: Record, before: str, after: str, view: View) -> View:
    """How the bought outline was drawn before a record that may have turned it over or opened it out."""
    runs = [
        (name, s) for name, some in record.edges.items() for s in some if name.startswith(f"{before}.") and s.piece == after
    ]
    if any(s.edge == name.partition(".")[2] + MIRRORED for name, s in runs):
        return HALF
    backwards = any(s.new_end < s.new_start for _, s in runs)
    return TURNED if backwards and view == AS_IS else AS_IS


def _seen(shape: Shape, bought: Shape, view: View) -> Shape | None:
    """An outline on the way, turned over or opened out as the bought one is by now."""
    if view == HALF:
        folds = [name for name in _names(shape) if name not in _names(bought)]
        return opened(Piece("half", "", "", (), shape=shape, fold=folds[0])).drawn_shape if len(folds) == 1 else None
    return flipped(shape) if view == TURNED else shape


@dataclass(frozen=True, slots=True)
class _Told:
    """Records about one piece in the ids and positions of its bought outline."""

    before: str
    after: str
    piece: str
    old_view: View
    new_view: View
    old: Mapping[str, float]
    new: Mapping[str, float]

    def record(self, record: Record) -> Record:
        """The record, speaking of this piece only."""
        edges: dict[str, list[Stretch]] = {}
        for name, runs in record.edges.items():
            owner, _, edge = name.partition(".")
            if owner != self.before:
                continue
            for tail, _ in self.old_view:
                edges.setdefault(f"{self.piece}.{edge}{tail}", [])
            for run in runs:
                for key, told in self._images(edge, run) if run.piece == self.after else ():
                    edges.setdefault(f"{self.piece}.{key}", []).append(told)
        ordered = {name: tuple(sorted(runs, key=lambda s: (s.old_start, s.old_end))) for name, runs in edges.items()}
        start = f"{self.before}."
        ids = {
            f"{self.piece}.{name.removeprefix(start)}": self._mine(new)
            for name, new in record.ids.items()
            if name.startswith(start)
        }
        return replace(record, edges=ordered, ids=ids, pieces=(self.piece,))

    def _mine(self, names: Iterable[str]) -> tuple[str, ...]:
        """Of new ids those on this piece; one that names no piece is on it."""
        found = (name.removeprefix(f"{self.after}.") for name in names)
        return tuple(name for name in found if "." not in name)

    def _images(self, edge: str, run: Stretch) -> Iterator[tuple[str, Stretch]]:
        opens = self.old_view == HALF and self.new_view != HALF
        for tail, backwards in self.old_view:
            for new_tail, new_backwards in self.new_view:
                image = run.edge.endswith(MIRRORED) and not edge.endswith(MIRRORED) if opens else bool(new_tail)
                if (self.old_view == HALF or self.new_view == HALF) and image != bool(tail):
                    continue
                old = _turned(run.old_start, run.old_end, self.old.get(edge, 0.0), backwards)
                new = _turned(run.new_start, run.new_end, self.new.get(run.edge, 0.0), new_backwards)
                if old[1] < old[0]:
                    old, new = old[::-1], new[::-1]
                yield edge + tail, Stretch(self.piece, run.edge + new_tail, *old, *new)


def _turned(start: float, end: float, length: float, backwards: bool) -> tuple[float, float]:
    return (length - start, length - end) if backwards else (start, end)
