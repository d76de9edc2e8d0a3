"""The demo workroom on disk."""

from __future__ import annotations

import datetime
import re
from functools import cache
from pathlib import Path

import pytest

from firsthand.body import check_body
from firsthand.demo import COSTUME, demo_files, demo_patterns, write_demo
from firsthand.draft import add_drafting
from firsthand.errors import BadInput
from firsthand.findings import Severity
from firsthand.pattern import check_garment, cutting_line, make_garment, walk_seam
from firsthand.workroom import history, load_workroom


@cache
def files() -> dict[str, bytes]:
    return demo_files()


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "room"
    write_demo(folder)
    return folder


def test_it_loads_without_problems_or_findings(room: Path) -> None:
    workroom = load_workroom(room)
    assert workroom.findings == ()
    assert workroom.revision == 1
    assert workroom.patterns == demo_patterns()
    assert list(workroom.wearers) == ["isaura"]
    assert set(workroom.costumes) == {"tide-warden"}


def test_the_costume_has_its_garments_dates_and_roles(room: Path) -> None:
    workroom = load_workroom(room)
    costume = workroom.costumes["tide-warden"]
    assert [brief.id for brief in costume.garments] == ["shirt", "hose", "skirt", "jerkin", "cape", "hood", "ruff"]
    assert costume.due.startswith("2027-05")
    assert costume.budget > 0
    assert 25 <= len(costume.sessions) <= 30
    dates = [session.date for session in costume.sessions]
    assert dates == sorted(set(dates))
    assert dates[0] >= "2027-01-01"
    assert dates[-1] < costume.due
    # Tuesdays and Saturdays, as the file says
    assert {datetime.date.fromisoformat(date).weekday() for date in dates} == {1, 5}
    unbound = {
        (brief.id, cut.role)
        for brief in costume.garments
        for piece in workroom.patterns[brief.pattern].pieces.values()
        for cut in piece.cuts
        if brief.roles.get(cut.role) not in workroom.fabrics
    }
    assert unbound == {("hood", "lining")}
    assert costume.garment("hose").take_in


def test_the_waistband_is_drafted_to_the_waist_edge(room: Path) -> None:
    workroom = load_workroom(room)
    brief, body = workroom.costumes["tide-warden"].garment("skirt"), workroom.wearers["isaura"]
    made = make_garment(workroom.patterns["skirt"], brief.size, id="skirt")
    drafting = brief.drafts[0].draft(made)
    finished = add_drafting(made, drafting)
    seam = drafting.seams[0]
    assert {ref.edge for ref in (*seam.a, *seam.b)} == {"waist", "lower"}
    walk = walk_seam(finished, seam)
    assert walk.fits
    assert not [gap for gap in walk.notch_gaps if abs(gap.gap) > 6]  # the quarters of an eased edge
    # Ease at the waist of a skirt, 13 to 19 mm: Central Washington University, costume text, ch. 16 "Ease in Clothing"
    assert 13 <= drafting.figures["sewn length"] - body.value("waist_girth") <= 19
    assert 0 < drafting.figures["edge"] - drafting.figures["sewn length"] < 0.05 * drafting.figures["edge"]
    assert {cut.role for cut in drafting.piece.cuts} <= brief.roles.keys()


def test_the_shelf_is_short_of_buttons_only(room: Path) -> None:
    workroom = load_workroom(room)
    needed: dict[tuple[str, str], tuple[int, float]] = {}
    for brief in workroom.costumes["tide-warden"].garments:
        for item in workroom.patterns[brief.pattern].haberdashery:
            count, length = needed.get((item.kind, item.size), (0, 0.0))
            needed[item.kind, item.size] = (count + item.count, length + item.length)
    on_shelf = {(item.kind, item.size): item for item in workroom.shelf}
    assert on_shelf.keys() <= needed.keys()
    short = {key for key, item in on_shelf.items() if item.count < needed[key][0] or item.length < needed[key][1]}
    assert short == {("button", "11 mm")}
    assert workroom.fabrics["melton"].thickness > 3 * workroom.patterns["jerkin"].expects_thickness


def test_the_velour_cannot_do_for_hose_and_hood(room: Path) -> None:
    workroom = load_workroom(room)
    velour, hood = workroom.fabrics["velour"], workroom.patterns["hood"].pieces
    made = make_garment(workroom.patterns["hose"], "M", id="hose")
    legs = [cutting_line(made.piece(name).drawn_shape) for name in ("front", "back")]
    # The grain runs down the leg: however well they are laid, the longest leg sets the least length.
    assert velour.on_hand * (1 - velour.shrink_along) < max(leg.bounds.height for leg in legs)
    area = 2 * sum(leg.area for leg in legs) + 2 * hood["side"].rough["M"].length * hood["side"].rough["M"].width
    assert area < velour.usable_width * velour.on_hand  # a bit short, not hopeless


