"""Bringing in outlines: ``firsthand import svg|dxf|pdf``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firsthand.cli._app import app

if TYPE_CHECKING:
    from firsthand.importers import Proposal, Proposals

importing = typer.Typer(no_args_is_help=True, help="Bring in outlines from a file, true to scale.", rich_markup_mode=None)
app.add_typer(importing, name="import")

File = Annotated[Path, typer.Argument(help="The file.")]
Into = Annotated[str, typer.Option("--into", help="Pattern to put the pieces into; without it nothing is written.")]
Size = Annotated[str, typer.Option("--size", help="Size that the outlines belong to; the pattern's first if not said.")]
FileUnit = Annotated[str | None, typer.Option("--unit", help="What one unit of the file is: mm, cm or in.")]
Files = Annotated[list[Path], typer.Argument(help="The files.")]
OneSize = Annotated[str, typer.Option("--size", help="Take only this size of the file, by the name that is shown for it.")]
Pages = Annotated[str, typer.Option("--pages", help='How the pages lie, row by row: "1 2 3 / 4 5 6", - for none.')]
Factor = Annotated[float, typer.Option("--scale", help="Multiply every length, where the test square is wrong.")]
Units = Annotated[str | None, typer.Option("--units", help="Show lengths in cm or inch.", metavar="cm|inch")]
AsJson = Annotated[bool, typer.Option("--json", help="Say it as JSON, for machines; numbers are millimetres.")]


@importing.command()
def svg(file: File, into: Into = "", size: Size = "", as_json: AsJson = False, units: Units = None) -> None:
    """Bring in the closed paths of an SVG drawing."""
    from firsthand.importers import import_svg

    _take(import_svg(file), into, size, as_json, units)


@importing.command()
def dxf(
    file: File, into: Into = "", size: Size = "", unit: FileUnit = None, as_json: AsJson = False, units: Units = None
) -> None:
    """Bring in the closed outlines of a DXF drawing; say its unit with --unit."""
    from firsthand.errors import BadInput, Problem
    from firsthand.importers import import_dxf
    from firsthand.units import Unit

    if unit is not None and unit not in tuple(Unit):
        raise BadInput([Problem("", "--unit", repr(unit), "mm, cm, m, in or yd", "Say what one unit of the file is.")])
    _take(import_dxf(file, unit=Unit(unit) if unit else None), into, size, as_json, units)


@importing.command()
def pdf(
    files: Files,
    into: Into = "",
    size: OneSize = "",
    pages: Pages = "",
    scale: Factor = 1.0,
    as_json: AsJson = False,
    units: Units = None,
) -> None:
    """Bring in the pieces of PDF patterns: pages joined, sizes told apart, the test square checked."""
    from firsthand.importers import Proposals
    from firsthand.importers.pdf import import_pdf

    read = [import_pdf(file, pages=pages, scale=scale) for file in files]
    found = tuple(one for proposals in read for one in proposals.proposals)
    _take(Proposals(_of_size(found, size, into), tuple(f for one in read for f in one.findings)), into, size, as_json, units)


def _of_size(found: tuple[Proposal, ...], size: str, into: str) -> tuple[Proposal, ...]:
    """The proposals of one size, and those of every size; all if none is asked for."""
    from firsthand.errors import BadInput, Problem

    sizes = tuple(dict.fromkeys(one.size for one in found if one.size))
    if size and sizes and size not in sizes:
        raise BadInput([Problem("", "--size", repr(size), f"one of {', '.join(sizes)}", "Write one of the file's sizes.")])
    if into and not size and len(sizes) > 1:
        expected = f"one of {', '.join(sizes)}"
        raise BadInput([Problem("", "--size", "several sizes in the file", expected, "Say which size goes into the pattern.")])
    return tuple(one for one in found if not size or not sizes or one.size in {"", size})


def _take(proposals: Proposals, into: str, size: str, as_json: bool, units: str | None) -> None:
    from firsthand.cli._find import read_units, units_here
    from firsthand.cli._output import Voice
    from firsthand.importers import proposals_json
    from firsthand.units import said
    from firsthand.workroom import find_workroom
    from firsthand.workroom.importing import take_in_proposals

    voice = Voice(as_json=as_json)
    voice.read_in(read_units(units) if units else units_here())
    added = take_in_proposals(find_workroom(Path()), into, proposals, size=size) if into else ()
    if as_json:
        voice.json({**proposals_json(proposals), "added": added})
        return
    for proposal in proposals.proposals:
        box = proposal.outline.bounds
        title = f"{proposal.name}, {proposal.size}" if proposal.size else proposal.name
        voice.say(f"{title}: {said(box.width)} x {said(box.height)}")
    voice.findings(proposals.findings)
    voice.say(f"Put into {into}: {', '.join(added)}." if added else "Nothing written. Say --into PATTERN to keep them.")
