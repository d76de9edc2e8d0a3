"""Steps generated from parts, seams, closures and fabrics."""

from firsthand.steps.model import Machines, Place, SetUp, Step

__all__ = ["Machines", "Place", "SetUp", "Step"]
