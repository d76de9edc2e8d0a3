"""Works before the first seam: paper, marks, interfacing, mounting, staystitching, darts, pleats."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator

from firsthand.fabric import Structure
from firsthand.findings import Finding, Severity
from firsthand.geometry import Path
from firsthand.pattern import Dart, EdgeRef, FateKind, Part, Piece, Pressed, Shape
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import BACK, Work, label, sewing, touch
from firsthand.steps.model import Place, SetUp
from firsthand.units import said

__all__ = ["preparing", "signed_turn"]

CONCAVE = -0.35
"""An edge that turns inwards by more than this, radians, is staystitched (about 20 degrees; common practice)."""

SOLE = 20_000.0
"""Area that the iron's sole plate fuses in one place, mm2 (common practice)."""


def preparing(view: View, findings: Iterable[Finding] = ()) -> Iterator[Work]:
    """Everything up to the first seam."""
    yield from _settle(view, findings)
    yield from _paper(view)
    yield from _mark(view)
    yield from _fuse(view)
    yield from _mount(view)
    yield from _staystitch(view)
    yield from _darts(view)
    yield from _pleats(view)


def signed_turn(path: Path) -> float:
    """How far a path turns in all, radians, positive to the left: negative for an edge that curves into the piece.

    Examples
    --------
    >>> from firsthand.geometry import Point
    >>> round(signed_turn(Path.arc(Point(0, 0), 100, 3.14159265, -1.5707963)), 2)
    -1.57
    """
    points = path.flattened(0.5)
    ways = [path.start_tangent, *((two - one).unit() for one, two in itertools.pairwise(points)), path.end_tangent]
    return sum(one.angle_to(two) for one, two in itertools.pairwise(ways))


def _settle(view: View, findings: Iterable[Finding]) -> Iterator[Work]:
    """What the program doubts about this garment, looked at before anything is cut."""
    own = [one for one in findings if one.severity is not Severity.NOTE and one.where[:1] == (view.garment.id,)]
    if own:
        yield touch(
            view,
            "settle",
            "",
            stage="prepare",
            title="Settle what was found",
            place=Place.TABLE,
            minutes=minutes("settle", count=len(own)),
            instruction=" ".join(f"{one.message.rstrip('.')}: {one.remedy or 'look again.'}" for one in own),
        )


def _paper(view: View) -> Iterator[Work]:
    pieces = view.garment.pieces.values()
    drawn, cards = [p for p in pieces if p.shape is not None], [p for p in pieces if p.shape is None]
    changed = [piece for piece in drawn if piece.bought is not None and piece.bought != piece.shape]
    if drawn:
        yield touch(
            view,
            "tissue",
            "",
            stage="prepare",
            title="Press the pattern pieces flat",
            place=Place.IRON,
            minutes=minutes("tissue", count=len(drawn)),
            setup=SetUp(heat="one dot, dry"),
            instruction=f"{len(drawn)} pieces: cut apart roughly, press dry and cool.",
            caution=BACK,
        )
    if changed:
        yield touch(
            view,
            "alter",
            "",
            stage="prepare",
            title="Alter the pattern pieces",
            place=Place.TABLE,
            minutes=minutes("alter", count=len(changed)),
            instruction=f"Carry the alterations over to {_names(changed)}, or print these pieces anew.",
        )
    if cards:
        yield touch(
            view,
            "draw",
            "",
            stage="prepare",
            title="Draw the pieces that are only cards",
            place=Place.TABLE,
            minutes=minutes("draw", count=len(cards)),
            instruction=" ".join(_card(piece) for piece in cards),
        )


def _card(piece: Piece) -> str:
    rough = piece.rough.get(piece.size or "")
    size = f"{said(rough.length)} along the grain x {said(rough.width)}" if rough else "measure it first"
    return f"{piece.name}: {size}."


def _mark(view: View) -> Iterator[Work]:
    groups: dict[str, list[Part]] = {}
    for part in view.garment.parts:
        if not (view.fabrics[part.role].fusible and part.role in INNER):
            groups.setdefault(view.fabrics[part.role].id or part.role, []).append(part)
    for fabric, parts in groups.items():
        count = sum(_marks(view.garment.pieces[part.piece]) for part in parts)
        yield touch(
            view,
            "mark",
            fabric,
            stage="mark",
            title=f"Mark the {fabric} parts",
            place=Place.TABLE,
            minutes=minutes("mark", count=count),
            parts=tuple(parts),
            chain=f"mark {fabric}",
            instruction="Notches, darts, pleats, centre lines and placements, on the back; try the marker on a scrap.",
        )


