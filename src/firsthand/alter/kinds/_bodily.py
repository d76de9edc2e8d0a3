"""What alterations for the body have in common: their seams, and wedges of length put in across a piece."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from firsthand.alter._spots import along
from firsthand.alter._together import Next
from firsthand.alter.kinds.move_edge import MoveEdge
from firsthand.alter.kinds.slash import SlashAndSpread
from firsthand.alter.model import Alteration
from firsthand.alter.moving.chains import chains, place_along
from firsthand.errors import CannotAlter, NotThere
from firsthand.geometry import Point
from firsthand.pattern import Edge, Garment, Seam, Shape, sewn_length, single_seams

__all__ = ["beside", "far_end", "seam_named", "seams_named", "up_grain", "wedge"]

SLIGHT = 1e-9


def seams_named(garment: Garment, name: str) -> tuple[Seam, ...]:
    """A seam by its id, or the right and the left one by the name common to both.

    Raises
    ------
    NotThere
        If there is none.
    """
    found = tuple(seam for seam in garment.seams if seam.id in (name, f"{name} right", f"{name} left"))
    if not found:
        raise NotThere("seam", name, (common for common, _ in single_seams(garment)))
    return found


def seam_named(garment: Garment, name: str) -> Seam:
    """The first of them: see :func:`seams_named`."""
    return seams_named(garment, name)[0]


def far_end(garment: Garment, seam: str, place: str) -> str:
    """``start`` or ``end`` of a seam, whichever is farther from a place along it.

    Raises
    ------
    NotThere
        If the seam or the place is not there.
    """
    found = seam_named(garment, seam)
    at, _ = place_along(found.id, chains(garment, found), place)
    whole = sum(sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in found.a)
    return "start" if at > whole / 2 else "end"


def up_grain(shape: Shape) -> Point:
    """The direction of the grain, upwards."""
    return (shape.grain[1] - shape.grain[0]).unit()


def beside(shape: Shape, edge: str, neighbour: str) -> str:
    """``start`` or ``end`` of an edge: where it meets a neighbour.

    Raises
    ------
    CannotAlter
        If they do not meet.
    """
    names = [one.id for one in shape.edges]
    shape.edge(edge)
    shape.edge(neighbour)
    k = names.index(edge)
    if names[k - 1] == neighbour:
        return "start"
    if names[(k + 1) % len(names)] == neighbour:
        return "end"
    raise CannotAlter(f"{edge} and {neighbour} do not meet", "Name two edges that meet in a corner.")


def wedge(garment: Garment, name: str, amount: float, centre: str, hinge: str) -> Iterator[Next]:
    """A wedge of length across a piece, open at its centre and hinged at the other side.

    At a seam the piece is slashed across and spread. A fold has to stay straight, so there the edges above are raised instead:
    by all of it at the fold, by nothing at the hinge and in proportion between.

    Parameters
    ----------
    amount
        How much length is put in at the centre, mm; negative takes it out.
    centre, hinge
        Places on the outline, as ``centre at level hip``.

    Raises
    ------
    NotThere, CannotAlter
        If a place is not there or has no sense.
    """
    piece = garment.piece(name)
    edge = centre.partition(" at ")[0].strip()
    if edge == piece.fold:
        yield from _raised(piece.drawn_shape, name, amount, edge, hinge)
        return

    def slash(now: Garment) -> Alteration | None:
        return SlashAndSpread(piece=name, lines=((centre, hinge),), spread=amount) if amount else None

    yield slash


def _raised(shape: Shape, name: str, amount: float, fold: str, hinge: str) -> Iterator[Next]:
    hinge_edge, _, place = hinge.partition(" at ")
    far = shape.edge(hinge_edge.strip()).path.at(along(shape, hinge_edge.strip(), place))
    up = up_grain(shape)
    path = shape.edge(fold).path
    top = max(path.start, path.end, key=lambda point: point.dot(up))
    reach = (far - top).dot(-up.left)
    if abs(reach) < 1.0:
        raise CannotAlter("the hinge lies on the fold", "Name a place on the other side of the piece.")

    def share(point: Point) -> float:
        return max(0.0, 1 - (point - top).dot(-up.left) / reach)

    for edge in _from_top(shape, fold, hinge_edge.strip(), top):
        stations = tuple((at, amount * share(point) * _rise(edge, at, up)) for at, point in _ends(edge))
        if any(abs(by) > SLIGHT for _, by in stations):
            yield _moved(name, edge.id, stations)


def _moved(name: str, edge: str, stations: tuple[tuple[str, float], ...]) -> Next:
    return lambda now: MoveEdge(edges=(f"{name}.{edge}",), stations=stations, straight=True)


def _ends(edge: Edge) -> tuple[tuple[str, Point], tuple[str, Point]]:
    return ("start", edge.path.start), ("end", edge.path.end)


def _rise(edge: Edge, at: str, up: Point) -> float:
    """How far an edge moves outwards along its normal when it is raised by one."""
    tangent = edge.path.start_tangent if at == "start" else edge.path.end_tangent
    return -tangent.left.dot(up)


def _from_top(shape: Shape, fold: str, hinge: str, top: Point) -> list[Edge]:
    """The edges from the upper end of the fold to the one of the hinge, without both."""
    edges = shape.edges
    k = next(k for k, edge in enumerate(edges) if edge.id == fold)
    after = edges[k].path.end.distance(top) < edges[k].path.start.distance(top)
    order = [*edges[k + 1 :], *edges[:k]] if after else [*edges[:k][::-1], *edges[k + 1 :][::-1]]
    return list(itertools.takewhile(lambda edge: edge.id != hinge, order))
