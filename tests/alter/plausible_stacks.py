"""Random stacks that somebody might really write for a garment: one maker for each kind of alteration.

A maker is given the garment as it is by then and says the fields of a sensible entry, lengths in millimetres; None where the
garment has nothing to which the kind could be done. :func:`run` applies a random stack and says everything that is wrong.
"""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from plausible import Draw, plausible_pattern

from firsthand.alter import ALTERATIONS, Altered, apply_stack
from firsthand.errors import FirsthandError
from firsthand.findings import Finding, Severity
from firsthand.geometry import Path
from firsthand.pattern import (
    Dart,
    Edge,
    FateKind,
    Garment,
    How,
    Pattern,
    Piece,
    Seam,
    SeamKind,
    Shape,
    check_garment,
    make_garment,
    single_seams,
    walk_seam,
)

__all__ = ["MAKERS", "Outcome", "kinds_without_maker", "rerun", "run", "shortest"]

Fields = dict[str, Any]
Maker = Callable[[Draw, Garment], Fields | None]
MAKERS: dict[str, Maker] = {}
FIRST = ("blend-sizes", "grade")
"""Kinds that start from the outlines as bought, so that they stand before all others."""


def maker(kind: str) -> Callable[[Maker], Maker]:
    """Enter the maker of a kind."""

    def enter(make: Maker) -> Maker:
        MAKERS[kind] = make
        return make

    return enter


def kinds_without_maker() -> set[str]:
    """Kinds of alterations of which no random stack has any."""
    return set(ALTERATIONS) - set(MAKERS)


# what a garment has -------------------------------------------------------------------------------------------


def outlined(garment: Garment) -> list[tuple[Piece, Shape]]:
    """Pieces with an outline."""
    return [(piece, piece.shape) for piece in garment.pieces.values() if piece.shape is not None]


def edges(garment: Garment, *fates: FateKind) -> list[tuple[Piece, Edge]]:
    """Edges with one of these fates."""
    return [(p, e) for p, s in outlined(garment) for e in s.edges if e.fate is not None and e.fate.kind in fates]


def seams(garment: Garment, wanted: Callable[[Seam], bool]) -> list[str]:
    """Names of seams, one for a right and a left one."""
    return [name for name, seam in single_seams(garment) if wanted(seam)]


def touching(shape: Shape, edge: str) -> set[str]:
    """An edge and its neighbours."""
    ids = [one.id for one in shape.edges]
    at = ids.index(edge)
    return {ids[at - 1], edge, ids[(at + 1) % len(ids)]}


def opposite(shape: Shape, edge: str, fold: str = "") -> list[Edge]:
    """Edges that do not touch an edge, and are not the fold."""
    near = touching(shape, edge) | {fold}
    return [one for one in shape.edges if one.id not in near]


def is_straight(path: Path) -> bool:
    """Whether a path strays from the line between its ends by less than half a millimetre, as one arc would."""
    chord = path.start.distance(path.end)
    return path.length - chord < 8 * 0.5**2 / (3 * chord)


def signed(draw: Draw, low: float, high: float, share: float = 0.5) -> float:
    """A number to a tenth, negative in a share of cases."""
    return round(draw.number(low, high) * (-1 if draw.chance(share) else 1), 1)


def share(draw: Draw, low: float = 25, high: float = 75) -> str:
    """A place in words."""
    return f"{draw.number(low, high):.0f} %"


# seams and edges moved ----------------------------------------------------------------------------------------


@maker("take-in")
def _take_in(draw: Draw, garment: Garment) -> Fields | None:
    names = sorted({_base(name) for name in seams(garment, lambda seam: seam.take_in)})
    if not names:
        return None
    chosen = draw.some(names, 2)
    fields: Fields = {"seams": tuple(chosen)}
    if draw.chance(0.5):
        fields["amount"] = signed(draw, 4, 45, 0.35)
    else:
        fields["stations"] = (
            ("start", signed(draw, 0, 25)),
            (share(draw, 40, 60), signed(draw, 0, 35, 0.3)),
            ("end", draw.one((0.0, 12.0))),
        )
    if draw.chance(0.25):
        fields["share"] = draw.one((0.0, 0.3, 1.0))
    if draw.chance(0.1):
        fields["hand"] = draw.one(("left", "right"))
    return fields


