"""What to alter so that the ease is as wanted."""

from firsthand.fit.solving._propose import Table, alteration_of, narrowed, propose

__all__ = ["Table", "alteration_of", "narrowed", "propose"]
