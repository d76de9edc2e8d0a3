"""What must be done before what: one small rule each, found in ``RULES``.

To add a rule, write a function from the book of works to ties and register it here. A tie that must be kept and would
close a circle is reported; one that is only a habit gives way.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator

from firsthand.pattern import EdgeRef, Seam
from firsthand.registry import Registry
from firsthand.steps._book import SEWN, Book, Tie
from firsthand.steps._sew import is_turned
from firsthand.steps._view import View
from firsthand.steps.model import Place

__all__ = ["RULES", "ends_at"]

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
        for backing in book.acts(garment, "fuse", "mount"):
            yield from (Tie(backing.id, work.id) for work in book.touching(garment, backing.parts, SEWN))
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


@RULES.register("crossed seams first")
def crossed_first(book: Book) -> Iterator[Tie]:
    """A seam that ends on another is sewn and pressed before that one runs across its end."""
    for garment, view in book.views.items():
        for across in view.seams:
            for crossed in _crossed(view, across, closed=False):
                yield Tie(book.last(garment, crossed).id, book.first(garment, across).id)


@RULES.register("flat before round")
def flat_first(book: Book) -> Iterator[Tie]:
    """A seam that closes a ring comes after the seam at which its ends meet, unless that one runs across it."""
    for garment, view in book.views.items():
        for ring in view.seams:
            for closing in _crossed(view, ring, closed=True):
                yield Tie(book.last(garment, closing).id, book.first(garment, ring).id, must=False)


@RULES.register("small things made first")
def small_first(book: Book) -> Iterator[Tie]:
    """Collars, cuffs and bands are sewn and turned before they are joined on."""
    for garment, view in book.views.items():
        for made in filter(is_turned, view.seams):
            pieces = {ref.piece for ref in made.a}
            for seam in view.seams:
                if not is_turned(seam) and not pieces.isdisjoint(ref.piece for ref in (*seam.a, *seam.b)):
                    yield Tie(book.last(garment, made).id, book.first(garment, seam).id, must=False)


@RULES.register("seams before the edge they end at")
def seams_before_edges(book: Book) -> Iterator[Tie]:
    """No hem, facing, band, casing or binding before the seams that end at it."""
    for garment, view in book.views.items():
        for edge in book.acts(garment, *EDGE_ACTS):
            for seam in book.naming(garment, (ref for own in edge.edges for ref in view.beside(own))):
                yield Tie(book.last(garment, seam).id, edge.id)


@RULES.register("shell and lining before they are joined")
def lining_joined(book: Book) -> Iterator[Tie]:
    """The lining goes in when both shells are whole; hems are left open for it and come after."""
    for garment, view in book.views.items():
        for join in book.acts(garment, "join"):
            for seam in view.seams:
                if any(part in join.parts for part in view.parts_of((*seam.a, *seam.b))):
                    yield Tie(book.last(garment, seam).id, join.id, must=False)
        for press in book.acts(garment, "press join"):
            yield from (Tie(press.id, hem.id, must=False) for hem in book.acts(garment, "hang", "hem"))


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


# geometry ---------------------------------------------------------------------------------------------------


def ends_at(view: View, one: EdgeRef, two: EdgeRef, seam: Seam) -> bool:
    """Whether a seam ends where two edges of another meet: it joins an edge beside the one to an edge beside the other."""
    a, b = set(seam.a), set(seam.b)
    for here in view.beside(one):
        for there in view.beside(two):
            if here != there and ((here in a and there in b) or (here in b and there in a)):
                return True
    return False


def _crossed(view: View, across: Seam, *, closed: bool) -> Iterator[Seam]:
    """The seams that a seam runs across: inside its chains, or (``closed``) where the ends of a chain meet."""
    meetings: list[tuple[EdgeRef, EdgeRef]] = []
    for chain in (across.a, across.b):
        meetings += [(chain[-1], chain[0])] if closed else itertools.pairwise(chain)
    for seam in view.seams:
        if seam is not across and any(ends_at(view, one, two, seam) for one, two in meetings):
            yield seam
