"""A seam that an alteration put off is spoken of once, by the fit, as gravely as the pattern's check would."""

from __future__ import annotations

from dataclasses import replace

from firsthand.alter import Lengthen
from firsthand.body import Body
from firsthand.demo import demo_patterns
from firsthand.findings import Block, Finding, Severity
from firsthand.fit import fit_garment
from firsthand.pattern import Garment, make_garment
from firsthand.workroom.stages import _check


def seams(garment: Garment, *alterations: Lengthen) -> list[Finding]:
    pattern = demo_patterns()["hose"]
    fit = fit_garment(garment, Body("ines", "Ines", {}), alterations=alterations)
    return [f for f in _check(fit, pattern, {}) if f.code in ("seam-length", "alteration-seam-off")]


def hose() -> Garment:
    return make_garment(demo_patterns()["hose"], "M", id="hose")


def test_one_finding_for_a_seam_with_its_weight_and_blocks() -> None:
    found = seams(hose(), Lengthen(20, height=300, pieces=("front",), id="longer"))
    assert [(f.code, f.where) for f in found] == [
        ("alteration-seam-off", ("hose", "side right")),
        ("alteration-seam-off", ("hose", "inseam right")),
    ]
    assert {f.severity for f in found} == {Severity.FAULT}
    assert {f.blocks for f in found} == {(Block("cut", "hose/back"), Block("cut", "hose/front"))}
    assert any(line.startswith("side of hose front") for line in found[0].why)


def test_little_stays_a_doubt_and_what_was_off_before_stays_with_the_pattern() -> None:
    (side,) = seams(hose(), Lengthen(2, height=300, pieces=("front",)))  # 2 mm are eased in along the inseam
    assert (side.code, side.severity, side.blocks) == ("alteration-seam-off", Severity.DOUBT, ())
    odd = hose()
    back = replace(odd.piece("back"), shape=Lengthen(20, height=300, pieces=("back",)).apply(odd).garment.piece("back").shape)
    found = seams(odd.with_piece(back))
    assert [(f.code, f.where[1]) for f in found] == [("seam-length", "side right"), ("seam-length", "inseam right")]
