"""Measurements of the body: what they are, whether they can be right."""

from firsthand.body._check import check_body
from firsthand.body._measurements import MEASUREMENTS, needed_measurements, stand_in, taken
from firsthand.body.model import Body, Measurement, MeasurementKind, Sort

__all__ = [
    "MEASUREMENTS", "Body", "Measurement", "MeasurementKind", "Sort", "check_body", "needed_measurements", "stand_in", "taken",
]  # fmt: skip
