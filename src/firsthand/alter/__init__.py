"""Alterations: each a small pure function of its numbers and a garment, and the stack that applies them in order."""

from firsthand.alter import (  # noqa: F401  (alterations enter the registry)
    blend_sizes,
    bust,
    calf,
    close_dart,
    crotch_curve,
    flare,
    fullness,
    grade,
    hem,
    join,
    lengthen,
    mirror,
    move_dart,
    move_edge,
    neckline,
    notches,
    pleats,
    scale,
    seat,
    shoulder_slope,
    slash,
    sleeve_cap,
    split_dart,
    split_hands,
    split_piece,
    stretch,
    take_in,
    thickness,
    true,
    tuck,
    turn_dart,
    turn_of_cloth,
)  # fmt: skip
from firsthand.alter._composed import Composed, composed
from firsthand.alter._matches import corners_off, no_longer_matches
from firsthand.alter._seams import Stage, seams_off
from firsthand.alter._stack import StackResult, apply_stack
from firsthand.alter._tissue import (
    Added,
    Altering,
    Bit,
    End,
    Mark,
    Moved,
    Offset,
    PointMoved,
    Stretched,
    Tissue,
    changed_stretches,
    offsets,
    on_tissue,
    printed_line,
)
from firsthand.alter.close_dart import CloseDart
from firsthand.alter.flare import Flare
from firsthand.alter.fullness import Fullness
from firsthand.alter.hem import Hem
from firsthand.alter.join import Join
from firsthand.alter.lengthen import Lengthen
from firsthand.alter.mirror import Mirror, Unfold
from firsthand.alter.model import ALTERATIONS, Alteration, Altered, Entry, Record, Stretch
from firsthand.alter.move_dart import MoveDart
from firsthand.alter.move_edge import MoveEdge
from firsthand.alter.neckline import Neckline
from firsthand.alter.pleats import AddPleats
from firsthand.alter.scale import Scale
from firsthand.alter.slash import SlashAndSpread
from firsthand.alter.split_dart import SplitDart
from firsthand.alter.split_hands import SplitHands
from firsthand.alter.split_piece import SplitPiece
from firsthand.alter.stretch import CutForStretch
from firsthand.alter.take_in import TakeIn
from firsthand.alter.thickness import ForThickness
from firsthand.alter.true import Trued
from firsthand.alter.tuck import AddTucks
from firsthand.alter.turn_dart import TurnDart
from firsthand.alter.turn_of_cloth import TurnOfCloth

__all__ = [
    "ALTERATIONS", "AddPleats", "AddTucks", "Added", "Alteration", "Altered", "Altering", "Bit", "CloseDart", "Composed",
    "CutForStretch", "End", "Entry", "Flare", "ForThickness", "Fullness", "Hem", "Join", "Lengthen", "Mark", "Mirror",
    "MoveDart", "MoveEdge", "Moved", "Neckline", "Offset", "PointMoved", "Record", "Scale", "SlashAndSpread", "SplitDart",
    "SplitHands", "SplitPiece", "StackResult", "Stage", "Stretch", "Stretched", "TakeIn", "Tissue", "Trued", "TurnDart",
    "TurnOfCloth", "Unfold", "apply_stack", "changed_stretches", "composed", "corners_off", "no_longer_matches", "offsets",
    "on_tissue", "printed_line", "seams_off",
]  # fmt: skip
