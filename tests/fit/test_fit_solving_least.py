"""The solver against general solvers on random problems: scipy's SLSQP, and the conditions of Karush, Kuhn and Tucker."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize, nnls

from firsthand.errors import GeometryError
from firsthand.fit.solving._least import Array, least_squares
from firsthand.fit.solving._solve import (
    INSIDE,
    MOST_INSIDE,
    TIGHT_WEIGHS,
    Fair,
    Problem,
    evened,
    fair_rows,
    hard_rows,
    solved,
)


def general(e: Array, f: Array, g: Array, h: Array, start: Array) -> Array:
    """The same by a general solver."""
    found = minimize(
        lambda x: 0.5 * float(np.sum((e @ x - f) ** 2)), start, jac=lambda x: e.T @ (e @ x - f), method="SLSQP",
        constraints=[{"type": "ineq", "fun": lambda x: g @ x - h, "jac": lambda x: g}],
        options={"maxiter": 500, "ftol": 1e-13},
    )  # fmt: skip
    assert found.status in (0, 8), found.message  # 8: no way down from here, as far as rounding tells
    answer: Array = found.x
    return answer


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6), n=st.integers(1, 7), extra=st.integers(0, 4), m=st.integers(0, 12))
def test_least_squares_equal_a_general_solver_and_keep_the_conditions(seed: int, n: int, extra: int, m: int) -> None:
    """The gradient is a sum of the rows that bind, none of them with a negative weight."""
    rng = np.random.default_rng(seed)
    e, f = rng.normal(size=(n + extra, n)) + 2 * np.eye(n + extra, n), rng.normal(size=n + extra) * 10
    inner = rng.normal(size=n)
    g = rng.normal(size=(m, n))
    h = g @ inner - rng.uniform(0, 2, size=m)  # so that there is a point that keeps them all
    x = least_squares(e, f, g, h)
    left = g @ x - h
    assert (left >= -1e-7).all()
    other = general(e, f, g, h, inner)
    assert np.sum((e @ x - f) ** 2) <= np.sum((e @ other - f) ** 2) * (1 + 1e-6) + 1e-6
    gradient = e.T @ (e @ x - f)
    binding = g[left < 1e-6 * (1 + np.abs(h))]
    rest = nnls(binding.T, gradient)[1] if len(binding) else float(np.linalg.norm(gradient))
    assert rest <= 1e-5 * (1 + np.linalg.norm(gradient))


def test_what_cannot_be_kept_and_what_is_no_number_is_refused() -> None:
    one = np.eye(1)
    with pytest.raises(GeometryError, match="nothing keeps"):
        least_squares(one, np.zeros(1), np.array([[1.0], [-1.0]]), np.array([1.0, 1.0]))
    with pytest.raises(GeometryError, match="finite"):
        least_squares(one, np.array([np.nan]), np.zeros((0, 1)), np.zeros(0))
    with pytest.raises(GeometryError, match="independent"):
        least_squares(np.ones((2, 2)), np.zeros(2), np.zeros((0, 2)), np.zeros(0))


def random_problem(seed: int) -> Problem:
    """Some seams across some levels, each with an ease somewhere about its band."""
    rng = np.random.default_rng(seed)
    levels, seams = int(rng.integers(1, 6)), int(rng.integers(1, 4))
    places = np.cumsum(rng.uniform(40, 260, size=levels))
    columns = [(s, k) for s in range(seams) for k in range(levels) if rng.random() < 0.8] or [(0, 0)]
    rates = np.zeros((levels, len(columns)))
    for n, (_, k) in enumerate(columns):
        rates[k, n] = rng.uniform(3.5, 4.5)
    low = rng.uniform(0, 60, size=levels)
    high = low + rng.uniform(8, 120, size=levels)
    ease = rng.uniform(-60, 220, size=levels)
    bad = ((ease < low - 1) | (ease > high + 1)).astype(float)
    runs = tuple(tuple((n, float(places[k])) for n, (s, k) in enumerate(columns) if s == seam) for seam in range(seams))
    pairs = itertools.combinations(range(len(columns)), 2)
    like = tuple((i, j) for i, j in pairs if columns[i][1] == columns[j][1])
    costs = rng.choice([4.0, 6.0], size=len(columns))
    least, most = -rng.uniform(2, 60, size=len(columns)), rng.uniform(2, 60, size=len(columns))
    return Problem(rates, ease, ease, low, high, bad, least, most, Fair(costs, runs, like))


def weighed(outside: Array, bad: Array) -> float:
    """What levels lack: what is tight weighs more."""
    return float(np.sum(bad * (TIGHT_WEIGHS * np.minimum(outside, 0) ** 2 + np.maximum(outside, 0) ** 2)))


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_no_other_amounts_bring_the_levels_nearer_to_their_bands(seed: int) -> None:
    """Against scipy's SLSQP on the same question, started from nothing and from the answer."""
    problem = random_problem(seed)
    found = solved(problem)
    g, h = hard_rows(problem)
    assert (g @ found.amounts - h >= -1e-6).all()

    def lack(x: Array) -> float:
        return weighed(problem.outside(problem.eased(x)), problem.bad)

    def slope(x: Array) -> Array:
        outside = problem.outside(problem.eased(x))
        each = 2 * problem.bad * np.where(outside < 0, TIGHT_WEIGHS, 1.0) * outside
        answer: Array = -(each @ problem.rates)
        return answer

    least = lack(found.amounts)
    for start in (np.zeros_like(found.amounts), found.amounts):
        other = minimize(
            lack, start, jac=slope, method="SLSQP", options={"maxiter": 500, "ftol": 1e-12},
            constraints=[{"type": "ineq", "fun": lambda x: g @ x - h, "jac": lambda x: g}],
        )  # fmt: skip
        if (g @ other.x - h >= -1e-6).all():
            assert least <= other.fun + 0.2 + 0.01 * other.fun


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_of_all_that_do_the_fairest_amounts_are_taken(seed: int) -> None:
    """Where all levels can be brought well inside, scipy's SLSQP finds nothing fairer; the gradient is that of what binds."""
    problem = random_problem(seed)
    found = solved(problem)
    margin = np.minimum((problem.high - problem.low) * INSIDE, MOST_INSIDE)
    ease, bad = problem.eased(found.amounts), problem.bad > 0
    inside = (ease >= problem.low + margin - 0.03) & (ease <= problem.high - margin + 0.03)
    if not inside[bad].all():
        return
    g, h = hard_rows(problem)
    rates, start = problem.rates[bad], problem.ease[bad]
    g = np.vstack([g, -rates, rates])
    wanted = (problem.low + margin)[bad] - start - 0.02, start - (problem.high - margin)[bad] - 0.02
    h = np.concatenate([h, *wanted])
    rows = fair_rows(problem.fair)
    other = general(rows, np.zeros(len(rows)), g, h - 1e-9, found.amounts)
    mine, theirs = (float(np.sum((rows @ x) ** 2)) for x in (found.amounts, other))
    assert mine <= theirs + 0.02 * theirs + 0.05


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_one_even_amount_is_never_nearer_than_an_amount_for_each(seed: int) -> None:
    problem = random_problem(seed)
    each = solved(problem)
    movable = [type("Seam", (), {"edges": 4, "cost": 1.0})()]
    even = evened(problem, movable)  # type: ignore[arg-type]
    try:
        one = solved(even)
    except GeometryError:
        return
    assert weighed(each.outside, problem.bad) <= weighed(one.outside, problem.bad) + 0.2
    assert (one.amounts >= even.least - 1e-6).all()
    assert (one.amounts <= even.most + 1e-6).all()


def test_two_levels_of_three_pull_the_third_along_only_if_it_has_room() -> None:
    """Fairness bends a seam as little as it can; a level that has no room is left alone."""
    rates = np.eye(3) * 4
    ease, low, high = np.array([100.0, 40.0, 100.0]), np.array([0.0, 0.0, 0.0]), np.full(3, 60.0)
    fair = Fair(np.full(3, 4.0), (((0, 0.0), (1, 200.0), (2, 400.0)),))
    bounds = np.full(3, -100.0), np.full(3, 100.0)
    free = solved(Problem(rates, ease, ease, low, high, np.array([1.0, 0, 1]), *bounds, fair)).amounts
    assert free[0] == pytest.approx(free[2]) == pytest.approx(12.5, abs=0.01)
    assert 0 < free[1] < 12.5
    tight = solved(Problem(rates, ease, ease, np.array([0.0, 40, 0]), high, np.array([1.0, 0, 1]), *bounds, fair)).amounts
    assert tight[1] == pytest.approx(0, abs=0.01)
