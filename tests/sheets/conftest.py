"""A small invented garment and what the stages would answer about it."""

from __future__ import annotations

import pytest

from firsthand.buy import BuyLine, BuyList
from firsthand.fabric import Fabric, Nap
from firsthand.findings import Block, Finding, Severity
from firsthand.fit import EaseBand, EaseRow, FitResult, Verdict
from firsthand.geometry import Cubic, Path, Point
from firsthand.lay import FabricLays, Lay, LayItem, Placement, Way
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    Fate,
    FateKind,
    Hand,
    How,
    InnerLine,
    InnerLineKind,
    Level,
    LevelLine,
    Notch,
    NotchKind,
    Pattern,
    Piece,
    Pleat,
    Rough,
    Shape,
    make_garment,
)
from firsthand.plan import Plan, PlanCard
from firsthand.sheets import Results, Settings
from firsthand.steps import Place, SetUp, Step
from firsthand.units import said


def _edge(name: str, *points: tuple[float, float], allowance: float = 15.0, fate: Fate | None = None) -> Edge:
    at = [Point(x, y) for x, y in points]
    path = Path((Cubic(*at),)) if len(at) == 4 else Path.line(*at)
    return Edge(name, Corner(f"{name} start"), path, allowance=allowance, fate=fate)


def front() -> Piece:
    """A front with a dart, a curved armhole, notches, buttonholes and two levels."""
    shape = Shape(
        edges=(
            _edge("hem", (0, 0), (260, 0), allowance=30.0, fate=Fate(FateKind.HEM, 30.0)),
            _edge("side", (260, 0), (250, 360)),
            _edge("armhole", (250, 360), (195, 380), (205, 470), (200, 560)),
            _edge("shoulder", (200, 560), (75, 600)),
            _edge("neck", (75, 600), (70, 540), (40, 510), (0, 505), allowance=10.0),
            _edge("centre front", (0, 505), (0, 0)),
        ),
        grain=(Point(45, 60), Point(45, 330)),
        notches=(
            Notch("side waist", "side", 170.0),
            Notch("armhole low", "armhole", 70.0),
            Notch("armhole high", "armhole", 150.0, NotchKind.DOUBLE),
        ),
        darts=(Dart("waist dart", "hem", 140.0, 24.0, Point(145, 260)),),
        lines=tuple(
            InnerLine(f"buttonhole {k + 1}", InnerLineKind.BUTTONHOLE, Path.line(Point(8, y), Point(28, y)))
            for k, y in enumerate((100.0, 220.0, 340.0, 460.0))
        ),
        levels=(LevelLine("waist", Point(0, 170), Point(255.3, 170)), LevelLine("chest", Point(0, 380), Point(228, 380))),
    )
    return Piece("front", "1", "Front", (Cut("shell"), Cut("lining")), sizes={"M": shape}, size="M", shape=shape)


def back() -> Piece:
    """A back cut on the fold, altered: its side was bought 8 mm further out."""
    bought = Shape(
        edges=(
            _edge("hem", (0, 0), (238, 0), allowance=30.0, fate=Fate(FateKind.HEM, 30.0)),
            _edge("side", (238, 0), (238, 360)),
            _edge("armhole", (238, 360), (190, 380), (185, 480), (190, 565)),
            _edge("shoulder", (190, 565), (72, 600)),
            _edge("neck", (72, 600), (60, 585), (30, 580), (0, 580), allowance=10.0),
            _edge("centre back", (0, 580), (0, 0), fate=Fate(FateKind.FOLD)),
        ),
        grain=(Point(60, 80), Point(60, 400)),
        notches=(Notch("side waist", "side", 170.0),),
    )
    now = bought.with_edge(_edge("side", (230, 0), (230, 360)))
    now = now.with_edge(_edge("hem", (0, 0), (230, 0), allowance=30.0, fate=Fate(FateKind.HEM, 30.0)))
    now = now.with_edge(_edge("armhole", (230, 360), (190, 380), (185, 480), (190, 565)))
    cuts = (Cut("shell", How.FOLD), Cut("lining", How.FOLD))
    return Piece("back", "2", "Back", cuts, sizes={"M": bought}, size="M", shape=now, fold="centre back", drawn=Hand.RIGHT)


def sleeve() -> Piece:
    """A sleeve with pleats at the wrist."""
    shape = Shape(
        edges=(
            _edge("wrist", (40, 0), (300, 0)),
            _edge("back seam", (300, 0), (350, 420)),
            _edge("head", (350, 420), (250, 620), (100, 620), (0, 420)),
            _edge("front seam", (0, 420), (40, 0)),
        ),
        grain=(Point(170, 120), Point(170, 420)),
        notches=(Notch("front", "head", 300.0), Notch("back", "head", 130.0, NotchKind.DOUBLE)),
        pleats=(Pleat("one", "wrist", 70.0, 12.0), Pleat("two", "wrist", 190.0, 12.0, towards_end=False)),
    )
    return Piece("sleeve", "3", "Sleeve", (Cut("shell"),), sizes={"M": shape}, size="M", shape=shape)


def tab() -> Piece:
    """A piece too small for its own name."""
    shape = Shape(
        edges=(
            _edge("end", (0, 0), (24, 0), allowance=6.0),
            _edge("long one", (24, 0), (24, 70), allowance=6.0),
            _edge("tip", (24, 70), (0, 70), allowance=6.0),
            _edge("long two", (0, 70), (0, 0), allowance=6.0),
        ),
        grain=(Point(12, 8), Point(12, 62)),
    )
    cuts = (Cut("shell", How.SINGLE, 4), Cut("interfacing", How.SINGLE, 2))
    return Piece("tab", "4", "Shoulder tab", cuts, sizes={"M": shape}, size="M", shape=shape)


