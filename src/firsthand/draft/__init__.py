"""Pieces made from numbers or from other pieces."""

from firsthand.draft import band, frill  # noqa: F401  (drafted pieces enter the registry)
from firsthand.draft.band import Band
from firsthand.draft.frill import GatheredFrill
from firsthand.draft.model import DRAFTS, Draft, Drafting, add_drafting

__all__ = ["DRAFTS", "Band", "Draft", "Drafting", "GatheredFrill", "add_drafting"]
