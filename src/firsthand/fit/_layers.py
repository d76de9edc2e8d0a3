"""What is worn beneath a garment."""

from __future__ import annotations

import math
from collections.abc import Iterable

__all__ = ["beneath"]


def beneath(layers: Iterable[tuple[float, Iterable[str]]]) -> dict[str, float]:
    """How much the layers worn beneath add to each body girth.

    A layer of thickness t lies t further out all round, so it adds 2 pi t to the girth, whatever its shape (the perimeter
    of a parallel curve grows by 2 pi t: Steiner's formula).

    Parameters
    ----------
    layers
        For each garment beneath, the thickness of its cloth in mm and the keys of the body girths that it covers.

    Examples
    --------
    >>> beneath([(1.0, ["chest_girth", "waist_girth"]), (0.5, ["chest_girth"])])
    {'chest_girth': 9.42477796076938, 'waist_girth': 6.283185307179586}
    """
    added: dict[str, float] = {}
    for thickness, keys in layers:
        for key in sorted(set(keys)):
            added[key] = added.get(key, 0.0) + 2 * math.pi * thickness
    return added
