"""Sections about sizes and about a dress form."""

from __future__ import annotations

from firsthand.fit.model import EaseBand
from firsthand.fit.sizing import FormFit, FormRow, LevelSizes, SizeChoice
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets._flow import Column, Flow
from firsthand.sheets._words import length, plain, sentence
from firsthand.units import Unit, shown

__all__ = ["form_section", "section", "shown_sizes"]

NOT_KNOWN = "–"
HANGS = 500.0
"""Of a band of ease wider than this, mm, the upper end says nothing."""
MOST = 5
"""So many sizes stand side by side."""


def section(flow: Flow, choice: SizeChoice, units: Unit, *, name: str, now: str) -> None:
    """One garment: the size, by what, and every level in the sizes next to it.

    Parameters
    ----------
    name, now
        The garment, and the size its brief asks for.
    """
    if not choice.size:
        flow.heading(f"{name}: no size can be told", follow=20)
        _found(flow, choice, units)
        return
    same = ", as the brief says" if choice.size == now else f" (the brief says {now})"
    flow.heading(f"{name}: size {choice.size}{same}", follow=30)
    flow.paragraph(sentence(shown(choice.reason, units)) if choice.reason else "")
    flow.gap(1.5)
    if choice.levels:
        sizes = shown_sizes(choice)
        end = Anchor.END
        columns = (
            Column("Level", 2.2), Column(f"Body, {shown_unit(units)}", 1.2, end),
            *(Column(f"Ease in {size}", 1.1, end) for size in sizes),
            Column("Ease wanted", 1.9, end), Column("Fits", 1.9), Column(f"In {choice.size}", 3.4),
        )  # fmt: skip
        flow.table(columns, (_row(level, sizes, units) for level in choice.levels))
        flow.gap(1.5)
    if choice.blend:
        flow.paragraph(f"Or blend sizes: {choice.blend_words}.")
        flow.paragraph(_after(choice, units), WordKind.SMALL)
    if choice.grade:
        flow.paragraph(f"Size {choice.grade} is made again from its neighbours first.")
    _found(flow, choice, units)


def shown_sizes(choice: SizeChoice) -> tuple[str, ...]:
    """The sizes that stand side by side: the one chosen and those next to it."""
    known = list(dict.fromkeys(one.size for level in choice.levels for one in level.sizes))
    if choice.size not in known:
        return tuple(known[:MOST])
    start = max(0, min(known.index(choice.size) - MOST // 2, len(known) - MOST))
    return tuple(known[start : start + MOST])


def _row(level: LevelSizes, sizes: tuple[str, ...], units: Unit) -> tuple[str, ...]:
    there = (level.in_size(size) for size in sizes)
    band = level.band
    wanted = NOT_KNOWN if band is None else _band(band, units)
    altered = shown(level.words, units) if level.words else "as it is" if level.amount is not None else NOT_KNOWN
    eases = (_length(one.ease if one else None, units) for one in there)
    return (level.name, _length(level.body, units), *eases, wanted, level.fits or NOT_KNOWN, altered)


def _band(band: EaseBand, units: Unit) -> str:
    low, high = (length(value, units, name=False) for value in (band.low, band.high))
    return f"{low} or more" if band.high - band.low > HANGS else f"{low} to {high}"


def _length(value: float | None, units: Unit) -> str:
    return NOT_KNOWN if value is None else length(value, units, name=False)


def shown_unit(units: Unit) -> str:
    """The unit in which lengths on a garment are written."""
    return str(Unit.INCH if units in (Unit.INCH, Unit.YARD) else units if units is Unit.MM else Unit.CM)


def _after(choice: SizeChoice, units: Unit) -> str:
    known = [row for row in choice.after if row.ease is not None]
    words = (f"{row.name} {length(row.ease or 0.0, units)}{_left(row.residual, units)}" for row in known)
    return f"Made and measured again, the ease is: {', '.join(words)}."


def _left(residual: float | None, units: Unit) -> str:
    return f" ({length(abs(residual), units)} too {'tight' if residual < 0 else 'loose'})" if residual else ""


def _found(flow: Flow, choice: SizeChoice, units: Unit) -> None:
    for finding in choice.findings:
        flow.paragraph(plain(f"{sentence(shown(finding.message, units))} {shown(finding.remedy, units)}"), WordKind.SMALL)


def form_section(flow: Flow, form: FormFit, units: Unit) -> None:
    """A dress form beside its wearer: the differences, how to pad it, what it does not tell."""
    flow.heading("Dress form", follow=30)
    end = Anchor.END
    columns = (
        Column(f"Measurement, {shown_unit(units)}", 2.4),
        Column("Form", 1.3, end), Column("Wearer", 1.3, end), Column("Differs", 1.3, end),
        Column("What to do", 6.0),
    )  # fmt: skip
    flow.table(columns, (_form_row(row, units) for row in form.rows))
    for title, lines in (("How to pad it", form.steps), ("What a fitting on it does not tell", form.not_told)):
        if lines:
            flow.heading(title)
            for line in lines:
                flow.paragraph(shown(line, units), indent=4)


def _form_row(row: FormRow, units: Unit) -> tuple[str, ...]:
    lengths = (_length(value, units) for value in (row.form, row.wearer, row.difference))
    return (row.name, *lengths, shown(row.words, units) or row.verdict.value)
