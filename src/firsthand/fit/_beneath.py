"""What is worn beneath a garment."""

from __future__ import annotations

from collections.abc import Mapping

from firsthand.fabric import Fabric, believable_thickness
from firsthand.fit._ease import beneath
from firsthand.pattern import Garment

__all__ = ["worn_beneath"]

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
    return beneath(
        (
            sum(
                believable_thickness(fabrics[garments[one].roles[role]])
                for role in ALL_ROUND
                if garments[one].roles.get(role) in fabrics
            ),
            {level.body for level in garments[one].levels},
        )
        for one in under
    )


def _under(name: str, garments: Mapping[str, Garment]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    waiting = [name]
    while waiting:
        more = [one for one in garments[waiting.pop()].over if one in garments and one != name and one not in found]
        found |= dict.fromkeys(more)
        waiting += more
    return tuple(found)
