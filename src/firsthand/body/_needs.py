"""Which measurements a garment asks for, and why."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from firsthand.body._measurements import MEASUREMENTS
from firsthand.body.taking import in_order
from firsthand.pattern import Closure, EdgeRef, Garment

__all__ = ["Need", "needed_for"]


@dataclass(frozen=True, slots=True)
class Need:
    """A measurement that a garment asks for.

    Parameters
    ----------
    key
        The measurement.
    why
        What asks for it, in words.
    compared
        Whether a level of the garment is compared with it; otherwise it helps, but nothing is judged by it.
    """

    key: str
    why: tuple[str, ...]
    compared: bool = False


class Driven(Protocol):
    """An alteration: what drives it is told by its class."""

    @property
    def id(self) -> str:
        """Its id."""


def needed_for(garment: Garment, alterations: Iterable[Driven] = ()) -> tuple[Need, ...]:
    """The measurements that a garment asks for, in the order in which one takes them.

    Levels ask for the girths that they are compared with; alterations for what drives them; openings for what has to pass
    through them; the edges of a sleeve, a leg or a bodice for the lengths along them; and what is named in the pattern's size
    chart, for choosing a size.

    Parameters
    ----------
    garment
        The garment.
    alterations
        What is to be done to it.
    """
    book: dict[str, list[str]] = {}
    for level in garment.levels:
        if level.body:
            book.setdefault(level.body, []).append(f"level {level.name or level.id}")
    compared = set(book)
    for alteration in alterations:
        for key in getattr(alteration, "driven_by", ()):
            book.setdefault(key, []).append(f"alteration {alteration.id}")
    for key, why in (*_through(garment), *_along(garment)):
        book.setdefault(key, []).append(why)
    for key in dict.fromkeys(key for row in garment.chart.values() for key in row if key in MEASUREMENTS):
        book.setdefault(key, []).append("the pattern's size chart")
    known = in_order(book)
    order = (*known, *(key for key in book if key not in known))
    return tuple(Need(key, tuple(dict.fromkeys(book[key])), key in compared) for key in order)


_PASSES = (
    (re.compile(r"neck|collar|hood|face|crown|head"), ("head_girth", "neck_base_girth")),
    (re.compile(r"wrist|cuff|sleeve"), ("hand_girth",)),
    (re.compile(r"ankle|foot|leg|hem"), ("heel_ankle_girth",)),
    (re.compile(r"waist|casing"), ("hip_girth",)),
)
"""What has to pass through an opening whose edges are called so."""


def _through(garment: Garment) -> Iterable[tuple[str, str]]:
    closures = {closure.id: closure for closure in garment.closures}
    for opening in garment.openings:
        words = " ".join([opening.id, *(f"{ref.piece} {ref.edge}" for ref in opening.edges)]).replace("-", " ").lower()
        found = next((keys for pattern, keys in _PASSES if pattern.search(words)), ())
        if not _is_leg(garment, opening.edges) and "heel_ankle_girth" in found:
            continue
        for key in found:
            yield key, f"must go through the opening {opening.id}{_closed(closures.get(opening.closure))}"
    for closure in garment.closures:
        if closure.at_neck:
            yield "neck_girth", f"{closure.id} closes round the neck, and may never be tighter than it"


def _closed(closure: Closure | None) -> str:
    return "" if closure is None else f", which {closure.kind.value} close"


def _is_leg(garment: Garment, refs: Iterable[EdgeRef]) -> bool:
    """Whether edges belong to a piece with a leg: one that has an inside leg seam."""
    shapes = (garment.pieces[ref.piece].shape for ref in refs if ref.piece in garment.pieces)
    edges = {edge.id.lower() for shape in shapes if shape is not None for edge in shape.edges}
    return any(word in edge for edge in edges for word in ("inseam", "inside leg", "inside-leg"))


_LENGTHS: Mapping[str, tuple[tuple[str, ...], str]] = {
    "inseam": (("inside_leg_length", "outside_leg_length"), "its legs end at their hems"),
    "crotch": (("body_rise", "crotch_length"), "it has a crotch seam"),
    "cap": (("arm_length", "upper_arm_length"), "it has sleeves"),
    "armhole": (("back_waist_length", "front_waist_length", "shoulder_length", "back_width"), "it has a bodice with armholes"),
}
"""Lengths that pieces with edges called so are cut by."""


def _along(garment: Garment) -> Iterable[tuple[str, str]]:
    edges = {edge.id.lower() for piece in garment.pieces.values() if piece.shape is not None for edge in piece.shape.edges}
    for word, (keys, why) in _LENGTHS.items():
        if any(word in edge for edge in edges):
            yield from ((key, why) for key in keys)
