"""The sheet of a fitting, and its chalk strips at true size."""

from __future__ import annotations

import itertools
import math
from functools import cache

import pypdfium2
import pytest

from firsthand.demo import demo_patterns
from firsthand.fit import FitResult
from firsthand.fit.fitting import Fitting, FittingPoint, PointSort, fitted, with_states
from firsthand.geometry.drawing import LineKind
from firsthand.pattern import PartState, make_garment
from firsthand.sheets import Results, Scope, Settings, SheetFile, make_sheets
from firsthand.sheets._paper import paper
from firsthand.sheets.chalk_strips import _drawn, _strips
from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.units import Unit


def pin(at: str, amount: float, hand: str = "") -> FittingPoint:
    return FittingPoint(PointSort.PIN, "jerkin", "side", at, amount, hand, doubled=True)


@cache
def results(*points: FittingPoint, papers: tuple[str, ...] = ("A4",), units: Unit = Unit.CM) -> Results:
    garment = make_garment(demo_patterns()["jerkin"], "M", id="jerkin")
    garment = with_states(garment, {"": PartState.SEWN, "lining": PartState.PLANNED})
    fitting = Fitting("2027-02-06", "2027-02-06", "isaura", ("shirt",), "Basted", ("Raise the arms.",), points)
    after, done = fitted(garment, fitting)
    fit = FitResult(garment=after, before=(), after=(), fittings=(done,))
    return Results("Tide Warden", "Isaura", Settings(units=units, papers=papers), fits={"jerkin": fit})


def made(results: Results) -> dict[str, SheetFile]:
    return {file.name: file for file in make_sheets(results, Scope.GARMENT, only=("fitting", "chalk-strips"))}


def text(file: SheetFile) -> str:
    pages = pypdfium2.PdfDocument(file.data)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


def test_there_is_a_sheet_and_strips_for_each_paper() -> None:
    files = made(results(pin("waist", 8.0), papers=("A4", "Letter")))
    assert set(files) == {
        "jerkin/fitting-2027-02-06.pdf", "jerkin/chalk-strips-2027-02-06-A4.pdf", "jerkin/chalk-strips-2027-02-06-Letter.pdf",
    }  # fmt: skip
    assert files["jerkin/chalk-strips-2027-02-06-A4.pdf"].test_square == 100.0
    assert not any(file.findings for file in files.values())


def test_the_sheet_says_what_was_found_and_what_to_do() -> None:
    words = text(made(results(pin("waist", 8.0), pin("hip", -14.0)))["jerkin/fitting-2027-02-06.pdf"])
    for said in (
        "pinned 0.8 cm in the fold",
        "let out 1.4 cm",
        "0.4 cm short",
        "What to do, in order",
        "Trim last",
        "count them",
    ):
        assert said in words


def test_strips_have_the_old_line_as_their_edge_at_true_size_and_the_new_one_where_it_was_noted() -> None:
    given = results(pin("waist", 8.0), pin("hip", -6.0))
    fit = given.fits["jerkin"]
    strips = list(_strips(fit.garment, fit.fittings[0], paper("A4")))
    assert {strip.way for strip in strips} == {1.0, -1.0}
    for number, strip in enumerate(strips):
        sink = MeasureSink()
        _drawn(fit.garment, strip, number, Unit.CM).tape.play(sink)
        (old,) = (line for kind, line in sink.lines if kind is LineKind.CUTTING)
        length = math.fsum(a.distance(b) for a, b in itertools.pairwise(old))
        assert length == pytest.approx(strip.end - strip.start, abs=0.05)
        new = [point for kind, line in sink.lines if kind is LineKind.STITCHING for point in line]
        inside = [s for s in strip.side.spots if s.amount * strip.way > 0.1 and strip.start < s.at < strip.end]
        for spot in inside:
            foot, run = strip.side.old.at(spot.at), strip.side.old.at(strip.start)
            # distances do not change when a strip is turned: from the place to the old line's start, and to the new line
            place = min(old, key=lambda point: abs(point.distance(old[0]) - foot.distance(run)))
            assert min(place.distance(point) for point in new) == pytest.approx(abs(spot.amount), abs=1.0)


@pytest.mark.parametrize("units", [Unit.CM, Unit.INCH])
def test_one_hand_alone_and_inches(units: Unit) -> None:
    files = made(results(pin("waist", 8.0, "left"), pin("hip", 4.0, "right"), units=units))
    words = text(files["jerkin/chalk-strips-2027-02-06-A4.pdf"])
    assert "this hand only" in words
    assert "side, left: front left, take in" in words
