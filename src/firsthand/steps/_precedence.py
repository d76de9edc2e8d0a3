"""What must be done before what: one small rule each, found in ``RULES``.

To add a rule, write a function from the book of works to ties and register it here. A tie that must be kept and would
close a circle is reported; one that is only a habit gives way.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator

from firsthand.registry import Registry
from firsthand.steps._applied import parts_beneath, parts_laid_on, work_name
from firsthand.steps._book import SEWN, Book, Tie
from firsthand.steps._meet import crossings, ends_at
from firsthand.steps._view import INNER
from firsthand.steps.model import Place

__all__ = ["RULES"]

Rule = Callable[[Book], Iterable[Tie]]
RULES: Registry[Rule] = Registry("rule of precedence")

EDGE_ACTS = ("hang", "hem", "facing", "band", "casing", "binding")
CLOSURE_ACTS = (
    "buttonholes", "buttons", "eyelets", "lacing", "drawstring", "clasp", "hooks", "snaps", "elastic", "hook-and-loop",
)  # fmt: skip


@RULES.register("each chain in its order")
def chains(book: Book) -> Iterator[Tie]:
    """Sew, neaten, press; hang, hem, press; quarter, gather, sew; shrink, lay."""
    found: dict[str, list[str]] = {}
    for work in book.works:
        found.setdefault(work.chain, []).append(work.id)
    for ids in found.values():
        yield from (Tie(one, two) for one, two in itertools.pairwise(ids))


@RULES.register("paper before cloth")
def paper_first(book: Book) -> Iterator[Tie]:
    """What is found is settled, then pieces are pressed, altered and drawn, then a fabric is laid."""
    for garment, view in book.views.items():
        paper = [*book.acts(garment, "settle"), *book.acts(garment, "tissue"), *book.acts(garment, "alter", "draw")]
        yield from (Tie(one.id, two.id) for one, two in itertools.pairwise(paper))
        used = set(view.fabric_ids(view.garment.parts))
        follow = [work for work in book.acts("", "lay") if used.intersection(work.fabrics)] or [*book.acts(garment, "mark")]
        yield from (Tie(work.id, lay.id) for work in paper[-1:] for lay in follow)


@RULES.register("cut before anything else")
def cut_first(book: Book) -> Iterator[Tie]:
    """A part is laid out, cut, then worked on; tests are sewn on the scraps."""
    for cut in book.acts("", "cut"):
        for other in (*book.acts("", "lay", "stitch test", "press test", "fuse test"),):
            if cut.fabrics == other.fabrics:
                yield Tie(other.id, cut.id) if other.act == "lay" else Tie(cut.id, other.id)
        ids = set(cut.step.parts)
        for garment in dict.fromkeys(name.partition("/")[0] for name in cut.step.parts):
            yield from (Tie(cut.id, work.id) for work in book.all_of(garment) if not ids.isdisjoint(work.step.parts))


@RULES.register("marked before sewn")
def marked_first(book: Book) -> Iterator[Tie]:
    """Marks are made while the paper is still on the cloth."""
    for garment in book.views:
        for mark in book.acts(garment, "mark"):
            for work in book.all_of(garment):
                if work.act != "mark" and not set(mark.parts).isdisjoint(work.parts):
                    yield Tie(mark.id, work.id)


@RULES.register("fused before sewn")
def fused_first(book: Book) -> Iterator[Tie]:
    """No part is sewn before its interfacing or mounting is on it; mounting follows fusing."""
    for garment in book.views:
        later = [work for work in book.all_of(garment) if work.step.stage in SEWN]
        for backing in book.acts(garment, "fuse", "mount"):
            behind = {part for part in backing.parts if part.role not in INNER}
            yield from (Tie(backing.id, work.id) for work in later if not behind.isdisjoint(work.parts))
            if not behind:  # a stay: nobody said what it is laid behind
                yield from (Tie(mark.id, backing.id, must=False) for mark in book.acts(garment, "mark"))
                yield from (Tie(backing.id, work.id, must=False) for work in later)
        for fuse in book.acts(garment, "fuse"):
            yield from (Tie(fuse.id, mount.id) for mount in book.touching(garment, fuse.parts, ["mount"]))


@RULES.register("tried on a scrap first")
def tried_first(book: Book) -> Iterator[Tie]:
    """The stitch and the iron are tried before the first seam and the first pressing of a fabric."""
    places = {
        "stitch test": (Place.MACHINE, Place.OVERLOCKER), "press test": (Place.IRON,), "fuse test": (Place.IRON,),
    }  # fmt: skip
    for act, where in places.items():
        for test in book.acts("", act):
            for garment in book.views:
                for work in book.all_of(garment):
                    if work.step.place in where and work.parts and set(test.fabrics) & set(work.fabrics):
                        yield Tie(test.id, work.id)


@RULES.register("shaped before joined")
def shaped_first(book: Book) -> Iterator[Tie]:
    """Staystitching and darts come before any seam of the part, pleats before the seam at their edge."""
    for garment in book.views:
        for work in book.acts(garment, "staystitch", "dart", "press dart"):
            yield from (Tie(work.id, seam.id) for seam in book.touching(garment, work.parts, ["seam", "gather"]))
        for stay in book.acts(garment, "staystitch"):
            yield from (Tie(stay.id, dart.id, must=False) for dart in book.touching(garment, stay.parts, ["dart", "pleat"]))
        for work in book.acts(garment, "press pleats"):
            yield from (Tie(work.id, book.first(garment, seam).id) for seam in book.naming(garment, work.edges))


@RULES.register("laid on while it is flat")
def laid_on_flat(book: Book) -> Iterator[Tie]:
    """A pocket is whole, with what lies on it, before it is sewn on; it is on before the seams of the part beneath."""
    for garment, view in book.views.items():
        works = {work.id: work for work in book.acts(garment, "apply")}
        on = {applied: works.get(f"{garment}/apply/{work_name(applied)}") for applied in view.garment.applied}
        for applied, work in on.items():
            if work is None:
                continue
            laid, beneath = set(parts_laid_on(view, applied.piece)), parts_beneath(view, applied)
            own = [one for one in book.all_of(garment) if one.step.stage in SEWN and one.parts and laid.issuperset(one.parts)]
            yield from (Tie(one.id, work.id, must=False) for one in own)
            flaps = [flap for other, flap in on.items() if other.onto == applied.piece and flap is not None]
            yield from (Tie(book.end(flap).id, work.id, must=False) for flap in flaps)
            shaped = book.touching(garment, beneath, ["staystitch", "press dart", "press pleats"])
            yield from (Tie(one.id, work.id, must=False) for one in shaped)
            yield from (
                Tie(book.end(work).id, one.id, must=False) for one in book.touching(garment, beneath, ["seam", "gather"])
            )


@RULES.register("crossed seams first")
def crossed_first(book: Book) -> Iterator[Tie]:
    """A seam that ends on another is sewn and pressed before that one runs across its end."""
    for garment, view in book.views.items():
        for across in view.seams:
            for crossed in crossings(view, across).inside:
                yield Tie(book.last(garment, crossed).id, book.first(garment, across).id)


@RULES.register("flat before round")
def flat_first(book: Book) -> Iterator[Tie]:
    """A seam that closes a ring comes after the seam at which its ends meet, unless that one runs across it."""
    for garment, view in book.views.items():
        for ring in view.seams:
            for closing in crossings(view, ring).closing:
                yield Tie(book.last(garment, closing).id, book.first(garment, ring).id, must=False)


@RULES.register("small things made first")
def small_first(book: Book) -> Iterator[Tie]:
    """Collars, cuffs and bands are sewn and turned before they are joined on."""
    for garment, view in book.views.items():
        for made in view.seams:
            if view.is_turned(made) and not view.joins_lining(made):
                parts = set(view.parts_of((*made.a, *made.b)))
                for seam in view.seams:
                    if not view.is_turned(seam) and not parts.isdisjoint(view.parts_of((*seam.a, *seam.b))):
                        yield Tie(book.last(garment, made).id, book.first(garment, seam).id, must=False)


@RULES.register("sewn before turned")
def sewn_before_turned(book: Book) -> Iterator[Tie]:
    """Seams that are turned together are all sewn before."""
    for garment in book.views:
        for turn in book.acts(garment, "turn"):
            yield from (Tie(book.first(garment, seam).id, turn.id) for seam in turn.seams)


@RULES.register("seams before the edge they end at")
def seams_before_edges(book: Book) -> Iterator[Tie]:
    """No hem or casing before the seams that end at it; no facing, band or binding before those it runs across."""
    for garment, view in book.views.items():
        for edge in book.acts(garment, *EDGE_ACTS):
            for seam in book.naming(garment, (ref for own in edge.edges for ref in view.beside(own))):
                across = any(ends_at(view, one, two, seam) for one in edge.edges for two in edge.edges)
                if across or edge.act in ("hang", "hem", "casing"):
                    yield Tie(book.last(garment, seam).id, edge.id)
                else:
                    yield Tie(book.end(edge).id, book.first(garment, seam).id, must=False)


@RULES.register("felled down last")
def felled_last(book: Book) -> Iterator[Tie]:
    """The inner edge of a cuff or band is felled down when all seams of it are sewn."""
    for garment in book.views:
        for fell in book.acts(garment, "fell"):
            yield from (Tie(work.id, fell.id) for work in book.touching(garment, fell.parts, ["press", "turn"]))


@RULES.register("shell and lining before they are joined")
def lining_joined(book: Book) -> Iterator[Tie]:
    """The lining goes in when both shells are whole; hems are left open for it and come after."""
    for garment, view in book.views.items():
        joins = [*book.acts(garment, "join"), *(book.first(garment, seam) for seam in view.seams if view.joins_lining(seam))]
        ends = [*book.acts(garment, "press join"), *(book.last(garment, join.seam) for join in joins if join.seam)]
        for join in joins:
            for seam in view.seams:
                if not view.is_turned(seam) and not set(join.parts).isdisjoint(view.parts_of((*seam.a, *seam.b))):
                    yield Tie(book.last(garment, seam).id, join.id, must=False)
        for end in ends:
            for edge in book.touching(garment, end.parts, ("hang", "hem", "band", "casing", "binding")):
                yield Tie(end.id, edge.id, must=False)


@RULES.register("the edge before its closure")
def closures_late(book: Book) -> Iterator[Tie]:
    """No buttonhole, eyelet, cord or clasp before everything about its parts is sewn, finished and pressed."""
    for garment, view in book.views.items():
        for closure in book.acts(garment, *CLOSURE_ACTS):
            parts = closure.parts or view.garment.parts
            for work in book.all_of(garment):
                if work.step.stage in ("shape", "seams", "lining", "edges") and not set(parts).isdisjoint(work.parts):
                    yield Tie(work.id, closure.id)


@RULES.register("zips while it lies flat")
def zips_early(book: Book) -> Iterator[Tie]:
    """A zip goes in before a band, facing or hem covers its ends."""
    for garment, view in book.views.items():
        for zipped in book.acts(garment, "zip"):
            beside = [ref for own in zipped.edges for ref in view.beside(own)]
            yield from (Tie(zipped.id, book.first(garment, seam).id, must=False) for seam in book.naming(garment, beside))
            for edge in book.acts(garment, *EDGE_ACTS):
                if not set(beside).isdisjoint(edge.edges):
                    yield Tie(zipped.id, edge.id, must=False)


@RULES.register("the pattern's own order")
def as_said(book: Book) -> Iterator[Tie]:
    """A seam's ``after`` is kept."""
    for garment, view in book.views.items():
        seams = {seam.id: seam for seam in view.seams}
        for seam in view.seams:
            for name in seam.after:
                if name in seams:
                    yield Tie(book.last(garment, seams[name]).id, book.first(garment, seam).id, said=seam.id)


@RULES.register("finished last")
def finished_last(book: Book) -> Iterator[Tie]:
    """Hand work and the last press come when all else is done."""
    for garment in book.views:
        for last in book.acts(garment, "by hand"):
            yield from (Tie(work.id, last.id) for work in book.all_of(garment) if work.chain != last.chain)
