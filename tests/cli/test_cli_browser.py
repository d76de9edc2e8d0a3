"""The page to look at, in a real browser at two sizes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

sync_api = pytest.importorskip("playwright.sync_api")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip

pytestmark = [
    pytest.mark.browser,
    pytest.mark.xdist_group("demo"),
    pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not there; on Debian: apt-get install chromium"),
]


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    with sync_api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield started
        started.close()


@pytest.mark.parametrize("width", [360, 1280])
def test_the_page_reads_at_both_sizes_and_asks_nobody_for_anything(made: Path, browser: object, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})  # type: ignore[attr-defined]
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    index = made / "costumes" / "tide-warden" / "out" / "index.html"
    page.goto(index.as_uri())
    assert page.locator("h1").inner_text() == "Tide Warden"
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert said == []
    assert {url.partition(":")[0] for url in asked} == {"file"}
    links = page.locator("a").evaluate_all("links => links.map(link => link.getAttribute('href'))")
    files = [link for link in links if not link.startswith("#")]
    assert len(files) > 20
    assert all((index.parent / link.replace("%20", " ")).is_file() for link in files)
    page.close()
