"""Tiled PDF patterns: pages joined, sizes told apart, the square checked. Written by reportlab at test time."""

import json
from itertools import pairwise

import pytest
from pdf_papers import A4, MM, chopped, dashes, front, put, sizes_drawn, strayed, tiled
from reportlab.pdfgen import canvas

from firsthand.errors import BadInput
from firsthand.geometry import Affine, Path, Point
from firsthand.importers import Meaning, proposals_json
from firsthand.importers.pdf import import_pdf

TRUE = 0.05  # mm
LOOKS = [((0, 0, 0), ()), ((1, 0, 0), (6, 3)), ((0, 0, 1), (1, 2))]
NAMES = ["A1", "B1", "A2", "B2"]


def codes(found):
    return {finding.code for finding in found.findings}


@pytest.mark.parametrize("overlap", [0.0, 6.0, 12.5])
@pytest.mark.parametrize(
    "labels", [None, NAMES, ["1A", "1B", "2A", "2B"], ["row 1, col 1", "row 1, col 2", "row 2, col 1", "row 2, col 2"]]
)
def test_pages_are_joined_by_frames_labels_and_what_they_share(tmp_path, overlap, labels):
    found = import_pdf(tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS), overlap=overlap, labels=labels))
    assert [one.name for one in found.proposals] == ["FRONT"] * 3
    sizes = {one.size: one for one in found.proposals}
    assert set(sizes) == {"size 1", "size 2", "size 3"}
    for k in range(3):
        assert strayed(sizes[f"size {k + 1}"].outline, front(6.0 * k)) < TRUE
    assert ("pdf-joined" if labels else "pdf-order-guessed") in codes(found)
    assert "cut 2 of shell" in sizes["size 1"].words


def test_pages_in_another_order_go_by_their_labels(tmp_path):
    file = tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS[:1]), labels=NAMES, order=[3, 0, 2, 1])
    (one,) = import_pdf(file).proposals
    assert strayed(one.outline, front()) < TRUE
    assert one.size == ""


def test_rows_counted_from_the_bottom_are_understood(tmp_path):
    file = tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS[:1]), labels=["A2", "B2", "A1", "B1"], overlap=8.0)
    (one,) = import_pdf(file).proposals
    assert strayed(one.outline, front()) < TRUE


def test_pages_without_a_label_in_any_order_are_told_by_hand(tmp_path):
    file = tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS[:1]), order=[3, 0, 2, 1], overlap=9.0)
    (one,) = import_pdf(file, pages="2 4 / 3 1").proposals
    assert strayed(one.outline, front()) < TRUE


@pytest.mark.parametrize("words", ["1 2 / 2 3", "1 9", "x", "/", "²"])
def test_a_grid_without_sense_is_refused(tmp_path, words):
    file = tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS[:1]))
    with pytest.raises(BadInput, match="--pages"):
        import_pdf(file, pages=words)


@pytest.mark.parametrize("overlap", [0.0, 10.0])
def test_geometry_cut_at_the_edges_of_pages_is_joined(tmp_path, overlap):
    """No page has more of a line than it shows; where pages overlap, both show the strip."""
    file = tmp_path / "chopped.pdf"
    c = canvas.Canvas(str(file), pagesize=(A4[0] * MM, A4[1] * MM))
    for row in range(2):
        for column in range(2):
            x, y = column * (190 - overlap), (1 - row) * (277 - overlap)
            for part in chopped(front(), (x, y, x + 190, y + 277)):
                for a, b in pairwise(part):
                    c.line((a[0] - x + 10) * MM, (a[1] - y + 10) * MM, (b[0] - x + 10) * MM, (b[1] - y + 10) * MM)
            c.rect(10 * MM, 10 * MM, 190 * MM, 277 * MM)
            c.drawString(12 * MM, 3 * MM, f"{'AB'[column]}{row + 1}")
            c.showPage()
    c.save()
    (one,) = import_pdf(file).proposals
    assert strayed(one.outline, front()) < TRUE


def test_dashes_drawn_one_by_one_are_lines_again(tmp_path):
    def draw(c):
        for k, (on, off) in enumerate([(5.0, 2.0), (2.0, 1.5)]):
            for dash in dashes(front(6.0 * k).transformed(Affine.translation(-7.0 * k, -7.0 * k)), on, off):
                put(c, dash, close=False)

    found = import_pdf(tiled(tmp_path / "dashes.pdf", draw, labels=NAMES, square=None))
    sizes = {one.size: one for one in found.proposals}
    assert set(sizes) == {"size 1", "size 2"}
    for k in range(2):  # corners between two dashes are cut off by as much as a gap
        assert strayed(sizes[f"size {k + 1}"].outline, front(6.0 * k)) < 1.5


