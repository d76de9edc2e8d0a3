"""Plan cards, big enough to read standing at the table."""

from __future__ import annotations

from functools import partial

from firsthand.geometry import Point
from firsthand.geometry.drawing import Anchor, LineKind, WordKind
from firsthand.plan.model import Plan, PlanCard
from firsthand.sheets._findings import list_findings
from firsthand.sheets._flow import Flow, draw_tick, list_paper
from firsthand.sheets._lettering import shortened, width, wrap
from firsthand.sheets._paragraph import paragraph
from firsthand.sheets._words import day, minutes_words
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.steps.model import Step

__all__ = ["plan_cards", "plan_words", "set_up_words"]

ENLARGED = 1.2
"""Lettering is so many times larger than on lists: what to do is 16 pt, how 12 pt."""
WHOLE = 0.5
"""A card higher than this share of a page may run on to the next one."""
TICK_ROOM = 9.0
TIME_ROOM = 32.0


def set_up_words(step: Step) -> str:
    """What must be right before a step; empty if nothing in particular.

    Examples
    --------
    >>> from firsthand.steps import Place, SetUp
    >>> set_up_words(Step("a", "", "seams", "Sew", Place.MACHINE, 5.0, setup=SetUp("straight", 2.5, needle="90")))
    'machine: straight stitch 2.5 mm, needle 90'
    """
    it = step.setup
    length = f" {it.length:g} mm" if it.length else ""
    stitch = it.stitch if not it.stitch or "stitch" in it.stitch or "overlock" in it.stitch else f"{it.stitch} stitch"
    bits = [f"{stitch}{length}".strip()]
    bits += [f"{name} {value}" for name, value in (("needle", it.needle), ("foot", it.foot), ("thread", it.thread)) if value]
    bits += [it.heat]
    said = ", ".join(bit for bit in bits if bit)
    return f"{step.place.value}: {said}" if said else ""


def plan_words(plan: Plan) -> tuple[str, ...]:
    """The plan in a few sentences."""
    lines = [f"{len(plan.cards)} card{'s' * (len(plan.cards) != 1)}, {minutes_words(plan.minutes)} of work in all."]
    due = f"; it is due on {day(plan.due)}" if plan.due else ""
    lines.append(f"Done by {day(plan.done_by)}{due}." if plan.done_by else f"The sessions do not suffice{due}.")
    if plan.sheet_order_changes > plan.change_minutes:
        lines.append(
            f"Changing set-ups takes {minutes_words(plan.change_minutes)}; garment by garment it would take "
            f"{minutes_words(plan.sheet_order_changes)}."
        )
    return tuple(lines)


@SHEETS[Scope.COSTUME].register("plan-cards")
def plan_cards(results: Results) -> tuple[SheetFile, ...]:
    """All cards in order, as many to a page as go on it whole."""
    plan = results.plan
    if plan is None or not (plan.cards or plan.findings):
        return ()
    flow = Flow(list_paper(results), "The work, card by card", results.costume, enlarge=ENLARGED)
    for line in plan_words(plan):
        flow.paragraph(line)
    if plan.findings:
        flow.heading("What was noticed", follow=20)
        list_findings(flow, plan.findings)
    for card in plan.cards:
        fill = partial(_card, results, card)
        flow.gap(5)
        high = flow.measure(fill)
        if high <= flow.frame.height * WHOLE:
            flow.keep(high)
        fill(flow)
    return (flow.file("plan-cards.pdf", "plan-cards", results),)


def _card(results: Results, card: PlanCard, flow: Flow) -> None:
    flow.keep(45)
    flow.rule(LineKind.CAUTION)
    flow.gap(2.5)
    garment = results.fits[card.garment].garment.name if card.garment in results.fits else card.garment
    number = f"{card.number}"
    indent = width(number, WordKind.TITLE) + 4
    flow.sink.words(number, Point(flow.frame.left, flow.y - 7.0), WordKind.TITLE)
    top = flow.y
    flow.y = paragraph(flow.sink, card.title or card.id, Point(flow.frame.left + indent, top),
                       flow.frame.width - indent - TIME_ROOM - 6, WordKind.NAME)  # fmt: skip
    _at_right(flow, minutes_words(card.minutes), WordKind.HEADING, top)
    below = ", ".join(word for word in (garment or "several garments", day(card.date) if card.date else "no date yet") if word)
    flow.paragraph(below, indent=indent)
    flow.y = min(flow.y, top - 9.0)
    flow.gap(1)
    if card.changes:
        flow.paragraph("First change: " + "; ".join(card.changes) + ".", indent=indent)
        flow.gap(1)
    last, warned = "", set()
    for step in card.steps:
        said = set_up_words(step)
        care = step.caution if step.caution not in warned else ""
        _step(flow, card, step, said if said != last else "", care)
        last = said or last
        warned.add(step.caution)


def _step(flow: Flow, card: PlanCard, step: Step, set_up: str, care: str) -> None:
    lines = partial(_step_lines, step=step, set_up=set_up, care=care)
    before = len(flow.pages)
    flow.keep(flow.measure(lines))
    if len(flow.pages) > before:
        flow.paragraph(shortened(f"{card.number} {card.title}, continued", WordKind.BODY, flow.frame.width))
        flow.gap(1)
    lines(flow)


def _step_lines(flow: Flow, *, step: Step, set_up: str, care: str) -> None:
    flow.rule()
    flow.gap(1.6)
    draw_tick(flow.sink, Point(flow.frame.left + 0.5, flow.y - 5.4), 5.0)
    top = flow.y
    for line in wrap(step.title or step.id, WordKind.HEADING, flow.frame.width - TICK_ROOM - TIME_ROOM):
        flow.sink.words(line, Point(flow.frame.left + TICK_ROOM, flow.y - 4.6), WordKind.HEADING)
        flow.gap(6.0)
    _at_right(flow, f"{step.place.value}, {minutes_words(step.minutes)}", WordKind.BODY, top)
    flow.gap(0.6)
    for text in filter(None, (set_up[:1].upper() + set_up[1:], step.instruction)):
        flow.paragraph(text, indent=TICK_ROOM)
    if step.parts:
        parts = ", ".join(part.removeprefix(f"{step.garment}/") for part in step.parts)
        flow.paragraph(f"Parts: {parts}", WordKind.SMALL, indent=TICK_ROOM)
    if step.wait:
        flow.paragraph(f"Then wait {minutes_words(step.wait)}.", indent=TICK_ROOM)
    if care:
        flow.gap(0.8)
        flow.care(care, indent=TICK_ROOM)
    flow.gap(1.4)


def _at_right(flow: Flow, text: str, kind: WordKind, top: float) -> None:
    flow.sink.words(text, Point(flow.frame.right, top - 4.6), kind, anchor=Anchor.END)
