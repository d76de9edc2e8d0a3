"""What is said about a cloth on a garment."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from firsthand.errors import FirsthandError
from firsthand.fabric import Fabric
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.fit.cloth._correct import Correction
from firsthand.fit.cloth._pressure import mmhg
from firsthand.fit.cloth._rows import percent
from firsthand.fit.cloth._table import CAUTION, GROWS, LIGHT, STITCH, STRAINED
from firsthand.fit.cloth._thick import Thick
from firsthand.fit.model import ClothFit, ClothRow, StretchingSeam, Way
from firsthand.pattern import Garment, girth
from firsthand.units import said

__all__ = [
    "correction", "grows", "no_reach", "other_way", "presses", "seams", "stiff_layers", "strained", "stretch_unknown", "thick",
    "uncertain",
]  # fmt: skip

UNKNOWN = kind(
    "cloth-stretch-unknown", Severity.DOUBT,
    "The garment counts on the stretch of a knit that nobody measured, so no correction can be worked out. Fold it against a "
    "ruler; the command cloth tells how.",
)  # fmt: skip
NO_REACH = kind(
    "cloth-no-reach", Severity.FAULT,
    "Even at full stretch the cloth does not reach round the body at a level, so the garment cannot be put on. It needs a "
    "larger size, a cloth that stretches more, or an opening.",
)  # fmt: skip
STRAINED_FAR = kind(
    "cloth-strained", Severity.DOUBT,
    "As the garment will be cut, the cloth is stretched further at a level than the share of its stretch that may be used up. "
    "It is then hard to put on, its seams may burst, and it presses.",
)  # fmt: skip
PRESSES = kind(
    "cloth-presses", Severity.DOUBT,
    "By Laplace's law the stretched cloth may press on the body with more than is safe for a costume. Cut it larger there. "
    "Take it off if anything goes numb or cold or breath is short; a doctor's word counts more than any number here.",
)  # fmt: skip
OTHER_WAY = kind(
    "cloth-other-way", Severity.DOUBT,
    "The cloth stretches most lengthwise, and the garment wants its stretch round the body. Turn the layout: lay the pieces "
    "with their grain across the cloth.",
)  # fmt: skip
GROWING = kind(
    "cloth-grows", Severity.DOUBT,
    "The cloth does not come back from being stretched, so what is tight bags out at knees, seat and elbows.",
)  # fmt: skip
STIFF = kind(
    "cloth-stiff-layer", Severity.DOUBT,
    "A lining or mounting that goes all the way round stretches less than the shell has to: it holds the shell back or bursts.",
)  # fmt: skip
CORRECTED = kind(
    "cloth-correction", Severity.NOTE,
    "The cloth stretches otherwise than the pattern expects. By level it is said how much smaller or larger it should be cut; "
    "the alteration was tried and measured again.",
)  # fmt: skip
NOT_CORRECTED = kind(
    "cloth-not-corrected", Severity.DOUBT,
    "The cloth asks for other girths than the pattern has, and no alteration leads to all of them, or one would make the "
    "neckline smaller than the neck allows. Alter it by hand.",
)  # fmt: skip
THICK = kind(
    "cloth-thick", Severity.NOTE,
    "The cloth is thicker than the pattern expects: by level and layer it is said how much more it needs round the body and at "
    "turned edges; the alterations were tried and measured again.",
)  # fmt: skip
SEAMS = kind(
    "cloth-seams", Severity.NOTE,
    "These seams and edges lie where the cloth is stretched when it is worn, and must stretch as far as the cloth.",
)  # fmt: skip
UNSURE = kind(
    "cloth-uncertain", Severity.NOTE,
    "It is not certain how the cloth will behave. There are three ways: cut to the computed size, cut with inlays and baste on "
    "the computed line first, or make a toile of the same stretch.",
)  # fmt: skip

ACCEPT = "Accept it with `firsthand accept COSTUME {} --cloth`, or write it into costume.toml."


def stretch_unknown(garment: Garment, fabric: Fabric) -> Finding:
    """A knit that nobody measured."""
    remedy = f"Fold it and pull it against a ruler: firsthand cloth {fabric.id} tells how."
    return UNKNOWN(f"{fabric.name}: nobody measured how far it stretches", where=(garment.id, fabric.id), remedy=remedy)


def no_reach(garment: Garment, fabric: Fabric, rows: Sequence[ClothRow]) -> Iterator[Finding]:
    """Levels that the cloth does not reach round, with what would make it possible."""
    for row in rows:
        if row.body is None or not row.finished or row.finished * (1 + row.available) >= row.body:
            continue
        yield NO_REACH(
            f"{fabric.name} stretches to {said(row.finished * (1 + row.available))} at the {row.name.lower()}, the body is "
            f"{said(row.body)}: it cannot be put on",
            where=(garment.id, row.level), remedy=_possible(garment, row), blocks=[Block("cut", garment.id)], why=row.why,
        )  # fmt: skip


def _possible(garment: Garment, row: ClothRow) -> str:
    """What would make it possible to put the garment on."""
    body, finished = row.body or 0.0, row.finished or 0.0
    least = body / (1 + row.available)
    easily = body / (1 + row.share * row.available)
    told = f"It takes a finished girth of at least {said(least)}, better {said(easily)} ({said(easily - finished)} more)"
    size = _size_of(garment, row.level, least)
    told += f": size {size} has it" if size else ""
    cloth = f", or a cloth that stretches at least {percent((body / finished - 1) / row.share)}" if row.share else ""
    return f"{told}{cloth}, or an opening with a closure."


def _size_of(garment: Garment, name: str, least: float) -> str:
    """The smallest size of the pattern whose finished girth at a level is enough; empty if none is, or none can be measured."""
    level = next(one for one in garment.levels if one.id == name)
    for size in garment.sizes:
        pieces = {key: piece.in_size(size) if size in piece.sizes else piece for key, piece in garment.pieces.items()}
        try:
            total = girth(replace(garment, pieces=pieces), level).total
        except FirsthandError:
            continue
        if size != garment.size and total is not None and total >= least:
            return size
    return ""


def strained(garment: Garment, fabric: Fabric, rows: Sequence[ClothRow]) -> Iterator[Finding]:
    """Levels that use up more of the stretch than they may."""
    for row in rows:
        allowed = row.share * row.available
        if row.strain is None or row.strain <= max(allowed, 0.0) + 0.005 or row.strain > row.available or row.body is None:
            continue
        wants = row.body / (1 + allowed)
        yield STRAINED_FAR(
            f"at the {row.name.lower()} {fabric.name} is stretched {percent(row.strain)}, at most {percent(allowed)} is good",
            where=(garment.id, row.level), why=row.why,
            remedy=f"Cut it at least {said(wants)} round there, {said(wants - (row.finished or wants))} more.",
        )  # fmt: skip


def presses(garment: Garment, fabric: Fabric, rows: Sequence[ClothRow], *, child: bool) -> Iterator[Finding]:
    """Levels where the cloth may press too much; on a child, wherever it presses at all."""
    for row in rows:
        limit = 0.0 if child else row.limit
        if row.pressure is None or row.pressure[1] <= limit or (child and (row.strain or 0.0) < STRAINED):
            continue
        low, high = (mmhg(end) for end in row.pressure)
        most = "a child's clothes should not press" if child else f"above {mmhg(limit):.0f} mmHg take care"
        yield PRESSES(
            f"at the {row.name.lower()} {fabric.name} may press with {low:.0f} to {high:.0f} mmHg "
            f"({row.pressure[0]:.1f} to {row.pressure[1]:.1f} kPa); {most}",
            where=(garment.id, row.level), remedy=f"Cut it larger there. {CAUTION}", why=(*row.why, LIGHT),
        )  # fmt: skip


def other_way(garment: Garment, fabric: Fabric, expected: float) -> Iterator[Finding]:
    """The greatest stretch runs lengthwise."""
    if fabric.stretch_along <= fabric.stretch_across * 1.1 + 0.02 or fabric.stretch_along < STRAINED:
        return
    yield OTHER_WAY(
        f"{fabric.name} stretches {percent(fabric.stretch_along)} lengthwise and {percent(fabric.stretch_across)} crosswise",
        where=(garment.id, fabric.id),
        remedy="Turn the layout so that the greatest stretch runs round the body: turn each piece's grain line across, "
        "and mind the nap and the width.",
        why=(f"the pattern expects {percent(expected)} round the body",),
    )  # fmt: skip


def grows(garment: Garment, fabric: Fabric, rows: Sequence[ClothRow]) -> Iterator[Finding]:
    """A cloth that does not recover, on a garment that stretches it."""
    worst = max(rows, key=lambda row: row.strain or 0.0, default=None)
    if worst is None or (fabric.growth or 0.0) <= GROWS or (worst.strain or 0.0) <= STRAINED or not worst.finished:
        return
    more = worst.finished * (fabric.growth or 0.0)
    yield GROWING(
        f"{fabric.name} grows by {percent(fabric.growth or 0.0)}: at the {worst.name.lower()} it stays {said(more)} longer",
        where=(garment.id, fabric.id),
        remedy="Use another cloth for what is tight, or wear it little stretched and back knees and seat.",
        why=(f"more than {percent(GROWS)} is poor for tight wear (common practice)",),
    )  # fmt: skip


def stiff_layers(garment: Garment, layers: Mapping[str, Fabric], rows: Sequence[ClothRow]) -> Iterator[Finding]:
    """Linings and mountings that stretch less than the garment is stretched."""
    most = max((row.strain or 0.0 for row in rows), default=0.0)
    for role, cloth in layers.items():
        if role != "shell" and most > max(cloth.stretch_across, 0.01):
            yield STIFF(
                f"the {role} of {cloth.name} stretches {percent(cloth.stretch_across)}, the garment {percent(most)}",
                where=(garment.id, role), remedy=f"Cut the {role} of a cloth that stretches as far as the shell, or with ease.",
            )  # fmt: skip


def correction(garment: Garment, fabric: Fabric, fit: ClothFit, found: Correction, *, taken_in: bool) -> Iterator[Finding]:
    """What should be cut smaller or larger, or why it cannot be."""
    if found.trouble:
        yield NOT_CORRECTED(
            f"{garment.name or garment.id} cannot be brought to what {fabric.name} asks for: {found.trouble}",
            where=(garment.id, fabric.id), remedy="Alter it by hand with the kinds stretch, neckline and take-in.", why=fit.why,
        )  # fmt: skip
    if not found.alterations or found.trouble:
        return
    remedy = ACCEPT.format(garment.id)
    if taken_in:
        remedy = "It is taken in evenly as it stands; this does it level by level instead. Use one of the two."
    why = tuple(f"{row.name}: {line}" for row in fit.rows if row.target is not None for line in row.why)
    yield CORRECTED(fit.words.rstrip("."), where=(garment.id, fabric.id), remedy=remedy, why=(*why, *fit.why))


def thick(garment: Garment, fabric: Fabric, found: Thick) -> Iterator[Finding]:
    """What thick cloth needs."""
    if not found.alterations:
        return
    told = ", ".join(f"{said(more)} at the {level}" for level, more in found.grows)
    turns = [one.id for one in found.alterations if one.kind == "turn-of-cloth"]
    words = "; ".join(part for part in (told, ", ".join(turns)) if part)
    yield THICK(
        f"{fabric.name} is {found.extra:g} mm thicker than the pattern expects: {words}",
        where=(garment.id, fabric.id), remedy=f"{ACCEPT.format(garment.id)} Grade the seams.", why=found.why,
    )  # fmt: skip


def seams(garment: Garment, fabric: Fabric, found: Sequence[StretchingSeam]) -> Iterator[Finding]:
    """The seams that must stretch."""
    if not found:
        return
    most = max(one.strain for one in found)
    yield SEAMS(
        f"{len(found)} seams and edges must stretch with {fabric.name}, by {percent(most)} and more when it is put on",
        where=(garment.id, fabric.id), remedy=f"Sew them with a {STITCH}. Pull a sewn scrap as far as the cloth goes.",
        why=tuple(f"{one.seam}: {one.runs} the body, {percent(one.strain)} beside it" for one in found),
    )  # fmt: skip


def uncertain(garment: Garment, fabric: Fabric, found: Sequence[Way]) -> Iterator[Finding]:
    """The three ways, with the one that is advised."""
    advised = next((way for way in found if way.advised), None)
    if advised is None:
        return
    others = tuple(
        f"{way.words} About {way.minutes:.0f} min more, {said(way.cloth)} of cloth more; {way.why}." for way in found
    )
    yield UNSURE(f"{fabric.name}: {advised.why}", where=(garment.id, fabric.id), remedy=f"Advised: {advised.words}", why=others)
