"""Write the reference pages that are made from the program itself: ``python tools/reference.py``."""

from __future__ import annotations

import importlib
import os
import pkgutil
import subprocess
import sys
from pathlib import Path

import firsthand
from firsthand.findings import catalogue

DOCS = Path(__file__).parents[1] / "docs"
COMMANDS = ("demo", "new", "check", "fit", "lay", "buy", "plan", "sheets", "make", "undo", "import svg", "import dxf")


def findings_page() -> str:
    """All codes of findings, with what they mean."""
    for module in pkgutil.walk_packages(firsthand.__path__, "firsthand."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    rows = [
        f"| `{entry.code}` | {entry.severity.value} | {' '.join(entry.explanation.split())} |" for entry in catalogue().values()
    ]
    head = [
        "# Findings",
        "",
        "What the program may notice, by code. `fault`: what depends on it would come out wrong; `doubt`: look again before"
        " the scissors; `note`: worth knowing.",
        "",
        "| code | usually | what it means and what to do |",
        "| --- | --- | --- |",
    ]
    return "\n".join([*head, *rows]) + "\n"


def commands_page() -> str:
    """The help of every command."""
    pages = ["# Commands", ""]
    for name in ("", *COMMANDS):
        title = f"firsthand {name}".strip()
        pages += [f"## `{title}`", "", "```text", _help(name), "```", ""]
    return "\n".join(pages).rstrip() + "\n"


def _help(name: str) -> str:
    command = [sys.executable, "-m", "firsthand", *name.split(), "--help"]
    plain = {**os.environ, "COLUMNS": "100", "NO_COLOR": "1", "TERM": "dumb"}
    said = subprocess.run(command, capture_output=True, text=True, check=True, env=plain).stdout
    return "\n".join(line.rstrip() for line in said.replace("python -m firsthand", "firsthand").strip().splitlines())


PAGES = {"findings.md": findings_page, "commands.md": commands_page}

if __name__ == "__main__":
    for page, write in PAGES.items():
        (DOCS / page).write_text(write(), "utf-8")
