"""All works of a costume with the indexes that the rules of precedence ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from firsthand.pattern import EdgeRef, Part, Seam
from firsthand.steps._view import View
from firsthand.steps._work import Work

__all__ = ["SEWN", "Book", "Tie"]

SEWN = frozenset({"shape", "seams", "lining", "edges", "closures"})
"""Stages in which a part is worked on that must be marked, fused and mounted before."""


@dataclass(frozen=True, slots=True)
class Tie:
    """One work before another: ``must`` for what cannot be otherwise, else a habit that gives way to what must be.

    Parameters
    ----------
    said
        The seam whose ``after`` asked for it; empty where it was derived.
    """

    before: str
    then: str
    must: bool = True
    said: str = ""


@dataclass(frozen=True)
class Book:
    """The works of one or several garments."""

    views: Mapping[str, View]
    works: tuple[Work, ...]

    @cached_property
    def _by_act(self) -> Mapping[tuple[str, str], list[Work]]:
        found: dict[tuple[str, str], list[Work]] = {}
        for work in self.works:
            found.setdefault((work.step.garment, work.act), []).append(work)
        return found

    @cached_property
    def _by_garment(self) -> Mapping[str, list[Work]]:
        found: dict[str, list[Work]] = {garment: [] for garment in self.views}
        for work in self.works:
            found.setdefault(work.step.garment, []).append(work)
        return found

    @cached_property
    def _by_seam(self) -> Mapping[tuple[str, str], list[Work]]:
        found: dict[tuple[str, str], list[Work]] = {}
        for work in self.works:
            for seam in work.seams:
                found.setdefault((work.step.garment, seam.id), []).append(work)
        return found

    def acts(self, garment: str, *acts: str) -> Iterator[Work]:
        """The works of some acts on a garment; of the fabrics if the garment is empty."""
        for act in acts:
            yield from self._by_act.get((garment, act), ())

    def all_of(self, garment: str) -> Iterable[Work]:
        """All works on a garment; those on the fabrics if it is empty."""
        return self._by_garment.get(garment, ())

    def first(self, garment: str, seam: Seam) -> Work:
        """The sewing of a seam."""
        return next(work for work in self._by_seam[garment, seam.id] if work.act == "seam")

    def last(self, garment: str, seam: Seam) -> Work:
        """The last work of a seam: its pressing, or the turning that it shares."""
        return self._by_seam[garment, seam.id][-1]

    def end(self, work: Work) -> Work:
        """The last work of a work's chain: the pressing after a hem."""
        return self._by_chain[work.chain][-1]

    @cached_property
    def _by_chain(self) -> Mapping[str, list[Work]]:
        found: dict[str, list[Work]] = {}
        for work in self.works:
            found.setdefault(work.chain, []).append(work)
        return found

    def touching(self, garment: str, parts: Iterable[Part], acts: Iterable[str]) -> Iterator[Work]:
        """The works of some acts that touch any of some parts."""
        wanted = set(parts)
        for act in acts:
            yield from (work for work in self.acts(garment, act) if not wanted.isdisjoint(work.parts))

    def naming(self, garment: str, edges: Iterable[EdgeRef]) -> Iterator[Seam]:
        """The seams that name any of some edges."""
        wanted = set(edges)
        for seam in self.views[garment].seams:
            if not wanted.isdisjoint((*seam.a, *seam.b)):
                yield seam
