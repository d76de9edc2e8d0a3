"""The fit stage: alterations, the proposed taking in, drafted pieces, and the ease before and after."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from firsthand.alter import Alteration, StackResult, Stage, TakeIn, apply_stack, corners_off, seams_off
from firsthand.body import Body
from firsthand.draft import Draft, add_drafting
from firsthand.errors import FirsthandError
from firsthand.findings import Block, Finding, Severity, kind
from firsthand.fit._bands import NECK_KEYS
from firsthand.fit._ease import band_findings, ease_table, lower_first, squeezed
from firsthand.fit._lengths import length_findings, length_table
from firsthand.fit.cloth import Cloth, cloth_fit
from firsthand.fit.fitting import Fitted, Fitting, alterations_of, ease_changes, fitted, unknown_states, with_states
from firsthand.fit.model import ClothFit, EaseBand, EaseRow, FitResult, Layer, Proposal, Verdict
from firsthand.fit.solving import alteration_of, others, propose
from firsthand.fit.wearing import wearing
from firsthand.pattern import Garment, PartState, Shape
from firsthand.units import said

__all__ = ["fit_garment"]

TIGHT = kind(
    "ease-tight",
    Severity.DOUBT,
    "A garment has less ease at a level than its sort and cut want; a fault, which blocks cutting, where it could not be "
    "closed or put on at all: smaller than the body even with the cloth at full stretch, or smaller than the neck. Let it "
    "out, take a larger size or a cloth that stretches more.",
)
LOOSE = kind(
    "ease-loose",
    Severity.DOUBT,
    "A garment has more ease at a level than its sort and cut want. Take it in, take a smaller size, or say that it is "
    "meant to sit more loosely.",
)
TOO_FAR_FINDING = kind(
    "fit-too-far",
    Severity.DOUBT,
    "What would have to be taken in or let out is more than three steps between sizes: the shape of the pattern would be lost, "
    "and parts whose girth is not known would be altered with it. It is not done by itself. Choose another size or pattern "
    "first (`firsthand size`); what is wanted all the same can be accepted or written by hand.",
)
TOO_FAR = 180.0
"""Of girth, mm: three of the larger steps between sizes (EN 13402-3: 40 mm, larger sizes 60 mm at the bust)."""
PROPOSED = kind(
    "take-in-proposed",
    Severity.NOTE,
    "Taking in or letting out at the seams that may be moved would bring the ease nearer to what is wanted. It is applied when "
    "the garment's brief says so, and written into the costume's file by `firsthand accept`.",
)
DRAFT_REFUSED = kind(
    "draft-refused",
    Severity.FAULT,
    "A piece could not be drafted, because a number of it has no sense or it follows something that is not there. It was left "
    "out. Correct its number, or name what is there.",
)
DRAFT_REPLACES = kind(
    "draft-replaces",
    Severity.DOUBT,
    "A drafted piece has the id of a piece that has an outline already, and takes its place; its edges and marks go with it. "
    "Give the drafted piece an id of its own, unless it is meant to take that place.",
)


def fit_garment(
    garment: Garment,
    body: Body,
    *,
    alterations: Iterable[Alteration] = (),
    drafts: Iterable[Draft] = (),
    take_in: bool = False,
    keep: Iterable[str] = (),
    beneath: Mapping[str, float] | None = None,
    stretch: float = 0.0,
    thickness: float = 0.0,
    along: float = 0.0,
    growth: float | None = None,
    layers: Sequence[Layer] = (),
    cloth: Cloth | None = None,
    fittings: Sequence[Fitting] = (),
    states: Mapping[str, PartState] | None = None,
) -> FitResult:
    """Alter, fit and complete a garment.

    The alterations come first, then, if asked for, the taking in that is proposed, then what the fittings found, then the
    drafted pieces, which follow the edges as they are by then.

    Parameters
    ----------
    garment, body
        The garment as bought in its size, and who wears it.
    alterations, drafts
        In order.
    take_in
        Whether the proposed taking in is applied.
    keep
        Ids of seams that the proposal must not move.
    beneath, stretch, thickness, layers
        See :func:`ease_table`.
    along, growth
        See :func:`firsthand.fit.wearing.wearing`.
    cloth
        The cloth of its shell and what the pattern expects of one: see :func:`firsthand.fit.cloth.cloth_fit`.
    fittings
        In order.
    states
        How far the parts are: see :func:`firsthand.fit.fitting.with_states`.
    """
    garment = with_states(garment, states or {})
    table = partial(ease_table, body=body, beneath=beneath or {}, stretch=stretch, thickness=thickness, layers=layers)
    before = table(garment)
    stack = apply_stack(garment, alterations, compare=False)
    proposal = propose(stack.garment, table, keep=keep)
    taken = _taken_in(stack.garment, proposal, take_in)
    long = partial(length_table, body=body, stretch=stretch, along=along)
    tried = others(taken.garment, body, table, long)
    proposal = replace(proposal, others=tried.found, missing=tried.missing)
    drafts = tuple(drafts)
    told = {one.id: _history(garment, stack, one, table) for one in fittings if garment.id in one.in_pattern}
    tried_on = _tried_on(taken.garment, fittings, told, table, drafts)
    drafted = _drafted(tried_on.stack.garment, drafts)
    made = set(drafted.garment.pieces) - set(tried_on.stack.garment.pieces)
    drafted = replace(drafted, garment=with_states(drafted.garment, states or {}, only=made))
    after = table(drafted.garment)
    lengths = long(drafted.garment)
    worn = wearing(drafted.garment, body, rows=after, stretch=stretch, growth=growth, along=along, lengths=lengths)
    in_cloth = _in_cloth(stack, body, cloth, table(stack.garment), after)
    altered = (*stack.stages, *taken.stages, *tried_on.stack.stages)
    off = (*seams_off(garment, (*altered, *drafted.stages)), *corners_off(garment, altered))
    noticed = (*stack.findings, *off, *proposal.findings, *taken.findings, *tried_on.findings, *drafted.findings)
    return FitResult(
        garment=drafted.garment,
        before=before,
        after=after,
        records=stack.records + taken.records + tried_on.stack.records,
        proposal=_shares(stack.garment, proposal),
        proposal_words=proposal.words,
        figures=drafted.figures,
        findings=(
            *noticed,
            *_all_loose(after),
            *(f for row in after for f in _too_tight_at(row, stretch)),
            *band_findings(drafted.garment, after, stretch=stretch),
            *squeezed(drafted.garment, after, layers),
            *length_findings(lengths),
            *(f for row in worn for f in row.findings),
            *(in_cloth.findings if in_cloth else ()),
            *unknown_states(states or {}, garment, drafted.garment),
        ),
        altered=(*_outlines(stack), *_outlines(taken), *_outlines(tried_on.stack)),
        proposed=proposal,
        cloth=in_cloth,
        wearing=worn,
        lengths=lengths,
        fittings=tried_on.fittings,
    )


EaseTable = Callable[[Garment], tuple[EaseRow, ...]]


def _history(garment: Garment, stack: StackResult, fitting: Fitting, table: EaseTable) -> Fitted:
    """What a fitting did that the stack has already: the ease before the first and after the last of its alterations."""
    own = [k for k, (name, _) in enumerate(stack.stages) if name.startswith(f"fitting {fitting.id} ")]
    if not own:
        return Fitted(garment.id, fitting, applied=False)
    before = stack.stages[own[0] - 1][1] if own[0] else garment
    return Fitted(garment.id, fitting, ease=ease_changes(table(before), table(stack.stages[own[-1]][1])), applied=False)


@dataclass(frozen=True, slots=True)
class _TriedOn:
    """What the fittings did, and what was noticed."""

    stack: StackResult
    fittings: tuple[Fitted, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        return tuple(finding for done in self.fittings for finding in done.findings)


def _tried_on(
    garment: Garment, fittings: Iterable[Fitting], told: Mapping[str, Fitted], table: EaseTable, drafts: tuple[Draft, ...]
) -> _TriedOn:
    """Each fitting taken in, in order; one that the stack has already is only told."""
    done: list[Fitted] = []
    now = garment
    for fitting in fittings:
        if fitting.id in told:
            done.append(told[fitting.id])
            continue
        now, one = fitted(now, fitting, table=table, drafts=drafts)
        done.append(one)
    return _TriedOn(apply_stack(garment, [entry for one in done for entry in alterations_of(one)], compare=False), tuple(done))


def _in_cloth(
    stack: StackResult, body: Body, cloth: Cloth | None, rows: tuple[EaseRow, ...], now: tuple[EaseRow, ...]
) -> ClothFit | None:
    """What the cloth does: the target is set against the garment before it is taken in, as an alteration would stand there."""
    if cloth is None:
        return None
    return cloth_fit(
        stack.garment, body, fabric=cloth.fabric, pattern_stretch=cloth.stretch, pattern_thickness=cloth.thickness, rows=rows,
        now=now, share=cloth.share, layers=cloth.layers, done={record.kind for record in stack.records},
    )  # fmt: skip


def _outlines(stack: StackResult) -> tuple[dict[str, Shape], ...]:
    """For each record the outlines it left behind."""
    return tuple(
        {name: piece.shape for name, piece in garment.pieces.items() if name in record.pieces and piece.shape is not None}
        for record, (_, garment) in zip(stack.records, stack.stages, strict=True)
    )


def _shares(garment: Garment, proposal: Proposal) -> dict[str, float]:
    """What each seam takes, mm of girth, where it takes most."""
    taken = (entry for entry in map(alteration_of, proposal.alterations) if isinstance(entry, TakeIn))
    return {seam: share for entry in taken for seam, share in entry.shares(garment).items()}


def _taken_in(garment: Garment, proposal: Proposal, apply: bool) -> StackResult:
    entries = [entry for entry in map(alteration_of, proposal.alterations) if isinstance(entry, TakeIn)]
    if not entries:
        return StackResult(garment)
    if not apply:
        remedy = f"Accept it with `firsthand accept`, or write take_in = true for {garment.id}."
        if max((abs(row.after - row.before) for row in proposal.rows), default=0.0) > TOO_FAR:
            remedy = "That is more than three sizes: choose another size or pattern first; `firsthand size` says which."
        note = PROPOSED(proposal.words, where=(garment.id,), remedy=remedy, why=proposal.why)
        return StackResult(garment, findings=(note,))
    furthest = max((abs(row.after - row.before) for row in proposal.rows), default=0.0)
    if furthest > TOO_FAR:
        words = f"up to {said(furthest)} would have to be taken in or let out, which is more than three sizes: it was not done"
        remedy = "Choose another size or pattern first; `firsthand size` says which."
        return StackResult(garment, findings=(TOO_FAR_FINDING(words, where=(garment.id,), remedy=remedy, why=proposal.why),))
    return apply_stack(garment, entries, compare=False)


@dataclass(frozen=True, slots=True)
class _Drafted:
    """A garment with its drafted pieces: their figures, what was noticed, and the garment after each."""

    garment: Garment
    figures: dict[str, Mapping[str, float]]
    findings: tuple[Finding, ...]
    stages: tuple[Stage, ...]


def _drafted(garment: Garment, drafts: Iterable[Draft]) -> _Drafted:
    figures: dict[str, Mapping[str, float]] = {}
    findings: list[Finding] = []
    stages: list[Stage] = []
    made: dict[str, str] = {}
    for draft in drafts:
        try:
            drafting = draft.draft(garment)
        except FirsthandError as error:
            blocks, remedy = [Block("cut", garment.id)], error.remedy or "Correct its numbers, or what it follows."
            findings.append(DRAFT_REFUSED(f"{draft.id}: {error}", where=(garment.id, draft.id), remedy=remedy, blocks=blocks))
            continue
        piece = drafting.piece.id
        findings += _replaced(garment, piece, draft, made)
        garment = add_drafting(garment, drafting)
        stages.append((draft.id, garment))
        figures[piece], made[piece] = drafting.figures, draft.kind
        findings += drafting.findings
    return _Drafted(garment, figures, tuple(findings), tuple(stages))


def _replaced(garment: Garment, piece: str, draft: Draft, made: Mapping[str, str]) -> Iterable[Finding]:
    """What is said of a draft that takes the place of a piece with an outline, unless it is one of the same kind made anew."""
    there = garment.pieces.get(piece)
    if there is None or there.is_card or made.get(piece) == draft.kind:
        return
    yield DRAFT_REPLACES(
        f"the drafted {draft.kind.replace('-', ' ')} {piece} takes the place of {there.name}, which has an outline of its own",
        where=(garment.id, piece),
        remedy="Give the drafted piece another id if both are wanted.",
    )


def _all_loose(rows: Iterable[EaseRow]) -> Iterable[Finding]:
    """What is said of loose levels: of all of them at once."""
    loose = [(row, row.ease, row.band) for row in rows if row.verdict is Verdict.LOOSE and row.ease is not None and row.band]
    if not loose:
        return
    told = [f"at the {lower_first(row.name)}: {_ease_words(ease, band)}" for row, ease, band in loose]
    garment, first = loose[0][0].garment, loose[0][0].level
    where = (garment, first) if len(loose) == 1 else (garment,)
    why = tuple(line for row, _, _ in loose for line in row.why)
    yield LOOSE(f"loose {'; '.join(told)}", where=where, remedy="Take it in, or mean it to sit more loosely.", why=why)


def _ease_words(ease: float, band: EaseBand) -> str:
    return f"ease {said(ease)}, wanted {said(band.low)} to {said(band.high)}"


def _too_tight_at(row: EaseRow, stretch: float) -> Iterable[Finding]:
    """What is said about one level that is tight."""
    if row.ease is None or row.band is None or row.verdict is not Verdict.TIGHT:
        return
    message = f"tight at the {lower_first(row.name)}: {_ease_words(row.ease, row.band)}"
    where = (row.garment, row.level)
    caution, remedy, impossible = _too_tight(row, stretch)
    severity, blocks = (Severity.FAULT, [Block("cut", row.garment)]) if impossible else (Severity.DOUBT, [])
    yield TIGHT(message + caution, where=where, remedy=remedy, blocks=blocks, why=row.why, severity=severity)


def _too_tight(row: EaseRow, stretch: float) -> tuple[str, str, bool]:
    """Caution, remedy, and whether it could not be worn at all."""
    if row.body_key in NECK_KEYS and (row.ease or 0.0) < 0:
        return "; nothing may ever be tight round the neck", "Make it larger than the neck.", True
    reach = (row.finished or 0.0) * (1 + stretch)
    if row.body is not None and reach < row.body:
        return "", "Let it out or take a larger size: it cannot go round.", True
    return "", "Let it out, take a larger size, or mean it to sit closer.", False
