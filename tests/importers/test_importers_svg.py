"""SVG files written by hand and by reportlab at test time."""

import json
import math

import pytest
from reportlab.graphics import renderSVG
from reportlab.graphics.shapes import Drawing, Polygon
from reportlab.graphics.shapes import Path as DrawnPath

from firsthand.errors import BadInput
from firsthand.geometry import Cubic, Path, Point
from firsthand.importers import Meaning, import_svg, proposal_to_piece, proposals_json
from firsthand.units import Unit

SPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def written(tmp_path, body, root='width="400mm" height="500mm" viewBox="0 0 400 500"', name="pieces.svg"):
    file = tmp_path / name
    file.write_text(f"<svg {SPACES} {root}>{body}</svg>", encoding="utf-8")
    return file


def only(file, **options):
    (proposal,) = import_svg(file, **options).proposals
    return proposal


SQUARE = '<path id="front" d="M 50 60 H 250 V 360 H 50 Z"/>'


def test_a_closed_path_is_a_piece(tmp_path):
    found = import_svg(written(tmp_path, SQUARE))
    (front,) = found.proposals
    assert found.findings == ()
    assert (front.name, front.ids) == ("front", ("front",))
    assert front.outline.area == pytest.approx(200 * 300)
    assert set(front.outline.joints) == {Point(50, -60), Point(250, -60), Point(250, -360), Point(50, -360)}


@pytest.mark.parametrize(
    ("root", "scale"),
    [
        ('width="40cm" height="50cm" viewBox="0 0 400 500"', 1.0),
        ('width="400mm" height="500mm" viewBox="0 0 800 1000"', 0.5),
        ('width="10in" height="12.5in" viewBox="0 0 400 500"', 254 / 400),
        ('width="400mm" viewBox="0 0 400 500"', 1.0),
        ('width="288pt" height="360pt" viewBox="0 0 400 500"', 101.6 / 400),
        ('width="400px" height="500px"', 25.4 / 96),
        ('width="400" height="500" viewBox="0 0 400 500"', 25.4 / 96),
        ('viewBox="0 0 400 500"', 25.4 / 96),
        ("", 25.4 / 96),
        ('width="100%" height="100%" viewBox="0 0 400 500"', 25.4 / 96),
    ],
)
def test_units_of_the_page(tmp_path, root, scale):
    found = import_svg(written(tmp_path, SQUARE, root))
    box = found.proposals[0].outline.bounds
    assert (box.width, box.height) == pytest.approx((200 * scale, 300 * scale), abs=1e-6)
    sure = any(unit in root for unit in ("cm", "mm", "in", "pt"))
    assert [f.code for f in found.findings] == ([] if sure else ["svg-units"])


def test_the_unit_can_be_given(tmp_path):
    found = import_svg(written(tmp_path, SQUARE, ""), unit=Unit.MM)
    assert found.findings == ()
    assert found.proposals[0].outline.bounds.width == pytest.approx(200)


def test_lengths_with_units_inside(tmp_path):
    # 96 px are one inch (W3C, CSS Values and Units): 100 mm inside a page without a viewBox are 100 mm.
    body = '<rect x="10mm" y="1cm" width="100mm" height="2in"/>'
    box = only(written(tmp_path, body, 'width="400mm" height="500mm"')).outline.bounds
    assert (box.left, box.width, box.height, box.top) == pytest.approx((10, 100, 50.8, -10), abs=1e-6)


def test_transforms_are_followed(tmp_path):
    body = f'<g transform="translate(10 20)"><g transform="rotate(90) scale(0.5)">{SQUARE}</g></g>'
    outline = only(written(tmp_path, body)).outline
    # (x, y) -> halved, turned by a quarter: (-y / 2, x / 2), shifted; then y turned up.
    for x, y in ((50, 60), (250, 60), (250, 360), (50, 360)):
        assert min(Point(10 - y / 2, -(20 + x / 2)).distance(j) for j in outline.joints) < 1e-6
    assert outline.area == pytest.approx(60000 / 4)
    skewed = only(written(tmp_path, f'<g transform="skewX(30)">{SQUARE}</g>', name="skew.svg")).outline
    assert skewed.area == pytest.approx(60000)
    mirrored = only(written(tmp_path, f'<g transform="matrix(-1 0 0 1 400 0)">{SQUARE}</g>', name="mirror.svg")).outline
    assert mirrored.area == pytest.approx(60000)


