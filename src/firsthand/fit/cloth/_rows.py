"""What a cloth does at one level, and how large the garment should be there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from firsthand.body import Body, taken
from firsthand.fit._bands import NECK_KEYS, ease_band
from firsthand.fit.cloth._available import Layers, Round, round_level
from firsthand.fit.cloth._pressure import band_of, laplace, mmhg, strain_at
from firsthand.fit.cloth._table import (
    ALIKE,
    CUTS_TIGHT,
    LAW,
    PULLED,
    SCATTER,
    SHARE,
    TOLD,
    pressure_limit,
)
from firsthand.fit.model import ClothRow, EaseBand, EaseRow
from firsthand.pattern import Garment, Level
from firsthand.units import said

__all__ = ["Asked", "cloth_row", "part", "percent"]

SLACK = 1.0
"""Ease this little outside its band, mm, is within it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is the same at all levels.

    Parameters
    ----------
    layers
        The cloths that go all round, by role, the shell first.
    expected
        What the pattern expects its cloth to stretch, as a share.
    share
        Which part of the stretch may be used up; None for the cautious one, within the band that the cut wants.
    known
        Whether the stretch of the shell is known.
    """

    layers: Layers
    expected: float
    share: float | None
    known: bool

    @property
    def most(self) -> float:
        """Which part of the stretch may be used up."""
        return SHARE if self.share is None else self.share


def percent(share: float) -> str:
    """A share in words.

    Examples
    --------
    >>> percent(0.1234), percent(-0.05), percent(0.6)
    ('12.3 %', '−5 %', '60 %')
    """
    return f"{round(share * 100, 1):g} %".replace("-", "−")


def part(share: float) -> str:
    """Which part is used up, in words.

    Examples
    --------
    >>> part(1 / 3), part(2 / 3), part(0.4)
    ('a third', 'two thirds', '40 %')
    """
    thirds = {1 / 3: "a third", 2 / 3: "two thirds"}
    return next((words for value, words in thirds.items() if abs(value - share) < 1e-6), percent(share))


def cloth_row(garment: Garment, body: Body, level: Level, row: EaseRow, now: EaseRow, asked: Asked) -> tuple[ClothRow, bool]:
    """What the cloths do at a level, and whether it is off what they ask for there.

    Parameters
    ----------
    row, now
        Its ease as far as the brief's alterations go, which the target is set against, and as it will be cut.
    """
    around = round_level(garment, level, asked.layers)
    strain = None if now.body is None or not now.finished else now.body / now.finished - 1
    target, off, reasons = _target(garment, body, row, around, asked)
    finished = row.finished
    reduction = 0.0 if target is None or finished is None else finished - target
    then = None if target is None or row.body is None else row.body / target - 1
    told = ClothRow(
        level=level.id,
        name=level.name,
        available=around.stretch,
        share=asked.most,
        reduction=reduction,
        strain=strain,
        pressure=_pressure(row.body_key, now.body, strain, around),
        why=(*_stretch_told(around, asked), *_as_it_is(now, strain, around), *reasons, *_pressed(now, strain, around)),
        body=row.body,
        finished=now.finished,
        target=target,
        target_strain=then,
        target_pressure=_pressure(row.body_key, row.body, then, around),
        limit=pressure_limit(row.body_key),
    )
    return told, off


_Target = tuple[float | None, bool, tuple[str, ...]]
"""The finished girth that the cloth asks for, None where it asks for nothing; whether the garment is off it; and why."""


def _target(garment: Garment, body: Body, row: EaseRow, around: Round, asked: Asked) -> _Target:
    if row.body is None or not row.finished or not asked.known:
        return None, False, ()
    if asked.share is None and abs(around.stretch - asked.expected) <= ALIKE:
        return None, False, (f"this cloth stretches as the pattern expects, within {percent(ALIKE)}: nothing to correct",)
    if row.body_key in NECK_KEYS:
        line = "nothing is cut smaller than the neck, and no cloth is stretched round it"
        return max(row.finished, row.body), row.finished < row.body, (line,)
    tight = garment.cut in CUTS_TIGHT
    if not tight and around.stretch >= asked.expected:
        return None, False, ("it is not meant to be stretched: more stretch changes nothing",)
    band = _band(garment, body, row, around)
    most, reasons = _most(body, row, around, asked)
    wanted, told = _wanted(row.body, band, most, asked if tight else None)
    target = row.body / (1 + wanted)
    if not tight:
        target = max(target, row.finished)
    reasons += (*told, f"so {said(target)}: {said(row.body)} / {said(target)} − 1 = {percent(wanted)} of strain")
    return target, _is_off(row, band, most, target, chosen=asked.share is not None and tight), reasons


def _is_off(row: EaseRow, band: EaseBand | None, most: float, target: float, *, chosen: bool) -> bool:
    """Whether a level is outside the band, or uses up more than it may; of a share that was chosen, whether it is not that."""
    body, finished = row.body or 0.0, row.finished or 0.0
    if chosen or band is None:
        return abs(finished - target) > max(SLACK, TOLD * target)
    within = band.low - SLACK <= finished - body <= band.high + SLACK
    return not within or finished < body / (1 + most) - SLACK


def _wanted(body: float, band: EaseBand | None, most: float, asked: Asked | None) -> tuple[float, tuple[str, ...]]:
    """The strain wanted, and why: the middle of the band, or what was chosen, never more than the most."""
    if asked is not None and asked.share is not None:
        return most, (f"the share of the stretch was chosen: {percent(asked.share)} of it",)
    if band is None:
        return most, ()
    middle = (band.low + band.high) / 2
    strain = body / (body + middle) - 1
    line = f"wanted {said(band.low)} to {said(band.high)} of ease, the middle {said(middle)}: {percent(strain)} of strain"
    return min(strain, most), (line, *(("that is more than may be used",) if strain > most else ()))


def _most(body: Body, row: EaseRow, around: Round, asked: Asked) -> tuple[float, tuple[str, ...]]:
    """The most strain that may be used, and why."""
    most = asked.most * around.stretch
    source = "common practice; sources go up to two thirds" if asked.share is None else "as chosen"
    reasons = [f"of {percent(around.stretch)} at most {part(asked.most)} is used up: {percent(most)} ({source})"]
    if body.child:
        return 0.0, (*reasons, "for a child nothing is stretched: the cloth lies on the body and does not press")
    if around.stiffness and row.body:
        limit = pressure_limit(row.body_key)
        presses = strain_at(limit, row.body, around.stiffness)
        if presses < most:
            most = presses
            reasons.append(f"above {percent(presses)} it might press with more than {mmhg(limit):.0f} mmHg")
    return most, tuple(reasons)


def _band(garment: Garment, body: Body, row: EaseRow, around: Round) -> EaseBand | None:
    """The ease wanted there, in cloths that stretch as these do."""
    measured = taken(body, row.body_key)
    if measured is None:
        return row.band
    return ease_band(garment.sort, garment.cut, row.body_key, body=measured.value, stretch=around.stretch) or row.band


# pressure ---------------------------------------------------------------------------------------------------


def _pressure(key: str, body: float | None, strain: float | None, around: Round) -> tuple[float, float] | None:
    """Lowest and highest pressure, kPa; None where it cannot be said, and round the neck, where none is allowed."""
    if key in NECK_KEYS or not body or strain is None or not around.stiffness:
        return None
    if strain > around.pulled * PULLED:
        return None
    return band_of(laplace(around.stiffness * max(0.0, strain), body))


def _stretch_told(around: Round, asked: Asked) -> Iterator[str]:
    if not asked.known:
        yield "nobody measured how far this knit stretches"
        return
    where = "" if around.across > ALL else ", with the part of the level that runs lengthwise"
    yield f"stretch round the body {percent(around.shell)}{where}; the pattern expects {percent(asked.expected)}"
    if around.stretch < around.shell:
        yield f"the {around.least} stretches only {percent(around.stretch)} and goes no further"


ALL = 0.9
"""From this share on a level is said to run crosswise."""


def _as_it_is(now: EaseRow, strain: float | None, around: Round) -> Iterator[str]:
    if strain is None or now.body is None or now.finished is None:
        return
    line = f"as it is: {said(now.body)} of body / {said(now.finished)} finished − 1 = {percent(strain)} of strain"
    if strain <= 0:
        yield f"{line}: it is not stretched"
    else:
        yield line + (f", {percent(strain / around.stretch)} of the stretch there is" if around.stretch else "")


def _pressed(now: EaseRow, strain: float | None, around: Round) -> Iterator[str]:
    if now.body_key in NECK_KEYS or not now.body or strain is None or strain <= 0:
        return
    if not around.stiffness:
        yield f"pressure not known: nobody pulled a strip of the {' and '.join(around.unknown)} this way"
    elif strain > around.pulled * PULLED:
        yield f"pressure not known: the strip was pulled to {percent(around.pulled)} only; pull it to {percent(strain)}"
    else:
        tension = around.stiffness * strain
        pressure = laplace(tension, now.body)
        low, high = band_of(pressure)
        yield (
            f"tension {tension:.0f} N/m at {percent(strain)}, in proportion from {around.stiffness * around.pulled:.0f} N/m "
            f"at {percent(around.pulled)}; {LAW}"
        )
        yield (
            f"on a girth of {said(now.body)}: {pressure:.2f} kPa, {mmhg(pressure):.1f} mmHg; "
            f"{mmhg(low):.0f} to {mmhg(high):.0f} mmHg, for {SCATTER}"
        )
