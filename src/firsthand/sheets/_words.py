"""Plain words for what the model says, the same on every sheet."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping

from firsthand.fabric import Fabric
from firsthand.findings import Finding, Severity
from firsthand.pattern import Cut, Garment, How, Piece
from firsthand.units import MM_PER_YARD, Unit, format_length

__all__ = [
    "SEVERITY", "all_findings", "cloth_length", "cut_words", "day", "length", "minutes_words", "of_what",
    "piece_title", "plain", "sentence", "worst_first",
]  # fmt: skip

SEVERITY: Mapping[Severity, str] = {
    Severity.FAULT: "To mend",
    Severity.DOUBT: "To look at again",
    Severity.NOTE: "To know",
}
"""Headings for findings, the worst first."""


def length(millimetres: float, units: Unit, *, name: bool = True) -> str:
    """A length on a garment: centimetres with one decimal, or inches in eighths."""
    shown = Unit.INCH if units in (Unit.INCH, Unit.YARD) else units if units is Unit.MM else Unit.CM
    return format_length(millimetres, shown, digits=0 if shown is Unit.MM else 1, name=name)


def cloth_length(millimetres: float, units: Unit) -> str:
    """A length of cloth as it is asked for in a shop.

    Examples
    --------
    >>> cloth_length(2340, Unit.CM), cloth_length(2286, Unit.INCH)
    ('2.34 m', '90 in (2.50 yd)')
    """
    if units in (Unit.INCH, Unit.YARD):
        return f"{format_length(millimetres, Unit.INCH)} ({millimetres / MM_PER_YARD:.2f} yd)"
    return format_length(millimetres, Unit.M, digits=2)


def sentence(text: str) -> str:
    """Words as a sentence: a capital first, a stop last.

    Examples
    --------
    >>> sentence("tight at the bust"), sentence("Look again.")
    ('Tight at the bust.', 'Look again.')
    """
    text = text.strip()
    stop = "" if not text or text[-1] in ".!?…" else "."
    return text[:1].upper() + text[1:] + stop


def plain(name: str) -> str:
    """An id as words.

    Examples
    --------
    >>> plain("front-end-outer")
    'front end outer'
    """
    return name.replace("-", " ").replace("_", " ")


def piece_title(piece: Piece) -> str:
    """Number and name of a piece."""
    return f"{piece.number} {piece.name or piece.id}".strip()


def of_what(role: str, garment: Garment, fabrics: Mapping[str, Fabric]) -> str:
    """A role with the fabric bound to it."""
    key = garment.roles.get(role, "")
    name = fabrics[key].name if key in fabrics else key
    return f"{role} ({name})" if name else f"{role} (no fabric chosen)"


def cut_words(cut: Cut) -> str:
    """How many are cut, and how.

    Examples
    --------
    >>> cut_words(Cut("shell")), cut_words(Cut("shell", How.FOLD, 2)), cut_words(Cut("shell", How.SINGLE, 3))
    ('a pair', '2 on the fold', '3')
    """
    if cut.how is How.PAIR:
        return "a pair" if cut.count == 1 else f"{cut.count} pairs"
    return f"{cut.count} on the fold" if cut.how is How.FOLD else f"{cut.count}"


def minutes_words(minutes: float) -> str:
    """A time to work.

    Examples
    --------
    >>> minutes_words(45), minutes_words(60), minutes_words(135.4)
    ('45 min', '1 h', '2 h 15 min')
    """
    hours, rest = divmod(round(minutes), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest or not hours))


def day(date: str) -> str:
    """An ISO date as it is said; what is no date is given back.

    Examples
    --------
    >>> day("2027-05-01"), day("soon")
    ('Sat 1 May 2027', 'soon')
    """
    try:
        when = datetime.date.fromisoformat(date)
    except ValueError:
        return date
    weekday = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")[when.weekday()]
    month = (
        "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
        "December",
    )[when.month - 1]  # fmt: skip
    return f"{weekday} {when.day} {month} {when.year}"


def all_findings(*groups: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings of several stages, each once."""
    return tuple(dict.fromkeys(finding for group in groups for finding in group))


def worst_first(findings: Iterable[Finding]) -> dict[Severity, tuple[Finding, ...]]:
    """Findings by severity, the worst first, without empty groups."""
    found = tuple(findings)
    groups = {severity: tuple(f for f in found if f.severity is severity) for severity in SEVERITY}
    return {severity: group for severity, group in groups.items() if group}
