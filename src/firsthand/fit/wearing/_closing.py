"""Closing a garment: whether it can be done alone, whether it meets, and what to take care of at the neck."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.findings import Block, Severity, kind
from firsthand.fit import _places as places
from firsthand.fit._ease import lower_first
from firsthand.fit.model import Answer, WearingRow
from firsthand.fit.wearing._case import Case
from firsthand.fit.wearing._openings import opened_levels
from firsthand.fit.wearing._waist import closes_waist, slipping, waist_short
from firsthand.pattern import Closure, ClosureKind
from firsthand.units import said

__all__ = ["closing_rows"]

FRIEND = kind(
    "needs-a-friend",
    Severity.NOTE,
    "A closure cannot be closed by the wearer alone: laced or buttoned at the back above the waist, or its pattern says so. "
    "Arrange for somebody to help, or move the closure to the side or the front.",
)
CHILD_CORD = kind(
    "cord-at-child-neck",
    Severity.FAULT,
    "A cord, lace or elastic closes a child's garment round the neck or the hood: caught on something it strangles. Leave it "
    "out: snaps, hook-and-loop or buttons instead. Source: CPSC guidance on drawstrings in children's outerwear (ASTM F1816).",
)
NECK_CHART = kind(
    "neck-chart-small",
    Severity.DOUBT,
    "What closes round the neck has no outline to measure, and its size is meant for a smaller neck. Nothing may ever be tight "
    "round the neck: make it longer, or take a larger size.",
)
NECK_GIVES = 10.0
"""So much more neck than the size is meant for, mm, the ease of a neckband takes up (common practice)."""
CORDS = frozenset({ClosureKind.DRAWSTRING, ClosureKind.LACING, ClosureKind.ELASTIC})
REACHED = 2
"""So many hooks, buttons or snaps at the nape can be done by feel (common practice)."""


def closing_rows(case: Case) -> Iterator[WearingRow]:
    """A row for every closure."""
    for closure in case.garment.closures:
        yield _row(case, closure)


def _row(case: Case, closure: Closure) -> WearingRow:
    verdict, words, remedy = _who(case, closure)
    why = [f"{closure.kind.value}, {where}" for where in [_where(case, closure)]]
    why += ["who reaches which closure is common practice: try it"]
    noticed = []
    where = (case.garment.id, closure.id)
    if verdict is Answer.NO:
        noticed.append(FRIEND(f"{closure.id}: {words}", where=where, remedy=remedy))
    for name, gap in _short(case, closure):
        verdict, words = Answer.NO, f"at the {name} it does not meet by {said(gap)}"
        remedy = f"Let out {said(gap)} there{', or leave a laced gap' if not _at_neck(closure) else ''}."
    if closes_waist(case, closure):
        if short := waist_short(case, closure):
            verdict, words = Answer.NO, f"at the waist it does not meet by {said(short[0])}"
            remedy = short[1].remedy
            noticed.append(short[1])
        elif slips := slipping(case, closure):
            verdict, words, remedy = Answer.NO, f"it would slip down: {said(slips[0])} larger than the waist", slips[1].remedy
            noticed.append(slips[1])
    if _at_neck(closure) and (meant := _meant_neck(case)):
        own = case.need("neck_girth") or 0.0
        verdict, words = Answer.NO, f"size {case.garment.size} is meant for a neck of {said(meant)}, this one is {said(own)}"
        remedy = f"Make it {said(own - meant)} longer round the neck, or take a larger size."
        message = (
            f"{closure.id}: size {case.garment.size} is meant for a neck of {said(meant)}, {case.body.name}'s is {said(own)}"
        )
        noticed.append(NECK_CHART(message, where=where, remedy=remedy))
    if _at_neck(closure):
        care = _neck_care(case, closure)
        if case.body.child and closure.kind in CORDS:
            noticed.append(CHILD_CORD(f"{closure.id}: a {closure.kind.value} at a child's neck", where=where,
                                      remedy="Take snaps, hook-and-loop or buttons, and no cord.",
                                      blocks=[Block("cut", case.garment.id)]))  # fmt: skip
        words, why = f"{words}{care}", [*why, "CPSC guidance on drawstrings (ASTM F1816); common practice"]
    return case.answer(f"close {closure.id}", verdict, words, remedy=remedy, about=closure.id, why=why, findings=noticed)


def _at_neck(closure: Closure) -> bool:
    return closure.at_neck or places.is_one(places.NECK | frozenset({"hood"}), closure.id)


def _meant_neck(case: Case) -> float | None:
    """The neck that its size is meant for, where nothing else tells and the wearer's is larger; None where it will do."""
    row, own = case.rows.get("neck_girth"), case.need("neck_girth")
    meant = case.garment.chart.get(case.garment.size, {}).get("neck_girth")
    if meant is None or own is None or (row is not None and row.finished is not None):
        return None
    return meant if own > meant + NECK_GIVES else None


