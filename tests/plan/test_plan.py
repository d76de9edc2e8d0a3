"""Plans: every tie kept, every step once, minutes that add up, days that suffice or not."""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.steps.small_garments import FABRICS, costume

from firsthand.errors import BadInput
from firsthand.plan import Plan, Session, make_plan
from firsthand.plan._setups import change_minutes
from firsthand.steps import Machines, Place, SetUp, Step, costume_steps

MACHINES = Machines()


def days(count: int, minutes: float = 120.0, start: str = "2026-05-01") -> list[Session]:
    first = date.fromisoformat(start)
    return [Session((first + timedelta(days=k)).isoformat(), minutes) for k in range(count)]


def work(name: str, minutes: float = 10.0, place: Place = Place.TABLE, **more: object) -> Step:
    return Step(name, "coat", "seams", name.capitalize(), place, minutes, **more)  # type: ignore[arg-type]


def order(plan: Plan) -> list[Step]:
    return [step for card in plan.cards for step in card.steps]


def assert_sound(plan: Plan, steps: tuple[Step, ...]) -> None:
    done = [step.id for step in order(plan)]
    assert sorted(done) == sorted(step.id for step in steps), "every step is on exactly one card"
    place = {name: index for index, name in enumerate(done)}
    for step in steps:
        assert all(place[name] < place[step.id] for name in step.after if name in place)
    total = sum(step.minutes for step in steps) + plan.change_minutes
    assert math.isclose(sum(card.minutes for card in plan.cards), total, abs_tol=1e-6)
    assert math.isclose(plan.minutes, total, abs_tol=1e-6)
    assert [card.number for card in plan.cards] == list(range(1, len(plan.cards) + 1))
    assert math.isclose(plan.change_minutes, change_minutes(tuple(order(plan)), MACHINES), abs_tol=1e-6)
    assert len({card.id for card in plan.cards}) == len(plan.cards)


def assert_waits(plan: Plan) -> None:
    """What waits over a day's length stands on a later day than what it waits for."""
    on = {step.id: card.date for card in plan.cards for step in card.steps}
    steps = {step.id: step for step in order(plan)}
    for step in steps.values():
        for name in step.after:
            wait = steps[name].wait if name in steps else 0.0
            if wait > 240 and on[step.id]:
                gap = date.fromisoformat(on[step.id]) - date.fromisoformat(on[name])
                assert gap.days >= math.ceil(wait / 1440)


SET_UPS = st.builds(
    SetUp,
    stitch=st.sampled_from(["straight", "zigzag"]),
    needle=st.sampled_from(["80", "90"]),
    foot=st.sampled_from(["standard", "zip"]),
    thread=st.sampled_from(["red", "blue", ""]),
)


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Step, ...]:
    count = draw(st.integers(0, 25))
    steps = []
    for index in range(count):
        after = draw(st.sets(st.integers(0, max(0, index - 1)), max_size=3)) if index else set()
        steps.append(
            Step(
                id=f"s{index}",
                garment=draw(st.sampled_from(["", "coat", "hood"])),
                stage=draw(st.sampled_from(["cut", "seams", "finish"])),
                title=f"Step {index}",
                place=draw(st.sampled_from(list(Place))),
                minutes=draw(st.sampled_from([0.5, 3.0, 12.0, 45.0])),
                setup=draw(SET_UPS),
                after=tuple(f"s{one}" for one in sorted(after)),
                wait=draw(st.sampled_from([0.0, 0.0, 0.0, 30.0, 1440.0])),
            )
        )
    return tuple(draw(st.permutations(steps)))


@given(jobs(), st.lists(st.integers(0, 200), max_size=6), st.booleans())
def test_any_plan_is_sound(steps: tuple[Step, ...], minutes: list[int], due: bool) -> None:
    sessions = [Session(f"2026-06-{day:02d}", float(some)) for day, some in enumerate(minutes, start=1)]
    plan = make_plan(steps, MACHINES, sessions, due="2026-06-03" if due else "", garment_order=("hood",))
    assert_sound(plan, steps)
    assert_waits(plan)
    for card in plan.cards:
        assert len(card.steps) == 1 or card.minutes <= 60 + 1e-9
    for session in sessions:
        used = [card for card in plan.cards if card.date == session.date]
        assert sum(card.minutes for card in used) <= session.minutes + 1e-9 or len(used) == 1
    dates = [card.date for card in plan.cards if card.date]
    assert dates == sorted(dates)
    assert [bool(card.date) for card in plan.cards] == sorted((bool(card.date) for card in plan.cards), reverse=True)


