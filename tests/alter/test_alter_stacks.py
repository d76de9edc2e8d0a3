"""Random stacks on random garments: no crash, no piece that is none, nothing that stops fitting without a word."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plausible import BUILDERS, Draw, garments, plausible_garment, plausible_pattern
from plausible_stacks import FAULTS, MAKERS, Outcome, entry, kinds_without_maker, run, shortest, start

from firsthand.alter import ALTERATIONS, apply_stack
from firsthand.errors import FirsthandError
from firsthand.findings import Severity
from firsthand.pattern import Garment, check_garment, walk_seam

SEEDS = st.integers(0, 2**32 - 1)


@given(SEEDS)
@settings(max_examples=40)
def test_a_random_garment_has_nothing_wrong_with_it(seed: int) -> None:
    pattern, garment = plausible_pattern(seed), plausible_garment(seed)
    found = check_garment(garment, pattern)
    assert [f for f in found if f.severity is not Severity.NOTE] == []
    for seam in garment.seams:
        assert abs(walk_seam(garment, seam).difference) < 1e-3, seam.id


def test_random_garments_are_of_every_sort() -> None:
    some = [plausible_garment(seed) for seed in range(120)]
    assert {garment.pattern for garment in some} == set(BUILDERS)
    assert {"gore", "sleeve", "collar"} <= {piece for garment in some for piece in garment.pieces}
    assert {2, 3} <= {len(garment.pieces) for garment in some}
    darts = {dart.id for garment in some for piece in garment.pieces.values() for dart in piece.drawn_shape.darts}
    assert darts == {"waist dart", "side dart", "shoulder dart"}
    assert {bool(piece.fold) for garment in some for piece in garment.pieces.values()} == {True, False}
    assert {len(piece.sizes) for garment in some for piece in garment.pieces.values()} == {1, 3}


@given(garments)
@settings(max_examples=20)
def test_nothing_done_changes_nothing(garment: Garment) -> None:
    assert apply_stack(garment, []).garment == garment


def test_no_kind_is_forgotten() -> None:
    assert kinds_without_maker() == set(), "write a maker in plausible_stacks.py"


@given(SEEDS)
@settings(max_examples=60)
def test_a_random_stack_leaves_a_sound_garment(seed: int) -> None:
    outcome = run(seed)
    if outcome.wrong:
        outcome = shortest(outcome)
    assert outcome.wrong == [], outcome.entries


@pytest.mark.parametrize("kind", sorted(ALTERATIONS))
def test_every_kind_is_mostly_applied_by_itself(kind: str) -> None:
    """A maker whose entries are refused would test nothing."""
    tally: Counter[bool] = Counter()
    for seed in range(300):
        draw = Draw(seed)
        garment, _ = start(seed, draw)
        fields = MAKERS[kind](draw, garment)
        if fields is not None:
            tally[_goes(garment, kind, fields)] += 1
        if tally.total() == 6:
            break
    assert tally.total() >= 1
    assert tally[True] >= 0.6 * tally.total()


def _goes(garment: Garment, kind: str, fields: Mapping[str, object]) -> bool:
    try:
        entry(kind, kind, fields).apply(garment)
    except FirsthandError:
        return False
    return True


def test_the_shortest_stack_with_a_fault_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search is tested with a fault of our own: a scale that raises what is no refusal."""

    def broken(self: object, garment: Garment) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(ALTERATIONS["scale"], "apply", broken)
    outcomes = (run(seed, ("scale", "true", "hem")) for seed in range(100))
    long = next(outcome for outcome in outcomes if outcome.crashed and len(outcome.entries) > 2)
    short = shortest(long)
    assert [kind for kind, _, _ in short.entries] == ["scale"]
    assert short.wrong[0][0] == FAULTS[0]
    assert "ZeroDivisionError" in short.wrong[0][1]


def test_a_seed_gives_the_same_stack_again() -> None:
    def told(outcome: Outcome) -> object:
        return outcome.entries, outcome.wrong

    assert all(told(run(seed)) == told(run(seed)) for seed in range(5))
