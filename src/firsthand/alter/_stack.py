"""The stack: alterations applied in order."""

from __future__ import annotations

import dataclasses
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, cast

from firsthand.alter._matches import no_longer_matches
from firsthand.alter._seams import Stage
from firsthand.alter._together import together
from firsthand.alter.model import Alteration, Altered, Record
from firsthand.alter.naming.both_hands import Became, for_both_hands, noted
from firsthand.errors import CannotAlter, FirsthandError, NotThere
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern import Garment

__all__ = ["StackResult", "apply_stack"]

REFUSED = kind(
    "alteration-refused",
    Severity.FAULT,
    "An alteration of the garment's stack could not be done, because it would cut into something, or names something that is "
    "not there. It was left out; the alterations after it were applied. Change its amount or what it names.",
)


@dataclass(frozen=True, slots=True)
class StackResult:
    """A garment after its stack.

    Parameters
    ----------
    records
        What each alteration that was applied did, in order.
    findings
        What was noticed.
    stages
        The garment after each alteration that was applied.
    """

    garment: Garment
    records: tuple[Record, ...] = ()
    findings: tuple[Finding, ...] = ()
    stages: tuple[Stage, ...] = ()


def apply_stack(garment: Garment, alterations: Iterable[Alteration], *, compare: bool = True) -> StackResult:
    """Apply alterations in order.

    One that is switched off is passed over. One that cannot be done is left out and becomes a finding that blocks cutting the
    garment. One that names a piece which an alteration before it made one for each hand is applied to both hands where that
    is plain, else its refusal says what became of the piece. In the end every seam is walked again and the whole is put
    together again; what matched before and does not now is a finding: the two sides of a seam, notches, edges that ran on
    across a seam, openings.

    Parameters
    ----------
    garment
        The garment as bought, or as altered so far. The bought outlines in its pieces are never touched.
    alterations
        The stack. Those without an id are called by their kind and their place.
    compare
        Whether that is looked at; False for one who goes on altering the garment and calls :func:`no_longer_matches` or
        :func:`seams_off` in the end.
    """
    bought = garment
    records: list[Record] = []
    findings: list[Finding] = []
    stages: list[Stage] = []
    became: dict[str, Became] = {}
    for alteration in _named(alterations):
        if alteration.off:
            continue
        try:
            altered = _applied(garment, alteration, became)
        except FirsthandError as error:
            findings.append(_refused(garment, alteration, error))
            continue
        records.append(altered.record)
        findings += altered.findings
        garment = altered.garment
        became = noted(became, altered.record, garment)
        stages.append((alteration.id, garment))
    findings += no_longer_matches(bought, stages) if compare else ()
    return StackResult(garment, tuple(records), tuple(findings), tuple(stages))


def _applied(garment: Garment, alteration: Alteration, became: Mapping[str, Became]) -> Altered:
    """An alteration applied; where it names a piece that is one for each hand by now, to both if that is plain."""
    try:
        return alteration.apply(garment)
    except NotThere as error:
        now = became.get(error.name) if error.what == "piece" else None
        if now is None:
            raise
        steps = for_both_hands(alteration, became) if now.hands else ()
        if not steps:
            remedy = "Name one of them, or write an entry for each."
            raise CannotAlter(now.said(error.name), remedy) from error
    if len(steps) == 1:
        return steps[0].apply(garment)
    records = [step.apply(garment).record.words for step in steps[:1]]
    return together(garment, alteration, [partial(_step, step) for step in steps], f"{records[0]}; on both hands", {})


def _step(alteration: Alteration, _: Garment) -> Alteration:
    return alteration


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
        str(error),
        where=(garment.id, alteration.id),
        remedy=error.remedy or "Correct its numbers.",
        blocks=[Block("cut", garment.id)],
    )
