"""Measurements of the body: what they are, how they are taken, whether they can be right, and what the missing ones may be."""

from firsthand.body._check import believed, check_body
from firsthand.body._estimates import estimate, no_estimate, with_estimates
from firsthand.body._measurements import MEASUREMENTS, needed_measurements, refuse_nonsense, stand_in, taken
from firsthand.body._needs import Need, needed_for
from firsthand.body.model import Body, Estimate, Measurement, MeasurementKind, Sort
from firsthand.body.taking import PREPARE, TAKING, Group, Over, Taking, in_order

__all__ = [
    "MEASUREMENTS", "PREPARE", "TAKING", "Body", "Estimate", "Group", "Measurement", "MeasurementKind", "Need", "Over", "Sort",
    "Taking", "believed", "check_body", "estimate", "in_order", "needed_for", "needed_measurements", "no_estimate",
    "refuse_nonsense", "stand_in", "taken", "with_estimates",
]  # fmt: skip
