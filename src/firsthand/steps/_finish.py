"""Works of edges and of the last hour: hems, facings, bands, casings, hand work."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from firsthand.fabric import Structure
from firsthand.pattern import EdgeRef, Fate, FateKind, Hand, Part
from firsthand.steps._closures import closing
from firsthand.steps._sew import is_bagged
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import BACK, Work, label, sewing, touch
from firsthand.steps.model import Place, SetUp
from firsthand.units import said

__all__ = ["finishing"]

BIAS = 0.2
"""A hem that lies further than this off both grains, radians (11 degrees), drops where it hangs (common practice)."""

HANGING, ROUND = 0.25, 1500.0
"""Where so large a share of a woven hem drops, and it is so long, mm, the garment hangs before it is hemmed
(common practice): a skirt does, a shirt tail need not."""

DAY = 1440.0
SAMPLES = 24

HOW = {
    FateKind.HEM: "Turn up, press, stitch",
    FateKind.FACING: "Neaten the facing's free edge, sew it right sides together, grade, clip, turn, understitch",
    FateKind.BAND: "Sew one edge of the band on right sides together, fold it over, catch the other edge down",
    FateKind.CASING: "Turn under, press, stitch, leaving a gap to thread through",
    FateKind.BINDING: "Sew the binding on, fold it round the edge, stitch in the seam or by hand",
}


def finishing(view: View) -> Iterator[Work]:
    """Edges, closures and the last works."""
    for fate, edges in _groups(view):
        yield from _edge(view, fate, edges)
    for edges in _inner_edges(view):
        inner = view.parts_of(edges)
        outer = tuple(part for part in view.garment.parts if _is_layer(part, inner))
        yield _felling(view, edges, (*inner, *outer), str(edges[0]), _words(view, edges))
    yield from closing(view)
    yield from _last(view)


# edges ------------------------------------------------------------------------------------------------------


def _groups(view: View) -> list[tuple[Fate, tuple[EdgeRef, ...]]]:
    """Edges of one fate and depth that run on into one another, across seams, folds, corners and edges of other depths."""
    todo: dict[EdgeRef, Fate] = {}
    for part in view.garment.parts:
        for ref in view.refs(part) if part.role not in INNER else ():
            fate = _own_fate(view, ref)
            if fate is not None and (part.role != "lining" or fate.kind is FateKind.HEM):
                todo[ref] = fate
    groups: list[tuple[Fate, tuple[EdgeRef, ...]]] = []
    while todo:
        first, fate = next(iter(todo.items()))
        found = _reach(view, first, fate.kind, todo)
        groups += _by_depth({ref: fate for ref, fate in todo.items() if ref in found})
        todo = {ref: fate for ref, fate in todo.items() if ref not in found}
    return groups


def _own_fate(view: View, ref: EdgeRef) -> Fate | None:
    """What becomes of an edge, where that is a work of its own: the hem of a pocket is part of making it ready."""
    edge, kind = view.edge(ref), view.fate(ref)
    if edge is None or kind not in HOW or is_bagged(view, ref) or (kind is FateKind.HEM and ref.piece in view.laid_on):
        return None
    return edge.fate


def _reach(view: View, first: EdgeRef, kind: FateKind, todo: Mapping[EdgeRef, Fate]) -> set[EdgeRef]:
    found, ahead = {first}, [first]
    while ahead:
        for ref in _next_to(view, ahead.pop()):
            if ref not in found and ref.role == first.role and ref in todo and todo[ref].kind is kind:
                found.add(ref)
                ahead.append(ref)
    return found


def _by_depth(edges: Mapping[EdgeRef, Fate]) -> list[tuple[Fate, tuple[EdgeRef, ...]]]:
    """Edges turned up by different depths are different works: the end hems of a frill and its long one."""
    found: dict[float, list[EdgeRef]] = {}
    for ref, fate in edges.items():
        found.setdefault(round(fate.depth, 1), []).append(ref)
    return [(edges[refs[0]], tuple(refs)) for refs in found.values()]


def _next_to(view: View, ref: EdgeRef) -> Iterator[EdgeRef]:
    """Edges that an edge runs on into: beside it on its part, or beside the far side of a seam that ends at it."""
    for beside in view.beside(ref):
        yield beside
        for seam in view.seams:
            for side, other in ((seam.a, seam.b), (seam.b, seam.a)):
                if beside in side:
                    # A piece may be sewn to itself (a sleeve): then both chains hold edges of it.
                    for far in other:
                        yield from view.beside(far)


def _edge(view: View, fate: Fate, edges: tuple[EdgeRef, ...]) -> Iterator[Work]:
    parts = view.parts_of(edges)
    name, told = str(edges[0]), view.advice(parts)
    words = _words(view, edges)
    if fate.kind is FateKind.FACING and _is_folded_band(view, parts):
        yield _felling(view, edges, parts, name, words)
        return
    if fate.kind is FateKind.HEM and _hangs(view, edges):
        yield _hanging(view, edges, parts, name, words)
    length = view.length(edges)
    yield touch(
        view,
        fate.kind.value,
        name,
        stage="edges",
        title=_title(fate.kind, edges, words),
        place=Place.MACHINE,
        parts=parts,
        edges=edges,
        minutes=minutes(fate.kind.value, length=length),
        setup=sewing(view, parts),
        length=length,
        chain=f"edge {name}",
        instruction=f"{_how(fate)} {told.finish[:1].upper()}{told.finish[1:]}.",
        caution=f"Clear of the floor by {said(25)}, by {said(50)} where there are stairs." if _is_long(view, fate) else "",
    )
    yield touch(
        view,
        f"press {fate.kind.value}",
        name,
        stage="edges",
        title=f"Press {words}",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("press edge", length=length),
        setup=SetUp(heat=told.heat),
        chain=f"edge {name}",
        instruction=f"{told.pressing[:1].upper()}{told.pressing[1:]}.",
    )


def _words(view: View, edges: tuple[EdgeRef, ...]) -> str:
    """All edges by name, with the parts they are on: ``right and left of frill``, ``hem of front; tail of back``."""
    parts: dict[str, dict[str, None]] = {}
    for ref in edges:
        part = view.part(ref)
        parts.setdefault(ref.edge, {})[label(part) if part is not None else ref.piece] = None
    names: dict[str, list[str]] = {}
    for edge, found in parts.items():
        names.setdefault(", ".join(found), []).append(edge)
    return "; ".join(f"{_listed(together)} of {where}" for where, together in names.items())


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _title(kind: FateKind, edges: tuple[EdgeRef, ...], words: str) -> str:
    """What is done to edges; one that is named after what is done to it is not told twice: ``Hem of front``."""
    named = [ref.edge.startswith(kind.value) for ref in edges]
    if all(named):
        return f"{words[:1].upper()}{words[1:]}"
    return f"{_VERBS[kind]} {'the edges ' if any(named) else ''}{words}"


def _how(fate: Fate) -> str:
    deep = said(fate.depth)
    if fate.kind is FateKind.FACING and fate.depth:
        return f"Neaten the free edge, turn {deep} back, press, catch down or stitch."
    return f"{HOW[fate.kind]}{f', {deep} deep' if fate.depth else ''}."


def _inner_edges(view: View) -> Iterable[tuple[EdgeRef, ...]]:
    """Edges of the inner side of collars, cuffs and bands that lie over the seam by which the outer side is joined on."""
    turned = [seam for seam in view.seams if view.is_turned(seam) and not view.joins_lining(seam)]
    made = view.parts_of(ref for seam in turned for ref in (*seam.a, *seam.b))
    found: dict[tuple[str, Hand], dict[EdgeRef, None]] = {}
    for seam in view.seams:
        for ref in (*seam.a, *seam.b) if seam not in turned else ():
            part = view.part(ref)
            for other in made if part in made else ():
                twin = replace(ref, role=other.role, copy=other.copy)
                if view.part(twin) == other != part and twin not in view.seamed:
                    found.setdefault((ref.piece, other.hand), {})[twin] = None
    return (tuple(edges) for edges in found.values())


def _is_layer(part: Part, inner: tuple[Part, ...]) -> bool:
    """Whether a part lies on one of the inner ones, as the outer side of the same collar."""
    places = {(one.piece, one.hand) for one in inner}
    return part not in inner and part.role not in INNER and (part.piece, part.hand) in places


def _is_folded_band(view: View, parts: tuple[Part, ...]) -> bool:
    """Whether parts are cuffs, collars or bands that are turned and whose inner edge is felled over a seam."""
    turned = [seam for seam in view.seams if view.is_turned(seam) and not view.joins_lining(seam)]
    made = {part for seam in turned for part in view.parts_of((*seam.a, *seam.b))}
    return bool(parts) and made.issuperset(parts)


def _felling(view: View, edges: tuple[EdgeRef, ...], parts: tuple[Part, ...], name: str, words: str) -> Work:
    length = view.length(edges)
    return touch(
        view,
        "fell",
        name,
        stage="edges",
        title=f"Fell down {words}",
        place=Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("fell", length=length),
        setup=SetUp(stitch="hand", thread=view.colour(parts)),
        length=length,
        chain=f"edge {name}",
        instruction="Turn the allowance under along the seam, fell it down inside, or stitch in the seam from outside.",
    )


def _hanging(view: View, edges: tuple[EdgeRef, ...], parts: tuple[Part, ...], name: str, words: str) -> Work:
    return touch(
        view,
        "hang",
        name,
        stage="edges",
        title=f"Hang for {words}",
        place=Place.HAND,
        parts=parts,
        edges=edges,
        wait=DAY,
        minutes=minutes("hang"),
        chain=f"edge {name}",
        instruction="On a form or hanger for a day: bias drops. Then level the edge from the floor.",
    )


_VERBS = {
    FateKind.HEM: "Hem", FateKind.FACING: "Face", FateKind.BAND: "Band", FateKind.CASING: "Make the casing:",
    FateKind.BINDING: "Bind",
}  # fmt: skip


def _hangs(view: View, edges: tuple[EdgeRef, ...]) -> bool:
    """Source: NMSU Guide C-314 (hang for 24 hours before marking, the more so on bias)."""
    woven = (ref for ref in edges if view.fabrics[ref.role].structure is Structure.WOVEN)
    return view.length(edges) > ROUND and any(_bias_share(view, ref) > HANGING for ref in woven)


def _bias_share(view: View, ref: EdgeRef) -> float:
    """How much of an edge lies off both grains."""
    edge, shape = view.edge(ref), view.garment.pieces[ref.piece].shape
    if edge is None or shape is None or shape.grain[0] == shape.grain[1]:
        return 0.0
    grain, length = shape.up, edge.path.length
    ways = [edge.path.tangent_at(length * (k + 0.5) / SAMPLES) for k in range(SAMPLES)]
    return sum(min(abs(grain.dot(way)), abs(grain.cross(way))) > math.sin(BIAS) for way in ways) / SAMPLES


def _is_long(view: View, fate: Fate) -> bool:
    return fate.kind is FateKind.HEM and any(word in view.garment.sort for word in ("skirt", "dress", "gown", "cloak", "robe"))


# the end ----------------------------------------------------------------------------------------------------


def _last(view: View) -> Iterator[Work]:
    parts = tuple(part for part in view.garment.parts if part.role not in INNER)
    told = view.advice(parts)
    yield touch(
        view,
        "by hand",
        "",
        stage="finish",
        title="Finish by hand",
        place=Place.HAND,
        parts=parts,
        chain="last",
        minutes=minutes("by hand", count=len(view.seams)),
        setup=SetUp(stitch="hand"),
        instruction="Catch facings and lining down, pull the basting, sew in the thread ends; count the pins.",
    )
    yield touch(
        view,
        "last press",
        "",
        stage="finish",
        title="Last press",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        chain="last",
        minutes=minutes("last press"),
        setup=SetUp(heat=told.heat),
        caution=BACK if told.heat_limit else "",
        instruction=f"{told.pressing[:1].upper()}{told.pressing[1:]}.",
    )
