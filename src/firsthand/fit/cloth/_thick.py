"""A pattern made for thinner cloth: what thick cloth needs, as alterations that were tried."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from firsthand.alter import ForThickness, TurnOfCloth
from firsthand.errors import FirsthandError
from firsthand.fabric import Fabric, believable_thickness
from firsthand.fit._entries import Suggested, suggested
from firsthand.fit.cloth._correct import NEAR
from firsthand.pattern import Garment, Level, girth
from firsthand.units import said

__all__ = ["Thick", "for_thickness", "grows_by"]

FELT = 0.25
"""So little more, mm, nobody feels: a girth of it is 1.6 mm longer."""
TURN, LET_OUT = "turn of cloth", "for the thickness"


@dataclass(frozen=True, slots=True)
class Thick:
    """What a thick cloth needs.

    Parameters
    ----------
    extra
        How much thicker it is than the pattern expects, mm.
    grows
        How much more each level needs, mm of girth.
    why
        The working, line by line.
    """

    extra: float = 0.0
    alterations: tuple[Suggested, ...] = ()
    grows: tuple[tuple[str, float], ...] = ()
    why: tuple[str, ...] = ()


def for_thickness(garment: Garment, fabric: Fabric, expected: float, done: Collection[str] = ()) -> Thick:
    """What a cloth thicker than a pattern expects needs, by level and layer.

    Parameters
    ----------
    garment, fabric
        The garment as far as its brief's alterations go, and the cloth of its shell.
    expected
        Greatest thickness the pattern expects, mm; 0 if it does not say.
    done
        Kinds of alterations that the garment has had: what they did is not offered again.
    """
    extra = believable_thickness(fabric) - expected
    if not expected or extra < FELT:
        return Thick()
    layers = tuple((level.id, number) for level in garment.levels if (number := _layers(garment, level)) > 1)
    known = tuple(level.id for level in garment.levels if girth(garment, level).total is not None)
    chosen = known if len(known) < len(garment.levels) else ()
    kept = tuple(entry for entry in layers if entry[0] in known)
    let_out = ForThickness(expected, believable_thickness(fabric), kept, chosen, id=LET_OUT)
    made: list[Suggested] = []
    grows: tuple[tuple[str, float], ...] = ()
    why = [f"the cloth is {believable_thickness(fabric):g} mm thick, the pattern expects at most {expected:g} mm"]
    if known and let_out.kind not in done:
        grows, told = _tried(garment, let_out, known, extra)
        why += told
        made += [suggested(let_out, "this cloth is thicker than the pattern expects")] if grows else []
    for turn in _turns(garment, extra) if TurnOfCloth.kind not in done else ():
        try:
            words = turn.apply(garment).record.words
        except FirsthandError as error:
            why.append(f"{turn.piece} cannot be given its turn of cloth: {error}")
            continue
        made.append(suggested(turn, "the outer layer goes round the inner one"))
        why.append(f"{turn.piece}: {words}")
    return Thick(extra, tuple(made), grows, tuple(why))


def _layers(garment: Garment, level: Level) -> int:
    """How many layers of the shell's cloth go round at a level: roles that are cut of it, on pieces that carry the level."""
    cloth = garment.roles.get("shell", "")
    shapes = {piece.id: piece.shape for piece in garment.pieces.values() if piece.shape is not None}
    carrying = {name for name, shape in shapes.items() if any(one.level == level.id for one in shape.levels)}
    return len({part.role for part in garment.parts if part.piece in carrying and garment.roles.get(part.role) == cloth})


def _tried(
    garment: Garment, let_out: ForThickness, levels: tuple[str, ...], extra: float
) -> tuple[tuple[tuple[str, float], ...], list[str]]:
    """What the alteration gives at each level, measured, and the working; nothing where it cannot be done."""
    try:
        after = let_out.apply(garment).garment
    except FirsthandError as error:
        return (), [f"it cannot be let out for its thickness: {error}"]
    grows, why = [], []
    for level in garment.levels:
        if level.id in levels:
            before, then = girth(garment, level).total or 0.0, girth(after, level).total or 0.0
            number = dict(let_out.layers).get(level.id, 1)
            wants = grows_by(extra, number)
            line = f"{level.name}: 2 pi x {number - 0.5:g} x {extra:g} mm = {said(wants)} more round"
            why.append(line if abs(then - before - wants) <= NEAR else f"{line}; its seams give {said(then - before)}")
            grows.append((level.id, then - before))
    return tuple(grows), why


def grows_by(extra: float, layers: int = 1) -> float:
    """How much longer the middle of the outermost of some layers is round a body, mm, where each is thicker by ``extra``.

    Geometry: it lies that many less a half further outside, and a girth is two pi times as much longer.

    Examples
    --------
    >>> round(grows_by(1.5), 2), round(grows_by(1.5, layers=2), 2)
    (4.71, 14.14)
    """
    return 2 * math.pi * (layers - 0.5) * extra


def _turns(garment: Garment, extra: float) -> Iterator[TurnOfCloth]:
    """Pieces whose layers, of one cloth, are sewn to each other along the same edge: collars, cuffs, flaps."""
    turned: dict[str, dict[str, None]] = {}
    for seam in garment.seams:
        for a, b in zip(seam.a, seam.b, strict=False):
            same = (a.piece, a.edge, a.hand) == (b.piece, b.edge, b.hand) and (a.role, a.copy) != (b.role, b.copy)
            if same and garment.roles.get(a.role) == garment.roles.get(b.role):
                turned.setdefault(a.piece, {})[a.edge] = None
    for piece, edges in turned.items():
        if garment.piece(piece).shape is not None and any(part.role == "shell" for part in garment.parts_of(piece)):
            yield TurnOfCloth(piece, extra, tuple(edges), id=f"{TURN} of {piece}")
