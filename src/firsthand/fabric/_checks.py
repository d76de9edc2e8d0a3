"""Whether a garment's roles are bound to fabrics that can do what the pattern expects of them."""

from __future__ import annotations

import difflib
import math
from collections.abc import Collection, Iterable, Mapping

from firsthand.errors import GeometryError
from firsthand.fabric._advice import advice
from firsthand.fabric._table import SYNTHETICS
from firsthand.fabric._traits import THICKEST, has
from firsthand.fabric.model import Fabric, Rule
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.pattern import BACKINGS, Garment
from firsthand.units import Unit, format_length, said

__all__ = ["check_fabrics"]

GIRTH = 1000.0
"""A girth to show the working by, mm."""

role_unbound = kind(
    "role-unbound", Severity.FAULT,
    "Parts are cut from a role that no fabric is bound to. They cannot be laid, bought or sewn until it is.",
)  # fmt: skip
role_unused = kind(
    "role-unused", Severity.NOTE,
    "A fabric is bound to a role that no part is cut from, so it is not used. Where another role has no fabric, the name is "
    "probably misspelt.",
)  # fmt: skip
fabric_unknown = kind(
    "fabric-unknown", Severity.FAULT,
    "A role is bound to a fabric that is not on the shelf. Write the fabric's file or name another.",
)  # fmt: skip
fusible_as_cloth = kind(
    "fusible-as-cloth", Severity.FAULT,
    "A fusible is bound to a role that is seen or worn next to the iron. The glue would reach the sole plate.",
)  # fmt: skip
fabric_too_thick = kind(
    "fabric-too-thick", Severity.DOUBT,
    "The fabric is thicker than the pattern expects. Cloth of that thickness takes room inside and at every fold.",
)  # fmt: skip
fabric_thickness = kind(
    "fabric-thickness", Severity.FAULT,
    "A fabric is said to be thicker than any cloth, 25 mm. It is left out of all girths until its number is mended.",
)  # fmt: skip
thickness_unknown = kind(
    "thickness-unknown", Severity.NOTE, "The pattern expects a thin fabric and nobody measured how thick this one is."
)
stretches_too_little = kind(
    "stretches-too-little", Severity.FAULT,
    "The fabric stretches less than the pattern expects: the garment may not go on or may burst its seams.",
)  # fmt: skip
stretch_seam = kind(
    "stretch-seam", Severity.NOTE, "The fabric stretches, so its seams must: an ordinary straight seam would break."
)
fabric_nap = kind(
    "fabric-nap", Severity.NOTE, "The fabric has a nap or pile: all tops must lie one way, which takes more of it."
)
fabric_heat = kind("fabric-heat", Severity.NOTE, "The fabric takes little heat. Set the iron before it touches the cloth.")
fibre_unknown = kind("fibre-unknown", Severity.NOTE, "Nobody said what the fabric is made of, so the coolest iron is assumed.")


def check_fabrics(
    garment: Garment, fabrics: Mapping[str, Fabric], *, expects_stretch: float = 0.0, expects_thickness: float = 0.0
) -> tuple[Finding, ...]:
    """Check the fabrics that a garment's roles are bound to.

    Parameters
    ----------
    garment
        The garment with its roles.
    fabrics
        All fabrics by id.
    expects_stretch, expects_thickness
        What its pattern expects: least crosswise stretch as a share, greatest thickness in mm (0 if not said).

    Raises
    ------
    GeometryError
        If an expectation, or a number of a fabric in use, has no sense.
    """
    for name, value in (("stretch", expects_stretch), ("thickness", expects_thickness)):
        if not (math.isfinite(value) and value >= 0):
            raise GeometryError(f"a pattern cannot expect a {name} of {value}")
    findings: list[Finding] = []
    roles = dict.fromkeys(part.role for part in garment.parts)
    for role in roles:
        fabric = fabrics.get(garment.roles.get(role, ""))
        if fabric is None:
            findings.append(_unbound(garment, role))
            continue
        where = (garment.id, role)
        findings += _use(where, role, fabric)
        if fabric.thickness > THICKEST:
            words = f"{fabric.name} is said to be {said(fabric.thickness)} thick, and no cloth is thicker than {_mm(THICKEST)}"
            remedy = "Measure a stack of four layers and write a quarter of it; look at the unit."
            findings.append(fabric_thickness(words, where=where, remedy=remedy, blocks=[Block("fit", garment.id)]))
            continue
        if role not in BACKINGS:  # they neither show nor are expected to fit like the cloth before them
            findings += _thickness(where, fabric, expects_thickness)
            findings += _stretch(where, fabric, expects_stretch)
    findings += _unused(garment, roles)
    findings += _handling(garment, [fabrics[name] for name in _bound(garment, roles) if name in fabrics])
    return tuple(findings)


def _bound(garment: Garment, roles: Iterable[str]) -> Iterable[str]:
    return dict.fromkeys(garment.roles[role] for role in roles if garment.roles.get(role))


