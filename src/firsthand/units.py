"""Lengths as people type and read them.

Inside the program a length is a float in millimetres and an angle a float in radians. People type ``34 1/2 in``,
``87,5 cm`` or ``5/8 in``; what was typed is kept in their file, this module only reads it.
"""

from __future__ import annotations

import math
import re
from enum import StrEnum
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

__all__ = [
    "MM_PER_INCH",
    "MM_PER_YARD",
    "Angle",
    "Length",
    "Share",
    "Unit",
    "format_length",
    "parse_angle",
    "parse_length",
    "parse_share",
    "said",
    "shown",
]

MM_PER_INCH = 25.4  # exact, international yard and pound agreement of 1959
MM_PER_YARD = 914.4

LONGEST = 1_000_000.0
"""Lengths above a kilometre are slips of the keyboard."""


class Unit(StrEnum):
    """A unit of length that people write."""

    MM = "mm"
    CM = "cm"
    M = "m"
    INCH = "in"
    YARD = "yd"


_MILLIMETRES = {Unit.MM: 1.0, Unit.CM: 10.0, Unit.M: 1000.0, Unit.INCH: MM_PER_INCH, Unit.YARD: MM_PER_YARD}
_NAMES = {
    "mm": Unit.MM, "cm": Unit.CM, "m": Unit.M,
    "in": Unit.INCH, "inch": Unit.INCH, "inches": Unit.INCH, '"': Unit.INCH, "″": Unit.INCH,
    "yd": Unit.YARD, "yard": Unit.YARD, "yards": Unit.YARD,
}  # fmt: skip
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = re.compile(r"(?P<sign>-?)(?:(?P<whole>\d+(?:[.,]\d+)?)(?:[ +-]+(?=\d+/))?)?(?:(?P<num>\d+)/(?P<den>\d+))?")


def parse_length(text: str | float, unit: Unit = Unit.MM) -> float:
    """Read a length.

    Parameters
    ----------
    text
        What was typed: a number, with fractions and a unit if wished.
    unit
        The unit of a number without one.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    ValueError
        If it cannot be read, is not finite or is longer than a kilometre.

    Examples
    --------
    >>> parse_length("34 1/2 in"), parse_length("5/8 in"), parse_length("87,5 cm"), parse_length(10, Unit.CM)
    (876.3, 15.875, 875.0, 100.0)
    >>> parse_length("1¾ yd")
    1600.2
    >>> parse_length("soon")
    Traceback (most recent call last):
    ...
    ValueError: 'soon' is not a length: write for example 87.5 cm or 34 1/2 in
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise ValueError(f"{text!r} is not a length: write for example 87.5 cm or 34 1/2 in")
    try:
        millimetres = float(text) * _MILLIMETRES[unit] if isinstance(text, int | float) else _typed(text, unit)
    except OverflowError:  # a whole number of more than 308 digits
        raise ValueError("a number of that many digits is longer than a kilometre") from None
    if not math.isfinite(millimetres):
        raise ValueError(f"{text!r} is not a finite length")
    if abs(millimetres) > LONGEST:
        raise ValueError(f"{text!r} is longer than a kilometre")
    return round(millimetres, 9)


def _typed(text: str, unit: Unit) -> float:
    words = text.strip()
    for sign, written in _VULGAR.items():
        words = words.replace(sign, f" {written}")
    match = re.fullmatch(r"(?P<number>.*?[\d])\s*(?P<unit>[a-zA-Z\"″]*)", words.strip())
    number = match and _NUMBER.fullmatch(match["number"].strip())
    if not match or not number or match["unit"].lower() not in {*_NAMES, ""} or not int(number["den"] or 1):
        raise ValueError(f"{text!r} is not a length: write for example 87.5 cm or 34 1/2 in")
    whole = float((number["whole"] or "0").replace(",", "."))
    part = float(Fraction(int(number["num"]), int(number["den"]))) if number["num"] else 0.0
    named = _NAMES[match["unit"].lower()] if match["unit"] else unit
    return (-1.0 if number["sign"] else 1.0) * (whole + part) * _MILLIMETRES[named]


def parse_share(text: str | float) -> float:
    """Read a share: ``40 %`` or ``0.4``.

    Examples
    --------
    >>> parse_share("40 %"), parse_share(0.4), parse_share("-2,5%")
    (0.4, 0.4, -0.025)
    """
    if isinstance(text, bool):
        raise ValueError(f"{text!r} is not a share: write for example 40 % or 0.4")
    try:
        words = str(text).strip().replace(",", ".")
        share = float(words.removesuffix("%")) / (100.0 if words.endswith("%") else 1.0)
    except ValueError:
        raise ValueError(f"{text!r} is not a share: write for example 40 % or 0.4") from None
    if not math.isfinite(share):
        raise ValueError(f"{text!r} is not a finite share")
    return round(share, 12)


def parse_angle(text: str | float) -> float:
    """Read an angle in degrees and give it in radians.

    Examples
    --------
    >>> parse_angle("180 deg") == math.pi, parse_angle(90) == math.pi / 2
    (True, True)
    """
    words = str(text).strip().lower().replace(",", ".").removesuffix("deg").removesuffix("°")
    try:
        degrees = float(words)
    except ValueError:
        raise ValueError(f"{text!r} is not an angle: write degrees, for example 22.5") from None
    if not math.isfinite(degrees):
        raise ValueError(f"{text!r} is not a finite angle")
    return math.radians(degrees)


def _in_file_units(value: Any, info: ValidationInfo) -> float:
    context = info.context or {}
    return parse_length(value, Unit(context.get("units", Unit.MM)))


Length = Annotated[
    float,
    BeforeValidator(_in_file_units),
    WithJsonSchema({"type": ["number", "string"], "description": "a length: a number in the file's units, or with its unit"}),
]
"""A length in millimetres that may be typed with a unit; a bare number is in the units of the file."""

Share = Annotated[
    float,
    BeforeValidator(lambda value: parse_share(value)),
    WithJsonSchema({"type": ["number", "string"], "description": "a share: 0.4 or 40 %"}),
]
"""A share that may be typed as a percentage."""

Angle = Annotated[
    float,
    BeforeValidator(lambda value: parse_angle(value)),
    WithJsonSchema({"type": ["number", "string"], "description": "an angle in degrees"}),
]
"""An angle in radians that is typed in degrees."""

_EIGHTHS = {1: "⅛", 2: "¼", 3: "⅜", 4: "½", 5: "⅝", 6: "¾", 7: "⅞"}


def format_length(millimetres: float, unit: Unit = Unit.CM, *, digits: int = 1, name: bool = True) -> str:
    """Write a length for people: decimals of a centimetre, eighths of an inch.

    Parameters
    ----------
    millimetres
        The length.
    unit
        The unit to show it in.
    digits
        Decimals kept (not used for inches, which are shown in eighths).
    name
        Whether the unit is named behind the number.

    Examples
    --------
    >>> format_length(876.3), format_length(876.3, Unit.INCH), format_length(15.875, Unit.INCH)
    ('87.6 cm', '34½ in', '⅝ in')
    >>> format_length(-30, Unit.MM, digits=0), format_length(0.4, Unit.INCH), format_length(-0.01)
    ('−30 mm', '0 in', '0.0 cm')
    """
    if unit is Unit.INCH:
        eighths = round(abs(millimetres) / MM_PER_INCH * 8)
        whole, rest = divmod(eighths, 8)
        number = (str(whole) if whole or not rest else "") + _EIGHTHS.get(rest, "")
        nothing = eighths == 0
    else:
        number = f"{abs(millimetres) / _MILLIMETRES[unit]:.{digits}f}"
        nothing = float(number) == 0
    sign = "−" if millimetres < 0 and not nothing else ""
    return f"{sign}{number} {unit.value}" if name else f"{sign}{number}"


_MARK = re.compile(r"(?P<most>\bat most )?⟨(?P<mm>-?\d+(?:\.\d+)?) mm⟩")
_FAR = 10_000.0
"""From here on a length is shown in metres or yards, mm: thread, or cloth for many garments."""
_LARGER = {Unit.CM: Unit.M, Unit.INCH: Unit.YARD}


BEYOND = 1e12
"""Lengths above this are nobody's; their digits are not written out, mm."""


