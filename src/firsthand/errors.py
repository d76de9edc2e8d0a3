"""Every error a user can cause.

The tree::

    FirsthandError                      catch this one to catch all of them
    ├── BadInput        (ValueError)    files or options that cannot be understood; carries every problem at once
    │   └── NewerSchema                 written by a newer firsthand: refused politely
    ├── GeometryError   (ValueError)    numbers or shapes that have no sense: NaN, a negative width, an empty path
    ├── CannotAlter     (ValueError)    an alteration that cannot be done, and how much of it could be
    ├── NotThere        (LookupError)   a name that nothing answers to: a garment, an edge, a measurement
    │   └── NothingToTakeBack           no save is left to take back
    ├── Blocked                         something asked for is blocked by findings
    ├── NotSaved        (OSError)       a save that could not be written: a full disk, a folder that cannot be written
    └── Conflict        (OSError)       somebody else changed or holds the workroom
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = [
    "BadInput",
    "Blocked",
    "CannotAlter",
    "Conflict",
    "FirsthandError",
    "GeometryError",
    "NewerSchema",
    "NotSaved",
    "NotThere",
    "NothingToTakeBack",
    "Problem",
    "nearest_names",
]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong in one place.

    Parameters
    ----------
    file
        The file, relative to the workroom where there is one; empty for an option of a command.
    place
        Where in the file: a key path such as ``garment[1].size``, or ``line 12``.
    found
        The value that was found, as it was written.
    expected
        What would have been understood.
    remedy
        What to do about it, in one short sentence.

    Examples
    --------
    >>> print(Problem("costume.toml", "garment[1].size", "'XM'", "one of S, M, L", "Write one of these sizes."))
    costume.toml, garment[1].size: found 'XM', expected one of S, M, L. Write one of these sizes.
    """

    file: str
    place: str
    found: str
    expected: str
    remedy: str

    def __str__(self) -> str:
        where = ", ".join(part for part in (self.file, self.place) if part)
        return f"{where}: found {self.found}, expected {self.expected}. {self.remedy}"


class FirsthandError(Exception):
    """The root of all errors of this package; ``remedy`` says what to do about it in one sentence, where that is known."""

    remedy: str = ""


class BadInput(FirsthandError, ValueError):
    """Input that cannot be understood; all problems of it at once.

    Parameters
    ----------
    problems
        Everything that is wrong, in the order in which it was met.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: Sequence[Problem] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class NewerSchema(BadInput):
    """A file written by a newer version of firsthand."""


class GeometryError(FirsthandError, ValueError):
    """A shape or number without sense."""


class CannotAlter(FirsthandError, ValueError):
    """An alteration that cannot be done.

    Parameters
    ----------
    message
        What cannot be done and why, with the most that could be done.
    remedy
        What to do about it, in one short sentence; empty if the message says it all.
    """

    def __init__(self, message: str, remedy: str = "") -> None:
        self.remedy = remedy
        super().__init__(message)


def nearest_names(name: str, known: Iterable[str], most: int = 2) -> tuple[str, ...]:
    """The names that were probably meant by one that nothing answers to; none if none is near.

    Examples
    --------
    >>> nearest_names("waistt", ["bust", "waist", "hip"]), nearest_names("Upper_arm", ["upper arm"])
    (('waist',), ('upper arm',))
    >>> nearest_names("arm", ["upper arm", "hip"]), nearest_names("sleeve", ["hip"])
    (('upper arm',), ())
    """
    plain = {other: _plain_name(other) for other in known}
    asked = _plain_name(name)
    if not asked:
        return ()
    close = difflib.get_close_matches(asked, plain.values(), most)
    words = set(asked.split())
    found = [other for near in close for other, said in plain.items() if said == near]
    found = found or [other for other, said in plain.items() if words < set(said.split()) or set(said.split()) < words]
    return tuple(dict.fromkeys(found))[:most]


def _plain_name(name: str) -> str:
    return " ".join(re.sub(r"[-_.]", " ", name).lower().split())


class NotThere(FirsthandError, LookupError):
    """A name that nothing answers to.

    Parameters
    ----------
    what
        The sort of thing looked for, as ``edge`` or ``garment``.
    name
        The name asked for.
    known
        The names that would have been found.
    """

    def __init__(self, what: str, name: str, known: Iterable[str] = ()) -> None:
        self.what, self.name, self.known = what, name, tuple(dict.fromkeys(known))
        near = nearest_names(name, self.known)
        self.remedy = f"Did you mean {what} {' or '.join(near)}?" if near else "Name what is there."
        there = f"; there is {', '.join(self.known)}" if self.known else ""
        super().__init__(f"there is no {what} called {name!r}{there}")


class NothingToTakeBack(NotThere):
    """No save is left that could be taken back; the one that made the workroom stays."""

    def __init__(self) -> None:
        super().__init__("save", "")
        self.args = ("there is nothing to take back: the save that made the workroom stays",)
        self.remedy = ""


class Blocked(FirsthandError):
    """Something asked for is blocked by findings."""


class Conflict(FirsthandError, OSError):
    """Somebody else changed, or is changing, the workroom."""


class NotSaved(FirsthandError, OSError):
    """A save that could not be written.

    Parameters
    ----------
    message
        What went wrong and what to do.
    recorded
        Whether the save is recorded and will be finished by itself; otherwise nothing was changed.
    """

    def __init__(self, message: str, *, recorded: bool = False) -> None:
        self.recorded = recorded
        super().__init__(message)
