"""Lays: where each part lies on its fabric.

In a lay x runs along the length of the fabric and y across its width, both from 0, in millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from firsthand.findings import Finding
from firsthand.geometry import Affine, Path, Point

__all__ = ["FabricLays", "Lay", "LayItem", "Placement", "Way"]


class Way(StrEnum):
    """How the fabric lies on the table."""

    OPEN = "open"
    """One layer, right side up."""
    FOLDED = "folded"
    """Double, folded lengthwise right sides together; the fold runs along y = 0."""


@dataclass(frozen=True, slots=True)
class LayItem:
    """A shape to lay, so many times.

    Parameters
    ----------
    id
        Unique in the lay.
    label
        For the diagram.
    outline
        The cutting line, closed, in the piece's own coordinates (grain along y).
    parts
        Ids, as ``"jerkin/front left shell"``, of the parts that one placement cuts: two where a pair is cut double.
    turns
        Allowed turns, radians, counter-clockwise; empty for any. With the grain along the length and "up" towards +x
        a part is turned by -pi/2.
    mirrored
        Whether the outline is mirrored (x -> -x) before it is turned.
    fold
        Ends, in the piece's coordinates, of the edge that must lie on the fold; None if none.
    grain
        Lower and upper end of the grain line, in the piece's coordinates, for the diagram.
    flips
        Whether it may as well be laid the other side up: on double cloth both hands are cut, or either layer can be used.
    layers
        How many layers one placement cuts; 1 on double cloth leaves the second layer under it spare.
    """

    id: str
    label: str
    outline: Path
    parts: tuple[str, ...] = ()
    demand: int = 1
    turns: tuple[float, ...] = (0.0,)
    mirrored: bool = False
    fold: tuple[Point, Point] | None = None
    grain: tuple[Point, Point] | None = None
    flips: bool = False
    layers: int = 1


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one copy of an item lies."""

    item: str
    turn: float
    x: float
    y: float
    mirrored: bool = False
    copy: int = 1
    layers: int = 1
    """How many layers are cut at once."""

    @property
    def transform(self) -> Affine:
        """From the item's outline to the fabric: mirror in x if mirrored, turn about the origin, shift."""
        flip = Affine(a=-1.0) if self.mirrored else Affine()
        return Affine.translation(self.x, self.y) @ Affine.rotation(self.turn) @ flip


@dataclass(frozen=True, slots=True)
class Lay:
    """Parts laid on one fabric one way.

    Parameters
    ----------
    width
        Usable width of what lies on the table: half the fabric's when folded, mm.
    length
        Length used, mm.
    bound
        A length that no lay can go below, mm.
    gap
        Room kept between parts, mm.
    engine, seconds, seed
        How it was found. A lay found in a set time may come out differently on a slower machine.
    """

    fabric: str
    way: Way
    width: float
    length: float
    items: tuple[LayItem, ...]
    placements: tuple[Placement, ...]
    bound: float = 0.0
    gap: float = 0.0
    engine: str = ""
    seconds: float = 0.0
    seed: int = 0

    @property
    def density(self) -> float:
        """Share of the cloth used that becomes parts; a single part on double cloth leaves half of its room spare."""
        areas = {item.id: abs(item.outline.area) for item in self.items}
        deep = 2 if self.way is Way.FOLDED else 1
        used = sum(areas[placement.item] * placement.layers / deep for placement in self.placements)
        return used / (self.width * self.length) if self.length else 0.0

    def item(self, name: str) -> LayItem:
        """The item with an id."""
        return next(item for item in self.items if item.id == name)


@dataclass(frozen=True, slots=True)
class FabricLays:
    """The verified lays of everything cut from one fabric, one for each way that worked, the shortest cloth first."""

    fabric: str
    lays: tuple[Lay, ...]
    chosen: int = 0
    findings: tuple[Finding, ...] = ()

    @property
    def best(self) -> Lay | None:
        """The lay that is meant."""
        return self.lays[self.chosen] if self.lays else None
