"""Laying plain polygons in a strip: the JSON door, for machines and benchmarks."""

from __future__ import annotations

import math
import time
from collections.abc import Mapping, Sequence
from typing import Any

from firsthand.errors import BadInput, FirsthandError
from firsthand.lay._given import LEAST, MOST, Given, number, options, read_items
from firsthand.lay._open import lay_open
from firsthand.lay._problem import make_problem
from firsthand.lay._verify import verify
from firsthand.lay.model import Lay, Placement, Way

__all__ = ["lay_pieces"]

_TOUCH = 1e-9
"""Two parts that share less than this share of the width squared only touch."""


def lay_pieces(
    data: Mapping[str, Any], width: float, *, seconds: float = 20.0, seed: int = 1, workers: int = 2, name: str = ""
) -> dict[str, Any]:
    """Lay polygons in a strip as short as can be found.

    Parameters
    ----------
    data
        ``{"items": [{"id": .., "demand": 2, "allowed_orientations": [0.0, 180.0], "polygon": [[x, y], ..]}, ..]}``.
        Orientations are degrees; ``null`` allows any, an empty or missing list only 0. Other keys are passed over.
    width
        Of the strip, in the unit of the polygons.
    seconds, seed, workers
        How long to look, where to begin, and how many processes.
    name
        Of the file that the data come from, for what is said of them.

    Returns
    -------
    dict
        ``length``, ``density``, ``seconds``, ``seed``, and ``placements``, each with ``id``, ``rotation_deg``, ``x``,
        ``y``, ``mirrored``: turn the given polygon about the origin, then shift it; x runs along the length, y across
        the width. The answer was verified with shapely before it was given.

    Raises
    ------
    BadInput
        With everything that is wrong with the data. At most 5000 pieces are laid, with 10 000 points in an outline and
        500 000 in all; a piece is at most 5000 times as long as the strip is wide.

    Examples
    --------
    >>> panel = {"id": 0, "demand": 2, "allowed_orientations": [0.0], "polygon": [[0, 0], [50, 0], [50, 30], [0, 30]]}
    >>> answer = lay_pieces({"items": [panel]}, 60, seconds=0.5)
    >>> round(answer["length"], 3), round(answer["density"], 3), len(answer["placements"])
    (50.0, 1.0, 2)
    """
    problems = [*options("--" if name else "", width, seconds, seed, workers)]
    scale = _scale(width)
    given, wrong = read_items(data, width, scale, name)
    if problems or wrong:
        raise BadInput([*problems, *wrong])
    began = time.monotonic()
    wanted = tuple(one.item for one in given if one.item.demand)
    strip = width * scale
    problem = make_problem(wanted, strip, 0.0, slimness=0.0)

    def sound(placed: Sequence[Placement], length: float) -> bool:
        return not verify(Lay("", Way.OPEN, strip, length, wanted, tuple(placed)), overlap=_TOUCH * strip * strip)

    found = lay_open(problem, seconds=seconds, seed=seed, workers=workers, check=sound)
    if not found.sound:
        raise FirsthandError("no sound lay of these pieces was found; give more seconds")
    known = {one.item.id: one for one in given}
    lay = Lay("", Way.OPEN, strip, found.length, wanted, found.placements)
    return {
        "length": found.length / scale,
        "density": lay.density,
        "seconds": round(time.monotonic() - began, 3),
        "seed": seed,
        "placements": [_placed(known[placement.item], placement, scale) for placement in found.placements],
    }


def _scale(width: Any) -> float:
    """A power of two, so that nothing is rounded, that makes the strip some 1000 wide whatever the unit of the file."""
    return 2.0 ** (10 - math.frexp(width)[1]) if number(width, LEAST, MOST) else 1.0


def _placed(one: Given, placement: Placement, scale: float) -> dict[str, Any]:
    """A placement of the outline as it stands in the file: turned about the file's origin, not the outline's."""
    cos, sin = round(math.cos(placement.turn), 15), round(math.sin(placement.turn), 15)
    x, y = one.origin
    return {
        "id": one.name,
        "rotation_deg": math.degrees(placement.turn) + 0.0,
        "x": placement.x / scale - (x * cos - y * sin) + 0.0,
        "y": placement.y / scale - (x * sin + y * cos) + 0.0,
        "mirrored": placement.mirrored,
    }
