"""Sinks of the drawing protocol that show something: PDF, SVG; and two that keep what was drawn."""

from firsthand.sheets.sinks.measure import MeasureSink
from firsthand.sheets.sinks.svg import SvgSink
from firsthand.sheets.sinks.tape import Tape

__all__ = ["MeasureSink", "SvgSink", "Tape"]
