"""Findings in words on a page."""

from __future__ import annotations

from collections.abc import Iterable

from firsthand.findings import Finding
from firsthand.geometry.drawing import WordKind
from firsthand.sheets._flow import Flow
from firsthand.sheets._words import SEVERITY, sentence, worst_first

__all__ = ["blocked_words", "list_findings", "where_words"]


def where_words(finding: Finding) -> str:
    """Where it was noticed."""
    return ", ".join(finding.where)


def blocked_words(finding: Finding) -> str:
    """What must wait, in words.

    Examples
    --------
    >>> from firsthand.findings import Block, Severity
    >>> blocked_words(Finding("torn", Severity.FAULT, "", blocks=(Block("print", "skirt/back"), Block("cut", "skirt/back"))))
    'until then: do not print or cut skirt/back'
    """
    acts: dict[str, list[str]] = {}
    for block in finding.blocks:
        acts.setdefault(block.what, []).append(block.act)
    things = "; ".join(f"{' or '.join(dict.fromkeys(some))} {what}" for what, some in acts.items())
    return f"until then: do not {things}" if things else ""


def list_findings(flow: Flow, findings: Iterable[Finding], *, headings: bool = False) -> None:
    """Fill pages with findings, the worst first."""
    for severity, group in worst_first(findings).items():
        if headings:
            flow.heading(SEVERITY[severity], follow=20)
        for finding in group:
            flow.keep(16)
            flow.paragraph(sentence(finding.message))
            below = (finding.remedy, sentence(blocked_words(finding)), where_words(finding) and f"At {where_words(finding)}.")
            for line in filter(None, below):
                flow.paragraph(line, WordKind.SMALL, indent=4)
            flow.gap(1.8)
