"""Photos of pieces on a table, made up with known truth: outlines, lines, scale, what is said, what is refused."""

from __future__ import annotations

import io
import json
import math
from pathlib import Path as FilePath
from typing import Any

import cv2
import numpy as np
import pytest
from made_photos import Laid, Table, camera_over, photo, point_on, sheets_round
from numpy.typing import NDArray
from PIL import Image as Pictures
from scipy.spatial import cKDTree

from firsthand.errors import BadInput, GeometryError
from firsthand.geometry import Affine, Cubic, Line, Path, Point, offset
from firsthand.importers import Meaning
from firsthand.importers.photo import (
    Lens,
    Photo,
    Rectified,
    fit_table,
    import_photos,
    lines_in,
    outline_of,
    project,
    read_photo,
    rectify,
    reference_sheet,
    sheets_seen,
)
from firsthand.importers.photo import View as PhotoView
from firsthand.importers.photo._plane import Plane, spread_of

Floats = NDArray[np.float64]
SIZE = (2000, 1500)
LENS = Lens(1530.0, 1005.0, 742.0, (0.08, -0.16, 0.0005, -0.0004, 0.04))
WIDE, HIGH = 1300.0, 950.0
SLEEVE = Path(
    (
        Cubic(Point(0, 0), Point(120, -90), Point(260, -90), Point(400, 0)),
        Line(Point(400, 0), Point(340, 460)),
        Cubic(Point(340, 460), Point(250, 480), Point(150, 480), Point(60, 460)),
        Line(Point(60, 460), Point(0, 0)),
    )
).transformed(Affine.translation(450, 270))
PALE: dict[str, Any] = {"paper": (238, 242, 244), "wood": (222, 228, 232), "texture": 1.5}
ABOVE = camera_over(WIDE / 2, HIGH / 2, 1130, tilt=0.04, about=0.05)
ASIDE = camera_over(WIDE / 2, HIGH / 2 + 20, 1450, tilt=0.42, about=0.7)


def table(**how: Any) -> Table:
    how = {"piece": SLEEVE, "scale": 1.6, **how}
    return Table(WIDE, HIGH, how.pop("sheets", sheets_round(WIDE, HIGH)), **how)


def shot(what: Table, camera: Any = ABOVE, *, seed: int = 1, **how: Any) -> Photo:
    return Photo(photo(what.drawn(seed), what.scale, LENS, camera, SIZE, seed=seed, dim=0.15, **how), name=f"{seed}.jpg")


def taped(what: Table) -> tuple[int, int, float]:
    one, two = what.sheets[0], what.sheets[-1]
    cross = reference_sheet(1).cross
    return one.number, two.number, point_on(one, *cross).distance(point_on(two, *cross))


def dense(path: Path, step: float = 0.5) -> Floats:
    flat = np.array([(p.x, p.y) for p in path.flattened(0.02)])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(flat, axis=0).T))])
    at = np.linspace(0, along[-1], max(4, round(along[-1] / step)))
    return np.column_stack([np.interp(at, along, flat[:, 0]), np.interp(at, along, flat[:, 1])])


def on_made_table(path: Path, origin: Point) -> Floats:
    """Points of what was found, in the coordinates in which the table was made up."""
    first: Laid = sheets_round(WIDE, HIGH)[0]
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    found = dense(path) * (1, -1) + (origin.x, -origin.y)
    return np.asarray(found @ np.array([[cos, sin], [-sin, cos]]) + (first.x, first.y))


def away(found: Floats, truth: Path) -> Floats:
    """Distances from the truth, after turning and moving the whole to fit best."""
    true = dense(truth, 0.1)
    tree = cKDTree(true)
    for _ in range(30):
        mate = true[tree.query(found)[1]]
        a, b = found - found.mean(axis=0), mate - mate.mean(axis=0)
        u, _, v = np.linalg.svd(a.T @ b)
        found = a @ u @ v + mate.mean(axis=0)
    return np.asarray(np.concatenate([tree.query(found)[0], cKDTree(found).query(true[::5])[0]]))


def rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2)))


@pytest.fixture(scope="module")
def dark() -> tuple[Table, Rectified]:
    """Paper with printed lines on a dark table."""
    stitching = offset(SLEEVE, -15)
    arrow = [(650, 330, 650, 600), (650, 330, 644, 343), (650, 330, 656, 343)]
    dart = [(690, 735, 710, 630), (730, 735, 710, 630)]
    lines = (stitching, *(Path.line(Point(a, b), Point(c, d)) for a, b, c, d in [*arrow, *dart, (520, 420, 780, 440)]))
    what = table(lines=lines)
    return what, rectify([shot(what)], distance=taped(what))


