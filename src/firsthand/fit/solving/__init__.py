"""What to alter so that the ease is as wanted."""

from firsthand.fit.solving._others import Others, others, others_need
from firsthand.fit.solving._propose import alteration_of, narrowed, propose
from firsthand.fit.solving._tried import Table

__all__ = ["Others", "Table", "alteration_of", "narrowed", "others", "others_need", "propose"]
