"""Reading a workroom that is whole, and saying everything that is wrong with one that is not."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from firsthand.errors import BadInput, NewerSchema
from firsthand.fabric import Nap
from firsthand.pattern import EdgeRef, Hand
from firsthand.units import Unit
from firsthand.workroom import find_workroom, load_pattern, load_workroom

PATTERN, BIB = "patterns/apron/pattern.toml", "patterns/apron/pieces/bib.json"
COSTUME, FABRICS, WEARER = "costumes/baker/costume.toml", "shelf/fabrics.toml", "wearers/ines.toml"


# what is whole ----------------------------------------------------------------------------------------------


def test_a_whole_workroom_is_read(room: Any) -> None:
    work = room.read()
    assert (work.name, work.settings.units, work.settings.papers) == ("Ours", Unit.CM, ("A4", "Letter"))
    assert work.machines.table == 1600.0
    waist = work.wearers["ines"].measurements["waist_girth"]
    assert (waist.value, waist.again, waist.typed) == (740.0, pytest.approx(29.5 * 25.4), "74, 29 1/2 in")
    cloth = work.fabrics["ticking"]
    assert (cloth.width, cloth.selvedge, cloth.shrink_along, cloth.thickness, cloth.step) == (1400, 10, 0.03, 0.5, 100)
    assert cloth.nap is Nap.NONE
    assert work.shelf[0].length == 3000.0
    costume = work.costumes["baker"]
    assert (costume.wearer, costume.due, costume.sessions[0].minutes) == ("ines", "2027-05-15", 150.0)
    assert costume.folder == room.folder / "costumes" / "baker"
    assert costume.garments[0].roles == {"shell": "ticking"}
    assert work.findings == ()


def test_pieces_with_outlines_and_cards(room: Any) -> None:
    pattern = room.read().patterns["apron"]
    assert list(pattern.pieces["bib"].sizes) == ["S", "M"]
    assert pattern.pieces["pocket"].sizes == {}
    assert pattern.pieces["pocket"].rough["M"].width == 160.0
    assert pattern.pieces["bib"].shape is None
    assert pattern.pieces["strap"].name == "strap"


def test_a_seam_for_each_hand_becomes_two(room: Any) -> None:
    pattern = room.read().patterns["apron"]
    assert [seam.id for seam in pattern.seams] == ["strap right", "strap left"]
    assert pattern.seams[1].a == (EdgeRef("strap", "end", Hand.LEFT),)
    assert pattern.openings[0].edges == (EdgeRef("strap", "long", Hand.RIGHT), EdgeRef("strap", "long", Hand.LEFT))


def test_one_pattern_alone(room: Any) -> None:
    assert load_pattern(room.write() / "patterns" / "apron") == room.read().patterns["apron"]


def test_the_workroom_is_found_from_within_it(room: Any, tmp_path: Path) -> None:
    folder = room.write()
    assert find_workroom(folder / "costumes" / "baker") == folder
    assert find_workroom(folder / COSTUME) == folder
    with pytest.raises(BadInput, match="firsthand new"):
        find_workroom(tmp_path)
    with pytest.raises(BadInput, match="firsthand new"):
        load_workroom(tmp_path / "nowhere")


def test_a_hair_of_a_gap_is_closed(room: Any) -> None:
    room.files[BIB]["sizes"]["S"]["edges"][1]["start"] = [100.004, 0.003]
    shape = room.read().patterns["apron"].pieces["bib"].sizes["S"]
    assert shape.edges[1].path.start == shape.edges[0].path.end
    assert shape.outline.is_closed


def test_inches_in_a_piece(room: Any) -> None:
    strap = {**room.files[BIB], "units": "in", "sizes": {"S": {**room.files[BIB]["sizes"]["S"]}}}
    strap["sizes"]["S"]["edges"] = [{**edge, "allowance": "1.5 cm"} for edge in strap["sizes"]["S"]["edges"]]
    room.files[BIB] = strap
    edge = room.read().patterns["apron"].pieces["bib"].sizes["S"].edge("hem")
    assert edge.path.length == pytest.approx(2540.0)
    assert edge.allowance == 15.0


def test_unknown_keys_are_noticed_and_do_no_harm(room: Any) -> None:
    room.change(COSTUME, 'name = "Baker"', 'name = "Baker"\nnmae = "Baker"')
    room.change(PATTERN, 'number = "2"', 'number = "2"\ncolour_of_paper = "blue"')
    room.files[BIB]["sizes"]["S"]["edges"][0]["note"] = "torn here"
    found = {finding.where: finding for finding in room.read().findings}
    assert {finding.code for finding in found.values()} == {"unknown-key"}
    assert set(found) == {
        (COSTUME, "nmae"),
        (PATTERN, "piece[2].colour_of_paper"),
        (BIB, "sizes.S.edges[1].note"),
    }
    assert found[COSTUME, "nmae"].remedy == "Did you mean name?"


def test_a_piece_that_the_pattern_does_not_name_is_noticed(room: Any) -> None:
    room.files["patterns/apron/pieces/apron string.json"] = "{}"
    assert [finding.code for finding in room.read().findings] == ["stray-file"]


def test_what_is_left_of_a_costume_is_no_costume(room: Any) -> None:
    (room.write() / "costumes" / "old" / "out").mkdir(parents=True)
    (room.folder / "patterns" / "old" / "pieces").mkdir(parents=True)
    assert list(load_workroom(room.folder).costumes) == ["baker"]


# what is not ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "old", "new", "place", "said"),
    [
        (FABRICS, "width = 140", "width = nan", "fabric[1].width", "found NaN"),
        (FABRICS, "width = 140", "width = -140", "fabric[1].width", "more than 0"),
        (FABRICS, "width = 140", "width = 9e9", "fabric[1].width", "kilometre"),
        (FABRICS, "width = 140", 'width = "wide"', "fabric[1].width", "34 1/2 in"),
        (FABRICS, "width = 140", "width = [140]", "fabric[1].width", "34 1/2 in"),
        (FABRICS, "width = 140", "width = true", "fabric[1].width", "34 1/2 in"),
        (FABRICS, "width = 140\n", "", "fabric[1].width", "found nothing"),
        (FABRICS, "width = 140", "width = 2", "fabric[1].selvedge", "less than half the width"),
        (FABRICS, '"3 %"', '"300 %"', "fabric[1].shrink_along", "at most 50 %"),
        (FABRICS, "width = 140", 'width = 140\nnap = "up"', "fabric[1].nap", "'none' or 'one-way'"),
        (FABRICS, 'units = "cm"\n', "", "units", "found nothing"),
        (FABRICS, 'units = "cm"', 'units = "ell"', "units", "'mm', 'cm' or 'in'"),
        (FABRICS, "schema = 1\n", "", "schema", "found nothing"),
        (FABRICS, "schema = 1", "schema = 0", "schema", "found 0"),
        (FABRICS, "schema = 1", 'schema = "1"', "schema", "found '1'"),
        (FABRICS, "[[fabric]]", '[[fabric]]\nid = "ticking"\nwidth = 9\n[[fabric]]', "fabric[2].id", "an id used once"),
        (WEARER, "[74", "[-74", "measurements.waist_girth", "found -74"),
        (WEARER, "[74", "[1, 74", "measurements.waist_girth", "one reading or two"),
        (WEARER, "[measurements]", "[measurements]\nbody_mass = 6000", "measurements.body_mass", "kilograms"),
        (WEARER, "[measurements]", "[measurements]\nshoulder_slope = 95", "measurements.shoulder_slope", "degrees"),
        (WEARER, 'name = "Ines"', 'table = "women"', "table", "'female', 'male' or ''"),
        (WEARER, 'name = "Ines"', "name = 5", "name", "words in quotes"),
        (WEARER, 'name = "Ines"', 'child = "no"', "child", "true or false"),
        (COSTUME, 'wearer = "ines"', 'wearer = "inse"', "wearer", "one of ines"),
        (COSTUME, 'pattern = "apron"', 'pattern = "aprons"', "garment[1].pattern", "one of apron"),
        (COSTUME, 'size = "M"', 'size = "XM"', "garment[1].size", "one of S or M"),
        (COSTUME, 'size = "M"', 'size = "M"\ncut = "tight"', "garment[1].cut", "'skin-tight'"),
        (COSTUME, 'size = "M"', 'size = "M"\nover = ["shirt"]', "garment[1].over[1]", "another garment"),
        (COSTUME, "due = 2027-05-15", 'due = "in May"', "due", "2027-05-15"),
        (COSTUME, "hours = 2.5", "hours = 2.5\nminutes = 9", "session[1]", "one of the two"),
        (COSTUME, "hours = 2.5", "", "session[1]", "neither"),
        (COSTUME, 'id = "apron"', 'id = "../apron"', "garment[1].id", "letters, digits"),
        (COSTUME, "roles", 'alteration = [{ kind = "shrink" }]\nroles', "garment[1].alteration[1].kind", "'shrink'"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["strap.ends"]', "seam[1].a[1]", "an edge of strap: end, long, tip or back"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["sleeve.end"]', "seam[1].a[1]", "bib, strap or pocket"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["strap end"]', "seam[1].a[1]", "PIECE.EDGE"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["strap.end right"]', "seam[1].a[1]", "no hand"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["strap.end velvet"]', "seam[1].a[1]", "a role that strap is cut from: shell"),
        (PATTERN, 'a = ["strap.end"]', 'a = ["strap.end no. 3"]', "seam[1].a[1]", "from 1 to 1"),
        (PATTERN, 'a = ["strap.end"]', "a = []", "seam[1].a", "at least 1"),
        (PATTERN, "ratio = 1", "ratio = nan", "seam[1].ratio", "found NaN"),
        (PATTERN, "ratio = 1", 'hands = "as written"', "seam[1].a[1]", "a hand, since strap is cut as a pair"),
        (PATTERN, "ratio = 1", 'after = ["side"]', "seam[1].after[1]", "a seam of this pattern: strap"),
        (PATTERN, 'fold = "centre"', 'fold = "middle"', "piece[1].fold", "an edge of bib"),
        (PATTERN, 'closure = "bow"', 'closure = "bows"', "opening[1].closure", "bow"),
        (PATTERN, "S = [20, 15]", "XL = [20, 15]", "piece[3].rough.XL", "one of S or M"),
        (PATTERN, 'id = "strap"\nnumber', 'id = "bib"\nnumber', "piece[2].id", "an id used once"),
        ("workroom.toml", 'units = "cm"', 'units = "mm"', "units", "'cm' or 'in'"),
    ],
)  # fmt: skip
def test_a_wrong_value_is_named_with_its_place(room: Any, path: str, old: str, new: str, place: str, said: str) -> None:
    room.change(path, old, new)
    problems = room.problems()
    assert (path, place) in problems
    assert said in str(problems[path, place])
    assert problems[path, place].remedy.endswith(".")


def bib(room: Any, size: str = "S") -> Any:
    return room.files[BIB]["sizes"][size]


def spoil_nan(room: Any) -> None:
    bib(room)["edges"][0]["path"][0][1] = [float("nan"), 0]


def spoil_gap(room: Any) -> None:
    bib(room)["edges"][1]["start"] = [100.5, 0]


def spoil_crossing(room: Any) -> None:
    edges = bib(room)["edges"]
    edges[0]["path"], edges[1]["start"] = [["line", [100, 200]]], [100, 200]
    edges[1]["path"], edges[2]["start"] = [["line", [100, 0]]], [100, 0]


def spoil_direction(room: Any) -> None:
    corners = [[0, 0], [0, 200], [100, 200], [100, 0]]
    for edge, start, end in zip(bib(room)["edges"], corners, [*corners[1:], corners[0]], strict=True):
        edge["start"], edge["path"] = start, [["line", end]]


def spoil_point(room: Any) -> None:
    bib(room)["edges"][0]["path"] = [["line", [0, 0]], ["line", [100, 0]]]


def spoil_notch(room: Any) -> None:
    bib(room)["notches"] = [{"id": "n", "edge": "hem", "at": 101}]


def spoil_notch_edge(room: Any) -> None:
    bib(room)["notches"] = [{"id": "n", "edge": "seam", "at": 1}]


def spoil_level(room: Any) -> None:
    bib(room)["levels"] = [{"level": "hip", "a": [0, 9], "b": [9, 9]}]


def spoil_topology(room: Any) -> None:
    bib(room, "M")["edges"][0]["id"] = "lower"


def spoil_empty(room: Any) -> None:
    bib(room)["edges"] = []


def spoil_piece(room: Any) -> None:
    room.files[BIB]["piece"] = "front"


def spoil_size(room: Any) -> None:
    room.files[BIB]["sizes"]["XL"] = copy.deepcopy(bib(room))


def spoil_step(room: Any) -> None:
    bib(room)["edges"][0]["path"].append(["arc", [0, 0]])


def spoil_far(room: Any) -> None:
    bib(room)["edges"][0]["start"] = [1e12, 0]


def spoil_grain(room: Any) -> None:
    bib(room)["grain"] = [[5, 5], [5, 5]]


@pytest.mark.parametrize(
    ("spoil", "path", "place", "said"),
    [
        (spoil_nan, BIB, "sizes.S.edges[1].path[1][2]", "found [nan, 0]"),
        (spoil_gap, BIB, "sizes.S.edges[2].start", "a gap of 0.50 mm after edge hem"),
        (spoil_crossing, BIB, "sizes.S.edges", "crosses itself at (50.0, 100.0) mm (hem and top)"),
        (spoil_direction, BIB, "sizes.S.edges", "clockwise"),
        (spoil_point, BIB, "sizes.S.edges[1].path[1]", "no length"),
        (spoil_notch, BIB, "sizes.S.notches[1].at", "which is 100.0 mm long"),
        (spoil_notch_edge, BIB, "sizes.S.notches[1].edge", "hem, side, top or centre"),
        (spoil_level, BIB, "sizes.S.levels[1].level", "waist"),
        (spoil_topology, BIB, "sizes.M.edges", "the same edges in the same order as size S"),
        (spoil_empty, BIB, "sizes.S.edges", "at least 1"),
        (spoil_piece, BIB, "piece", "'bib'"),
        (spoil_size, BIB, "sizes.XL", "one of S or M"),
        (spoil_step, BIB, "sizes.S.edges[1].path[2]", '["line", [x, y]]'),
        (spoil_far, BIB, "sizes.S.edges[1].start", "within a hundred metres"),
        (spoil_grain, BIB, "sizes.S.grain", "at least 1 mm"),
    ],
)  # fmt: skip
def test_a_spoilt_outline_is_named_with_its_place(room: Any, spoil: Any, path: str, place: str, said: str) -> None:
    spoil(room)
    problems = room.problems()
    assert (path, place) in problems
    assert said in str(problems[path, place])


@pytest.mark.parametrize(
    ("path", "contents", "place", "said"),
    [
        (FABRICS, 'schema = 1\nunits = "cm\n', "line 2, column 12", "TOML that can be read"),
        (FABRICS, "schema = ", "line 1", "TOML that can be read"),
        (BIB, '{"schema": 1,\n "units" "mm"}', "line 2, column 10", "JSON that can be read"),
        (BIB, '{"schema": 1, "schema": 2}', "", "the key 'schema' twice"),
        (BIB, "[" * 100_000, "", "lists within lists"),
        (BIB, "[1]", "", "keys and values"),
        (BIB, b'{"schema": 1,\n "piece": "\xff"}', "line 2", "Save the file as UTF-8."),
        (WEARER, b"\xff\xfe", "line 1", "Save the file as UTF-8."),
        (PATTERN, None, "", "found no file"),
        ("costumes/second/notes.txt", "soon", "", ""),
    ],
)
def test_files_that_cannot_be_read(room: Any, path: str, contents: Any, place: str, said: str) -> None:
    room.files[path] = contents
    if path.endswith("notes.txt"):
        path, said = "costumes/second/costume.toml", "found no file"
    problems = room.problems()
    assert (path, place) in problems
    assert said in str(problems[path, place])


def test_a_byte_order_mark_is_no_problem(room: Any) -> None:
    room.files[FABRICS] = b"\xef\xbb\xbf" + room.files[FABRICS].encode()
    assert room.read().fabrics


def test_a_newer_file_is_refused_politely(room: Any) -> None:
    room.change(FABRICS, "schema = 1", "schema = 2")
    with pytest.raises(NewerSchema, match="update firsthand, nothing was changed"):
        room.read()


def test_all_problems_of_all_files_come_at_once(room: Any) -> None:
    room.change(FABRICS, "width = 140", "width = nan")
    room.change(WEARER, "[74", "[-74")
    room.change(COSTUME, 'size = "M"', 'size = "XM"')
    room.change(COSTUME, 'name = "Baker"', "budget = -1")
    room.change(PATTERN, 'a = ["strap.end"]', 'a = ["strap.ends"]')
    room.change(PATTERN, 'number = "1"', "number = 1")
    spoil_gap(room)
    bib(room, "M")["edges"][2]["allowance"] = -1
    room.files["patterns/apron/pieces/strap.json"]["sizes"]["M"]["grain"] = 5
    room.files["shelf/haberdashery.toml"] = "schema = "
    assert set(room.problems()) == {
        (FABRICS, "fabric[1].width"),
        (WEARER, "measurements.waist_girth"),
        (COSTUME, "garment[1].size"),
        (COSTUME, "budget"),
        (PATTERN, "seam[1].a[1]"),
        (PATTERN, "piece[1].number"),
        (BIB, "sizes.S.edges[2].start"),
        (BIB, "sizes.M.edges[3].allowance"),
        ("patterns/apron/pieces/strap.json", "sizes.M.grain"),
        ("shelf/haberdashery.toml", "line 1"),
    }


def test_what_is_wrong_in_one_place_is_not_blamed_on_another(room: Any) -> None:
    """An edge whose path is broken is still there for the seams that name it."""
    room.files["patterns/apron/pieces/strap.json"]["sizes"]["S"]["edges"][0]["path"] = "straight"
    room.files["patterns/apron/pieces/strap.json"]["sizes"]["M"]["edges"][0]["path"] = []
    assert {place for _, place in room.problems()} == {"sizes.S.edges[1].path", "sizes.M.edges[1].path"}


def test_a_pattern_that_cannot_be_read_is_not_missing(room: Any) -> None:
    room.files[PATTERN] = "schema = "
    assert set(room.problems()) == {(PATTERN, "line 1")}


def test_a_broken_wearer_is_not_missing(room: Any) -> None:
    room.files[WEARER] = "schema = "
    assert set(room.problems()) == {(WEARER, "line 1")}


def test_nothing_is_written_while_reading(room: Any) -> None:
    folder = room.write()
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    load_workroom(folder)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_curved_outline_that_does_not_cross_is_taken(room: Any) -> None:
    """An S-shaped side that comes close to the centre but does not touch it."""
    for size in "SM":
        edges = bib(room, size)["edges"]
        edges[1]["path"] = [["curve", [-20, 40], [200, 160], edges[1]["path"][0][1]]]
    assert room.read()


def test_a_curved_outline_that_crosses_is_found(room: Any) -> None:
    edges = bib(room)["edges"]
    edges[1]["path"] = [["curve", [-220, 40], [-220, 160], edges[1]["path"][0][1]]]
    problem = room.problems()[BIB, "sizes.S.edges"]
    assert "(side and centre)" in problem.found


def test_json_numbers_of_any_sort(room: Any) -> None:
    text = json.dumps(room.files[BIB]).replace("100.0", "1" + "0" * 400)
    room.files[BIB] = text
    assert all("hundred metres" in problem.expected for (file, _), problem in room.problems().items() if file == BIB)
