"""PDF patterns written at test time, by reportlab and by hand, of an invented piece in several sizes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path as FilePath

import pikepdf
import shapely
from reportlab.pdfgen import canvas

from firsthand.geometry import Cubic, Line, Path, Point

MM = 72 / 25.4
A4 = (210.0, 297.0)  # ISO 216:2007


def front(grow: float = 0.0) -> Path:
    """A front that grows unevenly, as graded sizes do: more at the side than at the neck."""
    g = grow
    return Path(
        (
            Line(Point(40, 30), Point(300 + 2 * g, 30 + 0.2 * g)),
            Cubic(
                Point(300 + 2 * g, 30 + 0.2 * g),
                Point(310 + 2 * g, 140),
                Point(280 + 2 * g, 240),
                Point(285 + 1.7 * g, 330 + g),
            ),
            Cubic(
                Point(285 + 1.7 * g, 330 + g), Point(240 + g, 350 + g), Point(225 + g, 400 + g), Point(230 + g, 460 + 1.2 * g)
            ),
            Line(Point(230 + g, 460 + 1.2 * g), Point(120 + 0.3 * g, 500 + 1.2 * g)),
            Cubic(Point(120 + 0.3 * g, 500 + 1.2 * g), Point(118, 440 + g), Point(80, 420 + g), Point(40, 420 + 0.8 * g)),
            Line(Point(40, 420 + 0.8 * g), Point(40, 30)),
        )
    )


def strayed(found: Path, true: Path) -> float:
    """The greatest distance between two outlines, laid on each other by the corner of their boxes, mm."""
    one, two = ring(found), ring(true)
    shift = (two.bounds[0] - one.bounds[0], two.bounds[1] - one.bounds[1])
    return float(shapely.hausdorff_distance(shapely.affinity.translate(one, *shift), two, densify=0.02))


def ring(path: Path) -> shapely.LinearRing:
    return shapely.LinearRing([(p.x, p.y) for p in path.flattened(0.003)])


Draw = Callable[[canvas.Canvas], None]


def put(c: canvas.Canvas, path: Path, close: bool = True) -> None:
    """Draw a path in millimetres, curves as curves."""
    p = c.beginPath()
    p.moveTo(path.start.x * MM, path.start.y * MM)
    for s in path:
        if isinstance(s, Line):
            p.lineTo(s.b.x * MM, s.b.y * MM)
        else:
            p.curveTo(s.b.x * MM, s.b.y * MM, s.c.x * MM, s.c.y * MM, s.d.x * MM, s.d.y * MM)
    if close:
        p.close()
    c.drawPath(p)


def tiled(
    file: FilePath, draw: Draw, *, wide: int = 2, high: int = 2, overlap: float = 0.0, labels: Sequence[str] | None = None,
    frame: bool = True, square: tuple[float, str] | None = (50.0, "test square 5 cm"), clip: bool = True,
    order: Sequence[int] | None = None,
) -> FilePath:  # fmt: skip
    """The whole drawing on every page, shifted and clipped; pages row by row from the top."""
    c = canvas.Canvas(str(file), pagesize=(A4[0] * MM, A4[1] * MM))
    w, h, m = 190.0, 277.0, 10.0
    places = [(row, column) for row in range(high) for column in range(wide)]
    for k in order if order is not None else range(len(places)):
        row, column = places[k]
        c.saveState()
        if clip:
            p = c.beginPath()
            p.rect(m * MM, m * MM, w * MM, h * MM)
            c.clipPath(p, stroke=0)
        c.translate((m - column * (w - overlap)) * MM, (m - (high - 1 - row) * (h - overlap)) * MM)
        draw(c)
        c.restoreState()
        c.setLineWidth(0.3)
        if frame:
            c.rect(m * MM, m * MM, w * MM, h * MM)
        if labels:
            c.setFont("Helvetica", 9)
            c.drawString(14 * MM, 14 * MM, labels[k])
        if square and k == 0:
            c.rect(25 * MM, 190 * MM, square[0] * MM, square[0] * MM)
            c.setFont("Helvetica", 9)
            c.drawString(30 * MM, 200 * MM, square[1])
        c.showPage()
    c.save()
    return file


def sizes_drawn(looks: Sequence[tuple[tuple[float, float, float], Sequence[float]]], step: float = 6.0) -> Draw:
    """A size in each look, the smallest first, with a name and an order beside it."""

    def draw(c: canvas.Canvas) -> None:
        c.setLineWidth(0.8)
        for k, (colour, dash) in enumerate(looks):
            c.setStrokeColorRGB(*colour)
            c.setDash(list(dash))
            put(c, front(step * k))
        c.setDash([])
        c.setStrokeColorRGB(0, 0, 0)
        c.setFont("Helvetica-Bold", 22)
        c.drawString(120 * MM, 200 * MM, "FRONT")
        c.setFont("Helvetica", 11)
        c.drawString(120 * MM, 190 * MM, "cut 2 of shell")

    return draw


def chopped(path: Path, box: tuple[float, float, float, float]) -> list[list[tuple[float, float]]]:
    """The parts of an outline in a box, as another program would cut it: by polygons."""
    cut = shapely.intersection(shapely.LineString([(p.x, p.y) for p in path.flattened(0.003)]), shapely.box(*box))
    merged = shapely.line_merge(cut) if cut.geom_type == "MultiLineString" else cut
    parts = getattr(merged, "geoms", [merged])
    return [list(part.coords) for part in parts if part.geom_type == "LineString" and part.length > 0]


def dashes(path: Path, on: float, off: float) -> Iterable[Path]:
    """Separate short lines, as some programs draw dashes."""
    at = 0.0
    while at < path.length - 0.5:
        yield path.between(at, min(at + on, path.length))
        at += on + off


def operators(path: Path) -> str:
    """Path operators in millimetres."""
    out = [f"{path.start.x:.5f} {path.start.y:.5f} m"]
    for s in path:
        points = (s.b,) if isinstance(s, Line) else (s.b, s.c, s.d)
        out.append(" ".join(f"{p.x:.5f} {p.y:.5f}" for p in points) + (" l" if isinstance(s, Line) else " c"))
    return "\n".join([*out, "h S"])


def by_hand(
    file: FilePath, content: str, *, size: tuple[float, float] = (420, 594), save: bool = True, **page: object
) -> pikepdf.Pdf:
    """A document of one page whose content is in millimetres."""
    document = pikepdf.new()
    document.add_blank_page(page_size=(size[0] * MM, size[1] * MM))
    one = document.pages[0]
    one.obj["/Contents"] = document.make_stream(f"{MM} 0 0 {MM} 0 0 cm\n{content}".encode())
    for key, value in page.items():
        one.obj[f"/{key}"] = value
    if save:
        document.save(file)
    return document


def turned(path: Path, quarter: int) -> Path:
    """A path turned by quarters."""
    from firsthand.geometry import Affine

    return path.transformed(Affine.rotation(quarter * math.pi / 2))
