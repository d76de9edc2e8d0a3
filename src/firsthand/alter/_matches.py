"""What matched before a stack and does not after it: seams, notches, corners, and the garment as a whole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from firsthand.alter._meetings import MEANT, meetings
from firsthand.alter._seams import Stage, seams_off, touched
from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment, assemble, is_backing, single_seams, walk_seam
from firsthand.units import said

__all__ = ["corners_off", "no_longer_matches"]

NOTCHES_OFF = kind(
    "alteration-notches-off",
    Severity.DOUBT,
    "Notches on the two sides of a seam met before the alterations and do not any more. The alteration named is the one since "
    "which they do not. Mark one of them anew where the other one comes, once the seam itself is right.",
)
CORNERS_OFF = kind(
    "alteration-corners-off",
    Severity.NOTE,
    "Two edges ran smoothly into each other across a seam before the alterations (a hem, a neckline, an armhole) and make a "
    "corner there now. Add an alteration of the kind true at the end of the stack, or redraw them by hand.",
)
ASSEMBLY_OFF = kind(
    "alteration-assembly-off",
    Severity.FAULT,
    "With all seams sewn, the garment has other openings than before the alterations, or hangs together otherwise: an "
    "alteration lost a seam, or closed an opening. Look at the one named.",
)

MISSED = 3.0
"""How far two notches may miss each other, mm. Source: common practice."""
CORNER = math.radians(2.0)
"""A corner of more than this is seen across a seam. Source: our own choice."""


def no_longer_matches(before: Garment, stages: Sequence[Stage]) -> tuple[Finding, ...]:
    """A finding for each thing that matched before and does not in the end, put down to the stage since which it does not.

    Parameters
    ----------
    before
        The garment as it was.
    stages
        What was done to it, in order.
    """
    if not stages:
        return ()
    off = seams_off(before, stages)
    odd = {finding.where[1] for finding in off}
    return (*off, *_notches_off(before, stages, odd), *corners_off(before, stages), *_assembly_off(before, stages))


def corners_off(before: Garment, stages: Sequence[Stage]) -> tuple[Finding, ...]:
    """A finding for each seam at which edges ran on smoothly before and do not in the end."""
    if not stages:
        return ()
    was, now = _corners(before), _corners(stages[-1][1])
    fresh = {name for name, gap in now.items() if CORNER < abs(gap) <= MEANT and abs(was.get(name, math.inf)) <= CORNER}
    if not fresh:
        return ()
    each = [*(_corners(garment) for _, garment in stages[:-1]), now]
    return tuple(
        CORNERS_OFF(
            f"since {_since(stages, [abs(corners.get(name, 0.0)) > CORNER for corners in each])} "
            f"{name[1]} makes a corner of {math.degrees(abs(now[name])):.0f} degrees across the seam {name[0]}",
            where=(before.id, name[0], name[1]),
            remedy="Add an alteration of the kind true, or redraw the two edges.",
        )
        for name in sorted(fresh)
    )


def _corners(garment: Garment) -> dict[tuple[str, str], float]:
    """By seam and edge beside it the corner that edge makes with the one across."""
    return {
        (meeting.seam, f"{meeting.beside_one[0]}.{meeting.beside_one[1]}"): meeting.gap
        for meeting in meetings(garment)
        if meeting.one_line
    }


def _since(stages: Sequence[Stage], off: Sequence[bool]) -> str:
    """The stage since which something has been off without a break; for each stage whether it is."""
    fits = [number for number, wrong in enumerate(off) if not wrong]
    return stages[fits[-1] + 1 if fits else 0][0]


def _notches_off(before: Garment, stages: Sequence[Stage], odd: set[str]) -> Iterator[Finding]:
    after = stages[-1][1]
    ids, known = {seam.id for seam in before.seams}, set(before.seams)
    for name, seam in single_seams(after):
        if seam.id not in ids or seam.id in odd or (seam in known and not touched(before, after, seam)):
            continue
        gap = _worst_gap(after, seam.id)
        if gap <= MISSED or _worst_gap(before, seam.id) > MISSED:
            continue
        since = _since(stages, [_worst_gap(garment, seam.id) > MISSED for _, garment in stages])
        yield NOTCHES_OFF(
            f"since {since} notches of the seam {name} miss each other by {said(gap)}",
            where=(before.id, seam.id),
            remedy="Mark one of them anew where the other one comes.",
        )


def _worst_gap(garment: Garment, name: str) -> float:
    """The farthest that two notches of a seam miss each other, mm; 0 where none have partners."""
    seam = next((seam for seam in garment.seams if seam.id == name), None)
    try:
        gaps = walk_seam(garment, seam).notch_gaps if seam else ()
    except FirsthandError:
        return 0.0
    return max((abs(gap.gap) for gap in gaps if math.isfinite(gap.gap)), default=0.0)


def _assembly_off(before: Garment, stages: Sequence[Stage]) -> Iterator[Finding]:
    after = stages[-1][1].pieces
    if any(piece.is_card and name in after and not after[name].is_card for name, piece in before.pieces.items()):
        return  # a size was made again of pieces without outline: there was nothing to compare with
    was, now = _surface(before), _surface(stages[-1][1])
    if was == now:
        return
    words = []
    if was[0] != now[0]:
        words.append(f"has {now[0]} openings instead of {was[0]}")
    if was[1] != now[1]:
        words.append(f"hangs together in {now[1]} bodies instead of {was[1]}")
    if was[2] != now[2]:
        words.append("has the face of the cloth inside somewhere" if was[2] else "has the face of the cloth outside everywhere")
    since = _since(stages, [_surface(garment) != was for _, garment in stages])
    yield ASSEMBLY_OFF(
        f"since {since} the sewn garment {' and '.join(words)}",
        where=(before.id,),
        remedy="Look at what that alteration did to its seams.",
    )


def _surface(garment: Garment) -> tuple[int, int, bool]:
    """Openings and bodies with all seams sewn, and whether the face of the cloth can lie outside everywhere.

    A part of a piece that no seam names is a body with one opening, so that one may be split.
    """
    assembly, alone = assemble(garment), _alone(garment)
    return len(assembly.loops) + alone, len(assembly.components) + alone, assembly.orientable


def _alone(garment: Garment) -> int:
    """How many parts there are of pieces that no seam names, in their first role that does not lie behind another."""
    sewn = {ref.piece for seam in garment.seams for ref in (*seam.a, *seam.b)}
    count = 0
    for piece in garment.pieces.values():
        if piece.id not in sewn and piece.shape is not None:
            role = next((cut.role for cut in piece.cuts if not is_backing(cut.role)), None)
            count += sum(part.role == role for part in garment.parts_of(piece.id))
    return count
