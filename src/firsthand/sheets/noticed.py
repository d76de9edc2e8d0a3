"""Everything that was noticed, on paper."""

from __future__ import annotations

from firsthand.findings import Finding
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import Flow, list_paper
from firsthand.sheets._words import all_findings
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile

__all__ = ["findings_of", "findings_sheet"]


def findings_of(results: Results) -> tuple[Finding, ...]:
    """The findings of all stages, each once."""
    return all_findings(
        results.findings,
        *(fit.findings for fit in results.fits.values()),
        *(lays.findings for lays in results.lays.values()),
        results.buy.findings if results.buy else (),
        results.plan.findings if results.plan else (),
    )


@SHEETS[Scope.COSTUME].register("findings")
def findings_sheet(results: Results) -> tuple[SheetFile, ...]:
    """What is wrong, doubtful and worth knowing, the worst first."""
    found = findings_of(results)
    if not found:
        return ()
    flow = Flow(list_paper(results), "What was noticed", results.costume)
    list_findings(flow, found, headings=True)
    return (flow.file("findings.pdf", "findings", results),)
