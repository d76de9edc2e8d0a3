"""Works of closures: buttons, lacing, cords, clasps, zips, elastic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from firsthand.pattern import Closure, ClosureKind, Part
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import Work, sewing, touch
from firsthand.steps.model import Place, SetUp

__all__ = ["closing"]


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
    ClosureKind.ZIP: Fastening(Place.MACHINE, "Put in the zip", "Baste, stitch both sides from the bottom up.", "zip"),
    ClosureKind.TAPE: Fastening(Place.MACHINE, "Sew on hook-and-loop", "Soft half towards the body, all round the edge."),
    ClosureKind.ELASTIC: Fastening(
        Place.HAND, "Thread the elastic", "Try it on the body first, then overlap the ends and join.",
        caution="Not tight: it must leave no mark after ten minutes, and never go tight round a neck.",
    ),
}  # fmt: skip


def closing(view: View) -> Iterator[Work]:
    """The works of all closures."""
    for closure in view.garment.closures:
        yield from _closure(view, closure)


def _closure(view: View, closure: Closure) -> Iterator[Work]:
    if closure.kind is ClosureKind.BUTTONS:
        yield from _buttons(view, closure)
        return
    if closure.kind is ClosureKind.LACING:
        yield _eyelets(view, closure)
    how = FASTENINGS[closure.kind]
    parts = _closed(view, closure)
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


def _closed(view: View, closure: Closure) -> tuple[Part, ...]:
    """The parts a closure is on; all that show where it names no edge."""
    return view.parts_of(closure.edges) or tuple(part for part in view.garment.parts if part.role not in INNER)


def _buttons(view: View, closure: Closure) -> Iterator[Work]:
    parts = _closed(view, closure)
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
        setup=sewing(view, parts, stitch="buttonhole", length=0.4, foot="buttonhole"),
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
    parts = _closed(view, closure)
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