@maker("hem")
def _hem(draw: Draw, garment: Garment) -> Fields | None:
    hems = edges(garment, FateKind.HEM)
    if not hems:
        return None
    fields: Fields = {"amount": signed(draw, 5, 70, 0.4)}
    if draw.chance(0.3):
        fields["pieces"] = (draw.one(hems)[0].id,)
    return fields


@maker("neckline")
def _neckline(draw: Draw, garment: Garment) -> Fields | None:
    necks = [(p, e) for p, s in outlined(garment) for e in s.edges if e.id == "neck" and "shoulder" in touching(s, "neck")]
    if not necks:
        return None
    depths = tuple((f"{piece.id}.{edge.id}", round(draw.number(-8, 30), 1)) for piece, edge in necks)
    return {"depths": depths, "width": round(draw.number(-6, 18), 1)}


@maker("move-edge")
def _move_edge(draw: Draw, garment: Garment) -> Fields | None:
    free = edges(garment, FateKind.FACING, FateKind.HEM, FateKind.RAW)
    if not free:
        return None
    piece, edge = draw.one(free)
    fields: Fields = {"edges": (f"{piece.id}.{edge.id}",)}
    if draw.chance(0.5):
        fields["amount"] = signed(draw, 2, 14)
    else:
        fields["stations"] = (("start", 0.0), (share(draw, 35, 65), signed(draw, 2, 14)), ("end", 0.0))
    return fields


@maker("lengthen")
def _lengthen(draw: Draw, garment: Garment) -> Fields | None:
    carried = sorted({line.level for _, shape in outlined(garment) for line in shape.levels})
    if not carried:
        return None
    return {"level": draw.one(carried), "amount": signed(draw, 5, 60, 0.35), "trued": draw.chance(0.8)}


@maker("scale")
def _scale(draw: Draw, garment: Garment) -> Fields | None:
    return {"printed": 100.0, "measured": round(draw.number(96, 104), 1)}


@maker("notches")
def _notches(draw: Draw, garment: Garment) -> Fields | None:
    plain = sorted({_base(name) for name in seams(garment, lambda seam: seam.take_in)})
    if not plain or draw.chance(0.5):
        return {}
    return {"seams": (draw.one(plain),), "at": (share(draw), f"{draw.number(2, 10):.1f} cm")}


# cloth put in -------------------------------------------------------------------------------------------------


def _line(draw: Draw, piece: Piece, shape: Shape) -> tuple[str, str] | None:
    """Two places on edges across from each other."""
    starts = [edge for edge in shape.edges if edge.id != piece.fold]
    start = draw.one(starts)
    ends = opposite(shape, start.id, piece.fold)
    return (f"{start.id} at {share(draw)}", f"{draw.one(ends).id} at {share(draw)}") if ends else None


@maker("slash")
def _slash(draw: Draw, garment: Garment) -> Fields | None:
    pieces = outlined(garment)
    line = _line(draw, *(chosen := draw.one(pieces))) if pieces else None
    if line is None:
        return None
    spread = signed(draw, 3, 30, 0.25)
    return {
        "piece": chosen[0].id,
        "lines": (line,),
        "spread": spread,
        "spread_far": draw.one((0.0, spread, round(spread / 2, 1))),
    }


@maker("flare")
def _flare(draw: Draw, garment: Garment) -> Fields | None:
    hems = [(p, e) for p, e in edges(garment, FateKind.HEM) if len(opposite(p.drawn_shape, e.id, p.fold)) == 1]
    if not hems:
        return None
    return {
        "edges": tuple(f"{p.id}.{e.id}" for p, e in hems),
        "amount": signed(draw, 40, 400, 0.2),
        "count": draw.one((1, 2, 3, 4)),
    }