def test_a_whole_costume() -> None:
    steps = costume_steps(costume(), FABRICS, MACHINES)
    plan = make_plan(steps, MACHINES, days(20), due="2026-05-20")
    assert_sound(plan, steps)
    assert_waits(plan)
    assert plan.done_by == plan.cards[-1].date <= "2026-05-20"
    assert not plan.findings
    assert plan.change_minutes < plan.sheet_order_changes
    assert 0.8 * len(plan.cards) <= sum(20 <= card.minutes <= 60 for card in plan.cards)


def test_the_same_steps_give_the_same_plan() -> None:
    steps = costume_steps(costume(), FABRICS, MACHINES)
    assert make_plan(steps, MACHINES, days(20)) == make_plan(steps, MACHINES, days(20))


def test_a_garment_is_finished_before_the_next() -> None:
    """But for paper, cutting and what is waited for."""
    steps = costume_steps(costume(), FABRICS, MACHINES)
    plan = make_plan(steps, MACHINES, [], garment_order=("skirt", "shirt", "jerkin"))
    sewn = [step.garment for step in order(plan) if step.stage in ("seams", "closures", "finish")]
    assert list(dict.fromkeys(sewn)) == ["skirt", "shirt", "jerkin"]
    assert sewn == sorted(sewn, key=["skirt", "shirt", "jerkin"].index)


def test_what_is_threaded_is_used_while_it_is_threaded() -> None:
    """Two colours, either order allowed: one change of thread instead of three."""
    red, blue = SetUp("straight", 2.5, "80", "standard", "red"), SetUp("straight", 2.5, "80", "standard", "blue")
    steps = [work(f"s{k}", place=Place.MACHINE, setup=red if k % 2 else blue) for k in range(4)]
    plan = make_plan(steps, MACHINES, [])
    assert plan.sheet_order_changes - plan.change_minutes == pytest.approx(2 * MACHINES.change_thread)


def test_the_machine_keeps_its_set_up_while_one_is_at_the_iron() -> None:
    """One move there and one back, nothing threaded anew."""
    red = SetUp("straight", 2.5, "80", "standard", "red")
    steps = [
        work("a", place=Place.MACHINE, setup=red),
        work("b", place=Place.IRON, after=("a",)),
        work("c", place=Place.MACHINE, setup=red, after=("b",)),
    ]
    first = MACHINES.move + MACHINES.change_foot + MACHINES.change_needle + MACHINES.change_thread + MACHINES.change_stitch
    assert make_plan(steps, MACHINES, []).change_minutes == pytest.approx(first + 2 * MACHINES.move)


def test_cones_cost_what_is_said() -> None:
    steps = [work(name, place=Place.OVERLOCKER, setup=SetUp("3-thread overlock", thread=name)) for name in ("red", "blue")]
    assert make_plan(steps, MACHINES, []).change_minutes == pytest.approx(MACHINES.move + 0.5 + 2 * MACHINES.change_cones)


def test_changes_are_said_in_words() -> None:
    plan = make_plan([work("a", place=Place.MACHINE, setup=SetUp("straight", 2.5, "80/12", "zip", "red"))], MACHINES, [])
    assert plan.cards[0].changes == ("zip foot", "needle 80/12", "thread red", "straight 2.5 mm")


def test_washing_waits_for_the_next_day_and_something_else_is_done_meanwhile() -> None:
    steps = [work("wash", wait=1440.0), work("cut", 30, after=("wash",)), work("draw", 30)]
    plan = make_plan(steps, MACHINES, days(2))
    dates = {step.id: card.date for card in plan.cards for step in card.steps}
    assert dates == {"wash": "2026-05-01", "draw": "2026-05-01", "cut": "2026-05-02"}


