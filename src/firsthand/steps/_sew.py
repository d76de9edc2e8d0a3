"""Works of seams: quarter marks, gathering threads, the seam, its neatening, its pressing; linings; cards."""

from __future__ import annotations

from collections.abc import Iterator

from firsthand.pattern import EdgeRef, FateKind, Part, Seam, SeamKind
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import Work, half_round, label, sewing, touch
from firsthand.steps.model import Place, SetUp
from firsthand.units import said

__all__ = ["is_bagged", "seaming"]

EASED = 5.0
"""From this much longer a side is eased in rather than just pinned, mm (common practice)."""

GATHERING = 4.5
"""Length of gathering stitches, mm. Source: easysewingtechniques; craftandfabriclinks ch. 5 (4-5 mm)."""

JOINS = {
    SeamKind.PLAIN: "right sides together, notches matched",
    SeamKind.GATHERED: "right sides together, quarter marks matched, gathers drawn up and spread between them",
    SeamKind.PLEATED: "right sides together, pleats laid as basted",
    SeamKind.STRETCHED: "right sides together, quarter marks matched, the shorter side stretched to the longer",
    SeamKind.LAPPED: "the finished edge laid on top, stitched from outside close to it",
}


def seaming(view: View) -> Iterator[Work]:
    """The works of all seams, of cards that no seam names, and of the lining."""
    for seam in view.seams:
        yield from _seam(view, seam)
    yield from _turning(view)
    yield from _cards(view)
    yield from _lining(view)


def _seam(view: View, seam: Seam) -> Iterator[Work]:
    edges = (*seam.a, *seam.b)
    parts = view.parts_of(edges)
    length = view.seam_length(seam)
    stage = "lining" if parts and all(part.role == "lining" for part in parts) else "seams"
    if seam.kind in (SeamKind.GATHERED, SeamKind.STRETCHED):
        yield _quarters(view, seam, parts)
    if seam.kind is SeamKind.GATHERED:
        yield _gathering(view, seam)
    yield touch(
        view,
        "seam",
        seam.id,
        stage=stage,
        title=f"Sew {seam.id}",
        place=Place.MACHINE,
        parts=parts,
        edges=edges,
        seam=seam,
        minutes=minutes(_sort(seam), length=length),
        setup=sewing(view, parts),
        length=length,
        instruction=_how(view, seam),
        caution="Try how far it stretches before the stitching: it must still go on."
        if seam.kind is SeamKind.STRETCHED
        else "",
    )
    if not view.is_turned(seam):
        yield from _neatening(view, seam, parts, stage)
        yield _pressing(view, seam, parts, stage)


def _sort(seam: Seam) -> str:
    if seam.kind is SeamKind.PLAIN:
        return "seam eased" if abs(seam.easing) > EASED else "seam"
    return f"seam {seam.kind.value}"


def _how(view: View, seam: Seam) -> str:
    a, b = (", ".join(label(part) for part in view.parts_of(side)) or "nothing" for side in (seam.a, seam.b))
    edge = next((edge for edge in map(view.edge, (*seam.a, *seam.b)) if edge is not None), None)
    words = [f"{a} to {b}: {JOINS[seam.kind]}"]
    words += [f"{said(edge.allowance)} from the edge"] if edge else []
    words += [f"ease in {said(seam.easing)}"] if abs(seam.easing) > EASED else []
    return ", ".join(words) + "."


def _quarters(view: View, seam: Seam, parts: tuple[Part, ...]) -> Work:
    return touch(
        view,
        "quarter",
        seam.id,
        stage="shape",
        title=f"Quarter {seam.id}",
        place=Place.TABLE,
        parts=parts,
        seam=seam,
        edges=(*seam.a, *seam.b),
        minutes=minutes("quarter"),
        instruction="Mark both sides in quarters, or halves if short.",
    )


def _gathering(view: View, seam: Seam) -> Work:
    length = sum(edge.path.length for edge in map(view.edge, seam.a) if edge is not None)
    parts = view.parts_of(seam.a)
    return touch(
        view,
        "gather",
        seam.id,
        stage="shape",
        title=f"Run gathering threads: {seam.id}",
        place=Place.MACHINE,
        parts=parts,
        seam=seam,
        edges=seam.a,
        minutes=minutes("gather", length=length),
        length=2 * length,
        setup=sewing(view, parts, stitch="straight", length=GATHERING),
        instruction=f"Two rows either side of the line, {GATHERING} mm stitch, loose upper thread, broken at quarter marks.",
    )


def _neatening(view: View, seam: Seam, parts: tuple[Part, ...], stage: str) -> Iterator[Work]:
    if stage == "lining" or view.has_lining(parts) or not parts:
        return
    told = [view.told[part.role] for part in parts]
    frays = next((one for one in told if one.neaten), None)
    if frays is None:
        return
    together = frays.stretches or seam.kind is not SeamKind.PLAIN
    length = view.seam_length(seam) * (1 if together else 2)
    place = Place.OVERLOCKER if view.machines.overlocker else Place.MACHINE
    foot = "" if place is Place.OVERLOCKER else frays.foot
    needle = "" if place is Place.OVERLOCKER else frays.needle
    how = "Both allowances together." if together else "Each allowance for itself, the fabric's face up."
    yield touch(
        view,
        "neaten",
        seam.id,
        stage=stage,
        title=f"Neaten {seam.id}",
        place=place,
        parts=parts,
        edges=(*seam.a, *seam.b),
        seam=seam,
        minutes=minutes("neaten", length=length),
        length=length,
        instruction=how,
        setup=SetUp(stitch=frays.neaten, needle=needle, foot=foot, thread=view.colour(parts)),
        caution="The overlocker's knife cuts: nothing of the garment under it, pins out." if place is Place.OVERLOCKER else "",
    )