@maker("fullness")
def _fullness(draw: Draw, garment: Garment) -> Fields | None:
    wide = [(p, e) for p, s in outlined(garment) for e in s.edges if e.id != p.fold and len(opposite(s, e.id, p.fold)) == 1]
    if not wide:
        return None
    piece, edge = draw.one(wide)
    fields: Fields = {"edge": f"{piece.id}.{edge.id}", "amount": round(draw.number(15, 0.6 * edge.path.length), 1)}
    return fields | {"count": draw.one((1, 2, 3, 5)), "hinged": draw.chance(0.3)}


def _folding(draw: Draw, garment: Garment) -> tuple[Piece, Edge, Edge] | None:
    """A piece, an edge where folds may begin, and the edge across from it."""
    free = [
        (piece, edge, far[0])
        for piece, edge in edges(garment, FateKind.FACING, FateKind.HEM, FateKind.BAND)
        if len(far := opposite(piece.drawn_shape, edge.id, piece.fold)) == 1 and edge.path.length > 90
    ]
    return draw.one(free) if free else None


@maker("pleat")
def _pleat(draw: Draw, garment: Garment) -> Fields | None:
    found = _folding(draw, garment)
    if found is None:
        return None
    piece, edge, far = found
    return {
        "piece": piece.id, "edge": edge.id, "to": far.id, "depth": round(draw.number(6, 24), 1), "count": draw.one((1, 2, 3)),
        "form": draw.one(("knife", "box", "inverted")), "start": share(draw, 10, 20), "end": share(draw, 80, 90),
        "both": draw.chance(0.2), "towards_end": draw.chance(0.5),
    }  # fmt: skip


@maker("tuck")
def _tuck(draw: Draw, garment: Garment) -> Fields | None:
    found = _folding(draw, garment)
    if found is None:
        return None
    piece, edge, far = found
    fields: Fields = {"piece": piece.id, "edge": edge.id, "to": far.id, "depth": round(draw.number(2, 8), 1)}
    fields |= {"count": draw.one((1, 2, 3, 4)), "start": share(draw, 10, 25), "end": share(draw, 75, 90)}
    return fields | ({"stitched": round(draw.number(40, 90), 1)} if draw.chance(0.5) else {})


# darts --------------------------------------------------------------------------------------------------------


def _dart(draw: Draw, garment: Garment) -> tuple[Piece, Dart] | None:
    found = [(piece, dart) for piece, shape in outlined(garment) for dart in shape.darts]
    return draw.one(found) if found else None


@maker("turn-dart")
def _turn_dart(draw: Draw, garment: Garment) -> Fields | None:
    found = _dart(draw, garment)
    if found is None:
        return None
    piece, dart = found
    others = [edge for edge in piece.drawn_shape.edges if edge.id not in (dart.edge, piece.fold) and edge.path.length > 60]
    if not others:
        return None
    fields: Fields = {"piece": piece.id, "dart": dart.id, "to": f"{draw.one(others).id} at {share(draw, 30, 70)}"}
    return fields | ({"share": draw.one((0.4, 0.5, 0.6))} if draw.chance(0.4) else {})


@maker("move-dart")
def _move_dart(draw: Draw, garment: Garment) -> Fields | None:
    found = _dart(draw, garment)
    if found is None:
        return None
    fields: Fields = {"piece": found[0].id, "dart": found[1].id}
    if draw.chance(0.5):
        fields["along"] = signed(draw, 3, 18)
    if "along" not in fields or draw.chance(0.3):
        fields |= {"x": signed(draw, 2, 15), "y": signed(draw, 2, 15)}
        fields |= {"keep": "take-up"} if draw.chance(0.3) else {}
    return fields


