"""What a cloth other than the pattern expects does to the fit, and what puts the pattern right."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from firsthand.body import Body
from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, Structure
from firsthand.findings import Finding
from firsthand.fit._bands import NECK_KEYS
from firsthand.fit._lengths import length_table
from firsthand.fit.cloth import _findings as said_of
from firsthand.fit.cloth._correct import NEAR, Correction, correction, lengthwise
from firsthand.fit.cloth._rows import Asked, cloth_row, percent
from firsthand.fit.cloth._seams import stretching_seams
from firsthand.fit.cloth._table import GROWS, MOST_SHARE, STRAINED
from firsthand.fit.cloth._thick import Thick, for_thickness
from firsthand.fit.cloth._ways import ways
from firsthand.fit.model import ClothFit, ClothRow, EaseRow, StretchingSeam, Verdict
from firsthand.pattern import Garment
from firsthand.units import said

__all__ = ["Cloth", "cloth_fit"]


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth a garment is cut of, and what its pattern expects of one: what :func:`cloth_fit` is put.

    Parameters
    ----------
    fabric
        Of the shell; None if none is bound to it.
    stretch, thickness
        What the pattern expects.
    share
        Which part of the stretch may be used up; None for the cautious one.
    layers
        Cloths of other roles, by role.
    """

    fabric: Fabric | None = None
    stretch: float = 0.0
    thickness: float = 0.0
    share: float | None = None
    layers: Mapping[str, Fabric] = field(default_factory=dict)


ROUND_THE_BODY = ("lining", "mounting")
"""Roles other than the shell that go all the way round (common practice)."""


def cloth_fit(
    garment: Garment,
    body: Body,
    *,
    fabric: Fabric | None,
    pattern_stretch: float,
    pattern_thickness: float,
    rows: Sequence[EaseRow],
    now: Sequence[EaseRow] | None = None,
    share: float | None = None,
    layers: Mapping[str, Fabric] | None = None,
    done: Collection[str] = (),
) -> ClothFit:
    """What the cloth does at each level, and the alterations that put the pattern right for it.

    A pattern has the ease in it that its maker gave it for the stretch that it expects: what is altered is the difference
    between the girth that it has and the one that this cloth asks for, so that nothing is taken out twice. That girth lies in
    the middle of the ease that the garment's cut wants in such a cloth, never tighter than a share of the stretch allows, never
    so tight that the pressure needs a caution, and round the neck never smaller than the neck.

    Parameters
    ----------
    garment, body
        The garment as far as its brief's alterations go, and who wears it.
    fabric
        The cloth of its shell; None if no cloth is bound to it.
    pattern_stretch, pattern_thickness
        What the pattern expects: least crosswise stretch as a share, greatest thickness in mm (0 if it does not say).
    rows
        The garment's ease table.
    now
        The same of the garment as it will be cut, after what is taken in; where left out it is cut as it is.
    share
        Which part of the stretch may be used up, up to two thirds; None for a third, within the band that the cut wants.
    layers
        The cloths of other roles that go all the way round, by role: a lining, a mounting.
    done
        Kinds of alterations that the garment has had: what it was let out for its thickness is not let out again.

    Raises
    ------
    GeometryError
        If an expectation or the share has no sense.
    """
    for name, value in (("stretch", pattern_stretch), ("thickness", pattern_thickness)):
        if not (math.isfinite(value) and value >= 0):
            raise GeometryError(f"a pattern cannot expect a {name} of {value}")
    if share is not None and not 0 <= share <= MOST_SHARE + 1e-9:
        raise GeometryError(f"from nothing to two thirds of the stretch may be used up, not {share:g}")
    if fabric is None:
        return ClothFit(words="No cloth is bound to its shell.")
    known = bool(fabric.stretch_across) or fabric.structure is not Structure.KNIT
    around = {"shell": fabric} | {
        role: cloth
        for role, cloth in (layers or {}).items()
        if role in ROUND_THE_BODY and any(part.role == role for part in garment.parts)
    }
    asked = Asked(around, pattern_stretch, share, known)
    worked = _rows(garment, body, rows, now or rows, asked)
    made, off = tuple(row for row, _ in worked), any(is_off for _, is_off in worked)
    changed = now is not None and tuple(now) != tuple(rows)
    return _Answer(garment, body, fabric, asked, pattern_thickness, made, off, changed, frozenset(done)).told()


