"""Choosing a size."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from firsthand.body import Body, refuse_nonsense, stand_in, taken
from firsthand.findings import Finding, Severity
from firsthand.fit.sizing._altering import by_chart, by_finished, called, exactly
from firsthand.fit.sizing._blending import Blended, blended, grows
from firsthand.fit.sizing._chart import chart_keys, chart_places, place_in
from firsthand.fit.sizing._findings import (
    CHART_DIFFERS,
    CHART_ONLY,
    MEASURE,
    NO_BASIS,
    OFF_PAPER,
    OUTSIDE,
    UNEVEN,
)
from firsthand.fit.sizing._finished import Asked, level_sizes, nearest_size, off_band
from firsthand.fit.sizing._rules import A_SIZE, BUST, FURTHEST, bust_frame, deciding, reason_of
from firsthand.fit.sizing.model import ChartPlace, LevelSizes, SizeChoice
from firsthand.pattern import Pattern
from firsthand.units import said

__all__ = ["choose_size"]

FINISHED, CHART = "finished girth", "chart"


def choose_size(
    pattern: Pattern,
    body: Body,
    *,
    sort: str,
    cut: str,
    beneath: Mapping[str, float] | None = None,
    stretch: float = 0.0,
    thickness: float = 0.0,
    wanted: Mapping[str, tuple[float, float]] | None = None,
) -> SizeChoice:
    """The size of a pattern for a body, and what would then be altered.

    What is hardest to alter decides: for bodices, shirts, jackets and coats the chest (by the high bust rule where the high
    bust was taken), for trousers the hip, for skirts the hip or, where they hang loose, the waist. Where the finished girth
    there is known in any size it is compared with the ease that is wanted; else the printed chart is asked. Between two sizes
    the larger one is taken: taking in is easier than letting out.

    Parameters
    ----------
    pattern, body
        The pattern, with all its sizes, and who is to wear it.
    sort, cut
        As in :class:`firsthand.pattern.Garment`.
    beneath, stretch, thickness
        See :func:`firsthand.fit.ease_table`.
    wanted
        Ease that the brief asks for, least and most, mm, by level or measurement; it stands above the tables'.

    Raises
    ------
    GeometryError
        If a number has no sense.
    """
    refuse_nonsense(body)
    return _Choosing(Asked(pattern, body, sort, cut, dict(beneath or {}), stretch, thickness, dict(wanted or {}))).made()


@dataclass(frozen=True, slots=True)
class _Decided:
    """By what a size was decided."""

    size: str
    key: str
    by: str
    level: LevelSizes | None = None
    place: ChartPlace | None = None


@dataclass
class _Choosing:
    """One choice while it is made."""

    asked: Asked
    findings: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.pattern, self.body = self.asked.pattern, self.asked.body
        self.frame = bust_frame(self.body, self.asked.sort)
        self.levels = level_sizes(self.asked, self.frame)
        self.places = chart_places(self.pattern.sizes, self.pattern.chart, self.body, self.frame)

    def made(self) -> SizeChoice:
        self._uneven()
        decided = self._decided()
        self._missing(decided)
        if decided is None:
            return SizeChoice(self.pattern.id, "", chart=self.places, levels=self.levels, findings=tuple(self.findings))
        self._noticed(decided)
        blend = self._blend(decided)
        self.findings += blend.findings
        altered = (*(by_finished(level, decided.size) for level in self.levels), *self._by_chart(decided))
        beyond = self._beyond(decided)
        return SizeChoice(
            self.pattern.id,
            decided.size,
            decided.key,
            decided.level.level if decided.level else "",
            decided.by,
            self._reason(decided),
            exactly(decided.level) if decided.level else decided.place.words if decided.place else "",
            beyond,
            self._bust_to_add(altered),
            self.places,
            altered,
            blend.at,
            blend.after,
            self._graded(decided),
            tuple(self.findings),
            self._why(decided),
        )

    # what decides -------------------------------------------------------------------------------------------

    def _order(self) -> tuple[str, ...]:
        known = (*(level.body for level in self.pattern.levels), *chart_keys(self.pattern.chart))
        return deciding(self.asked.sort, self.asked.cut, known)

    def _decided(self) -> _Decided | None:
        for key in self._order():
            found = self._by_level(key) or self._by_place(key) or self._by_level(key, beyond=True)
            if found is not None:
                return found
        return None

    def _by_level(self, key: str, *, beyond: bool = False) -> _Decided | None:
        """By the finished girth; with ``beyond`` also where the outlines end before the body does and other sizes go on."""
        for level in self.levels:
            sizes = [(one.size, one.finished) for one in level.sizes if one.finished is not None]
            if level.key in (key, stand_in(key)) and level.frame is not None and level.band and sizes and grows(level):
                size = nearest_size(sizes, level.frame, level.band)
                if beyond or not self._outlines_end(size, sizes, off_band(dict(sizes)[size] - level.frame, level.band)):
                    return _Decided(size, key, FINISHED, level, self._place(key))
        return None

    def _outlines_end(self, size: str, outlined: Sequence[tuple[str, float]], off: float) -> bool:
        """Whether the pattern has a better size there, of which there is no outline."""
        first, last = self.pattern.sizes[0], self.pattern.sizes[-1]
        return (off < 0 and size == outlined[-1][0] != last) or (off > 0 and size == outlined[0][0] != first)

    def _by_place(self, key: str) -> _Decided | None:
        place = self._place(key)
        return None if place is None else _Decided(place.size, key, CHART, None, place)

    def _place(self, key: str) -> ChartPlace | None:
        return next((place for place in self.places if place.key in (key, stand_in(key))), None)

    def _reason(self, decided: _Decided) -> str:
        framed = self.frame is not None and decided.key in BUST and decided.key != "upper_chest_girth"
        name = "high bust" if framed else called(decided.key)
        source = "its finished girth" if decided.by == FINISHED else "the chart"
        reason = reason_of(self.asked.sort, self.asked.cut)
        return f"by the {name} and {source}{f': {reason}' if reason else ''}"

    # what is noticed ----------------------------------------------------------------------------------------

    def _uneven(self) -> None:
        for level in self.levels:
            if not grows(level):
                told = ", ".join(f"{one.size} {said(one.finished)}" for one in level.sizes if one.finished is not None)
                self._note(UNEVEN(f"the finished girths at the {level.name} do not grow with the sizes: {told}"), level.level)
        for key in chart_keys(self.pattern.chart):
            told_of = [(s, self.pattern.chart[s][key]) for s in self.pattern.sizes if key in self.pattern.chart.get(s, {})]
            if place_in(key, 1.0, told_of) is None:
                self._note(UNEVEN(f"the chart's {called(key)} does not grow from size to size"), key)

    def _note(self, finding: Finding, *where: str) -> None:
        self.findings.append(replace(finding, where=(self.pattern.id, *where)))

    def _missing(self, decided: _Decided | None) -> None:
        known = {level.body for level in self.pattern.levels} | set(chart_keys(self.pattern.chart))
        if not known or (decided is None and not self._outlined() and not self.pattern.chart):
            remedy = "Copy the size chart from the envelope, or take in an outline and say where its levels lie."
            self._note(NO_BASIS("there is neither a size chart nor an outline with levels", remedy=remedy))
            return
        wanted = self._wanted(known, decided)
        if decided is None and not wanted:
            self._note(NO_BASIS("nothing in the chart or at the levels tells the sizes apart", remedy="Look at the chart."))
        elif wanted:
            words = " or ".join(called(key) for key in wanted[:3])
            told = f"it was decided by the {called(decided.key)} instead" if decided else "nothing else decides"
            severity = Severity.NOTE if decided and wanted == ["upper_chest_girth"] else None
            message = f"{self.body.name}: not taken: {words}; {told}"
            self._note(MEASURE(message, remedy=f"Take the {words}.", severity=severity))

    def _wanted(self, known: set[str], decided: _Decided | None) -> list[str]:
        """Measurements not taken that would decide before what did."""
        wanted = []
        for key in self._order():
            if decided is not None and key == decided.key:
                break
            if key in known and taken(self.body, key) is None and stand_in(key) not in wanted:
                wanted.append(key)
        rule = bust_frame(_with_high_bust(self.body), self.asked.sort) is not None
        if decided is not None and decided.key in BUST and self.frame is None and rule:
            wanted.append("upper_chest_girth")
        return list(dict.fromkeys(wanted))

    def _outlined(self) -> bool:
        return any(piece.sizes for piece in self.pattern.pieces.values())

    def _noticed(self, decided: _Decided) -> None:
        if decided.by == CHART:
            remedy = "Measure the finished girth across the pieces before cutting."
            self._note(CHART_ONLY(f"size {decided.size} is by the chart alone: {called(decided.key)}", remedy=remedy))
        self._trimmed(decided)
        self._outside(decided)
        self._differs(decided)

    def _trimmed(self, decided: _Decided) -> None:
        if not self._off_paper(decided.size):
            return
        left = [size for size in self.pattern.sizes if not self._off_paper(size)]
        if len(left) > 1:
            remedy = f'Make it again from {left[-2]} and {left[-1]}: kind = "grade"; or alter the nearest size left.'
        else:
            remedy = "Alter the nearest size left, or get the pattern again."
        self._note(OFF_PAPER(f"size {decided.size} is not on the paper any more", remedy=remedy), decided.size)

    def _off_paper(self, size: str) -> bool:
        lacking = (piece for piece in self.pattern.pieces.values() if piece.sizes and size not in piece.sizes)
        return size in self.pattern.trimmed or next(lacking, None) is not None

    def _graded(self, decided: _Decided) -> str:
        lacking = any(piece.sizes and decided.size not in piece.sizes for piece in self.pattern.pieces.values())
        return decided.size if lacking else ""

    def _beyond(self, decided: _Decided) -> float:
        """How far the body lies above (or below) all sizes where it was decided, mm."""
        if decided.level is None or decided.level.frame is None or decided.level.band is None:
            return decided.place.beyond if decided.place else 0.0
        girths = [one.finished for one in decided.level.sizes if one.finished is not None]
        above = off_band(max(girths) - decided.level.frame, decided.level.band)
        below = off_band(min(girths) - decided.level.frame, decided.level.band)
        return -above if above < 0 else -below if below > 0 else 0.0

    def _outside(self, decided: _Decided) -> None:
        beyond = self._beyond(decided)
        step = self._step(decided, above=beyond > 0)
        steps = abs(beyond) / step if step else math.inf
        if not beyond or steps <= 0.5:  # the outermost sizes have half a step around them too
            return
        how = f", {steps:.1f} sizes" if math.isfinite(steps) else ""
        side = "above the largest" if beyond > 0 else "below the smallest"
        ends = decided.level is not None and decided.size != self.pattern.sizes[-1 if beyond > 0 else 0]
        words = (
            f"{called(decided.key)} {said(abs(beyond))} {side} size{' with an outline' if ends else ''}, {decided.size}{how}"
        )
        if steps <= FURTHEST or abs(beyond) <= A_SIZE:
            remedy = "Add the size to the pattern's list and chart and make it (kind grade), or alter; sew a toile first."
        else:
            remedy = "Measure again; if that is right, take another pattern: this one would lose its shape."
        self._note(OUTSIDE(words, remedy=remedy), decided.size)

    def _step(self, decided: _Decided, *, above: bool) -> float:
        """From the outermost size to the next, mm of girth."""
        if decided.level is not None:
            values = [one.finished for one in decided.level.sizes if one.finished is not None]
        else:
            key = decided.place.key if decided.place else decided.key
            rows = (self.pattern.chart.get(size, {}) for size in self.pattern.sizes)
            values = [row[key] for row in rows if key in row]
        if len(values) < 2:
            return 0.0
        return values[-1] - values[-2] if above else values[1] - values[0]

    def _differs(self, decided: _Decided) -> None:
        place, level = decided.place, decided.level
        if place is None or level is None or level.band is None or level.frame is None or place.size == decided.size:
            return
        there = level.in_size(place.size)
        if there is None or there.finished is None:
            return
        ease = there.finished - level.frame
        off = off_band(ease, level.band)
        if not off:
            return
        wanted = f"{said(level.band.low)} to {said(level.band.high)}"
        message = (
            f"the chart says {place.size} at the {called(decided.key)}, but {place.size} has {said(ease)} of ease there and "
            f"{wanted} is wanted: {decided.size}"
        )
        remedy = (
            "Go by the finished girth, or mean it to sit closer." if off < 0 else "Go by the finished girth, or mean it looser."
        )
        self._note(CHART_DIFFERS(message, remedy=remedy), level.level)

    # what follows -------------------------------------------------------------------------------------------

    def _blend(self, decided: _Decided) -> Blended:
        # Where the chart decides, no level holds the size there: what is blended elsewhere would draw everything after it.
        outlined = sum(1 for size in self.pattern.sizes if not self._off_paper(size))
        return blended(self.asked, self.levels, decided.size) if outlined > 1 and decided.level else Blended()

    def _by_chart(self, decided: _Decided) -> list[LevelSizes]:
        """What the chart alone says, of measurements that are compared with no finished girth."""
        compared = {level.key for level in self.levels if (one := level.in_size(decided.size)) and one.ease is not None}
        row = self.pattern.chart.get(decided.size, {})
        found = (
            by_chart(place, self.body, decided.size, row[place.key])
            for place in self.places
            if place.key in row and place.key not in compared and stand_in(place.key) not in compared
        )
        return [level for level in found if level is not None]

    def _bust_to_add(self, levels: Sequence[LevelSizes]) -> float:
        room = (level for level in levels if level.words.startswith("give ") and level.amount)
        return next((level.amount or 0.0 for level in room), 0.0)

    def _why(self, decided: _Decided) -> tuple[str, ...]:
        why = [f"what decides, the first that is known: {', '.join(called(key) for key in self._order()[:5])}"]
        if self.frame is not None and decided.key in BUST:
            high = self.body.value("upper_chest_girth")
            cup = f"high bust {said(high)} and a B cup of {said(self.frame - high)}"
            why.append(f"{cup}: the size for a full bust of {said(self.frame)}")
        if decided.level is not None and decided.level.band is not None:
            band = decided.level.band
            why.append(f"ease wanted there {said(band.low)} to {said(band.high)}: {band.source}")
        for place in self.places:
            why.append(f"chart, {called(place.key)} {said(place.body)}: {place.words}")
        return tuple(why)


def _with_high_bust(body: Body) -> Body:
    """The body as if its high bust had been taken: whether the rule would then apply."""
    from firsthand.body import Measurement

    return replace(body, measurements={"upper_chest_girth": Measurement("upper_chest_girth", 1.0), **body.measurements})
