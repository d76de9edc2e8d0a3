"""The catalogue of faults, read from the table beside this file."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from firsthand.fit.faults.model import Cause, Fault, Mark, MarkKind, Mend, View

__all__ = ["faults"]


@functools.cache
def faults() -> Mapping[str, Fault]:
    """All faults by id, from the neck down.

    Examples
    --------
    >>> faults()["hood-pulls-back"].causes[0].words
    'too short over the head'
    """
    text = files("firsthand.fit.faults").joinpath("faults.toml").read_text(encoding="utf-8")
    return MappingProxyType({entry["id"]: _fault(entry) for entry in tomllib.loads(text)["fault"]})


def _fault(entry: dict[str, Any]) -> Fault:
    return Fault(
        id=entry["id"],
        sees=entry["sees"],
        view=View(entry["view"]),
        marks=tuple(_mark(mark) for mark in entry["marks"]),
        families=tuple(entry["families"]),
        causes=tuple(_cause(cause) for cause in entry["cause"]),
        source=entry["source"],
        caution=entry.get("caution", ""),
    )


def _mark(entry: dict[str, Any]) -> Mark:
    points = tuple((float(x), float(y)) for x, y in entry["points"])
    return Mark(MarkKind(entry["kind"]), points, mirrored=not entry.get("once", False))


def _cause(entry: dict[str, Any]) -> Cause:
    return Cause(entry["words"], entry["sure"], tuple(Mend(**mend) for mend in entry["mend"]))
