"""Edges trued: where a piece was cut and joined again, a kink or a step in an edge becomes one fair curve."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from firsthand.alter._seams import seam_difference
from firsthand.alter.moving.chaining import in_turn, put_in
from firsthand.alter.moving.maps import Run, Runs, chained
from firsthand.alter.moving.reshape import Crosses, Reshaped, carried, refuse_crossings
from firsthand.errors import GeometryError
from firsthand.geometry import Cubic, Path, Point, Segment
from firsthand.pattern import EdgeRef, Garment, Seam, Shape

__all__ = ["REACH", "eased", "eased_at", "fair", "limits_on", "trued", "trued_together", "ways_at"]

REACH = 60.0
"""Edges are redrawn for this far on either side of a joint, mm. Source: common practice (a hand's breadth or less)."""
KINK = 0.005
"""Turns below this, radians, are none: an edge that was straight stays as it is."""
CORNER = math.radians(60)
"""Sharper turns are corners that are meant."""
LEAST = 1.0
"""A curve over less than this, mm, is not worth drawing."""
PARTNERS = 0.5
"""Truing may make the two sides of a seam differ by no more than this, mm; else it reaches less far."""
BESIDE = 1e-4
"""Directions beside a joint are taken this far from it, mm."""
HALVINGS = 6
"""A reach is halved at most so many times for a partner's sake; then the edge is left as it is."""

Place = tuple[float, float]
"""Where something was joined: from and to, arc lengths, mm."""


def eased(path: Path, at: float, reach: float, *, until: float | None = None) -> tuple[Path, Runs]:
    """A path on which a kink or a step is blended by one fair curve.

    The curve begins a reach before the place and ends a reach behind it, or at the end of the path, and leaves and arrives in
    the directions that the path has there.

    Parameters
    ----------
    path
        The path.
    at, until
        Where the kink is, or where a step begins and ends, arc lengths, mm.
    reach
        How far the curve reaches on either side, mm.

    Returns
    -------
    path, runs
        The new path, and where positions of the old one lie on it.

    Raises
    ------
    GeometryError
        If a number is not finite, the reach is not above zero, or the place is not on the path.

    Examples
    --------
    >>> bent = Path.line(Point(0, 0), Point(100, 0), Point(200, 20))
    >>> fair, runs = eased(bent, 100.0, 50.0)
    >>> len(fair.segments), round(bent.length - fair.length, 2)
    (3, 0.32)
    """
    return _over(path, (at, at if until is None else until), (reach, reach))


def _over(path: Path, place: Place, reaches: tuple[float, float]) -> tuple[Path, Runs]:
    start, end = place
    whole = path.length
    if not (all(math.isfinite(reach) and reach >= 0 for reach in reaches) and sum(reaches) > 0):
        raise GeometryError("a curve reaches a length above zero to either side")
    if not -BESIDE <= start <= end <= whole + BESIDE:
        raise GeometryError(f"no place between {start} and {end} lies on a path of {whole:.3f} mm")
    low, high = max(0.0, start - reaches[0]), min(whole, end + reaches[1])
    low, high = (low if low > BESIDE else 0.0), (high if high < whole - BESIDE else whole)
    segments: list[Segment] = [*path.between(0.0, low).segments] if low else []
    a, d = (path.at(low) if low else path.start), (path.at(high) if high < whole else path.end)
    segments.append(fair(a, _leaving(path, low), d, _arriving(path, high)))
    long = segments[-1].length
    segments += path.between(high, whole).segments if high < whole else ()
    runs: list[Run] = [(0.0, low, 0.0, low)] if low else []
    runs.append((low, high, low, low + long))
    runs += [(high, whole, low + long, whole - high + low + long)] if high < whole else []
    return Path(tuple(segments)), tuple(runs)


def fair(a: Point, leaving: Point, d: Point, arriving: Point) -> Cubic:
    """One cubic between two points in two directions; where they fit an arc of a circle, that arc but for a hair."""
    chord = d - a
    handles = []
    for direction in (leaving, arriving):
        cos = direction.dot(chord) / chord.norm
        handles.append(chord.norm * 2 / (3 * (1 + max(cos, 0.0))))
    return Cubic(a, a + leaving * handles[0], d - arriving * handles[1], d)


def ways_at(path: Path, at: float) -> tuple[Point, Point]:
    """The directions just before and just behind a place on a path."""
    return _arriving(path, at), _leaving(path, at)


def _leaving(path: Path, at: float) -> Point:
    """The direction just behind a place."""
    return path.tangent_at(min(at + BESIDE, path.length))


def _arriving(path: Path, at: float) -> Point:
    """The direction just before a place."""
    return path.tangent_at(max(at - BESIDE, 0.0))


# shapes ------------------------------------------------------------------------------------------------------


def trued(result: Reshaped, *, reaches: Mapping[str, float] | None = None, but: Collection[str] = ()) -> Reshaped:
    """A reshaped piece with its edges made fair where they were cut and joined again.

    The places are those at which the maps of its edges break off or begin. A curve reaches at most half way to the next one,
    and never into the mouth of a dart, the cloth of a pleat or a corner that the edge had before.

    Parameters
    ----------
    result
        What an alteration made of a piece.
    reaches
        How far to reach on either side, mm, by edge; else :data:`REACH`.
    but
        Edges that are left as they are (a fold edge stays straight).

    Raises
    ------
    Crosses
        If an edge made fair would cross something.
    """
    shape = result.shape
    edges, maps = [], {}
    for edge in shape.edges:
        reach = (reaches or {}).get(edge.id, REACH)
        runs = None if edge.id in but or edge.id not in result.maps or reach < LEAST else _trued(shape, edge.id, result, reach)
        if runs is None:
            edges.append(edge)
        else:
            path, maps[edge.id] = runs
            edges.append(replace(edge, path=path))
    if not maps:
        return result
    made = carried(shape, tuple(edges), maps)
    refuse_crossings(made.shape)
    return in_turn(result, made)


def eased_at(shape: Shape, edge: str, place: Place) -> Reshaped:
    """A shape with one place of an edge made fair, if it is bent there.

    Raises
    ------
    Crosses
        If the edge made fair would cross something.
    """
    made = _smoothed(shape, edge, [place], REACH)
    if made is None:
        return Reshaped(shape, {})
    edges = shape.with_edge(replace(shape.edge(edge), path=made[0])).edges
    result = carried(shape, edges, {edge: made[1]})
    refuse_crossings(result.shape)
    return result


def _trued(shape: Shape, edge: str, result: Reshaped, reach: float) -> tuple[Path, Runs] | None:
    """An edge made fair at all its joints, and its runs; None if there is nothing to do."""
    return _smoothed(shape, edge, _joints(result.maps[edge], shape.edge(edge).path.length), reach)


def _smoothed(shape: Shape, edge: str, places: Sequence[Place], reach: float) -> tuple[Path, Runs] | None:
    path = shape.edge(edge).path
    kinks = [place for place in places if _is_bent(path, place)]
    kinks = [place for place in kinks if not _is_mouth(shape, edge, place)]
    if not kinks:
        return None
    limits = limits_on(shape, edge, kinks)
    done: tuple[Path, Runs] | None = None
    for place in reversed(kinks):  # from the end, so that the places before it stay
        low = max((limit for limit in limits if limit <= place[0] + BESIDE), default=0.0)
        high = min((limit for limit in limits if limit >= place[1] - BESIDE), default=path.length)
        sides = (min(reach, max(place[0] - low, 0.0)), min(reach, max(high - place[1], 0.0)))
        if sum(sides) + place[1] - place[0] < LEAST or sum(sides) <= 0:
            continue
        here, runs = _over(done[0] if done else path, place, sides)
        done = here, chained(done[1], runs) if done else runs
    return done


def _joints(runs: Runs, length: float) -> list[Place]:
    """Where stretches of an old edge were joined."""
    news = sorted((run[2], run[3]) for run in runs)
    found = [(one[1], max(one[1], two[0])) for one, two in itertools.pairwise(news)]
    if news and news[0][0] > BESIDE:
        found.insert(0, (0.0, news[0][0]))
    if news and news[-1][1] < length - BESIDE:
        found.append((news[-1][1], length))
    return [place for place in dict.fromkeys(found) if place[1] > BESIDE and place[0] < length - BESIDE]


def _is_bent(path: Path, place: Place) -> bool:
    """Whether a path turns at a joint, but not by a corner that is meant."""
    start, end = place
    ways = [_arriving(path, start)] if start > BESIDE else []
    ways += [(path.at(end) - path.at(start)).unit()] if end - start > BESIDE else []
    ways += [_leaving(path, end)] if end < path.length - BESIDE else []
    turns = [_turn(one, two) for one, two in itertools.pairwise(ways)]
    return bool(turns) and KINK < max(turns) < CORNER


def _turn(one: Point, two: Point) -> float:
    return abs(one.angle_to(two))


def _mouths(shape: Shape, edge: str) -> list[Place]:
    """Where darts and pleats lie on an edge."""
    marks = [(d.edge, d.at, d.width) for d in shape.darts] + [(p.edge, p.at, p.take_up) for p in shape.pleats]
    return [(at - width / 2, at + width / 2) for name, at, width in marks if name == edge]


def _is_mouth(shape: Shape, edge: str, place: Place) -> bool:
    return any(low - BESIDE <= place[0] and place[1] <= high + BESIDE for low, high in _mouths(shape, edge))


def limits_on(shape: Shape, edge: str, kinks: Sequence[Place] = ()) -> list[float]:
    """Places beyond which no curve may reach: ends, darts, pleats, old corners, and half way to the next joint."""
    path = shape.edge(edge).path
    found = [0.0, path.length, *(end for mouth in _mouths(shape, edge) for end in mouth)]
    found += [(one[1] + two[0]) / 2 for one, two in itertools.pairwise(kinks)]
    ends = itertools.accumulate(segment.length for segment in path)
    for at, one, two in zip(ends, path, path.segments[1:], strict=False):
        if _turn(one.tangent(1.0), two.tangent(0.0)) > KINK and not any(
            low - BESIDE < at < high + BESIDE for low, high in kinks
        ):
            found.append(at)
    return found


# garments ----------------------------------------------------------------------------------------------------


def trued_together(garment: Garment, changed: Mapping[str, Reshaped]) -> dict[str, Reshaped]:
    """Pieces of a garment made fair so that seams go on fitting.

    A kink in one edge that its partner has not would make the two differ; where that is more than :data:`PARTNERS`, the
    curves of both reach less far, down to nothing. Fold edges stay straight.

    Parameters
    ----------
    garment
        As it was.
    changed
        What became of its pieces.
    """
    plain = put_in(garment, changed)
    reaches = {(name, edge): REACH for name, result in changed.items() for edge in result.maps}
    walked = [(seam, seam_difference(plain, seam)) for seam in garment.seams if _touches(seam, reaches)]
    for _ in range(HALVINGS):
        made = _with_reaches(garment, changed, reaches)
        now = put_in(garment, made)
        off = [seam for seam, was in walked if was is not None and abs((seam_difference(now, seam) or 0.0) - was) > PARTNERS]
        if not off:
            return made
        touched = {_place(ref) for seam in off for ref in (*seam.a, *seam.b)} & reaches.keys()
        reaches |= {place: reaches[place] / 2 for place in touched}
    touched = {_place(ref) for seam in off for ref in (*seam.a, *seam.b)} & reaches.keys()
    return _with_reaches(garment, changed, reaches | dict.fromkeys(touched, 0.0))


def _with_reaches(
    garment: Garment, changed: Mapping[str, Reshaped], reaches: Mapping[tuple[str, str], float]
) -> dict[str, Reshaped]:
    made = {}
    for name, result in changed.items():
        own = {edge: reach for (piece, edge), reach in reaches.items() if piece == name}
        try:
            made[name] = trued(result, reaches=own, but=(garment.piece(name).fold,))
        except Crosses:  # too narrow a place for curves: the piece stays as it was joined
            made[name] = result
    return made


def _place(ref: EdgeRef) -> tuple[str, str]:
    return ref.piece, ref.edge


def _touches(seam: Seam, places: Collection[tuple[str, str]]) -> bool:
    return any(_place(ref) in places for ref in (*seam.a, *seam.b))
