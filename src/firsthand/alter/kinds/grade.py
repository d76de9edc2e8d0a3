"""A size that was trimmed off, made again from those that are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from firsthand.alter._making import finished
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.alter.sizing.matching import level_widths, matched, mixed
from firsthand.alter.sizing.places import Mix, made_from, scale_of
from firsthand.errors import CannotAlter, FirsthandError, NotThere
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment, single_seams, walk_seam
from firsthand.units import said

__all__ = ["GRADED", "Grade", "graded_words"]

GRADED = kind(
    "graded-size",
    Severity.DOUBT,
    "A size that is not on the paper any more was made from those that are left, each corner, notch, dart and curve in one "
    "line from size to size. Between two sizes that is as good as the paper; beyond them it leaves out what the maker changes "
    "from size to size otherwise than evenly. Sew a toile before cutting the cloth.",
)
GRADED_SEAM = kind(
    "graded-seam",
    Severity.DOUBT,
    "A size was made from those that are left, and the two sides of a seam do not come out alike in it. Ease a small "
    "difference in, or true the seam before cutting.",
)


def graded_words(size: str, mix: Mix, pieces: Sequence[str]) -> str:
    """What a finding says of a size that was made."""
    return f"size {size} of {', '.join(pieces)} is graded from {' and '.join(mix.weights)}, {mix.words}"


@ALTERATIONS.register("grade")
@dataclass(frozen=True, slots=True)
class Grade(Entry):
    """Make a size again that was trimmed off, from the two nearest sizes left.

    Every corner, curve, notch and dart is carried on in one straight line from size to size, by the measurement that tells the
    sizes apart: the chart's, for the first of the garment's levels that it gives for every size; without a chart every size is
    one step after the one before. The outlines as bought are left alone.

    Parameters
    ----------
    size
        The size to make; empty means that of the garment.
    pieces
        Ids of the only pieces to make; empty means all that lack the size and have an outline in others.
    measurement
        The measurement of the chart to go by.
    places
        Instead of the chart, each size with a number that tells how far it is: ``"S 88"``, ``"M 92"``, ``"L 98"``.
    """

    kind: ClassVar[str] = "grade"

    size: str = ""
    pieces: tuple[str, ...] = ()
    measurement: str = ""
    places: tuple[str, ...] = ()

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        size = self.size or garment.size
        scale = scale_of(garment, self.measurement, self._typed())
        mixes = {name: made_from(garment.piece(name), size, scale) for name in self._chosen(garment, size)}
        made = {name: _graded(garment, name, mix) for name, mix in mixes.items()}
        changed = {name: result for name, result in made.items() if result.shape != garment.piece(name).shape}
        words = f"Size {size} made again: {', '.join(mixes)}"
        altered = finished(garment, self, words, level_widths(changed), changed)
        findings = (*self._noted(garment, size, mixes), *_seams(altered.garment, set(mixes)))
        return replace(altered, findings=altered.findings + findings)

    def _typed(self) -> dict[str, float]:
        """Places of sizes that were typed."""
        typed = {}
        for words in self.places:
            size, _, number = words.strip().rpartition(" ")
            try:
                typed[size.strip()] = float(number.replace(",", "."))
            except ValueError:
                size = ""
            if not size:
                raise CannotAlter(f"{words!r} is no size and its number", 'Write for example "S 88", "M 92", "L 98".')
        return typed

    def _chosen(self, garment: Garment, size: str) -> tuple[str, ...]:
        for name in self.pieces:
            piece = garment.piece(name)
            if size in piece.sizes:
                raise CannotAlter(f"size {size} of {name} is on the paper", "Leave it out.")
            if not piece.sizes:
                raise NotThere("outline", name)
        lacking = tuple(name for name, piece in garment.pieces.items() if piece.sizes and size not in piece.sizes)
        if not any(piece.sizes for piece in garment.pieces.values()):
            raise NotThere("outline", size)
        if not lacking:
            raise CannotAlter(f"size {size} of every piece is on the paper", "Switch it off, or name another size.")
        chosen = self.pieces or lacking
        for name in chosen:
            piece = garment.piece(name)
            if piece.shape is not None and piece.shape != piece.bought:
                words = f"{name} was altered before, and a size is made from the outlines as bought"
                raise CannotAlter(words, "Put it before the other alterations.")
        return chosen

    def _noted(self, garment: Garment, size: str, mixes: dict[str, Mix]) -> tuple[Finding, ...]:
        """One finding for all pieces that are made from the same sizes."""
        alike: dict[tuple[str, ...], list[str]] = {}
        for name, mix in mixes.items():
            alike.setdefault(tuple(mix.weights), []).append(name)
        return tuple(
            GRADED(
                graded_words(size, mixes[names[0]], names),
                where=(garment.id, self.id or self.kind, size),
                remedy="Sew a toile before cutting the cloth." if mixes[names[0]].beyond else "",
                why=[f"{share:.3f} of {one}" for one, share in mixes[names[0]].weights.items()],
                severity=Severity.DOUBT if mixes[names[0]].beyond else Severity.NOTE,
            )
            for names in alike.values()
        )


def _graded(garment: Garment, name: str, mix: Mix) -> Reshaped:
    piece = garment.piece(name)
    shapes = {size: piece.sizes[size] for size in mix.weights}
    if piece.bought is not None and piece.size not in shapes:
        shapes = {str(piece.size): piece.bought, **shapes}
    elif piece.size in shapes:
        shapes = {str(piece.size): shapes[str(piece.size)], **shapes}
    alike = matched(name, shapes)
    try:
        result = mixed(list(alike.values()), [mix.weights.get(size, 0.0) for size in alike])
    except Crosses as crossing:
        raise CannotAlter(f"{name} cannot be graded so far: {crossing}", "Take a size nearer to it.") from crossing
    return result if piece.bought is not None else Reshaped(result.shape, {})


def _seams(garment: Garment, pieces: set[str]) -> tuple[Finding, ...]:
    """A finding for each seam of graded pieces that does not fit."""
    found = []
    for name, seam in single_seams(garment):
        if not pieces & {ref.piece for ref in (*seam.a, *seam.b)}:
            continue
        try:
            walk = walk_seam(garment, seam)
        except FirsthandError:  # a seam with a card cannot be walked, and is spoken of by its own check
            continue
        if not walk.fits:
            words = f"in the graded size the seam {name} is off by {said(abs(walk.difference))}"
            found.append(GRADED_SEAM(words, where=(garment.id, seam.id), remedy="True the longer side, or ease it in."))
    return tuple(found)
