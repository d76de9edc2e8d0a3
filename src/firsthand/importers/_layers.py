"""What layers mean: by number, and by the words in their names."""

from __future__ import annotations

from collections.abc import Mapping

from firsthand.importers.model import Meaning

__all__ = ["LAYERS", "layer_meaning"]

LAYERS: Mapping[str, Meaning] = {
    "1": Meaning.BOUNDARY,
    "2": Meaning.TURN,
    "3": Meaning.CURVE,
    "4": Meaning.NOTCH,
    "6": Meaning.MIRROR,
    "7": Meaning.GRAIN,
    "8": Meaning.INNER,
    "11": Meaning.CUT_OUT,
    "13": Meaning.HOLE,
    "14": Meaning.STITCHING,
    "15": Meaning.WORDS,
}
"""Layer numbers of ASTM D6673 (withdrawn 2019), from memory: pass another table to the importer where a file differs."""

_WORDS = (
    ("grain", Meaning.GRAIN), ("notch", Meaning.NOTCH), ("mirror", Meaning.MIRROR), ("fold", Meaning.MIRROR),
    ("stitch", Meaning.STITCHING), ("sew", Meaning.STITCHING), ("seam line", Meaning.STITCHING),
    ("cut-out", Meaning.CUT_OUT), ("cutout", Meaning.CUT_OUT), ("hole", Meaning.HOLE), ("drill", Meaning.HOLE),
    ("internal", Meaning.INNER), ("inner line", Meaning.INNER), ("outline", Meaning.BOUNDARY),
    ("boundary", Meaning.BOUNDARY), ("cut line", Meaning.BOUNDARY), ("cutting", Meaning.BOUNDARY),
)  # fmt: skip
"""Words in the names of layers, groups and ids, common practice; the first that fits counts."""


def layer_meaning(names: str, layers: Mapping[str, Meaning] = LAYERS) -> Meaning:
    """The meaning of a layer's number or name.

    Examples
    --------
    >>> layer_meaning("7").value, layer_meaning("front grainline").value, layer_meaning("0").value
    ('grain', 'grain', 'unknown')
    """
    if names in layers:
        return layers[names]
    low = names.lower().replace("_", " ")
    return next((meaning for word, meaning in _WORDS if word in low), Meaning.UNKNOWN)