def test_sizes_are_named_by_the_legend(tmp_path):
    drawn = sizes_drawn(LOOKS)

    def draw(c):
        drawn(c)
        for k, (colour, dash) in enumerate(LOOKS):
            c.setStrokeColorRGB(*colour)
            c.setDash(list(dash))
            c.line(330 * MM, (480 - 9 * k) * MM, 350 * MM, (480 - 9 * k) * MM)
            c.drawString(353 * MM, (479 - 9 * k) * MM, f"UK {8 + 2 * k}")

    found = import_pdf(tiled(tmp_path / "legend.pdf", draw, labels=NAMES))
    assert {one.size: round(one.outline.bounds.width) for one in found.proposals} == {
        f"UK {8 + 2 * k}": round(front(6.0 * k).bounds.width) for k in range(3)
    }


def test_a_true_square_is_said_and_a_false_one_gives_its_factor(tmp_path):
    good = import_pdf(tiled(tmp_path / "good.pdf", sizes_drawn(LOOKS[:1]), labels=NAMES))
    (square,) = [f for f in good.findings if f.code == "pdf-test-square"]
    assert "50.000 mm wide" in square.why[0]
    bad = import_pdf(tiled(tmp_path / "bad.pdf", sizes_drawn(LOOKS[:1]), labels=NAMES, square=(97.0, "10 cm / 4 in")))
    (off,) = [f for f in bad.findings if f.code == "pdf-test-square-off"]
    # 97 mm lies nearer to 10 cm than to 4 in
    assert off.why[1] == f"factor {100 / 97:.5f}"
    assert "pdf-no-test-square" in codes(import_pdf(tiled(tmp_path / "none.pdf", sizes_drawn(LOOKS[:1]), square=None)))


def test_a_factor_makes_every_length_true(tmp_path):
    file = tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS[:1]), labels=NAMES)
    (one,), (two,) = import_pdf(file).proposals, import_pdf(file, scale=1.25).proposals
    assert two.outline.length == pytest.approx(1.25 * one.outline.length)
    for scale in (0.0, -1.0, float("nan"), 1e9):
        with pytest.raises(BadInput, match="--scale"):
            import_pdf(file, scale=scale)


def test_lines_within_a_piece_are_told_apart(tmp_path):
    outline = Path.polygon([Point(30, 40), Point(170, 40), Point(170, 250), Point(30, 250)])

    def draw(c):
        put(c, outline)
        c.setDash([4, 2])
        put(c, Path.polygon([Point(40, 50), Point(160, 50), Point(160, 240), Point(40, 240)]))
        c.setDash([])
        put(c, Path.line(Point(100, 70), Point(100, 200)), close=False)
        put(c, Path.polygon([Point(100, 204), Point(98, 199), Point(102, 199)]))
        put(c, Path.line(Point(170, 120), Point(164, 120)), close=False)
        put(c, Path.line(Point(30, 148), Point(38, 150), Point(30, 152)), close=False)
        put(c, Path.line(Point(70, 40), Point(80, 110), Point(90, 40)), close=False)
        c.saveState()
        c.rotate(90)
        c.drawString(120 * MM, -37 * MM, "place on fold")
        c.restoreState()
        c.drawString(110 * MM, 220 * MM, "3 Pocket bag")

    file = tmp_path / "pocket.pdf"
    c = canvas.Canvas(str(file), pagesize=(A4[0] * MM, A4[1] * MM))
    draw(c)
    c.save()
    (one,) = import_pdf(file).proposals
    kinds = sorted(line.kind.value for line in one.lines)
    assert one.name == "3 Pocket bag"
    assert kinds == sorted(
        kind.value for kind in (Meaning.STITCHING, Meaning.GRAIN, Meaning.NOTCH, Meaning.NOTCH, Meaning.DART, Meaning.MIRROR)
    )
    (fold,) = [line.path for line in one.lines if line.kind is Meaning.MIRROR]
    assert (fold.bounds.left, fold.bounds.right) == pytest.approx((30, 30), abs=0.01) or fold.bounds.width < 0.01
    (grain,) = [line.path for line in one.lines if line.kind is Meaning.GRAIN]
    assert grain.length == pytest.approx(130, abs=0.01)


def test_machines_get_points_in_millimetres(tmp_path):
    found = import_pdf(tiled(tmp_path / "front.pdf", sizes_drawn(LOOKS), labels=NAMES))
    data = json.loads(json.dumps(proposals_json(found)))
    for one in data["proposals"]:
        assert one["accuracy_mm"] <= TRUE
        assert one["size"].startswith("size")
        assert len(one["outline"]) > 20
        assert one["outline"][0] != one["outline"][-1]
