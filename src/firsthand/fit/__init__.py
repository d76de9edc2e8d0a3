"""Ease, and what to alter so that it is right."""

from firsthand.fit._bands import CUTS, ease_band
from firsthand.fit._beneath import layers_beneath, worn_beneath
from firsthand.fit._ease import beneath, ease_table, girth_beneath
from firsthand.fit._entries import Suggested
from firsthand.fit._fit import fit_garment
from firsthand.fit._lengths import length_table
from firsthand.fit.model import (
    Answer,
    ClothFit,
    ClothRow,
    EaseBand,
    EaseRow,
    FitResult,
    Layer,
    Proposal,
    ProposalRow,
    Verdict,
    WearingRow,
)

__all__ = [
    "CUTS", "Answer", "ClothFit", "ClothRow", "EaseBand", "EaseRow", "FitResult", "Layer", "Proposal", "ProposalRow",
    "Suggested", "Verdict", "WearingRow", "beneath", "ease_band", "ease_table", "fit_garment", "girth_beneath",
    "layers_beneath", "length_table", "worn_beneath",
]  # fmt: skip
