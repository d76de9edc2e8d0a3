"""The stack: alterations applied in order."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, cast

from firsthand.alter.model import Alteration, Record
from firsthand.errors import FirsthandError
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern import Garment, Seam, walk_seam
from firsthand.units import said

__all__ = ["StackResult", "apply_stack"]

REFUSED = kind(
    "alteration-refused",
    Severity.FAULT,
    "An alteration of the garment's stack could not be done, because it would cut into something, or names something that is "
    "not there. It was left out; the alterations after it were applied. Change its amount or what it names.",
)
SEAM_OFF = kind(
    "alteration-seam-off",
    Severity.DOUBT,
    "The two sides of a seam fitted before an alteration and do not any more, because only one of them was moved, or both by "
    "different lengths. Alter the other side too, or ease the difference in if it is small.",
)

NOTICED = 0.5
"""A seam's difference must grow by more than this, mm, to be put down to an alteration."""


@dataclass(frozen=True, slots=True)
class StackResult:
    """A garment after its stack: a record for each alteration that was applied, in order, and what was noticed."""

    garment: Garment
    records: tuple[Record, ...] = ()
    findings: tuple[Finding, ...] = ()


def apply_stack(garment: Garment, alterations: Iterable[Alteration]) -> StackResult:
    """Apply alterations in order.

    One that cannot be done is left out and becomes a finding that blocks cutting the garment. After each one every seam of
    the changed pieces is walked again; a seam that fitted before and does not now is a finding.

    Parameters
    ----------
    garment
        The garment as bought, or as altered so far. The bought outlines in its pieces are never touched.
    alterations
        The stack. Those without an id are called by their kind and their place.
    """
    records: list[Record] = []
    findings: list[Finding] = []
    for alteration in _named(alterations):
        try:
            altered = alteration.apply(garment)
        except FirsthandError as error:
            findings.append(_refused(garment, alteration, error))
            continue
        records.append(altered.record)
        findings += [*altered.findings, *_seams_off(garment, altered.garment, altered.record)]
        garment = altered.garment
    return StackResult(garment, tuple(records), tuple(findings))


def _named(alterations: Iterable[Alteration]) -> list[Alteration]:
    """Alterations with ids, each its own."""
    given = list(alterations)
    taken = Counter(alteration.id for alteration in given)
    named = []
    for number, alteration in enumerate(given, 1):
        if not alteration.id or taken[alteration.id] > 1:
            name = f"{alteration.id or alteration.kind} {number}"
            alteration = cast(Alteration, dataclasses.replace(cast(Any, alteration), id=name))
        named.append(alteration)
    return named


def _refused(garment: Garment, alteration: Alteration, error: FirsthandError) -> Finding:
    return REFUSED(
        f"{alteration.id}: {error}",
        where=(garment.id, alteration.id),
        remedy=error.remedy or "Correct its numbers.",
        blocks=[Block("cut", garment.id)],
    )


def _seams_off(before: Garment, after: Garment, record: Record) -> list[Finding]:
    changed = set(record.pieces)
    concerned = [s for s in before.seams if any(ref.piece in changed for ref in (*s.a, *s.b))]
    return [finding for seam in concerned for finding in _seam_off(before, after, seam, record)]


def _seam_off(before: Garment, after: Garment, seam: Seam, record: Record) -> list[Finding]:
    was, now = _difference(before, seam), _difference(after, seam)
    if was is None or now is None or abs(was) > seam.tolerance or abs(now) <= seam.tolerance:
        return []
    if abs(now - was) <= NOTICED:
        return []
    return [
        SEAM_OFF(
            f"after {record.alteration} the seam {seam.id} is off by {said(abs(now))}",
            where=(after.id, seam.id),
            remedy="Alter the other side of the seam as well, or ease the difference in.",
            why=(f"off by {said(abs(was))} before, {said(abs(now))} after",),
        )
    ]


def _difference(garment: Garment, seam: Seam) -> float | None:
    """By how much the sides of a seam differ from what it says, mm; None where it cannot be walked."""
    try:
        return walk_seam(garment, seam).difference
    except FirsthandError:  # a seam that cannot be walked is the pattern's own fault and found by its check
        return None