def test_too_late_by_how_much() -> None:
    steps = [work(f"s{k}", 50) for k in range(4)]
    plan = make_plan(steps, MACHINES, days(4, 60), due="2026-05-02")
    (found,) = plan.findings
    assert found.code == "plan-late"
    assert "2 days after" in found.message
    assert "1 h 40 min" in found.message
    assert plan.done_by == "2026-05-04"


def test_sessions_that_do_not_suffice() -> None:
    steps = [work(f"s{k}", 50) for k in range(4)]
    late = make_plan(steps, MACHINES, days(2, 60), due="2026-05-09")
    assert [finding.code for finding in late.findings] == ["plan-late"]
    assert late.done_by == ""
    assert [bool(card.date) for card in late.cards] == [True, True, False, False]
    assert [finding.code for finding in make_plan(steps, MACHINES, days(2, 60)).findings] == ["plan-unfinished"]


def test_no_sessions() -> None:
    plan = make_plan([work("a")], MACHINES, [], due="2026-05-09")
    assert [finding.code for finding in plan.findings] == ["plan-no-sessions"]
    assert plan.cards[0].date == ""


def test_a_step_longer_than_any_session() -> None:
    plan = make_plan([work("a", 90)], MACHINES, days(2, 60))
    assert [finding.code for finding in plan.findings] == ["plan-overrun"]
    assert plan.cards[0].date == "2026-05-01"


def test_a_session_without_minutes_is_named() -> None:
    plan = make_plan([work("a")], MACHINES, [Session("2026-05-01", 0), Session("2026-05-02", 60)])
    assert [finding.code for finding in plan.findings] == ["plan-empty-session"]
    assert plan.done_by == "2026-05-02"


def test_a_circle_is_named_and_opened() -> None:
    steps = [work("a", after=("c",)), work("b", after=("a",)), work("c", after=("b",)), work("d", after=("d",))]
    plan = make_plan(steps, MACHINES, [])
    assert [finding.code for finding in plan.findings if finding.code == "plan-cycle"] == ["plan-cycle", "plan-cycle"]
    assert sorted(step.id for step in order(plan)) == ["a", "b", "c", "d"]


def test_steps_done_elsewhere_are_taken_as_done() -> None:
    assert len(make_plan([work("a", after=("long ago",))], MACHINES, []).cards) == 1


def test_nothing_to_do() -> None:
    plan = make_plan([], MACHINES, days(1), due="2026-05-01")
    assert plan == Plan((), due="2026-05-01")


def test_all_that_is_wrong_is_said_at_once() -> None:
    steps = [work("a"), work("a"), work("b", math.nan), work("c", -1), work("d", wait=math.inf)]
    sessions = [Session("tomorrow", 60), Session("2026-05-01", math.nan)]
    with pytest.raises(BadInput) as caught:
        make_plan(steps, Machines(move=math.nan), sessions, due="May")
    assert len(caught.value.problems) == 8


def test_four_hundred_steps() -> None:
    """As many as a costume has at most; the plan must be as sound."""
    steps: list[Step] = []
    for group in range(100):
        thread, name = f"colour {group % 7}", f"g{group}"
        last = (f"g{group - 7}/press",) if group >= 7 else ()
        set_up = SetUp("straight", 2.5, "80", "standard", thread)
        steps += [
            work(f"{name}/sew", 5, Place.MACHINE, setup=set_up, after=last),
            work(
                f"{name}/neaten", 2, Place.OVERLOCKER, setup=SetUp("3-thread overlock", thread=thread), after=(f"{name}/sew",)
            ),
            work(f"{name}/press", 2, Place.IRON, after=(f"{name}/neaten",)),
            work(f"{name}/trim", 1, Place.TABLE, after=(f"{name}/press",)),
        ]
    plan = make_plan(steps, MACHINES, days(40), due="2026-06-09")
    assert_sound(plan, tuple(steps))
    assert plan.change_minutes < 0.5 * plan.sheet_order_changes


def test_a_date_before_the_first_session_is_said_to_be_that() -> None:
    plan = make_plan([work("a")], MACHINES, days(2, 60), due="2026-04-20")
    (found,) = plan.findings
    assert (found.code, found.message) == ("plan-late", "the date, 2026-04-20, is before the first session, on 2026-05-01")
    assert found.remedy == "Enter days to work before the date, or move it."
