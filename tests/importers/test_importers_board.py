"""Reference sheets: read again as they were printed, true to size; and what photos of them tell is held to the truth."""

from __future__ import annotations

import contextlib
import io
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pypdfium2
import pytest
from made_photos import Laid, Table, camera_over, photo, sheets_round

from firsthand.errors import NotThere
from firsthand.importers.photo import MOST_SHEETS, Fit, Lens, View, fit_table, project, reference_sheet, sheets_seen
from firsthand.importers.photo._detect import Image
from firsthand.sheets._paper import paper
from firsthand.sheets.board import TOP, board_pdf

LENS = Lens(1530.0, 1005.0, 742.0, (0.08, -0.16, 0.0005, -0.0004, 0.04))
SIZE = (2000, 1500)
TABLE = Table(1250, 950, sheets_round(1250, 950), scale=1.6)


@pytest.fixture(scope="module")
def views() -> tuple[View, ...]:
    """Two photos of one table: one from above, one tilted."""
    drawn = TABLE.drawn()
    cameras = (camera_over(620, 470, 1330, tilt=0.05, about=0.04), camera_over(620, 480, 1500, tilt=0.42, about=0.8))
    shots = [photo(drawn, TABLE.scale, LENS, camera, SIZE, seed=k) for k, camera in enumerate(cameras)]
    return tuple(View(*SIZE, sheets_seen(shot)) for shot in shots)


def page_image(data: bytes, page: int, dots: float = 200.0) -> Image:
    document = pypdfium2.PdfDocument(io.BytesIO(data))
    return np.array(document[page].render(scale=dots / 72).to_pil().convert("L"), dtype=np.uint8)


@pytest.mark.parametrize("name", ["A4", "Letter"])
def test_a_printed_sheet_is_read_again_true_to_size(name: str) -> None:
    data = board_pdf(name)
    dots = 200.0
    for number in (1, MOST_SHEETS):
        (seen,) = sheets_seen(page_image(data, number, dots), name)
        assert seen.sheet.number == number
        assert len(seen.in_photo) == 5 * 8
        left = (paper(name).width - seen.sheet.width) / 2
        found = (seen.in_photo + 0.5) * 25.4 / dots - (left, TOP)
        assert np.abs(found - seen.on_sheet).max() < 0.1


def test_the_vectors_are_those_of_opencv() -> None:
    """Every black square, drawn, is the picture that OpenCV draws of the board."""
    sheet = reference_sheet(3)
    theirs = sheet.board().generateImage((1800, 2700))
    mine = np.full_like(theirs, 255)
    for square in sheet.squares():
        a, b, c = round(square.x * 10), round(square.y * 10), round(square.side * 10)
        mine[b : b + c, a : a + c] = 0
    assert np.mean(mine != theirs) < 0.003


def test_sheets_have_marks_of_their_own() -> None:
    ids = [number for k in range(1, MOST_SHEETS + 1) for number in reference_sheet(k).ids]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(("number", "name"), [(0, "A4"), (9, "A4"), (1, "A5")])
def test_there_is_no_such_sheet(number: int, name: str) -> None:
    with pytest.raises(NotThere):
        reference_sheet(number, name)


def test_a_picture_without_sheets_shows_none() -> None:
    assert sheets_seen(np.full((400, 600), 128, dtype=np.uint8)) == ()


def true_place(laid: Laid, first: Laid) -> tuple[float, float, float]:
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    dx, dy = laid.x - first.x, laid.y - first.y
    return cos * dx + sin * dy, -sin * dx + cos * dy, laid.angle - first.angle


def worst(fit: Fit) -> float:
    """By how far a corner of any sheet is off at most, mm."""
    laid = {one.number: one for one in TABLE.sheets}
    first = laid[min(fit.sheets)]
    off = 0.0
    for number, (x, y, angle) in fit.sheets.items():
        tx, ty, true = true_place(laid[number], first)
        off = max(off, math.hypot(x - tx, y - ty) + abs(angle - true) * 324.0)
    return off


def test_two_photos_tell_where_the_sheets_lie(views: tuple[View, ...]) -> None:
    fit = fit_table(views)
    assert len(fit.sheets) == 4
    assert fit.residual < 0.1
    assert worst(fit) < 0.3
    assert fit.lens.focal == pytest.approx(LENS.focal, rel=0.01)


def test_one_photo_with_four_sheets_does(views: tuple[View, ...]) -> None:
    assert worst(fit_table(views[:1])) < 0.4


def test_the_lens_is_that_of_opencvs_own_calibration(views: tuple[View, ...]) -> None:
    """The same corners through ``cv2.calibrateCamera``, sheet by sheet: both see the table through the same lens."""
    objects = [np.column_stack([one.on_sheet, np.zeros(len(one.on_sheet))]).astype(np.float32) for v in views for one in v.seen]
    images = [one.in_photo.astype(np.float32) for view in views for one in view.seen]
    start = np.array([[1500.0, 0, 999.5], [0, 1500, 749.5], [0, 0, 1]])
    flags = cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_ASPECT_RATIO
    rms, matrix, distortion, *_ = cv2.calibrateCamera(objects, images, SIZE, start, None, flags=flags)  # type: ignore[call-overload]
    ours = fit_table(views)
    assert rms < 0.1
    middle = np.array([[x, y] for x in (-300.0, 0, 300) for y in (-200.0, 0, 200)])
    at = camera_over(0, 0, 1330)
    theirs = Lens(float(matrix[0, 0]), float(matrix[0, 2]), float(matrix[1, 2]), tuple(map(float, distortion.ravel()[:5])))  # type: ignore[arg-type]
    one, two = project(middle, ours.lens, at)[0], project(middle, theirs, at)[0]
    spread = (one - one.mean(axis=0)) - (two - two.mean(axis=0)) * (ours.lens.focal / theirs.focal)
    assert np.abs(spread).max() < 1.5


def test_the_jacobian_is_the_derivative(views: tuple[View, ...]) -> None:
    from firsthand.importers.photo._camera import _Start, _System

    start = _Start.of(views)
    system = _System(views, start)
    jacobian = system.jacobian(start.numbers)
    rng = np.random.default_rng(3)
    for k in rng.choice(len(start.numbers), 10, replace=False):
        step = 1e-5 * max(1.0, abs(start.numbers[k]))
        moved = start.numbers.copy()
        moved[k] += step
        there = system.residuals(moved)
        moved[k] -= 2 * step
        numeric = (there - system.residuals(moved)) / (2 * step)
        assert np.allclose(jacobian[:, k], numeric, rtol=2e-3, atol=1e-3 * max(1.0, np.abs(numeric).max()))


def test_photos_that_do_not_hang_together_are_refused(views: tuple[View, ...]) -> None:
    one = replace(views[0], seen=views[0].seen[:1])
    two = replace(views[1], seen=tuple(s for s in views[1].seen if s.sheet.number == 3))
    with pytest.raises(ValueError, match="do not hang together"):
        fit_table((one, two))


def test_the_command_writes_the_sheets(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: Any) -> None:
    from firsthand.cli import main

    monkeypatch.setattr("sys.argv", ["firsthand", "board", "--paper", "letter", "--to", str(tmp_path / "b.pdf"), "--json"])
    with contextlib.suppress(SystemExit):
        main()
    assert '"written"' in capsys.readouterr().out
    assert len(pypdfium2.PdfDocument(tmp_path / "b.pdf")) == 1 + MOST_SHEETS
