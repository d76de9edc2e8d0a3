"""Gluing all seams: the garment as a surface, and the holes that it has."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from firsthand.errors import FirsthandError
from firsthand.pattern._boundary import boundary_loops
from firsthand.pattern._parts import PartEdge, ref_to
from firsthand.pattern._sense import Classes, Layout, Topology, all_senses
from firsthand.pattern._sewn import sewn_length
from firsthand.pattern.model import EdgeRef, Garment, Seam

__all__ = ["Assembly", "Component", "Glue", "Side", "assemble"]

SNAP = 0.5
"""Ends that come this near to each other along a seam meet, mm."""


@dataclass(frozen=True, slots=True)
class Component:
    """Parts that hang together.

    Parameters
    ----------
    parts
        Ids of the parts.
    vertices, edges, faces
        Counts after gluing; every part is one face.
    loops
        The holes: each the edges round it, in order.
    orientable
        Whether the face of the cloth can lie outside everywhere.
    inside_out
        Ids of seams at which it cannot, if not.
    """

    parts: tuple[str, ...]
    vertices: int
    edges: int
    faces: int
    loops: tuple[tuple[EdgeRef, ...], ...]
    orientable: bool = True
    inside_out: tuple[str, ...] = ()

    @property
    def euler(self) -> int:
        """Euler characteristic: 2 less the number of holes for all that could lie flat on a ball."""
        return self.vertices - self.edges + self.faces


@dataclass(frozen=True, slots=True)
class Assembly:
    """The garment with all its seams sewn, as a surface.

    Parameters
    ----------
    components
        What hangs together.
    loops
        All holes of all components.
    euler
        Sum of the Euler characteristics.
    orientable
        Whether all components are.
    left_out
        Ids of seams that could not be glued: an edge is not there, is only on a card, or is sewn already.
    """

    components: tuple[Component, ...]
    loops: tuple[tuple[EdgeRef, ...], ...]
    euler: int
    orientable: bool
    left_out: tuple[str, ...] = ()


Side = tuple[str, str, int]
"""A stretch of a part's boundary: the part's id, the edge, and which stretch of it, counter-clockwise."""


@dataclass(frozen=True, slots=True)
class Glue:
    """Two stretches of boundary that are sewn together; ``head_to_tail`` if both run counter-clockwise past each other."""

    one: Side
    two: Side
    head_to_tail: bool
    seam: str


@dataclass(frozen=True, slots=True)
class _Chain:
    """One side of a seam: its edges with the way they are walked, and where each ends, as a share of the whole."""

    edges: tuple[PartEdge, ...]
    sense: int
    ends: tuple[float, ...]
    length: float


def _chain(layout: Layout, refs: Sequence[EdgeRef], sense: int, used: Counter[tuple[str, str]]) -> _Chain | None:
    edges, reached = [], [0.0]
    for ref in refs:
        found = layout.find(ref)
        shape = None if found is None else layout.shape(found.part)
        if found is None or shape is None or used[found.part.id, found.edge]:
            return None
        used[found.part.id, found.edge] += 1
        edges.append(found)
        try:
            reached.append(reached[-1] + sewn_length(shape, found.edge))
        except FirsthandError:
            return None
    whole = reached[-1]
    return _Chain(tuple(edges), sense, tuple(at / whole for at in reached[1:]), whole) if whole > 0 else None


def _stretches(a: _Chain, b: _Chain) -> list[tuple[int, int]]:
    """Which edge of either side each stretch lies on, both being cut wherever an edge ends; ends that nearly meet do."""
    snap = SNAP / max(a.length, b.length)
    last_a, last_b = len(a.ends) - 1, len(b.ends) - 1
    i = j = 0
    found = [(0, 0)]
    while (i, j) != (last_a, last_b):
        behind = a.ends[i] - b.ends[j]
        meet = i < last_a and j < last_b and abs(behind) <= snap
        step_a = meet or j == last_b or (i < last_a and behind < 0)
        step_b = meet or not step_a
        i, j = i + step_a, j + step_b
        found.append((i, j))
    return found


def _spread(chain: _Chain, homes: Sequence[int]) -> list[tuple[PartEdge, int, int]]:
    """For each stretch the edge that it is on, which stretch of that edge, and how many that edge has."""
    counts = Counter(homes)
    seen: Counter[int] = Counter()
    spread = []
    for home in homes:
        number = seen[home] if chain.sense > 0 else counts[home] - 1 - seen[home]
        seen[home] += 1
        spread.append((chain.edges[home], number, counts[home]))
    return spread


class _Gluing:
    """Glues seams one after the other."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.pieces: dict[tuple[str, str], int] = {}
        self.glues: list[Glue] = []
        self.left_out: list[str] = []
        self.used: Counter[tuple[str, str]] = Counter()

    def add(self, seam: Seam, senses: tuple[int, int]) -> None:
        before = Counter(self.used)
        a = _chain(self.layout, seam.a, senses[0], self.used)
        b = _chain(self.layout, seam.b, senses[1], self.used) if a is not None else None
        if a is None or b is None or any(n > 1 for n in self.used.values()):
            self.used = before
            self.left_out.append(seam.id)
            return
        homes_a, homes_b = zip(*_stretches(a, b), strict=True)
        for (one, k, many), (two, j, more) in zip(_spread(a, homes_a), _spread(b, homes_b), strict=True):
            self.pieces[one.part.id, one.edge], self.pieces[two.part.id, two.edge] = many, more
            sides = (one.part.id, one.edge, k), (two.part.id, two.edge, j)
            self.glues.append(Glue(*sides, a.sense != b.sense, seam.id))


