"""Reshapings one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from firsthand.alter.moving.maps import chained
from firsthand.alter.moving.reshape import Reshaped
from firsthand.pattern import Garment

__all__ = ["in_turn", "put_in"]


def put_in(garment: Garment, changed: Mapping[str, Reshaped]) -> Garment:
    """The garment with changed pieces put in."""
    for name, result in changed.items():
        garment = garment.with_piece(replace(garment.piece(name), shape=result.shape))
    return garment


def in_turn(first: Reshaped | None, second: Reshaped | None) -> Reshaped:
    """Two reshapings of a piece, the second of what the first gave, as one.

    Raises
    ------
    ValueError
        If there are none.
    """
    if first is None or second is None:
        if first is None and second is None:
            raise ValueError("nothing was reshaped")
        return first or second  # type: ignore[return-value]  # one of them is there
    maps = {name: chained(runs, second.maps[name]) if name in second.maps else runs for name, runs in first.maps.items()}
    return Reshaped(second.shape, {**second.maps, **maps}, (*first.lost, *second.lost))
