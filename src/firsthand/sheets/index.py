"""The page to look at: everything that was found out, with what is wrong first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from firsthand.findings import Finding, Severity
from firsthand.fit.model import FitResult
from firsthand.plan.model import PlanCard
from firsthand.sheets._findings import blocked_words, where_words
from firsthand.sheets._shown import in_readers_units
from firsthand.sheets._words import SEVERITY, day, minutes_words, sentence, worst_first
from firsthand.sheets.buying import amount, by_sort, money, total
from firsthand.sheets.fit_sheet import ease_words
from firsthand.sheets.lays import lay_picture, lay_words
from firsthand.sheets.model import Results, SheetFile
from firsthand.sheets.noticed import findings_of
from firsthand.sheets.plan_cards import plan_words
from firsthand.sheets.sinks.svg import style_sheet

__all__ = ["index_page"]


def index_page(results: Results, files: Iterable[SheetFile]) -> SheetFile:
    """One page of HTML that needs nothing else: no scripts, no requests, legible in the light and in the dark.

    Parameters
    ----------
    results
        Everything about the costume.
    files
        All sheets that were made; the page links to them and says what was noticed in making them.

    Returns
    -------
    SheetFile
        Called ``index.html``, to lie beside the sheets.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    files = tuple(files)
    of_sheets = (finding for file in files for finding in file.findings)
    results = in_readers_units(replace(results, findings=(*results.findings, *of_sheets)))
    known = tuple(sorted(files, key=lambda file: file.name))
    house = Environment(
        loader=PackageLoader("firsthand.sheets"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page = house.get_template("index.html").render(
        results=results,
        due=day(results.due) if results.due else "",
        drawing_style=style_sheet(),
        findings=_findings(results),
        garments=[_garment(results, fit, known) for fit in results.fits.values()],
        lays=_lays(results, known),
        buy=_buy(results),
        plan=_plan(results),
        files=[_file(file) for file in known],
    )
    return SheetFile("index.html", "index", f"{results.costume}: everything at a glance", page.encode())


def _findings(results: Results) -> list[dict[str, Any]]:
    return [
        {"severity": severity.value, "title": SEVERITY[severity], "all": [_finding(f) for f in group],
         "open": severity is not Severity.NOTE}
        for severity, group in worst_first(findings_of(results)).items()
    ]  # fmt: skip


def _finding(finding: Finding) -> Mapping[str, Any]:
    return {
        "message": sentence(finding.message), "remedy": finding.remedy, "blocked": blocked_words(finding),
        "where": where_words(finding), "why": finding.why, "code": finding.code,
    }  # fmt: skip


def _garment(results: Results, fit: FitResult, files: tuple[SheetFile, ...]) -> Mapping[str, Any]:
    garment = fit.garment
    return {
        "id": garment.id,
        "name": garment.name or garment.id,
        "about": f"size {garment.size}, meant to sit {garment.cut}",
        "ease": list(ease_words(fit, results.settings.units)),
        "proposal": fit.proposal_words,
        "altered": [record.words for record in fit.records],
        "files": [_file(file, garment.name or garment.id) for file in files if file.name.startswith(f"{garment.id}/")],
    }


def _lays(results: Results, files: tuple[SheetFile, ...]) -> list[Mapping[str, Any]]:
    from markupsafe import Markup

    return [
        {
            "name": results.fabrics[lays.fabric].name if lays.fabric in results.fabrics else lays.fabric,
            "words": lay_words(results, lays, lays.best),
            # the SVG sink escapes all text itself
            "picture": Markup(lay_picture(results, lays, lays.best, inline=True)),
            "files": [_file(file) for file in files if file.name.startswith(f"lays/{lays.fabric}.")],
        }
        for lays in results.lays.values()
        if lays.best is not None
    ]


def _buy(results: Results) -> Mapping[str, Any] | None:
    if results.buy is None or not results.buy.lines:
        return None
    groups = [
        (sort, [(line.what, *(amount(v, line, results) for v in (line.needed, line.on_hand, line.to_buy)),
                 money(line.cost, results), line.why) for line in lines])
        for sort, lines in by_sort(results.buy).items()
    ]  # fmt: skip
    return {"groups": groups, "total": total(results.buy, results)}


def _plan(results: Results) -> Mapping[str, Any] | None:
    plan = results.plan
    if plan is None or not plan.cards:
        return None
    days: dict[str, list[PlanCard]] = {}
    for card in plan.cards:
        days.setdefault(card.date, []).append(card)
    return {"words": plan_words(plan), "days": [_day(results, date, cards) for date, cards in days.items()]}


def _day(results: Results, date: str, cards: list[PlanCard]) -> Mapping[str, Any]:
    return {
        "date": day(date) if date else "No session left",
        "minutes": minutes_words(sum(card.minutes for card in cards)),
        "cards": [(c.number, c.title or c.id, _name(results, c.garment), minutes_words(c.minutes)) for c in cards],
    }


def _name(results: Results, garment: str) -> str:
    return results.fits[garment].garment.name or garment if garment in results.fits else garment


def _file(file: SheetFile, within: str = "") -> Mapping[str, str]:
    bits = [file.paper, f"{file.pages} page{'s' * (file.pages != 1)}" if file.pages else ""]
    kind = file.name.rsplit(".", 1)[-1].upper()
    title = file.title.removeprefix(f"{within}: ") if within else file.title
    return {"name": file.name, "title": title[:1].upper() + title[1:], "about": ", ".join(bit for bit in [kind, *bits] if bit)}
