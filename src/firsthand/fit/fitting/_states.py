"""How far the parts of a garment are, as its file tells it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from firsthand.errors import nearest_names
from firsthand.findings import Finding, Severity, kind
from firsthand.pattern import Garment, Part, PartState

__all__ = ["known_parts", "unknown_states", "with_states"]

UNKNOWN_STATE = kind(
    "part-state-unknown",
    Severity.DOUBT,
    "A garment's file says how far a part is that the garment does not have. It has no effect. Correct its name: that of a "
    "piece, or of a piece with its hand, its role, or both.",
)


def known_parts(garment: Garment) -> tuple[str, ...]:
    """Names by which parts can be told: pieces, pieces with a hand, and parts.

    Examples
    --------
    >>> from firsthand.pattern import Hand
    >>> garment = Garment("g", "", "p", "M", {}, (Part("front", Hand.LEFT, "shell"),))
    >>> known_parts(garment)
    ('front', 'front left', 'front shell', 'front left shell')
    """
    return tuple(dict.fromkeys(name for part in garment.parts for name in _names(part)))


def _names(part: Part) -> tuple[str, ...]:
    number = f" no. {part.copy}" if part.copy != 1 else ""
    piece, hand, role = part.piece, part.hand.value, part.role
    return piece, f"{piece} {hand}", f"{piece} {role}", f"{piece} {hand} {role}", f"{piece} {hand} {role}{number}"


def with_states(garment: Garment, states: Mapping[str, PartState], *, only: Collection[str] | None = None) -> Garment:
    """The garment with its parts as far as they are told to be; what is told more closely counts.

    Parameters
    ----------
    states
        By name of :func:`known_parts`; ``""`` for all that are not named. Names that no part has are passed over here: pieces
        still to be drafted have none yet.
    only
        Ids of the only pieces that are meant.

    Examples
    --------
    >>> from firsthand.pattern import Hand
    >>> garment = Garment("g", "", "p", "M", {}, (Part("front", Hand.LEFT, "shell"), Part("front", Hand.RIGHT, "shell")))
    >>> told = with_states(garment, {"front": PartState.CUT, "front left": PartState.SEWN})
    >>> [part.state.value for part in told.parts]
    ['sewn', 'cut']
    """
    if not states:
        return garment
    parts = (
        replace(part, state=_state(part, states)) if only is None or part.piece in only else part for part in garment.parts
    )
    return replace(garment, parts=tuple(parts))


def _state(part: Part, states: Mapping[str, PartState]) -> PartState:
    found = [states[name] for name in ("", *_names(part)) if name in states]
    return found[-1] if found else part.state


def unknown_states(states: Mapping[str, PartState], *garments: Garment) -> Iterator[Finding]:
    """What is said of names that no part has, neither at first nor in the end."""
    known = {name for garment in garments for name in known_parts(garment)} | {""}
    for name in states:
        if name not in known:
            near = nearest_names(name, sorted(known - {""}))
            remedy = f"Did you mean {' or '.join(near)}?" if near else "Name a piece, or a piece with its hand or role."
            yield UNKNOWN_STATE(
                f"{name} is told to be {states[name].value}, and {garments[0].id} has no such part",
                where=(garments[0].id, name),
                remedy=remedy,
            )
