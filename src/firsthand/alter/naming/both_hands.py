"""Entries that name a piece which an entry before them took apart."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any, cast

from firsthand.alter.model import Alteration, Record
from firsthand.pattern import Garment, Hand, How

__all__ = ["Became", "for_both_hands", "noted"]

SAME = frozenset({"id", "level", "dart", "across"})
"""Fields whose words mean the same on both hands; places along an edge do not, for one hand is the other's image."""
SIDEWAYS = frozenset({"x", "along"})
"""Numbers that go the other way on the other hand."""


@dataclass(frozen=True, slots=True)
class Became:
    """What a piece became.

    Parameters
    ----------
    pieces
        The pieces that it is now.
    since
        The alteration that took it apart.
    hands
        Whether they are its two hands, each the other's image.
    """

    pieces: tuple[str, ...]
    since: str
    hands: bool

    def said(self, piece: str) -> str:
        """For a refusal."""
        return f"{piece} is {' and '.join(self.pieces)} since {self.since}"


def noted(known: Mapping[str, Became], record: Record, after: Garment) -> dict[str, Became]:
    """What pieces became, with what one more alteration did.

    Parameters
    ----------
    known
        What they became before it.
    record, after
        Of the alteration, and the garment after it.
    """
    gone = {old: news for old, news in record.ids.items() if "." not in old and old not in after.pieces and news}
    now = dict(known)
    for old, was in known.items():
        if any(piece in gone for piece in was.pieces):
            pieces = tuple(new for piece in was.pieces for new in gone.get(piece, (piece,)))
            now[old] = Became(pieces, f"{was.since} and {record.alteration}", hands=False)
    for old, news in gone.items():
        pieces = tuple(news)
        now[old] = Became(pieces, record.alteration, _are_hands(after, pieces))
    return now


def _are_hands(garment: Garment, names: tuple[str, ...]) -> bool:
    pieces = [garment.pieces[name] for name in names if name in garment.pieces]
    single = all(cut.how is How.SINGLE for piece in pieces for cut in piece.cuts)
    return len(names) == len(pieces) == 2 and single and {piece.drawn for piece in pieces} == {Hand.RIGHT, Hand.LEFT}


def for_both_hands(alteration: Alteration, known: Mapping[str, Became]) -> tuple[Alteration, ...]:
    """An alteration that names a piece which is one for each hand now, as it applies to both.

    Where it names several pieces or edges it is one that names both hands; where it names one piece, one for each hand.

    Returns
    -------
    tuple of Alteration
        Empty where it is not plain what it would be on the other hand: it names places that lie the other way round there.
    """
    hands = {name: became.pieces for name, became in known.items() if became.hands}
    values: dict[str, Any] = {}
    single: dict[str, tuple[str, ...]] = {}
    for field in dataclasses.fields(cast(Any, alteration)):
        value = getattr(alteration, field.name)
        if value == field.default:
            continue
        if isinstance(value, str) and not isinstance(value, Enum) and field.name not in SAME:
            single[field.name] = _both(value, hands)
        elif isinstance(value, tuple) and field.name not in SAME:
            many = _many(value, hands)
            if many is None:
                return ()
            values[field.name] = many
        elif field.name in SIDEWAYS and value:
            return ()
    if any(not names for names in single.values()):
        return ()
    made: Any = dataclasses.replace(cast(Any, alteration), **values)
    if not single:
        return (made,)
    return tuple(dataclasses.replace(made, **{name: names[k] for name, names in single.items()}) for k in range(2))


def _both(name: str, hands: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """A piece, or an edge of a piece, on both hands; nothing where it names neither."""
    piece, dot, edge = name.partition(".")
    return tuple(f"{new}{dot}{edge}" for new in hands.get(piece, ()))


def _many(items: Iterable[Any], hands: Mapping[str, tuple[str, ...]]) -> tuple[Any, ...] | None:
    """A list of pieces or edges, alone or each with a number, with both hands of each; None where it is another list."""
    made: list[Any] = []
    for item in items:
        name, rest = (item, ()) if isinstance(item, str) else (item[0], item[1:]) if isinstance(item, tuple) else ("", ())
        if not isinstance(name, str) or any(isinstance(one, str) for one in rest) or not _is_plain(name, hands):
            return None
        made += [(new, *rest) if isinstance(item, tuple) else new for new in _both(name, hands) or (name,)]
    return tuple(made)


def _is_plain(name: str, hands: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether a name is one of a piece or an edge, not a place in words."""
    return bool(_both(name, hands)) or ("." in name and " at " not in name) or not name.partition(" ")[1]
