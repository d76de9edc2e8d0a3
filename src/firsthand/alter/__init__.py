"""Alterations: each a small pure function of its numbers and a garment, and the stack that applies them in order."""

from firsthand.alter import kinds  # noqa: F401  (alterations enter the registry)
from firsthand.alter._composed import Composed, composed
from firsthand.alter._matches import corners_off, no_longer_matches
from firsthand.alter._seams import Stage, seams_off
from firsthand.alter._spots import along, level_at
from firsthand.alter._stack import StackResult, apply_stack
from firsthand.alter.kinds.close_dart import CloseDart
from firsthand.alter.kinds.flare import Flare
from firsthand.alter.kinds.fullness import Fullness
from firsthand.alter.kinds.hem import Hem
from firsthand.alter.kinds.join import Join
from firsthand.alter.kinds.lengthen import Lengthen
from firsthand.alter.kinds.mirror import Mirror, Unfold
from firsthand.alter.kinds.move_dart import MoveDart
from firsthand.alter.kinds.move_edge import MoveEdge
from firsthand.alter.kinds.neckline import Neckline
from firsthand.alter.kinds.pleats import AddPleats
from firsthand.alter.kinds.scale import Scale
from firsthand.alter.kinds.slash import SlashAndSpread
from firsthand.alter.kinds.split_dart import SplitDart
from firsthand.alter.kinds.split_hands import SplitHands
from firsthand.alter.kinds.split_piece import SplitPiece
from firsthand.alter.kinds.stretch import CutForStretch
from firsthand.alter.kinds.take_in import TakeIn
from firsthand.alter.kinds.thickness import ForThickness
from firsthand.alter.kinds.true import Trued
from firsthand.alter.kinds.tuck import AddTucks
from firsthand.alter.kinds.turn_dart import TurnDart
from firsthand.alter.kinds.turn_of_cloth import TurnOfCloth
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry, Record, Stretch
from firsthand.alter.tissue.cards import on_tissue
from firsthand.alter.tissue.lineage import Taped
from firsthand.alter.tissue.newlines import NewLine, Spot
from firsthand.alter.tissue.offsets import Mark, Offset, offsets
from firsthand.alter.tissue.rigid import Bit
from firsthand.alter.tissue.stretched import Stretched, changed_stretches, printed_line
from firsthand.alter.tissue.told import Added, Altering, End, Hinge, Moved, PointMoved, Tissue

__all__ = [
    "ALTERATIONS", "AddPleats", "AddTucks", "Added", "Alteration", "Altered", "Altering", "Bit", "CloseDart", "Composed",
    "CutForStretch", "End", "Entry", "Flare", "ForThickness", "Fullness", "Hem", "Hinge", "Join", "Lengthen", "Mark", "Mirror",
    "MoveDart", "MoveEdge", "Moved", "Neckline", "NewLine", "Offset", "PointMoved", "Record", "Scale", "SlashAndSpread",
    "SplitDart", "SplitHands", "SplitPiece", "Spot", "StackResult", "Stage", "Stretch", "Stretched", "TakeIn", "Taped",
    "Tissue", "Trued", "TurnDart", "TurnOfCloth", "Unfold", "along", "apply_stack", "changed_stretches", "composed",
    "corners_off", "level_at", "no_longer_matches", "offsets", "on_tissue", "printed_line", "seams_off",
]  # fmt: skip
