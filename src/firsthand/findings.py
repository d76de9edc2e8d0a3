"""Findings: what the program noticed, said once and in one form.

A check never stops at the first thing it notices and never raises: it returns findings. Each sort of finding is
declared once, with :func:`kind`, beside the check that makes it, so that its code is stable and its explanation can be
printed in the documentation.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Block", "Finding", "FindingKind", "Severity", "blocked", "catalogue", "held", "kind"]


class Severity(StrEnum):
    """How much a finding matters."""

    NOTE = "note"
    """Worth knowing; nothing need be done."""
    DOUBT = "doubt"
    """Probably wrong: look again before the scissors."""
    FAULT = "fault"
    """Wrong: what depends on it would come out wrong."""


@dataclass(frozen=True, slots=True, order=True)
class Block:
    """One thing that must wait until a finding is mended.

    Parameters
    ----------
    act
        ``cut``, ``print``, ``lay``, ``fit``, ``sew`` or ``buy``.
    what
        What it is about: the id of a fabric, the id of a garment (all of it), or ``garment/piece`` for one piece of it.
    """

    act: str
    what: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the program noticed.

    Parameters
    ----------
    code
        Stable code of the sort of finding, as ``seam-length``.
    severity
        How much it matters.
    message
        One short sentence with the numbers that matter, lengths marked by :func:`firsthand.units.said`.
    where
        Path of ids from the garment inwards, as ``("jerkin", "front", "side")``.
    remedy
        What to do about it.
    blocks
        What it blocks; empty when it blocks nothing.
    why
        The working, line by line, shown only when asked for.
    """

    code: str
    severity: Severity
    message: str
    where: tuple[str, ...] = ()
    remedy: str = ""
    blocks: tuple[Block, ...] = ()
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FindingKind:
    """A declared sort of finding; call it to make one."""

    code: str
    severity: Severity
    explanation: str

    def __call__(
        self,
        message: str,
        *,
        where: tuple[str, ...] = (),
        remedy: str = "",
        blocks: Iterable[Block] = (),
        why: Iterable[str] = (),
        severity: Severity | None = None,
    ) -> Finding:
        """Make one finding of this sort."""
        return Finding(self.code, severity or self.severity, message, where, remedy, tuple(blocks), tuple(why))


_catalogue: dict[str, FindingKind] = {}


def kind(code: str, severity: Severity, explanation: str) -> FindingKind:
    """Declare a sort of finding.

    Parameters
    ----------
    code
        Lower-case words joined by hyphens; once published it never changes its meaning.
    severity
        The usual severity.
    explanation
        For the documentation: what was noticed, why it matters and how it is mended.

    Raises
    ------
    ValueError
        If the code is declared twice.
    """
    if code in _catalogue:
        raise ValueError(f"finding code {code!r} is declared twice")
    _catalogue[code] = FindingKind(code, severity, explanation)
    return _catalogue[code]


def catalogue() -> dict[str, FindingKind]:
    """All declared sorts of finding, by code (of the modules imported so far)."""
    return dict(sorted(_catalogue.items()))


def blocked(findings: Iterable[Finding], act: str, what: str) -> tuple[Finding, ...]:
    """The findings that block an act on something.

    Examples
    --------
    >>> torn = kind("doctest-torn", Severity.FAULT, "An example.")
    >>> found = [torn("the back is torn", blocks=[Block("print", "skirt/back")])]
    >>> [f.message for f in blocked(found, "print", "skirt/back")], blocked(found, "cut", "skirt/back")
    (['the back is torn'], ())
    """
    block = Block(act, what)
    return tuple(finding for finding in findings if block in finding.blocks)


def held(findings: Iterable[Finding], *acts: str) -> tuple[str, ...]:
    """What waits for a mend, of certain acts or of all, as ``"print jerkin/wing"``; in order, each once.

    Examples
    --------
    >>> torn = kind("doctest-held", Severity.FAULT, "An example.")
    >>> found = [torn("the wing is torn", blocks=[Block("print", "jerkin/wing"), Block("cut", "jerkin/wing")])]
    >>> held(found), held(found, "print")
    (('cut jerkin/wing', 'print jerkin/wing'), ('print jerkin/wing',))
    """
    blocks = {block for finding in findings for block in finding.blocks if not acts or block.act in acts}
    return tuple(f"{block.act} {block.what}" for block in sorted(blocks))