def test_use_is_followed_and_definitions_are_not_drawn(tmp_path):
    body = (
        f'<defs>{SQUARE}</defs><symbol id="s"><rect width="90" height="80"/></symbol>'
        '<clipPath id="c"><rect width="70" height="70"/></clipPath>'
        '<use xlink:href="#front" transform="translate(5 5)"/><use href="#front" x="400"/>'
    )
    found = import_svg(written(tmp_path, body))
    assert sorted(p.outline.bounds.left for p in found.proposals) == pytest.approx([55, 450])
    assert [p.name for p in found.proposals] == ["front 1", "front 2"]


def test_curves_stay_curves(tmp_path):
    body = '<path d="M 0 0 C 0 80 120 80 120 0 Q 60 -40 0 0 Z"/>'
    outline = only(written(tmp_path, body)).outline
    assert [type(s) for s in outline] == [Cubic, Cubic]
    drawn = Path.curve(Point(0, 0), Point(0, -80), Point(120, -80), Point(120, 0))
    bow = Path.curve(Point(120, 0), Point(80, 80 / 3), Point(40, 80 / 3), Point(0, 0))
    assert outline.area == pytest.approx(Path.joined([drawn, bow]).area)


@pytest.mark.parametrize("by", ["", "rotate(33)", "skewX(20) scale(1.5 0.7)"])
def test_circles_ellipses_and_arcs(tmp_path, by):
    body = f'<g transform="{by}"><circle cx="100" cy="100" r="60"/></g>'
    factor = 1.05 if "scale" in by else 1.0
    assert only(written(tmp_path, body)).outline.area == pytest.approx(math.pi * 3600 * factor, rel=1e-6)
    ellipse = f'<g transform="{by}"><ellipse cx="100" cy="100" rx="80" ry="30"/></g>'
    assert only(written(tmp_path, ellipse)).outline.area == pytest.approx(math.pi * 2400 * factor, rel=1e-6)
    arcs = f'<g transform="{by}"><path d="M 0 0 H 100 A 40 40 0 0 1 100 80 H 0 Z"/></g>'
    assert only(written(tmp_path, arcs)).outline.area == pytest.approx((8000 + math.pi * 800) * factor, rel=1e-6)
    turned = '<path d="M 40 0 A 80 40 30 1 0 41 0 Z"/>'
    assert only(written(tmp_path, turned, name="turned.svg")).outline.area == pytest.approx(math.pi * 3200, rel=1e-3)


def test_a_file_of_reportlab(tmp_path):
    points = [20.5, 30.25, 300.125, 30.25, 300.125, 400.75, 20.5, 390]
    drawing = Drawing(400, 500)
    drawing.add(Polygon(points))
    path = DrawnPath()
    path.moveTo(320, 50)
    path.curveTo(320, 150, 390, 150, 390, 50)
    path.closePath()
    drawing.add(path)
    file = tmp_path / "reportlab.svg"
    renderSVG.drawToFile(drawing, str(file))
    found = import_svg(file, unit=Unit.MM)
    corners = [Point(x, y) for x, y in zip(points[::2], points[1::2], strict=True)]
    big = max((p.outline for p in found.proposals), key=lambda o: o.area)
    assert big.area == pytest.approx(Path.polygon(corners).area, abs=1e-2)
    assert len(found.proposals) == 2