@maker("widen-dart")
def _widen_dart(draw: Draw, garment: Garment) -> Fields | None:
    found = _dart(draw, garment)
    return None if found is None else {"piece": found[0].id, "dart": found[1].id, "amount": signed(draw, 2, 8)}


@maker("split-dart")
def _split_dart(draw: Draw, garment: Garment) -> Fields | None:
    found = _dart(draw, garment)
    if found is None:
        return None
    gap = round(draw.number(12, 22), 1)
    return {"piece": found[0].id, "dart": found[1].id, "into": draw.one((2, 2, 3)), "gap": gap}


@maker("close-dart")
def _close_dart(draw: Draw, garment: Garment) -> Fields | None:
    found = _dart(draw, garment)
    if found is None:
        return None
    piece, dart = found
    fields: Fields = {"piece": piece.id, "dart": dart.id, "into": draw.one(("gathers", "ease", "pleat", "seam"))}
    if fields["into"] == "seam":
        far = opposite(piece.drawn_shape, dart.edge, piece.fold)
        if not far:
            return None
        fields["to"] = f"{draw.one(far).id} at {share(draw, 35, 65)}"
    return fields


# cloth --------------------------------------------------------------------------------------------------------


@maker("thickness")
def _thickness(draw: Draw, garment: Garment) -> Fields | None:
    if not garment.levels or not any(seam.take_in for seam in garment.seams):
        return None
    return {"expected": 0.5, "thickness": round(draw.number(0.3, 4), 1)}


@maker("turn-of-cloth")
def _turn_of_cloth(draw: Draw, garment: Garment) -> Fields | None:
    collars = [(p, s) for p, s in outlined(garment) if {"upper", "end"} <= {e.id for e in s.edges}]
    if not collars:
        return None
    return {
        "piece": collars[0][0].id,
        "edges": ("upper", "end"),
        "thickness": round(draw.number(0.4, 3), 1),
        "rolled": draw.chance(0.5),
    }


@maker("stretch")
def _stretch(draw: Draw, garment: Garment) -> Fields | None:
    carried = sorted({line.level for _, shape in outlined(garment) for line in shape.levels})
    if not carried:
        return None
    across = tuple((name, round(draw.number(0.0, 0.12), 3)) for name in draw.some(carried, 3))
    return {"across": across, "along": round(draw.number(-0.03, 0.05), 3)}


@maker("true")
def _true(draw: Draw, garment: Garment) -> Fields | None:
    return {"reach": round(draw.number(30, 80), 1)}


# bodies -------------------------------------------------------------------------------------------------------


def _with(garment: Garment, *wanted: str) -> list[tuple[Piece, Shape]]:
    """Pieces that have all of these edges."""
    return [(piece, shape) for piece, shape in outlined(garment) if set(wanted) <= {edge.id for edge in shape.edges}]


def _wedge(draw: Draw, garment: Garment, word: str, most: float) -> Fields | None:
    """A wedge across a piece of that name, from its middle to its side."""
    for piece, shape in outlined(garment):
        middles = [edge.id for edge in shape.edges if edge.id in ("crotch", "inner", "centre")]
        if (
            piece.id.startswith(word)
            and middles
            and any(edge.id == "side" for edge in shape.edges)
            and not _has(shape, "armhole")
        ):
            where = {"centre": f"{middles[0]} at {share(draw, 35, 65)}", "hinge": f"side at {share(draw, 55, 80)}"}
            return {"piece": piece.id, "amount": signed(draw, 4, most, 0.3), **where}
    return None


def _has(shape: Shape, edge: str) -> bool:
    return any(one.id == edge for one in shape.edges)


@maker("seat")
def _seat(draw: Draw, garment: Garment) -> Fields | None:
    return _wedge(draw, garment, "back", 30)


@maker("belly")
def _belly(draw: Draw, garment: Garment) -> Fields | None:
    return _wedge(draw, garment, "front", 25)


