"""``firsthand board``: the reference sheets for photos."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from firsthand.cli._app import app
from firsthand.cli._commands import AsJson, make_voice

__all__ = ["board"]


@app.command()
def board(
    paper: Annotated[str, typer.Option("--paper", help="A4 or Letter.")] = "A4",
    to: Annotated[Path, typer.Option("--to", help="The PDF file to write.")] = Path("reference-sheets.pdf"),
    as_json: AsJson = False,
) -> None:
    """Write the reference sheets that are laid round a piece before it is photographed."""
    from firsthand.sheets.board import board_pdf

    voice = make_voice(as_json)
    to.write_bytes(board_pdf(paper))
    if as_json:
        voice.json({"written": to, "paper": paper})
    else:
        voice.say(f"Written: {to}. Print it at 100 %; its first page says how to lay them and how to photograph.")
