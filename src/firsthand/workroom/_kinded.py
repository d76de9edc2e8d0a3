"""Entries whose fields depend on their kind: the alterations of a stack and drafted pieces, wherever they are written."""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from firsthand.errors import FirsthandError, nearest_names
from firsthand.registry import Registry
from firsthand.workroom._reading import Gathered
from firsthand.workroom._words import NAME, listed, problems_of, shown
from firsthand.workroom.schema import is_id

__all__ = ["Kinds", "with_id"]

K = TypeVar("K")


@dataclasses.dataclass(frozen=True, slots=True)
class Kinds:
    """Reads entries with the dataclasses registered under their kinds; every problem is gathered.

    Parameters
    ----------
    file, prefix
        The file, and the place of the lists in it, as ``garment[1].``; empty for lists at its top.
    units
        The file's units.
    gathered
        Where problems are entered.
    """

    file: str
    prefix: str
    units: Any
    gathered: Gathered

    def read(self, what: str, tables: Sequence[Mapping[str, Any]], registry: Registry[type[K]]) -> tuple[K, ...]:
        """The entries of one list.

        Parameters
        ----------
        what
            The key of the list: ``alteration``, whose entries get an id if they have none, or ``draft``.
        tables
            As they were written.
        registry
            The kinds there are.
        """
        made: list[K] = []
        seen: set[str] = set()
        for number, table in enumerate(tables, 1):
            place = f"{what}[{number}]"
            named = with_id(table, tables[:number]) if what == "alteration" else table
            entry = self._entry(place, named, registry)
            if entry is None:
                continue
            name = str(getattr(entry, "id", ""))
            if not (is_id(name) if what == "draft" else name.isprintable()):
                self._problem(f"{place}.id", shown(name), *NAME)
            elif name in seen:
                self._problem(f"{place}.id", repr(name), "an id used once", f"Give this {what} an id of its own.")
            seen.add(name)
            made.append(entry)
        return tuple(made)

    def _problem(self, place: str, found: str, expected: str, remedy: str) -> None:
        self.gathered.problem(self.file, f"{self.prefix}{place}", found, expected, remedy)

    def _entry(self, place: str, table: Mapping[str, Any], registry: Registry[type[K]]) -> K | None:
        kind = table.get("kind")
        if not isinstance(kind, str) or kind not in registry:
            found = shown(kind) if "kind" in table else "nothing"
            close = nearest_names(str(kind or ""), registry)
            remedy = f"Did you mean {' or '.join(close)}?" if close else "Write one of these kinds."
            self._problem(f"{place}.kind", found, f"one of {listed(sorted(registry))}", remedy)
            return None
        cls: Any = registry[kind]
        known = [item.name for item in dataclasses.fields(cls)]
        values = {key: value for key, value in table.items() if key != "kind" and key in known}
        strange = [key for key in table if key != "kind" and key not in known]
        meant = {self._unknown(f"{place}.{key}", key, kind, known) for key in strange}
        try:
            entry: K = _adapter(cls).validate_python(values, context={"units": self.units})
            return entry
        except ValidationError as error:
            problems = problems_of(self.file, error, f"{self.prefix}{place}")
            told = {f"{self.prefix}{place}.{key}" for key in meant}  # the same slip, seen as a key that is missing
            self.gathered.problems += [one for one in problems if one.found != "nothing" or one.place not in told]
        except FirsthandError as error:  # not a ValueError: pydantic lets it through
            self._problem(place, str(error), f"a {kind} that can be made", "Correct its values.")
        return None

    def _unknown(self, place: str, key: str, kind: str, known: list[str]) -> str:
        """Refuse a key; the one that was probably meant."""
        # A misspelt key of an alteration would silently alter something else than what was meant, so it is refused.
        close = difflib.get_close_matches(key, known, 1)
        remedy = f"Did you mean {close[0]}?" if close else "Take the key out."
        self._problem(place, repr(key), f"a key of {kind}: {listed(known)}", remedy)
        return close[0] if close else ""


def with_id(table: Mapping[str, Any], so_far: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    """An alteration without an id, named after its kind and its place among its like.

    Parameters
    ----------
    so_far
        The alterations up to and with this one.

    Examples
    --------
    >>> with_id({"kind": "scale"}, [{"kind": "scale", "id": "cape"}, {"kind": "scale"}])["id"]
    'scale 2'
    """
    if table.get("id"):
        return table
    kind = table.get("kind")
    return {**table, "id": f"{kind} {sum(other.get('kind') == kind for other in so_far)}"}


@cache
def _adapter(cls: type[Any]) -> TypeAdapter[Any]:
    return TypeAdapter(cls)
