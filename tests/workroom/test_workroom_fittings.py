"""The files of fittings: read with all their problems, written and read again, and taken into the pattern."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firsthand.demo import write_demo
from firsthand.errors import BadInput, Problem
from firsthand.fit import FitResult
from firsthand.fit.fitting import Fitting, FittingPoint, PointSort
from firsthand.pattern import PartState
from firsthand.units import Unit
from firsthand.workroom import load_workroom, undo
from firsthand.workroom._fittings import fitting_bytes, fittings_of
from firsthand.workroom._reading import Gathered
from firsthand.workroom.fittings import add_fitting, into_pattern, set_states
from firsthand.workroom.pipeline import Pipeline

DAY = "2027-02-06"
PIN = FittingPoint(PointSort.PIN, "jerkin", "side", "level hip", -4.0, "left", doubled=True, to_end=True, carry=True)


@pytest.fixture
def room(tmp_path: Path) -> Path:
    write_demo(tmp_path / "room")
    return tmp_path / "room"


def read(
    contents: bytes, name: str = DAY, garments: tuple[str, ...] = ("jerkin",)
) -> tuple[tuple[Fitting, ...], list[Problem]]:
    gathered = Gathered()
    found = fittings_of("c", {f"fittings/{name}.toml": contents}, garments, ("isaura",), gathered)
    return found, gathered.problems


texts = st.text("abc äß-", max_size=8).map(str.strip)
points = st.builds(
    FittingPoint,
    st.sampled_from([PointSort.PIN, PointSort.SEWN, PointSort.HEM, PointSort.EDGE]),
    st.just("jerkin"),
    st.just("side"),
    st.sampled_from(["level hip", "8 cm below waist", "40 %"]),
    st.one_of(st.integers(-90, 90).map(float), st.floats(-90, 90, allow_nan=False)),
    st.sampled_from(["", "left", "right"]),
    nothing=st.lists(st.sampled_from(["waist", "hip"]), max_size=2).map(tuple),
    to_end=st.booleans(),
    carry=st.booleans(),
    trimmed=st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(points, max_size=4), texts, st.sampled_from([Unit.CM, Unit.MM, Unit.INCH]))
def test_a_fitting_is_written_and_read_again(found: list[FittingPoint], words: str, units: Unit) -> None:
    order = list(PointSort)
    fitting = Fitting(DAY, DAY, "isaura", ("shirt",), words, points=tuple(sorted(found, key=lambda one: order.index(one.sort))))
    again, problems = read(fitting_bytes(fitting, units))
    assert problems == []
    assert again == (fitting,)


def test_darts_are_written_and_read_again() -> None:
    darts = (
        FittingPoint(PointSort.DART, "jerkin", "front.bust dart", "its mouth", 6.0, "left", carry=True),
        FittingPoint(PointSort.DART, "jerkin", "front.bust dart", "its mouth", -6.35),
    )
    fitting = Fitting(DAY, DAY, points=darts)
    assert read(fitting_bytes(fitting)) == ((fitting,), [])
    _, problems = read(fitting_bytes(fitting).replace(b"wider = 0.6", b""))
    assert [problem.place for problem in problems] == ["dart[1]"]


def test_fittings_come_in_the_order_of_their_days() -> None:
    gathered = Gathered()
    files = {
        f"fittings/{name}.toml": fitting_bytes(Fitting(name, name[:10], points=(PIN,)))
        for name in ("2027-02-06-10", "2027-02-06-2", "2027-02-06", "2027-01-30")
    }
    found = fittings_of("c", files, ("jerkin",), (), gathered)
    assert [one.id for one in found] == ["2027-01-30", "2027-02-06", "2027-02-06-2", "2027-02-06-10"]


def test_everything_wrong_is_told_at_once() -> None:
    text = b"""
