"""A mend made ready for one garment: the alteration with the garment's own names in it, tried on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from firsthand.alter import ALTERATIONS, Alteration, level_at
from firsthand.errors import BadInput, FirsthandError, Problem
from firsthand.fit.faults.model import Mend
from firsthand.pattern import UNDER_ROLES, Dart, Edge, FateKind, Garment, Piece, Shape, stem

__all__ = ["Ready", "concerns", "ready"]

MOST = 300.0
"""More than this, mm, is no fault of fit but another size, or a slip of the keyboard."""
Fields = dict[str, Any]


class _Missing(Exception):
    """What the pattern does not have, in words."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A mend for one garment.

    Parameters
    ----------
    mend
        The mend.
    alterations
        What does it, with the garment's names, in order; empty where it is no matter of the pattern, or cannot be done.
    trouble
        Why it cannot be done as it is; empty if it can.
    """

    mend: Mend
    alterations: tuple[Alteration, ...] = ()
    trouble: str = ""


def ready(garment: Garment, mend: Mend, amount: float, *, level: str = "") -> Ready:
    """Make a mend ready for a garment and try it.

    Parameters
    ----------
    garment
        As it is now.
    mend
        One of a fault's mends.
    amount
        What was measured at the fitting, mm, above zero unless the mend can go both ways.
    level
        The level where it was seen, for mends that can be anywhere along a seam.

    Raises
    ------
    BadInput
        If the amount is none.
    """
    if not math.isfinite(amount) or abs(amount) > MOST or amount == 0:
        problem = Problem("", "amount", f"{amount:g} mm", f"a length up to {MOST / 10:.0f} cm, not zero", "Measure it again.")
        raise BadInput([problem])
    if not mend.kind:
        return Ready(mend)
    try:
        wanted = tuple(_made(kind, fields) for kind, fields in _fields(garment, mend, mend.sign * amount, level))
        changed = garment
        for alteration in wanted:
            changed = alteration.apply(changed).garment
    except _Missing as missing:
        return Ready(mend, trouble=str(missing))
    except FirsthandError as error:
        return Ready(mend, trouble=str(error))
    return Ready(mend, wanted)


def concerns(garment: Garment, mend: Mend) -> bool:
    """Whether a garment has what a mend is about; one that is no matter of the pattern concerns all."""
    try:
        return not mend.kind or all(fields for _, fields in _fields(garment, mend, 1.0, "waist"))
    except _Missing:
        return False


def _made(kind: str, fields: Fields) -> Alteration:
    made: Alteration = ALTERATIONS[kind](**fields)
    return made


def _fields(garment: Garment, mend: Mend, amount: float, level: str) -> Iterator[tuple[str, Fields]]:
    """The fields of each alteration that a mend takes."""
    if mend.role == "swing":
        yield from _swung(garment, amount)
    elif mend.kind == "move-edge":
        yield from ((mend.kind, fields) for fields in _move_edges(garment, mend, amount))
    elif mend.kind == "hem" and mend.role:
        yield _sleeve_length(garment, mend, amount)
    else:
        yield mend.kind, _MAKERS[mend.kind](garment, mend, amount, level)


# where things are ------------------------------------------------------------------------------------------------------


def _piece(garment: Garment, word: str) -> tuple[Piece, Shape]:
    """The outer piece with a word in its id or name."""
    found = next(((piece, shape) for piece, shape in _outer(garment) if word in f"{piece.id} {piece.name}".lower()), None)
    if found is None:
        raise _Missing(f"no piece with an outline is called {word}")
    return found


def _outer(garment: Garment) -> list[tuple[Piece, Shape]]:
    """The pieces of the outer layer that have an outline."""
    return [
        (piece, piece.shape)
        for piece in garment.pieces.values()
        if piece.shape is not None
        and any(part.role not in UNDER_ROLES for part in garment.parts_of(piece.id))
        and not any(word in f"{piece.id} {piece.name}".lower() for word in ("facing", "lining", "band"))
    ]


def _edge(piece: Piece, shape: Shape, *words: str) -> Edge:
    for word in words:
        found = next((edge for edge in shape.edges if word in edge.id.lower()), None)
        if found is not None:
            return found
    raise _Missing(f"no edge of {piece.id} is called {' or '.join(words)}")


def _centre(piece: Piece, shape: Shape) -> Edge:
    fold = next((edge for edge in shape.edges if edge.fate is not None and edge.fate.kind is FateKind.FOLD), None)
    return fold or _edge(piece, shape, "centre", "crotch")


def _level_on(garment: Garment, shape: Shape, wanted: str) -> str:
    """The level of a garment that is wanted, if the shape has it."""
    ids = [line.level for line in shape.levels]
    found = next((one for one in (wanted, *(lv.id for lv in garment.levels if lv.body.startswith(wanted))) if one in ids), "")
    if not found:
        raise _Missing(f"the pattern has no level {wanted} there")
    return found


def _dart(piece: Piece, shape: Shape) -> Dart:
    named = [dart for dart in shape.darts if "bust" in dart.id.lower()]
    found = named or list(shape.darts)
    if len(found) != 1:
        raise _Missing(
            f"{piece.id} has no bust dart" if not found else f"nothing says which dart of {piece.id} shapes the bust"
        )
    return found[0]


def _end_at(shape: Shape, edge: Edge, neighbour: str) -> str:
    """Which end of an edge lies beside a neighbour: ``start`` or ``end``."""
    ids = [one.id for one in shape.edges]
    k = ids.index(edge.id)
    if neighbour in ids[k - 1].lower():
        return "start"
    if neighbour in ids[(k + 1) % len(ids)].lower():
        return "end"
    raise _Missing(f"{edge.id} does not run to the {neighbour}")


# one maker for each kind -----------------------------------------------------------------------------------------------


def _take_in(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    asked = mend.fields.get("level")
    wanted = level if asked is True else level or str(asked)
    levels = [one.id for one in garment.levels]
    place = next((one.id for one in garment.levels if wanted and (one.id == wanted or one.body.startswith(wanted))), "")
    if not place:
        raise _Missing("say at which level it was seen" if not wanted else f"the pattern has no level {wanted}")
    seams = _side_seams(garment, limb=bool(mend.fields.get("limb")))
    k = levels.index(place)
    near = [levels[j] for j in (k - 1, k + 1) if 0 <= j < len(levels) and _shared(garment, seams, levels[j])]
    stations = ((f"level {place}", amount), *((f"level {one}", 0.0) for one in near))
    if not near:
        return {"seams": seams, "amount": amount, "limb": bool(mend.fields.get("limb"))}
    return {"seams": seams, "stations": stations, "limb": bool(mend.fields.get("limb"))}


def _side_seams(garment: Garment, *, limb: bool) -> tuple[str, ...]:
    names = [stem(seam.id) for seam in garment.seams]
    wanted = ("inseam",) if limb else ("side",)
    found = dict.fromkeys(name for name in names if any(word in name.lower() for word in wanted))
    if not found:
        raise _Missing(f"no seam is called {wanted[0]}")
    return tuple(found)


def _shared(garment: Garment, seams: tuple[str, ...], level: str) -> bool:
    """Whether a level meets all the seams."""
    refs = [ref for seam in garment.seams if seam.id.startswith(seams) for ref in (*seam.a, *seam.b)]
    shapes = [(garment.pieces[ref.piece].shape, ref.edge) for ref in refs]
    return all(shape is not None and level_at(shape, edge, level) is not None for shape, edge in shapes)


def _bust(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    piece, shape = _piece(garment, "front")
    armhole, lower = _edge(piece, shape, "armhole"), _edge(piece, shape, "waist", "hem")
    return {
        "amount": amount, "piece": piece.id, "dart": _dart(piece, shape).id, "lower": f"{lower.id} at 40 %",
        "hinge": f"{armhole.id} at 50 %",
    }  # fmt: skip


def _wedge(word: str, share: str, level: str) -> Callable[[Garment, Mend, float, str], Fields]:
    """Seat, belly and round back: open at the centre, hinged at an edge."""

    def make(garment: Garment, mend: Mend, amount: float, _: str) -> Fields:
        piece, shape = _piece(garment, word)
        centre = _centre(piece, shape)
        if mend.kind == "round-back":
            return {"amount": amount, "piece": piece.id, "centre": f"{centre.id} at {_down(shape, centre, share)}",
                    "hinge": f"{_edge(piece, shape, 'armhole').id} at 50 %"}  # fmt: skip
        at = _level_on(garment, shape, str(mend.fields.get("level", level)))
        place = f"level {at}" if centre.id != "crotch" and mend.fields.get("level") else _down(shape, centre, share)
        return {"amount": amount, "piece": piece.id, "centre": f"{centre.id} at {place}",
                "hinge": f"{_edge(piece, shape, 'side').id} at level {at}"}  # fmt: skip

    return make


def _down(shape: Shape, edge: Edge, share: str) -> str:
    """A share from the upper end of an edge, told from its start."""
    number = float(share.split()[0])
    down = edge.path.start.dot(shape.up) >= edge.path.end.dot(shape.up)
    return f"{number if down else 100 - number:g} %"


def _slope(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    named = [(piece, _edge(piece, shape, "shoulder")) for piece, shape in (_piece(garment, "front"), _piece(garment, "back"))]
    return {"amount": amount, "shoulders": tuple(f"{piece.id}.{edge.id}" for piece, edge in named)}


def _neckline(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    necks = [
        (word, piece, _edge(piece, shape, "neck")) for word in ("front", "back") for piece, shape in (_piece(garment, word),)
    ]
    deep = amount if mend.fields.get("depths") else 0.0
    depths = tuple((f"{piece.id}.{edge.id}", deep if word == mend.role else 0.0) for word, piece, edge in necks)
    return {"depths": depths, "width": amount if mend.fields.get("width") else 0.0}


def _move_edges(garment: Garment, mend: Mend, amount: float) -> Iterator[Fields]:
    """One for each piece: they may be drawn in different directions."""
    word, where = mend.role.split()
    for name in ("back",) if where == "back" else ("front", "back"):
        piece, shape = _piece(garment, name)
        edge = _edge(piece, shape, word)
        yield {"edges": (f"{piece.id}.{edge.id}",), "stations": _stations(shape, edge, word, where, amount)}


def _stations(shape: Shape, edge: Edge, word: str, where: str, amount: float) -> tuple[tuple[str, float], ...]:
    if word == "waist":
        side = _end_at(shape, edge, "side")
        return ((_other(side), amount), (side, 0.0))
    if where == "back":
        return (("start", 0.0), ("50 %", amount), ("end", 0.0))
    shoulder = _end_at(shape, edge, "shoulder")
    end = shoulder if where == "shoulder" else _other(shoulder)
    return ((end, amount), ("50 %", 0.0), (_other(end), 0.0))


def _other(end: str) -> str:
    return "start" if end == "end" else "end"


def _slash(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    piece, shape = _piece(garment, "front")
    near, far = (_edge(piece, shape, word) for word in mend.role.split())
    return {"piece": piece.id, "lines": ((f"{near.id} at 50 %", f"{far.id} at 50 %"),), "spread": amount}


def _lengthen(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    if mend.role:
        pieces = _outer(garment)
        if not pieces:
            raise _Missing("no piece has an outline")
        low = min(shape.outline.bounds.height for _, shape in pieces)
        return {"amount": amount, "pieces": tuple(piece.id for piece, _ in pieces), "height": low / 2}
    wanted = str(mend.fields["level"])
    found = next((one.id for one in garment.levels if one.id == wanted or one.body.startswith(wanted)), "")
    if not found:
        raise _Missing(f"the pattern has no level {wanted}")
    return {"amount": amount, "level": found}


def _cap(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    return {"seam": _seam(garment, "sleeve", "armhole", "cap"), "amount": amount}


def _seam(garment: Garment, *words: str) -> str:
    for word in words:
        found = next((seam.id for seam in garment.seams if word in seam.id.lower()), "")
        if found:
            return stem(found)
    raise _Missing(f"no seam is called {' or '.join(words)}")


def _upper_arm(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    found = next((one.id for one in garment.levels if one.body == "upper_arm_girth"), "")
    if not found:
        raise _Missing("the pattern has no level at the upper arm")
    return {
        "amount": amount, "underarm": _seam(garment, "underarm"), "cap": _seam(garment, "sleeve", "armhole", "cap"),
        "level": found,
    }  # fmt: skip


def _calf(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    found = next((one.id for one in garment.levels if one.body == "calf_girth"), "")
    if not found:
        raise _Missing("the pattern has no level at the calf")
    names = [stem(seam.id) for seam in garment.seams]
    seams = tuple(dict.fromkeys(name for name in names if "side" in name.lower() or "inseam" in name.lower()))
    return {"amount": amount, "seams": seams, "level": found}


def _crotch(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    piece, shape = _piece(garment, mend.role)
    crotch, inseam = _edge(piece, shape, "crotch"), _edge(piece, shape, "inseam")
    return {"piece": piece.id, "longer": amount, "crotch": crotch.id, "inseam": inseam.id}


def _move_dart(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    piece, shape = _piece(garment, "front")
    return {"piece": piece.id, "dart": _dart(piece, shape).id, "y": amount}


def _hem(garment: Garment, mend: Mend, amount: float, level: str) -> Fields:
    return {"amount": amount}


def _sleeve_length(garment: Garment, mend: Mend, amount: float) -> tuple[str, Fields]:
    """At the hem; above it where the sleeve is sewn to something there, as to a cuff."""
    piece, shape = _piece(garment, mend.role)
    if any(edge.fate is not None and edge.fate.kind is FateKind.HEM for edge in shape.edges):
        return "hem", {"amount": amount, "pieces": (piece.id,)}
    return "lengthen", {"amount": amount, "pieces": (piece.id,), "height": 0.3 * shape.outline.bounds.height}


def _swung(garment: Garment, amount: float) -> Iterator[tuple[str, Fields]]:
    """Width given at the foot of the inseam and taken off at the outside."""
    for seam, sign in ((_seam(garment, "inseam"), 1.0), (_seam(garment, "side"), -1.0)):
        chosen = next(one for one in garment.seams if one.id.startswith(seam))
        foot = _lower_end(garment, chosen.a[0].piece, chosen.a[0].edge)
        yield "take-in", {"seams": (seam,), "stations": ((foot, sign * amount), (_other(foot), 0.0)), "limb": True}


def _lower_end(garment: Garment, piece: str, edge: str) -> str:
    shape = garment.pieces[piece].shape
    if shape is None:
        raise _Missing(f"{piece} is only a card")
    path = shape.edge(edge).path
    return "start" if path.start.dot(shape.up) < path.end.dot(shape.up) else "end"


_MAKERS: Mapping[str, Callable[[Garment, Mend, float, str], Fields]] = {
    "take-in": _take_in,
    "bust": _bust,
    "seat": _wedge("back", "50 %", "hip"),
    "belly": _wedge("front", "50 %", "hip"),
    "round-back": _wedge("back", "25 %", ""),
    "shoulder-slope": _slope,
    "neckline": _neckline,
    "slash": _slash,
    "lengthen": _lengthen,
    "sleeve-cap": _cap,
    "upper-arm": _upper_arm,
    "calf": _calf,
    "crotch-curve": _crotch,
    "move-dart": _move_dart,
    "hem": _hem,
}
"""How each kind's fields are found on a garment."""