def test_round_trip_to_a_millionth(tmp_path):
    points = [(17.123456789, 3.3), (291.7182818, 14.14), (250.000001, 333.3333333), (9.87654321, 299.99)]
    body = f'<polygon points="{" ".join(f"{x},{y}" for x, y in points)}"/>'
    outline = only(written(tmp_path, body)).outline
    assert all(min(Point(x, -y).distance(j) for j in outline.joints) < 1e-6 for x, y in points)


def test_lines_within_belong_to_the_piece(tmp_path):
    body = (
        f'<g id="Front">{SQUARE}<line id="grain" x1="100" y1="300" x2="100" y2="120"/>'
        '<line id="notch1" x1="250" y1="200" x2="245" y2="200"/><circle cx="150" cy="200" r="2"/>'
        '<path id="cutout" d="M 80 80 h 40 v 40 z"/><text x="120" y="260">Front M</text></g>'
    )
    front = only(written(tmp_path, body))
    assert [line.kind for line in front.lines] == [Meaning.HOLE, Meaning.CUT_OUT, Meaning.GRAIN, Meaning.NOTCH]
    assert front.words == ("Front M",)
    piece = proposal_to_piece(front, "front", "1", "Front", "M")
    shape = piece.drawn_shape
    assert [edge.id for edge in shape.edges] == ["edge-1", "edge-2", "edge-3", "edge-4"]
    assert shape.grain == (Point(100, -300), Point(100, -120))
    (notch,) = shape.notches
    assert shape.edge(notch.edge).path.at(notch.at).distance(Point(250, -200)) < 1e-6


def test_open_lines_that_meet_are_one_outline(tmp_path):
    body = '<path d="M 0 0 H 100"/><path d="M 100 80 V 0"/><path d="M 0 0.02 L 0 80 L 100 80"/>'
    assert only(written(tmp_path, body)).outline.area == pytest.approx(8000, abs=2)


def test_smooth_outlines_have_one_edge(tmp_path):
    proposal = only(written(tmp_path, '<circle cx="100" cy="100" r="60"/>'))
    shape = proposal_to_piece(proposal, "disc", "1", "Disc", "one").drawn_shape
    assert [edge.id for edge in shape.edges] == ["edge-1"]
    assert shape.outline.is_closed


def test_as_plain_data(tmp_path):
    body = f'{SQUARE}<path d="M 80 80 Q 100 100 120 80"/>'
    data = json.loads(json.dumps(proposals_json(import_svg(written(tmp_path, body, "")))))
    (front,) = data["proposals"]
    assert front["name"] == "front"
    assert front["path"][0][0] == "line"
    assert front["lines"][0]["path"][0][0] == "curve"
    assert data["findings"][0]["code"] == "svg-units"


# bad files ----------------------------------------------------------------------------------------------------------


def refused(file):
    with pytest.raises(BadInput) as caught:
        import_svg(file)
    assert all(p.file == file.name and p.found and p.expected and p.remedy for p in caught.value.problems)
    return str(caught.value)


def test_files_that_are_none(tmp_path):
    assert "nothing" in refused(tmp_path / "none.svg")
    for name, data in {"noise": bytes(range(256)), "words": b"no drawing", "html": b"<html/>", "cut": b"<svg><g>"}.items():
        file = tmp_path / f"{name}.svg"
        file.write_bytes(data)
        refused(file)


def test_empty_drawings(tmp_path):
    assert "no outline" in refused(written(tmp_path, ""))
    assert "no outline" in refused(written(tmp_path, '<rect width="1" height="1"/>'))


def test_open_outlines_name_their_gap(tmp_path):
    assert "gap of 5.00 mm" in refused(written(tmp_path, '<path id="back" d="M 0 0 H 100 V 100 H 0 V 5"/>'))


def test_every_fault_is_told_at_once(tmp_path):
    bow = '<path id="{0}" d="M 0 0 L 100 100 V 0 L 0 100 Z"/>'
    said = refused(written(tmp_path, bow.format("one") + bow.format("two")))
    assert "element one" in said
    assert "element two" in said
    assert "near x 50.0 mm, y -50.0 mm" in said


