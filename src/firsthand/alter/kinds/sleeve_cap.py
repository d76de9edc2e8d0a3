"""A sleeve's cap made higher or lower, and a sleeve made wider at the upper arm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from firsthand.alter._making import as_much_as_goes, finished, reshaped, sensible
from firsthand.alter._together import Next, together
from firsthand.alter.kinds._bodily import far_end, seam_named, seams_named
from firsthand.alter.kinds.take_in import TakeIn
from firsthand.alter.model import ALTERATIONS, Altered, Entry
from firsthand.alter.moving.chaining import put_in
from firsthand.alter.moving.heads import Head, head_of, heads_fitted, raised_head
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.errors import CannotAlter
from firsthand.pattern import Garment, Seam, walk_seam
from firsthand.units import Length, said

__all__ = ["SleeveCap", "UpperArm"]

MOST = 300.0
"""More than this, mm, is a slip of the keyboard."""
LEFT = 0.9
"""A cap is lowered by less than this share of its height."""


@ALTERATIONS.register("sleeve-cap")
@dataclass(frozen=True, slots=True)
class SleeveCap(Entry):
    """Make a sleeve's cap higher or lower: all above the underarm rises, what lies below stays.

    Without an amount the cap is made as high as its seam needs to fit the armhole, with what the seam eases in. With one, the
    walk along the seam says what then has to be eased in or altered at the armhole. A higher cap makes a narrower sleeve that
    hangs closer, a lower one lets the arm be raised. The girth of the armhole drives it.

    Parameters
    ----------
    seam
        Id of the seam round the cap, or the name common to the right and the left one.
    amount
        How much higher, mm; negative lower.
    """

    kind: ClassVar[str] = "sleeve-cap"
    driven_by: ClassVar[tuple[str, ...]] = ("armscye_girth",)

    seam: str
    amount: Length | None = None

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        seams = seams_named(garment, self.seam)
        heads = {head.piece: head for head in (_head(garment, seam) for seam in seams)}
        if self.amount is None:
            return self._fitted(garment, seams, heads)
        by, lowest = sensible(self.amount, MOST), min(head.height for head in heads.values())

        def attempt(amount: float) -> dict[str, Reshaped]:
            if amount <= -LEFT * lowest:
                raise Crosses("nothing would be left of the cap")
            return reshaped(garment, {name: partial(raised_head, head=head, by=amount) for name, head in heads.items()})

        changed = as_much_as_goes(attempt, by, "raising by" if by > 0 else "lowering by") if by else {}
        words = f"Cap of {' and '.join(heads)} {'raised' if by >= 0 else 'lowered'} by {said(abs(by))}"
        return finished(garment, self, words, {"amount": by, "height": lowest}, changed)

    def _fitted(self, garment: Garment, seams: Sequence[Seam], heads: Mapping[str, Head]) -> Altered:
        shapes = {name: garment.piece(name).drawn_shape for name in heads}
        off = max((walk_seam(garment, seam).difference for seam in seams), key=abs)
        start = {name: Reshaped(shape, {}) for name, shape in shapes.items()}
        fitted = heads_fitted(garment, start, always=[seam.id for seam in seams])
        changed = {name: result for name, result in fitted.items() if result.shape != shapes[name]}
        if not changed and any(not walk_seam(garment, seam).fits for seam in seams):
            words = f"no height of the cap makes the seam {self.seam} fit: it is off by {said(abs(off))}"
            raise CannotAlter(words, "Alter the armhole, or the sleeve at the upper arm.")
        now = put_in(garment, changed)
        by = max((_head(now, seam).height - heads[_head(now, seam).piece].height for seam in seams), key=abs)
        done = "raised" if by >= 0 else "lowered"
        words = f"Cap of {' and '.join(heads)} {done} by {said(abs(by))} so that it fits its armhole"
        return finished(garment, self, words, {"amount": by, "was off by": off}, changed)


def _head(garment: Garment, seam: Seam) -> Head:
    head = head_of(garment, seam.a) or head_of(garment, seam.b)
    if head is None:
        words = f"the seam {seam.id} does not go round the top of a piece alone"
        raise CannotAlter(words, "Name the seam that sews the sleeve into the armhole.")
    return head


@ALTERATIONS.register("upper-arm")
@dataclass(frozen=True, slots=True)
class UpperArm(Entry):
    """Give the upper arm more room in a sleeve, or less; the cap still fits its armhole.

    The sleeve is let out at its underarm seam from the cap down to the level of the upper arm, and less and less from there to
    a place further down. A wider sleeve would have too long a cap: it is made lower until its seam fits again. The girth of the
    upper arm drives it.

    Parameters
    ----------
    amount
        How much more room each arm has, mm; negative less.
    underarm
        Id of the sleeve's underarm seam, or the name common to the right and the left one.
    cap
        The seam that sews the sleeve into the armhole.
    level
        Id of the level of the upper arm.
    below
        Where along the underarm seam nothing more is given.
    """

    kind: ClassVar[str] = "upper-arm"
    driven_by: ClassVar[tuple[str, ...]] = ("upper_arm_girth",)

    amount: Length
    underarm: str = "underarm"
    cap: str = "sleeve"
    level: str = "upper arm"
    below: str = ""

    def apply(self, garment: Garment) -> Altered:
        """See :meth:`firsthand.alter.Alteration.apply`."""
        sensible(self.amount, MOST)
        seam_named(garment, self.underarm)
        _head(garment, seam_named(garment, self.cap))
        verb = "let out" if self.amount >= 0 else "taken in"
        words = f"Sleeve {verb} by {said(abs(self.amount))} at the {self.level}, its cap made to fit"
        return together(garment, self, self._steps(garment), words, {"amount": self.amount})

    def _steps(self, garment: Garment) -> Iterator[Next]:
        below = self.below or far_end(garment, self.underarm, f"level {self.level}")
        stations = ((f"level {self.level}", -self.amount), (below, 0.0))
        yield lambda now: TakeIn(stations=stations, seams=(self.underarm,), limb=True)
        yield lambda now: SleeveCap(self.cap) if self.amount else None
