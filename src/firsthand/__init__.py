"""A first hand for the solo costume maker.

The rooms of the house, and which way they import each other, are drawn in ``docs/architecture.md``.
"""

__version__ = "0.1.0"
