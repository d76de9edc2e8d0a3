"""Stacks that once left something wrong, each with as few entries as it took."""

from __future__ import annotations

from typing import Any

import pytest
from plausible_stacks import rerun

Entries = list[tuple[str, dict[str, Any]]]


def tuck(piece: str, edge: str, to: str) -> tuple[str, dict[str, Any]]:
    fields = {"piece": piece, "edge": edge, "to": to, "depth": 3.3, "count": 2, "start": "24 %", "end": "86 %"}
    return "tuck", fields


SOUND: dict[str, tuple[int, Entries]] = {
    "tucks all the way from a hem that is shortened": (920197, [tuck("back", "hem", "neck"), ("hem", {"amount": -23.8})]),
    "tucks all the way to a hem that is shortened": (920063, [tuck("front", "waist", "hem"), ("hem", {"amount": -23.8})]),
    "tucks all the way, cut shorter for stretch": (920063, [tuck("front", "waist", "hem"), ("stretch", {"along": 0.016})]),
    "a fold that leans from the grain stays straight when cut for stretch": (
        921677,
        [
            ("stretch", {"across": (("knee", 0.078), ("hip", 0.004)), "along": 0.043}),
            ("stretch", {"across": (("knee", 0.094), ("hip", 0.013))}),
        ],
    ),
}


@pytest.mark.parametrize("words", SOUND)
def test_nothing_is_wrong_any_more(words: str) -> None:
    seed, entries = SOUND[words]
    outcome = rerun(seed, entries)
    assert [refusal for _, _, refusal in outcome.entries] == [""] * len(entries)
    assert outcome.wrong == []
