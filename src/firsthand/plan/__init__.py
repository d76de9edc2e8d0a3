"""Ordering steps into cards and days."""

from firsthand.plan._plan import make_plan
from firsthand.plan.model import Plan, PlanCard, Session

__all__ = ["Plan", "PlanCard", "Session", "make_plan"]
