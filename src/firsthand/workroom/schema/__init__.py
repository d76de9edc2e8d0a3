"""The form of every file of a workroom, as pydantic models; a file becomes a value of the rooms above in the loader."""

from firsthand.workroom.schema._alter import AlterAnswer, OutlinedPiece, PiecesFile, StackFile
from firsthand.workroom.schema._base import Document, MeasuredDocument, Table, is_id, is_size
from firsthand.workroom.schema._costume import CostumeFile, GarmentTable, SessionTable
from firsthand.workroom.schema._fitting import FittingFile
from firsthand.workroom.schema._pattern import AppliedTable, ClosureTable, OpeningTable, PatternFile, PieceTable, SeamTable
from firsthand.workroom.schema._piece import EdgeTable, PieceFile, ShapeTable
from firsthand.workroom.schema._room import FabricsFile, FabricTable, HaberdasheryFile, MachinesFile, WearerFile, WorkroomFile

__all__ = [
    "ANSWERS", "FILES", "AlterAnswer", "AppliedTable", "ClosureTable", "CostumeFile", "Document", "EdgeTable", "FabricTable",
    "FabricsFile", "FittingFile", "GarmentTable",
    "HaberdasheryFile", "MachinesFile", "MeasuredDocument", "OpeningTable", "OutlinedPiece",
    "PatternFile", "PieceFile", "PieceTable", "PiecesFile", "SeamTable", "SessionTable", "ShapeTable", "StackFile", "Table",
    "WearerFile", "WorkroomFile", "is_id", "is_size",
]  # fmt: skip

FILES: dict[str, type[Document]] = {
    "workroom": WorkroomFile,
    "machines": MachinesFile,
    "wearer": WearerFile,
    "fabrics": FabricsFile,
    "haberdashery": HaberdasheryFile,
    "pattern": PatternFile,
    "piece": PieceFile,
    "costume": CostumeFile,
    "fitting": FittingFile,
    "pieces": PiecesFile,
    "stack": StackFile,
}
"""Every kind of file, by the name of its published JSON Schema."""

ANSWERS: dict[str, type[Document]] = {"alter-answer": AlterAnswer}
"""What commands say to machines, by the name of its published JSON Schema."""
