"""Which sizes a garment takes where: from named levels to every edge, the same on both sides of a seam. Needs numpy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from firsthand.alter.sizing.curves import Floats, pchip
from firsthand.errors import FirsthandError
from firsthand.geometry import Point
from firsthand.pattern import EdgeRef, Garment, Hand, Shape, chain_senses, sewn_length

__all__ = ["Fields", "Heights", "Ladder", "agreed", "ladders", "on_points", "sewn_elsewhere", "smoothstep"]

PLACES = 97
"""Shares are followed at so many places along every edge, even in sewn length."""
STEEPEST = 0.7
"""A level that leans more than this (the sine of its angle to the crosswise grain) runs along a piece, not across it."""
SWEEPS = 400
"""Seams and corners are brought to agree in at most so many rounds."""
AGREED = 1e-9
"""They agree when no share changes by more than this in a round."""

Fields = dict[tuple[str, str], Floats]
"""Shares of the named places for every edge, by piece and edge: a row for each place, even in sewn length; not numbers where
nothing is known."""


def smoothstep(t: Floats) -> Floats:
    """From 0 to 1, level at both ends."""
    t = np.clip(t, 0.0, 1.0)
    return t * t * (3 - 2 * t)


# heights ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heights:
    """The levels that run across a shape, from the lowest up.

    Parameters
    ----------
    up
        The way of the grain.
    lines
        A point on each level and its slope: how much it rises across the grain.
    levels
        Their ids.
    """

    up: Point
    levels: tuple[str, ...]
    lines: tuple[tuple[Point, float], ...]

    @staticmethod
    def of(shape: Shape) -> Heights:
        """Those of a shape; a level drawn in several lines counts by the first."""
        up = shape.up
        found: dict[str, tuple[Point, float]] = {}
        for level in shape.levels:
            run = level.b - level.a
            if level.level in found or run.norm < 1e-6 or abs(run.unit().dot(up)) > STEEPEST:
                continue
            found[level.level] = level.a.towards(level.b, 0.5), run.dot(up) / run.cross(up)
        names = sorted(found, key=lambda name: found[name][0].dot(up))
        return Heights(up, tuple(names), tuple(found[name] for name in names))

    def height(self, level: str) -> float:
        """Height of the middle of a level along the grain, mm."""
        return self.lines[self.levels.index(level)][0].dot(self.up)

    def above(self, points: Floats) -> Floats:
        """How far points lie above each level, mm: a column for each."""
        rows = []
        for middle, slope in self.lines:
            away = points - np.array([middle.x, middle.y])
            along = away[:, 0] * self.up.y - away[:, 1] * self.up.x
            rows.append(away[:, 0] * self.up.x + away[:, 1] * self.up.y - along * slope)
        return np.column_stack(rows)

    def common(self, points: Floats, heights: Mapping[str, float]) -> Floats:
        """Heights of points in the garment, where those of the levels are given."""
        known = [k for k, name in enumerate(self.levels) if name in heights]
        above = self.above(points)[:, known]
        table = [heights[self.levels[k]] for k in known]
        result = table[0] + above[:, 0]
        for k in range(1, len(known)):
            over, under = above[:, k - 1], above[:, k]
            gap = np.where(np.abs(over - under) > 1e-9, over - under, 1.0)
            between = table[k - 1] + over / gap * (table[k] - table[k - 1])
            result = np.where(over >= 0, np.where(under <= 0, between, table[k] + under), result)
        return result


@dataclass(frozen=True, slots=True)
class Ladder:
    """Levels whose heights in the garment can be compared, because pieces have several of them.

    Parameters
    ----------
    heights
        Height of each level, mm.
    stops
        The named places on it from the lowest up: their numbers and heights.
    """

    heights: Mapping[str, float]
    stops: tuple[tuple[int, float], ...]

    def shares(self, heights: Floats, count: int) -> Floats:
        """Shares of the named places at heights: a row for each height, a column for each of ``count`` places."""
        shares = np.zeros((len(heights), count))
        shares[:, self.stops[0][0]] = 1.0
        for (one, low), (two, high) in zip(self.stops, self.stops[1:], strict=False):
            share = smoothstep((heights - low) / (high - low))
            shares[:, two] += share
            shares[:, one] -= share
        return shares


def ladders(shapes: Iterable[Shape], named: Sequence[str]) -> list[Ladder]:
    """The levels of a garment by height, in groups that pieces tie together.

    Parameters
    ----------
    shapes
        Its pieces.
    named
        The levels of the named places, in the order of their numbers.
    """
    sets = [heights for heights in map(Heights.of, shapes) if heights.levels]
    found = []
    rest = {name for heights in sets for name in heights.levels}
    while rest:
        group = _tied(min(rest), sets)
        rest -= group
        if group & set(named):
            heights = _levelled(sorted(group), [one for one in sets if group & set(one.levels)])
            stops = sorted(((k, heights[name]) for k, name in enumerate(named) if name in group), key=lambda stop: stop[1])
            found.append(Ladder(heights, tuple(stops)))
    return found


def _tied(start: str, sets: Sequence[Heights]) -> set[str]:
    group = {start}
    while True:
        wider = group.union(*(set(one.levels) for one in sets if group & set(one.levels)))
        if wider == group:
            return group
        group = wider


def _levelled(names: Sequence[str], sets: Sequence[Heights]) -> dict[str, float]:
    """Heights that fit the distances between levels on all pieces best (least squares), the first level at zero."""
    rows, wanted = [np.eye(len(names))[0]], [0.0]
    for one in sets:
        for low, high in zip(one.levels, one.levels[1:], strict=False):
            row = np.zeros(len(names))
            row[names.index(high)], row[names.index(low)] = 1.0, -1.0
            rows.append(row)
            wanted.append(one.height(high) - one.height(low))
    solved = np.linalg.lstsq(np.array(rows), np.array(wanted), rcond=None)[0]
    return {name: float(height) for name, height in zip(names, solved, strict=True)}


# seams and corners --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Link:
    """A stretch of a seam's side: an edge, whether it is walked along itself, and where it begins and ends in the whole."""

    edge: tuple[str, str]
    onwards: bool
    start: float
    end: float


