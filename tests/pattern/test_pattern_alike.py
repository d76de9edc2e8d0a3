"""What is found once for all garments that are joined alike is what each of them gives by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from firsthand.demo import demo_patterns
from firsthand.geometry import Affine
from firsthand.pattern import Garment, assemble, chain_senses, make_garment
from firsthand.pattern._assembly import _assembled
from firsthand.pattern._sense import Layout, _same_corners, senses


def variants(garment: Garment) -> list[Garment]:
    """The garment, one with every second piece wider, one without a seam, one without a piece's outline, one redrawn."""
    pieces = dict(garment.pieces)
    for name in list(pieces)[::2]:
        shape = pieces[name].shape
        if shape is not None:
            wide = Affine.scaling(1.25, 1.0)
            edges = tuple(replace(edge, path=edge.path.transformed(wide)) for edge in shape.edges)
            pieces[name] = replace(pieces[name], shape=replace(shape, edges=edges))
    last = list(garment.pieces)[-1]
    return [
        garment,
        replace(garment, pieces=pieces),
        replace(garment, seams=garment.seams[1:]),
        garment.with_piece(replace(garment.pieces[last], shape=None)),
        garment.with_piece(replace(garment.pieces[last], drawn=garment.pieces[last].drawn.other)),
    ]


@pytest.mark.parametrize("name", ["shirt", "hose", "jerkin", "skirt", "cape"])
def test_assemblies_and_ways_are_each_garments_own(name: str) -> None:
    pattern = demo_patterns()[name]
    for garment in variants(make_garment(pattern, pattern.sizes[0], id=name)):
        assert assemble(garment) == _assembled(garment, ())
        layout = Layout(garment)
        same = _same_corners(layout, garment.seams)
        assert [chain_senses(garment, seam) for seam in garment.seams] == [senses(layout, same, seam) for seam in garment.seams]
