"""Tables of corners and offsets on the tissue, and what an alteration says of itself, in words."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from firsthand.alter import Mark, Offset, Tissue
from firsthand.geometry import Affine, nearest
from firsthand.pattern import MIRRORED, Garment, Piece, Shape
from firsthand.sheets._tissue_words import PRINTED, edge_words, fine, mark_words, neighbours, square_words
from firsthand.sheets._words import length, plain
from firsthand.units import Unit, shown

__all__ = ["corner_rows", "edge_rows", "said_words"]

LEAST = 3
"""So many places with the same offset are told in one row."""
APART = 60.0
"""Where the last place told is further from the corner than this, mm, it is said that the rest is as printed."""

ON = 0.8
"""A new line this near to the printed line of another size, mm, is that line."""

Row = tuple[str, str, str]


# corners and edges ---------------------------------------------------------------------------------------------------


def corner_rows(shape: Shape, tissue: Tissue, units: Unit) -> Iterator[Row]:
    """Each corner that moved, as seen along each of the two printed edges that meet there."""
    seen = {(o.edge, o.at > 0.0): o for o in tissue.offsets if o.mark is Mark.CORNER}
    for edge in shape.edges:
        last, _ = neighbours(shape, edge.id)
        ends, starts = seen.get((last, True)), seen.get((edge.id, False))
        if any(one is not None and _tells(one) for one in (ends, starts)):
            yield (
                f"{edge_words(shape, last)} and {edge_words(shape, edge.id)}",
                _corner_words(shape, last, ends, units),
                _corner_words(shape, edge.id, starts, units),
            )


def _tells(offset: Offset) -> bool:
    return round(abs(offset.along)) > 0 or round(abs(offset.square)) > 0


def _corner_words(shape: Shape, edge: str, offset: Offset | None, units: Unit) -> str:
    name = edge_words(shape, edge)
    if offset is None or not _tells(offset):
        return f"{name}: {PRINTED}"
    beyond = offset.along if offset.at > 0 else -offset.along
    words = [f"{fine(beyond, units)} {'beyond' if beyond > 0 else 'back'}"] if round(abs(beyond)) else []
    words.append(square_words(offset.square, units) if round(abs(offset.square)) else "on the line")
    return f"{name}: {', '.join(words)}"


@dataclass(frozen=True, slots=True)
class _Place:
    """A place on a printed edge: how far along it, what is there and where the new line is; whether it is a mere station,
    and the size on whose printed line it is."""

    at: float
    there: str
    words: str
    station: bool
    size: str = ""


def edge_rows(shape: Shape, tissue: Tissue, edge: str, units: Unit, sizes: Mapping[str, Shape] | None = None) -> list[Row]:
    """The table of one edge: how far from its first corner, what is there, where the new line is.

    ``sizes`` are the other sizes that are printed: a new line that lies on the line of one is told by that.
    """
    here = [offset for offset in tissue.offsets if offset.edge == edge and offset.mark is not Mark.CORNER]
    if not any(_tells(offset) for offset in here):
        return []
    found = [_there(shape, tissue, offset, units, sizes or {}) for offset in here]
    places = _in_company(sorted(found, key=lambda place: (place.at, place.station)))
    places = [place for place in places if not (place.station and not place.there and _beside(place, places))]
    told = _without_rest(places)
    rows = [row for run in _runs(told) for row in _run_rows(run, units)]
    return rows if len(told) == len(places) and not _is_short(shape, edge, here) else [*rows, ("elsewhere", "", PRINTED)]


def _is_short(shape: Shape, edge: str, here: Sequence[Offset]) -> bool:
    """Whether offsets leave out a good part of an edge."""
    ats = [offset.at for offset in here]
    return not ats or min(ats) > APART or max(ats) < shape.edge(edge).path.length - APART


def _there(shape: Shape, tissue: Tissue, offset: Offset, units: Unit, sizes: Mapping[str, Shape]) -> _Place:
    station = offset.mark in (Mark.STATION, Mark.CUT)
    there = " of the other half,".join(offset.place.split(f"{MIRRORED},"))
    words = _mark_words(shape, offset, units)
    size = _size_there(shape, tissue, offset, sizes) if station and words != PRINTED else ""
    return _Place(offset.at, mark_words(there), words, station, size)


def _size_there(shape: Shape, tissue: Tissue, offset: Offset, sizes: Mapping[str, Shape]) -> str:
    """The other size on whose printed line the new line is at a station."""
    path = shape.edge(offset.edge).path
    at = min(max(offset.at, 0.0), path.length)
    point = path.at(at) + path.tangent_at(at).left * offset.square
    if any(bit.motion != Affine() for bit in tissue.bits if bit.edge == offset.edge):
        return ""
    lines = ((size, edge.path) for size, other in sizes.items() for edge in other.edges if edge.id == offset.edge)
    return next((size for size, line in lines if nearest(line, point)[1] <= ON), "")


def _in_company(places: Sequence[_Place]) -> list[_Place]:
    """Places that say they are on the line of a size, but for those at which the new line only crosses it."""
    found = []
    stations = [place for place in places if place.station]
    for place in places:
        k = stations.index(place) if place.station else 0
        near = [one.size for one in stations[max(k - 1, 0) : k + 2] if one is not place]
        with_others = bool(place.size) and place.size in near
        found.append(replace(place, words=f"{place.words}: the line of size {place.size}") if with_others else place)
    return found


def _beside(place: _Place, places: Iterable[_Place]) -> bool:
    """Whether a mark, or the side of a cut, at the same place says it already."""
    return any(other.there and abs(other.at - place.at) < 1.0 for other in places)


def _without_rest(places: Sequence[_Place]) -> list[_Place]:
    """Places without those that are as printed between others that are."""
    moved = [place.words != PRINTED for place in places]
    return [place for k, place in enumerate(places) if any(moved[max(k - 1, 0) : k + 2])]


def _runs(places: Iterable[_Place]) -> Iterator[list[_Place]]:
    for _, same in itertools.groupby(places, key=lambda place: place.words):
        yield list(same)


def _run_rows(same: Sequence[_Place], units: Unit) -> Iterator[Row]:
    same = _both_sides(same)
    if len(same) >= LEAST:
        first, last = length(same[0].at, units, name=False), length(same[-1].at, units)
        marks = [f"{place.there} at {length(place.at, units)}" for place in same if place.there and "cut," not in place.there]
        yield f"{first} to {last}", "; ".join(["all along", *marks]), same[0].words
    else:
        for place in same:
            yield length(place.at, units), place.there, place.words


def _both_sides(same: Sequence[_Place]) -> list[_Place]:
    """Places with the two sides of a cut as one where they are in one place."""
    found: list[_Place] = []
    for place in same:
        last = found[-1] if found else None
        if last and last.there.startswith("cut,") and place.there.startswith("cut,") and place.at - last.at < 0.5:
            found[-1] = replace(last, there="the cut, both sides")
        else:
            found.append(place)
    return found


def _mark_words(shape: Shape, offset: Offset, units: Unit) -> str:
    words = square_words(offset.square, units)
    if round(abs(offset.along)):
        corner = neighbours(shape, offset.edge)[offset.along > 0]
        shift = f"{fine(offset.along, units)} towards {edge_words(shape, corner)}"
        words = shift if words == PRINTED else f"{shift}, {words}"
    return words


# what an alteration says of itself -----------------------------------------------------------------------------------


def said_words(words: str, garment: Garment, units: Unit) -> str:
    """What an alteration did, without ids that only files need, and without amounts of nothing.

    Parameters
    ----------
    words
        Of its record.
    garment
        For the names of its pieces and edges.
    """
    text = shown(words, units)
    nothing = re.escape(length(0.0, units))
    text = re.sub(rf"(?:, |(?<=: ))[^,:;]+ by {nothing}(?=[,;.]|$)", "", text)
    text = re.sub(rf"(?<![\d.]){nothing} at ", "nothing at ", text)
    text = re.sub(r", 0 % lengthwise", "", text)
    ids = {
        f"{piece.id}.{edge}": f"{plain(edge)} of {plain(piece.id)}" for piece in garment.pieces.values() for edge in _ids(piece)
    }
    for name in sorted(ids, key=len, reverse=True):
        text = re.sub(rf"(?<![\w-]){re.escape(name)}(?![\w-])", ids[name], text)
    return text.replace(MIRRORED, " of the other half").replace("_", " ")


def _ids(piece: Piece) -> Iterator[str]:
    for shape in filter(None, (piece.bought, piece.shape)):
        yield from (edge.id for edge in shape.edges)