_Side = tuple[_Link, ...]
_Loop = Sequence[tuple[str, str]]


def agreed(garment: Garment, known: Fields, count: int) -> Fields:
    """Shares of every edge, the same on both sides of every seam and at every corner.

    Pieces of which nothing is known take what the edges have that they are sewn to; from there shares run on evenly round the
    piece. Where two sides are told different shares each takes the mean.

    Parameters
    ----------
    garment
        With only the pieces that take part.
    known
        Shares of the edges of the pieces that have the named levels.
    count
        How many shares there are.

    Returns
    -------
    Fields
        For every edge that is known itself or tied to known ones by seams.
    """
    nothing = np.full((PLACES, count), np.nan)
    loops = {name: [(name, e.id) for e in piece.shape.edges] for name, piece in garment.pieces.items() if piece.shape}
    fields: Fields = {key: known.get(key, nothing).copy() for loop in loops.values() for key in loop}
    seams = list(_seams(garment))
    _spread(garment, fields, loops, seams)
    fields = {key: field for key, field in fields.items() if not np.isnan(field).any()}
    loops = {name: loop for name, loop in loops.items() if all(key in fields for key in loop)}
    for _ in range(SWEEPS):
        before = {key: field.copy() for key, field in fields.items()}
        for one, two in seams:
            _sewn(fields, one, two)
        for loop in loops.values():
            _cornered(fields, loop)
        if max((float(np.abs(fields[key] - before[key]).max()) for key in fields), default=0.0) < AGREED:
            break
    return fields


def _seams(garment: Garment) -> Iterator[tuple[_Side, _Side]]:
    """Both sides of every seam that can be walked, once for a right and a left one."""
    seen = set()
    for seam in garment.seams:
        try:
            senses = chain_senses(garment, seam)
            sides = tuple(_side(garment, refs, sense) for refs, sense in zip((seam.a, seam.b), senses, strict=True))
        except (FirsthandError, ZeroDivisionError):
            continue  # a seam with a card or without length ties nothing
        key = tuple(tuple((link.edge, link.onwards, round(link.start, 9)) for link in side) for side in sides)
        if key not in seen:
            seen.add(key)
            yield sides[0], sides[1]


def sewn_elsewhere(garment: Garment) -> dict[str, frozenset[str]]:
    """For every piece the edges that are sewn to something else than their own image."""
    found: dict[str, set[str]] = {}
    for sides in _seams(garment):
        for side, other in (sides, sides[::-1]):
            facing = {link.edge for link in other}
            for link in side:
                if facing != {link.edge} and not (len(side) > 1 and facing == {one.edge for one in side}):
                    found.setdefault(link.edge[0], set()).add(link.edge[1])
    return {piece: frozenset(edges) for piece, edges in found.items()}


def _side(garment: Garment, refs: Sequence[EdgeRef], sense: int) -> _Side:
    lengths = [sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in refs]
    total, reached, links = sum(lengths), 0.0, []
    for ref, long in zip(refs, lengths, strict=True):
        onwards = (sense > 0) != _is_image(garment, ref)
        links.append(_Link((ref.piece, ref.edge), onwards, reached / total, (reached + long) / total))
        reached += long
    return tuple(links)


