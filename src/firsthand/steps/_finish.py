"""Works of edges, closures and the last hour: hems, facings, bands, casings, buttons, hand work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from firsthand.fabric import Structure
from firsthand.pattern import Closure, ClosureKind, EdgeRef, FateKind
from firsthand.steps._prepare import signed_turn
from firsthand.steps._sew import _is_bagged
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import BACK, Work, label, sewing, touch
from firsthand.steps.model import Place, SetUp
from firsthand.units import Unit, format_length

__all__ = ["finishing"]

HANGING = 0.5
"""A woven hem that turns outwards by more than this on one part, radians, has bias in it and hangs before it is hemmed."""

DAY = 1440.0

HOW = {
    FateKind.HEM: "Turn up, press, stitch",
    FateKind.FACING: "Neaten the facing's free edge, sew it right sides together, grade, clip, turn, understitch",
    FateKind.BAND: "Sew one edge of the band on right sides together, fold it over, catch the other edge down",
    FateKind.CASING: "Turn under, press, stitch, leaving a gap to thread through",
    FateKind.BINDING: "Sew the binding on, fold it round the edge, stitch in the seam or by hand",
}


@dataclass(frozen=True, slots=True)
class Fastening:
    """How a sort of closure is put on: place, what to do, and what to beware of."""

    place: Place
    title: str
    how: str
    foot: str = ""
    caution: str = ""


PULL = "It closes round the neck and does not part under a pull: use a snap, magnet or hook-and-loop that lets go."
FASTENINGS = {
    ClosureKind.LACING: Fastening(Place.HAND, "Lace up", "Thread the cord from the bottom, tie off the ends."),
    ClosureKind.DRAWSTRING: Fastening(Place.HAND, "Thread the drawstring", "With a bodkin; bartack it so that it stays in."),
    ClosureKind.CLASP: Fastening(Place.HAND, "Sew on the clasp", "Doubled thread, through the interfacing, halves level."),
    ClosureKind.HOOKS: Fastening(Place.HAND, "Sew on hooks and eyes", "Round the loops, not through to the face."),
    ClosureKind.SNAPS: Fastening(Place.HAND, "Sew on the snaps", "Ball half first, chalk it, press it to mark the other."),
    ClosureKind.ZIP: Fastening(Place.MACHINE, "Put in the zip", "Baste, stitch both sides from the bottom up.", "zip foot"),
    ClosureKind.TAPE: Fastening(Place.MACHINE, "Sew on hook-and-loop", "Soft half towards the body, all round the edge."),
    ClosureKind.ELASTIC: Fastening(
        Place.HAND, "Thread the elastic", "Try it on the body first, then overlap the ends and join.",
        caution="Not tight: it must leave no mark after ten minutes, and never go tight round a neck.",
    ),
}  # fmt: skip


def finishing(view: View) -> Iterator[Work]:
    """Edges, closures and the last works."""
    for fate, edges in _groups(view):
        yield from _edge(view, fate, edges)
    for closure in view.garment.closures:
        yield from _closure(view, closure)
    yield from _last(view)


# edges ------------------------------------------------------------------------------------------------------


def _groups(view: View) -> list[tuple[FateKind, tuple[EdgeRef, ...]]]:
    """Edges of one fate that run on into one another, across seams, folds and corners."""
    todo: dict[EdgeRef, FateKind] = {}
    for part in view.garment.parts:
        for ref in view.refs(part) if part.role not in INNER else ():
            fate = view.fate(ref)
            if fate in HOW and not _is_bagged(view, ref) and (part.role != "lining" or fate is FateKind.HEM):
                todo[ref] = fate
    groups: list[tuple[FateKind, tuple[EdgeRef, ...]]] = []
    while todo:
        first, fate = next(iter(todo.items()))
        found = _reach(view, first, fate, todo)
        groups.append((fate, tuple(ref for ref in todo if ref in found)))
        todo = {ref: kind for ref, kind in todo.items() if ref not in found}
    return groups


def _reach(view: View, first: EdgeRef, fate: FateKind, todo: dict[EdgeRef, FateKind]) -> set[EdgeRef]:
    found, ahead = {first}, [first]
    while ahead:
        for ref in _next_to(view, ahead.pop()):
            if ref not in found and todo.get(ref) is fate:
                found.add(ref)
                ahead.append(ref)
    return found


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


def _edge(view: View, fate: FateKind, edges: tuple[EdgeRef, ...]) -> Iterator[Work]:
    parts = view.parts_of(edges)
    length = view.length(edges)
    act, stage = fate.value, "edges"
    name = str(edges[0])
    words = f"{edges[0].piece} {edges[0].edge}" if len(parts) == 1 else f"{edges[0].edge} of {', '.join(map(label, parts))}"
    told = view.advice(parts)
    depth = max((edge.fate.depth for edge in map(view.edge, edges) if edge is not None and edge.fate is not None), default=0.0)
    if fate is FateKind.HEM and _hangs(view, edges):
        yield touch(
            view,
            "hang",
            name,
            stage=stage,
            title=f"Hang {words}",
            place=Place.HAND,
            parts=parts,
            edges=edges,
            wait=DAY,
            minutes=minutes("hang"),
            chain=f"edge {name}",
            instruction="On a form or hanger for a day: bias drops. Then level the edge from the floor.",
        )
    deep = f" {format_length(depth, Unit.MM, digits=0)} deep" if depth else ""
    yield touch(
        view,
        act,
        name,
        stage=stage,
        title=f"{_VERBS[fate]} {words}",
        place=Place.MACHINE,
        parts=parts,
        edges=edges,
        minutes=minutes(act, length=length),
        setup=sewing(view, parts),
        length=length,
        chain=f"edge {name}",
        instruction=f"{HOW[fate]}{deep}. {told.finish[:1].upper()}{told.finish[1:]}.",
        caution="Clear of the floor by 25 mm, 50 mm where there are stairs." if _is_long(view, fate) else "",
    )
    yield touch(
        view,
        f"press {act}",
        name,
        stage=stage,
        title=f"Press {words}",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("press edge", length=length),
        setup=SetUp(heat=told.heat),
        chain=f"edge {name}",
        instruction=f"{told.pressing[:1].upper()}{told.pressing[1:]}.",
    )


_VERBS = {
    FateKind.HEM: "Hem", FateKind.FACING: "Face", FateKind.BAND: "Band", FateKind.CASING: "Make the casing:",
    FateKind.BINDING: "Bind",
}  # fmt: skip


def _hangs(view: View, edges: tuple[EdgeRef, ...]) -> bool:
    """Source: NMSU Guide C-314 (hang for 24 hours before marking, the more so on bias)."""
    for ref in edges:
        edge = view.edge(ref)
        if edge is not None and view.fabrics[ref.role].structure is Structure.WOVEN and signed_turn(edge.path) > HANGING:
            return True
    return False


def _is_long(view: View, fate: FateKind) -> bool:
    return fate is FateKind.HEM and any(word in view.garment.sort for word in ("skirt", "dress", "gown", "cloak", "robe"))


# closures ---------------------------------------------------------------------------------------------------


def _closure(view: View, closure: Closure) -> Iterator[Work]:
    if closure.kind is ClosureKind.BUTTONS:
        yield from _buttons(view, closure)
        return
    if closure.kind is ClosureKind.LACING:
        yield _eyelets(view, closure)
    how = FASTENINGS[closure.kind]
    parts = view.parts_of(closure.edges)
    caution = PULL if closure.at_neck and not closure.parts_under_pull else how.caution
    setup = SetUp(stitch="hand") if how.place is Place.HAND else sewing(view, parts, stitch="straight", foot=how.foot)
    yield touch(
        view,
        closure.kind.value,
        closure.id,
        stage="closures",
        title=f"{how.title}: {closure.id}",
        place=how.place,
        parts=parts,
        edges=closure.edges,
        minutes=minutes(closure.kind.value, count=max(1, closure.count)),
        setup=setup,
        length=2 * view.length(closure.edges) if how.place is Place.MACHINE else 0.0,
        instruction=how.how,
        caution=caution,
        chain=f"closure {closure.id}",
    )


def _buttons(view: View, closure: Closure) -> Iterator[Work]:
    parts = view.parts_of(closure.edges)
    count = max(1, closure.count)
    neck = PULL if closure.at_neck and not closure.parts_under_pull else ""
    yield touch(
        view,
        "buttonholes",
        closure.id,
        stage="closures",
        title=f"{count} buttonholes: {closure.id}",
        place=Place.MACHINE,
        parts=parts,
        edges=closure.edges,
        minutes=minutes("buttonholes", count=count),
        chain=f"closure {closure.id}",
        setup=sewing(view, parts, stitch="buttonhole", length=0.4, foot="buttonhole foot"),
        length=count * HOLE,
        instruction="One on a scrap with the same layers first. Cut them open from both ends, a pin across each bar.",
        caution="Cut away from the hand that holds the cloth.",
    )
    yield touch(
        view,
        "buttons",
        closure.id,
        stage="closures",
        title=f"{count} buttons: {closure.id}",
        place=Place.HAND,
        parts=parts,
        edges=closure.edges,
        minutes=minutes("buttons", count=count),
        setup=SetUp(stitch="hand", thread=view.colour(parts)),
        instruction="Mark through the holes, sew on with a shank as thick as the edge.",
        caution=neck,
        chain=f"closure {closure.id}",
    )


HOLE = 60.0
"""Length stitched for one buttonhole: both sides and the bars, mm (common practice)."""


def _eyelets(view: View, closure: Closure) -> Work:
    parts = view.parts_of(closure.edges)
    pairs = max(1, closure.count)
    return touch(
        view,
        "eyelets",
        closure.id,
        stage="closures",
        title=f"{pairs} pairs of eyelets: {closure.id}",
        place=Place.TABLE,
        parts=parts,
        edges=closure.edges,
        minutes=minutes("eyelets", count=2 * pairs),
        chain=f"closure {closure.id}",
        instruction="Punch small, set one in a scrap of the same layers, then the ends, then the rest between them.",
        caution="Punch and hammer on a block, fingers clear.",
    )


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
