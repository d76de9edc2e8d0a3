"""Steps of a garment or a whole costume."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from firsthand.fabric import Fabric
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment
from firsthand.steps._applied import applying
from firsthand.steps._book import Book, Tie
from firsthand.steps._finish import finishing
from firsthand.steps._order import Graph
from firsthand.steps._precedence import RULES
from firsthand.steps._prepare import preparing
from firsthand.steps._sew import seaming
from firsthand.steps._shared import sharing
from firsthand.steps._view import View, look
from firsthand.steps._work import STAGES, Work
from firsthand.steps.model import Machines, Step

__all__ = ["check_steps", "costume_steps", "garment_steps"]

steps_cycle = kind(
    "steps-cycle", Severity.FAULT,
    "Seams are asked to be sewn in an order that goes in a circle. The tie named last is left out until one is dropped.",
)  # fmt: skip
steps_after_unknown = kind("steps-after-unknown", Severity.DOUBT, "A seam is asked to be sewn after one that is not there.")


@dataclass(frozen=True, slots=True)
class _Made:
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]


def garment_steps(
    garment: Garment, fabrics: Mapping[str, Fabric], machines: Machines, *, findings: Iterable[Finding] = ()
) -> tuple[Step, ...]:
    """The steps of one garment, in the order in which a stitcher would do them; shrinking and cutting left out.

    Parameters
    ----------
    garment
        The garment as fitted.
    fabrics
        All fabrics by id.
    machines
        What there is to work with.
    findings
        What was noticed; doubts and faults about this garment become a step before anything is cut.
    """
    views = {garment.id: look(garment, fabrics, machines)}
    return _make(views, findings, shared=False).steps


def costume_steps(
    garments: Mapping[str, Garment], fabrics: Mapping[str, Fabric], machines: Machines, *, findings: Iterable[Finding] = ()
) -> tuple[Step, ...]:
    """The steps of a costume: those of its garments and those on the fabrics that they share.

    Parameters
    ----------
    garments
        Its garments by id, in the order in which they are made if nothing else speaks against it.
    fabrics, machines, findings
        See :func:`garment_steps`.
    """
    return _make(_views(garments, fabrics, machines), findings, shared=True).steps


def check_steps(garment: Garment) -> tuple[Finding, ...]:
    """Whether the order that a garment's pattern asks for can be kept.

    Seams that are asked to be sewn in a circle are named with the tie that is left out.
    """
    return _make({garment.id: look(garment, {}, Machines())}, (), shared=False).findings


def _views(garments: Mapping[str, Garment], fabrics: Mapping[str, Fabric], machines: Machines) -> dict[str, View]:
    return {garment.id: look(garment, fabrics, machines) for garment in garments.values()}


def _make(views: Mapping[str, View], findings: Iterable[Finding], *, shared: bool) -> _Made:
    findings = tuple(findings)
    works: list[Work] = list(sharing(views)) if shared else []
    for view in views.values():
        works += [*preparing(view, findings), *applying(view), *seaming(view), *finishing(view)]
    works = list(_told_apart(works))
    book = Book(views, tuple(works))
    graph = Graph([work.id for work in works])
    noticed = [*_unknown(views), *_tie(book, graph)]
    order = graph.order(_ranks(book))
    before = graph.before(order)
    steps = {work.id: replace(work.step, after=before[work.id]) for work in works}
    return _Made(tuple(steps[name] for name in order), tuple(noticed))


def _told_apart(works: Iterable[Work]) -> Iterator[Work]:
    """Ids made unique, should a pattern use one name for two things."""
    seen: dict[str, int] = {}
    for work in works:
        seen[work.id] = count = seen.get(work.id, 0) + 1
        yield work if count == 1 else replace(work, step=replace(work.step, id=f"{work.id} no. {count}"))


def _ranks(book: Book) -> dict[str, tuple[int, int, int]]:
    """Fabrics first, then garment by garment, stage by stage, in the order in which works were made."""
    garments = {"": -1, **{name: number for number, name in enumerate(book.views)}}
    return {
        work.id: (garments[work.step.garment], STAGES.index(work.step.stage), number) for number, work in enumerate(book.works)
    }


def _tie(book: Book, graph: Graph) -> Iterator[Finding]:
    """Enter all ties: what must be, then what the pattern says, then habits where they fit."""
    ties = [tie for _, rule in RULES.items() for tie in rule(book)]
    for tie in sorted(ties, key=lambda tie: (not tie.must, bool(tie.said))):
        if not graph.add(tie) and tie.must:
            yield _circle(book, graph, tie)


def _circle(book: Book, graph: Graph, tie: Tie) -> Finding:
    works = {work.id: work for work in book.works}
    round_ = [works[name] for name in graph.way(tie.then, tie.before)]
    words = [work.seam.id if work.seam is not None else work.step.title for work in round_]
    names = list(dict.fromkeys(words))
    first, last = works[tie.then], works[tie.before]
    remedy = (
        f"Drop {last.seam.id!r} from the seams that {tie.said!r} comes after, or change the others."
        if tie.said and last.seam is not None
        else "Look at how these seams meet, or say after which seams each comes."
    )
    return steps_cycle(
        f"{names[0]} is wanted after {names[-1]}, but must come before it"
        if len(names) > 1
        else f"{names[0]} is wanted after itself",
        where=(first.step.garment, first.seam.id if first.seam is not None else first.id),
        remedy=remedy,
        why=[f"{one} is before {two}" for one, two in itertools.pairwise(names)]
        + [f"and {names[-1]} is wanted before {names[0]}"],
    )


def _unknown(views: Mapping[str, View]) -> Iterator[Finding]:
    for garment, view in views.items():
        known = {seam.id for seam in view.seams}
        for seam in view.garment.seams:
            for name in seam.after:
                if name not in known:
                    yield steps_after_unknown(
                        f"{seam.id} is to be sewn after {name}, which is not a seam of this pattern",
                        where=(garment, seam.id), remedy="Name a seam that is there, or drop it.",
                    )  # fmt: skip
