"""PDF files to proposals."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import shapely

from firsthand.errors import BadInput, GeometryError, Problem
from firsthand.findings import Finding, Severity, kind
from firsthand.geometry import Affine
from firsthand.importers._file import STRAY, checked_file, problem
from firsthand.importers.model import FoundLine, Proposal, Proposals
from firsthand.importers.pdf._clip import hull_box
from firsthand.importers.pdf._inner import meanings
from firsthand.importers.pdf._interpret import Budget, drawing_of
from firsthand.importers.pdf._names import named
from firsthand.importers.pdf._open import opened, sheets
from firsthand.importers.pdf._outlines import Loop, clusters, loops_of, samples
from firsthand.importers.pdf._pictures import PICTURES, mostly_pictures
from firsthand.importers.pdf._sizes import Sizes, by_size, sizes_of
from firsthand.importers.pdf._square import Square, square_findings, squares_in
from firsthand.importers.pdf._state import PageDrawing, Word
from firsthand.importers.pdf._tiles import Joined, joined
from firsthand.importers.pdf._weld import Drawn, welded, words_together
from firsthand.importers.pdf._words import words_of
from firsthand.units import said

__all__ = ["import_pdf"]

JOINED = kind(
    "pdf-joined",
    Severity.NOTE,
    "The pages of a PDF pattern were put together to one drawing, by the labels and frames on them, by what neighbours share, "
    "or as told.",
)
GUESSED = kind(
    "pdf-order-guessed",
    Severity.DOUBT,
    "The pages of a PDF pattern carry no labels that were understood, so their order was guessed from the lines that meet.",
)
OFF = kind(
    "pdf-join-off",
    Severity.DOUBT,
    "Pages that overlap show the same lines in places that do not agree: the file was not cut from one exact drawing.",
)
APART = kind(
    "pdf-pages-apart",
    Severity.NOTE,
    "Nothing was found that joins the pages of a PDF, so each was taken by itself.",
)
BAD_JOIN = 0.06  # mm RMS; figures rounded to a hundredth agree better than this
EXACT = 0.01  # mm; the figures in a PDF are rounded to about this (common practice: two or three decimals of a point)
NEAR = 15.0  # mm outside a piece where words may still be its own


def import_pdf(path: str | os.PathLike[str], *, pages: str = "", scale: float = 1.0) -> Proposals:
    """Outlines of a PDF pattern.

    Parameters
    ----------
    path
        The file.
    pages
        How the pages lie, row by row from the top: ``1 2 3 / 4 5 6``, with ``-`` for a place without a page. Found out by
        frames, labels and shared lines if not told.
    scale
        What every length is multiplied with, for a file whose test square is wrong.

    Returns
    -------
    Proposals
        One for each piece and size, in millimetres as printed at 100 %. Pages that are pictures are told by a finding and
        handed to nobody: see :func:`pages_as_pictures`.

    Raises
    ------
    BadInput
        If the file cannot be read, is locked, asks for too much, or has no outline.
    """
    if not (math.isfinite(scale) and 0.05 <= scale <= 20):
        raise BadInput([Problem("", "--scale", f"{scale}", "a factor from 0.05 to 20", "Take the factor of the test square.")])
    file = checked_file(path, "PDF")
    with opened(file) as document:
        leaves = sheets(document, file)
        budget = Budget()
        drawings = {leaf.number: drawing_of(leaf, document, budget, file) for leaf in leaves}
    # the engine that reads lettering has no bounds of its own: only now is it known that the pages stay within ours
    for number, words in words_of(file, leaves).items():
        drawings[number].words = words
    squares = [s for one in drawings.values() for s in squares_in(one.number, one.strokes, one.words)]
    findings = _picture_findings(drawings.values())
    if not any(one.strokes for one in drawings.values()):
        if findings:
            return Proposals((), tuple(findings))
        raise BadInput([problem(file, "", "no line on any page", "a PDF with drawn outlines", "Check that it is the pattern.")])
    together = joined(list(drawings.values()), pages, len(leaves))
    proposals, stray = _proposals(drawings, together, squares)
    if not proposals and not findings:
        found, remedy = "no closed outline", "Say how the pages lie with --pages, or import the pages as pictures."
        raise BadInput([problem(file, "", found, "at least one closed outline", remedy)])
    findings += [*_join_findings(together), *square_findings(squares), *stray]
    return Proposals(tuple(_scaled(one, scale) for one in proposals), tuple(findings))


def _picture_findings(drawings: Any) -> list[Finding]:
    pages = [one.number for one in drawings if mostly_pictures(one)]
    if not pages:
        return []
    words = ", ".join(map(str, pages[:12])) + (" …" if len(pages) > 12 else "")
    what = f"Page {words} is a picture." if len(pages) == 1 else f"Pages {words} are pictures."
    return [PICTURES(what, remedy="These pages are pictures: import them as scans.")]


def _join_findings(together: Joined) -> list[Finding]:
    if together.how == "one page":
        return []
    if together.how == "apart":
        return [APART("The pages were taken one by one.", remedy='If they join, say how with --pages "1 2 / 3 4".')]
    rows = 1 + max(tile.row for tile in together.tiles)
    columns = 1 + max(tile.column for tile in together.tiles)
    at = {(tile.row, tile.column): str(tile.number) for tile in together.tiles}
    grid = " / ".join(" ".join(at.get((r, c), "-") for c in range(columns)) for r in range(rows))
    why = [f"pages: {grid}", f"overlap {together.overlap[0]:.2f} mm across, {together.overlap[1]:.2f} mm down"]
    if together.residual is not None:
        why.append(f"{together.shared} shared points agree to {together.residual:.3f} mm RMS")
    exact = f", agreeing to {together.residual:.2f} mm" if together.residual is not None else ", with nothing shared to check"
    message = f"{len(together.tiles)} pages were joined in {rows} rows and {columns} columns{exact}."
    out = []
    if together.how == "guessed":
        out.append(GUESSED(message, remedy="Compare with the page plan; if it is wrong say --pages.", why=why))
    else:
        out.append(JOINED(message, why=why))
    if together.residual is not None and together.residual > BAD_JOIN:
        remedy = "Look at the joins on the screen before cutting."
        out.append(OFF(f"Neighbouring pages disagree by {said(together.residual)}.", remedy=remedy))
    return out


def _proposals(
    drawings: dict[int, PageDrawing], together: Joined, squares: Sequence[Square]
) -> tuple[list[Proposal], list[Finding]]:
    skip = {(square.page, square.path) for square in squares}
    for one in drawings.values():
        one.strokes = [s for s in one.strokes if (one.number, s.path) not in skip]
    lines = welded(drawings, together)
    words = words_together(drawings, together)
    nests, _ = clusters(loops_of(lines))
    sizes = sizes_of(nests, lines, words)
    accuracy = max(EXACT, together.residual or 0.0)
    groups = by_size(nests, sizes)
    homes = _words_by_piece(words, [group[0][0] for group in groups])
    outlines = {part for group in groups for loop, _ in group for part in loop.parts}
    out = []
    for k, (group, own) in enumerate(zip(groups, homes, strict=True), start=1):
        name = named(own) or f"piece {k}"
        for loop, size in group:
            inner = _lines_within(loop, lines, outlines, sizes, size)
            found = meanings(loop.path, inner, own)
            told = tuple(word.text for word in own)
            out.append(Proposal(name, loop.path, found, (), told, loop.look.layer, (), size, accuracy))
    return _told_apart(out), _strays(lines, outlines, groups)


def _words_by_piece(words: Sequence[Word], loops: Sequence[Loop]) -> list[list[Word]]:
    homes: list[list[Word]] = [[] for _ in loops]
    if not loops:
        return homes
    tree = shapely.STRtree([loop.area for loop in loops])
    for word in words:
        spot = shapely.Point(word.at.x, word.at.y)
        near = tree.query(spot, predicate="dwithin", distance=NEAR).tolist()
        if near:
            homes[min(near, key=lambda k: (loops[k].area.distance(spot), loops[k].area.area))].append(word)
    return homes


def _lines_within(loop: Loop, lines: Sequence[Drawn], outlines: set[int], sizes: Sizes, size: str) -> list[Drawn]:
    room = loop.area.buffer(1.0)
    box = loop.path.bounds
    shapely.prepare(room)
    out = []
    for k, (look, line) in enumerate(lines):
        own = sizes.name(look)
        b = hull_box(line.path)
        if k in outlines or (own and size and own != size) or line.path.length < 0.5:
            continue
        if b.left > box.right or b.right < box.left or b.bottom > box.top or b.top < box.bottom or look.colour == "#ffffff":
            continue
        if look.filled and max(b.width, b.height) < 12.0 and len(line.path.segments) > 4:
            continue  # lettering drawn as outlines
        inside = sum(bool(room.covers(shapely.Point(p.x, p.y))) for p in samples(line.path, 5))
        if inside >= 3:
            out.append((look, line))
    return out


def _told_apart(proposals: list[Proposal]) -> list[Proposal]:
    seen: dict[tuple[str, str], int] = {}
    out = []
    for one in proposals:
        key = (one.name, one.size)
        seen[key] = seen.get(key, 0) + 1
        out.append(one if seen[key] == 1 else replace(one, name=f"{one.name} {seen[key]}"))
    return out


def _strays(lines: Sequence[Drawn], outlines: set[int], groups: Sequence[Sequence[tuple[Loop, str]]]) -> list[Finding]:
    """Long open lines outside every outline: probably an outline with a gap."""
    whole = shapely.union_all([loop.area.buffer(2.0) for group in groups for loop, _ in group]) if groups else shapely.Point()
    out = []
    for k, (_, line) in enumerate(lines):
        if k in outlines or line.path.is_closed or line.path.length < 150.0 or len(line.path.segments) < 3:
            continue
        if not any(whole.covers(shapely.Point(p.x, p.y)) for p in samples(line.path, 5)):
            gap = line.path.start.distance(line.path.end)
            message = f"A line of {said(line.path.length)} with a gap of {said(gap)} lies outside every outline."
            out.append(STRAY(message, remedy="It may be a piece that runs over the edge of the pages; check --pages."))
    return out[:10]


def _scaled(one: Proposal, scale: float) -> Proposal:
    if scale == 1.0:
        return one
    by = Affine.scaling(scale)
    try:
        lines = tuple(FoundLine(line.kind, line.path.transformed(by), line.layer) for line in one.lines)
        return replace(one, outline=one.outline.transformed(by), lines=lines)
    except GeometryError as error:
        raise BadInput([Problem("", "--scale", str(error), "pieces below ten metres", "Check the factor.")]) from None
