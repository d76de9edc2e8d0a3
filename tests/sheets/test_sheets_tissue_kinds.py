"""Every kind of alteration once on a piece of the demo: its card says what a maker with a ruler does."""

from __future__ import annotations

import re

import pypdfium2 as pdfium
import pytest
from tissue_entries import ENTRIES, Fields, altered_by

from firsthand.alter import ALTERATIONS
from firsthand.sheets.alteration_cards import alteration_cards
from firsthand.sheets.alteration_strips import alteration_strips
from firsthand.sheets.before_after import before_after

PRINTED_ANEW: tuple[str, ...] = ()
"""Kinds whose pieces are printed again: none. Even a size that was trimmed off is measured from one that was not."""
DOING = {
    "cut and spread": r"Cut from .+(spread by|lay one side over|and the cut opens|across to|to meet)",
    "cut in two": r"Draw a line (straight )?from .+ Cut the tissue along it",
    "tape": r"Tape the tissue of .+ stitching line on stitching line",
    "turn over": r"turn the tracing over",
    "open out": r"The tissue shows half of it: trace it twice",
    "each hand": r"Trace it from the tissue of",
    "measure off": r"\d mm (in|out|beyond|back|towards)",
    "mark": r"(draw it new, at|gone, leave it out)",
    "copy": r"Copy the whole piece at \d",
}
"""What a maker can do at a table, and the words that say it."""
ONLY = {"split-piece": "cut in two", "join": "tape", "mirror": "turn over", "unfold": "open out", "split-hands": "each hand",
        "scale": "copy", "flare": "cut and spread", "slash": "cut and spread", "turn-dart": "cut and spread",
        "turn-of-cloth": "measure off", "grade": "measure off", "notches": "mark", "close-dart": "mark"}  # fmt: skip
"""The shortest way of some kinds."""


def text_of(garment: str, kind: str, fields: Fields) -> str:
    """All words of the card, in one line."""
    (card,) = alteration_cards(altered_by(garment, (kind, fields)))
    pages = [page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(card.data)]
    return " ".join(" ".join(pages).split())


def test_every_kind_has_an_entry() -> None:
    assert {kind for _, kind, _ in ENTRIES} == set(ALTERATIONS)


@pytest.mark.parametrize(("garment", "kind", "fields"), ENTRIES, ids=[kind for _, kind, _ in ENTRIES])
def test_the_card_of_every_kind_says_what_to_do(garment: str, kind: str, fields: Fields) -> None:
    text = text_of(garment, kind, fields)
    found = {name for name, words in DOING.items() if re.search(words, text)}
    assert found
    assert found >= {ONLY[kind]} if kind in ONLY else True
    assert ("print it" in text) == (kind in PRINTED_ANEW)
    # no ids of files, no amounts of nothing, no mirrored edges
    assert not re.search(r"[a-z]\.[a-z]", text)
    assert not re.search(r"(by|:) 0\.0 cm", text)
    assert "mirrored" not in text


def test_a_flare_says_and_draws_where_its_cuts_are_hinged() -> None:
    """Four cuts at eighths of the hem are hinged at the eighths of the waist, within what a ruler lets one read off."""
    garment, kind, fields = next(entry for entry in ENTRIES if entry[1] == "flare")
    text = text_of(garment, kind, fields)
    hinges = [float(word) for word in re.findall(r"to waist, ([\d.]+) cm from the corner with side, and leave", text)]
    assert sorted(hinges[:2]) == pytest.approx([18.9 / 8, 18.9 * 3 / 8], abs=0.5)
    results = altered_by(garment, (kind, fields))
    (file,) = before_after(results)
    assert "cut the tissue here" in pdfium.PdfDocument(file.data)[0].get_textpage().get_text_bounded()


@pytest.mark.parametrize("kind", ["bust", "turn-dart", "split-dart", "take-in", "upper-arm", "split-piece", "turn-of-cloth"])
def test_strips_need_no_joining_and_carry_their_names(kind: str) -> None:
    garment, _, fields = next(entry for entry in ENTRIES if entry[1] == kind)
    (file,) = alteration_strips(altered_by(garment, (kind, fields), papers=("A4",)))
    document = pdfium.PdfDocument(file.data)
    pages = [page.get_textpage().get_text_bounded() for page in document]
    assert "Joining the pages" not in pages[0]
    names = re.findall(r"^\d\w? .+$", pages[0].split("Pieces")[1], re.MULTILINE)
    assert names
    rest = " ".join(" ".join(pages[1:]).split())
    for name in names:
        assert name.split(",")[0].strip() in rest