def test_a_piece_comes_out_true(dark: tuple[Table, Rectified]) -> None:
    _, seen = dark
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    off = away(on_made_table(found.path, seen.origin), SLEEVE)
    assert rms(off) < 0.4
    assert np.percentile(off, 95) < 0.8
    assert found.trust > 0.97
    assert len(found.corners) == 4
    assert not found.findings
    assert found.path.is_closed
    assert found.path.area > 0
    assert np.percentile(off, 95) < math.hypot(found.accuracy_mm, seen.accuracy_mm) < 2.0
    assert len(tuple(found.path)) < 20


def test_printed_lines_are_told_apart(dark: tuple[Table, Rectified]) -> None:
    what, seen = dark
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    lines = lines_in(seen.image, seen.mm_per_pixel, found.path)
    kinds = [line.kind for line in lines]
    assert kinds.count(Meaning.GRAIN) == 1
    assert kinds.count(Meaning.DART) == 2
    assert kinds.count(Meaning.INNER) == 1
    stitching = [line for line in lines if line.kind is Meaning.STITCHING]
    assert sum(line.path.length for line in stitching) > 0.9 * what.lines[0].length
    truth = cKDTree(np.vstack([dense(line, 0.2) for line in what.lines]))
    for line in lines:
        assert rms(truth.query(on_made_table(line.path, seen.origin))[0]) < 0.7


def test_white_on_a_pale_table_with_creases_and_shadow() -> None:
    what = table(**PALE, creases=6, crease=6.0, shadow=12.0)
    seen = rectify([shot(what)], distance=taped(what))
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    off = away(on_made_table(found.path, seen.origin), SLEEVE)
    assert rms(off) < 0.7
    assert np.percentile(off, 95) < 1.5
    assert all(line.kind is not Meaning.GRAIN for line in lines_in(seen.image, seen.mm_per_pixel, found.path))


def test_what_cannot_be_seen_is_never_made_up() -> None:
    """Paper of the table's own colour: nothing, or a doubt; a printed line is not silently taken for the edge."""
    plain = table(**{**PALE, "wood": (238, 242, 244)})
    seen = rectify([shot(plain)], distance=taped(plain))
    with pytest.raises(BadInput, match="nothing but the table"):
        outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    printed = table(**{**PALE, "wood": (238, 242, 244)}, lines=(offset(SLEEVE, -15),))
    seen = rectify([shot(printed)], distance=taped(printed))
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    assert {"photo-edge-unseen", "photo-on-a-line"} & {finding.code for finding in found.findings}


def test_tapped_corners_find_a_faint_edge() -> None:
    what = table(**{**PALE, "wood": (233, 237, 239)}, shadow=8.0)
    seen = rectify([shot(what)], distance=taped(what))
    rng = np.random.default_rng(3)
    first = what.sheets[0]
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    taps = []
    for x, y in [(450, 270), (650, 203), (850, 270), (790, 730), (510, 730)]:
        dx, dy = np.array([x - first.x, y - first.y]) + rng.normal(0, 2.5, 2)
        taps.append(Point(cos * dx + sin * dy - seen.origin.x, sin * dx - cos * dy - seen.origin.y))
    found = outline_of(seen.image, seen.mm_per_pixel, corners=taps, free=seen.free)
    off = away(on_made_table(found.path, seen.origin), SLEEVE)
    assert rms(off) < 0.8
    assert np.percentile(off, 95) < 1.5


def test_the_tape_sets_the_scale(dark: tuple[Table, Rectified]) -> None:
    """Sheets printed at 97 %: everything else is larger than they say."""
    what, seen = dark
    one, two, true = taped(what)
    taken = shot(what)
    larger = rectify([taken], distance=(one, two, true / 0.97))
    assert larger.mm_per_pixel == pytest.approx(seen.mm_per_pixel / 0.97, rel=0.01)
    assert [f.code for f in larger.findings] == ["photo-printed-scale"]
    assert "103.1 %" in larger.findings[0].message
    without = rectify([taken])
    assert "photo-unmeasured" in {f.code for f in without.findings}
    assert without.accuracy_mm > seen.accuracy_mm


