"""The plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from firsthand.findings import Finding, Severity, kind
from firsthand.plan._cards import LONGEST, cut_into_cards
from firsthand.plan._check import day, predecessors, refuse_nonsense
from firsthand.plan._days import Group, into_sessions
from firsthand.plan._order import nearest, ranks, sheet_order
from firsthand.plan._setups import change_minutes
from firsthand.plan.model import Plan, PlanCard, Session
from firsthand.steps.model import Machines, Step

__all__ = ["make_plan"]

plan_no_sessions = kind(
    "plan-no-sessions", Severity.NOTE, "No days to work on are given, so the cards have an order but no dates."
)
plan_late = kind("plan-late", Severity.FAULT, "The work is not done by the date. More time before it, or less work, is needed.")
plan_unfinished = kind(
    "plan-unfinished", Severity.FAULT, "The sessions given do not suffice for all the work. Cards without a date are left."
)
plan_overrun = kind(
    "plan-overrun",
    Severity.DOUBT,
    "One step takes longer than the longest session. It must be broken off or the day be longer.",
)
plan_empty_session = kind("plan-empty-session", Severity.NOTE, "A session of no minutes: nothing is planned for it.")


def make_plan(
    steps: Iterable[Step],
    machines: Machines,
    sessions: Iterable[Session],
    *,
    due: str = "",
    garment_order: Sequence[str] = (),
) -> Plan:
    """Order steps, group them into cards and put the cards into sessions.

    Parameters
    ----------
    steps
        Steps with what each comes after; ids that are not among them are taken as done.
    machines
        How long changes take.
    sessions
        Days with their minutes, in any order.
    due
        ISO date by which all is to be done; empty for none.
    garment_order
        Garments in the order in which they are to be finished; the others follow as they come.

    Raises
    ------
    BadInput
        If ids are double, numbers have no sense or dates are none, all of it at once.

    Notes
    -----
    A plain method: at each point the set-up that costs least for what can then be done, one garment finished before the
    next. The same input gives the same plan.

    Examples
    --------
    >>> from firsthand.steps import Place
    >>> cut = Step("cut", "cape", "cut", "Cut the cape", Place.TABLE, 25)
    >>> sew = Step("sew", "cape", "seams", "Sew the cape", Place.MACHINE, 30, after=("cut",))
    >>> plan = make_plan([sew, cut], Machines(), [Session("2026-05-14", 90)], due="2026-05-13")
    >>> [(card.title, card.date) for card in plan.cards], plan.done_by
    ([('Cape: cut, seams', '2026-05-14')], '2026-05-14')
    >>> [finding.message for finding in plan.findings]
    ['the date, 2026-05-13, is before the first session, on 2026-05-14']
    """
    todo, days = tuple(steps), tuple(sessions)
    refuse_nonsense(todo, days, machines, due)
    before, findings = predecessors(todo)
    rank = ranks(todo, before, garment_order)
    order = nearest(todo, before, rank, machines)
    days = tuple(sorted(days, key=lambda session: session.date))
    usable = tuple(session for session in days if session.minutes > 0)
    groups = _groups(todo, before, order, machines, usable)
    cards, overrun = into_sessions(groups, usable, machines)
    done_by = cards[-1].date if cards and all(card.date for card in cards) else ""
    return Plan(
        cards=cards,
        due=due,
        done_by=done_by,
        change_minutes=sum(card.change_minutes for card in cards),
        sheet_order_changes=change_minutes(tuple(todo[index] for index in sheet_order(before, rank)), machines),
        findings=(*findings, *_notice(cards, days, usable, overrun, due)),
    )


def _groups(
    steps: Sequence[Step],
    before: Sequence[tuple[int, ...]],
    order: Sequence[int],
    machines: Machines,
    sessions: Sequence[Session],
) -> list[Group]:
    place = {index: at for at, index in enumerate(order)}
    ordered = [steps[index] for index in order]
    ahead = [tuple(place[one] for one in before[index]) for index in order]
    longest = min([LONGEST, *([max(session.minutes for session in sessions)] if sessions else [])])
    cards = cut_into_cards(ordered, ahead, machines, longest=longest)
    home = {at: number for number, card in enumerate(cards) for at in card}
    return [
        Group(
            tuple(ordered[at] for at in card),
            frozenset(home[one] for at in card for one in ahead[at] if home[one] != number),
        )
        for number, card in enumerate(cards)
    ]


def _notice(
    cards: Sequence[PlanCard], days: Sequence[Session], usable: Sequence[Session], overrun: Sequence[float], due: str
) -> Iterator[Finding]:
    for session in days:
        if not session.minutes:
            yield plan_empty_session(
                f"the session on {session.date} has no minutes", where=(session.date,), remedy="Give it minutes or drop it."
            )
    if not cards:
        return
    if not usable:
        yield plan_no_sessions(
            f"no sessions for {_hours(sum(card.minutes for card in cards))} of work", remedy="Enter days and minutes to work."
        )
        return
    for session, over in zip(usable, overrun, strict=True):
        if over > 1e-9:
            yield plan_overrun(
                f"the session on {session.date} runs {_hours(over)} over: one step is longer than the longest session",
                where=(session.date,),
                remedy="Make that day longer, or break the step off half-way.",
            )
    yield from _lateness(cards, usable, due)


def _lateness(cards: Sequence[PlanCard], usable: Sequence[Session], due: str) -> Iterator[Finding]:
    homeless = [card for card in cards if not card.date]
    late = [card for card in cards if not card.date or (due and card.date > due)]
    minutes = sum(card.minutes for card in late)
    if due and late:
        last, wanted = day(cards[-1].date), day(due)
        remedy = f"Find {_hours(minutes)} more by {due}, or leave something out."
        if due < usable[0].date:
            words = f"the date, {due}, is before the first session, on {usable[0].date}"
            remedy = "Enter days to work before the date, or move it."
        elif homeless or last is None or wanted is None:
            words = f"not done by {due}: {_hours(minutes)} of work find no session before it"
        else:
            days = (last - wanted).days
            words = f"done on {cards[-1].date}, {days} day{'s' if days != 1 else ''} after the date"
            words += f": {_hours(minutes)} of work lie behind it"
        yield plan_late(
            words,
            where=(due,),
            remedy=remedy,
            why=(
                f"{len(late)} of {len(cards)} cards lie after the date or have none",
                f"all the work: {_hours(sum(card.minutes for card in cards))}",
                f"sessions by the date: {_hours(sum(one.minutes for one in usable if one.date <= due))}",
            ),
        )
    elif homeless:
        yield plan_unfinished(
            f"{_hours(minutes)} of work find no session",
            remedy="Enter more days to work.",
            why=(f"{len(homeless)} of {len(cards)} cards have no date",),
        )


def _hours(minutes: float) -> str:
    whole = round(minutes)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"