def _marks(piece: Piece) -> int:
    shape = piece.shape
    return 1 if shape is None else len(shape.notches) + 3 * len(shape.darts) + 2 * len(shape.pleats) + len(shape.lines)


def _fuse(view: View) -> Iterator[Work]:
    for piece, glued in _by_piece(
        part for part in view.garment.parts if part.role in INNER and view.fabrics[part.role].fusible
    ):
        outer = _behind(view, glued)
        parts = (*glued, *outer)
        area = sum(_area(view.garment.pieces[part.piece]) for part in glued)
        told = view.advice(parts)
        yield touch(
            view,
            "fuse",
            piece,
            stage="fuse",
            title=f"Fuse {piece}",
            place=Place.IRON,
            parts=parts,
            minutes=minutes("fuse", count=area / SOLE + 2 * len(glued)),
            setup=SetUp(heat=told.heat),
            instruction=f"{_labels(glued)} to the back of {_labels(outer) or piece}: glue side down, damp cloth between, "
            "10 to 15 seconds in each place, lift and do not slide, let it cool flat.",
            caution=BACK,
        )


def _mount(view: View) -> Iterator[Work]:
    for piece, backing in _by_piece(p for p in view.garment.parts if p.role in INNER and not view.fabrics[p.role].fusible):
        outer = _behind(view, backing)
        shape = view.garment.pieces[piece].shape
        length = shape.outline.length * len(backing) if shape else 0.0
        yield touch(
            view,
            "mount",
            piece,
            stage="fuse",
            title=f"Baste {backing[0].role} to {piece}",
            place=Place.HAND,
            parts=(*backing, *outer),
            minutes=minutes("mount", length=length),
            setup=SetUp(stitch="hand basting"),
            instruction=f"{_labels(backing)} to the back of {_labels(outer) or piece}, inside the allowance: now they are one.",
        )


def _by_piece(parts: Iterable[Part]) -> Iterable[tuple[str, tuple[Part, ...]]]:
    groups: dict[str, list[Part]] = {}
    for part in parts:
        groups.setdefault(part.piece, []).append(part)
    return ((piece, tuple(found)) for piece, found in groups.items())


def _behind(view: View, inner: tuple[Part, ...]) -> tuple[Part, ...]:
    """The parts that inner parts are laid behind: same piece, hand and copy, the shell before any other role."""
    outer = [part for part in view.garment.parts if part.piece == inner[0].piece and part.role not in INNER]
    first = next((part.role for part in outer if part.role == "shell"), outer[0].role if outer else "")
    layer = [part for part in outer if part.role == first]
    wanted = {(part.hand, part.copy) for part in inner}
    return tuple(part for part in layer if (part.hand, part.copy) in wanted) or tuple(layer)


def _staystitch(view: View) -> Iterator[Work]:
    for name, parts in _by_cloth(view):
        edges = tuple(ref for part in parts for ref in view.refs(part) if _is_stayed(view, ref))
        if edges:
            length = view.length(edges)
            yield touch(
                view,
                "staystitch",
                name,
                stage="shape",
                title=f"Staystitch {name}",
                place=Place.MACHINE,
                parts=view.parts_of(edges),
                edges=edges,
                length=length,
                minutes=minutes("staystitch", length=length, count=len(edges)),
                chain=f"staystitch {name}",
                setup=sewing(view, parts, stitch="straight", length=2.0),
                instruction=f"One layer, 2 mm stitch, just inside the allowance, always the same way along {_edges(edges)}.",
            )


def _is_stayed(view: View, ref: EdgeRef) -> bool:
    edge, woven = view.edge(ref), view.fabrics[ref.role].structure is Structure.WOVEN
    return woven and edge is not None and view.fate(ref) is not FateKind.HEM and signed_turn(edge.path) < CONCAVE


