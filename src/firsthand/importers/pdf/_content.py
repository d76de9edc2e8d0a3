"""Names of layers (optional content), and colours, as a page's resources give them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

__all__ = ["cmyk", "grey", "layer_name", "number", "painted", "rgb", "space_name"]


def layer_name(entry: Any, depth: int = 0) -> str:
    """The name of an optional content group, or the names of those that decide on a membership dictionary.

    Groups that are off by default are read like the others. Source: ISO 32000-1, 8.11.2.
    """
    import pikepdf

    if not isinstance(entry, pikepdf.Dictionary) or depth > 4:
        return ""
    if "/Name" in entry and str(entry.get("/Type", "/OCG")) == "/OCG":
        return " ".join(str(entry["/Name"]).split())[:80]
    found: list[str] = []
    groups = entry.get("/OCGs", None)
    if isinstance(groups, pikepdf.Dictionary):
        found.append(layer_name(groups, depth + 1))
    elif isinstance(groups, pikepdf.Array):
        found += [layer_name(group, depth + 1) for group in list(groups)[:50]]
    if not any(found) and "/VE" in entry:
        found += _expression(entry["/VE"], depth + 1)
    return " + ".join(dict.fromkeys(name for name in found if name))


def _expression(value: Any, depth: int) -> list[str]:
    """Names in a visibility expression, those under a ``Not`` left out."""
    import pikepdf

    if isinstance(value, pikepdf.Dictionary):
        return [layer_name(value, depth)]
    if not isinstance(value, pikepdf.Array) or depth > 4 or len(value) == 0 or str(value[0]) == "/Not":
        return []
    return [name for part in list(value)[1:50] for name in _expression(part, depth + 1)]


def number(value: Any) -> float:
    """A finite number of a content stream.

    Raises
    ------
    ValueError
        If it is none.
    """
    try:
        out = float(value)
    except TypeError:
        raise ValueError("something that is not a number") from None
    if not math.isfinite(out) or abs(out) > 1e9:
        raise ValueError("a number beyond all sense")
    return out


def _byte(share: float) -> int:
    return round(255 * min(1.0, max(0.0, share)))


def rgb(red: float, green: float, blue: float) -> str:
    """A colour as ``#rrggbb`` of shares.

    Examples
    --------
    >>> rgb(1, 0, 0), cmyk(0, 1, 1, 0), grey(0)
    ('#ff0000', '#ff0000', '#000000')
    """
    return f"#{_byte(red):02x}{_byte(green):02x}{_byte(blue):02x}"


def grey(share: float) -> str:
    """A grey."""
    return rgb(share, share, share)


def cmyk(cyan: float, magenta: float, yellow: float, black: float) -> str:
    """A colour of four inks, by the plain rule of ISO 32000-1, 10.3.5."""
    return rgb(*(1 - min(1.0, ink + black) for ink in (cyan, magenta, yellow)))


def painted(operands: Sequence[Any], space: str) -> str:
    """The colour that SC or SCN sets."""
    shares: list[float] = []
    name = ""
    for value in operands:
        try:
            shares.append(number(value))
        except ValueError:
            name = str(value)
    if space and space not in _PLAIN:
        return " ".join([space, name, *(f"{share:.3g}" for share in shares)]).strip()
    makers: dict[int, Callable[..., str]] = {1: grey, 3: rgb, 4: cmyk}
    maker = makers.get(len(shares))
    return maker(*shares) if maker else f"{space} {name}".strip()


_PLAIN = {"/DeviceGray", "/DeviceRGB", "/DeviceCMYK", "/CalGray", "/CalRGB"}


def space_name(name: Any, resources: Any) -> str:
    """A name for a colour space: plain ones as such, spot colours by their ink."""
    import pikepdf

    own = str(name)
    if own in _PLAIN:
        return own
    try:
        entry = resources["/ColorSpace"][own]
    except (KeyError, ValueError, TypeError):
        return own
    if isinstance(entry, pikepdf.Array) and len(entry):
        sort = str(entry[0])
        if sort in {"/ICCBased", "/CalRGB", "/CalGray", "/Lab"}:
            return ""
        if sort in {"/Separation", "/DeviceN"} and len(entry) > 1:
            return f"ink {entry[1]}" if sort == "/Separation" else "inks"
    return own if isinstance(entry, pikepdf.Array) else str(entry)
