"""Ease, and what to alter so that it is right."""

from firsthand.fit.model import EaseBand, EaseRow, FitResult, Verdict

__all__ = ["EaseBand", "EaseRow", "FitResult", "Verdict"]
