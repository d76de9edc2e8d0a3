"""How measurements are taken, and which a garment asks for."""

from __future__ import annotations

import pytest

from firsthand.body import MEASUREMENTS, TAKING, Group, Over, Sort, in_order, needed_for
from firsthand.demo import demo_patterns
from firsthand.pattern import make_garment


def test_every_measurement_says_how_it_is_taken() -> None:
    assert set(TAKING) == set(MEASUREMENTS)
    for key, taking in TAKING.items():
        assert taking.key == key
        assert taking.how.endswith("."), key
        assert bool(taking.alone) != bool(taking.friend), key
        assert (taking.alone or taking.friend).endswith("."), key


def test_the_order_is_girths_from_the_top_then_lengths_then_legs() -> None:
    groups = [taking.group for taking in TAKING.values()]
    assert list(dict.fromkeys(groups)) == list(Group)
    assert groups == sorted(groups, key=list(Group).index)
    girths = [key for key, taking in TAKING.items() if taking.group is Group.GIRTHS]
    assert all(MEASUREMENTS[key].sort is Sort.GIRTH for key in girths)
    order = ["head_girth", "neck_girth", "bust_girth", "under_bust_girth", "waist_girth", "top_hip_girth", "hip_girth"]
    assert [key for key in girths if key in order] == order


def test_what_lies_beneath_is_said_where_it_matters() -> None:
    assert all(TAKING[key].over is Over.FOUNDATION for key in ("bust_girth", "under_bust_girth", "waist_girth", "hip_girth"))
    assert all(TAKING[key].over is Over.SHOES for key in ("waist_height", "outside_leg_length", "inside_leg_length"))
    assert TAKING["stature"].over is Over.BARE_FEET
    assert "book" in TAKING["stature"].alone


@pytest.mark.parametrize(
    ("pattern", "key", "why"),
    [
        ("shirt", "hand_girth", "must go through the opening wrist right"),
        ("shirt", "head_girth", "must go through the opening neck"),
        ("shirt", "arm_length", "it has sleeves"),
        ("shirt", "neck_girth", "may never be tighter than it"),
        ("hose", "heel_ankle_girth", "must go through the opening ankle"),
        ("hose", "body_rise", "it has a crotch seam"),
        ("jerkin", "back_waist_length", "it has a bodice with armholes"),
        ("cape", "neck_girth", "may never be tighter than it"),
        ("skirt", "hip_girth", "level Hip"),
    ],
)
def test_a_garment_asks_for_what_it_is_cut_by(pattern: str, key: str, why: str) -> None:
    found = demo_patterns()[pattern]
    needs = {need.key: need for need in needed_for(make_garment(found, found.sizes[0], id=pattern))}
    assert any(why in words for words in needs[key].why)
    assert needs[key].compared == any(level.body == key for level in found.levels)
    assert list(needs) == list(in_order(needs))


def test_alterations_ask_for_what_drives_them() -> None:
    class Driven:
        id = "shoulder 1"
        driven_by = ("shoulder_slope",)

    found = demo_patterns()["skirt"]
    garment = make_garment(found, found.sizes[0], id="skirt")
    assert "shoulder_slope" not in [need.key for need in needed_for(garment)]
    (need,) = [need for need in needed_for(garment, [Driven()]) if need.key == "shoulder_slope"]
    assert need.why == ("alteration shoulder 1",)
    assert not need.compared


def test_a_skirt_asks_nothing_of_the_legs() -> None:
    found = demo_patterns()["skirt"]
    keys = [need.key for need in needed_for(make_garment(found, found.sizes[0], id="skirt"))]
    assert "heel_ankle_girth" not in keys
    assert "inside_leg_length" not in keys