schema = 1
units = "cm"
date = 2027-02-07
on = "nobody"
in_pattern = ["cloak"]
[[pin]]
garment = "jerkn"
seam = "side"
at = ""
amount = 40
[[hem]]
garment = "jerkin"
edge = "front.hem"
at = "start"
up = 1
down = 2
[[sewn]]
garment = "jerkin"
seam = "side"
at = "waist"
amount = 1
share = 1.5
"""
    _, problems = read(text)
    places = {problem.place for problem in problems}
    wanted = {"date", "on", "in_pattern[1]", "pin[1].at", "pin[1].amount", "hem[1]", "sewn[1].share"}
    assert wanted <= places


def test_a_misspelt_key_is_told() -> None:
    gathered = Gathered()
    text = fitting_bytes(Fitting(DAY, DAY, points=(PIN,))).replace(b"doubled", b"dubled")
    fittings_of("c", {f"fittings/{DAY}.toml": text}, ("jerkin",), (), gathered)
    (finding,) = gathered.findings
    assert "doubled" in finding.remedy


def fit(room: Path) -> FitResult:
    workroom = load_workroom(room)
    return Pipeline(workroom, workroom.costumes["tide-warden"], ("jerkin",)).fits["jerkin"].value


def test_the_demo_has_one_fitting_that_is_taken_in(room: Path) -> None:
    workroom = load_workroom(room)
    assert [one.id for one in workroom.costumes["tide-warden"].fittings] == ["2027-01-23"]
    result = fit(room)
    (done,) = result.fittings
    assert {finding.code for finding in done.findings} == {"fitting-before-cutting"}
    waist = next(row for row in done.ease if row.level == "waist")
    assert (waist.before or 0) - (waist.after or 0) == pytest.approx(12, abs=0.5)  # 3 mm on each side of two seams
    others = [row for row in done.ease if row.level != "waist"]
    assert all(row.before == pytest.approx(row.after, abs=0.5) for row in others)
    assert result.records[-1].alteration == "fitting 2027-01-23 side"


def test_a_second_one_of_a_day_gets_a_number_and_is_undone(room: Path) -> None:
    workroom = load_workroom(room)
    costume = workroom.costumes["tide-warden"]
    first, _ = add_fitting(workroom, costume, Fitting("", DAY, "isaura", points=(PIN,)))
    workroom = load_workroom(room)
    costume = workroom.costumes["tide-warden"]
    second, _ = add_fitting(workroom, costume, Fitting("", DAY, "isaura", points=(PIN,)))
    assert (first.id, second.id) == (DAY, f"{DAY}-2")
    undo(room)
    assert [one.id for one in load_workroom(room).costumes["tide-warden"].fittings] == ["2027-01-23", DAY]


def test_a_fitting_goes_into_the_pattern_once_and_nothing_changes_by_it(room: Path) -> None:
    before = fit(room)
    workroom = load_workroom(room)
    costume = workroom.costumes["tide-warden"]
    old = (room / "costumes/tide-warden/costume.toml").read_text()
    into_pattern(workroom, costume, before.fittings[0])
    text = (room / "costumes/tide-warden/costume.toml").read_text()
    assert "# from the fitting of 2027-01-23, on isaura" in text
    assert all(line in text for line in old.splitlines())
    after = fit(room)
    assert not after.fittings[0].applied
    assert [row.after for row in after.fittings[0].ease] == pytest.approx([row.after for row in before.fittings[0].ease])
    for piece, shape in ((name, one.shape) for name, one in before.garment.pieces.items() if one.shape):
        now = after.garment.pieces[piece].drawn_shape
        assert now.outline.length == pytest.approx(shape.outline.length, abs=0.02)
    workroom = load_workroom(room)
    with pytest.raises(BadInput, match="has this fitting already"):
        into_pattern(workroom, workroom.costumes["tide-warden"], after.fittings[0])
    undo(room)
    assert fit(room).fittings[0].applied


def test_it_is_not_put_before_what_the_fit_takes_in_by_itself(room: Path) -> None:
    file = room / "costumes/tide-warden/costume.toml"
    file.write_text(file.read_text().replace('id = "jerkin"', 'id = "jerkin"\ntake_in = true'))
    done = fit(room).fittings[0]
    workroom = load_workroom(room)
    with pytest.raises(BadInput, match="accept"):
        into_pattern(workroom, workroom.costumes["tide-warden"], done)


def test_states_are_written_and_read_and_leave_cut_parts_out_of_lays(room: Path) -> None:
    for states in ({"front": PartState.CUT}, {"back lining": PartState.SEWN, "front left": PartState.HELD_BACK}):
        workroom = load_workroom(room)
        set_states(workroom, workroom.costumes["tide-warden"], "jerkin", states)
    data = tomllib.loads((room / "costumes/tide-warden/costume.toml").read_text())
    told = next(one for one in data["garment"] if one["id"] == "jerkin")["state"]
    assert told == {"front": "cut", "back lining": "sewn", "front left": "held back"}
    found = {part.id: part.state for part in fit(room).garment.parts}
    assert found["front right shell"] is PartState.CUT
    assert found["front left lining"] is PartState.HELD_BACK
    workroom = load_workroom(room)
    set_states(workroom, workroom.costumes["tide-warden"], "jerkin", {"": PartState.CUT})
    assert {part.state for part in fit(room).garment.parts} == {PartState.CUT}


def test_a_state_of_no_part_is_told(room: Path) -> None:
    workroom = load_workroom(room)
    set_states(workroom, workroom.costumes["tide-warden"], "jerkin", {"frnt": PartState.CUT})
    assert "part-state-unknown" in {finding.code for finding in fit(room).findings}
