"""Make the pictures of the README from a demo workroom: ``python tools/pictures.py demo-workroom`` (needs Chromium)."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import pypdfium2
from PIL import Image

PICTURES = Path(__file__).parents[1] / "docs" / "pictures"
PAGES = (("hose/pieces-A4.pdf", 0), ("lays/linen.pdf", 0), ("plan-cards.pdf", 7))
ALTERED = (("shirt/before-after.pdf", 1), ("shirt/alteration-cards.pdf", 1))
"""Pages of what an alteration gives."""
FITTED = (("jerkin/fit.pdf", 0), ("faults.pdf", 0), ("measurement-form.pdf", 0))
"""Pages about the fit."""
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--hide-scrollbars")  # fmt: skip


def page(out: Path) -> Image.Image:
    """The top of ``index.html``."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        sys.exit("Chromium is not there; on Debian: apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder:
        shot = Path(folder) / "page.png"
        command = [browser, *FLAGS, f"--screenshot={shot}", "--window-size=1100,1250", (out / "index.html").resolve().as_uri()]
        subprocess.run(command, check=True, capture_output=True)
        return Image.open(io.BytesIO(shot.read_bytes())).convert("RGB")


def sheets(out: Path, pages: Sequence[tuple[str, int]] = PAGES) -> Image.Image:
    """Pages side by side on grey."""
    images = []
    for name, number in pages:
        document = pypdfium2.PdfDocument(out / name)
        shown = document[min(number, len(document) - 1)].render(scale=1.0).to_pil().convert("RGB")
        images.append(shown.resize((480, round(shown.height * 480 / shown.width))))
    ground = Image.new("RGB", (500 * len(images) + 20, max(image.height for image in images) + 40), (200, 198, 192))
    for index, image in enumerate(images):
        ground.paste(image, (20 + 500 * index, 20))
    return ground


if __name__ == "__main__":
    made = Path(sys.argv[1]) / "costumes" / "tide-warden" / "out"
    PICTURES.mkdir(parents=True, exist_ok=True)
    for name, picture in (
        ("page", page(made)),
        ("sheets", sheets(made)),
        ("altered", sheets(made, ALTERED)),
        ("fitted", sheets(made, FITTED)),
    ):
        picture.quantize(64).save(PICTURES / f"{name}.png", optimize=True)