@maker("round-back")
def _round_back(draw: Draw, garment: Garment) -> Fields | None:
    backs = [piece for piece, _ in _with(garment, "armhole", "centre", "neck") if piece.id.startswith("back")]
    if not backs:
        return None
    centre, hinge = f"centre at {share(draw, 15, 35)}", f"armhole at {share(draw, 40, 60)}"
    return {"piece": backs[0].id, "amount": signed(draw, 3, 15, 0.3), "centre": centre, "hinge": hinge}


@maker("bust")
def _bust(draw: Draw, garment: Garment) -> Fields | None:
    fronts = [(p, d) for p, s in _with(garment, "armhole", "bottom", "side") for d in s.darts if d.edge == "side"]
    if not fronts:
        return None
    piece, dart = fronts[0]
    hinge = f"armhole at {share(draw, 35, 60)}"
    fields: Fields = {"piece": piece.id, "dart": dart.id, "amount": signed(draw, 6, 45, 0.25), "hinge": hinge}
    fields["lower"] = f"bottom at {share(draw, *draw.one(((18, 30), (70, 82))))}"  # beside a waist dart
    return fields | ({"lower_dart": "new dart"} if fields["amount"] > 15 and draw.chance(0.4) else {})


@maker("shoulder-slope")
def _shoulder_slope(draw: Draw, garment: Garment) -> Fields | None:
    found = _with(garment, "shoulder", "armhole")
    if not found:
        return None
    shoulders = tuple(f"{piece.id}.shoulder" for piece, _ in found)
    return {"shoulders": shoulders, "amount": signed(draw, 2, 14), "keep_armhole": draw.chance(0.7)}


def _seam_names(garment: Garment) -> set[str]:
    return {_base(name) for name, _ in single_seams(garment)}


@maker("sleeve-cap")
def _sleeve_cap(draw: Draw, garment: Garment) -> Fields | None:
    if "sleeve" not in _seam_names(garment) or not _with(garment, "cap front", "cap back"):
        return None
    return {"seam": "sleeve"} | ({"amount": signed(draw, 3, 15)} if draw.chance(0.5) else {})


@maker("upper-arm")
def _upper_arm(draw: Draw, garment: Garment) -> Fields | None:
    if not {"sleeve", "underarm"} <= _seam_names(garment) or not _with(garment, "cap front", "under front"):
        return None
    return {"amount": signed(draw, 4, 25, 0.3)}


@maker("calf")
def _calf(draw: Draw, garment: Garment) -> Fields | None:
    legs = _with(garment, "inseam", "side")
    if len(legs) < 2 or not {"side", "inseam"} <= _seam_names(garment):
        return None
    return {"amount": signed(draw, 4, 25, 0.3), "level": "knee", "reach": round(draw.number(120, 180), 1)}


@maker("crotch-curve")
def _crotch_curve(draw: Draw, garment: Garment) -> Fields | None:
    legs = _with(garment, "crotch", "inseam")
    if not legs:
        return None
    fields: Fields = {"piece": draw.one(legs)[0].id}
    return fields | {"longer": signed(draw, 2, 15, 0.3)} | ({"deeper": signed(draw, 1, 8, 0.3)} if draw.chance(0.4) else {})


# pieces -------------------------------------------------------------------------------------------------------


@maker("mirror")
def _mirror(draw: Draw, garment: Garment) -> Fields | None:
    # a single one is turned over only if it was taken in face down, and then nothing fitted before
    handed = [p.id for p, _ in outlined(garment) if all(cut.how is not How.SINGLE for cut in p.cuts)]
    return {"pieces": (draw.one(handed),)} if handed else None


@maker("unfold")
def _unfold(draw: Draw, garment: Garment) -> Fields | None:
    folded = [p.id for p, _ in outlined(garment) if p.fold]
    return {"piece": draw.one(folded)} if folded else None


