"""A place noted at a fitting in one line of the trade's words: ``side left, 8 cm below waist, 12 mm, doubled``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from firsthand.errors import BadInput, FirsthandError, NotThere, Problem, nearest_names
from firsthand.fit._fitted import FittingPoint, PointSort
from firsthand.fit.fitting._lines import resolved_seam
from firsthand.fit.fitting._places import Run, edge_run, plain_place, seam_run
from firsthand.pattern import Garment
from firsthand.units import parse_length, parse_share

__all__ = ["parse_entry"]

FORMS = {
    PointSort.PIN: "side left, 8 cm below waist, 12 mm, doubled",
    PointSort.SEWN: "side left, level hip, 8 mm, to nothing at waist",
    PointSort.HEM: "front.hem, 40 %, up 2 cm, to the end",
    PointSort.EDGE: "front.neck, 3 cm from centre, 1 cm",
    PointSort.DART: "front.bust dart left, 6 mm wider",
}
"""An example of each."""
OPTIONS = ("doubled", "in the fold", "carry", "carried over", "to the end", "trimmed", "to nothing at PLACE", "share 60 %")
LONGEST = 80
"""So many letters of what was typed are shown again."""

MOST = 300.0
"""More than this at one place, mm, is a slip of the keyboard."""


def parse_entry(words: str, sort: PointSort, garment: Garment, *, option: str = "") -> FittingPoint:
    """A place as it was noted.

    Parameters
    ----------
    words
        The seam or edge with its hand, the place, the amount, and what else is to be said, with commas between. An amount that
        is let out, let down or added begins with ``let out``, ``down`` or ``add``.
    garment
        As it was for the fitting.
    option
        What the words stand behind, for messages.

    Raises
    ------
    BadInput
        With everything that cannot be understood, and what was probably meant.

    Examples
    --------
    >>> from firsthand.demo import demo_patterns
    >>> from firsthand.pattern import make_garment
    >>> jerkin = make_garment(demo_patterns()["jerkin"], "M", id="jerkin")
    >>> point = parse_entry("left side seam, 80 mm below the waist, 12 mm, doubled", PointSort.PIN, jerkin)
    >>> point.line, point.hand, point.at, point.amount, point.doubled
    ('side', 'left', '80 mm below waist', 12.0, True)
    """
    reader = _Reader(words, sort, garment, option)
    point = reader.read()
    if reader.problems:
        raise BadInput(reader.problems)
    return point


class _Reader:
    def __init__(self, words: str, sort: PointSort, garment: Garment, option: str) -> None:
        self._words, self._sort, self._garment, self._option = words, sort, garment, option
        self.problems: list[Problem] = []

    def _problem(self, found: str, expected: str, remedy: str) -> None:
        short = found if len(found) <= LONGEST else f"{found[:LONGEST]}..."
        self.problems.append(Problem("", self._option, short, expected, remedy))

    def read(self) -> FittingPoint:
        parts = [" ".join(part.split()) for part in self._words.split(",")]
        empty = FittingPoint(self._sort, self._garment.id, "")
        if self._sort is PointSort.DART and len(parts) >= 2:
            parts.insert(1, "its mouth")
        if len(parts) < 3 or not all(parts[:3]):
            expected = "a line, a place and an amount with commas between"
            self._problem(repr(self._words), expected, f"Write for example: {FORMS[self._sort]}.")
            return empty
        point = replace(empty, line=parts[0], at=plain_place(parts[1]), amount=self._amount(parts[2]))
        point = self._with_line(point, parts[0])
        for part in parts[3:]:
            point = self._with_option(point, part)
        if point.doubled and self._sort is not PointSort.PIN:
            self._problem("doubled", "that only for pins", "Leave it out: the distance is from the old line to the new one.")
        self._check_places(point)
        return point

    # line and places ------------------------------------------------------------------------------------------

    def _with_line(self, point: FittingPoint, words: str) -> FittingPoint:
        text = re.sub(r"\b(the|seam)\b", "", words.lower() if self._on_seam else words)
        names = text.split()
        hands = [name for name in names if name in ("left", "right")]
        line = " ".join(name for name in names if name not in hands)
        hand = hands[0] if hands else ""
        if len(set(hands)) > 1:
            self._problem(repr(words), "one hand", "Tell each hand by itself.")
        return replace(point, line=line, hand=hand)

    @property
    def _on_seam(self) -> bool:
        return self._sort in (PointSort.PIN, PointSort.SEWN)

    def _run(self, point: FittingPoint) -> tuple[FittingPoint, Run]:
        if not self._on_seam:
            piece, _, edge = point.line.partition(".")
            found = piece if piece in self._garment.pieces else f"{piece} {point.hand}".strip()
            return point, edge_run(self._garment, found if found in self._garment.pieces else piece, edge)
        base, hand = resolved_seam(self._garment, point.line, point.hand)
        names = (base, f"{base} {hand or 'right'}")
        seam = next(seam for seam in self._garment.seams if seam.id in names)
        return replace(point, line=base, hand=hand), seam_run(self._garment, seam)

    def _check_dart(self, point: FittingPoint) -> None:
        piece, _, dart = point.line.partition(".")
        piece = piece if piece in self._garment.pieces else f"{piece} {point.hand}".strip()
        try:
            known = [one.id for one in self._garment.piece(piece).drawn_shape.darts]
            if dart not in known:
                raise NotThere("dart", dart, known)
        except FirsthandError as error:
            self._problem(repr(point.line), "a dart as PIECE.DART", f"{_sentence(error)} {error.remedy}".strip())

    def _check_places(self, point: FittingPoint) -> None:
        if self._sort is PointSort.DART:
            self._check_dart(point)
            return
        try:
            _, run = self._run(point)
        except FirsthandError as error:
            self._problem(repr(point.line), "a line of the garment", f"{_sentence(error)} {error.remedy}".strip())
            return
        for words in (point.at, *point.nothing):
            try:
                run.place(words)
            except FirsthandError as error:
                self._problem(repr(words), f"a place on {point.line}", f"{_sentence(error)} {error.remedy}".strip())

    # amount and options ---------------------------------------------------------------------------------------

    def _amount(self, words: str) -> float:
        text, less = words, False
        for out in _OUT[self._sort]:
            if re.search(rf"\b{out}\b", text):
                text, less = re.sub(rf"\b{out}\b", "", text), True
        for given in _IN[self._sort]:
            text = re.sub(rf"\b{given}\b", "", text)
        text = text.strip()
        try:
            if text != "0" and not re.search(r"[a-zA-Z\"″]$", text):
                raise ValueError(text)
            amount = parse_length(text)
        except ValueError:
            expected = f"a length with its unit, as 12 mm{', up 2 cm' if self._sort is PointSort.HEM else ', let out 8 mm'}"
            self._problem(repr(words), expected, f"Write for example: {FORMS[self._sort]}.")
            return 0.0
        if not abs(amount) <= MOST:
            self._problem(repr(words), f"at most {MOST:g} mm", "A fitting changes a line by less; look at the unit.")
        return -amount if less else amount

    def _with_option(self, point: FittingPoint, words: str) -> FittingPoint:
        if words in ("doubled", "in the fold"):
            return replace(point, doubled=True)
        if words in ("carry", "carried", "carried over"):
            return replace(point, carry=True)
        if words in ("to the end", "to end"):
            return replace(point, to_end=True)
        if words == "trimmed":
            return replace(point, trimmed=True)
        if match := re.fullmatch(r"(?:run )?(?:out )?to nothing at (.+)", words):
            return replace(point, nothing=(*point.nothing, plain_place(match[1])))
        if match := re.fullmatch(r"share (.+)", words):
            try:
                return replace(point, share=parse_share(match[1]))
            except ValueError:
                self._problem(repr(words), "a share, as share 60 %", "Say how much the seam's first side takes.")
                return point
        near = nearest_names(words, OPTIONS)
        self._problem(repr(words), f"one of {', '.join(OPTIONS)}", f"Did you mean {near[0]}?" if near else "Take it out.")
        return point


_OUT: dict[PointSort, Sequence[str]] = {
    PointSort.PIN: ("let out", "out"),
    PointSort.SEWN: ("let out", "out"),
    PointSort.HEM: ("let down", "down"),
    PointSort.EDGE: ("add", "added"),
    PointSort.DART: ("let out", "narrower"),
}
_IN: dict[PointSort, Sequence[str]] = {
    PointSort.PIN: ("take in", "taken in", "in"),
    PointSort.SEWN: ("take in", "taken in", "in"),
    PointSort.HEM: ("up",),
    PointSort.EDGE: ("cut away", "away"),
    PointSort.DART: ("wider",),
}


def _sentence(error: FirsthandError) -> str:
    text = str(error)
    return f"{text[:1].upper()}{text[1:]}."
