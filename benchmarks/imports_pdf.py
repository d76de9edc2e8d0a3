"""How long a PDF pattern of forty pages takes: ``python -m benchmarks.imports_pdf``.

The file is written by reportlab: twelve invented pieces in six sizes, told apart by dash and colour, on eight columns and five
rows of A4, all of it on every page under a clip, as printed patterns commonly are. Time and memory are those of one fresh
process that reads it and prints its proposals.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

from reportlab.pdfgen import canvas

from benchmarks.__main__ import measure

MM = 72 / 25.4
COLUMNS, ROWS, PIECES, SIZES = 8, 5, 12, 6
DASHES = ((), (6, 3), (1, 2), (8, 2, 1, 2), (3, 3), (10, 4))


def _piece(c: canvas.Canvas, x: float, y: float, grow: float) -> None:
    """A piece of four corners and thirty curves, larger at one side."""
    p = c.beginPath()
    p.moveTo(x * MM, y * MM)
    wide, high = 260 + 2 * grow, 330 + grow
    corners = ((x + wide, y), (x + wide - 20, y + high), (x + 30, y + high - 10), (x, y))
    here = (x, y)
    for to in corners:
        for k in range(1, 9):
            end = tuple(a + (b - a) * k / 8 for a, b in zip(here, to, strict=True))
            start = tuple(a + (b - a) * (k - 1) / 8 for a, b in zip(here, to, strict=True))
            bow = 4 * math.sin(k)
            p.curveTo(*(v * MM for v in (start[0] + bow, start[1] + bow, end[0] + bow, end[1] + bow, *end)))
        here = to
    p.close()
    c.drawPath(p)


def _write(file: Path) -> None:
    c = canvas.Canvas(str(file), pagesize=(210 * MM, 297 * MM))
    for k in range(COLUMNS * ROWS):
        row, column = divmod(k, COLUMNS)
        c.saveState()
        p = c.beginPath()
        p.rect(10 * MM, 10 * MM, 190 * MM, 277 * MM)
        c.clipPath(p, stroke=0)
        c.translate((10 - column * 180) * MM, (10 - (ROWS - 1 - row) * 267) * MM)
        for piece in range(PIECES):
            for size in range(SIZES):
                c.setDash(list(DASHES[size]))
                c.setStrokeColorRGB(size / SIZES, 0, 0)
                _piece(c, 20 + (piece % 4) * 350, 20 + (piece // 4) * 430, 4.0 * size)
            c.drawString((120 + (piece % 4) * 350) * MM, (150 + (piece // 4) * 430) * MM, f"PIECE {'ABCDEFGHIJKL'[piece]}")
        c.restoreState()
        c.rect(10 * MM, 10 * MM, 190 * MM, 277 * MM)
        c.drawString(12 * MM, 4 * MM, f"{'ABCDEFGH'[column]}{row + 1}")
        c.showPage()
    c.save()


def main() -> None:
    """Write, read, print."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "forty.pdf"
        _write(file)
        command = [sys.executable, "-m", "firsthand.cli", "import", "pdf", str(file), "--json"]
        if subprocess.run(command, capture_output=True, check=False).returncode:
            command = [sys.executable, "-c", "from firsthand.cli import main; main()", *command[3:]]
        runs = [measure(command) for _ in range(3)]
        data = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
        found, size = len(data["proposals"]), file.stat().st_size / 1e6
        seconds, memory = [run.seconds for run in runs], max(run.megabytes for run in runs)
        print(f"{COLUMNS * ROWS} pages, {size:.1f} MB: {found} of {PIECES * SIZES} proposals")
        print(f"{min(seconds):.1f} to {max(seconds):.1f} s, {memory:.0f} MB")


if __name__ == "__main__":
    main()