@maker("split-hands")
def _split_hands(draw: Draw, garment: Garment) -> Fields | None:
    both = [p.id for p, _ in outlined(garment) if any(cut.how is not How.SINGLE for cut in p.cuts)]
    return {"pieces": (draw.one(both),)} if both else None


@maker("split-piece")
def _split_piece(draw: Draw, garment: Garment) -> Fields | None:
    found = outlined(garment)
    piece, shape = draw.one(found)
    line = _line(draw, piece, shape)
    return None if line is None else {"piece": piece.id, "start": line[0], "end": line[1]}


@maker("join")
def _join(draw: Draw, garment: Garment) -> Fields | None:
    def fits(seam: Seam) -> bool:
        if len(seam.a) != 1 or len(seam.b) != 1 or seam.a[0].piece == seam.b[0].piece or seam.kind is not SeamKind.PLAIN:
            return False
        sides = [(garment.piece(ref.piece), ref.edge) for ref in (seam.a[0], seam.b[0])]
        if any(p.shape is None or any(mark.edge == e for mark in (*p.shape.darts, *p.shape.pleats)) for p, e in sides):
            return False
        ways = [tuple(cut.how for cut in p.cuts) for p, _ in sides]
        if "split" not in seam.id and (ways[0] != ways[1] or How.FOLD in ways[0]):
            return False
        paths = [p.drawn_shape.edge(e).path for p, e in sides]
        return all(map(is_straight, paths)) and abs(paths[0].length - paths[1].length) < 0.5

    names = seams(garment, fits)
    return {"seam": draw.one(names)} if names else None


# sizes --------------------------------------------------------------------------------------------------------


@maker("blend-sizes")
def _blend_sizes(draw: Draw, garment: Garment) -> Fields | None:
    sizes = sorted({size for piece in garment.pieces.values() for size in piece.sizes})
    if len(sizes) < 2:
        return None
    carried = sorted({line.level for _, shape in outlined(garment) for line in shape.levels})
    if not carried or draw.chance(0.3):
        one, two = draw.random.sample(sizes, 2)
        return {"at": (f"{one} to {two}, {draw.number(10, 90):.0f} %",)}
    return {"at": tuple(f"{draw.one(sizes)} at {name}" for name in draw.some(carried, 3))}


@maker("grade")
def _grade(draw: Draw, garment: Garment) -> Fields | None:
    return {} if any(piece.is_card and piece.sizes for piece in garment.pieces.values()) else None


# a stack, and what is wrong with what came of it --------------------------------------------------------------


MIXED = 0x5EED
"""Mixed into a seed, so that a stack is not made of the numbers that its garment was made of."""
FAULTS = ("crash", "invalid", "silent", "unsteady", "record")
"""Sorts of faults, the worst first: something else than a refusal; a piece or garment that is none; a seam that fitted and does
not, of which nothing says so; a stack that gives another garment than its entries; a record that leads nowhere."""


@dataclass
class Outcome:
    """What became of a random stack.

    Parameters
    ----------
    entries
        Kind and fields of each, and the words of its refusal; empty for one that was applied.
    wrong
        What is wrong, as kind of fault and words.
    """

    seed: int
    garment: str
    entries: list[tuple[str, Fields, str]] = field(default_factory=list)
    wrong: list[tuple[str, str]] = field(default_factory=list)

    @property
    def crashed(self) -> bool:
        """Whether something else than a refusal came of an entry."""
        return any(sort == "crash" for sort, _ in self.wrong)


def start(seed: int, draw: Draw) -> tuple[Garment, Pattern]:
    """The garment of a seed, in some cases without the size that is wanted."""
    pattern = plausible_pattern(seed)
    if len(pattern.sizes) > 1 and draw.chance(0.12):
        gone = {
            name: replace(piece, sizes={size: shape for size, shape in piece.sizes.items() if size != "M"})
            for name, piece in pattern.pieces.items()
        }
        pattern = replace(pattern, pieces=gone, trimmed=("M",))
    return make_garment(pattern, "M", id=pattern.id, sort=pattern.id), pattern


