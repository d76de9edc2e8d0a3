"""What each stage answers, in words or as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from firsthand.cli._accept import proposal_json, say_proposal
from firsthand.cli._cloth import cloth_json, say_cloth
from firsthand.cli._output import Voice
from firsthand.cli._wearing_words import say_lengths, say_wearing, wearing_json
from firsthand.findings import held
from firsthand.units import Unit, format_length, said

if TYPE_CHECKING:
    from firsthand.buy import BuyLine, BuyList
    from firsthand.fabric import Fabric
    from firsthand.fit import EaseRow, FitResult
    from firsthand.lay import FabricLays
    from firsthand.plan import Plan
    from firsthand.workroom.out import Written
    from firsthand.workroom.pipeline import Pipeline

__all__ = ["figure_words", "say_buy", "say_fit", "say_lays", "say_made", "say_pieces_lay", "say_plan"]


def _length(millimetres: float | None, unit: Unit) -> str:
    return "–" if millimetres is None else format_length(millimetres, unit, name=False)


def _band(row: EaseRow, unit: Unit) -> str:
    return "–" if row.band is None else f"{_length(row.band.low, unit)} to {_length(row.band.high, unit)}"


def say_fit(voice: Voice, pipeline: Pipeline, fits: Mapping[str, FitResult]) -> None:
    """Say the ease tables."""
    unit = pipeline.workroom.settings.units
    if voice.as_json:
        told = {name: _fit_json(fit) for name, fit in fits.items()}
        voice.json({"costume": pipeline.costume.id, "garments": told, "findings": pipeline.absurd})
        return
    for fit in fits.values():
        _ease(voice, fit, unit)
        ended = (f"{row.name}: {row.note}." for row in fit.after if row.note)
        for line in (*ended, *(record.words for record in fit.records), *_drafted(fit)):
            voice.say(f"  {line}")
        say_proposal(voice, fit, unit)
        say_cloth(voice, fit, unit)
        for row in fit.after if voice.why else ():
            for line in row.why:
                voice.say(f"  · {row.name}: {line}", style="dim")
        say_lengths(voice, fit, unit)
        say_wearing(voice, fit)
        voice.say()
    voice.findings(tuple(dict.fromkeys([*pipeline.absurd, *(finding for fit in fits.values() for finding in fit.findings)])))


def _ease(voice: Voice, fit: FitResult, unit: Unit) -> None:
    title = f"{fit.garment.name}, size {fit.garment.size}"
    if not fit.after:
        voice.say(f"{title}: no level to compare.")
        return
    bought = {row.level: row.finished for row in fit.before}
    rows = [
        (row.name, _length(row.body, unit), _length(bought.get(row.level), unit), _length(row.finished, unit),
         _length(row.ease, unit), _band(row, unit), row.verdict.value)
        for row in fit.after
    ]  # fmt: skip
    voice.table(title, ("level", f"body {unit}", "bought", "altered", "ease", "wanted", "verdict"), rows, right=range(1, 6))


def _drafted(fit: FitResult) -> Iterator[str]:
    """Each drafted piece with its key figures."""
    for piece, figures in fit.figures.items():
        words = ", ".join(figure_words(name, value) for name, value in figures.items())
        yield f"Drafted: {fit.garment.piece(piece).name}{f', {words}' if words else ''}"


def figure_words(name: str, value: float) -> str:
    """A key figure in words: its name says whether it is a length.

    Examples
    --------
    >>> figure_words("cut length", 125.0), figure_words("strip count", 3.0), figure_words("fullness ratio", 1.5)
    ('cut length ⟨125 mm⟩', 'strip count 3', 'fullness ratio 1.50')
    """
    if name.endswith("count"):
        return f"{name} {value:.0f}"
    return f"{name} {value:.2f}" if name.endswith("ratio") else f"{name} {said(value)}"


def _fit_json(fit: FitResult) -> dict[str, Any]:
    def row(entry: EaseRow) -> dict[str, Any]:
        return {
            "level": entry.level, "name": entry.name, "measurement": entry.body_key, "body": entry.body,
            "finished": entry.finished, "ease": entry.ease, "band": entry.band, "verdict": entry.verdict, "why": entry.why,
        }  # fmt: skip

    return {
        "size": fit.garment.size,
        "before": [row(entry) for entry in fit.before],
        "after": [row(entry) for entry in fit.after],
        "alterations": [{"id": r.alteration, "kind": r.kind, "words": r.words, "figures": r.figures} for r in fit.records],
        "proposal": proposal_json(fit),
        "cloth": cloth_json(fit),
        "drafted": fit.figures,
        **wearing_json(fit),
        "findings": fit.findings,
    }


def say_lays(voice: Voice, pipeline: Pipeline, lays: Mapping[str, FabricLays]) -> None:
    """Say the lays side by side."""
    from firsthand.lay import as_bought

    unit = pipeline.workroom.settings.units
    if voice.as_json:
        told = {name: _lays_json(some, pipeline.workroom.fabrics[name]) for name, some in lays.items()}
        voice.json({"costume": pipeline.costume.id, "fabrics": told})
        return
    rows = []
    for name, some in lays.items():
        fabric = pipeline.workroom.fabrics[name]
        for index, one in enumerate(some.lays):
            rows.append((
                fabric.name if index == 0 else "", one.way.value + (" ✓" if index == some.chosen else ""),
                _length(one.length, unit), f"{one.density:.0%}", _length(one.bound, unit),
                _length(as_bought(fabric, one.length), unit), _length(fabric.on_hand, unit),
            ))  # fmt: skip
        if not some.lays:
            rows.append((fabric.name, "not laid", *"––––", _length(fabric.on_hand, unit)))
    heads = ("fabric", "way", f"length {unit}", "used", "at least", "needed", "on hand")
    voice.table("", heads, rows, right=range(2, 7))
    if any(as_bought(pipeline.workroom.fabrics[name], 1.0) != 1.0 for name in lays):
        voice.say("Length is on the table, after washing; needed and on hand are new cloth, before washing.", style="dim")
    voice.findings(tuple(dict.fromkeys(finding for some in lays.values() for finding in some.findings)))


def _lays_json(lays: FabricLays, fabric: Fabric) -> dict[str, Any]:
    from firsthand.lay import as_bought

    return {
        "chosen": lays.chosen,
        "lays": [
            {
                "way": one.way, "width": one.width, "length": one.length, "as_bought": as_bought(fabric, one.length),
                "density": one.density, "bound": one.bound, "engine": one.engine, "seconds": one.seconds, "seed": one.seed,
                "placements": one.placements,
            }
            for one in lays.lays
        ],
        "findings": lays.findings,
    }  # fmt: skip


def say_pieces_lay(voice: Voice, answer: Mapping[str, Any]) -> None:
    """Say the lay of a file of polygons."""
    if voice.as_json:
        voice.json(answer)
        return
    voice.say(f"length {answer['length']:.3f}, {answer['density']:.2%} of the strip used, {len(answer['placements'])} pieces")


def _amount(line: BuyLine, amount: float, unit: Unit) -> str:
    if line.unit == "length":
        return format_length(amount, Unit.YARD if unit is Unit.INCH else Unit.M, digits=2)
    return f"{amount:g} {line.unit}".strip()


def say_buy(voice: Voice, pipeline: Pipeline, bought: BuyList) -> None:
    """Say the buy list."""
    settings = pipeline.workroom.settings
    if voice.as_json:
        voice.json({"costume": pipeline.costume.id, "cost": bought.cost, **_fields(bought)})
        return
    rows = [
        (line.what, *(_amount(line, amount, settings.units) for amount in (line.needed, line.on_hand, line.to_buy)),
         f"{line.cost:.2f}" if line.cost else "–")
        for line in bought.lines
    ]  # fmt: skip
    voice.table("", ("what", "needed", "on hand", "to buy", settings.currency or "cost"), rows, right=(1, 2, 3, 4))
    voice.say(f"In all {bought.cost:.2f} {settings.currency}, where prices are known.", style="bold")
    for line in bought.lines if voice.why else ():
        for word in line.why:
            voice.say(f"  · {line.what}: {word}", style="dim")
    voice.findings(bought.findings)


def _fields(bought: BuyList) -> dict[str, Any]:
    return {"lines": bought.lines, "findings": bought.findings}


def say_plan(voice: Voice, pipeline: Pipeline, plan: Plan) -> None:
    """Say the cards in order."""
    if voice.as_json:
        voice.json({"costume": pipeline.costume.id, "minutes": plan.minutes, "plan": plan})
        return
    rows = [
        (str(card.number), card.date or "–", f"{card.minutes:.0f}", card.garment or "all", card.title, "; ".join(card.changes))
        for card in plan.cards
    ]
    voice.table("", ("card", "day", "min", "garment", "what", "change"), rows, right=(0, 2))
    done = f"done by {plan.done_by}" if plan.done_by else "not done in the sessions there are"
    voice.say(f"{len(plan.cards)} cards, {plan.minutes / 60:.1f} hours, {done}; due {plan.due or 'any time'}.", style="bold")
    if voice.why:
        voice.say(
            f"  · changing set-ups takes {plan.change_minutes:.0f} min in this order,"
            f" {plan.sheet_order_changes:.0f} min in the order of the patterns",
            style="dim",
        )
    voice.findings(plan.findings)


def say_made(voice: Voice, pipeline: Pipeline, written: Written) -> None:
    """Say what was made."""
    ran = [f"{entry.stage} {entry.about}" for entry in pipeline.log if entry.ran]
    kept = sum(1 for entry in pipeline.log if not entry.ran)
    found = pipeline.findings(upto="sheets")
    waiting = held(found)
    out = pipeline.out
    if voice.as_json:
        voice.json({
            "costume": pipeline.costume.id, "out": out, "files": written.files, "written": written.written,
            "removed": written.removed, "ran": ran, "kept": kept, "findings": found, "blocked": waiting,
        })  # fmt: skip
        return
    voice.findings(found)
    voice.say()
    voice.say(
        f"Ran again: {', '.join(ran)}." if ran and kept else "All stages ran." if ran else "Nothing had changed; nothing ran."
    )
    voice.say(f"{len(written.files)} files in {out}, {len(written.written)} of them new or changed.")
    voice.say(f"Look at {out / 'index.html'}", style="bold")