def test_sheets_that_moved_between_photos_are_noticed() -> None:
    what = table(piece=None, scale=1.3)
    moved = table(
        scale=1.3,
        piece=None,
        sheets=tuple(Laid(s.number, s.x + (6 if s.number == 3 else 0), s.y, s.angle) for s in what.sheets),
    )
    seen = rectify([shot(what), shot(moved, ASIDE, seed=2)], distance=taped(what))
    assert "photo-not-flat" in {finding.code for finding in seen.findings}


def test_bowed_sheets_make_the_stated_accuracy_worse() -> None:
    what = table()
    flat = rectify([shot(what)], distance=taped(what))
    bows = [(one, 1.5) for one in what.sheets]
    bowed = rectify([shot(what, bows=bows)], distance=taped(what))
    assert bowed.accuracy_mm > 1.3 * flat.accuracy_mm
    found = outline_of(bowed.image, bowed.mm_per_pixel, free=bowed.free)
    off = away(on_made_table(found.path, bowed.origin), SLEEVE)
    assert np.percentile(off, 95) < math.hypot(bowed.accuracy_mm, found.accuracy_mm)


def test_a_long_table_in_two_photos_of_a_part_each() -> None:
    """No photo shows all; both hang together by the sheets in the middle, and are made equally light."""
    wide, high = 1500.0, 800.0
    four = sheets_round(wide, high)
    sheets = (*four, Laid(5, 660, 20, 0.05), Laid(6, 665, 490, -0.04))
    piece = Path.polygon([Point(300, 350), Point(1210, 340), Point(1200, 455), Point(310, 465)])
    what = Table(wide, high, sheets, piece=piece, scale=1.6)
    cameras = [camera_over(x, 400, 790, tilt=0.05) for x in (500, 1010)]
    shots = [shot(what, camera, seed=k) for k, camera in enumerate(cameras, 1)]
    cross = reference_sheet(1).cross
    seen = rectify(shots, distance=(1, 4, point_on(four[0], *cross).distance(point_on(four[3], *cross))))
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    first = four[0]
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    got = dense(found.path) * (1, -1) + (seen.origin.x, -seen.origin.y)
    off = away(got @ np.array([[cos, sin], [-sin, cos]]) + (first.x, first.y), piece)
    assert rms(off) < 0.7
    assert np.percentile(off, 95) < 1.5


def test_the_stated_spread_is_that_of_many_fits() -> None:
    """Corners with noise of a known size, fitted again and again: the table's shape scatters as the covariance says."""
    what = table(piece=None)
    lens = Lens(1530.0, 1005.0, 742.0, (0.05, -0.1, 0.0, 0.0, 0.0))
    clean = [PhotoView(*SIZE, sheets_seen(photo(what.drawn(), what.scale, lens, ABOVE, SIZE)))]
    fit = fit_table(clean)
    grid = np.stack(np.meshgrid(np.linspace(0, 900, 4), np.linspace(0, 600, 4)), axis=-1).reshape(-1, 2)
    stated = rms(spread_of(fit, grid, np.zeros(len(grid), dtype=np.intp)))
    pixels, _ = Plane(fit.lens, fit.cameras[0], SIZE).to_photo(grid)
    rng = np.random.default_rng(5)
    found = []
    for _ in range(12):
        noisy = tuple(
            type(one)(one.sheet, one.on_sheet, one.in_photo + rng.normal(0, 0.15, one.in_photo.shape)) for one in clean[0].seen
        )
        again = fit_table([PhotoView(*SIZE, noisy)])
        places = Plane(again.lens, again.cameras[0], SIZE).to_table(pixels)
        a, b = places - places.mean(axis=0), grid - grid.mean(axis=0)
        u, _, v = np.linalg.svd(a.T @ b)
        found.append(rms(np.hypot(*(a @ u @ v - b).T)))
    assert 0.4 * stated < rms(np.array(found)) < 1.5 * stated


def test_a_piece_cut_along_its_printed_line_is_taken_at_the_middle_of_the_line() -> None:
    what = table(lines=(SLEEVE,), line_width=1.2, ink=(35, 35, 35))
    seen = rectify([shot(what)], distance=taped(what))
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    assert rms(away(on_made_table(found.path, seen.origin), SLEEVE)) < 0.5


def test_a_sheet_that_lies_on_the_piece_is_noticed() -> None:
    what = table(sheets=(*sheets_round(WIDE, HIGH)[:3], Laid(4, 780, 400)))
    seen = rectify([shot(what)], distance=(1, 3, taped(table(sheets=sheets_round(WIDE, HIGH)[:3]))[2]))
    found = outline_of(seen.image, seen.mm_per_pixel, free=seen.free)
    assert "photo-cut-off" in {finding.code for finding in found.findings}


