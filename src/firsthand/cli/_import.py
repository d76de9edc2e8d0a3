"""Bringing in outlines: ``firsthand import svg|dxf``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firsthand.cli._app import app

if TYPE_CHECKING:
    from firsthand.importers import Proposals

importing = typer.Typer(no_args_is_help=True, help="Bring in outlines from a file, true to scale.", rich_markup_mode=None)
app.add_typer(importing, name="import")

File = Annotated[Path, typer.Argument(help="The file.")]
Into = Annotated[str, typer.Option("--into", help="Pattern to put the pieces into; without it nothing is written.")]
Size = Annotated[str, typer.Option("--size", help="Size that the outlines belong to; the pattern's first if not said.")]
FileUnit = Annotated[str | None, typer.Option("--unit", help="What one unit of the file is: mm, cm or in.")]
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
        voice.say(f"{proposal.name}: {said(box.width)} x {said(box.height)}")
    voice.findings(proposals.findings)
    voice.say(f"Put into {into}: {', '.join(added)}." if added else "Nothing written. Say --into PATTERN to keep them.")
