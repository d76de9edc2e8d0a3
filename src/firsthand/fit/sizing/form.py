"""A dress form beside its wearer: what differs, how to pad it, what it does not tell."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from firsthand.findings import Finding

__all__ = ["FormFit", "FormRow", "FormVerdict"]


class FormVerdict(StrEnum):
    """What can be done about one measurement of a form."""

    ALIKE = "alike"
    PAD = "pad"
    LARGER = "larger than the wearer"
    FIXED = "cannot be changed"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class FormRow:
    """One measurement of the form and of the wearer.

    Parameters
    ----------
    form, wearer
        Millimetres; None if not taken.
    difference
        The wearer's less the form's, mm: positive where the form is padded.
    even
        Thickness of a pad all round, mm: the difference (less what the cover adds) through 2 pi.
    local
        Thickness of a pad that lies only where the body has it, mm, in the middle of its run.
    where
        Where that is.
    layers
        Layers of wadding for ``local``; 0 where its thickness was not told.
    words
        What to do.
    """

    key: str
    name: str
    form: float | None
    wearer: float | None
    difference: float | None
    verdict: FormVerdict
    even: float = 0.0
    local: float = 0.0
    where: str = ""
    layers: int = 0
    words: str = ""


@dataclass(frozen=True, slots=True)
class FormFit:
    """A dress form beside its wearer.

    Parameters
    ----------
    rows
        From neck to ankle.
    steps
        How to pad it, in order.
    not_told
        What a fitting on it does not tell.
    """

    form: str
    wearer: str
    rows: tuple[FormRow, ...]
    steps: tuple[str, ...]
    not_told: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
