"""Altering pieces outside any costume, by machines and by hand."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from firsthand.demo import demo_patterns
from firsthand.pattern import make_garment, sewn_length
from firsthand.workroom import altering
from firsthand.workroom._stack_file import pieces_now
from firsthand.workroom.schema import AlterAnswer

Run = Callable[..., Any]


@pytest.fixture
def skirt(tmp_path: Path) -> Path:
    """A half-circle skirt in size M, with its seams and levels."""
    pattern = demo_patterns()["skirt"]
    file = tmp_path / "skirt.json"
    file.write_text(json.dumps(pieces_now(make_garment(pattern, "M", id="skirt"))), "utf-8")
    return file


def stack(folder: Path, *entries: str, units: str = "cm") -> Path:
    file = folder / "stack.toml"
    text = "\n".join(f"[[alteration]]\n{entry}\n" for entry in entries)
    file.write_text(f'schema = 1\nunits = "{units}"\n{text}', "utf-8")
    return file


LONGER = 'kind = "lengthen"\nid = "longer"\nlevel = "hip"\namount = 2.5\ntrued = false'


def test_an_answer_says_lengths_maps_and_findings(run: Run, skirt: Path, tmp_path: Path) -> None:
    answer = run("alter", skirt, "--stack", stack(tmp_path, LONGER), "--json")
    assert answer.code == 0
    said = answer.json
    AlterAnswer.model_validate(said)
    rows = {(row["piece"], row["edge"]): row for row in said["edges"]}
    side, waist = rows["front", "side"], rows["front", "waist"]
    assert side["after"] - side["before"] == pytest.approx(25, abs=1e-9)
    assert waist["after"] == waist["before"]
    assert said["alterations"][0]["figures"] == {"amount": 25.0}
    runs = sorted(said["alterations"][0]["edges"]["front.side"], key=lambda run: float(run["old_start"]))
    assert {(run["piece"], run["edge"]) for run in runs} == {("front", "side")}
    assert (runs[0]["old_start"], runs[-1]["old_end"]) == (0.0, pytest.approx(side["before"]))
    assert (runs[0]["new_start"], runs[-1]["new_end"]) == (0.0, pytest.approx(side["after"]))
    assert all(row["fits"] for row in said["seams"])
    assert (said["findings"], said["blocked"], said["off"]) == ([], [], [])


def test_sewn_lengths_leave_out_darts(run: Run, tmp_path: Path) -> None:
    piece = json.loads((Path(__file__).parent / "panel.json").read_text("utf-8"))
    file = tmp_path / "panel.json"
    file.write_text(json.dumps(piece), "utf-8")
    said = run("alter", file, "--stack", stack(tmp_path), "--json").json
    (waist,) = [row for row in said["edges"] if row["edge"] == "waist"]
    assert (waist["before"], waist["sewn_before"]) == (240.0, 215.0)


def test_the_answer_and_the_written_file_are_read_again_as_the_same_pieces(run: Run, skirt: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one.json", tmp_path / "two.json"
    said = run("alter", skirt, "--stack", stack(tmp_path, LONGER), "--out", one, "--json").json
    assert json.loads(one.read_text("utf-8")) == said["pieces"]
    run("alter", one, "--stack", stack(tmp_path), "--out", two)
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize("name", list(demo_patterns()))
def test_pieces_of_every_sort_survive_the_way_out_and_in(tmp_path: Path, name: str) -> None:
    pattern = demo_patterns()[name]
    before = make_garment(pattern, pattern.sizes[0], id="pieces")
    file = json.dumps(pieces_now(before)).encode()
    after, alterations, found = altering.read_pieces_and_stack(("p.json", file), ("s.toml", b'schema = 1\nunits = "mm"'))
    assert (alterations, found) == ((), ())
    assert {k: p.shape for k, p in after.pieces.items()} == {k: p.shape for k, p in before.pieces.items()}
    assert (after.seams, after.levels, after.openings, after.closures, after.parts, after.applied) == (
        before.seams, before.levels, before.openings, before.closures, before.parts, before.applied,
    )  # fmt: skip


def test_several_files_are_written_as_their_names_say(run: Run, skirt: Path, tmp_path: Path) -> None:
    files = [tmp_path / "a" / "out.json", tmp_path / "out.dxf"]
    answer = run("alter", skirt, "--stack", stack(tmp_path, LONGER), "--out", files[0], "--out", files[1])
    assert answer.code == 0
    assert all(f"Written: {file}" in answer.out for file in files)
    assert {block.name for block in ezdxf.readfile(files[1]).blocks if not block.name.startswith("*")} == {"front", "back"}
    wrong = run("alter", skirt, "--stack", stack(tmp_path), "--out", "out.pdf", "--out", "out")
    assert wrong.code == 2
    assert wrong.err.count("--out") == 2


def test_words_name_what_changed_and_nothing_else(run: Run, skirt: Path, tmp_path: Path) -> None:
    off = 'kind = "scale"\nid = "true size"\nprinted = 10\nmeasured = 9.7\noff = true'
    answer = run("alter", skirt, "--stack", stack(tmp_path, LONGER, off), "--why")
    assert "longer: Lengthened at the hip by 2.5 cm" in answer.out
    assert "amount 2.5 cm" in answer.out
    assert "true size: switched off" in answer.out
    assert "front.side" in answer.out
    assert "front.waist" not in answer.out
    inches = run("alter", skirt, "--stack", stack(tmp_path, LONGER), "--units", "inch").out
    assert "by 1 in" in inches
    assert "No edge changed" in run("alter", skirt, "--stack", stack(tmp_path)).out


def test_the_order_is_that_of_the_file(run: Run, skirt: Path, tmp_path: Path) -> None:
    half = 'kind = "scale"\nid = "half"\nprinted = 10\nmeasured = 20'
    one = run("alter", skirt, "--stack", stack(tmp_path, LONGER, half), "--json").json
    two = run("alter", skirt, "--stack", stack(tmp_path, half, LONGER), "--json").json
    lengths = [next(row["after"] for row in said["edges"] if row["edge"] == "side") for said in (one, two)]
    assert lengths[1] - lengths[0] == pytest.approx(12.5, abs=1e-6)
    assert [entry["id"] for entry in two["alterations"]] == ["half", "longer"]


def test_what_cannot_be_done_is_a_finding_that_blocks(run: Run, skirt: Path, tmp_path: Path) -> None:
    answer = run(
        "alter", skirt, "--stack", stack(tmp_path, LONGER.replace("hip", "knee"), LONGER.replace("longer", "b")), "--json"
    )
    assert answer.code == 1
    assert [finding["code"] for finding in answer.json["findings"]] == ["alteration-refused"]
    assert answer.json["blocked"] == ["cut pieces"]
    assert [entry["id"] for entry in answer.json["alterations"]] == ["b"]


def test_a_seam_that_does_not_fit_any_more_is_named(run: Run, skirt: Path, tmp_path: Path) -> None:
    said = run("alter", skirt, "--stack", stack(tmp_path, f'{LONGER}\npieces = ["front"]'), "--json").json
    assert "alteration-seam-off" in {finding["code"] for finding in said["findings"]}
    assert [row["off_after"] for row in said["seams"] if row["fits"] is False]


def test_one_file_of_a_pattern_will_do_and_its_levels_are_known(run: Run, tmp_path: Path) -> None:
    answer = run("alter", Path(__file__).parent / "panel.json", "--stack", stack(tmp_path, LONGER), "--json")
    assert answer.code == 0
    assert answer.json["pieces"]["piece"][0]["cut"] == [{"role": "shell", "how": "single", "count": 1}]


def test_standard_input_is_read(run: Run, skirt: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Given:
        buffer = io.BytesIO(stack(tmp_path, LONGER).read_bytes())

    monkeypatch.setattr("sys.stdin", Given())
    assert run("alter", skirt, "--stack", "-", "--json").json["alterations"][0]["id"] == "longer"
    both = run("alter", "-", "--stack", "-")
    assert both.code == 2
    assert "standard input for one of them" in both.err


def test_all_problems_of_both_files_are_told_at_once(run: Run, tmp_path: Path) -> None:
    pieces = json.loads((Path(__file__).parent / "panel.json").read_text("utf-8"))
    del pieces["sizes"]["M"]["grain"]
    pieces["sizes"]["M"]["darts"][0]["edge"] = "wayst"
    file = tmp_path / "panel.json"
    file.write_text(json.dumps(pieces), "utf-8")
    wrong = stack(
        tmp_path, 'kind = "lengthen"\namount = "soon"\nlevle = "hip"', 'kind = "lenghten"', 'kind = "scale"\nprinted = 1'
    )
    answer = run("alter", file, "--stack", wrong)
    assert answer.code == 2
    for place in (
        f"{file}, sizes.M.grain", f"{wrong}, alteration[1].amount", f"{wrong}, alteration[1].levle",
        f"{wrong}, alteration[2].kind", f"{wrong}, alteration[3].measured",
    ):  # fmt: skip
        assert place in answer.err
    assert "Did you mean lengthen?" in answer.err
    assert "Traceback" not in answer.err


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"seam": [{"id": "s", "a": ["panel.side"], "b": ["back.side"]}]}, "seam[1].b[1]"),
        ({"level": [{"id": "waist", "body": ""}]}, "piece[1].sizes.M.levels[1].level"),
        ({"sizes": ["L"]}, "piece[1].sizes.M"),
        ({"schema": 2}, "written by a newer firsthand"),
        ({"piece": []}, "piece: found"),
        ({"piece": [{"id": "card"}]}, "found no outline"),
    ],
)
def test_a_file_of_pieces_is_checked_like_a_pattern(run: Run, tmp_path: Path, change: dict[str, Any], told: str) -> None:
    panel = json.loads((Path(__file__).parent / "panel.json").read_text("utf-8"))
    pieces = {"schema": 1, "units": "mm", "piece": [{"id": "panel", "sizes": panel["sizes"]}], **change}
    file = tmp_path / "pieces.json"
    file.write_text(json.dumps(pieces), "utf-8")
    answer = run("alter", file, "--stack", stack(tmp_path))
    assert answer.code == 2
    assert told in answer.err


@pytest.mark.parametrize(
    "contents", [b"", b"[]", b"{", b"\xff\xfe", b'{"schema": 1, "schema": 1}', b'{"schema": 1, "units": "mm", "piece": 3}']
)
def test_what_are_no_pieces_is_refused(run: Run, tmp_path: Path, contents: bytes) -> None:
    file = tmp_path / "pieces.json"
    file.write_bytes(contents)
    answer = run("alter", file, "--stack", stack(tmp_path))
    assert answer.code == 2
    assert str(file) in answer.err
    assert "Traceback" not in answer.err


def test_of_several_sizes_one_must_be_said(run: Run, tmp_path: Path) -> None:
    panel = json.loads((Path(__file__).parent / "panel.json").read_text("utf-8"))
    panel["sizes"]["L"] = panel["sizes"]["M"]
    file = tmp_path / "two.json"
    file.write_text(json.dumps(panel), "utf-8")
    nothing = stack(tmp_path)
    assert "--size M" in run("alter", file, "--stack", nothing).err
    assert "one of M, L" in run("alter", file, "--stack", nothing, "--size", "S").err
    assert run("alter", file, "--stack", nothing, "--size", "L", "--json").json["size"] == "L"


def test_lengths_are_what_the_pieces_say(run: Run, skirt: Path, tmp_path: Path) -> None:
    said = run("alter", skirt, "--stack", stack(tmp_path, LONGER), "--json").json
    garment, *_ = altering.read_pieces_and_stack(
        ("p.json", json.dumps(said["pieces"]).encode()), ("s.toml", stack(tmp_path).read_bytes())
    )
    for row in said["edges"]:
        shape = garment.piece(row["piece"]).drawn_shape
        assert row["after"] == pytest.approx(shape.edge(row["edge"]).path.length, abs=1e-9)
        assert row["sewn_after"] == pytest.approx(sewn_length(shape, row["edge"]), abs=1e-9)


DOCS = Path(__file__).parents[2] / "docs"


def test_the_example_of_the_documentation_is_as_it_says(run: Run) -> None:
    page = (DOCS / "stacks.md").read_text("utf-8")
    for name in ("panel.json", "stack.toml"):
        assert f"```{name.rpartition('.')[2]}\n{(DOCS / 'examples' / name).read_text('utf-8')}```" in page
    answer = run("alter", DOCS / "examples" / "panel.json", "--stack", DOCS / "examples" / "stack.toml", "--json")
    assert answer.code == 0
    assert [entry["words"] for entry in answer.json["alterations"]] == ["Lengthened at the hip by 3.0 cm: panel"]
    assert answer.json["off"] == ["hem 1"]
