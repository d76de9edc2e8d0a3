"""A step before it is ordered: what it does, to which edges, as part of which chain of acts."""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.pattern import EdgeRef, Part, Piece, Seam
from firsthand.steps._view import View
from firsthand.steps.model import Place, SetUp, Step

__all__ = ["STAGES", "Work", "half_round", "label", "sewing", "touch"]

STAGES = ("prepare", "cut", "mark", "test", "fuse", "shape", "seams", "lining", "edges", "closures", "finish")
"""The phases of making, in the order in which a garment runs through them unless precedence says otherwise."""

BACK = "The iron rests on its heel, never on the cloth; hands out of the steam; off when you leave the room."


@dataclass(frozen=True, slots=True)
class Work:
    """A step with what precedence is derived from.

    Parameters
    ----------
    act
        What is done: ``seam``, ``press``, ``hem``... Rules ask for it.
    chain
        Works of one chain are done in the order in which they were made: sew, neaten, press.
    parts
        The parts concerned.
    edges
        The edges that are sewn or finished.
    seam
        The seam, for works of one seam.
    seams
        All seams that are done with this work: one, or those that are turned together.
    fabrics
        Ids of the fabrics concerned.
    """

    step: Step
    act: str
    chain: str
    parts: tuple[Part, ...] = ()
    edges: tuple[EdgeRef, ...] = ()
    seam: Seam | None = None
    fabrics: tuple[str, ...] = ()
    seams: tuple[Seam, ...] = ()

    @property
    def id(self) -> str:
        """Id of the step."""
        return self.step.id


def sewing(view: View, parts: tuple[Part, ...], *, stitch: str = "", length: float = 0.0, foot: str = "") -> SetUp:
    """The machine's set-up for parts: what their fabrics ask for, unless said otherwise."""
    told = view.advice(parts)
    return SetUp(
        stitch=stitch or told.seam_stitch,
        length=length or told.stitch_length,
        needle=told.needle,
        foot=foot or told.foot,
        thread=view.colour(parts),
    )


def half_round(piece: Piece) -> float:
    """Length sewn for a part of a card: half of what goes round it, for each seam joins two edges; mm."""
    rough = piece.rough.get(piece.size or "")
    return rough.length + rough.width if rough else 0.0


def label(part: Part) -> str:
    """A part in words: ``front left``, ``back (lining)``."""
    hand = "" if part.hand.value == "centre" else f" {part.hand.value}"
    number = f" no. {part.copy}" if part.copy != 1 else ""
    role = "" if part.role == "shell" else f" ({part.role})"
    return f"{part.piece}{hand}{number}{role}"


def touch(
    view: View,
    act: str,
    name: str,
    *,
    stage: str,
    title: str,
    place: Place,
    minutes: float,
    parts: tuple[Part, ...] = (),
    edges: tuple[EdgeRef, ...] = (),
    seam: Seam | None = None,
    seams: tuple[Seam, ...] = (),
    chain: str = "",
    setup: SetUp | None = None,
    length: float = 0.0,
    instruction: str = "",
    caution: str = "",
    wait: float = 0.0,
) -> Work:
    """Make one work on a garment; its step's id is ``garment/act/name``."""
    garment = view.garment
    fabrics = view.fabric_ids(parts)
    chain = chain or (f"seam {seam.id}" if seam is not None else f"{act} {name}")
    seams = seams or ((seam,) if seam is not None else ())
    own = {one.id for one in garment.seams}
    step = Step(
        id=f"{garment.id}/{act}/{name}" if name else f"{garment.id}/{act}",
        garment=garment.id,
        stage=stage,
        title=title,
        place=place,
        minutes=minutes,
        instruction=instruction,
        setup=setup or SetUp(),
        parts=tuple(f"{garment.id}/{part.id}" for part in parts),
        seams=tuple(one.id for one in seams if one.id in own),
        wait=wait,
        length=length,
        fabric=fabrics[0] if fabrics else "",
        caution=caution,
    )
    return Work(step, act, f"{garment.id}/{chain}", parts, edges, seam, fabrics, seams)
