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
    "a lower edge that is lapped over and levelled does not run back": (
        921362,
        [
            (
                "bust",
                {"piece": "front", "dart": "side dart", "amount": -16.2, "hinge": "armhole at 46 %", "lower": "bottom at 26 %"},
            )
        ],
    ),
    "a size made again and hemmed above a level": (910289, [("grade", {}), ("hem", {"amount": -62.7})]),
    "notches cut anew on a piece that was opened out": (921714, [("unfold", {"piece": "back"}), ("notches", {})]),
    "a waist spread on both sides of a dart": (
        910186,
        [
            ("slash", {"piece": "front", "lines": (("waist at 30 %", "hem at 75 %"),), "spread": 18.5, "spread_far": 9.2}),
            ("unfold", {"piece": "front"}),
        ],
    ),
}
REFUSED: dict[str, tuple[int, Entries, str]] = {
    "darts so near each other that nothing can be cut out between them": (
        921270,
        [
            ("split-dart", {"piece": "front", "dart": "waist dart", "into": 2, "gap": 13.6}),
            ("split-dart", {"piece": "front", "dart": "waist dart", "into": 3, "gap": 12.6}),
        ],
        "the allowance of waist could not be drawn any more",
    ),
}


@pytest.mark.parametrize("words", SOUND)
def test_nothing_is_wrong_any_more(words: str) -> None:
    seed, entries = SOUND[words]
    outcome = rerun(seed, entries)
    assert [refusal for _, _, refusal in outcome.entries] == [""] * len(entries)
    assert outcome.wrong == []


@pytest.mark.parametrize("words", REFUSED)
def test_what_cannot_be_cut_out_is_refused(words: str) -> None:
    seed, entries, why = REFUSED[words]
    outcome = rerun(seed, entries)
    assert why in outcome.entries[-1][2]
    assert outcome.wrong == []