def entry(kind: str, name: str, fields: Mapping[str, Any]) -> Any:
    """An alteration of these fields, read as from a file in millimetres."""
    from pydantic import TypeAdapter

    return TypeAdapter(ALTERATIONS[kind]).validate_python({"id": name, **fields}, context={"units": "mm"})


def run(seed: int, kinds: Sequence[str] = ()) -> Outcome:
    """Apply the random stack of a seed; with kinds, of these only.

    Every entry is made for the garment as the ones before left it. Then the whole stack is applied again from the start.
    """
    draw = Draw(seed ^ MIXED)
    bought, pattern = start(seed, draw)
    outcome = Outcome(seed, pattern.id)
    garment, made, length = bought, [], draw.random.randint(1, 8)
    while len(made) < length:
        chosen = _next(draw, garment, kinds or sorted(set(MAKERS) & set(ALTERATIONS)), first=not made)
        if chosen is None:
            break
        kind, fields = chosen
        made.append(entry(kind, f"{kind} {len(made) + 1}", fields))
        garment = _applied(outcome, garment, made[-1], kind, fields) or garment
        if outcome.crashed:
            return outcome
    _look(outcome, bought, garment, pattern, made)
    return outcome


def rerun(seed: int, entries: Sequence[tuple[str, Fields]]) -> Outcome:
    """Apply these entries to the garment of a seed."""
    bought, pattern = start(seed, Draw(seed ^ MIXED))
    outcome, garment = Outcome(seed, pattern.id), bought
    made = [entry(kind, f"{kind} {number}", fields) for number, (kind, fields) in enumerate(entries, 1)]
    for one, (kind, fields) in zip(made, entries, strict=True):
        garment = _applied(outcome, garment, one, kind, fields) or garment
        if outcome.crashed:
            return outcome
    _look(outcome, bought, garment, pattern, made)
    return outcome


def shortest(outcome: Outcome) -> Outcome:
    """The worst of its faults with as few entries as it takes, left out one by one."""
    faults = {min((sort for sort, _ in outcome.wrong), key=FAULTS.index)}
    entries = [(kind, fields) for kind, fields, _ in outcome.entries]
    at = len(entries) - 1
    while at >= 0:
        fewer = rerun(outcome.seed, entries[:at] + entries[at + 1 :])
        if faults & {sort for sort, _ in fewer.wrong}:
            outcome, entries = fewer, entries[:at] + entries[at + 1 :]
        at -= 1
    return outcome


def _applied(outcome: Outcome, garment: Garment, one: Any, kind: str, fields: Fields) -> Garment | None:
    """The garment after an entry; None if it was refused, or crashed."""
    try:
        altered: Altered = one.apply(garment)
    except FirsthandError as error:
        outcome.entries.append((kind, fields, f"{type(error).__name__}: {error}"))
        return None
    except Exception:
        outcome.entries.append((kind, fields, "crash"))
        outcome.wrong.append(("crash", f"{kind}: {traceback.format_exc(limit=-3)}"))
        return None
    outcome.entries.append((kind, fields, ""))
    outcome.wrong += [("record", f"{kind}: {words}") for words in _record_wrong(garment, altered)]
    return altered.garment


def _look(outcome: Outcome, bought: Garment, garment: Garment, pattern: Pattern, made: Sequence[Any]) -> None:
    try:
        outcome.wrong += _whole_wrong(bought, garment, pattern, made)
    except Exception:
        outcome.wrong.append(("crash", f"afterwards: {traceback.format_exc(limit=-3)}"))


def _next(draw: Draw, garment: Garment, kinds: Sequence[str], *, first: bool) -> tuple[str, Fields] | None:
    if first and "grade" in kinds and (fields := MAKERS["grade"](draw, garment)) is not None:
        return "grade", fields
    left = [kind for kind in kinds if kind not in FIRST or first]
    draw.random.shuffle(left)
    for kind in left:
        fields = MAKERS[kind](draw, garment)
        if fields is not None:
            return kind, fields
    return None


