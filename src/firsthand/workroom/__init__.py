"""The folder on disk, and the pipeline that runs the stages over it."""

from firsthand.workroom._commit import Entry, commit, history, restore, undo
from firsthand.workroom._load import find_workroom, load_pattern, load_workroom
from firsthand.workroom._pieces import add_piece, add_pieces
from firsthand.workroom._writing import pattern_files, piece_json
from firsthand.workroom.model import Costume, GarmentBrief, Workroom

__all__ = [
    "Costume", "Entry", "GarmentBrief", "Workroom", "add_piece", "add_pieces", "commit", "find_workroom", "history",
    "load_pattern", "load_workroom", "pattern_files", "piece_json", "restore", "undo",
]  # fmt: skip
