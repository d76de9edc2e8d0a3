"""What a cloth does to the fit: stretch, recovery, pressure, thickness; what puts a pattern right for it."""

from firsthand.fit.cloth._cloth import Cloth, cloth_fit
from firsthand.fit.cloth._pressure import band_of, laplace, mmhg, strain_at
from firsthand.fit.cloth._rows import part, percent
from firsthand.fit.cloth._table import CAUTION, MOST_SHARE, SHARE
from firsthand.fit.cloth._thick import grows_by

__all__ = [
    "CAUTION", "MOST_SHARE", "SHARE", "Cloth", "band_of", "cloth_fit", "grows_by", "laplace", "mmhg", "part", "percent",
    "strain_at",
]  # fmt: skip