def test_absurd_sizes(tmp_path):
    assert "pieces below" in refused(written(tmp_path, '<rect width="90000" height="50"/>'))
    refused(written(tmp_path, '<rect width="1e300" height="50"/>'))
    refused(written(tmp_path, '<path d="M 0 0 L nan 5 L 1e999 7 Z"/>'))


def test_entities_and_circles_are_refused(tmp_path):
    bomb = tmp_path / "bomb.svg"
    bomb.write_text('<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg><text>&b;</text></svg>')
    assert "entities" in refused(bomb)
    assert "uses itself" in refused(written(tmp_path, '<g id="a"><use href="#a"/></g>'))
    doubling = "".join(f'<g id="g{k}"><use href="#g{k + 1}"/><use href="#g{k + 1}"/></g>' for k in range(25))
    assert "elements" in refused(
        written(tmp_path, f'<defs>{doubling}<g id="g25"><rect width="9"/></g></defs><use href="#g0"/>')
    )


def test_references_elsewhere_are_not_followed(tmp_path):
    body = f'{SQUARE}<image href="file:///etc/hostname" width="9" height="9"/><use href="other.svg#x"/>'
    found = import_svg(written(tmp_path, body))
    assert [f.code for f in found.findings] == ["import-external"]
    assert len(found.proposals) == 1


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ('<path id="front" d="M 50 60 zork H 250 V 360 Z"/>', "line 2, element front: found a path with 'zork'"),
        ('<path id="front" d="M 50 nan H 250 V 360 Z"/>', "line 2, element front: found a path with 'nan'"),
        ('<path id="front" d="M 50 60 L 250 V 360 Z"/>', "line 2, element front: found a path with 1 numbers after L"),
        ('<path id="front" d="L 50 60 V 360 Z"/>', "line 2, element front: found a path with no place to begin at"),
        ('<polygon points="1,2 300,zork 5"/>', "line 2, element polygon: found points with 'zork'"),
        ('<rect id="r" x="1" y="inf" width="90" height="90"/>', "line 2, element r: found y = 'inf'"),
        (f'<g id="turned" transform="zork(1)">{SQUARE}</g>', "element turned: found a transform with 'zork(1)'"),
        (f'<g id="turned" transform="rotate(10">{SQUARE}</g>', "element turned: found a transform with 'rotate(10'"),
        (f'<g id="turned" transform="scale(2x)">{SQUARE}</g>', "element turned: found a transform with 'scale(2x)'"),
        (
            f'<g id="turned" transform="matrix(1 0 0 1)">{SQUARE}</g>',
            "element turned: found a transform with 'matrix(1 0 0 1)'",
        ),
        ("<g>" * 5000 + SQUARE + "</g>" * 5000, "found groups within groups, very many deep"),
    ],
)
def test_what_is_not_svg_is_refused_with_its_place(tmp_path, body, words):
    with pytest.raises(BadInput) as caught:
        import_svg(written(tmp_path, "\n" + body))
    assert words in str(caught.value)


@pytest.mark.parametrize(
    "by",
    ["translate(1,2)scale(2)", " rotate( 30 , 5,5 ) , skewX(3)", "matrix(1e0 0-.5 1 .5,0)", "rotate(45deg)", "none", ""],
)
def test_transforms_as_they_are_written(tmp_path, by):
    assert len(import_svg(written(tmp_path, f'<g transform="{by}">{SQUARE}</g>')).proposals) == 1


def test_paths_as_they_are_written(tmp_path):
    tight = '<path d="M.5-60.5.5 60h1e2v-100a11,11 0 01-20.5.5Q50-30,40-60ZM 5 5"/>'
    assert len(import_svg(written(tmp_path, tight)).proposals) == 1


def test_a_folder_is_named(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(BadInput, match=r"^\.: found a folder"):
        import_svg(".")
