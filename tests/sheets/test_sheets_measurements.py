"""The measurement form and its figure."""

from __future__ import annotations

import math

import pypdfium2
import pytest

from firsthand.body import MEASUREMENTS, TAKING, Body, Measurement, Need, Sort
from firsthand.geometry import Point, nearest
from firsthand.geometry.drawing import BoundsSink, Recorder
from firsthand.sheets import Form, Results, Settings, form_sheet
from firsthand.sheets._figure import OUTLINES, View
from firsthand.sheets._figure_marks import BADGE, MARKS, NUMBERS, draw_figure
from firsthand.sheets.measurement_form import measurement_form
from firsthand.units import Unit

WEARER = Body(
    "w", "Isaura",
    {key: Measurement(key, value, value + 5 if MEASUREMENTS[key].sort is Sort.GIRTH else None) for key, value in
     {"stature": 1710.0, "waist_girth": 760.0, "hip_girth": 1010.0, "bust_girth": 940.0, "shoulder_slope": math.radians(21),
      "body_mass": 66.0}.items()},
    table="female", date="2026-11-21", over="vest",
)  # fmt: skip
NEEDS = {"hose": (Need("waist_girth", ("level Waist",), True), Need("calf_girth", ("level Calf",), True))}


def words(data: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data)]


def results(units: Unit = Unit.CM, paper: str = "A4") -> Results:
    return Results("Tide Warden", "Isaura", Settings(units=units, papers=(paper,)), body=WEARER, needs=NEEDS)


def test_every_measurement_but_the_weight_is_drawn_and_numbered_as_on_the_form() -> None:
    assert set(MARKS) == set(TAKING) - {"body_mass"}
    assert {key: number for number, key in enumerate(TAKING, 1)} == NUMBERS


@pytest.mark.parametrize("view", list(View))
def test_marks_begin_on_the_lines_of_their_measurement(view: View) -> None:
    """The thread to a number starts on what is drawn for it, and loops are as wide as the body there."""
    for key, mark in MARKS.items():
        if mark.view is view:
            near = min(nearest(path, mark.tip)[1] for path, _ in mark.lines)
            assert near < 1.0, key


@pytest.mark.parametrize("key", ["bust_girth", "under_bust_girth", "waist_girth", "top_hip_girth", "hip_girth", "head_girth"])
def test_loops_end_on_the_outline(key: str) -> None:
    (near, _), *_rest = MARKS[key].lines
    for end in (near.start, near.end):
        off = min(nearest(path, end)[1] for path in OUTLINES[View.FRONT])
        assert off < 1.0


@pytest.mark.parametrize("view", [View.FRONT, View.BACK])
def test_the_figure_is_the_same_on_both_sides(view: View) -> None:
    points = {(round(p.x, 3) + 0.0, round(p.y, 3)) for path in OUTLINES[view] for p in path.joints}
    assert {(-x + 0.0, y) for x, y in points} == points


def test_numbers_never_lie_on_one_another() -> None:
    for view in View:
        recorder = Recorder()
        draw_figure(recorder, view, NUMBERS, Point(100, 100), 0.75)
        spots = []
        for line in recorder.text.splitlines():
            if line.startswith("tiny"):
                x, y = line.split(" at ")[1].split()[:2]
                spots.append(Point(float(x), float(y)))
        assert all(a.distance(b) >= 2 * BADGE - 0.02 for k, a in enumerate(spots) for b in spots[:k])
        assert len(spots) == sum(mark.view is view for mark in MARKS.values())


def test_only_what_is_wanted_is_drawn() -> None:
    recorder = Recorder()
    draw_figure(recorder, View.FRONT, ["waist_girth", "stature"], Point(0, 0), 1.0)
    assert [line for line in recorder.text.splitlines() if "tiny" in line] == [
        line for line in recorder.text.splitlines() if '"10"' in line
    ]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_forms_of_a_costume(paper: str) -> None:
    asked, blank = measurement_form(results(paper=paper))
    assert (asked.name, blank.name) == ("measurement-form.pdf", "measurement-form-blank.pdf")
    assert asked.paper == paper
    text = " ".join(words(asked.data))
    assert "76.0" in text
    assert "76.5" in text
    assert "For: hose" in text
    assert "Calf" in text
    assert "Not taken. In nine bodies of ten between" in text
    assert "Across front" not in text
    everything = " ".join(words(blank.data))
    assert all(MEASUREMENTS[key].trade[1:12] in everything for key in TAKING)
    assert "76.0" not in everything
    assert "Taken over (foundation, shoes)" in everything
    assert "Never tie it round the neck" in everything


def test_inches_are_shown_in_eighths() -> None:
    text = " ".join(
        words(form_sheet(results(Unit.INCH), Form(("waist_girth", "body_mass", "shoulder_slope"), WEARER), "f.pdf").data)
    )
    assert "29⅞" in text
    assert "first, in" in text
    assert "66.0 kg" in text
    assert "21°" in text


def test_no_body_no_form() -> None:
    assert measurement_form(Results("Tide Warden", "", Settings())) == ()


def test_a_form_of_few_measurements_has_only_the_views_they_are_on() -> None:
    sheet = form_sheet(results(), Form(("waist_girth",)), "f.pdf")
    assert sheet.pages == 2
    only = form_sheet(results(), Form(("body_mass",)), "f.pdf")
    assert "Weight" in " ".join(words(only.data))


def test_what_is_drawn_stays_within_its_reach() -> None:
    for view in View:
        sink = BoundsSink()
        draw_figure(sink, view, NUMBERS, Point(0, 0), 1.0)
        assert sink.box is not None
        assert sink.box.width < 100
