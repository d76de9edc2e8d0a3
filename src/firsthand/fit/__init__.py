"""Ease, and what to alter so that it is right."""

from firsthand.fit._bands import CUTS, ease_band
from firsthand.fit._beneath import worn_beneath
from firsthand.fit._ease import beneath, ease_table, girth_beneath
from firsthand.fit._fit import fit_garment
from firsthand.fit.model import (
    ClothFit,
    ClothRow,
    EaseBand,
    EaseRow,
    FitResult,
    Proposal,
    ProposalRow,
    Suggested,
    Verdict,
    WearingRow,
)

__all__ = [
    "CUTS", "ClothFit", "ClothRow", "EaseBand", "EaseRow", "FitResult", "Proposal", "ProposalRow", "Suggested", "Verdict",
    "WearingRow", "beneath", "ease_band", "ease_table", "fit_garment", "girth_beneath", "worn_beneath",
]  # fmt: skip
