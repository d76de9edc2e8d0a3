"""Steps generated from parts, seams, closures and fabrics."""

from firsthand.steps._generate import check_steps, costume_steps, garment_steps
from firsthand.steps._precedence import RULES
from firsthand.steps.model import Machines, Place, SetUp, Step

__all__ = ["RULES", "Machines", "Place", "SetUp", "Step", "check_steps", "costume_steps", "garment_steps"]