def said(millimetres: float) -> str:
    """A length inside a text that is kept: marked, so that :func:`shown` can put it into the reader's units.

    Parameters
    ----------
    millimetres
        The length. Thicknesses, needles, stitch lengths and the sizes of buttons, cords and tapes are millimetres in the
        trade whatever the reader's units: those are written out and not marked.

    Examples
    --------
    >>> said(1288.3), said(15.875), said(-30.0)
    ('⟨1288.3 mm⟩', '⟨15.875 mm⟩', '⟨-30 mm⟩')
    """
    if not abs(millimetres) <= BEYOND:
        return f"{millimetres:.3g} mm"
    number = f"{millimetres:.6f}".rstrip("0").rstrip(".")  # so fine that no eighth of an inch rounds the other way
    return f"⟨{'0' if number == '-0' else number} mm⟩"


def shown(text: str, unit: Unit, *, digits: int = 1) -> str:
    """A text with its marked lengths in the reader's units.

    Parameters
    ----------
    text
        What may contain lengths written by :func:`said`; any other text is given back as it is.
    unit
        The reader's unit. Lengths of 10 m and more are shown in metres beside centimetres, in yards beside inches.
    digits
        Decimals kept. What would round to nothing is shown with two. A length behind the words "at most" is rounded down,
        so that what is shown is still allowed.

    Examples
    --------
    >>> text = f"front is {said(7)} longer than back"
    >>> shown(text, Unit.CM), shown(text, Unit.INCH)
    ('front is 0.7 cm longer than back', 'front is ¼ in longer than back')
    >>> shown(said(0.3), Unit.CM), shown(said(0.8), Unit.INCH), shown(said(340_000), Unit.INCH)
    ('0.03 cm', '0.03 in', '371.8 yd')
    >>> shown(said(27.8), Unit.CM), shown(f"at most {said(27.8)}", Unit.CM)
    ('2.8 cm', 'at most 2.7 cm')
    """

    def length(mark: re.Match[str]) -> str:
        return f"{mark['most'] or ''}{_shown(float(mark['mm']), unit, digits, down=bool(mark['most']))}"

    return _MARK.sub(length, text)


def _shown(millimetres: float, unit: Unit, digits: int, *, down: bool) -> str:
    unit = _LARGER.get(unit, unit) if abs(millimetres) >= _FAR else unit
    size, step = abs(millimetres) / _MILLIMETRES[unit], 1 / 8 if unit is Unit.INCH else 10.0**-digits
    steps = math.floor(size / step + 1e-6) if down else round(size / step)
    sign = math.copysign(1.0, millimetres)
    if steps == 0 and size >= 0.01:
        fine = math.floor(size * 100 + 1e-6) / 100 if down else size
        return f"{'−' if sign < 0 else ''}{fine:.2f} {unit.value}"
    return format_length(sign * steps * step * _MILLIMETRES[unit] if down else millimetres, unit, digits=digits)