def glued(layout: Layout, seams: Sequence[Seam]) -> _Gluing:
    """All seams glued that can be."""
    gluing = _Gluing(layout)
    for seam, senses in zip(seams, all_senses(layout, seams), strict=True):
        gluing.add(seam, senses)
    return gluing


def _ring(layout: Layout, gluing: _Gluing, part: str) -> list[Side]:
    """The stretches of a part's boundary, counter-clockwise."""
    shape = layout.shape(next(p for p in layout.garment.parts if p.id == part))
    edges = () if shape is None else shape.edges
    return [(part, edge.id, k) for edge in edges for k in range(gluing.pieces.get((part, edge.id), 1))]


def _sides(parts: Iterable[str], classes: Classes, root: object) -> list[str]:
    return [part for part in parts if classes.find(part) == root]


def _flips(parts: Iterable[str], glues: Sequence[Glue]) -> tuple[str, ...]:
    """Seams at which no choice of sides can be kept up (union-find over each part face up and face down)."""
    classes, wrong = Classes(), []
    for glue in glues:
        one, two = glue.one[0], glue.two[0]
        classes.unite((one, 1), (two, 1 if glue.head_to_tail else -1))
        classes.unite((one, -1), (two, -1 if glue.head_to_tail else 1))
        if classes.find((one, 1)) == classes.find((one, -1)):
            wrong.append(glue.seam)
            break
    return tuple(wrong)


def _component(layout: Layout, gluing: _Gluing, parts: Sequence[str]) -> Component:
    rings = {part: _ring(layout, gluing, part) for part in parts}
    glues = [glue for glue in gluing.glues if glue.one[0] in rings]
    corners = Classes()
    sides = [side for ring in rings.values() for side in ring]
    following = {side: ring[(k + 1) % len(ring)] for ring in rings.values() for k, side in enumerate(ring)}
    for glue in glues:
        one, two = (glue.one, following[glue.one]), (glue.two, following[glue.two])
        two = two[::-1] if glue.head_to_tail else two
        corners.unite(one[0], two[0])
        corners.unite(one[1], two[1])
    wrong = _flips(parts, glues)
    loops = tuple(_named(layout, loop) for loop in boundary_loops(list(rings.values()), glues))
    return Component(
        parts=tuple(parts),
        vertices=len({corners.find(side) for side in sides}),
        edges=len(sides) - len(glues),
        faces=len(rings),
        loops=loops,
        orientable=not wrong,
        inside_out=wrong,
    )


def _named(layout: Layout, loop: Iterable[Side]) -> tuple[EdgeRef, ...]:
    by_id = {part.id: part for part in layout.garment.parts}
    return tuple(ref_to(layout.garment, PartEdge(by_id[part], edge)) for part, edge, _ in loop)


