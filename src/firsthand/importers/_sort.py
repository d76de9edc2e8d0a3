"""Loose lines sorted into proposals: which are outlines, and what lies within which."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path as FilePath

import shapely

from firsthand.errors import BadInput, Problem
from firsthand.findings import Finding
from firsthand.geometry import Point, self_crossings
from firsthand.importers._chains import RawLine, chained
from firsthand.importers._file import STRAY, problem
from firsthand.importers.model import FoundLine, FoundMark, Meaning, Proposal
from firsthand.units import said

__all__ = ["Raw", "RawMark", "sorted_out"]

SMALLEST = 10.0  # mm; nothing smaller across is a piece
LARGEST = 10_000.0  # mm; nothing sewn at home has a piece of ten metres
NEVER_OUTLINES = {Meaning.NOTCH, Meaning.HOLE, Meaning.GRAIN, Meaning.WORDS}
HOLE = 6.0  # mm; a closed loop inside a piece up to this size is a hole, a larger one a line


@dataclass(frozen=True, slots=True)
class RawMark:
    """A point as it stands in a file."""

    point: Point
    layer: str = ""
    group: str = ""


@dataclass(slots=True)
class Raw:
    """Everything read from a file, in millimetres, y up."""

    lines: list[RawLine] = field(default_factory=list)
    marks: list[RawMark] = field(default_factory=list)
    words: list[tuple[str, RawMark]] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Loop:
    line: RawLine
    area: shapely.Polygon
    meaning: Meaning

    def holds(self, other: _Loop) -> bool:
        """Whether another loop of its block lies within it."""
        mine = self is not other and self.line.group == other.line.group and self.area.area > other.area.area
        return mine and bool(self.area.covers(other.area.representative_point()))

    def repeats(self, other: _Loop) -> bool:
        """Whether it is the same loop drawn twice."""
        alike = self.line.group == other.line.group and abs(self.area.area - other.area.area) < 1.0
        return alike and self.area.symmetric_difference(other.area).area < 1.0


def sorted_out(
    raw: Raw, meaning: Callable[[str], Meaning], file: FilePath, unit_remedy: str
) -> tuple[tuple[Proposal, ...], tuple[Finding, ...]]:
    """Proposals of everything read.

    Raises
    ------
    BadInput
        If there is no sound outline: every fault of every outline at once.
    """
    lines = chained(raw.lines)
    loops, opens, problems = _loops(lines, meaning, file, unit_remedy)
    outlines = _outlines(loops)
    if not outlines and not problems:
        problems += _nothing_closed(opens, file, unit_remedy)
    if problems:
        raise BadInput(problems)
    homes: dict[int, list[RawLine]] = defaultdict(list)
    findings = []
    taken = {id(outline.line) for outline in outlines}
    for line in [*(loop.line for loop in loops if id(loop.line) not in taken), *opens]:
        home = _home(line.path.at(line.path.length / 2), line.group, outlines)
        if home is None:
            findings.append(_stray(line))
        else:
            homes[home].append(line)
    proposals = [
        _proposal(
            outline, k, homes[k], raw, meaning, [m for m in raw.marks if _home(m.point, m.group, outlines) == k], outlines
        )
        for k, outline in enumerate(outlines)
    ]
    return _with_own_names(proposals), tuple(findings)


def _loops(
    lines: Sequence[RawLine], meaning: Callable[[str], Meaning], file: FilePath, unit_remedy: str
) -> tuple[list[_Loop], list[RawLine], list[Problem]]:
    loops, opens, problems = [], [], []
    for line in lines:
        if not line.path.is_closed:
            opens.append(line)
            continue
        what = meaning(line.layer)
        ring = shapely.Polygon([(p.x, p.y) for p in line.path.flattened(0.01)])
        if what in {Meaning.BOUNDARY, Meaning.UNKNOWN}:
            fault = _fault(line, ring, file, unit_remedy)
            if fault is not None:
                problems.append(fault)
                continue
        loops.append(_Loop(line, ring if ring.is_valid else ring.buffer(0), what))
    return loops, opens, problems


def _fault(line: RawLine, ring: shapely.Polygon, file: FilePath, unit_remedy: str) -> Problem | None:
    box, place = line.path.bounds, _place(line)
    if max(box.width, box.height) > LARGEST:
        size = said(max(box.width, box.height))
        return problem(file, place, f"an outline of {size}", f"pieces below {said(LARGEST)}", unit_remedy)
    if not ring.exterior.is_simple:
        crossings = self_crossings(line.path)
        where = crossings[0].point if crossings else line.path.start
        found = f"an outline that crosses or touches itself near x {where.x:.1f} mm, y {where.y:.1f} mm"
        return problem(file, place, found, "an outline that does not", "Take the loop out in the drawing and export again.")
    return None


def _outlines(loops: Sequence[_Loop]) -> list[_Loop]:
    """The loops that are pieces: those marked as boundaries, otherwise those inside no other of their block."""
    bounded = {loop.line.group for loop in loops if loop.meaning is Meaning.BOUNDARY} - {""}
    chosen: list[_Loop] = []
    for loop in loops:
        box = loop.line.path.bounds
        if max(box.width, box.height) < SMALLEST or loop.meaning in NEVER_OUTLINES:
            continue
        if loop.line.group in bounded and loop.meaning is not Meaning.BOUNDARY:
            continue
        if not any(other.holds(loop) for other in loops) and not any(other.repeats(loop) for other in chosen):
            chosen.append(loop)
    return chosen


def _home(point: Point, group: str, outlines: Sequence[_Loop]) -> int | None:
    """The outline that a point belongs to: the one of its block, otherwise the smallest around it."""
    own = [k for k, outline in enumerate(outlines) if outline.line.group == group]
    if group and len(own) == 1:
        return own[0]
    spot = shapely.Point(point.x, point.y)
    around = [k for k in own if outlines[k].area.distance(spot) <= 1.0]
    return min(around, key=lambda k: (outlines[k].area.distance(spot), outlines[k].area.area), default=None)


def _proposal(
    outline: _Loop,
    index: int,
    lines: Sequence[RawLine],
    raw: Raw,
    meaning: Callable[[str], Meaning],
    marks: Sequence[RawMark],
    outlines: Sequence[_Loop],
) -> Proposal:
    path = outline.line.path
    group, first = outline.line.group, outline.line.ids[0] if outline.line.ids else ""
    name = raw.names.get(group) or group or raw.names.get(first)
    return Proposal(
        name or f"piece {index + 1}",
        path if path.area > 0 else path.reversed(),
        tuple(FoundLine(_line_meaning(line, meaning), line.path, line.layer) for line in lines),
        tuple(FoundMark(meaning(mark.layer), mark.point, mark.layer) for mark in marks),
        tuple(text for text, mark in raw.words if _home(mark.point, mark.group, outlines) == index),
        outline.line.layer,
        outline.line.ids,
    )


def _line_meaning(line: RawLine, meaning: Callable[[str], Meaning]) -> Meaning:
    named = meaning(" ".join([line.layer, *line.ids])) if meaning(line.layer) is Meaning.UNKNOWN else meaning(line.layer)
    if named not in {Meaning.UNKNOWN, Meaning.BOUNDARY} or not line.path.is_closed:
        return named
    box = line.path.bounds
    return Meaning.HOLE if max(box.width, box.height) <= HOLE else Meaning.CUT_OUT if named is Meaning.BOUNDARY else named


def _place(line: RawLine) -> str:
    words = [f"block {line.group}"] if line.group else []
    words += [f"layer {line.layer}"] if line.layer else []
    words += [f"element {line.ids[0]}"] if line.ids else []
    return ", ".join(words) or "outline"


def _nothing_closed(opens: Sequence[RawLine], file: FilePath, unit_remedy: str) -> list[Problem]:
    problems = []  # places in a drawing, and gaps that must be found there, are told in millimetres
    for line in sorted(opens, key=lambda one: -one.path.length)[:20]:
        gap = line.path.start.distance(line.path.end)
        box = line.path.bounds
        if max(box.width, box.height) < SMALLEST:
            continue
        found = (
            f"an open line with a gap of {gap:.2f} mm between x {line.path.end.x:.1f}, y {line.path.end.y:.1f} "
            f"and x {line.path.start.x:.1f}, y {line.path.start.y:.1f}"
        )
        problems.append(
            problem(file, _place(line), found, "a closed outline", "Close the gap in the drawing and export again.")
        )
    if not problems:
        expected = f"at least one closed outline of {said(SMALLEST)} or more"
        problems.append(problem(file, "", "no outline", expected, f"Export the outlines as lines or curves. {unit_remedy}"))
    return problems


def _stray(line: RawLine) -> Finding:
    gap = line.path.start.distance(line.path.end)
    words = "a closed line" if line.path.is_closed else f"a line with a gap of {said(gap)} between its ends"
    return STRAY(
        f"{words[0].upper()}{words[1:]} lies outside every outline ({_place(line)}).",
        remedy="Close it in the drawing if it is an outline; otherwise nothing need be done.",
    )


def _with_own_names(proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
    counts: Mapping[str, int] = Counter(p.name for p in proposals)
    seen: Counter[str] = Counter()
    out = []
    for one in proposals:
        seen[one.name] += 1
        name = one.name if counts[one.name] == 1 else f"{one.name} {seen[one.name]}"
        out.append(Proposal(name, one.outline, one.lines, one.marks, one.words, one.layer, one.ids))
    return tuple(out)