def _pressing(view: View, seam: Seam, parts: tuple[Part, ...], stage: str) -> Work:
    told = view.advice(parts)
    opened = seam.kind is SeamKind.PLAIN and not told.stretches
    how = f"Flat as sewn, then {'open' if opened else 'to one side'}; clip where it curves."
    return touch(
        view,
        "press",
        seam.id,
        stage=stage,
        title=f"Press {seam.id}",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=(*seam.a, *seam.b),
        seam=seam,
        minutes=minutes("press", length=view.seam_length(seam)),
        setup=SetUp(heat=told.heat),
        instruction=f"{how} {told.pressing[:1].upper()}{told.pressing[1:]}.",
        caution=f"No hotter than {told.heat}." if 0 < told.heat_limit <= 110 else "",
    )


def _turning(view: View) -> Iterator[Work]:
    """Turned seams that share a part are turned together."""
    left = [seam for seam in view.seams if view.is_turned(seam)]
    while left:
        together, left = [left[0]], left[1:]
        for seam in together:
            parts = set(view.parts_of((*seam.a, *seam.b)))
            joined = [other for other in left if not parts.isdisjoint(view.parts_of((*other.a, *other.b)))]
            together += joined
            left = [other for other in left if other not in joined]
        yield _turn(view, tuple(together))


def _turn(view: View, seams: tuple[Seam, ...]) -> Work:
    edges = tuple(ref for seam in seams for ref in (*seam.a, *seam.b))
    parts = view.parts_of(edges)
    told = view.advice(parts)
    return touch(
        view,
        "turn",
        seams[0].id,
        stage="seams",
        title=f"Turn and press {', '.join(seam.id for seam in seams)}",
        place=Place.IRON if told.heat_limit else Place.HAND,
        parts=parts,
        edges=edges,
        seams=seams,
        chain=f"turn {seams[0].id}",
        minutes=minutes("turn", length=sum(view.seam_length(seam) for seam in seams)),
        setup=SetUp(heat=told.heat),
        instruction="Grade and clip the allowances, trim the corners, turn, understitch where you can, roll the edge, press. "
        f"{told.pressing[:1].upper()}{told.pressing[1:]}.",
    )


def _cards(view: View) -> Iterator[Work]:
    """Pieces without an outline that no seam names: at least their making up is not forgotten."""
    named = {ref.piece for seam in view.garment.seams for ref in (*seam.a, *seam.b)}
    for piece in view.garment.pieces.values():
        parts = tuple(part for part in view.garment.parts_of(piece.id) if part.role not in INNER)
        if piece.shape is None and piece.id not in named | view.laid_on and parts:
            yield touch(
                view,
                "make",
                piece.id,
                stage="seams",
                title=f"Make up {piece.name}",
                place=Place.MACHINE,
                parts=parts,
                minutes=minutes("make"),
                setup=sewing(view, parts),
                length=len(parts) * half_round(piece),
                instruction=f"Sew {', '.join(label(part) for part in parts)} as the pattern's own sheet says, and join it on.",
            )


def _lining(view: View) -> Iterator[Work]:
    lining = tuple(part for part in view.garment.parts if part.role == "lining")
    joined = any(len({ref.role for ref in (*seam.a, *seam.b)} & {"shell", "lining"}) == 2 for seam in view.garment.seams)
    if not lining or joined:
        return
    edges = tuple(ref for part in view.garment.parts if part.role == "shell" for ref in view.refs(part) if is_bagged(view, ref))
    twins = {(part.piece, part.copy) for part in lining}
    shell = tuple(part for part in view.garment.parts if part.role == "shell" and (part.piece, part.copy) in twins)
    length = view.length(edges)
    parts = (*shell, *lining)
    along = ", ".join(dict.fromkeys(ref.edge for ref in edges))
    yield touch(
        view,
        "join",
        "lining",
        stage="lining",
        title="Join the lining",
        place=Place.MACHINE if edges else Place.HAND,
        parts=parts,
        edges=edges,
        minutes=minutes("join", length=length),
        length=length,
        chain="join lining",
        setup=sewing(view, parts) if edges else SetUp(stitch="hand fell"),
        instruction=f"Right sides together along {along}; leave the hem open to turn."
        if edges
        else "Wrong sides together, felled in.",
    )
    yield touch(
        view,
        "press join",
        "lining",
        stage="lining",
        title="Turn, understitch and press the lining",
        place=Place.IRON,
        parts=parts,
        edges=edges,
        minutes=minutes("turn", length=length),
        setup=SetUp(heat=view.advice(parts).heat),
        chain="join lining",
        instruction="Grade and clip, turn through the hem, understitch as far as the foot goes, roll the seam to the inside.",
    )


def is_bagged(view: View, ref: EdgeRef) -> bool:
    """Whether a shell edge is closed by joining the lining to it."""
    part = view.part(ref)
    return part is not None and view.has_lining([part]) and view.fate(ref) is FateKind.FACING
