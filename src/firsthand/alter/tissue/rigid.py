"""Which sections of a piece an alteration moved as they were: a piece cut through and spread is not redrawn, it is moved."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firsthand.alter.model import Record, Stretch
from firsthand.geometry import Affine, Path, Point
from firsthand.pattern import Shape

__all__ = ["Bit", "Join", "Motions", "motions"]

STEP = 12.0
"""The outline is looked at about this often, mm of arc."""
SAME = 0.05
"""Positions that a motion brings this close to where they are now, mm, follow it: half of a fine pencil line."""
TURN = 2e-3
"""Directions this close, radians, are the same."""
PART = 1e-3
"""What is put in or taken out between two positions, mm, from which on the outline is parted there."""
BEND = math.radians(10)
"""A corner that turns by less is none: two edges in one line move alike without having been cut off the rest."""
EASED = 4.0
"""A stretch between two cuts belongs to a section whose motion brings it this close to where it is, mm: where edges were made
fair over the cuts nothing of it need have moved exactly so."""
REACH = 3.0
"""A section must reach at least this far round a corner on both sides, mm."""

STILL = Affine()


@dataclass(frozen=True, slots=True)
class Bit:
    """A stretch of an edge as it was, and the motion of the section it belongs to."""

    edge: str
    start: float
    end: float
    motion: Affine


@dataclass(frozen=True, slots=True)
class Join:
    """Where the outline passes from one section into another.

    Parameters
    ----------
    edge, at, to
        The edge as it was and the arc lengths at which one section ends and the next begins; they differ where a strip was
        taken out. At a corner both are the end of the edge.
    before, after
        Motions of the two sections.
    opened
        How far the two ends are parted, mm: negative where they lie over each other, 0 at a hinge.
    """

    edge: str
    at: float
    to: float
    before: Affine
    after: Affine
    opened: float


@dataclass(frozen=True, slots=True)
class Motions:
    """How the sections of one piece were moved by one alteration.

    Parameters
    ----------
    bits
        The whole outline in order; each motion is a rigid one, or the enlargement of the whole piece.
    """

    bits: tuple[Bit, ...]
    joins: tuple[Join, ...] = ()

    def at(self, edge: str, at: float) -> Affine:
        """The motion of the section in which a position lies; at the border of two that of the first."""
        last = STILL
        for bit in self.bits:
            if bit.edge == edge:
                last = bit.motion
                if at <= bit.end:
                    break
        return last

    @property
    def moved(self) -> tuple[Affine, ...]:
        """Every motion that is one, once."""
        return tuple(dict.fromkeys(bit.motion for bit in self.bits if bit.motion != STILL))


@dataclass(frozen=True, slots=True)
class _Look:
    """A position: where it was and where it is, with the directions there, and whether the outline is parted before it."""

    edge: str
    at: float
    low: float
    high: float
    old: Point
    new: Point
    turn: float
    parted: bool

    @property
    def motion(self) -> Affine:
        return _moving(self.old, self.new, self.turn)


def motions(before: Shape, after: Shape, record: Record, piece: str) -> Motions:
    """Find the sections of a piece that an alteration moved without changing them.

    A section is a stretch of outline round at least one corner all of whose positions follow one motion. Edges that were moved
    by themselves are no sections: they belong to the section beside them, and what they did is an offset from it.

    Parameters
    ----------
    before, after
        The piece before and after the alteration.
    record
        What it did.
    piece
        Id of the piece.
    """
    looks = list(_looks(before, after, record, piece))
    if not looks:
        return Motions(tuple(Bit(edge.id, 0.0, edge.path.length, STILL) for edge in before.edges))
    whole = _enlarged(looks)
    if whole is not None:
        return Motions(tuple(Bit(edge.id, 0.0, edge.path.length, whole) for edge in before.edges))
    found = _sections(before, looks)
    labels = _spread(looks, [*found, *_between_cuts(looks, found)])
    return _told(before, looks, labels)


def _looks(before: Shape, after: Shape, record: Record, piece: str) -> Iterator[_Look]:
    new = {edge.id: edge.path for edge in after.edges}
    for edge in before.edges:
        length = edge.path.length
        runs = sorted(
            (s for s in record.edges.get(f"{piece}.{edge.id}", (Stretch(piece, edge.id, 0, length, 0, length),))),
            key=lambda s: (s.old_start, s.old_end),
        )
        reached, ended = 0.0, None
        for run in runs:
            if run.piece != piece or run.edge not in new or run.old_end - run.old_start <= PART:
                continue
            parted = run.old_start - reached > PART and ended is not None
            parted = parted or (ended is not None and abs(run.new_start - ended) > PART)
            yield from _along(edge.id, edge.path, new[run.edge], run, parted)
            reached, ended = run.old_end, run.new_end


def _along(name: str, old: Path, new: Path, run: Stretch, parted: bool) -> Iterator[_Look]:
    long = run.old_end - run.old_start
    count = max(2, math.ceil(long / STEP))
    for k in range(count):
        share = (k + 0.5) / count
        at, to = run.old_start + share * long, run.new_start + share * (run.new_end - run.new_start)
        was, now = old.tangent_at(at), new.tangent_at(to)
        turn = was.angle_to(now)
        yield _Look(name, at, run.old_start, run.old_end, old.at(at), new.at(to), turn, parted and k == 0)


def _moving(old: Point, new: Point, turn: float) -> Affine:
    by = Affine.rotation(turn, old) if abs(turn) > 1e-9 else STILL
    shift = new - old
    return Affine.translation(shift.x, shift.y) @ by


def _follows(motion: Affine, turn: float, look: _Look) -> bool:
    return abs(math.remainder(look.turn - turn, math.tau)) <= TURN and motion(look.old).distance(look.new) <= SAME


def _enlarged(looks: Sequence[_Look]) -> Affine | None:
    """The motion of the whole piece if it was only made larger or smaller, and perhaps turned."""
    middle = sum((look.old for look in looks), Point(0, 0)) / len(looks)
    there = sum((look.new for look in looks), Point(0, 0)) / len(looks)
    old, new = [look.old - middle for look in looks], [look.new - there for look in looks]
    size = math.fsum(p.dot(p) for p in old)
    if size <= 0:
        return None
    dot = math.fsum(p.dot(q) for p, q in zip(old, new, strict=True)) / size
    cross = math.fsum(p.cross(q) for p, q in zip(old, new, strict=True)) / size
    by = Affine(
        dot, cross, -cross, dot, there.x - (dot * middle.x - cross * middle.y), there.y - (cross * middle.x + dot * middle.y)
    )
    if abs(math.hypot(dot, cross) - 1) <= 1e-6 or max(by(look.old).distance(look.new) for look in looks) > SAME:
        return None
    return by


def _sections(before: Shape, looks: Sequence[_Look]) -> list[tuple[Affine, list[int]]]:
    """Motions with the places that follow them, of each that reaches round a corner; the one that stays first."""
    still = [k for k, look in enumerate(looks) if _follows(STILL, 0.0, look)]
    found: list[tuple[Affine, list[int]]] = [(STILL, still)] if still else []
    taken = set(still)
    for run in sorted(_runs(looks), key=len, reverse=True):
        if taken.issuperset(run) or not _round_corner(before, looks, run):
            continue
        motion, turn = _best(looks, run)
        group = [k for k, look in enumerate(looks) if k not in taken and _follows(motion, turn, look)]
        if group:
            found.append((_clean(motion, turn), group))
            taken.update(group)
    return found


def _between_cuts(looks: Sequence[_Look], found: Sequence[tuple[Affine, list[int]]]) -> list[tuple[Affine, list[int]]]:
    """Sections between two cuts of which no corner, or nothing at all, moved exactly as the whole."""
    taken = {k for _, group in found for k in group}
    runs = sorted((run for run in _runs(looks) if len(run) > 2 and not taken.issuperset(run)), key=len, reverse=True)
    exact = [_best(looks, run) for run in runs]
    more: list[tuple[Affine, list[int]]] = []
    for group in _cut_off(looks):
        if not taken.isdisjoint(group):
            continue
        tries = [motion for motion, _ in more] + [_clean(motion, turn) for motion, turn in exact] + [_nearly(looks, group)]
        motion = next((one for one in tries if _strays(looks, group, one) <= EASED), None)
        if motion is None:
            continue
        turn = math.atan2(motion.b, motion.a)
        alike = {k for k, look in enumerate(looks) if k not in taken and _follows(motion, turn, look)} | set(group)
        more.append((motion, sorted(alike)))
        taken |= alike
    return more


def _cut_off(looks: Sequence[_Look]) -> list[list[int]]:
    """The places between each cut and the next."""
    starts = [k for k, look in enumerate(looks) if look.parted]
    if len(starts) < 2:
        return []
    count = len(looks)
    ends = [*starts[1:], starts[0] + count]
    return [[k % count for k in range(start, end)] for start, end in zip(starts, ends, strict=True)]


def _strays(looks: Sequence[_Look], group: Sequence[int], motion: Affine) -> float:
    return max(motion(looks[k].old).distance(looks[k].new) for k in group)


def _nearly(looks: Sequence[_Look], group: Sequence[int]) -> Affine:
    """The motion that brings places nearest to where they are; without a turn where there is hardly one."""
    count = len(group)
    middle = sum((looks[k].old for k in group), Point(0, 0)) / count
    there = sum((looks[k].new for k in group), Point(0, 0)) / count
    old, new = [looks[k].old - middle for k in group], [looks[k].new - there for k in group]
    cross = math.fsum(p.cross(q) for p, q in zip(old, new, strict=True))
    turn = math.atan2(cross, math.fsum(p.dot(q) for p, q in zip(old, new, strict=True)))
    straight = _clean(Affine.translation(there.x - middle.x, there.y - middle.y), 0.0)
    return straight if _strays(looks, group, straight) <= EASED else _moving(middle, there, turn)


def _runs(looks: Sequence[_Look]) -> list[list[int]]:
    """Places in a row that follow one motion; the last row runs on into the first."""
    runs: list[list[int]] = []
    for k, look in enumerate(looks):
        seed = looks[runs[-1][0]] if runs else None
        if seed is not None and not look.parted and _follows(seed.motion, seed.turn, look):
            runs[-1].append(k)
        else:
            runs.append([k])
    first = looks[0]
    if len(runs) > 1 and not first.parted and _follows(looks[runs[-1][0]].motion, looks[runs[-1][0]].turn, first):
        runs[0] = runs.pop() + runs[0]
    return runs


def _round_corner(before: Shape, looks: Sequence[_Look], run: Sequence[int]) -> bool:
    bends = {
        edge.id: _bend(last.path, edge.path)
        for last, edge in zip((before.edges[-1], *before.edges[:-1]), before.edges, strict=True)
    }
    return any(
        looks[a].edge != looks[b].edge
        and bends[looks[b].edge] >= BEND
        and before.edge(looks[a].edge).path.length - _first(looks, run, looks[a].edge) >= REACH
        and _last(looks, run, looks[b].edge) >= REACH
        for a, b in itertools.pairwise(run)
    )


def _bend(one: Path, two: Path) -> float:
    a, b = one.end_tangent, two.start_tangent
    return abs(a.angle_to(b))


def _first(looks: Sequence[_Look], run: Sequence[int], edge: str) -> float:
    return min(looks[k].at for k in run if looks[k].edge == edge)


def _last(looks: Sequence[_Look], run: Sequence[int], edge: str) -> float:
    return max(looks[k].at for k in run if looks[k].edge == edge)


def _best(looks: Sequence[_Look], run: Sequence[int]) -> tuple[Affine, float]:
    """The motion of a row, from the two places furthest apart in it: exact even where single directions are not."""
    a = looks[run[0]]
    b = looks[max(run, key=lambda k: looks[k].old.distance(a.old))]
    was, now = b.old - a.old, b.new - a.new
    turn = was.angle_to(now)
    return _moving(a.old, a.new, turn), turn


def _clean(motion: Affine, turn: float) -> Affine:
    """A motion without the noise of its computation, so that equal ones are the same."""
    if abs(turn) < 1e-7:
        return Affine.translation(round(motion.e, 6) + 0.0, round(motion.f, 6) + 0.0)
    return motion


def _spread(looks: Sequence[_Look], sections: Sequence[tuple[Affine, list[int]]]) -> list[Affine]:
    """The motion for each place: its own section's, else that of the nearest one, which is never reached across a cut."""
    labels: list[Affine | None] = [None] * len(looks)
    for motion, group in sections:
        for k in group:
            labels[k] = motion
    count, changed = len(looks), True
    while changed and None in labels:
        changed, now = False, list(labels)
        for k in range(count):
            if now[k] is None:
                from_before = None if looks[k].parted else now[k - 1]
                after = (k + 1) % count
                from_after = None if looks[after].parted else now[after]
                found = from_before or from_after
                if found is not None:
                    labels[k], changed = found, True
    return [label or STILL for label in labels]


