"""Edges of parts as people write them."""

from __future__ import annotations

import re

from firsthand.pattern.model import EdgeRef, Hand

__all__ = ["parse_edge_ref"]

HALVES = ("mirrored", "upper", "lower", "inner", "outer", "first", "second")
"""Words that an alteration puts behind the name of an edge when it cuts it in two or opens it out: no roles."""

_WORDS = re.compile(
    rf"(?P<piece>[^.]+)\.(?P<edge>\S+(?:\s+(?:{'|'.join(HALVES)})(?:\s+\d+)?)*)"
    r"(?:\s+(?P<hand>left|right|centre))?"
    r"(?:\s+(?P<role>(?!no\.)\S+))?"
    r"(?:\s+no\.\s*(?P<copy>[1-9]\d*))?"
)


def parse_edge_ref(words: str) -> EdgeRef:
    """Read an edge of a part: ``PIECE.EDGE [left|right] [ROLE] [no. N]``, the form in which ``str`` writes one.

    Edges and roles are single words, but for what alterations put behind the name of an edge (``side upper``, ``side
    mirrored``); a piece may have a name of several.

    Parameters
    ----------
    words
        What was written.

    Raises
    ------
    ValueError
        If it cannot be read.

    Examples
    --------
    >>> parse_edge_ref("front.side")
    EdgeRef(piece='front', edge='side', hand=<Hand.CENTRE: 'centre'>, role='shell', copy=1)
    >>> str(parse_edge_ref("upper sleeve.cap left lining no. 2"))
    'upper sleeve.cap left lining no. 2'
    >>> parse_edge_ref("front upper.side upper left lining").edge
    'side upper'
    >>> parse_edge_ref("front")
    Traceback (most recent call last):
    ...
    ValueError: 'front' is not an edge: write for example front.side left lining
    """
    match = _WORDS.fullmatch(words.strip()) if isinstance(words, str) else None
    if match is None:
        raise ValueError(f"{words!r} is not an edge: write for example front.side left lining")
    hand = Hand(match["hand"]) if match["hand"] else Hand.CENTRE
    return EdgeRef(match["piece"].strip(), match["edge"].strip(), hand, match["role"] or "shell", int(match["copy"] or 1))
