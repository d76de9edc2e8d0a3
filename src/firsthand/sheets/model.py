"""What sheets are made from, and what comes out. Nothing is computed here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import ClassVar

from firsthand.body import Body, Need
from firsthand.buy.model import BuyList
from firsthand.fabric import Fabric
from firsthand.findings import Finding
from firsthand.fit.model import FitResult
from firsthand.fit.sizing.form import FormFit
from firsthand.fit.sizing.model import SizeChoice
from firsthand.lay.model import FabricLays
from firsthand.plan.model import Plan
from firsthand.registry import Registry
from firsthand.units import Unit

__all__ = ["SHEETS", "Results", "Scope", "Settings", "SheetFile", "SheetMaker"]


class Scope(StrEnum):
    """What one call of a sheet is about."""

    GARMENT = "garment"
    COSTUME = "costume"


@dataclass(frozen=True, slots=True)
class Settings:
    """How results are shown.

    Parameters
    ----------
    papers
        ``A4``, ``Letter``...: true-size sheets are made for each.
    """

    units: Unit = Unit.CM
    papers: tuple[str, ...] = ("A4",)
    currency: str = ""
    words: str = "en-GB"


@dataclass(frozen=True, slots=True)
class Results:
    """Everything the stages before found out, as far as one sheet needs it.

    For a sheet of scope ``GARMENT`` only that garment is in ``fits``, and ``lays``, ``buy``, ``plan``, ``body`` and ``needs``
    (the measurements that each garment asks for, by its id) are empty.
    """

    costume: str
    wearer: str
    settings: Settings
    due: str = ""
    fits: Mapping[str, FitResult] = field(default_factory=dict)
    fabrics: Mapping[str, Fabric] = field(default_factory=dict)
    lays: Mapping[str, FabricLays] = field(default_factory=dict)
    buy: BuyList | None = None
    plan: Plan | None = None
    findings: tuple[Finding, ...] = ()
    sizes: Mapping[str, SizeChoice] = field(default_factory=dict)
    form: FormFit | None = None
    body: Body | None = None
    needs: Mapping[str, tuple[Need, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SheetFile:
    """One file to put into ``out/``.

    Parameters
    ----------
    name
        Path below ``out/``, with ``/``.
    kind
        Name of the sheet in the registry; :func:`firsthand.sheets.make_sheets` sees to it.
    test_square
        True side of the test square on it, mm; 0 if it has none.
    findings
        What was noticed while it was made: a sheet that could not be made says so in its place.
    """

    __pydantic_config__: ClassVar[Mapping[str, str]] = {"ser_json_bytes": "base64", "val_json_bytes": "base64"}

    name: str
    kind: str
    title: str
    data: bytes
    paper: str = ""
    pages: int = 0
    test_square: float = 0.0
    findings: tuple[Finding, ...] = ()


SheetMaker = Callable[[Results], tuple[SheetFile, ...]]

SHEETS: dict[Scope, Registry[SheetMaker]] = {scope: Registry("sheet") for scope in Scope}
"""Every sheet, by what one call of it is about."""