def _is_image(garment: Garment, ref: EdgeRef) -> bool:
    """Whether a reference means the mirror image of what is drawn."""
    drawn = garment.piece(ref.piece).drawn
    return ref.hand is not Hand.CENTRE and ref.hand is not (Hand.RIGHT if drawn is Hand.CENTRE else drawn)


def _spread(garment: Garment, fields: Fields, loops: Mapping[str, _Loop], seams: Sequence[tuple[_Side, _Side]]) -> None:
    """Tell what is known over seams and round pieces, until nothing new is told."""
    while True:
        unknown = sum(int(np.isnan(field[:, 0]).sum()) for field in fields.values())
        for one, two in (*seams, *((b, a) for a, b in seams)):
            _told(fields, one, two)
        now = sum(int(np.isnan(field[:, 0]).sum()) for field in fields.values())
        if now == unknown:
            for loop in loops.values():
                _run_round(garment, fields, loop)
            now = sum(int(np.isnan(field[:, 0]).sum()) for field in fields.values())
        if now in (0, unknown):
            return


def _told(fields: Fields, known: _Side, other: _Side) -> None:
    """Give the unknown places of one side what the other has there."""
    for link in other:
        field = fields.get(link.edge)
        if field is not None and np.isnan(field).any():
            seen = _seen(fields, known, link)
            fields[link.edge] = np.where(np.isnan(field), seen, field)


def _seen(fields: Fields, side: _Side, link: _Link) -> Floats:
    """What one side of a seam has beside the places of an edge on the other."""
    q = np.linspace(0.0, 1.0, PLACES)
    x = link.start + (q if link.onwards else 1 - q) * (link.end - link.start)
    result = np.full((PLACES, next(iter(fields.values())).shape[1]), np.nan)
    for one in side:
        on = (x >= one.start - 1e-9) & (x <= one.end + 1e-9)
        if one.edge in fields and one.end > one.start and on.any():
            share = np.clip((x[on] - one.start) / (one.end - one.start), 0.0, 1.0)
            result[on] = _between(fields[one.edge], share if one.onwards else 1 - share)
    return result


def _between(field: Floats, share: Floats) -> Floats:
    place = share * (PLACES - 1)
    low = np.clip(np.floor(place + 1e-9).astype(int), 0, PLACES - 2)
    part = np.clip(place - low, 0.0, 1.0)[:, None]
    part = np.where(part < 1e-9, 0.0, np.where(part > 1 - 1e-9, 1.0, part))
    mean = field[low] * (1 - part) + field[low + 1] * part
    return np.asarray(np.where(part == 0, field[low], np.where(part == 1, field[low + 1], mean)))


def _run_round(garment: Garment, fields: Fields, loop: _Loop) -> None:
    """Between known places of an outline shares run on evenly in arc length."""
    rows = np.vstack([fields[key] for key in loop])
    there = ~np.isnan(rows[:, 0])
    if there.all() or not there.any():
        return
    lengths = [garment.piece(piece).drawn_shape.edge(edge).path.length for piece, edge in loop]
    starts = np.concatenate([[0.0], np.cumsum(lengths)])
    s = np.concatenate([starts[k] + np.linspace(0.0, long, PLACES) for k, long in enumerate(lengths)])
    for k in range(rows.shape[1]):
        rows[:, k] = np.where(there, rows[:, k], np.interp(s, s[there], rows[there, k], period=float(starts[-1])))
    for k, key in enumerate(loop):
        fields[key] = rows[k * PLACES : (k + 1) * PLACES]


def _sewn(fields: Fields, one: _Side, two: _Side) -> None:
    """Bring both sides of a seam to their mean."""
    new = {}
    for link, side in (*((link, two) for link in one), *((link, one) for link in two)):
        if link.edge in fields:
            seen = _seen(fields, side, link)
            mean = (fields[link.edge] + seen) / 2
            new[link.edge] = np.where(np.isnan(mean), fields[link.edge], mean)
    fields.update(new)


def _cornered(fields: Fields, loop: _Loop) -> None:
    """Bring the ends of neighbouring edges to their mean, fading out along each."""
    fade = smoothstep(np.linspace(0.0, 1.0, PLACES))[:, None]
    for before, after in zip((loop[-1], *loop[:-1]), loop, strict=True):
        mean = (fields[before][-1] + fields[after][0]) / 2
        fields[before] = fields[before] + (mean - fields[before][-1]) * fade
        fields[after] = fields[after] + (mean - fields[after][0]) * fade[::-1]
        fields[before][-1] = fields[after][0] = mean


def on_points(field: Floats, q: Floats) -> Floats:
    """Shares at places along an edge, even in sewn length."""
    return pchip(np.linspace(0.0, 1.0, PLACES), field, q)[0]
