"""Opening a PDF file, and its pages with their sizes; nothing in it is trusted."""

from __future__ import annotations

import base64
import binascii
import math
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from firsthand.errors import BadInput
from firsthand.geometry import Affine
from firsthand.importers._file import plain, problem
from firsthand.units import MM_PER_INCH

__all__ = ["MOST_PAGES", "Sheet", "decoded", "opened", "sheets"]

MOST_PAGES = 300
MOST_STREAM = 24_000_000
"""Bytes that one stream may unfold to."""
MOST_PACKED = 200_000
"""Bytes of a stream in an old packing, whose unfolding cannot be stopped halfway."""
LARGEST_PAGE = 6000.0  # mm; the longest roll of paper that a pattern is printed on is shorter (common practice)
POINT = MM_PER_INCH / 72
"""Default unit of a page, mm. Source: ISO 32000-1, 8.3.2.3."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: its number from 1, the map from its own units to millimetres on the upright page, and its size."""

    number: int
    page: Any
    to_mm: Affine
    width: float
    height: float


@contextmanager
def opened(file: FilePath) -> Iterator[Any]:
    """The document, decrypted if it opens without a password.

    Raises
    ------
    BadInput
        If it asks for a password, cannot be read, or has too many pages.
    """
    import pikepdf

    try:
        document = pikepdf.open(file)
    except pikepdf.PasswordError:
        remedy = "Open it with its password and print it to a new PDF without one."
        raise BadInput([problem(file, "", "a file locked with a password", "a PDF that opens without one", remedy)]) from None
    except (pikepdf.PdfError, OSError, ValueError, RuntimeError, MemoryError, RecursionError) as error:
        found = plain(str(error).rpartition(": ")[2]) or "a file that is not PDF"
        raise BadInput([problem(file, "", found, "a PDF file", "Download or print it again as PDF.")]) from None
    try:
        yield document
    finally:
        document.close()


def sheets(document: Any, file: FilePath) -> tuple[Sheet, ...]:
    """The pages.

    Raises
    ------
    BadInput
        If there are none or too many, or a page has no sensible size.
    """
    import pikepdf

    try:
        count = len(document.pages)
        if not 0 < count <= MOST_PAGES:
            found, remedy = f"{count} pages", "Save only the pages of the pattern as a new PDF."
            raise BadInput([problem(file, "", found, f"1 to {MOST_PAGES} pages", remedy)])
        return tuple(_sheet(page, number, file) for number, page in enumerate(document.pages, start=1))
    except (pikepdf.PdfError, ValueError, TypeError, AttributeError, KeyError, IndexError, RuntimeError) as error:
        if isinstance(error, BadInput):
            raise
        found = plain(str(error)) or "a broken list of pages"
        raise BadInput([problem(file, "", found, "a PDF with sound pages", "Print it again as PDF.")]) from None


def _inherited(page: Any, key: str) -> Any:
    node = page.obj
    for _ in range(50):
        if key in node:
            return node[key]
        if "/Parent" not in node:
            return None
        node = node["/Parent"]
    return None


def _numbers(value: Any) -> list[float]:
    try:
        return [float(x) for x in value]
    except (TypeError, ValueError):
        return []


def _rectangle(page: Any, key: str) -> tuple[float, float, float, float] | None:
    box = _numbers(_inherited(page, key))
    if len(box) != 4 or not all(map(math.isfinite, box)):
        return None
    left, right = sorted((box[0], box[2]))
    bottom, top = sorted((box[1], box[3]))
    return (left, bottom, right, top) if right > left and top > bottom else None