def test_corners_tapped_on_the_photo_as_it_is_turned(tmp_path: FilePath) -> None:
    """The photo is noted as taken upright; the taps are where its owner sees the corners."""
    what = table(**PALE)
    taken = shot(what)
    file = saved(taken.image, tmp_path / "a.jpg", turned=6)
    pixels, _ = project(np.array([(450.0, 270), (650, 203), (850, 270), (790, 730), (510, 730)]), LENS, ABOVE)
    upright = [(SIZE[1] - 1 - y + 2.0, x - 1.5) for x, y in pixels]
    found = import_photos([file], distance=taped(what), corners=upright)
    (piece,) = found.proposals.proposals
    assert rms(away(on_made_table(piece.outline, Point(0, 0)), SLEEVE)) < 0.7
    assert len(found.corners[0]) == 4
    origin, pixel = found.table.origin, found.table.mm_per_pixel
    shown = [((p.x - origin.x) / pixel, (origin.y - p.y) / pixel) for p in found.corners[0]]
    again = import_photos([file], distance=taped(what), corners=shown, on_overlay=True)
    assert again.proposals.proposals[0].outline.length == pytest.approx(piece.outline.length, rel=0.002)


def test_sheets_of_the_other_paper_are_told() -> None:
    what = table(piece=None)
    one, two, true = taped(what)
    (finding,) = rectify([shot(what)], distance=(one, two, true * 28 / 30)).findings
    assert "Letter" in finding.remedy


# what is refused ---------------------------------------------------------------------------------------------------


def test_one_sheet_alone_is_refused() -> None:
    what = table(sheets=sheets_round(WIDE, HIGH)[:1])
    with pytest.raises(BadInput, match="two sheets or more"):
        rectify([shot(what)])


def test_no_sheet_photos_of_other_sizes_and_odd_distances_are_refused(dark: tuple[Table, Rectified]) -> None:
    blank = Photo(np.full((900, 1200, 3), 120, dtype=np.uint8), name="blank.jpg")
    with pytest.raises(BadInput, match="no reference sheet"):
        rectify([blank])
    with pytest.raises(BadInput, match="photos of one size"):
        rectify([blank, Photo(np.full((800, 1200, 3), 120, dtype=np.uint8))])
    with pytest.raises(BadInput, match="no photo"):
        rectify([])
    what, seen = dark
    one, two, true = taped(what)
    taken = Photo(seen.image)  # the table from above is as good as a photo of it
    for distance, words in (
        ((one, 7, true), "two of the sheets seen"),
        ((one, one, true), "two of the sheets seen"),
        ((one, two, math.nan), "50 to 6000 mm"),
        ((one, two, -5.0), "50 to 6000 mm"),
        ((one, two, true * 2), "Measure again"),
    ):
        with pytest.raises(BadInput, match=words):
            rectify([taken], distance=distance)


@pytest.mark.parametrize("pixel", [math.nan, 0.0, -1.0, 1e9])
def test_pixels_without_size_are_refused(pixel: float) -> None:
    with pytest.raises(GeometryError):
        outline_of(np.zeros((100, 100, 3), dtype=np.uint8), pixel)


def test_corners_without_sense_are_refused(dark: tuple[Table, Rectified]) -> None:
    _, seen = dark
    for corners in ([Point(1, -1)], [Point(-50, -1), Point(5, -5), Point(9, -1)], [Point(1, -1), Point(1e6, -5), Point(9, -1)]):
        with pytest.raises(BadInput, match="three or more"):
            outline_of(seen.image, seen.mm_per_pixel, corners=corners)


# files -------------------------------------------------------------------------------------------------------------


def saved(image: Any, file: FilePath, **exif: int) -> FilePath:
    notes = Pictures.Exif()
    if "focal" in exif:
        notes.get_ifd(0x8769)[0xA405] = exif["focal"]
    if "turned" in exif:
        notes[0x0112] = exif["turned"]
    Pictures.fromarray(image[:, :, ::-1]).save(file, quality=93, exif=notes)
    return file


