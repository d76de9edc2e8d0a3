"""Photos to proposals: a piece of known outline on a made table, and what is said where a photo does not do."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path as FilePath

import cv2
import numpy as np
import pytest
from made_photos import Image, Laid, Table, camera_over, photo, point_on, sheets_round

from firsthand.demo import demo_patterns
from firsthand.errors import BadInput
from firsthand.geometry import Affine, Path, Point, nearest
from firsthand.importers.photo import Lens, reference_sheet
from firsthand.importers.photo._import import PhotoImport, import_photos

LENS = Lens(1530.0, 1005.0, 742.0, (0.08, -0.16, 0.0005, -0.0004, 0.04))
SIZE = (2000, 1500)
CUFF = demo_patterns()["shirt"].pieces["cuff"].sizes["M"].outline
PIECE = CUFF.transformed(Affine.translation(620 - CUFF.bounds.centre.x, 470 + CUFF.bounds.centre.y) @ Affine.scaling(1, -1))
TABLE = Table(1250, 950, sheets_round(1250, 950), piece=PIECE, scale=1.6)
ABOVE, TILTED = camera_over(620, 470, 1330, tilt=0.05, about=0.04), camera_over(620, 480, 1500, tilt=0.42, about=0.8)


def cross(laid: Laid) -> Point:
    return point_on(laid, *reference_sheet(laid.number).cross)


def apart(one: int, two: int, table: Table = TABLE) -> float:
    laid = {sheet.number: sheet for sheet in table.sheets}
    return cross(laid[one]).distance(cross(laid[two]))


def shots(table: Table, *, both: bool = True) -> list[Image]:
    drawn = table.drawn()
    return [
        photo(drawn, table.scale, LENS, camera, SIZE, seed=k) for k, camera in enumerate((ABOVE, TILTED)[: 2 if both else 1])
    ]


def imported(folder: FilePath, images: list[Image], distance: tuple[int, int, float] | None) -> PhotoImport:
    files = []
    for k, image in enumerate(images):
        files.append(folder / f"{k}.png")
        cv2.imwrite(str(files[-1]), image)
    return import_photos(files, distance=distance)


def codes(found: PhotoImport) -> set[str]:
    return {finding.code for finding in found.proposals.findings}


def test_a_piece_is_found_true_to_size(tmp_path: FilePath) -> None:
    found = imported(tmp_path, shots(TABLE), (1, 4, apart(1, 4)))
    (piece,) = found.proposals.proposals
    assert piece.accuracy is not None
    assert piece.accuracy < 1.5
    first = TABLE.sheets[0]
    back = [Point(p.x - first.x, p.y - first.y) for p in (PIECE.at(PIECE.length * k / 200) for k in range(200))]
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    true = [Point(cos * p.x + sin * p.y, sin * p.x - cos * p.y) for p in back]
    off = [nearest(piece.outline, point)[1] for point in true]
    assert math.sqrt(sum(d * d for d in off) / len(off)) < 0.7
    assert sorted(off)[190] < 1.5
    assert not {"photo-unmeasured", "photo-not-flat", "photo-unsure", "photo-edge-unseen"} & codes(found)


def test_a_scale_that_nobody_measured_is_said(tmp_path: FilePath) -> None:
    assert "photo-unmeasured" in codes(imported(tmp_path, shots(TABLE, both=False), None))


def test_a_printer_that_shrank_is_set_right_by_the_tape(tmp_path: FilePath) -> None:
    found = imported(tmp_path, shots(TABLE), (1, 4, apart(1, 4) * 0.97))
    assert "photo-printed-scale" in codes(found)
    assert found.proposals.proposals[0].outline.length == pytest.approx(PIECE.length * 0.97, rel=0.005)


def test_a_short_distance_is_said(tmp_path: FilePath) -> None:
    near = replace(TABLE, sheets=(*TABLE.sheets, Laid(5, 230, 30)))
    assert "photo-short-distance" in codes(imported(tmp_path, shots(near), (1, 5, apart(1, 5, near))))


def test_a_photo_without_sheets_is_left_out(tmp_path: FilePath) -> None:
    found = imported(tmp_path, [*shots(TABLE), np.full((SIZE[1], SIZE[0], 3), 90, dtype=np.uint8)], (1, 4, apart(1, 4)))
    assert "photo-without-sheets" in codes(found)


def test_sheets_that_bow_are_noticed(tmp_path: FilePath) -> None:
    rows, columns = np.mgrid[0 : SIZE[1], 0 : SIZE[0]].astype(np.float32)
    bowed = [
        cv2.remap(shot, columns + 2.5 * np.sin(rows / 60), rows + 2.5 * np.sin(columns / 45), cv2.INTER_LINEAR)
        for shot in shots(TABLE)
    ]
    found = codes(imported(tmp_path, bowed, (1, 4, apart(1, 4))))
    assert "photo-not-flat" in found
    assert "photo-unsure" in found


def rms(found: PhotoImport) -> float:
    """How far the outline found lies from the true one."""
    first = TABLE.sheets[0]
    back = [Point(p.x - first.x, p.y - first.y) for p in (PIECE.at(PIECE.length * k / 200) for k in range(200))]
    cos, sin = math.cos(first.angle), math.sin(first.angle)
    true = [Point(cos * p.x + sin * p.y, sin * p.x - cos * p.y) for p in back]
    off = [nearest(found.proposals.proposals[0].outline, point)[1] for point in true]
    return math.sqrt(sum(d * d for d in off) / len(off))


@pytest.mark.parametrize("darker", [12, 5, 2, 0])
def test_what_can_hardly_be_seen_is_right_or_said_never_silently_wrong(tmp_path: FilePath, darker: int) -> None:
    pale = replace(TABLE, wood=(236 - darker, 240 - darker, 243 - darker), texture=2.0)
    refused, right = "", False
    try:
        found = imported(tmp_path, shots(pale), (1, 4, apart(1, 4)))
        right = "photo-edge-unseen" in codes(found) or rms(found) < 1.5
    except BadInput as error:
        refused = str(error)
    assert right or "--corners" in refused


def test_a_piece_that_reaches_out_of_the_photo_is_said(tmp_path: FilePath) -> None:
    long = Path.polygon([Point(300, 420), Point(2100, 420), Point(2100, 520), Point(300, 520)])
    beyond = replace(TABLE, width=2200, piece=long)
    assert "photo-cut-off" in codes(imported(tmp_path, shots(beyond, both=False), (1, 4, apart(1, 4))))


def test_a_printed_line_taken_for_the_edge_of_the_paper_is_said(tmp_path: FilePath) -> None:
    sheet = Path.polygon([Point(330, 330), Point(900, 330), Point(900, 620), Point(330, 620)])
    drawn = replace(TABLE, wood=(236, 240, 243), texture=1.0, piece=None, lines=(sheet,))
    found = imported(tmp_path, shots(drawn), (1, 4, apart(1, 4)))
    assert {"photo-on-a-line", "photo-edge-unseen"} & codes(found)