def assemble(garment: Garment, *, closed: Iterable[Seam] = ()) -> Assembly:
    """Sew all seams in thought, and look what surface comes out.

    Every part that a seam names is a disc, parts on the fold opened out; a part in no seam (an interfacing, an ornament) is
    left out. Both sides of a seam are cut where an edge ends on either, at the same share of the sewn length. An edge that is
    sewn twice is glued the first time only. Cut-outs inside a part are not counted.

    Parameters
    ----------
    garment
        The garment.
    closed
        Further seams, for closures that are done up.

    Returns
    -------
    Assembly
        Its parts that hang together, their holes, and the Euler characteristic: for an orientable component without handles
        ``2 - number of holes``.

    Examples
    --------
    >>> from firsthand.geometry import Path, Point
    >>> from firsthand.pattern.model import Corner, Cut, Edge, Hand, How, Part, Piece, Shape
    >>> corners = [Point(0, 0), Point(80, 0), Point(80, 50), Point(0, 50)]
    >>> sides = zip(("hem", "right", "top", "left"), corners, corners[1:] + corners[:1], strict=True)
    >>> shape = Shape(tuple(Edge(s, Corner(s), Path.line(a, b)) for s, a, b in sides), (corners[0], corners[3]))
    >>> tube = Piece("tube", "1", "Tube", (Cut("shell", How.SINGLE),), shape=shape)
    >>> seam = Seam("side", (EdgeRef("tube", "right"),), (EdgeRef("tube", "left"),))
    >>> sewn = assemble(Garment("g", "G", "p", "M", {"tube": tube}, (Part("tube", Hand.CENTRE, "shell"),), (seam,)))
    >>> sewn.euler, [[edge.edge for edge in loop] for loop in sewn.loops]
    (0, [['hem'], ['top']])
    """
    more = tuple(closed)
    return _assembled(garment, more) if more else _assembled_alike(_Laid(garment))


class _Laid:
    """A garment looked up by what its seams join and which edges lie on which there: all that is asked of lengths."""

    __slots__ = ("garment", "key")

    def __init__(self, garment: Garment) -> None:
        self.garment = garment
        self.key = (Topology(garment), tuple(_laid(garment, seam) for seam in garment.seams))

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Laid) and self.key == other.key


def _laid(garment: Garment, seam: Seam) -> tuple[tuple[int, int], ...]:
    """Which edges of both sides of a seam lie on each other; nothing if a side has no length."""
    try:
        a, b = ([sewn_length(garment.piece(ref.piece).drawn_shape, ref.edge) for ref in refs] for refs in (seam.a, seam.b))
    except FirsthandError:
        return ()
    whole_a, whole_b = sum(a), sum(b)
    if not (whole_a > 0 and whole_b > 0):
        return ()
    if len(a) == len(b) == 1:
        return ((0, 0),)
    ends_a, ends_b = (
        tuple(at / whole for at in itertools.accumulate(lengths)) for lengths, whole in ((a, whole_a), (b, whole_b))
    )
    return tuple(_stretches(_Chain((), 1, ends_a, whole_a), _Chain((), 1, ends_b, whole_b)))


@lru_cache(maxsize=32)
def _assembled_alike(laid: _Laid) -> Assembly:
    return _assembled(laid.garment, ())


def _assembled(garment: Garment, closed: tuple[Seam, ...]) -> Assembly:
    layout = Layout(garment)
    seams = [*garment.seams, *closed]
    gluing = glued(layout, seams)
    sewn = {found.part.id for seam in seams for ref in (*seam.a, *seam.b) if (found := layout.find(ref)) is not None}
    parts = [part.id for part in garment.parts if part.id in sewn]
    together = Classes()
    for glue in gluing.glues:
        together.unite(glue.one[0], glue.two[0])
    roots = dict.fromkeys(together.find(part) for part in parts)
    components = tuple(_component(layout, gluing, _sides(parts, together, root)) for root in roots)
    return Assembly(
        components,
        tuple(loop for component in components for loop in component.loops),
        sum(component.euler for component in components),
        all(component.orientable for component in components),
        tuple(gluing.left_out),
    )