def _told(before: Shape, looks: Sequence[_Look], labels: Sequence[Affine]) -> Motions:
    lengths = {edge.id: edge.path.length for edge in before.edges}
    bits: list[Bit] = []
    joins: list[Join] = []
    count = len(looks)
    for edge in before.edges:
        here = [k for k in range(count) if looks[k].edge == edge.id]
        if not here:
            last = bits[-1].motion if bits else labels[-1]
            bits.append(Bit(edge.id, 0.0, edge.path.length, last))
            continue
        start = 0.0
        for one, two in itertools.pairwise(here):
            if labels[one] != labels[two]:
                at, to = _border(edge.path, looks[one], looks[two], labels[one], labels[two])
                bits.append(Bit(edge.id, start, at, labels[one]))
                joins.append(_join(edge.path, edge.id, at, to, labels[one], labels[two]))
                start = to
        bits.append(Bit(edge.id, start, edge.path.length, labels[here[-1]]))
        follow = (here[-1] + 1) % count
        if labels[follow] != labels[here[-1]]:
            joins.append(_join(edge.path, edge.id, lengths[edge.id], lengths[edge.id], labels[here[-1]], labels[follow]))
    return Motions(tuple(bits), tuple(joins))


def _border(path: Path, one: _Look, two: _Look, first: Affine, second: Affine) -> tuple[float, float]:
    """Where between two places of an edge one section ends and the next begins."""
    if two.parted or one.high < two.low - PART:
        return one.high, two.low
    # a hinge: the place that both motions bring to the same point
    ats = [one.at + (two.at - one.at) * k / 24 for k in range(25)]
    best = min(ats, key=lambda at: first(path.at(at)).distance(second(path.at(at))))
    if best in (ats[0], ats[-1]) and one.high == two.low:
        return one.high, two.low
    return best, best


def _join(path: Path, edge: str, at: float, to: float, first: Affine, second: Affine) -> Join:
    here, next_ = path.at(at), path.at(to)
    apart = second(next_) - first(here)
    if to - at > PART or apart.norm <= SAME:
        # a strip was taken out: they lie over each other by what it measured there
        over = second(here) - first(here)
        return Join(edge, at, to, first, second, -over.norm if over.norm > SAME else 0.0)
    way = path.tangent_at(at)
    mean = Affine(first.a + second.a, first.b + second.b, first.c + second.c, first.d + second.d)
    along = mean(way)
    return Join(edge, at, to, first, second, math.copysign(apart.norm, apart.dot(along)))
