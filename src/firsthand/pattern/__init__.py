"""Pieces, parts, edges, seams and garments. Knows no files."""

from firsthand.pattern._assembly import Assembly, Component, assemble
from firsthand.pattern._caps import capped_edge, dart_cap, pleat_cap
from firsthand.pattern._cutting import cutting_line
from firsthand.pattern._fate import edge_fate
from firsthand.pattern._folds import dart_legs, folded_edge, pleat_lines
from firsthand.pattern._girth import Girth, Term, girth
from firsthand.pattern._level import level_width
from firsthand.pattern._outline import CutOutline, cut_outline, drawn_fold, drawn_outline
from firsthand.pattern._parts import MIRRORED, find_part, flipped, is_on_fold, opened, part_shape
from firsthand.pattern._refs import parse_edge_ref
from firsthand.pattern._roles import BACKINGS, INTERFACINGS, ROLES, UNDER_ROLES, Layer, Role, is_backing, layer_of
from firsthand.pattern._sense import chain_senses
from firsthand.pattern._sewn import sewn_at, sewn_length, take_up
from firsthand.pattern._walk import NotchGap, SeamWalk, walk_seam
from firsthand.pattern.checks import CHECKS, Check, check_garment
from firsthand.pattern.checks._words import single_seams, stem
from firsthand.pattern.garment import make_garment, parts_of_piece
from firsthand.pattern.model import (
    Applied,
    Closure,
    ClosureKind,
    Condition,
    Corner,
    CornerShape,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Ground,
    Haberdashery,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Notch,
    NotchKind,
    Opening,
    Part,
    PartState,
    Pattern,
    Piece,
    Pleat,
    PleatKind,
    Pressed,
    PrintedScale,
    Profile,
    Rough,
    Seam,
    SeamKind,
    Shape,
)

__all__ = [
    "BACKINGS", "CHECKS", "INTERFACINGS", "MIRRORED", "ROLES", "UNDER_ROLES", "Applied", "Assembly", "Check", "Closure",
    "ClosureKind", "Component", "Condition", "Corner", "CornerShape", "Cut", "CutOutline", "Dart", "Edge", "EdgeRef", "Fate",
    "FateKind", "Garment", "Girth", "Ground", "Haberdashery", "Hand", "How", "InnerLine", "InnerLineKind", "Layer", "Level",
    "LevelLine", "Notch", "NotchGap", "NotchKind", "Opening", "Part", "PartState", "Pattern", "Piece", "Pleat", "PleatKind",
    "Pressed", "PrintedScale", "Profile", "Role", "Rough", "Seam", "SeamKind", "SeamWalk", "Shape", "Term", "assemble",
    "capped_edge", "chain_senses", "check_garment", "cut_outline", "cutting_line", "dart_cap", "dart_legs", "drawn_fold",
    "drawn_outline", "edge_fate", "find_part", "flipped", "folded_edge", "girth", "is_backing", "is_on_fold", "layer_of",
    "level_width", "make_garment", "opened", "parse_edge_ref", "part_shape", "parts_of_piece", "pleat_cap", "pleat_lines",
    "sewn_at", "sewn_length", "single_seams", "stem", "take_up", "walk_seam",
]  # fmt: skip
