"""Pieces made from numbers or from other pieces."""

from firsthand.draft import band, frill, pocket  # noqa: F401  (drafted pieces enter the registry)
from firsthand.draft.band import Band
from firsthand.draft.frill import GatheredFrill
from firsthand.draft.model import DRAFTS, Draft, Drafting, add_drafting
from firsthand.draft.pocket import PatchPocket

__all__ = ["DRAFTS", "Band", "Draft", "Drafting", "GatheredFrill", "PatchPocket", "add_drafting"]
