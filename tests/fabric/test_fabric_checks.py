"""What is noticed about a garment's fabrics."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.steps.small_garments import FABRICS, jerkin, skirt

from firsthand.errors import GeometryError
from firsthand.fabric import believable_thickness, check_fabrics
from firsthand.findings import Block, Severity
from firsthand.pattern import Garment
from firsthand.units import said


def codes(garment: Garment, **expects: float) -> list[str]:
    return [finding.code for finding in check_fabrics(garment, FABRICS, **expects)]


def test_a_sound_garment_is_quiet() -> None:
    assert codes(skirt()) == []


def test_a_role_without_a_fabric() -> None:
    garment = replace(jerkin(), roles={"shell": "melton", "interfacing": "fusible"})
    (found,) = [finding for finding in check_fabrics(garment, FABRICS) if finding.code == "role-unbound"]
    assert found.severity is Severity.FAULT
    assert found.where == ("jerkin", "lining")
    assert Block("sew", "jerkin") in found.blocks
    assert "(5 parts)" in found.message, "two fronts, a back on the fold, two wings"


def test_a_role_bound_to_a_fabric_that_is_not_there() -> None:
    garment = replace(skirt(), roles={"shell": "silk", "interfacing": "fusible"})
    (found,) = [finding for finding in check_fabrics(garment, FABRICS) if finding.code == "fabric-unknown"]
    assert {Block("lay", "silk"), Block("cut", "silk"), Block("buy", "silk")} <= set(found.blocks)


def test_a_fusible_is_no_shell() -> None:
    assert "fusible-as-cloth" in codes(replace(skirt(), roles={"shell": "fusible", "interfacing": "fusible"}))


def test_thick_cloth_for_a_thin_pattern() -> None:
    """The room lost inside is 2 pi times the extra thickness: a circle's girth, from geometry."""
    found = [one for one in check_fabrics(jerkin(), FABRICS, expects_thickness=0.6) if one.code == "fabric-too-thick"]
    assert [one.where for one in found] == [("jerkin", "shell")]
    assert "2.6 mm" in found[0].message
    assert "0.6 mm" in found[0].message
    assert said(2 * math.pi * 2.0) in " ".join(found[0].why)
    assert codes(jerkin(), expects_thickness=2.6).count("fabric-too-thick") == 0


def test_unknown_thickness_is_asked_for() -> None:
    assert codes(skirt(), expects_thickness=0.5) == ["thickness-unknown"]


def test_too_little_stretch() -> None:
    """The least girth that goes on is body / (1 + stretch)."""
    found = [one for one in check_fabrics(skirt(), FABRICS, expects_stretch=0.25) if one.code == "stretches-too-little"]
    assert len(found) == 1, "the interfacing is not asked to stretch"
    assert said(800) in " ".join(found[0].why)
    velour = replace(skirt(), roles={"shell": "velour", "interfacing": "fusible"})
    assert "stretches-too-little" not in codes(velour, expects_stretch=0.40)
    assert "stretches-too-little" in codes(velour, expects_stretch=0.41)


def test_handling_is_noted() -> None:
    velour = replace(skirt(), roles={"shell": "velour", "interfacing": "fusible"})
    assert {"stretch-seam", "fabric-nap", "fabric-heat"} <= set(codes(velour))


def test_unknown_fibre_is_asked_for() -> None:
    fabrics = {**FABRICS, "linen": replace(FABRICS["linen"], fibre="", sort="")}
    assert [one.code for one in check_fabrics(skirt(), fabrics)] == ["fibre-unknown"]


@pytest.mark.parametrize("expects", [{"expects_stretch": math.nan}, {"expects_stretch": -0.1}, {"expects_thickness": math.inf}])
def test_expectations_without_sense_are_refused(expects: dict[str, float]) -> None:
    with pytest.raises(GeometryError):
        check_fabrics(skirt(), FABRICS, **expects)


def test_a_role_that_no_part_is_cut_from() -> None:
    unused = replace(skirt(), roles={**skirt().roles, "trim": "silk"})
    (found,) = check_fabrics(unused, FABRICS)
    assert (found.code, found.severity, found.where) == ("role-unused", Severity.NOTE, ("skirt", "trim"))
    assert found.remedy == "Take it out."
    roles = {("shel" if role == "shell" else role): name for role, name in skirt().roles.items()}
    by_code = {one.code: one for one in check_fabrics(replace(skirt(), roles=roles), FABRICS)}
    assert by_code["role-unused"].severity is Severity.DOUBT
    assert by_code["role-unused"].remedy == "Did you mean shell?"
    assert "role-unbound" in by_code


def test_a_cloth_of_a_metre_is_a_slip_of_the_unit() -> None:
    """``34 1/2 in`` where a thickness belongs: said, and no cloth of that thickness is reckoned with."""
    thick = {**FABRICS, "melton": replace(FABRICS["melton"], thickness=876.3)}
    found = [one for one in check_fabrics(jerkin(), thick, expects_thickness=0.6) if one.code == "fabric-thickness"]
    assert [one.where for one in found] == [("jerkin", "shell")]
    assert said(876.3) in found[0].message
    assert found[0].blocks == (Block("fit", "jerkin"),)
    assert believable_thickness(thick["melton"]) == 0.0
    assert believable_thickness(FABRICS["melton"]) == FABRICS["melton"].thickness
