"""Pieces made from numbers or from other pieces."""

from firsthand.draft.model import DRAFTS, Draft, Drafting, add_drafting

__all__ = ["DRAFTS", "Draft", "Drafting", "add_drafting"]