def _neck_care(case: Case, closure: Closure) -> str:
    if case.body.child and closure.kind in CORDS:
        return "; no cord at a child's neck"
    if not closure.parts_under_pull:
        return "; at the neck it should come apart when pulled"
    return "; it comes apart when pulled"


def _where(case: Case, closure: Closure) -> str:
    """Where a closure lies: ``back``, ``side``, ``wrist``, ``front``; with what is known of the height."""
    names = [closure.id]
    for ref in closure.edges:
        piece = case.garment.pieces.get(ref.piece)
        names += [ref.piece, ref.edge, piece.name if piece else ""]
    own = places.words_of(closure.id)
    for words, name in ((places.WRIST, "wrist"), (places.SIDE, "side"), (places.BACK, "back"), (places.FRONT, "front")):
        if own & words:
            return name
    for words, name in ((places.WRIST, "wrist"), (places.SIDE, "side")):
        if places.is_one(words, *names):
            return name
    back, front = places.is_one(places.BACK, *names), places.is_one(places.FRONT, *names)
    return "all round" if back and front else "back" if back else "front"


def _who(case: Case, closure: Closure) -> tuple[Answer, str, str]:
    """Whether it can be closed by the wearer alone."""
    where, made = _where(case, closure), closure.kind
    if not closure.alone:
        return Answer.NO, "not alone: a friend has to close it", "Ask a friend, or move it to the side or the front."
    if where == "wrist":
        if made is ClosureKind.LACING:
            return Answer.TIGHT, "with one hand: laced beforehand, and drawn with the teeth", "An elastic lace would do it."
        return Answer.YES, "with the other hand", ""
    if where != "back" or made in (ClosureKind.ELASTIC, ClosureKind.DRAWSTRING):
        return Answer.YES, "within reach", ""
    return _at_back(case, closure)


def _at_back(case: Case, closure: Closure) -> tuple[Answer, str, str]:
    made = closure.kind
    if not case.upper:
        if case.garment.cut == "skin-tight":
            return Answer.TIGHT, "by feel, behind: it sits too close to be turned round", "At the side it would be easier."
        return Answer.YES, "closed in front and turned round, or by feel at the waist", ""
    if made is ClosureKind.ZIP:
        return (
            Answer.TIGHT,
            "with a ribbon through the puller",
            "Tie a ribbon to the puller to draw it up, and take it off after.",
        )
    few = made is ClosureKind.TAPE or (closure.count and closure.count <= REACHED)
    if made is not ClosureKind.LACING and few:
        return Answer.TIGHT, "by feel at the nape", ""
    fronts = [other for other in case.garment.closures if other is not closure and _where(case, other) == "front"]
    if made is ClosureKind.LACING and fronts:
        long = "Lace it with loops long enough to be drawn from the waist."
        return Answer.TIGHT, f"laced loosely beforehand, got on by {fronts[0].id}, then drawn from the waist", long
    words = f"the pattern says alone, but {made.value} between the shoulder blades want a friend"
    return Answer.TIGHT, words, "Try it before the day, or move it to the side or the front."


def _short(case: Case, closure: Closure) -> Iterator[tuple[str, float]]:
    """Levels that the closure crosses, where it cannot be closed."""
    mine = {ref.piece for ref in closure.edges}
    for row in case.rows.values():
        crossed = row.level in opened_levels(case.garment) and any(
            line.level == row.level for name in mine if (piece := case.garment.pieces.get(name)) and piece.shape
            for line in piece.shape.levels
        )  # fmt: skip
        if crossed and row.finished is not None and row.body is not None and row.finished * (1 + case.stretch) < row.body:
            yield lower_first(row.name or row.level), row.body - row.finished * (1 + case.stretch)