def _sheet(page: Any, number: int, file: FilePath) -> Sheet:
    media = _rectangle(page, "/MediaBox") or (0.0, 0.0, 612.0, 792.0)
    crop = _rectangle(page, "/CropBox") or media
    box = (max(crop[0], media[0]), max(crop[1], media[1]), min(crop[2], media[2]), min(crop[3], media[3]))
    if box[0] >= box[2] or box[1] >= box[3]:
        box = media
    # UserUnit is not inherited, Rotate is: ISO 32000-1, table 30
    unit = _numbers([page.obj.get("/UserUnit", 1)])
    scale = POINT * (unit[0] if unit and math.isfinite(unit[0]) and unit[0] > 0 else 1.0)
    turned = _numbers([_inherited(page, "/Rotate") or 0])
    quarter = round(turned[0] / 90) % 4 if turned and math.isfinite(turned[0]) else 0
    wide, high = (box[2] - box[0]) * scale, (box[3] - box[1]) * scale
    if max(wide, high) > LARGEST_PAGE * 10 or min(wide, high) < 1.0:
        found = f"a page of {wide:.0f} x {high:.0f} mm"
        raise BadInput([problem(file, f"page {number}", found, "pages as a printer has them", "Print it again as PDF.")])
    flat = Affine.scaling(scale) @ Affine.translation(-box[0], -box[1])
    by = (
        Affine(),
        Affine(0.0, -1.0, 1.0, 0.0, 0.0, wide),
        Affine(-1.0, 0.0, 0.0, -1.0, wide, high),
        Affine(0.0, 1.0, -1.0, 0.0, high, 0.0),
    )[quarter]
    size = (high, wide) if quarter % 2 else (wide, high)
    return Sheet(number, page, by @ flat, *size)


# streams ----------------------------------------------------------------------------------------------------------


class TooMuch(ValueError):
    """A stream unfolds to more than is sensible."""


def decoded(stream: Any) -> bytes:
    """The bytes of a stream, unfolded step by step and never beyond the bound.

    Raises
    ------
    TooMuch
        If they are more.
    """
    import pikepdf

    filters = stream.get("/Filter", None)
    names = [str(filters)] if isinstance(filters, pikepdf.Name) else [str(f) for f in filters or []]
    parameters = stream.get("/DecodeParms", None)
    data = stream.read_raw_bytes()
    if len(data) > MOST_STREAM or len(names) > 8:
        raise TooMuch("a stream that is very large")
    if parameters is not None or any(name not in _STEPS for name in names):
        if len(data) > MOST_PACKED:
            raise TooMuch("a large stream in an unusual packing")
        data = stream.read_bytes()
    else:
        for name in names:
            data = _STEPS[name](data)
    if len(data) > MOST_STREAM:
        raise TooMuch("a stream that unfolds to very much")
    return bytes(data)


def _inflated(data: bytes) -> bytes:
    machine = zlib.decompressobj()
    try:
        out = machine.decompress(data, MOST_STREAM + 1)
    except zlib.error:
        return _inflated_as_far(data)
    if len(out) > MOST_STREAM:
        raise TooMuch("a stream that unfolds to very much")
    return out


def _inflated_as_far(data: bytes) -> bytes:
    """What a damaged stream gives until it breaks off."""
    machine, out = zlib.decompressobj(), bytearray()
    for k in range(0, len(data), 256):
        try:
            out += machine.decompress(data[k : k + 256], MOST_STREAM + 1)
        except zlib.error:
            break
        if len(out) > MOST_STREAM:
            raise TooMuch("a stream that unfolds to very much")
    return bytes(out)


def _hex(data: bytes) -> bytes:
    digits = b"".join(data.partition(b">")[0].split())
    try:
        return binascii.unhexlify(digits + b"0" * (len(digits) % 2))
    except binascii.Error:
        return b""


def _ascii85(data: bytes) -> bytes:
    body = b"".join(data.partition(b"~>")[0].split())
    try:
        return base64.a85decode(body.removeprefix(b"<~"))
    except ValueError:
        return b""


_STEPS = {
    "/FlateDecode": _inflated, "/Fl": _inflated, "/ASCIIHexDecode": _hex, "/AHx": _hex, "/ASCII85Decode": _ascii85,
    "/A85": _ascii85,
}  # fmt: skip
