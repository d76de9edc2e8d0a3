"""The stages of the pipeline: what each one is called, which room it lives in and what it gives.

A stage is a pure function of values. What is written here is only how a costume's brief is put to the rooms: nothing is
computed that belongs to the trade.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from firsthand.alter import Alteration
from firsthand.body import Body, Need, check_body
from firsthand.buy import BuyList, buy_list, check_budget
from firsthand.draft import Draft
from firsthand.fabric import Fabric, ShelfItem, check_fabrics
from firsthand.findings import Finding
from firsthand.fit import FitResult, Layer, fit_garment
from firsthand.fit.cloth import Cloth
from firsthand.fit.fitting import Fitting
from firsthand.fit.sizing import FormFit, SizeChoice, choose_size, compare_form
from firsthand.lay import FabricLays
from firsthand.pattern import Garment, InnerLineKind, PartState, Pattern, Piece, check_garment
from firsthand.plan import Plan, Session, make_plan
from firsthand.sheets import Results, Scope, Settings, SheetFile, index_page, make_sheets
from firsthand.steps import Machines, Step, check_steps, costume_steps
from firsthand.workroom._cache import Stage

__all__ = [
    "BODY",
    "BUY",
    "CHECK",
    "COSTUME_SHEETS",
    "CUT",
    "FIT",
    "FORM",
    "GARMENT_SHEETS",
    "INDEX",
    "LAY",
    "PLAN",
    "SIZE",
    "STEPS",
]

T = TypeVar("T")
Fits = Mapping[str, FitResult]
Fabrics = Mapping[str, Fabric]


def _body(body: Body, needed: Iterable[str]) -> tuple[Finding, ...]:
    return check_body(body, needed)


def _fit(
    garment: Garment,
    body: Body,
    alterations: tuple[Alteration, ...],
    drafts: tuple[Draft, ...],
    take_in: bool,
    shell: Fabric | None,
    beneath: Mapping[str, float],
    cloth: Cloth,
    layers: tuple[Layer, ...],
    fittings: tuple[Fitting, ...],
    states: Mapping[str, PartState],
) -> FitResult:
    return fit_garment(
        garment,
        body,
        alterations=alterations,
        drafts=drafts,
        take_in=take_in,
        beneath=beneath,
        cloth=cloth,
        layers=layers,
        fittings=fittings,
        states=states,
        along=shell.stretch_along if shell else 0.0,
        growth=shell.growth if shell else None,
        stretch=shell.stretch_across if shell else 0.0,
        thickness=shell.thickness if shell else 0.0,
    )


def _size(
    pattern: Pattern,
    body: Body,
    sort: str,
    cut: str,
    shell: Fabric | None,
    beneath: Mapping[str, float],
    wanted: Mapping[str, tuple[float, float]],
) -> SizeChoice:
    return choose_size(
        pattern,
        body,
        sort=sort,
        cut=cut,
        beneath=beneath,
        stretch=shell.stretch_across if shell else 0.0,
        thickness=shell.thickness if shell else 0.0,
        wanted=wanted,
    )


def _form(form: Body, wearer: Body) -> FormFit:
    return compare_form(form, wearer)


def _check(fit: FitResult, pattern: Pattern, fabrics: Fabrics) -> tuple[Finding, ...]:
    expected = {"expects_stretch": pattern.expects_stretch, "expects_thickness": pattern.expects_thickness}
    of_pattern, of_fabric = check_garment(fit.garment, pattern), check_fabrics(fit.garment, fabrics, **expected)
    return (*_told_once(of_pattern, fit.findings), *of_fabric, *check_steps(fit.garment))


def _told_once(of_pattern: Iterable[Finding], of_fit: Iterable[Finding]) -> tuple[Finding, ...]:
    """A seam of which the fit says since when it is off is not spoken of a second time: how grave it is, what it blocks and the
    working of the pattern's check go with what the fit says."""
    off = {finding.where for finding in of_fit if finding.code == "alteration-seam-off"}
    same = {finding.where: finding for finding in of_pattern if finding.code == "seam-length" and finding.where in off}
    told = []
    for finding in of_fit:
        other = same.get(finding.where) if finding.code == "alteration-seam-off" else None
        if other is not None:
            why = (*finding.why, *other.why)
            finding = replace(finding, severity=other.severity, blocks=finding.blocks + other.blocks, why=why)
        told.append(finding)
    return (*(finding for finding in of_pattern if finding not in same.values()), *told)


