"""The page to look at."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

from firsthand.findings import Finding, Severity
from firsthand.sheets import Results, Scope, Settings, index_page, make_sheets
from firsthand.units import Unit

VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}  # HTML standard, void elements


class Reader(HTMLParser):
    """Checks that every element is closed in order, and collects what is asked about."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"{tag} is closed but was not open"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def page(results: Results) -> Reader:
    """The page, read."""
    files = make_sheets(results, Scope.GARMENT) + make_sheets(results, Scope.COSTUME)
    return Reader(index_page(results, files).data.decode())


def test_it_is_well_formed_and_says_what_is_wrong_first(costume: Results) -> None:
    reader = page(costume)
    text = "".join(reader.text)
    assert text.index("The shoulder tab is torn.") < text.index("Side seam: front") < text.index("Ease wanted")
    assert "Sat 1 May 2027" in text
    assert "£46.00" in text
    ids = [attrs["id"] for _, attrs in reader.tags if "id" in attrs]
    assert len(ids) == len(set(ids))


def test_it_links_to_every_file(costume: Results) -> None:
    files = make_sheets(costume, Scope.GARMENT) + make_sheets(costume, Scope.COSTUME)
    links = {attrs.get("href") for tag, attrs in Reader(index_page(costume, files).data.decode()).tags if tag == "a"}
    assert {file.name for file in files} <= links


def test_it_asks_for_nothing_from_outside(costume: Results) -> None:
    reader = page(costume)
    assert not {"script", "link", "img", "iframe", "object", "form"} & {tag for tag, _ in reader.tags}
    for _, attrs in reader.tags:
        assert not any(key.startswith("on") or key == "src" for key in attrs)
        assert ":" not in (attrs.get("href") or "")
    data = index_page(costume, ()).data.decode()
    assert "@import" not in data
    assert "url(http" not in data


def test_names_with_markup_stay_text(costume: Results) -> None:
    nasty = "<script>alert('x')</script>&\"'"
    fit = costume.fits["jerkin"]
    fabrics = {key: replace(fabric, name=nasty) for key, fabric in costume.fabrics.items()}
    found = (Finding("f", Severity.FAULT, nasty, (nasty,), nasty, why=(nasty,)),)
    results = replace(
        costume, costume=nasty, wearer=nasty, fabrics=fabrics, findings=found,
        fits={"jerkin": replace(fit, garment=replace(fit.garment, name=nasty))},
    )  # fmt: skip
    reader = page(results)
    assert "script" not in {tag for tag, _ in reader.tags}
    assert "".join(reader.text).count("<script>alert") > 8


def test_nothing_at_all_still_makes_a_page() -> None:
    reader = Reader(index_page(Results("Empty", "", Settings()), ()).data.decode())
    assert "Nothing." in "".join(reader.text)


def test_same_input_same_bytes(costume: Results) -> None:
    assert index_page(costume, ()).data == index_page(costume, ()).data


def test_lengths_within_texts_are_in_the_readers_units(costume: Results) -> None:
    for units, words in ((Unit.CM, "front 36.0 cm, back 35.2 cm"), (Unit.INCH, "front 14⅛ in, back 13⅞ in")):
        text = "".join(page(replace(costume, settings=replace(costume.settings, units=units))).text)
        assert words in text
        assert "⟨" not in text
