"""The fit sheet's section on cloth, read back as text."""

from __future__ import annotations

from dataclasses import replace

import pypdfium2 as pdfium

from firsthand.fit.model import ClothFit, ClothRow, StretchingSeam, Way
from firsthand.sheets import Results, Scope, make_sheets
from firsthand.units import Unit, said

ROW = ClothRow("hip", "Hip", 0.6, 1 / 3, 50.0, 0.05, (0.5, 1.1), (), 1000.0, 950.0, 890.0, 0.124, (0.9, 1.9), 1.33)
WAYS = (
    Way("cut", "Cut at once.", 0.0, 0.0),
    Way("inlays", f"Cut with inlays of {said(20.0)}.", 65.0, 134.0, True, "nobody measured how well this cloth recovers"),
)
CLOTH = ClothFit(
    (ROW,),
    (),
    WAYS,
    f"Cut smaller for Velour: hip {said(890.0)}.",
    seams=(StretchingSeam("side", "along", 0.12, "zigzag (304)"),),
)


def text(results: Results, cloth: ClothFit | None, units: Unit = Unit.CM) -> str:
    fits = {name: replace(fit, cloth=cloth) for name, fit in results.fits.items()}
    shown = replace(results, fits=fits, settings=replace(results.settings, units=units))
    file = next(file for file in make_sheets(shown, Scope.GARMENT) if file.kind == "fit")
    pages = (page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(file.data))
    return " ".join(" ".join(pages).split())


def test_levels_seams_and_ways_are_told(results: Results) -> None:
    told = text(results, CLOTH)
    assert "Cut smaller for Velour: hip 89.0 cm." in told
    assert "Hip 60 % 5 % 8.3 % 4 to 8 (0.5 to 1.1) 89.0 cm 12.4 %" in told
    assert "At most a third of the stretch there is should be used up." in told
    assert "Must stretch as far as the cloth: side (along the body). Zigzag (304)." in told
    assert "nobody measured how well this cloth recovers" in told
    assert "advised Cut with inlays of 2.0 cm. 1 h 5 min 0.13 m" in told
    assert "doctor" not in told


def test_a_pressure_above_the_limit_brings_the_whole_caution(results: Results) -> None:
    high = replace(CLOTH, rows=(replace(ROW, pressure=(0.9, 1.9)),))
    assert "numb, cold, blue or tingles" in text(results, high)
    assert "ask a doctor" in text(results, high)


def test_lengths_follow_the_readers_units(results: Results) -> None:
    assert "35 in" in text(results, CLOTH, Unit.INCH)


def test_a_cloth_that_does_nothing_has_no_section(results: Results) -> None:
    still = ClothFit((replace(ROW, strain=-0.1, target=None, target_strain=None, pressure=None),))
    assert "What the cloth does" not in text(results, still)
    assert "What the cloth does" not in text(results, None)
