"""Named things of one sort: alterations, drafted pieces, sheets, checks.

A registry lives in the room it belongs to. An entry registers itself with a decorator when its module is imported, and the
room's ``__init__`` imports the module: that import is the one line of registration.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Generic, TypeVar

from firsthand.errors import NotThere

__all__ = ["Registry"]

T = TypeVar("T")
U = TypeVar("U")


class Registry(Generic[T]):
    """Entries by name, in the order in which they registered.

    Parameters
    ----------
    what
        What an entry is called in an error message.

    Examples
    --------
    >>> hems: Registry[object] = Registry("hem")
    >>> @hems.register("rolled")
    ... def rolled() -> None: ...
    >>> list(hems), hems["rolled"] is rolled
    (['rolled'], True)
    """

    def __init__(self, what: str) -> None:
        self._what = what
        self._entries: dict[str, T] = {}

    def register(self, name: str) -> Callable[[U], U]:
        """A decorator that enters what it decorates under a name.

        Raises
        ------
        ValueError
            If the name is taken.
        """
        if name in self._entries:
            raise ValueError(f"there is already a {self._what} called {name!r}")

        def enter(entry: U) -> U:
            self._entries[name] = entry  # type: ignore[assignment]  # a decorator must give back exactly what it got
            return entry

        return enter

    def __getitem__(self, name: str) -> T:
        if name not in self._entries:
            raise NotThere(self._what, name, self._entries)
        return self._entries[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)

    def items(self) -> Iterator[tuple[str, T]]:
        """Names with their entries."""
        return iter(self._entries.items())
