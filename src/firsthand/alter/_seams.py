"""Seams that fitted before a stack and do not after it."""

from __future__ import annotations

from collections.abc import Sequence

from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment, Seam, single_seams, walk_seam
from firsthand.units import said

__all__ = ["Stage", "seam_difference", "seams_off", "touched"]

SEAM_OFF = kind(
    "alteration-seam-off",
    Severity.DOUBT,
    "The two sides of a seam fitted before the alterations and do not any more, because only one of them was moved, or both by "
    "different lengths. The alteration named is the one after which it did not fit any more. Alter the other side too, or ease "
    "the difference in if it is small.",
)

NOTICED = 0.01
"""A seam's difference must grow by more than this, mm, to be put down to an alteration."""

Stage = tuple[str, Garment]
"""What was done, and the garment after it."""


def seams_off(before: Garment, stages: Sequence[Stage]) -> tuple[Finding, ...]:
    """A finding for each seam that fitted before and does not in the end; one for a right and a left seam alike.

    A seam is the same as long as its id is, whatever its edges are called by now. Each stage counts by the terms that the seam
    had then: an alteration may gather it or ease it in on purpose, and is held to what it wrote. One that was made on the way
    (a piece was split) counts from the stage that made it.

    Parameters
    ----------
    before
        The garment as it was.
    stages
        What was done to it, in order. A seam that was off for a while and is right again in the end is not spoken of; one that
        is off is put down to the stage since which it has been.
    """
    if not stages:
        return ()
    after = stages[-1][1]
    return tuple(
        finding
        for name, seam in single_seams(after)
        if touched(before, after, seam) and _is_off(after, seam)
        for finding in _seam_off(before, stages, name, seam)
    )


def touched(before: Garment, after: Garment, seam: Seam) -> bool:
    """Whether a piece of a seam is not what it was: else its difference is what it was."""
    return any(before.pieces.get(ref.piece) is not after.pieces.get(ref.piece) for ref in (*seam.a, *seam.b))


def _as_it_was(garment: Garment, seam: Seam) -> Seam | None:
    """A seam as it is in another stage of the garment; None where it is not there."""
    return next((old for old in garment.seams if old.id == seam.id), None)


def _seam_off(before: Garment, stages: Sequence[Stage], name: str, seam: Seam) -> list[Finding]:
    versions = [(done, garment, _as_it_was(garment, seam)) for done, garment in (("", before), *stages)]
    made = max((k + 1 for k, (_, _, version) in enumerate(versions) if version is None), default=0)
    walked = [(done, None if old is None else seam_difference(garment, old)) for done, garment, old in versions[made:]]
    (_, was), *later = walked
    now = walked[-1][1]
    if was is None or now is None or not later or abs(was) > seam.tolerance or abs(now - was) <= NOTICED:
        return []
    fitted = [number for number, (_, d) in enumerate(later) if d is None or abs(d) <= seam.tolerance + 1e-9]
    since = later[fitted[-1] + 1 if fitted else 0][0]
    why = [f"off by {said(abs(was))} before"]
    why += [f"off by {said(abs(d))} after {done}" for done, d in later if d is not None]
    return [
        SEAM_OFF(
            f"since {since} the seam {name} is off by {said(abs(now))}",
            where=(before.id, seam.id),
            remedy="Alter the other side of the seam as well, or ease the difference in.",
            why=why,
        )
    ]


def _is_off(garment: Garment, seam: Seam) -> bool:
    difference = seam_difference(garment, seam)
    return difference is not None and abs(difference) > seam.tolerance + 1e-9


def seam_difference(garment: Garment, seam: Seam) -> float | None:
    """By how much the sides of a seam differ from what it says, mm; None where it cannot be walked.

    The seam of that id in the garment is meant: its edges may have other names from one stage to the next.
    """
    own = next((one for one in garment.seams if one.id == seam.id), seam)
    try:
        return walk_seam(garment, own).difference
    except FirsthandError:  # a seam that cannot be walked is the pattern's own fault and found by its check
        return None