def _darts(view: View) -> Iterator[Work]:
    for cloth, parts in _by_cloth(view):
        shape = view.garment.pieces[parts[0].piece].shape
        for dart in shape.darts if shape else ():
            edges = tuple(ref for part in parts for ref in view.refs(part) if ref.edge == dart.edge)
            depth = shape.edge(dart.edge).path.at(dart.at).distance(dart.apex) if shape else 0.0
            name = f"{cloth} {dart.id}"
            yield touch(
                view,
                "dart",
                name,
                stage="shape",
                title=f"Sew the darts: {name}",
                place=Place.MACHINE,
                parts=parts,
                edges=edges,
                minutes=minutes("dart", count=len(edges)),
                setup=sewing(view, parts),
                length=len(edges) * depth,
                chain=f"dart {name}",
                instruction=f"{len(edges)} times, from the edge to the point; tie the threads, do not backstitch.",
            )
            yield touch(
                view,
                "press dart",
                name,
                stage="shape",
                title=f"Press the darts: {name}",
                place=Place.IRON if view.advice(parts).heat_limit else Place.HAND,
                parts=parts,
                edges=edges,
                minutes=minutes("press", length=len(edges) * depth),
                setup=SetUp(heat=view.advice(parts).heat),
                chain=f"dart {name}",
                instruction=f"Over a ham or a rolled towel: {_pressed(shape, dart)}.",
            )


def _pressed(shape: Shape | None, dart: Dart) -> str:
    """Which way a dart is pressed: the one that its edge was cut for."""
    if dart.pressed is Pressed.OPEN:
        return "slash it along its fold to 2 cm from the point, and press it open"
    if dart.pressed is Pressed.BOX or shape is None:
        return "flatten it over its seam, half to either side"
    names = [edge.id for edge in shape.edges]
    beside = names[(names.index(dart.edge) + (1 if dart.pressed is Pressed.END else -1)) % len(names)]
    return f"towards the edge {beside}, as it is cut for"


def _pleats(view: View) -> Iterator[Work]:
    for cloth, parts in _by_cloth(view):
        shape = view.garment.pieces[parts[0].piece].shape
        for edge in dict.fromkeys(pleat.edge for pleat in shape.pleats) if shape else ():
            count = sum(pleat.edge == edge for pleat in shape.pleats) if shape else 0
            yield from _pleated(view, f"{cloth} {edge}", parts, edge, count)


def _pleated(view: View, name: str, parts: tuple[Part, ...], edge: str, count: int) -> Iterator[Work]:
    edges = tuple(ref for part in parts for ref in view.refs(part) if ref.edge == edge)
    told = view.advice(parts)
    yield touch(
        view,
        "pleat",
        name,
        stage="shape",
        title=f"Lay the pleats: {name}",
        place=Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("pleat", count=count * len(edges)),
        setup=SetUp(stitch="hand basting"),
        chain=f"pleat {name}",
        instruction=f"{count} pleats on each of {len(edges)} edges: fold mark to mark, pin, baste across.",
    )
    yield touch(
        view,
        "press pleats",
        name,
        stage="shape",
        title=f"Press the pleats: {name}",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("press", length=view.length(edges)),
        chain=f"pleat {name}",
        setup=SetUp(heat=told.heat),
        instruction="Only along the basting unless they are to be sharp.",
    )


def _by_cloth(view: View) -> Iterable[tuple[str, tuple[Part, ...]]]:
    """Parts by piece and role, named as in ``front`` or ``front lining``: each is another fabric under the needle."""
    groups: dict[str, list[Part]] = {}
    for part in view.garment.parts:
        if part.role not in INNER:
            groups.setdefault(part.piece if part.role == "shell" else f"{part.piece} {part.role}", []).append(part)
    return ((name, tuple(parts)) for name, parts in groups.items())


def _area(piece: Piece) -> float:
    if piece.shape is not None:
        return abs(piece.shape.outline.area) * (2 if piece.fold else 1)
    rough = piece.rough.get(piece.size or "")
    return rough.length * rough.width if rough else SOLE


def _labels(parts: Iterable[Part]) -> str:
    return ", ".join(label(part) for part in parts)


def _edges(edges: Iterable[EdgeRef]) -> str:
    return ", ".join(dict.fromkeys(ref.edge for ref in edges))


def _names(pieces: Iterable[Piece]) -> str:
    return ", ".join(piece.name for piece in pieces)
