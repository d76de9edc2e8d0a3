"""Pages that nothing joins, and pages that were not cut from one exact drawing, are said."""

from pathlib import Path as FilePath

from pdf_papers import MM, tiled
from reportlab.pdfgen import canvas

from firsthand.importers.pdf import import_pdf


def pages(file: FilePath, drawings: list[list[tuple[float, float, float, float]]]) -> FilePath:
    sheet = canvas.Canvas(str(file), pagesize=(210 * MM, 297 * MM))
    for boxes in drawings:
        for x, y, wide, high in boxes:
            sheet.rect(x * MM, y * MM, wide * MM, high * MM)
        sheet.showPage()
    sheet.save()
    return file


def test_pages_that_nothing_joins_are_taken_one_by_one(tmp_path: FilePath) -> None:
    found = import_pdf(pages(tmp_path / "two.pdf", [[(60, 100, 80, 50)], [(50, 90, 60, 120)]]))
    assert "pdf-pages-apart" in {finding.code for finding in found.findings}
    assert len(found.proposals) == 2


def test_pages_that_disagree_with_each_other_are_said(tmp_path: FilePath) -> None:
    turn = iter(range(100))

    def draw(sheet: canvas.Canvas) -> None:
        k = next(turn)
        page = k % 2
        for x in range(8, 30):
            off = 0.1 * page * (1 if x % 2 else -1) * MM  # no one shift mends it
            sheet.rect(x * 10 * MM + off, (30 + x) * MM + off, 7 * MM, (40 + 3 * x) * MM)

    labels = ["A1", "B1"]
    found = import_pdf(tiled(tmp_path / "off.pdf", draw, wide=2, high=1, overlap=55.0, labels=labels))
    assert "pdf-join-off" in {finding.code for finding in found.findings}