@pytest.fixture
def pattern() -> Pattern:
    """A jerkin of four pieces and a card."""
    card = Piece("sash", "5", "Sash", (Cut("contrast", How.SINGLE),), rough={"M": Rough(1800.0, 160.0)}, size="M")
    pieces = {piece.id: piece for piece in (front(), back(), sleeve(), tab(), card)}
    levels = (Level("waist", "waist", "waist_girth"), Level("chest", "chest", "chest_girth"))
    return Pattern("jerkin-pattern", "Jerkin", ("M",), pieces, levels=levels)


@pytest.fixture
def fabrics() -> dict[str, Fabric]:
    """What it is cut from."""
    return {
        "melton": Fabric("melton", "Slate melton", 1480.0, selvedge=15.0, sort="melton", fibre="wool", nap=Nap.ONE_WAY),
        "twill": Fabric("twill", "Sea-green twill", 1400.0, selvedge=10.0, sort="lining", fibre="viscose"),
        "fusible": Fabric("fusible", "Fusible canvas", 900.0, sort="fusible interfacing", fusible=True),
    }


@pytest.fixture
def fit(pattern: Pattern) -> FitResult:
    """The garment with its ease."""
    roles = {"shell": "melton", "lining": "twill", "interfacing": "fusible"}
    garment = make_garment(pattern, "M", id="jerkin", name="Jerkin", roles=roles, sort="jerkin")
    back_piece = pattern.pieces["back"]
    garment = garment.with_piece(back_piece)
    band = EaseBand(60.0, 120.0, "common practice")
    before = EaseRow("jerkin", "waist", "waist", "waist_girth", 820.0, 972.0, band, Verdict.LOOSE)
    after = EaseRow("jerkin", "waist", "waist", "waist_girth", 820.0, 940.0, band, Verdict.GOOD)
    chest = EaseRow("jerkin", "chest", "chest", "chest_girth", None, 1010.0, None, Verdict.UNKNOWN)
    words = "Take in 32 mm at the side seams."
    return FitResult(garment, (before, chest), (after, chest), proposal={"side": 32.0}, proposal_words=words)


@pytest.fixture
def findings() -> tuple[Finding, ...]:
    """One of each severity."""
    return (
        Finding("piece-torn", Severity.FAULT, "The shoulder tab is torn.", ("jerkin", "tab"), "Trace the half that is whole.",
                (Block("print", "jerkin/tab"),)),
        Finding("seam-length", Severity.DOUBT, f"Side seam: front {said(360)}, back {said(352)}.", ("jerkin", "side"),
                "True the side seam."),
        Finding("nap", Severity.NOTE, "Slate melton has nap: all tops lie one way."),
    )  # fmt: skip


@pytest.fixture
def results(fit: FitResult, fabrics: dict[str, Fabric]) -> Results:
    """What a sheet about the garment gets."""
    return Results("Tide Warden", "Wenna Tresk", Settings(papers=("A4", "Letter")), fits={"jerkin": fit}, fabrics=fabrics)


def _lay(way: Way, length: float) -> Lay:
    turn = -1.5707963267948966
    items, placements = [], []
    for k, piece in enumerate((front(), sleeve(), tab())):
        shape = piece.drawn_shape
        items.append(LayItem(piece.id, f"Jerkin {piece.name}", shape.outline, grain=shape.grain, turns=(turn,), demand=2))
        for copy in (1, 2):
            x, y = 20.0 + 640.0 * k, 330.0 + 420.0 * (copy - 1)
            placements.append(Placement(piece.id, turn, x, y, mirrored=False, copy=copy))
    return Lay("melton", way, 1450.0, length, tuple(items), tuple(placements), bound=1200.0, engine="shelf", seconds=4.0)


@pytest.fixture
def costume(results: Results, fabrics: dict[str, Fabric], findings: tuple[Finding, ...]) -> Results:
    """What a sheet about the whole costume gets."""
    set_up = SetUp("straight", 2.5, "universal 90", "standard", "slate")
    parts = ("front right shell", "back centre shell")
    steps = (
        Step("jerkin/seam/side", "jerkin", "seams", "Sew the side seams", Place.MACHINE, 12.0,
             "Front to back, notches matched.", set_up, parts, ("side",)),
        Step("jerkin/press/side", "jerkin", "seams", "Press the side seams open", Place.IRON, 6.0,
             setup=SetUp(heat="two dots, 150 °C at most"), caution="The iron is hot: keep fingers clear of the steam."),
    )  # fmt: skip
    cards = (PlanCard(1, "card-1", "jerkin", "Side seams", steps, ("Thread the machine with slate",), 2.0, "2027-05-01"),)
    lines = (
        BuyLine("fabric", "Slate melton, 148 cm wide", "length", 1920.0, 0.0, 2000.0, 46.0, ("jerkin",)),
        BuyLine("haberdashery", "buttons, 15 mm", "count", 8, 3, 5, 2.5, ("jerkin",)),
    )
    lays = {"melton": FabricLays("melton", (_lay(Way.OPEN, 1920.0), _lay(Way.FOLDED, 2200.0)))}
    return Results(
        "Tide Warden", "Wenna Tresk", Settings(currency="£"), "2027-05-14", results.fits, fabrics, lays,
        BuyList(lines), Plan(cards, "2027-05-14", "2027-05-01", 2.0, 6.0), findings,
    )  # fmt: skip
