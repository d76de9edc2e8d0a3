"""What to alter so that the ease is as wanted."""

from firsthand.fit._entries import alteration_of
from firsthand.fit.solving._others import Others, others, others_need
from firsthand.fit.solving._propose import narrowed, propose
from firsthand.fit.solving._tried import Table

__all__ = ["Others", "Table", "alteration_of", "narrowed", "others", "others_need", "propose"]
