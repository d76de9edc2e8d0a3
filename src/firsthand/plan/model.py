"""The plan: steps ordered into cards, cards put into sessions."""

from __future__ import annotations

from dataclasses import dataclass

from firsthand.findings import Finding
from firsthand.steps.model import Step

__all__ = ["Plan", "PlanCard", "Session"]


@dataclass(frozen=True, slots=True)
class Session:
    """Time to work: a day (ISO date) and minutes."""

    date: str
    minutes: float


@dataclass(frozen=True, slots=True)
class PlanCard:
    """Twenty to sixty minutes of steps that belong together.

    Parameters
    ----------
    number
        Place in the plan, from 1.
    changes
        What must be changed before or within it, in words, with the minutes it takes in ``change_minutes``.
    date
        The session it falls into; empty when there is no session left.
    """

    number: int
    id: str
    garment: str
    title: str
    steps: tuple[Step, ...]
    changes: tuple[str, ...] = ()
    change_minutes: float = 0.0
    date: str = ""

    @property
    def minutes(self) -> float:
        """Hands-on time with changes."""
        return sum(step.minutes for step in self.steps) + self.change_minutes


@dataclass(frozen=True, slots=True)
class Plan:
    """Cards in order.

    Parameters
    ----------
    done_by
        Date of the last card; empty if the sessions do not suffice.
    sheet_order_changes
        Changeover minutes if the steps were done garment by garment in the order they were generated, to compare.
    """

    cards: tuple[PlanCard, ...]
    due: str = ""
    done_by: str = ""
    change_minutes: float = 0.0
    sheet_order_changes: float = 0.0
    findings: tuple[Finding, ...] = ()

    @property
    def minutes(self) -> float:
        """All the work."""
        return sum(card.minutes for card in self.cards)
