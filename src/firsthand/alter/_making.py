"""The toolbox for alterations: guarding the amount, changing pieces, finding the most that goes, putting it all together.

An alteration says which pieces change and how; what is the same for all of them is here::

    def apply(self, garment: Garment) -> Altered:
        sensible(self.amount, MOST)
        changed = as_much_as_goes(lambda amount: self._moved(garment, amount), self.amount, "moving by")
        return finished(garment, self, f"Moved by {said(self.amount)}", {"amount": self.amount}, changed)
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from typing import TypeVar

from firsthand.alter._most import most_possible
from firsthand.alter._notes import lost_notches
from firsthand.alter.model import Alteration, Altered, Record, Stretch
from firsthand.alter.moving.allowed import refuse_unsound
from firsthand.alter.moving.maps import stretches
from firsthand.alter.moving.reshape import Crosses, Reshaped
from firsthand.alter.naming.refs import lost_references
from firsthand.errors import CannotAlter, GeometryError, NotThere
from firsthand.findings import Finding
from firsthand.pattern import Garment, Shape
from firsthand.units import said

__all__ = ["as_much_as_goes", "finished", "on_piece", "rebuilt", "reshaped", "sensible"]

T = TypeVar("T")


def sensible(amount: float, most: float) -> float:
    """The amount, if it can be meant.

    Parameters
    ----------
    amount, most
        What is asked for, and the most of it, either way, that is no slip of the keyboard; mm.

    Raises
    ------
    GeometryError
        If it is not finite.
    CannotAlter
        If it is more than the most.

    Examples
    --------
    >>> sensible(-20.0, 500.0)
    -20.0
    """
    if not math.isfinite(amount):
        raise GeometryError(f"an amount must be a finite length, not {said(amount)}")
    if abs(amount) > most:
        words = f"{said(amount)} is more than can be meant: above {said(most)} it is taken for a slip"
        raise CannotAlter(words, "Look whether a digit or the unit is wrong.")
    return amount


@contextmanager
def on_piece(name: str) -> Iterator[None]:
    """Refusals within name the piece that they are about.

    Examples
    --------
    >>> with on_piece("front"):
    ...     raise CannotAlter("no edge is opposite to hem", "Name it.")
    Traceback (most recent call last):
    ...
    firsthand.errors.CannotAlter: on front: no edge is opposite to hem
    """
    try:
        yield
    except NotThere as error:
        raise NotThere(f"{error.what} of {name}", error.name, error.known) from error
    except CannotAlter as error:
        raise CannotAlter(f"on {name}: {error}", error.remedy) from error


def reshaped(garment: Garment, changes: Mapping[str, Callable[[Shape], Reshaped]]) -> dict[str, Reshaped]:
    """Pieces changed, those left out that came out as they were.

    Parameters
    ----------
    changes
        For each piece what gives its new shape.

    Raises
    ------
    NotThere
        If a piece is not there or is only a card.
    Crosses
        If a change would cross something, or leave no room for an allowance; naming the piece.
    """
    changed = {}
    for name, change in changes.items():
        shape = garment.piece(name).drawn_shape
        try:
            result = change(shape)
            refuse_unsound(shape, result.shape)
        except Crosses as crossing:
            raise Crosses(f"on {name} {crossing}") from crossing
        if result.shape != shape:
            changed[name] = replace(result, tried=(shape, result.shape))
    return changed


def as_much_as_goes(attempt: Callable[[float], T], amount: float, verb: str) -> T:
    """What an attempt gives for an amount.

    Parameters
    ----------
    attempt
        Tries an amount, mm; raises ``Crosses`` where it is too much.
    amount
        The amount wanted.
    verb
        For the refusal, as ``shortening by``.

    Raises
    ------
    CannotAlter
        If it is too much, with the most that goes, in whole mm.

    Examples
    --------
    >>> def room(amount: float) -> str:
    ...     if amount > 41.3:
    ...         raise Crosses("front: nothing would be left of hem")
    ...     return "done"
    >>> as_much_as_goes(room, 30.0, "taking in")
    'done'
    >>> as_much_as_goes(room, 60.0, "taking in")
    Traceback (most recent call last):
    ...
    firsthand.errors.CannotAlter: taking in ⟨60 mm⟩ is too much: front: nothing would be left of hem; at most ⟨41 mm⟩
    """
    try:
        return attempt(amount)
    except Crosses as crossing:
        most = abs(most_possible(attempt, amount))
        words = f"{verb} {said(abs(amount))} is too much: {crossing}; at most {said(most)}"
        raise CannotAlter(words, f"Use at most {said(most)}." if most else "Alter it at another place.") from crossing


def finished(
    garment: Garment, alteration: Alteration, words: str, figures: Mapping[str, float], changed: Mapping[str, Reshaped]
) -> Altered:
    """The garment with its changed pieces put in, the record of it, and a finding for each notch that was cut away.

    Parameters
    ----------
    garment
        As it was.
    alteration, words, figures
        See :class:`firsthand.alter.Record`.
    changed
        The pieces that changed, by id.

    Raises
    ------
    CannotAlter
        If the allowance of one could not be drawn any more, or two of its darts overlap.
    """
    edges: dict[str, tuple[Stretch, ...]] = {}
    ids: dict[str, tuple[str, ...]] = {}
    for name, result in changed.items():
        before = garment.piece(name).shape
        if result.tried is None or result.tried[0] is not before or result.tried[1] is not result.shape:
            try:
                refuse_unsound(before or result.shape, result.shape)
            except Crosses as crossing:
                raise CannotAlter(f"on {name} {crossing}", "Alter it by less, or at another place.") from crossing
        garment = garment.with_piece(replace(garment.piece(name), shape=result.shape))
        edges |= stretches(name, result.maps)
        ids |= {f"{name}.{notch}": () for notch in result.lost}
    called = alteration.id or alteration.kind
    record = Record(called, alteration.kind, words, figures, edges, ids, tuple(changed))
    return Altered(garment, record, lost_notches(garment, called, changed))


def rebuilt(
    before: Garment,
    after: Garment,
    alteration: Alteration,
    words: str,
    figures: Mapping[str, float],
    edges: Mapping[str, tuple[Stretch, ...]],
    ids: Mapping[str, tuple[str, ...]],
    pieces: Iterable[str],
    findings: Iterable[Finding] = (),
) -> Altered:
    """A garment whose pieces, edges or seams are others than before, the record of it, and a finding for each lost reference.

    Parameters
    ----------
    before, after
        The garment before and after, references already rerouted (:func:`firsthand.alter.naming.refs.rerouted`).
    alteration, words, figures, edges, ids
        See :class:`firsthand.alter.Record`. Pieces that became others are in ``ids`` by their own id.
    pieces
        Ids of the pieces after the alteration that are new or changed.
    findings
        What else was noticed.
    """
    called = alteration.id or alteration.kind
    record = Record(called, alteration.kind, words, figures, edges, ids, tuple(dict.fromkeys(pieces)))
    return Altered(after, record, (*findings, *lost_references(before, after, called)))
