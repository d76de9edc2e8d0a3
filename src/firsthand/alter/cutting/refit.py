"""Seams fitted again after one of their edges got fuller: gathered, or eased in."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from firsthand.errors import FirsthandError
from firsthand.pattern import EdgeRef, Garment, Seam, SeamKind, walk_seam

__all__ = ["Fuller", "eased_in", "gathered"]

Fuller = Collection[tuple[str, str]]
"""Edges that got fuller (or less full), by piece and edge."""

EVEN = 1e-9
"""Ratios this close to 1 are 1."""


def gathered(after: Garment, edges: Fuller) -> tuple[Garment, tuple[Seam, ...]]:
    """The garment with the seams of edges that got fuller made gathered ones that fit.

    Of a seam of which the second chain got fuller, the chains change places, for it is the first one that is gathered. What a
    seam was off by before goes into the gathers as well. One whose fullness is taken out again becomes plain; one that would
    have to be stretched is left as it is, for the walk of the stack's seams to find.

    Parameters
    ----------
    after
        The garment with its new pieces.
    edges
        Those that got fuller.

    Returns
    -------
    garment, seams
        The new garment, and those of its seams that are others.
    """
    return _with_seams(after, [(seam, _gathered(after, seam, edges)) for seam in after.seams])


def eased_in(after: Garment, edges: Fuller) -> tuple[Garment, tuple[Seam, ...]]:
    """The garment with what edges got longer eased into their seams: see :func:`gathered`."""
    return _with_seams(after, [(seam, _eased(after, seam, edges)) for seam in after.seams])


def _with_seams(garment: Garment, pairs: Collection[tuple[Seam, Seam]]) -> tuple[Garment, tuple[Seam, ...]]:
    changed = tuple(new for old, new in pairs if new != old)
    return replace(garment, seams=tuple(new for _, new in pairs)), changed


def _names(refs: Collection[EdgeRef], edges: Fuller) -> bool:
    return any((ref.piece, ref.edge) in edges for ref in refs)


def _gathered(after: Garment, seam: Seam, edges: Fuller) -> Seam:
    if not _names((*seam.a, *seam.b), edges):
        return seam
    old = seam
    try:
        turned = _names(seam.b, edges) and not _names(seam.a, edges)
        if turned:
            seam = replace(seam, a=seam.b, b=seam.a, ratio=1 / seam.ratio, easing=-seam.easing / seam.ratio)
        now = walk_seam(after, seam)
    except FirsthandError:  # a seam that cannot be walked is the pattern's own fault and found by its check
        return seam
    ratio = (now.a_length - seam.easing) / now.b_length
    if (1 - ratio) * now.b_length > seam.tolerance:
        return old  # there is no fullness left to take out: the walk of the stack's seams says how much is missing
    if ratio <= 1 + EVEN and seam.kind in (SeamKind.PLAIN, SeamKind.GATHERED):
        return replace(seam, kind=SeamKind.PLAIN, ratio=1.0)
    kind = SeamKind.GATHERED if seam.kind is SeamKind.PLAIN else seam.kind
    return replace(seam, kind=kind, ratio=ratio)


def _eased(after: Garment, seam: Seam, edges: Fuller) -> Seam:
    if not _names((*seam.a, *seam.b), edges):
        return seam
    try:
        now = walk_seam(after, seam)
    except FirsthandError:
        return seam
    return replace(seam, easing=seam.easing + now.difference)
