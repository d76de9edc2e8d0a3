"""Lengths and wearing, in words or as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from firsthand.cli._output import Voice
from firsthand.units import Unit, format_length

if TYPE_CHECKING:
    from firsthand.fit import FitResult

__all__ = ["say_lengths", "say_wearing", "wearing_json"]


def say_lengths(voice: Voice, fit: FitResult, unit: Unit) -> None:
    """Say lengths and widths that are not good; all of them where the working is wanted."""
    for row in fit.lengths:
        if row.finished is None or (row.verdict.value not in ("tight", "loose") and not voice.why):
            continue
        ease = "" if row.ease is None else f", ease {format_length(row.ease, unit)}"
        band = row.band
        wanted = f", wanted {format_length(band.low, unit, name=False)} to {format_length(band.high, unit)}" if band else ""
        voice.say(f"  {row.name}: {format_length(row.finished, unit)}{ease}{wanted}: {row.verdict.value}")
        _why(voice, row.why)


def say_wearing(voice: Voice, fit: FitResult) -> None:
    """Say what is not simply possible in the garment; everything where the working is wanted."""
    from firsthand.fit.wearing import told_once

    rows = fit.wearing if voice.why else told_once(fit.wearing)
    told = [row for row in rows if voice.why or row.verdict.value != "yes"]
    for row in told:
        voice.say(f"  {row.ask[:1].upper()}{row.ask[1:]}? {row.verdict.value}: {row.words}. {row.remedy}".rstrip())
        _why(voice, row.why)
    good = [row.ask for row in rows if row not in told]
    if good:
        voice.say(f"  Yes to: {'; '.join(good)}.", style="dim")


def _why(voice: Voice, lines: tuple[str, ...]) -> None:
    for line in lines if voice.why else ():
        voice.say(f"    · {line}", style="dim")


def wearing_json(fit: FitResult) -> dict[str, Any]:
    """Lengths and wearing for machines."""
    return {"lengths": list(_lengths(fit)), "wearing": list(_wearing(fit))}


def _lengths(fit: FitResult) -> Iterator[dict[str, Any]]:
    for row in fit.lengths:
        yield {
            "what": row.level, "name": row.name, "measurement": row.body_key, "body": row.body, "finished": row.finished,
            "ease": row.ease, "band": row.band, "verdict": row.verdict, "note": row.note, "why": row.why,
        }  # fmt: skip


def _wearing(fit: FitResult) -> Iterator[dict[str, Any]]:
    for row in fit.wearing:
        yield {
            "ask": row.ask, "verdict": row.verdict, "words": row.words, "remedy": row.remedy, "about": row.about,
            "why": row.why,
        }  # fmt: skip