def test_a_photos_note_tells_its_lens(tmp_path: FilePath) -> None:
    """26 mm on 35 mm film, by the diagonal (Exif 2.3)."""
    image = np.full((1500, 2000, 3), 99, dtype=np.uint8)
    read = read_photo(saved(image, tmp_path / "a.jpg", focal=26, turned=6))
    assert read.focal == pytest.approx(26 / math.hypot(36, 24) * 2500)
    assert (read.turned, read.size) == (6, (2000, 1500))
    # looked at upright, its upper left corner is the lower left of what the sensor saw
    assert read.as_seen(np.array([[0.0, 0.0], [1499.0, 1999.0]])).tolist() == [[0.0, 1499.0], [1999.0, 0.0]]


@pytest.mark.parametrize("turned", range(1, 9))
def test_tapped_places_follow_the_photo_as_it_is_turned(tmp_path: FilePath, turned: int) -> None:
    """Pillow's own turning of the picture is the reference."""
    from PIL import ImageOps

    image = np.zeros((500, 700, 3), dtype=np.uint8)
    image[120:124, 530:534] = 255
    file = saved(image, tmp_path / "t.png", turned=turned)
    upright = np.asarray(ImageOps.exif_transpose(Pictures.open(file)))[:, :, 0]
    rows, columns = np.nonzero(upright)
    at = read_photo(file).as_seen(np.array([[columns.mean(), rows.mean()]]))
    assert at[0] == pytest.approx([531.5, 121.5])


def bomb() -> bytes:
    """A PNG whose header says 60 000 x 60 000 pixels."""
    out = io.BytesIO()
    Pictures.new("L", (600, 600)).save(out, "PNG")
    data = bytearray(out.getvalue())
    data[16:24] = (60_000).to_bytes(4, "big") * 2
    import zlib

    data[29:33] = zlib.crc32(bytes(data[12:29])).to_bytes(4, "big")
    return bytes(data)


def test_broken_and_absurd_files_are_refused(tmp_path: FilePath) -> None:
    good = io.BytesIO()
    Pictures.fromarray(np.random.default_rng(1).integers(0, 255, (600, 600, 3), dtype=np.uint8)).save(good, "JPEG")
    small = io.BytesIO()
    Pictures.new("RGB", (60, 60)).save(small, "PNG")
    for data, words in (
        (b"", "empty"),
        (b"not a photo at all", "something else"),
        (good.getvalue()[:9000], "broken"),
        (bomb(), "megapixels"),
        (small.getvalue(), "at least 480"),
    ):
        (tmp_path / "x.jpg").write_bytes(data)
        with pytest.raises(BadInput, match=words):
            read_photo(tmp_path / "x.jpg")
    with pytest.raises(BadInput):
        read_photo(tmp_path / "none.jpg")
    with pytest.raises(BadInput, match="photos"):
        import_photos([])


def test_the_command_proposes_and_draws(tmp_path: FilePath, capsys: pytest.CaptureFixture[str], monkeypatch: Any) -> None:
    from firsthand.cli import main

    what = table()
    one, two, true = taped(what)
    file = saved(shot(what).image, tmp_path / "a.jpg", focal=27)
    words = [
        "photo",
        str(file),
        "--distance",
        f"{one}-{two} {true / 10:.2f} cm",
        "--overlay",
        str(tmp_path / "o.png"),
        "--json",
    ]
    monkeypatch.setattr("sys.argv", ["firsthand", "import", *words])
    with pytest.raises(SystemExit) as stop:
        main()
    assert not stop.value.code
    data = json.loads(capsys.readouterr().out)
    (proposal,) = data["proposals"]
    assert proposal["accuracy_mm"] < 2
    assert proposal["area"] == pytest.approx(abs(SLEEVE.area), rel=0.003)
    assert proposal["width"] == pytest.approx(400, abs=25)
    shown = cv2.imread(str(tmp_path / "o.png"))
    assert ((shown[..., 2] > 190) & (shown[..., 1] < 90)).sum() > 1000


@pytest.mark.parametrize(
    "words",
    [["--distance", "1-4"], ["--distance", "1-4 soon"], ["--corners", "3,4 5"], ["--corners", "3,4 5,6"], ["--paper", "A5"]],
)
def test_the_command_refuses_what_it_cannot_read(
    words: list[str], tmp_path: FilePath, capsys: pytest.CaptureFixture[str], monkeypatch: Any
) -> None:
    from firsthand.cli import main

    file = saved(np.full((600, 800, 3), 99, dtype=np.uint8), tmp_path / "a.jpg")
    monkeypatch.setattr("sys.argv", ["firsthand", "import", "photo", str(file), *words])
    with pytest.raises(SystemExit) as stop:
        main()
    assert stop.value.code == 2
    assert words[0][2:] in capsys.readouterr().err or "A5" in words
