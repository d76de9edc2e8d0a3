"""Buttons, eyelets, cord, elastic: what the patterns list and what their closures need."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from firsthand.buy._shelf import Shelf
from firsthand.buy.model import BuyLine
from firsthand.errors import GeometryError
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Closure, ClosureKind, Garment, Hand, InnerLineKind
from firsthand.units import Unit, format_length, parse_length, said

__all__ = ["buttonhole_length", "check_counts", "haberdashery_lines"]

button_count = kind(
    "button-count", Severity.DOUBT,
    "The numbers of buttons, buttonholes and what the pattern lists differ. Some may be only for show: ask before buying.",
)  # fmt: skip
eyelet_count = kind("eyelet-count", Severity.DOUBT, "The numbers of eyelets marked, closed with and listed differ.")

LIGNE = 0.635
"""One fortieth of an inch, by which buttons are sold, mm (from memory)."""

THICK = 3.0
"""Thickness of a flat button that nobody measured, mm (common practice)."""

CLOSED_WITH = {
    ClosureKind.BUTTONS: ("button", 1),
    ClosureKind.LACING: ("eyelet", 2),
    ClosureKind.CLASP: ("clasp", 1),
    ClosureKind.HOOKS: ("hook", 1),
    ClosureKind.SNAPS: ("snap", 1),
    ClosureKind.ZIP: ("zip", 1),
    ClosureKind.DRAWSTRING: ("cord", 0),
    ClosureKind.ELASTIC: ("elastic", 0),
    ClosureKind.TAPE: ("hook-and-loop tape", 0),
}
"""What a closure is closed with, and how many of it for each one counted; 0 for what is sold by length."""


@dataclass
class _Need:
    count: int = 0
    length: float = 0.0
    garments: dict[str, None] = field(default_factory=dict)
    why: list[str] = field(default_factory=list)


def buttonhole_length(diameter: float, thickness: float, *, worked: float = 0.0) -> float:
    """Cut length of a buttonhole: diameter + thickness, and up to 3 mm more where the ends are worked; mm.

    Sources: about.com sewing 1999-06-03; US A-A-55095A p. 5 (at least the diameter, and 1/16 inch more).

    Raises
    ------
    GeometryError
        If the button has no diameter, or a number is negative or not finite.

    Examples
    --------
    A button of one inch, a quarter of an inch thick: one and a quarter. Source: about.com sewing.

    >>> buttonhole_length(25.4, 6.35)
    31.75
    """
    if not all(math.isfinite(value) and value >= 0 for value in (diameter, thickness, worked)) or diameter == 0:
        raise GeometryError(f"no buttonhole for a button {diameter} mm across and {thickness} mm thick")
    return diameter + thickness + worked


def haberdashery_lines(garments: Mapping[str, Garment], shelf: Shelf) -> Iterator[BuyLine]:
    """A line for each thing of one kind, size and colour that the garments need."""
    for (name, size, colour), need in _needs(garments).items():
        words = ", ".join(word for word in (name, size, colour) if word)
        if need.length and not need.count:
            there = shelf.take_length(name, size, colour, need.length)
            yield BuyLine(
                "haberdashery",
                words,
                "length",
                need.length,
                there,
                max(0.0, need.length - there),
                garments=tuple(need.garments),
                why=tuple(need.why),
                known=True,
                priced=False,
            )
        else:
            there_count = shelf.take_count(name, size, colour, need.count)
            why = (*need.why, *(_hole(size) if name == "button" else ()))
            yield BuyLine(
                "haberdashery",
                words,
                "count",
                need.count,
                there_count,
                need.count - there_count,
                garments=tuple(need.garments),
                why=why,
                known=need.count > 0,
                priced=False,
            )


def check_counts(garments: Iterable[Garment]) -> Iterator[Finding]:
    """Whether buttons, buttonholes, eyelets and what is listed agree in number."""
    for garment in garments:
        yield from _buttons(garment)
        yield from _eyelets(garment)


def _needs(garments: Mapping[str, Garment]) -> dict[tuple[str, str, str], _Need]:
    needs: dict[tuple[str, str, str], _Need] = {}
    for garment in garments.values():
        for item in garment.haberdashery:
            need = needs.setdefault((item.kind, item.size, item.colour), _Need())
            need.count, need.length = need.count + item.count, need.length + item.length
            need.garments[garment.id] = None
            amount = f"{item.count}" if item.count else said(item.length)
            need.why.append(f"{garment.name}: {amount} listed with the pattern")
        for name, count, closures in _unlisted(garment):
            need = needs.setdefault((name, "", ""), _Need())
            need.count += count
            need.garments[garment.id] = None
            need.why.append(f"{garment.name}: {', '.join(closures)} not listed with the pattern, counted from the closure")
    return needs


def _unlisted(garment: Garment) -> Iterator[tuple[str, int, tuple[str, ...]]]:
    """What closures need and the pattern does not list at all."""
    listed = {item.kind for item in garment.haberdashery}
    for sort, (name, each) in CLOSED_WITH.items():
        closures = [closure for closure in garment.closures if closure.kind is sort]
        if closures and name not in listed:
            yield name, each * sum(max(1, one.count) for one in closures), tuple(one.id for one in closures)


def _hole(size: str) -> Iterator[str]:
    diameter = _diameter(size)
    if diameter:
        hole = buttonhole_length(diameter, THICK)
        yield (
            f"buttonhole {format_length(hole, Unit.MM, digits=0)} = {diameter:g} + {THICK:g} mm thick (taken), "
            "up to 3 mm more if worked by hand; try one on a scrap"
        )


def _diameter(size: str) -> float:
    """Diameter of a button from its size, mm: ``15 mm``, ``5/8 in``, ``24 line``; 0 if it cannot be read."""
    lines = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*(?:l|line|lines|ligne|lignes)\s*", size.lower())
    if lines:
        return float(lines[1]) * LIGNE
    try:
        return max(0.0, parse_length(size))
    except ValueError:
        return 0.0


# counts -----------------------------------------------------------------------------------------------------


def _buttons(garment: Garment) -> Iterator[Finding]:
    closures = [closure for closure in garment.closures if closure.kind is ClosureKind.BUTTONS]
    for closure in closures:
        holes = max((_marked(garment, piece, InnerLineKind.BUTTONHOLE) for piece in _pieces(closure)), default=0)
        if holes and holes != closure.count:
            yield button_count(
                f"{garment.name}, {closure.id}: {closure.count} buttons for {holes} buttonholes",
                where=(garment.id, closure.id),
                remedy="Say how many there are; are some only for show?",
            )
    needed = sum(closure.count for closure in closures)
    listed = sum(item.count for item in garment.haberdashery if item.kind == "button")
    if listed and listed != needed:
        yield button_count(
            f"{garment.name}: {listed} buttons listed, {needed} close something",
            where=(garment.id,),
            remedy="Say what the others are for, or correct the list.",
            why=[f"{closure.id}: {closure.count}" for closure in closures],
        )


def _eyelets(garment: Garment) -> Iterator[Finding]:
    closures = [closure for closure in garment.closures if closure.kind is ClosureKind.LACING]
    needed = sum(2 * closure.count for closure in closures)
    listed = sum(item.count for item in garment.haberdashery if item.kind == "eyelet")
    for closure in closures:
        marked = sum(_marked(garment, piece, InnerLineKind.EYELET) * hands for piece, hands in _hands(closure).items())
        if marked and marked != 2 * closure.count:
            yield eyelet_count(
                f"{garment.name}, {closure.id}: {marked} eyelets marked for {closure.count} pairs",
                where=(garment.id, closure.id),
                remedy="Mark as many on each side as are laced.",
            )
    if listed and needed and listed != needed:
        yield eyelet_count(
            f"{garment.name}: {listed} eyelets listed, {needed} are laced",
            where=(garment.id,),
            remedy="Correct the list, or say what the others are for.",
        )


def _pieces(closure: Closure) -> tuple[str, ...]:
    return tuple(dict.fromkeys(ref.piece for ref in closure.edges))


def _hands(closure: Closure) -> dict[str, int]:
    """For each piece in a closure on how many of its hands it lies."""
    hands: dict[str, set[Hand]] = {}
    for ref in closure.edges:
        hands.setdefault(ref.piece, set()).add(ref.hand)
    return {piece: len(found) for piece, found in hands.items()}


def _marked(garment: Garment, piece: str, sort: InnerLineKind) -> int:
    shape = garment.pieces[piece].shape if piece in garment.pieces else None
    return sum(line.kind is sort for line in shape.lines) if shape else 0
