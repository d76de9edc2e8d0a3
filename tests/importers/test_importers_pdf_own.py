"""Our own pieces sheets, tiled, come back as they were drawn; and real pieces of an open set of shapes in any arrangement."""

import json
from pathlib import Path as FilePath

import pytest
import shapely
from pdf_papers import MM, put
from reportlab.pdfgen import canvas

from firsthand.demo import demo_patterns
from firsthand.fit import FitResult
from firsthand.geometry import Path, Point
from firsthand.importers import Meaning
from firsthand.importers.pdf import import_pdf
from firsthand.pattern import drawn_outline, make_garment
from firsthand.sheets import Results, Settings
from firsthand.sheets.pieces import pieces

TRUE = 0.05  # mm
LAY = FilePath(__file__).parent.parent / "data" / "lay"


def polygon(path):
    return shapely.Polygon([(p.x, p.y) for p in path.flattened(0.005)])


def apart(found, true):
    """The greatest distance of two outlines, whichever quarter the one was turned by, mm."""
    best = float("inf")
    for turn in (0, 90, 180, 270):
        turned = shapely.affinity.rotate(found, turn, origin=(0, 0))
        shift = (true.bounds[0] - turned.bounds[0], true.bounds[1] - turned.bounds[1])
        laid = shapely.affinity.translate(turned, *shift)
        best = min(best, shapely.hausdorff_distance(laid.exterior, true.exterior, densify=0.1))
    return best


@pytest.mark.parametrize(("name", "paper"), [("jerkin", "A4"), ("shirt", "Letter"), ("hose", "A4"), ("cape", "A3")])
def test_our_own_sheets_come_back(tmp_path, name, paper):
    pattern = demo_patterns()[name]
    garment = make_garment(pattern, "M", id=name, roles={})
    results = Results("A trial", "A wearer", Settings(papers=(paper,)), fits={name: FitResult(garment, (), ())})
    (sheet,) = pieces(results)
    file = tmp_path / "pieces.pdf"
    file.write_bytes(sheet.data)
    found = import_pdf(file)
    outlined = [piece for piece in garment.pieces.values() if not piece.is_card]
    drawn = {piece.name: polygon(drawn_outline(piece).outline) for piece in outlined}
    assert len(found.proposals) == len(drawn)
    for piece, true in drawn.items():
        near = min(apart(polygon(one.outline), true) for one in found.proposals)
        assert near < TRUE, piece
        assert any(piece in one.name for one in found.proposals)
    assert all(any(line.kind is Meaning.GRAIN for line in one.lines) for one in found.proposals)
    assert "pdf-test-square" in {finding.code for finding in found.findings}


@pytest.mark.parametrize("name", ["shirts", "swim"])
def test_real_shapes_on_one_long_sheet(tmp_path, name):
    """Shapes of the clothing trade (tests/data/lay names their origin), on one sheet of a plotter."""
    shapes = [item["polygon"] for item in json.loads((LAY / f"{name}.json").read_text())["items"]]
    grow = 600 / max(max(x for x, _ in s) - min(x for x, _ in s) for s in shapes)
    c, at, true = canvas.Canvas(str(tmp_path / "long.pdf"), pagesize=(5000 * MM, 2000 * MM)), 20.0, []
    for shape in shapes:
        low = (min(x for x, _ in shape), min(y for _, y in shape))
        path = Path.polygon([Point(at + (x - low[0]) * grow, 20 + (y - low[1]) * grow) for x, y in shape])
        put(c, path)
        true.append(polygon(path))
        at += path.bounds.width + 15
    c.save()
    found = [polygon(one.outline) for one in import_pdf(tmp_path / "long.pdf").proposals]
    assert len(found) == len(true)
    for one in true:
        assert min(apart(other, one) for other in found) < TRUE
