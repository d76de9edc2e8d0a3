"""Which outline is which size: told apart by layer, by dash and colour, or by order."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from firsthand.geometry import nearest
from firsthand.importers._layers import layer_meaning
from firsthand.importers.model import Meaning
from firsthand.importers.pdf._outlines import Cluster, Loop, samples
from firsthand.importers.pdf._state import Look, Word
from firsthand.importers.pdf._weld import Drawn

__all__ = ["Sizes", "by_size", "sizes_of"]

NOT_OUTLINES = {Meaning.NOTCH, Meaning.HOLE, Meaning.GRAIN, Meaning.WORDS, Meaning.STITCHING, Meaning.MIRROR, Meaning.FOLD}
NARROW, WIDE = 2.0, 60.0
"""Between the stitching line and the cutting line, mm (allowances, common practice)."""
STEADY = 0.06
"""Distances that differ less from one sample to the next, mm, are one allowance."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """How looks and sizes go together: the sort of thing that tells them apart, and the name of each."""

    by: str
    names: dict[Any, str]
    stitching: frozenset[Look]

    def key(self, look: Look) -> Any:
        """What tells this look from that of other sizes."""
        return _key(look, self.by)

    def name(self, look: Look) -> str:
        """The size of a look; empty if it belongs to all."""
        return self.names.get(self.key(look), "")


def _key(look: Look, by: str) -> Any:
    return {"layer": look.layer, "width": look.width, "": ""}.get(by, (look.colour, look.dash))


def by_size(clusters: Sequence[Cluster], sizes: Sizes) -> list[list[tuple[Loop, str]]]:
    """The loops of each cluster that are outlines, each with its size."""
    out = []
    for cluster in clusters:
        kept = [loop for loop in cluster.loops if loop.look not in sizes.stitching] or cluster.loops[:1]
        keys = [sizes.key(loop.look) for loop in kept]
        if len(kept) == 1:
            only = sizes.name(kept[0].look) if sizes.by == "layer" else ""
            out.append([(kept[0], only)])
        elif len(set(keys)) == len(keys) and all(sizes.name(loop.look) for loop in kept):
            out.append([(loop, sizes.name(loop.look)) for loop in kept])
        else:
            # one look for several: the smallest is the first size
            out.append([(loop, f"size {len(kept) - k}") for k, loop in enumerate(kept)])
    return out


def sizes_of(clusters: Sequence[Cluster], lines: Sequence[Drawn], words: Sequence[Word]) -> Sizes:
    """What tells the sizes apart in a file."""
    stitching = _stitching(clusters)
    nests = [[loop for loop in c.loops if loop.look not in stitching] for c in clusters]
    nests = [nest for nest in nests if len(nest) > 1]
    looks = list(dict.fromkeys(loop.look for nest in nests for loop in nest))
    layers = {look.layer for c in clusters for loop in c.loops if (look := loop.look) not in stitching and look.layer}
    if not nests:
        return Sizes("layer" if len(layers) > 1 else "", _layer_names(layers), stitching)
    by = next((by for by in ("layer", "look", "width") if all(_distinct(nest, by) for nest in nests)), "look")
    area: dict[Any, float] = {}
    for nest in nests:
        for k, loop in enumerate(reversed(nest)):
            area.setdefault(_key(loop.look, by), k + loop.area.area * 1e-9)
    order = sorted({_key(look, by) for look in looks}, key=lambda key: area[key])
    if by == "layer":
        return Sizes(by, {**_layer_names(layers), **{key: key or "size 1" for key in order}}, stitching)
    legend = _legend(lines, words, by, nests)
    names = {key: legend.get(key, f"size {k}") for k, key in enumerate(order, start=1)}
    return Sizes(by, names, stitching)


def _layer_names(layers: set[str]) -> dict[Any, str]:
    return {layer: layer for layer in layers if layer_meaning(layer) is Meaning.UNKNOWN} if len(layers) > 1 else {}


def _distinct(nest: Sequence[Loop], by: str) -> bool:
    return len({_key(loop.look, by) for loop in nest}) == len(nest)


def _stitching(clusters: Sequence[Cluster]) -> frozenset[Look]:
    """Looks of loops that run, wherever there are two, at a steady distance within a loop of another look."""
    yes: set[Look] = set()
    no: set[Look] = set()
    for cluster in clusters:
        several = len({loop.look for loop in cluster.loops}) > 2
        for k, loop in enumerate(cluster.loops):
            if layer_meaning(loop.look.layer) in NOT_OUTLINES:
                yes.add(loop.look)
            elif k == 0:
                no.add(loop.look)
            else:
                outer = [o for o in cluster.loops[:k] if o.look != loop.look and _may_be_sewn(loop.look, o.look, several)]
                same = any(_steady(loop, o) for o in outer)
                (yes if same else no).add(loop.look)
    return frozenset(yes - no) | frozenset(look for look in yes if layer_meaning(look.layer) in NOT_OUTLINES)


def _may_be_sewn(inner: Look, outer: Look, several: bool) -> bool:
    """Whether a line may be the stitching line to a cutting line: dashed within whole, or alike where there are just two."""
    return (bool(inner.dash) and not outer.dash) or (not several and bool(inner.dash) == bool(outer.dash))


def _steady(inner: Loop, outer: Loop) -> bool:
    """Whether a loop runs inside another at one distance, or at one for each stretch."""
    if not shapely.covers(outer.area.buffer(0.2), inner.area):
        return False
    distances = [nearest(outer.path, p)[1] for p in samples(inner.path, 120)]
    apart = [d for d in distances if d > NARROW]
    if len(apart) < 0.4 * len(distances) or max(distances) > WIDE:
        return False
    steps = [abs(a - b) for a, b in itertools.pairwise(distances)]
    return sum(step < STEADY for step in steps) >= 0.75 * len(steps)


def _legend(lines: Sequence[Drawn], words: Sequence[Word], by: str, nests: Sequence[Sequence[Loop]]) -> dict[Any, str]:
    """Names of sizes beside a sample of their line."""
    keys = {_key(loop.look, by) for nest in nests for loop in nest}
    found: dict[Any, str] = {}
    for look, line in lines:
        key, box = _key(look, by), line.path.bounds
        if key not in keys or key in found or line.path.is_closed or not (5.0 <= box.width <= 80.0 and box.height < 0.5):
            continue
        beside = [
            (min(abs(w.box.left - box.right), abs(box.left - w.box.right)), w)
            for w in words
            if abs(w.at.y - box.centre.y) < 5.0 and min(abs(w.box.left - box.right), abs(box.left - w.box.right)) < 15.0
        ]
        if beside:
            text = min(beside, key=lambda one: one[0])[1].text.strip(" :=-–")
            if 0 < len(text) <= 30:
                found[key] = text
    return found if len(set(found.values())) == len(found) else {}
