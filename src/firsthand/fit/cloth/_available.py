"""How far a cloth, or several on each other, stretch round the body at a level."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from firsthand.fabric import Fabric
from firsthand.pattern import Garment, Level, Shape, girth

__all__ = ["Layers", "Round", "round_level"]

Layers = Mapping[str, Fabric]
"""The cloths that go all the way round the body, by role; the shell first."""


@dataclass(frozen=True, slots=True)
class Round:
    """What the cloths do round the body at a level.

    Parameters
    ----------
    stretch
        How far they stretch there, as a share: as far as the one that stretches least.
    shell
        How far the shell alone does.
    least
        The role that stretches least.
    across
        Which part of the girth runs crosswise, as a share; the rest runs lengthwise.
    stiffness
        Newtons per metre of width for a strain of one, all layers together; 0 where that of one is not known.
    pulled
        How far all of them were pulled in the test, as a share.
    unknown
        Roles whose pull is not known.
    """

    stretch: float
    shell: float
    least: str
    across: float
    stiffness: float = 0.0
    pulled: float = 0.0
    unknown: tuple[str, ...] = ()


def round_level(garment: Garment, level: Level, layers: Layers) -> Round:
    """What the cloths do round the body at a level.

    The level's line runs at an angle a to the crosswise grain of each piece; a cloth stretches ``across cos2 a + along sin2 a``
    that way (for small stretches; the give of a bias is left out, which is cautious). Pieces add up by their widths. Layers
    lie on each other: the one that stretches least says how far all go, and their tensions add.

    Parameters
    ----------
    garment, level
        The garment and one of its levels.
    layers
        The cloths by role; not empty.
    """
    share = _crosswise(garment, level)
    share = 1.0 if share > ALL_ACROSS else share
    reach = {role: cloth.stretch_across * share + cloth.stretch_along * (1 - share) for role, cloth in layers.items()}
    least = min(reach, key=lambda role: reach[role])
    # The pull is tested crosswise: of a level that runs along the grain nothing is said.
    unknown = tuple(role for role, cloth in layers.items() if not (cloth.tension and cloth.tension_at) or share < ALL_ACROSS)
    stiffness = 0.0 if unknown else math.fsum(cloth.tension / cloth.tension_at for cloth in layers.values())
    pulled = 0.0 if unknown else min(cloth.tension_at for cloth in layers.values())
    return Round(reach[least], next(iter(reach.values())), least, share, stiffness, pulled, unknown)


ALL_ACROSS = 0.9
"""From this share on a level counts as running crosswise."""


def _crosswise(garment: Garment, level: Level) -> float:
    """Which part of a level runs crosswise; all of it where no piece carries it."""
    widths: list[tuple[float, float]] = []
    parts = {part.id: part for part in garment.parts}
    for term in girth(garment, level).terms:
        shape = garment.piece(parts[term.part].piece).drawn_shape
        widths.append((term.width, _square_cosine(shape, level.id)))
    whole = math.fsum(width for width, _ in widths)
    return math.fsum(width * square for width, square in widths) / whole if whole > 0 else 1.0


def _square_cosine(shape: Shape, level: str) -> float:
    line = next(one for one in shape.levels if one.level == level)
    return 1.0 - (line.b - line.a).unit().dot(shape.up) ** 2
