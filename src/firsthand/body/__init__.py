"""Measurements of the body: what they are, whether they can be right."""

from firsthand.body.model import Body, Measurement

__all__ = ["Body", "Measurement"]
