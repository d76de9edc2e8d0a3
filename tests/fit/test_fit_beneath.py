"""What is worn beneath: which cloth counts, at which levels, each garment once."""

from __future__ import annotations

import math

import pytest

from firsthand.fabric import Fabric
from firsthand.fit import worn_beneath
from firsthand.pattern import Garment, Level

CLOTHS = {
    name: Fabric(name, name, 1400.0, thickness=thick) for name, thick in (("linen", 0.5), ("melton", 2.0), ("twill", 0.25))
}


def garment(name: str, *levels: str, over: tuple[str, ...] = (), **roles: str) -> Garment:
    return Garment(name, name, name, "M", {}, (), levels=tuple(Level(key, key, key) for key in levels), roles=roles, over=over)


def test_each_layer_adds_two_pi_of_its_thickness_where_it_lies() -> None:
    # Steiner's formula: the perimeter of the curve parallel at distance t is longer by 2 pi t.
    garments = {
        "shirt": garment("shirt", "bust_girth", "wrist_girth", shell="linen"),
        "jerkin": garment("jerkin", "bust_girth", over=("shirt",), shell="melton", lining="twill", interfacing="melton"),
        "cape": garment("cape", "bust_girth", over=("jerkin", "shirt"), shell="melton"),
    }
    assert worn_beneath("shirt", garments, CLOTHS) == {}
    added = worn_beneath("cape", garments, CLOTHS)
    assert added["bust_girth"] == pytest.approx(2 * math.pi * (0.5 + 2.0 + 0.25))
    assert added["wrist_girth"] == pytest.approx(2 * math.pi * 0.5)


def test_garments_worn_over_each_other_in_a_circle_or_not_there_end_the_search() -> None:
    garments = {
        "shirt": garment("shirt", "bust_girth", over=("jerkin",), shell="linen"),
        "jerkin": garment("jerkin", "bust_girth", over=("shirt", "coat"), shell="unknown"),
    }
    assert worn_beneath("shirt", garments, CLOTHS) == {"bust_girth": 0.0}
    assert worn_beneath("jerkin", garments, CLOTHS)["bust_girth"] == pytest.approx(math.pi)


def test_a_thickness_no_cloth_has_adds_nothing() -> None:
    garments = {"shirt": garment("shirt", "bust_girth", shell="slip"), "cape": garment("cape", over=("shirt",))}
    assert worn_beneath("cape", garments, {"slip": Fabric("slip", "slip", 1400.0, thickness=876.3)}) == {"bust_girth": 0.0}
