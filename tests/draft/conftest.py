"""A skirt of two panels, a sleeve pair and an edge in the round to draft for."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from firsthand.geometry import Cubic, Path, Point, Segment
from firsthand.pattern import (
    Corner,
    Cut,
    Dart,
    Edge,
    EdgeRef,
    Fate,
    FateKind,
    Garment,
    Hand,
    How,
    Notch,
    NotchKind,
    Pattern,
    Piece,
    Pleat,
    Rough,
    Seam,
    Shape,
    make_garment,
)  # fmt: skip

Maker = Callable[..., Garment]


def _edge(name: str, *segments: Segment, fate: Fate | None = None) -> Edge:
    return Edge(name, Corner(f"{name} start"), Path(segments), fate=fate)


def _panel(width: float, *, darts: tuple[Dart, ...] = (), pleats: tuple[Pleat, ...] = ()) -> Shape:
    """Half a panel on the fold: hem, side, a curved waist, centre fold."""
    a, b, c, d = Point(0, 0), Point(width + 60, 10), Point(width, 600), Point(0, 590)
    waist = Cubic(c, c + Point(-width / 3, -12), d + Point(width / 3, 0), d)
    return Shape(
        edges=(
            _edge("hem", Cubic(a, Point(80, 0), Point(160, 5), b), fate=Fate(FateKind.HEM, 20)),
            Edge("side", Corner("b"), Path.line(b, c)), _edge("waist", waist), Edge("centre", Corner("d"), Path.line(d, a)),
        ),
        grain=(Point(50, 100), Point(50, 500)),
        notches=(Notch("n1", "waist", 60, NotchKind.DOUBLE),),
        darts=darts,
        pleats=pleats,
    )  # fmt: skip


@pytest.fixture(scope="session")
def make_skirt() -> Maker:
    """Front and back on the fold, sewn at both sides."""

    def make(*, front: float = 190.0, back: float = 180.0, darts: bool = True) -> Garment:
        dart = (Dart("dart", "waist", 120, 20, Point(front - 120, 480)),) if darts else ()
        shapes = {"front": _panel(front), "back": _panel(back, darts=dart)}
        cuts = (Cut("shell", How.FOLD),)
        pieces = {n: Piece(n, n, n, cuts, sizes={"M": shape}, fold="centre") for n, shape in shapes.items()}
        pieces["band"] = Piece("band", "7", "Waist piece", (Cut("contrast", How.SINGLE),), rough={"M": Rough(800, 90)})
        seams = tuple(
            Seam(f"side {hand.value}", (EdgeRef("front", "side", hand),), (EdgeRef("back", "side", hand),))
            for hand in (Hand.RIGHT, Hand.LEFT)
        )
        return make_garment(Pattern("skirt", "Skirt", ("M",), pieces, seams), "M", id="skirt", sort="skirt")

    return make


@pytest.fixture(scope="session")
def make_sleeve() -> Maker:
    """A pair of sleeves, each sewn into a tube, 260 mm round at the wrist before two knife pleats of 15."""

    def make() -> Garment:
        a, b, c, d = Point(0, 0), Point(260, 0), Point(380, 500), Point(-60, 500)
        pleats = (Pleat("p1", "wrist", 90, 15), Pleat("p2", "wrist", 150, 15))
        shape = Shape(
            edges=(
                _edge("wrist", *Path.line(a, b).segments), Edge("front", Corner("b"), Path.line(b, c)),
                _edge("top", *Path.line(c, d).segments, fate=Fate(FateKind.RAW)), Edge("back", Corner("d"), Path.line(d, a)),
            ),
            grain=(Point(100, 50), Point(100, 450)),
            notches=(Notch("n1", "wrist", 40), Notch("n2", "front", 100), Notch("n3", "back", 350)),
            pleats=pleats,
        )  # fmt: skip
        pieces = {"sleeve": Piece("sleeve", "1", "Sleeve", (Cut("shell", How.PAIR),), sizes={"M": shape})}
        seams = tuple(
            Seam(f"under {hand.value}", (EdgeRef("sleeve", "front", hand),), (EdgeRef("sleeve", "back", hand),), tolerance=20)
            for hand in (Hand.RIGHT, Hand.LEFT)
        )
        return make_garment(Pattern("sleeves", "Sleeves", ("M",), pieces, seams), "M", id="sleeves")

    return make
