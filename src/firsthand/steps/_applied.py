"""Works of pieces that are laid flat on others and sewn down: pockets, badges, patches."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.pattern import Applied, EdgeRef, FateKind, Hand, Part
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import Work, half_round, label, sewing, touch
from firsthand.steps.model import Place, SetUp
from firsthand.units import said

__all__ = ["applying", "parts_beneath", "parts_laid_on", "work_name"]


def applying(view: View) -> Iterator[Work]:
    """Each piece that is laid on another one is made ready once, and then sewn on wherever it lies."""
    for piece in dict.fromkeys(applied.piece for applied in view.garment.applied):
        if parts_laid_on(view, piece):
            yield from _ready(view, piece)
    for applied in view.garment.applied:
        if parts_laid_on(view, applied.piece) and parts_beneath(view, applied):
            yield from _sewn_on(view, applied)


def work_name(applied: Applied) -> str:
    """What the work of sewing a piece on is called in ids."""
    return f"{applied.piece} on {_onto(applied)}"


def parts_laid_on(view: View, piece: str) -> tuple[Part, ...]:
    """The parts of a piece that are laid on: all but what lies behind them."""
    return tuple(part for part in view.garment.parts_of(piece) if part.role not in INNER)


def parts_beneath(view: View, applied: Applied) -> tuple[Part, ...]:
    """The parts on which a piece lies: of the hand that is named, else of its own hands, else the only one."""
    found = tuple(part for part in view.garment.parts_of(applied.onto) if part.role == applied.role)
    hands = {part.hand for part in parts_laid_on(view, applied.piece)} if applied.hand is Hand.CENTRE else {applied.hand}
    return tuple(part for part in found if part.hand in hands) or found


def _onto(applied: Applied) -> str:
    return applied.onto if applied.hand is Hand.CENTRE else f"{applied.onto} {applied.hand.value}"


def _ready(view: View, piece: str) -> Iterator[Work]:
    parts = parts_laid_on(view, piece)
    hems, turned = _edges(view, parts, FateKind.HEM), _edges(view, parts, FateKind.APPLIED)
    turned = tuple(ref for ref in turned if _allowance(view, ref) > 0)
    if view.garment.piece(piece).shape is not None and not hems and not turned:
        return
    edges = (*hems, *turned)
    length = _length(view, piece, parts, edges)
    told = view.advice(parts)
    yield touch(
        view,
        "ready",
        piece,
        stage="shape",
        title=_title(piece, hems, turned),
        place=Place.MACHINE if hems or not turned else Place.IRON,
        parts=parts,
        edges=edges,
        minutes=minutes("ready", length=length),
        setup=sewing(view, parts) if hems or not turned else SetUp(heat=told.heat),
        length=view.length(hems) if edges else length,
        chain=f"ready {piece}",
        instruction=_how(view, hems, turned),
    )
    if hems or not turned:
        yield _press(view, "press ready", piece, parts, edges, length, chain=f"ready {piece}", title=f"Press the {piece}")


def _title(piece: str, hems: tuple[EdgeRef, ...], turned: tuple[EdgeRef, ...]) -> str:
    hemmed = " and ".join(dict.fromkeys(ref.edge for ref in hems))
    if hems and turned:
        return f"Hem the {hemmed} and turn the other edges of the {piece}"
    if hems:
        return f"Hem the {hemmed} of the {piece}"
    return f"Turn the edges of the {piece}" if turned else f"Hem and turn the edges of the {piece}"


def _how(view: View, hems: tuple[EdgeRef, ...], turned: tuple[EdgeRef, ...]) -> str:
    if not hems and not turned:
        return "As the pattern's own sheet says: hem the edge that stays open, turn the others to the back."
    words = []
    if hems:
        depth = max(edge.fate.depth for edge in map(view.edge, hems) if edge is not None and edge.fate is not None)
        words.append(f"Turn the hem under, press, stitch{f', {said(depth)} deep' if depth else ''}.")
    if turned:
        allowance = max(_allowance(view, ref) for ref in turned)
        words.append(f"Turn {said(allowance)} to the back, press or baste; clip curves, fold corners before the sides.")
    return " ".join(words)


def _sewn_on(view: View, applied: Applied) -> Iterator[Work]:
    laid, beneath = parts_laid_on(view, applied.piece), parts_beneath(view, applied)
    parts = (*laid, *beneath)
    edges = _edges(view, laid, FateKind.APPLIED)
    length = _length(view, applied.piece, laid, edges)
    name = work_name(applied)
    under = ", ".join(map(label, beneath))
    where = f"The pattern does not say where: try it on, and mark it on {under}"
    if applied.line:
        where = f"Mark its place on {under}, the pattern's line {applied.line}"
    yield touch(
        view,
        "apply",
        name,
        stage="shape",
        title=f"Mark and sew the {applied.piece} on the {_onto(applied)}",
        place=Place.MACHINE,
        parts=parts,
        edges=edges,
        minutes=minutes("apply", length=length, count=len(laid)),
        setup=sewing(view, parts),
        length=length,
        chain=f"apply {name}",
        instruction=f"{where}; baste, stitch close to the edge, and stitch the ends twice where it is pulled at.",
    )
    yield _press(view, "press apply", name, parts, edges, length, chain=f"apply {name}", title=f"Press the {name}")


def _press(
    view: View,
    act: str,
    name: str,
    parts: tuple[Part, ...],
    edges: tuple[EdgeRef, ...],
    length: float,
    *,
    chain: str,
    title: str,
) -> Work:
    told = view.advice(parts)
    return touch(
        view,
        act,
        name,
        stage="shape",
        title=title,
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("press edge", length=length),
        setup=SetUp(heat=told.heat),
        chain=chain,
        instruction=f"{told.pressing[:1].upper()}{told.pressing[1:]}.",
    )


def _edges(view: View, parts: tuple[Part, ...], kind: FateKind) -> tuple[EdgeRef, ...]:
    return tuple(ref for part in parts for ref in view.refs(part) if view.fate(ref) is kind)


def _allowance(view: View, ref: EdgeRef) -> float:
    edge = view.edge(ref)
    return edge.allowance if edge is not None else 0.0


def _length(view: View, piece: str, parts: tuple[Part, ...], edges: tuple[EdgeRef, ...]) -> float:
    """Sewn length of edges; for a piece that is only a card half of what goes round each part; mm."""
    return view.length(edges) or len(parts) * half_round(view.garment.piece(piece))