def _unbound(garment: Garment, role: str) -> Finding:
    name = garment.roles.get(role, "")
    if not name:
        count = sum(part.role == role for part in garment.parts)
        return role_unbound(
            f"{garment.name}: no fabric is bound to the role {role} ({count} part{'s' if count != 1 else ''})",
            where=(garment.id, role), remedy=f"Bind {role} to a fabric on the shelf or one to buy.",
            blocks=[Block("sew", garment.id)],
        )  # fmt: skip
    return fabric_unknown(
        f"{garment.name}: {role} is bound to {name}, which is not on the shelf",
        where=(garment.id, role), remedy=f"Enter {name} on the shelf, or bind {role} to another fabric.",
        blocks=[Block(act, name) for act in ("buy", "cut", "lay")] + [Block("sew", garment.id)],
    )  # fmt: skip


def _unused(garment: Garment, roles: Collection[str]) -> Iterable[Finding]:
    unbound = [role for role in roles if not garment.roles.get(role)]
    for role, name in garment.roles.items():
        if role not in roles:
            meant = difflib.get_close_matches(role, unbound, 1, 0.0)
            yield role_unused(
                f"{garment.name}: {role} is bound to {name}, but no part is cut from {role}",
                where=(garment.id, role), remedy=f"Did you mean {meant[0]}?" if meant else "Take it out.",
                severity=Severity.DOUBT if meant else None,
            )  # fmt: skip


def _use(where: tuple[str, ...], role: str, fabric: Fabric) -> Iterable[Finding]:
    if fabric.fusible and role not in BACKINGS:
        yield fusible_as_cloth(
            f"{fabric.name} is fusible but bound to the role {role}",
            where=where, remedy=f"Bind {role} to a cloth without glue.", blocks=[Block("cut", fabric.id)],
        )  # fmt: skip


def _thickness(where: tuple[str, ...], fabric: Fabric, expected: float) -> Iterable[Finding]:
    if not expected:
        return
    if not fabric.thickness:
        yield thickness_unknown(
            f"{fabric.name}: thickness not known, the pattern expects at most {_mm(expected)}",
            where=where, remedy="Measure a stack of four layers and write a quarter of it.",
        )  # fmt: skip
        return
    extra = fabric.thickness - expected
    if extra > 1e-9:
        yield fabric_too_thick(
            f"{fabric.name} is {_mm(fabric.thickness)} thick, the pattern expects at most {_mm(expected)}",
            where=where,
            remedy="Alter it by the kinds thickness and turn-of-cloth (`firsthand accept --cloth` does), and grade the seams.",
            why=(
                f"each layer is {_mm(extra)} thicker than meant",
                f"a tube loses 2 pi x {_mm(extra)} = {said(2 * math.pi * extra)} of room inside",
                f"an edge folded back needs about pi / 2 x {_mm(extra)} = {_mm(math.pi / 2 * extra)} more on its outer layer",
            ),
        )


def _stretch(where: tuple[str, ...], fabric: Fabric, expected: float) -> Iterable[Finding]:
    if not expected or fabric.stretch_across >= expected - 1e-9:
        return
    yield stretches_too_little(
        f"{fabric.name} stretches {fabric.stretch_across:.0%} across, the pattern expects {expected:.0%}",
        where=where, remedy="Choose a stretchier fabric or a larger size, and fit before the seams are neatened.",
        why=(
            "the least girth that still goes on is body / (1 + stretch)",
            f"for {said(GIRTH)} of body: {said(GIRTH / (1 + expected))} meant, "
            f"{said(GIRTH / (1 + fabric.stretch_across))} in this",
        ),
    )  # fmt: skip


def _handling(garment: Garment, fabrics: Iterable[Fabric]) -> Iterable[Finding]:
    for fabric in fabrics:
        told, where = advice(fabric), (garment.id, fabric.id)
        if told.stretches:
            yield stretch_seam(
                f"{fabric.name} stretches: sew it with a {told.seam_stitch} or the overlocker, needle {told.needle}",
                where=where, remedy="Try the stitch on a scrap and pull it.", why=_why(told.rules, "stitch"),
            )  # fmt: skip
        if told.nap:
            yield fabric_nap(
                f"{fabric.name} has a nap: all tops lie one way",
                where=where, remedy="Mark the direction on the back before cutting.",
            )  # fmt: skip
        if not fabric.fibre and told.heat_limit:
            yield fibre_unknown(
                f"{fabric.name}: fibre not known, iron at {told.heat}",
                where=where, remedy="Read the label, or burn a thread over water and away from the cloth.",
            )  # fmt: skip
        elif has(fabric, SYNTHETICS):
            yield fabric_heat(
                f"{fabric.name}: iron at {told.heat}",
                where=where, remedy="The garment's own label wins. Try a scrap first.", why=_why(told.rules, "heat"),
            )  # fmt: skip


def _why(rules: Iterable[Rule], topic: str) -> tuple[str, ...]:
    return tuple(f"{rule.says} ({rule.source})" for rule in rules if rule.topic == topic)


def _mm(value: float) -> str:
    """A thickness: millimetres in the trade, whatever the reader's units."""
    return format_length(value, Unit.MM)
