"""What a pattern and a garment are made of: pieces, parts, edges, seams. Knows no files.

Two ways of naming a stretch of boundary run through everything:

* an :class:`Edge` belongs to a piece and is named by its id within that piece;
* an :class:`EdgeRef` names an edge of one *part*: piece, hand, role and copy as well.

A pair is one piece and two parts. A piece is drawn as seen from the face of the fabric and, unless it says otherwise, as
worn on the wearer's right; the left part is its mirror image. A piece cut on the fold is stored as its half, the right one;
its part has the hand ``CENTRE``, and an :class:`EdgeRef` into it says with ``RIGHT`` or ``LEFT`` which half of the
opened-out part it means.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from firsthand.errors import NotThere
from firsthand.pattern.shape import (
    Corner,
    CornerShape,
    Dart,
    Edge,
    Fate,
    FateKind,
    Ground,
    Hand,
    InnerLine,
    InnerLineKind,
    LevelLine,
    Notch,
    NotchKind,
    Pleat,
    PleatKind,
    Pressed,
    Profile,
    Shape,
)

__all__ = [
    "Applied",
    "Closure",
    "ClosureKind",
    "Condition",
    "Corner",
    "CornerShape",
    "Cut",
    "Dart",
    "Edge",
    "EdgeRef",
    "Fate",
    "FateKind",
    "Garment",
    "Ground",
    "Haberdashery",
    "Hand",
    "How",
    "InnerLine",
    "InnerLineKind",
    "Level",
    "LevelLine",
    "Notch",
    "NotchKind",
    "Opening",
    "Part",
    "PartState",
    "Pattern",
    "Piece",
    "Pleat",
    "PleatKind",
    "Pressed",
    "PrintedScale",
    "Profile",
    "Rough",
    "Seam",
    "SeamKind",
    "Shape",
]


class PartState(StrEnum):
    """How far a part is."""

    PLANNED = "planned"
    HELD_BACK = "held back"
    CUT = "cut"
    SEWN = "sewn"


class How(StrEnum):
    """How copies of a piece are cut."""

    PAIR = "pair"
    """A left and a right for each count."""
    FOLD = "fold"
    """Opened out along its fold edge."""
    SINGLE = "single"
    """As drawn."""


@dataclass(frozen=True, slots=True)
class Cut:
    """How many of a piece are cut of what: ``count`` pairs, opened-out pieces or single ones."""

    role: str
    how: How = How.PAIR
    count: int = 1


class Condition(StrEnum):
    """What became of a printed piece before it came here."""

    WHOLE = "whole"
    TORN = "torn"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class Rough:
    """Size of a piece that is only a card, with allowances: along the grain x across it, mm (opened out if on the fold)."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One flat shape of a pattern; without a shape it is only a card.

    Parameters
    ----------
    id, number, name
        Stable id, the number printed on it, its name.
    cuts
        What is cut of it.
    rough
        Its rough size for each size of the pattern, for pieces that are only cards.
    sizes
        The outlines as they were bought, one for each size still there.
    size
        The size chosen; None before a choice.
    shape
        The outline as altered so far; None for a card.
    fold
        The id of the edge that lies on the fold; empty if none.
    drawn
        The hand it is drawn for.
    condition
        What became of the printed piece.
    turning
        Whether it may lie upside down (turned by half a circle) on a fabric without nap.
    grain_tolerance
        How far the grain may be off, radians.
    part_of
        Id of the bought piece of which it is only a part since that was split: ``sizes`` are the outlines of the whole.
    joined
        Pieces that were joined to it, each as it was just before, with their own bought outlines.
    """

    id: str
    number: str
    name: str
    cuts: tuple[Cut, ...]
    rough: Mapping[str, Rough] = field(default_factory=dict)
    sizes: Mapping[str, Shape] = field(default_factory=dict)
    size: str | None = None
    shape: Shape | None = None
    fold: str = ""
    drawn: Hand = Hand.RIGHT
    condition: Condition = Condition.WHOLE
    turning: bool = True
    grain_tolerance: float = 0.0
    part_of: str = ""
    joined: tuple[Piece, ...] = ()

    @property
    def bought(self) -> Shape | None:
        """The outline of the chosen size as it was bought."""
        return self.sizes.get(self.size) if self.size else None

    @property
    def is_card(self) -> bool:
        """Whether it has no outline yet."""
        return self.shape is None

    def in_size(self, size: str) -> Piece:
        """The piece in a size, unaltered; a card if that size has no outline."""
        return replace(self, size=size, shape=self.sizes.get(size))

    @property
    def drawn_shape(self) -> Shape:
        """The shape.

        Raises
        ------
        NotThere
            If the piece is only a card.
        """
        if self.shape is None:
            raise NotThere("outline", self.id)
        return self.shape


@dataclass(frozen=True, slots=True, order=True)
class EdgeRef:
    """An edge of one part. On a piece cut on the fold the hand says which half."""

    piece: str
    edge: str
    hand: Hand = Hand.CENTRE
    role: str = "shell"
    copy: int = 1

    def __str__(self) -> str:
        words = [f"{self.piece}.{self.edge}"]
        words += [self.hand.value] if self.hand is not Hand.CENTRE else []
        words += [self.role] if self.role != "shell" else []
        words += [f"no. {self.copy}"] if self.copy != 1 else []
        return " ".join(words)


class SeamKind(StrEnum):
    """How two edges are joined."""

    PLAIN = "plain"
    GATHERED = "gathered"
    PLEATED = "pleated"
    STRETCHED = "stretched"
    LAPPED = "lapped"


@dataclass(frozen=True, slots=True)
class Seam:
    """Joins edges of parts: the chain ``a`` to the chain ``b``, both in the order in which they are sewn.

    The seam fits when ``sewn length of a == ratio * sewn length of b + easing``, within ``tolerance``. All edges of a
    chain are walked the same way round their parts; which way is seen from their order.

    Parameters
    ----------
    easing
        How much longer ``a`` is and is eased in, mm.
    ratio
        Fullness of a gathered ``a``, or below 1 for an ``a`` that is stretched to ``b``.
    reverse_b
        Two edges that both run counter-clockwise round their parts meet head to tail, so ``b`` is walked backwards;
        False where that is not so (a lapped band laid on top).
    after
        Ids of seams that must be sewn before, beyond what the geometry tells.
    """

    id: str
    a: tuple[EdgeRef, ...]
    b: tuple[EdgeRef, ...]
    kind: SeamKind = SeamKind.PLAIN
    easing: float = 0.0
    ratio: float = 1.0
    tolerance: float = 1.5
    reverse_b: bool = True
    take_in: bool = False
    """Whether the fit may be changed here."""
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Level:
    """A line across parts at a body landmark, along which the finished girth is summed.

    Parameters
    ----------
    body
        Key of the body measurement it is compared with.
    limb
        Whether there is one on each side of the body (thigh, wrist); the girth is then that of one side.
    extra
        What a closure adds (a laced gap) or takes (an overlap), mm.
    """

    id: str
    name: str
    body: str
    limb: bool = False
    extra: float = 0.0


class ClosureKind(StrEnum):
    """What a closure is."""

    BUTTONS = "buttons"
    LACING = "lacing"
    DRAWSTRING = "drawstring"
    CLASP = "clasp"
    HOOKS = "hooks"
    SNAPS = "snaps"
    ZIP = "zip"
    ELASTIC = "elastic"
    TAPE = "hook-and-loop"


@dataclass(frozen=True, slots=True)
class Closure:
    """How an opening is closed.

    Parameters
    ----------
    edges
        The edges that meet in it.
    count
        Buttons, hooks, pairs of eyelets.
    overlap
        How far one side lies over the other, mm; negative for a gap left open by lacing.
    alone
        Whether the wearer can close it without help.
    parts_under_pull
        Whether it comes apart when it is pulled hard; wanted for anything round the neck.
    at_neck
        Whether it closes round the neck.
    """

    id: str
    kind: ClosureKind
    edges: tuple[EdgeRef, ...] = ()
    count: int = 0
    overlap: float = 0.0
    alone: bool = True
    parts_under_pull: bool = False
    at_neck: bool = False


@dataclass(frozen=True, slots=True)
class Opening:
    """A hole that stays when all seams are sewn: its edges, in any order, and the closure that shuts it, if any."""

    id: str
    edges: tuple[EdgeRef, ...]
    closure: str = ""


@dataclass(frozen=True, slots=True)
class Applied:
    """A piece laid flat on the face of another one and sewn down: a pocket, a badge, a patch.

    Parameters
    ----------
    piece
        The piece that is laid on.
    onto
        The piece that it is laid on.
    line
        Id of the inner line of ``onto`` that shows where; empty if nothing does.
    role
        The role of the parts of ``onto`` that carry it.
    hand
        The hand of ``onto`` that carries it, for one of which there is only one; centre where each lies on the part of its own
        hand, or there is only one part beneath.
    """

    piece: str
    onto: str
    line: str = ""
    role: str = "shell"
    hand: Hand = Hand.CENTRE


@dataclass(frozen=True, slots=True)
class Haberdashery:
    """Something small that a pattern needs.

    Parameters
    ----------
    kind
        ``button``, ``eyelet``, ``cord``, ``elastic``, ``hook``, ``clasp``, ``ribbon``, ``tape``...
    count
        How many pieces.
    length
        Total length of what is sold by length, mm.
    size
        As it is asked for in a shop: ``15 mm``, ``6 mm brass``.
    """

    kind: str
    count: int = 0
    length: float = 0.0
    size: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class PrintedScale:
    """A test line: what it says it measures and what a ruler says, mm."""

    printed: float
    measured: float


@dataclass(frozen=True, slots=True)
class Pattern:
    """A set of pieces in one or more sizes.

    Parameters
    ----------
    sizes
        All sizes printed on the envelope, smallest first.
    trimmed
        Those that are no longer on the paper.
    chart
        Body measurements each size is meant for, mm by key.
    expects_stretch
        Least crosswise stretch of the fabric it was made for, as a share.
    expects_thickness
        Greatest thickness of that fabric, mm; 0 if not said.
    haberdashery
        What else it needs.
    applied
        Pieces that are laid on others.
    """

    id: str
    name: str
    sizes: tuple[str, ...]
    pieces: Mapping[str, Piece]
    seams: tuple[Seam, ...] = ()
    levels: tuple[Level, ...] = ()
    closures: tuple[Closure, ...] = ()
    openings: tuple[Opening, ...] = ()
    haberdashery: tuple[Haberdashery, ...] = ()
    chart: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    trimmed: tuple[str, ...] = ()
    scale: PrintedScale | None = None
    expects_stretch: float = 0.0
    expects_thickness: float = 0.0
    applied: tuple[Applied, ...] = ()


@dataclass(frozen=True, slots=True, order=True)
class Part:
    """One cut instance of a piece.

    Examples
    --------
    >>> Part("front", Hand.LEFT, "lining").id
    'front left lining'
    """

    piece: str
    hand: Hand
    role: str
    copy: int = 1
    state: PartState = PartState.PLANNED

    @property
    def id(self) -> str:
        """Stable id."""
        number = f" no. {self.copy}" if self.copy != 1 else ""
        return f"{self.piece} {self.hand.value} {self.role}{number}"


@dataclass(frozen=True, slots=True)
class Garment:
    """One thing worn: a pattern in a size, its roles bound to fabrics, with all its parts.

    Parameters
    ----------
    roles
        The fabric's id for each role.
    cut
        How closely it is meant to sit: ``skin-tight``, ``close``, ``semi-fitted``, ``loose`` or ``over-garment``.
    sort
        What sort of garment it is for tables of ease: ``hose``, ``jerkin``, ``shirt``, ``skirt``, ``cape``, ``hood``...
    over
        Ids of garments that are worn beneath it.
    applied
        Pieces that are laid on others.
    sizes
        All sizes of the pattern, smallest first.
    chart
        Body measurements each of them is meant for, mm by key.
    wanted
        Ease that was asked for, least and most, mm, by level or body measurement; it stands above the tables'.
    """

    id: str
    name: str
    pattern: str
    size: str
    pieces: Mapping[str, Piece]
    parts: tuple[Part, ...]
    seams: tuple[Seam, ...] = ()
    levels: tuple[Level, ...] = ()
    closures: tuple[Closure, ...] = ()
    openings: tuple[Opening, ...] = ()
    haberdashery: tuple[Haberdashery, ...] = ()
    roles: Mapping[str, str] = field(default_factory=dict)
    cut: str = "semi-fitted"
    sort: str = ""
    over: tuple[str, ...] = ()
    applied: tuple[Applied, ...] = ()
    sizes: tuple[str, ...] = ()
    chart: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    wanted: Mapping[str, tuple[float, float]] = field(default_factory=dict)

    def piece(self, name: str) -> Piece:
        """The piece with an id.

        Raises
        ------
        NotThere
            If there is none.
        """
        if name not in self.pieces:
            raise NotThere("piece", name, self.pieces)
        return self.pieces[name]

    def with_piece(self, piece: Piece) -> Garment:
        """The same garment with the piece of that id put in or exchanged."""
        return replace(self, pieces={**self.pieces, piece.id: piece})

    def parts_of(self, piece: str) -> tuple[Part, ...]:
        """All parts cut from a piece."""
        return tuple(part for part in self.parts if part.piece == piece)
