"""The lists that go to the cutting table with a garment: what to cut, what to mark, what to interface."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from firsthand.errors import FirsthandError
from firsthand.findings import blocked
from firsthand.fit.model import FitResult
from firsthand.geometry.drawing import WordKind
from firsthand.pattern import (
    Cut,
    Garment,
    How,
    InnerLineKind,
    NotchKind,
    PartState,
    Piece,
    PleatKind,
    Shape,
    cut_outline,
    is_backing,
)
from firsthand.sheets._flow import TICK, Column, Flow, list_paper
from firsthand.sheets._words import all_findings, cut_words, length, of_what, piece_title, plain, sentence
from firsthand.sheets.model import SHEETS, Results, Scope, SheetFile
from firsthand.units import Unit

__all__ = ["cutting_list", "interfacing_list", "marking_list"]

_INNER = {
    InnerLineKind.PLACEMENT: "placement line",
    InnerLineKind.BUTTONHOLE: "buttonhole",
    InnerLineKind.EYELET: "eyelet",
    InnerLineKind.FOLD: "fold line",
    InnerLineKind.STITCHING: "line of stitching",
    InnerLineKind.CUT_OUT: "cut-out",
}
_MANY = {InnerLineKind.CUT_OUT: "cut-outs", InnerLineKind.STITCHING: "lines of stitching"}


@SHEETS[Scope.GARMENT].register("cutting-list")
def cutting_list(results: Results) -> tuple[SheetFile, ...]:
    """What to cut, fabric by fabric."""
    return tuple(_cutting(results, fit) for fit in results.fits.values() if fit.garment.parts)


@SHEETS[Scope.GARMENT].register("marking-list")
def marking_list(results: Results) -> tuple[SheetFile, ...]:
    """What to mark on each piece before it leaves the table."""
    return tuple(
        _marking(results, fit.garment)
        for fit in results.fits.values()
        if any(any(_marks(p.shape, fit.garment, results.settings.units)) for p in fit.garment.pieces.values() if p.shape)
    )


@SHEETS[Scope.GARMENT].register("interfacing-list")
def interfacing_list(results: Results) -> tuple[SheetFile, ...]:
    """What is interfaced or mounted."""
    return tuple(_interfacing(results, fit.garment) for fit in results.fits.values() if _stiffened(results, fit.garment))


def _flow(results: Results, garment: Garment, what: str) -> Flow:
    name = garment.name or garment.id
    about = f"{results.costume}{f', for {results.wearer}' if results.wearer else ''}. Size {garment.size}."
    return Flow(list_paper(results), f"{name}: {what}", about)


def _cutting(results: Results, fit: FitResult) -> SheetFile:
    garment = fit.garment
    flow = _flow(results, garment, "cutting list")
    for finding in blocked(all_findings(results.findings, fit.findings), "cut", garment.id):
        flow.care(f"Do not cut yet: {sentence(finding.message)} {finding.remedy}")
    columns = (Column("", 0.35), Column("Piece", 3.2), Column("Cut", 1.6), Column("Long × wide", 2.0), Column("Mind", 3.4))
    for role in dict.fromkeys(cut.role for piece in garment.pieces.values() for cut in piece.cuts):
        flow.heading(_first_up(of_what(role, garment, results.fabrics)), follow=24)
        flow.table(columns, _cut_rows(results, fit, role))
    flow.gap(3)
    flow.paragraph(
        "Long and wide are over the cutting line, along and across the piece as drawn. Tick a line when all of it is cut.",
        WordKind.SMALL,
    )
    return flow.file(f"{garment.id}/cutting-list.pdf", "cutting-list", results)


def _cut_rows(results: Results, fit: FitResult, role: str) -> Iterator[Sequence[str]]:
    for piece in fit.garment.pieces.values():
        for cut in piece.cuts:
            if cut.role == role:
                size = _size(fit.garment, piece, cut, results.settings.units)
                yield TICK, piece_title(piece), cut_words(cut), size, "; ".join(_mind(results, fit, piece, role))


def _size(garment: Garment, piece: Piece, cut: Cut, units: Unit) -> str:
    part = next((part for part in garment.parts_of(piece.id) if part.role == cut.role), None)
    if part is None:
        return "not known"
    try:
        found = cut_outline(garment, part, opened=piece.is_card)
    except FirsthandError:
        return "not known"  # the checks say what is wrong with its outline
    box = found.outline.bounds
    return _by(box.height, box.width, units) + (" (half)" if cut.how is How.FOLD and not found.from_card else "")


def _by(long: float, wide: float, units: Unit) -> str:
    return f"{length(long, units, name=False)} × {length(wide, units)}"


def _mind(results: Results, fit: FitResult, piece: Piece, role: str) -> Iterator[str]:
    garment = fit.garment
    if any(part.state is PartState.HELD_BACK and part.role == role for part in garment.parts_of(piece.id)):
        yield "hold back until the fitting"
    if piece.is_card:
        yield "no outline yet: mark it out by its measures" if piece.rough else "no outline yet"
    found = all_findings(results.findings, fit.findings)
    yield from (f"wait: {finding.message}" for finding in blocked(found, "cut", f"{garment.id}/{piece.id}"))


def _marking(results: Results, garment: Garment) -> SheetFile:
    flow = _flow(results, garment, "marking list")
    flow.paragraph("Mark every part before it leaves the table; try chalk and pens on a scrap first.")
    columns = (Column("", 0.35), Column("Mark", 4.0), Column("Where", 6.0))
    for piece in garment.pieces.values():
        rows = list(_marks(piece.shape, garment, results.settings.units)) if piece.shape else []
        if rows:
            roles = ", ".join(dict.fromkeys(cut.role for cut in piece.cuts))
            flow.heading(f"{piece_title(piece)} ({roles})" if roles else piece_title(piece), follow=20)
            flow.table(columns, [(TICK, *row) for row in rows])
    return flow.file(f"{garment.id}/marking-list.pdf", "marking-list", results)


def _marks(shape: Shape, garment: Garment, units: Unit) -> Iterator[tuple[str, str]]:
    for edge in shape.edges:
        kinds = Counter(notch.kind for notch in shape.notches if notch.edge == edge.id)
        counted = ((NotchKind.SINGLE, "notch"), (NotchKind.DOUBLE, "double notch"))
        if kinds:
            yield " and ".join(_count(kinds[kind], name, f"{name}es") for kind, name in counted if kinds[kind]), plain(edge.id)
    for dart in shape.darts:
        yield (
            plain(dart.id if "dart" in dart.id else f"dart {dart.id}"),
            f"{plain(dart.edge)}, {length(dart.width, units)} wide",
        )
    for pleat in shape.pleats:
        way = "towards the end" if pleat.towards_end else "towards the start"
        laid = f", laid {way} of the edge" if pleat.kind is PleatKind.KNIFE else ""
        name = plain(pleat.id if "pleat" in pleat.id else f"pleat {pleat.id}")
        yield f"{pleat.kind.value} {name}", f"{plain(pleat.edge)}, {length(pleat.depth, units)} deep{laid}"
    for kind, many in Counter(line.kind for line in shape.lines).items():
        yield _count(many, _INNER[kind], _MANY.get(kind, f"{_INNER[kind]}s")), _named(shape, kind)
    names = {level.id: level.name for level in garment.levels}
    for line in shape.levels:
        yield "level", names.get(line.level, line.level)


def _named(shape: Shape, kind: InnerLineKind) -> str:
    return ", ".join(plain(line.id) for line in shape.lines if line.kind is kind)


def _count(many: int, one: str, more: str) -> str:
    return f"{many} {one if many == 1 else more}"


def _stiffened(results: Results, garment: Garment) -> list[tuple[Piece, Cut]]:
    return [(p, cut) for p in garment.pieces.values() for cut in p.cuts if _stiffens(results, garment, cut.role)]


def _stiffens(results: Results, garment: Garment, role: str) -> bool:
    fabric = results.fabrics.get(garment.roles.get(role, ""))
    return is_backing(role, fusible=fabric is not None and fabric.fusible)


def _interfacing(results: Results, garment: Garment) -> SheetFile:
    flow = _flow(results, garment, "interfacing list")
    stiffened = _stiffened(results, garment)
    columns = (Column("", 0.35), Column("Piece", 3.4), Column("Cut", 1.8), Column("Of", 4.0), Column("On to", 3.0))
    rows = []
    for piece, cut in stiffened:
        onto = ", ".join(dict.fromkeys(other.role for other in piece.cuts if not _stiffens(results, garment, other.role)))
        rows.append((TICK, piece_title(piece), cut_words(cut), of_what(cut.role, garment, results.fabrics), onto))
    flow.table(columns, rows)
    flow.gap(4)
    used = [results.fabrics.get(garment.roles.get(cut.role, "")) for _, cut in stiffened]
    if any(fabric is not None and fabric.fusible for fabric in used):
        flow.care(
            "Fusing needs a hot iron: press straight down, lift, never slide; try it on a scrap of both cloths first. "
            "Keep hands out of the steam, and let no child near the iron until it is cold."
        )
    return flow.file(f"{garment.id}/interfacing-list.pdf", "interfacing-list", results)


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