def _record_wrong(before: Garment, altered: Altered) -> Iterator[str]:
    """Positions and ids of a record that lead nowhere."""
    after, record = altered.garment, altered.record
    for name, runs in record.edges.items():
        for piece, edge, o1, o2, n1, n2 in ((r.piece, r.edge, r.old_start, r.old_end, r.new_start, r.new_end) for r in runs):
            shape = after.pieces[piece].shape if piece in after.pieces else None
            if shape is None or edge not in {one.id for one in shape.edges}:
                yield f"{name} leads to {piece}.{edge}, which is not there"
                continue
            long = shape.edge(edge).path.length
            if o1 > o2 + 1e-6 or not (-1e-3 <= n1 <= long + 1e-3 and -1e-3 <= n2 <= long + 1e-3):
                yield f"{name} from {o1:.3f} to {o2:.3f} leads to {n1:.3f} to {n2:.3f} of {piece}.{edge}, {long:.3f} long"
    known = _ids(after)
    for name, ids in record.ids.items():
        for new in ids:
            if new not in known:
                yield f"the id {name} leads to {new}, which is not there"
    for piece in record.pieces:
        if piece not in after.pieces and piece not in before.pieces:
            yield f"it changed {piece}, which is not there"


def _ids(garment: Garment) -> set[str]:
    found = set(garment.pieces) | {seam.id for seam in garment.seams}
    for piece, shape in outlined(garment):
        marks = (
            *shape.notches,
            *shape.darts,
            *shape.pleats,
            *shape.lines,
            *shape.edges,
            *(edge.corner for edge in shape.edges),
        )
        found |= {f"{piece.id}.{mark.id}" for mark in marks} | {mark.id for mark in marks}
    return found


def _whole_wrong(bought: Garment, garment: Garment, pattern: Pattern, stack: Sequence[Any]) -> Iterator[tuple[str, str]]:
    result = apply_stack(bought, stack)
    if result.garment != garment:
        yield "unsteady", "the stack as a whole gives another garment than its entries one by one"
    known = {(f.code, f.where) for f in check_garment(bought, pattern)}
    unknown = any(piece.is_card for piece in bought.pieces.values())
    for found in check_garment(result.garment, pattern):
        if (
            found.severity is Severity.FAULT
            and (found.code, found.where) not in known
            and not _said(found, result.findings, unknown)
        ):
            yield "invalid", f"{found.code}: {found.message}"
    yield from (("silent", words) for words in _silent(bought, result.garment, result.findings))


def _said(found: Finding, findings: Sequence[Finding], unknown: bool) -> bool:
    """Whether the stack says itself that a seam or the whole does not match any more.

    Of seams that could not be walked before, since a piece had no outline in the size, it cannot say that: the check does.
    """
    if found.code == "seam-length":
        return any(_names(one, found.where[1]) for one in findings) or unknown
    return found.code in ("opening-sewn-shut", "openings-joined") and any(f.code == "alteration-assembly-off" for f in findings)


def _base(name: str) -> str:
    return name.removesuffix(" right").removesuffix(" left")


def _names(finding: Finding, seam: str) -> bool:
    return finding.code.startswith("alteration-") and _base(seam) in {_base(word) for word in finding.where}


def _silent(before: Garment, after: Garment, findings: Sequence[Finding]) -> Iterator[str]:
    """Seams that fitted and do not, and no finding says so."""
    fitted = {seam.id for seam in before.seams if _fits(before, seam)}
    for seam in after.seams:
        if seam.id not in fitted or _fits(after, seam):
            continue
        if not any(_names(finding, seam.id) for finding in findings):
            yield f"{seam.id} does not fit any more, and nothing says so"


def _fits(garment: Garment, seam: Seam) -> bool:
    try:
        return walk_seam(garment, seam).fits
    except FirsthandError:
        return False