def _cut(fits: Fits, fabric: str) -> dict[str, Garment]:
    narrowed = {}
    for key, fit in fits.items():
        garment = fit.garment
        parts = tuple(part for part in garment.parts if garment.roles.get(part.role) == fabric)
        names = {part.piece for part in parts}
        if parts:
            narrowed[key] = replace(
                garment,
                pieces={name: _as_laid(piece) for name, piece in garment.pieces.items() if name in names},
                parts=parts,
                roles={role: cloth for role, cloth in garment.roles.items() if cloth == fabric},
                seams=(), levels=(), closures=(), openings=(), haberdashery=(), over=(), applied=(),
            )  # fmt: skip
    return narrowed


def _as_laid(piece: Piece) -> Piece:
    # Only what a lay can depend on is kept, so that a moved notch or level lays nothing anew.
    shape = piece.shape
    if shape is not None:
        holes = tuple(line for line in shape.lines if line.kind is InnerLineKind.CUT_OUT)
        shape = replace(shape, notches=(), darts=(), pleats=(), levels=(), lines=holes)
    return replace(piece, sizes={}, shape=shape)


def _steps(fits: Fits, fabrics: Fabrics, machines: Machines) -> tuple[Step, ...]:
    return costume_steps({key: fit.garment for key, fit in fits.items()}, fabrics, machines)


def _lay(garments: Mapping[str, Garment], fabric: Fabric, seconds: float, seed: int, workers: int) -> FabricLays:
    from firsthand.lay import lay_fabric  # loads the solvers: only when something is laid

    return lay_fabric(garments, fabric, seconds=seconds, seed=seed, workers=workers)


def _buy(
    fits: Fits,
    fabrics: Fabrics,
    lays: Mapping[str, FabricLays],
    steps: tuple[Step, ...],
    shelf: tuple[ShelfItem, ...],
    currency: str,
    budget: float,
) -> BuyList:
    garments = {key: fit.garment for key, fit in fits.items()}
    bought = buy_list(garments, fabrics, lays, steps, shelf, currency=currency)
    return replace(bought, findings=(*bought.findings, *check_budget(bought, budget))) if budget else bought


def _plan(steps: tuple[Step, ...], machines: Machines, sessions: tuple[Session, ...], due: str, order: tuple[str, ...]) -> Plan:
    return make_plan(steps, machines, sessions, due=due, garment_order=order)


def _garment_sheets(
    costume: str, wearer: str, settings: Settings, due: str, fit: FitResult, fabrics: Fabrics, findings: tuple[Finding, ...]
) -> tuple[SheetFile, ...]:
    fits = {fit.garment.id: fit}
    return make_sheets(Results(costume, wearer, settings, due, fits, fabrics, findings=findings), Scope.GARMENT)


Found = tuple[tuple[Finding, ...], ...]


def _results(
    costume: str,
    wearer: str,
    settings: Settings,
    due: str,
    fits: Fits,
    fabrics: Fabrics,
    lays: Mapping[str, FabricLays],
    bought: BuyList,
    plan: Plan,
    findings: Found,
    sizes: Mapping[str, SizeChoice],
    form: FormFit | None,
    body: Body,
    needs: Mapping[str, tuple[Need, ...]],
) -> Results:
    found = [finding for some in findings for finding in some]
    found += [finding for lay in lays.values() for finding in lay.findings]
    every = tuple(dict.fromkeys([*found, *bought.findings, *plan.findings]))
    return Results(
        costume, wearer, settings, due, fits, fabrics, lays, bought, plan, every, sizes=sizes, form=form, body=body, needs=needs
    )


def _costume_sheets(*arguments: Any) -> tuple[SheetFile, ...]:
    return make_sheets(_results(*arguments), Scope.COSTUME)


def _index(sheets: Mapping[str, tuple[SheetFile, ...]], *arguments: Any) -> tuple[SheetFile, ...]:
    listed = tuple(replace(sheet, data=b"") for made in sheets.values() for sheet in made)
    return (index_page(_results(*arguments), listed),)


BODY = Stage("body", "body", _body, tuple[Finding, ...])
SIZE = Stage("size", "fit", _size, SizeChoice)
FORM = Stage("form", "fit", _form, FormFit)
FIT = Stage("fit", "fit", _fit, FitResult)
CHECK = Stage("check", "steps", _check, tuple[Finding, ...])
STEPS = Stage("steps", "steps", _steps, tuple[Step, ...])
CUT = Stage("cut", "fit", _cut, dict[str, Garment])
LAY = Stage("lay", "lay", _lay, FabricLays)
BUY = Stage("buy", "buy", _buy, BuyList)
PLAN = Stage("plan", "plan", _plan, Plan)
GARMENT_SHEETS = Stage("sheets", "sheets", _garment_sheets, tuple[SheetFile, ...])
COSTUME_SHEETS = Stage("sheets", "sheets", _costume_sheets, tuple[SheetFile, ...])
INDEX = Stage("index", "sheets", _index, tuple[SheetFile, ...])
