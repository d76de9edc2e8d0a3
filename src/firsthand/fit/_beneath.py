"""What is worn beneath a garment."""

from __future__ import annotations

import math
from collections.abc import Mapping

from firsthand.fabric import Fabric, believable_thickness
from firsthand.fit._ease import beneath
from firsthand.fit.model import Layer
from firsthand.pattern import Garment, girth

__all__ = ["layers_beneath", "worn_beneath"]

ALL_ROUND = ("shell", "mounting", "lining")
"""Roles whose cloth goes all the way round the body; facings, bands and interfacings lie at edges only (common practice)."""


def worn_beneath(name: str, garments: Mapping[str, Garment], fabrics: Mapping[str, Fabric]) -> dict[str, float]:
    """Girth that everything worn beneath a garment adds, mm, by body measurement.

    A garment beneath counts at the levels that it has itself. What is beneath that garment counts too, each once.

    Parameters
    ----------
    name
        Id of the garment worn on top.
    garments
        The costume's garments, each with the ids of those it is worn over.
    fabrics
        What their roles are bound to; cloth that is not there, or of unknown or unbelievable thickness, adds nothing.
    """
    under = _under(name, garments)
    return beneath((_thickness(garments[one], fabrics), {level.body for level in garments[one].levels}) for one in under)


def layers_beneath(name: str, garments: Mapping[str, Garment], fabrics: Mapping[str, Fabric]) -> tuple[Layer, ...]:
    """Everything worn beneath a garment, with its own finished girths, in the order in which it is named.

    Parameters
    ----------
    name, garments, fabrics
        See :func:`worn_beneath`; the garments as they are altered, if they are.
    """
    return tuple(_layer(garments[one], fabrics) for one in _under(name, garments))


def _layer(garment: Garment, fabrics: Mapping[str, Fabric]) -> Layer:
    found = {level.body: girth(garment, level).total for level in garment.levels}
    girths = {key: total for key, total in found.items() if total is not None}
    return Layer(garment.id, garment.name, _thickness(garment, fabrics), girths)


def _thickness(garment: Garment, fabrics: Mapping[str, Fabric]) -> float:
    return math.fsum(
        believable_thickness(fabrics[garment.roles[role]]) for role in ALL_ROUND if garment.roles.get(role) in fabrics
    )


def _under(name: str, garments: Mapping[str, Garment]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    waiting = [name]
    while waiting:
        more = [one for one in garments[waiting.pop()].over if one in garments and one != name and one not in found]
        found |= dict.fromkeys(more)
        waiting += more
    return tuple(found)