def test_the_wearer_is_measured_but_for_the_upper_arm(room: Path) -> None:
    workroom = load_workroom(room)
    body = workroom.wearers["isaura"]
    wanted = {level.body for pattern in workroom.patterns.values() for level in pattern.levels}
    assert wanted - set(body.measurements) == {"upper_arm_girth"}
    girths = [m for key, m in body.measurements.items() if key.endswith("_girth")]
    assert [m.key for m in girths if m.again is None] == ["neck_girth"]
    assert all(abs(m.value - m.again) <= 5 for m in girths if m.again is not None)
    assert body.value("neck_girth") > body.value("neck_base_girth")  # cannot be: 53 for 35


def test_the_checks_find_what_is_wrong_on_purpose_and_nothing_else(room: Path) -> None:
    workroom = load_workroom(room)
    found: dict[str, set[tuple[str, ...]]] = {}
    for brief in workroom.costumes["tide-warden"].garments:
        pattern = workroom.patterns[brief.pattern]
        made = make_garment(pattern, brief.size, id=brief.id, roles=brief.roles)
        for draft in brief.drafts:
            made = add_drafting(made, draft.draft(made))
        for finding in check_garment(made, pattern):
            if finding.severity is not Severity.NOTE:
                found.setdefault(finding.code, set()).add(finding.where)
    assert found == {
        "notches-miss": {("shirt", "sleeve right")},
        "edge-without-fate": {("hose", "front", "waist"), ("hose", "back", "waist")},
        "seam-length": {("skirt", "side right")},
        "piece-torn": {("jerkin", "wing")},
        "scale-wrong": {("cape",)},
    }
    body = workroom.wearers["isaura"]
    needed = {level.body for pattern in workroom.patterns.values() for level in pattern.levels} | body.measurements.keys()
    doubts = {(finding.code, finding.where[-1]) for finding in check_body(body, needed)}
    asked = {("measurement-missing", "upper_arm_girth"), ("measurement-implausible", "neck_girth")}
    assert doubts == asked | {("measurement-once", "isaura")}


def test_without_its_waistband_the_skirt_is_not_finished(room: Path) -> None:
    pattern = load_workroom(room).patterns["skirt"]
    found = check_garment(make_garment(pattern, "L", id="skirt"), pattern)
    assert {f.where for f in found if f.code == "edge-without-fate"} == {("skirt", p, "waist") for p in ("front", "back")}


def test_files_are_plain_text_of_their_own() -> None:
    for path, data in files().items():
        text = data.decode()
        assert not path.startswith("/")
        assert "\r" not in text
        assert not re.search(r"(?i)https?://|/home/|/work/|/tmp/", text), path
        assert path.endswith("jsonl") or text.endswith("\n"), path
    assert f"{COSTUME}/daybook.jsonl" in files()
    assert sum(path.endswith(".json") for path in files()) == sum(
        bool(piece.sizes) for pattern in demo_patterns().values() for piece in pattern.pieces.values()
    )


def test_writing_twice_changes_nothing_and_sets_back_what_was_changed(tmp_path: Path) -> None:
    folder = tmp_path / "room"
    assert write_demo(folder) == folder / COSTUME
    write_demo(folder)
    assert len(history(folder)) == 1
    (folder / "machines.toml").write_text("schema = 1\nunits = 'cm'\n")
    (folder / COSTUME / "daybook.jsonl").write_text('{"done": 1}\n')
    write_demo(folder)
    assert (folder / "machines.toml").read_bytes() == files()["machines.toml"]
    assert (folder / COSTUME / "daybook.jsonl").read_text() == '{"done": 1}\n'
    assert [entry.files for entry in history(folder)][1:] == [("machines.toml",)]


def test_other_folders_are_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear aunt")
    with pytest.raises(BadInput) as refused:
        write_demo(tmp_path)
    assert refused.value.problems[0].found == "a folder with other files in it"
    with pytest.raises(BadInput) as refused:
        write_demo(tmp_path / "letter.txt")
    assert refused.value.problems[0].found == "a file"
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]
    write_demo(tmp_path / "new" / "room")
    (tmp_path / "empty").mkdir()
    write_demo(tmp_path / "empty")