_Worked = tuple[tuple[ClothRow, bool], ...]
"""The rows, each with whether its level is off what the cloth asks for."""


def _rows(garment: Garment, body: Body, rows: Sequence[EaseRow], now: Sequence[EaseRow], asked: Asked) -> _Worked:
    before, after = ({row.level: row for row in given} for given in (rows, now))
    return tuple(
        cloth_row(garment, body, level, before[level.id], after.get(level.id, before[level.id]), asked)
        for level in garment.levels
        if level.id in before
    )


@dataclass(frozen=True, slots=True)
class _Answer:
    """All that is known, from which the answer is put together."""

    garment: Garment
    body: Body
    fabric: Fabric
    asked: Asked
    thickness: float
    rows: tuple[ClothRow, ...]
    off: bool
    """Whether a level is not as the cloth asks for: where all are, nothing is altered."""
    taken_in: bool
    done: frozenset[str] = frozenset()

    def told(self) -> ClothFit:
        along, found = self._correction()
        thick = Thick() if found.alterations else for_thickness(self.garment, self.fabric, self.thickness, self.done)
        rows = tuple(self._kept(row, found) for row in self.rows)
        seams = stretching_seams(self.garment, rows) if self._stretches else ()
        offered = ways(self.garment, self.fabric, tuple(self._doubts(rows, found)), _difference(rows), unsure=self._unsure)
        fit = ClothFit(
            rows=rows,
            alterations=(*found.alterations, *thick.alterations),
            ways=offered,
            words=self._words(rows, found, thick),
            seams=seams,
            why=(*self._why(along, found), *thick.why),
            fabric=self.fabric.id,
        )
        return replace(fit, findings=tuple(self._findings(fit, found, thick, seams)))

    def _correction(self) -> tuple[float, Correction]:
        """The correction, with the share taken out lengthwise: none where a length would become too short by it."""
        if not self.off:
            return 0.0, Correction()
        along = lengthwise(self.rows, self.fabric, self.garment.cut)
        found = correction(self.garment, self.body, self.rows, along)
        if along <= 0 or not self._short(found.after):
            return along, found
        return 0.0, correction(self.garment, self.body, self.rows, 0.0)

    def _short(self, garment: Garment | None) -> bool:
        """Whether a length of the body, as from waist to waist through the fork, is too short in a garment."""
        if garment is None:
            return False
        lengths = length_table(garment, self.body, stretch=self.fabric.stretch_across, along=self.fabric.stretch_along)
        return any(row.verdict is Verdict.TIGHT for row in lengths)

    def _kept(self, row: ClothRow, found: Correction) -> ClothRow:
        """A row whose target nothing leads to has none: it is right as it is, or it could not be brought there."""
        if found.reached and row.level in found.reached:
            return row
        if row.target is None or found.trouble:
            return row
        line = "right as it is for this cloth" if not self.off else "left as it is"
        why = (*row.why, line)
        return replace(row, target=None, target_strain=None, target_pressure=None, reduction=0.0, why=why)

    @property
    def _stretches(self) -> bool:
        return self.fabric.stretch_across > 0 or self.fabric.stretch_along > 0

    @property
    def _unsure(self) -> bool:
        return not self.asked.known or (self.fabric.growth or 0.0) > GROWS

    @property
    def _counts(self) -> bool:
        """Whether the stretch of the cloth counts at all: the cut or the pattern wants it, or some level uses it."""
        strained = any((row.strain or 0.0) > STRAINED and row.available > 0 for row in self._round(self.rows))
        return self.asked.expected > 0 or self.garment.cut == "skin-tight" or strained

    def _doubts(self, rows: Iterable[ClothRow], found: Correction) -> Iterator[str]:
        strained = any(max(row.strain or 0.0, row.target_strain or 0.0) > STRAINED for row in self._round(rows))
        if not (self._counts and (strained or found.alterations or not self.asked.known)):
            return
        if not self.asked.known:
            yield "nobody measured how far this knit stretches"
        if self.fabric.growth is None and strained:
            yield "nobody measured how well this cloth recovers"
        elif (self.fabric.growth or 0.0) > GROWS:
            yield f"this cloth grows by {percent(self.fabric.growth or 0.0)}"
        if (most := _difference(rows)) > 0.03:
            yield f"it differs by up to {percent(most)} from the pattern"

    def _words(self, rows: Iterable[ClothRow], found: Correction, thick: Thick) -> str:
        if found.alterations:
            told = ", ".join(
                f"{row.name.lower()} {said(row.target)}" for row in rows if row.target is not None and abs(row.reduction) > NEAR
            )
            smaller = math.fsum(row.reduction for row in rows) > 0
            neck = f"; the neckline lowered by {said(found.neck)} so that it stays as large" if found.neck else ""
            return f"Cut {'smaller' if smaller else 'larger'} for {self.fabric.name}: {told}{neck}."
        if thick.alterations:
            return f"Let out for {self.fabric.name}, which is {thick.extra:g} mm thicker than the pattern expects."
        if self.off:
            return "The pattern could not be brought to what this cloth asks for."
        return "The pattern needs no correction for this cloth."

    def _why(self, along: float, found: Correction) -> Iterator[str]:
        if not found.alterations:
            if found.trouble:
                yield found.trouble
            return
        if along or not self._short(found.after):
            yield f"lengthwise {percent(along)}: a quarter of that round, at most 3 % (common practice: little or none)"
        else:
            yield "nothing is taken out lengthwise: a length of the body is short already"
        for level, reached in (found.reached or {}).items():
            yield f"tried and measured again: {level} {said(reached)}"
        if found.neck:
            yield f"the neckline is lowered by {said(found.neck)}, so that it stays as large as it was"

    # findings ---------------------------------------------------------------------------------------------------

    def _findings(self, fit: ClothFit, found: Correction, thick: Thick, seams: tuple[StretchingSeam, ...]) -> Iterator[Finding]:
        garment, fabric = self.garment, self.fabric
        if self._counts:
            if not self.asked.known:
                yield said_of.stretch_unknown(garment, fabric)
            yield from said_of.no_reach(garment, fabric, self._round(fit.rows))
            yield from said_of.strained(garment, fabric, self._round(fit.rows))
            yield from said_of.other_way(garment, fabric, self.asked.expected)
            yield from said_of.grows(garment, fabric, self._round(fit.rows))
            yield from said_of.stiff_layers(garment, self.asked.layers, self._round(fit.rows))
        yield from said_of.presses(garment, fabric, self._round(fit.rows), child=self.body.child)
        yield from said_of.correction(garment, fabric, fit, found, taken_in=self.taken_in)
        yield from said_of.thick(garment, fabric, thick)
        yield from said_of.seams(garment, fabric, seams)
        yield from said_of.uncertain(garment, fabric, fit.ways)

    def _round(self, rows: Iterable[ClothRow]) -> list[ClothRow]:
        """The rows of all levels but those at the neck."""
        necks = {level.id for level in self.garment.levels if level.body in NECK_KEYS}
        return [row for row in rows if row.level not in necks]


def _difference(rows: Iterable[ClothRow]) -> float:
    return max((abs(row.reduction) / (row.target + row.reduction) for row in rows if row.target), default=0.0)
