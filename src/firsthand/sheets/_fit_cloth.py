"""The section of the fit sheet that tells what the cloth does: stretch and pressure by level, seams, and how to go on."""

from __future__ import annotations

from firsthand.fit.cloth import CAUTION, mmhg, part, percent
from firsthand.fit.model import ClothFit, ClothRow, FitResult, Way
from firsthand.geometry.drawing import Anchor, WordKind
from firsthand.sheets._flow import Column, Flow
from firsthand.sheets._words import cloth_length, length, minutes_words, plain, sentence
from firsthand.units import Unit

__all__ = ["section"]

NOT_KNOWN = "–"
FELT = 0.005
"""Strain below this is none."""


def section(flow: Flow, fit: FitResult, units: Unit) -> None:
    """Write the section; nothing where the cloth neither stretches nor is other than the pattern expects.

    Parameters
    ----------
    flow
        The sheet.
    fit
        The fit of one garment.
    units
        The reader's units.
    """
    found = fit.cloth
    if found is None or not (found.alterations or found.ways or any(map(_stretched, found.rows))):
        return
    flow.heading("What the cloth does", follow=24)
    if found.words:
        flow.paragraph(found.words)
        flow.gap(1)
    if any(map(_stretched, found.rows)):
        _table(flow, found, units)
    _ways(flow, found, units)


def _stretched(row: ClothRow) -> bool:
    return (row.strain or 0.0) > FELT or row.target is not None


def _table(flow: Flow, found: ClothFit, units: Unit) -> None:
    end = Anchor.END
    columns = (
        Column("Level", 1.7), Column("Stretch there is", 1.3, end), Column("Strain, as it will be cut", 1.6, end),
        Column("Of the stretch used", 1.4, end), Column("Presses, mmHg (kPa)", 2.3, end), Column("Cloth asks for", 1.4, end),
        Column("Strain then", 1.2, end),
    )  # fmt: skip
    flow.table(columns, (_cells(row, units) for row in found.rows))
    flow.gap(2)
    share = max((row.share for row in found.rows), default=0.0)
    notes = [
        "Strain is how far the cloth is stretched when it is worn: body girth divided by finished girth, less one.",
        f"At most {part(share)} of the stretch there is should be used up.",
    ]
    if any(row.pressure for row in found.rows):
        notes.append("Pressure by Laplace’s law is rough: what is measured lies from 42 % below to 25 % above it.")
    flow.paragraph(" ".join(notes), WordKind.SMALL)
    if any(row.pressure and row.pressure[1] > row.limit for row in found.rows):
        flow.gap(1)
        flow.care(CAUTION)
    elif any((row.strain or 0.0) > 10 * FELT for row in found.rows):
        flow.gap(1)
        flow.care("Take it off if anything goes numb, cold or blue, or breath is short. Nothing may press at the neck.")
    if found.seams:
        told = ", ".join(f"{plain(one.seam)} ({one.runs} the body)" for one in found.seams)
        flow.paragraph(f"Must stretch as far as the cloth: {told}. {sentence(found.seams[0].stitch)}")


def _cells(row: ClothRow, units: Unit) -> tuple[str, ...]:
    return (
        row.name or row.level, percent(row.available), _share(row.strain), _share(row.used), _pressure(row.pressure),
        NOT_KNOWN if row.target is None else length(row.target, units), _share(row.target_strain),
    )  # fmt: skip


def _share(value: float | None) -> str:
    return NOT_KNOWN if value is None else percent(value)


def _pressure(band: tuple[float, float] | None) -> str:
    if band is None:
        return NOT_KNOWN
    low, high = band
    return f"{mmhg(low):.0f} to {mmhg(high):.0f} ({low:.1f} to {high:.1f})"


def _ways(flow: Flow, found: ClothFit, units: Unit) -> None:
    if not found.ways:
        return
    flow.heading("Three ways to go on", follow=30)
    advised = next((way for way in found.ways if way.advised), None)
    if advised is not None:
        flow.paragraph(f"It is not certain how the cloth will behave: {advised.why}.")
        flow.gap(1)
    columns = (Column("", 0.9), Column("Way", 5.5), Column("More work", 1.2, Anchor.END), Column("More cloth", 1.2, Anchor.END))
    flow.table(columns, (_way(way, units) for way in found.ways))


def _way(way: Way, units: Unit) -> tuple[str, ...]:
    more = cloth_length(way.cloth, units) if way.cloth else "none"
    return "advised" if way.advised else "or", way.words, minutes_words(way.minutes) if way.minutes else "none", more
