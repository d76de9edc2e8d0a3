"""Two patterns that are only cards so far: what the envelope lists, with rough sizes and no outlines."""

from __future__ import annotations

from firsthand.demo._chart import LETTERS, chart_of
from firsthand.pattern import Closure, ClosureKind, Cut, Haberdashery, How, Pattern, Piece, Rough

__all__ = ["hood", "ruff"]


def hood() -> Pattern:
    """The warden's hood: two sides with a strip between them, lined, and a band round the face."""
    shell_and_lining = (Cut("shell"), Cut("lining"))
    strip = (Cut("shell", How.SINGLE), Cut("lining", How.SINGLE))
    sides = {"S": Rough(360, 265), "M": Rough(368, 270), "L": Rough(376, 275)}
    strips = {"S": Rough(560, 130), "M": Rough(570, 132), "L": Rough(580, 134)}
    bands = {"S": Rough(640, 90), "M": Rough(652, 90), "L": Rough(664, 90)}
    return Pattern(
        id="hood",
        name="Warden's hood",
        sizes=LETTERS,
        pieces={
            "side": Piece("side", "1", "Hood side", shell_and_lining, rough=sides),
            "strip": Piece("strip", "2", "Hood middle strip", strip, rough=strips),
            "band": Piece("band", "3", "Face band", (Cut("shell", How.SINGLE),), rough=bands),
        },
        chart=chart_of(["head_girth"]),
        expects_stretch=0.25,
        expects_thickness=1.2,
    )


def ruff() -> Pattern:
    """The warden's ruff: three strips set in figures of eight on a band that comes apart when it is pulled."""
    band = {"S": Rough(400, 80), "M": Rough(412, 80), "L": Rough(424, 80)}
    strip = {size: Rough(1450, 90) for size in LETTERS}
    return Pattern(
        id="ruff",
        name="Warden's ruff",
        sizes=LETTERS,
        pieces={
            "strip": Piece("strip", "1", "Ruff strip", (Cut("shell", How.SINGLE, 3),), rough=strip),
            "band": Piece("band", "2", "Ruff band", (Cut("band", How.SINGLE), Cut("interfacing", How.SINGLE)), rough=band),
        },
        closures=(Closure("ruff tape", ClosureKind.TAPE, count=1, overlap=30.0, parts_under_pull=True, at_neck=True),),
        haberdashery=(Haberdashery("hook-and-loop tape", length=60.0, size="20 mm"),),
        chart=chart_of(["neck_girth"]),
    )
