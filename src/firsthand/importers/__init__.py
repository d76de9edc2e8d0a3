"""SVG and DXF outlines to proposals, and proposals to pieces."""

from firsthand.importers._dxf import import_dxf
from firsthand.importers._json import proposals_json
from firsthand.importers._layers import LAYERS
from firsthand.importers._piece import proposal_to_piece
from firsthand.importers._svg import import_svg
from firsthand.importers.model import FoundLine, FoundMark, Meaning, Proposal, Proposals

__all__ = [
    "LAYERS", "FoundLine", "FoundMark", "Meaning", "Proposal", "Proposals", "import_dxf", "import_svg", "proposal_to_piece",
    "proposals_json",
]  # fmt: skip
