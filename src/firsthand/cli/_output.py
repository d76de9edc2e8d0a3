"""How the command line speaks: short on a terminal, plain JSON for machines."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from firsthand.cli._app import READER
from firsthand.findings import Finding, Severity, held
from firsthand.units import Unit, shown

__all__ = ["Voice", "plain"]

_SIGNS = {Severity.FAULT: ("wrong", "bold red"), Severity.DOUBT: ("look", "yellow"), Severity.NOTE: ("note", "dim")}


def plain(value: object, unit: Unit = Unit.CM) -> Any:
    """A value as JSON knows it: dataclasses become objects with their fields.

    Numbers stay in millimetres; lengths within texts are put into the reader's unit.

    Examples
    --------
    >>> from firsthand.findings import Block
    >>> from firsthand.units import said
    >>> plain({"blocks": (Block("cut", "velour"),)})
    {'blocks': [{'act': 'cut', 'what': 'velour'}]}
    >>> plain({"words": f"{said(127)} short"}, Unit.INCH)
    {'words': '5 in short'}
    """
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        return {entry.name: plain(getattr(value, entry.name), unit) for entry in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item, unit) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item, unit) for item in value]
    if isinstance(value, str):
        return shown(value, unit)
    return str(value) if isinstance(value, Path) else value


class Voice:
    """Says results: as JSON alone on standard output, or in words.

    Parameters
    ----------
    as_json
        Whether machines listen.
    why
        Whether the working behind each answer is shown too.
    """

    def __init__(self, *, as_json: bool = False, why: bool = False) -> None:
        self.as_json, self.why = as_json, why
        self.unit = Unit.CM
        self._out = Console(soft_wrap=not sys.stdout.isatty(), highlight=False)
        self._aside = Console(stderr=True, highlight=False)

    def read_in(self, unit: Unit) -> None:
        """Say lengths in the reader's unit from now on, those within texts and errors too."""
        self.unit = unit
        READER.set(unit)

    def _words(self, text: str) -> str:
        return escape(shown(text, self.unit))

    def json(self, value: object) -> None:
        """Say a value to a machine."""
        sys.stdout.write(json.dumps(plain(value, self.unit), ensure_ascii=False, allow_nan=False) + "\n")

    def say(self, text: str = "", *, style: str | None = None) -> None:
        """Say a line to a person; text in square brackets is left as it is."""
        self._out.print(self._words(text), style=style)

    def aside(self, text: str) -> None:
        """Say what is going on, on standard error so that it never mixes with results."""
        self._aside.print(self._words(text), style="dim")

    def table(self, title: str, heads: Iterable[str], rows: Iterable[Iterable[str]], *, right: Iterable[int] = ()) -> None:
        """Show a table; columns named in ``right`` are set to the right."""
        table = Table(title=self._words(title) or None, title_justify="left", box=None, pad_edge=False, header_style="bold")
        numbers = set(right)
        for index, head in enumerate(heads):
            table.add_column(head, justify="right" if index in numbers else "left")
        for row in rows:
            table.add_row(*(self._words(cell) for cell in row))
        self._out.print(table)

    def findings(self, findings: Sequence[Finding]) -> None:
        """Say findings, the worst first; what is only worth knowing is counted unless the working is wanted."""
        told = [finding for finding in findings if self.why or finding.severity is not Severity.NOTE]
        for finding in sorted(told, key=lambda one: list(Severity).index(one.severity), reverse=True):
            self._finding(finding)
        notes = len(tuple(findings)) - len(told)
        if notes:
            told_of = f"      and {notes} to know; --why tells" if told else f" note {notes} to know; --why tells"
            self._out.print(f"{told_of} {'it' if notes == 1 else 'them'}.", style="dim")
        self.blocked(findings)

    def _finding(self, finding: Finding) -> None:
        sign, style = _SIGNS[finding.severity]
        where = " ".join(finding.where)
        self._out.print(f"[{style}]{sign:>5}[/] {self._words(where)}{': ' if where else ''}{self._words(finding.message)}")
        if finding.remedy:
            self._out.print(f"      {self._words(finding.remedy)}", style="dim")
        for line in finding.why if self.why else ():
            self._out.print(f"      · {self._words(line)}", style="dim")

    def blocked(self, findings: Sequence[Finding]) -> None:
        """Say what waits until findings are mended."""
        if waiting := held(findings):
            self._out.print(f"Blocked until mended: {self._words(', '.join(waiting))}.", style="bold")
