"""The sheet of sizes, read back as text."""

from __future__ import annotations

from dataclasses import replace

import pypdfium2 as pdfium

from firsthand.body import Body, Measurement
from firsthand.demo import demo_patterns
from firsthand.fit.model import Verdict
from firsthand.fit.sizing import InSize, LevelSizes, SizeChoice, choose_size, compare_form
from firsthand.sheets import SHEETS, Results, Scope, Settings
from firsthand.sheets._fit_sizes import shown_sizes
from firsthand.units import Unit


def body(name: str, *, form: bool = False, **values: float) -> Body:
    return Body(name, name.capitalize(), {key: Measurement(key, value) for key, value in values.items()}, "female", form=form)


WEARER = body("wearer", bust_girth=940.0, upper_chest_girth=890.0, waist_girth=760.0, hip_girth=1010.0, head_girth=570.0)


def sheet(**more: object) -> str:
    results = replace(Results("The Tide", "Wearer", Settings()), **more)  # type: ignore[arg-type]
    files = SHEETS[Scope.COSTUME]["sizes"](results)
    pages = (page.get_textpage().get_text_bounded() for file in files for page in pdfium.PdfDocument(file.data))
    return " ".join(" ".join(pages).split())


def test_a_garment_has_its_size_its_reason_and_a_table_of_sizes() -> None:
    choice = choose_size(demo_patterns()["jerkin"], WEARER, sort="jerkin", cut="semi-fitted")
    text = sheet(sizes={"jerkin": choice})
    assert f"jerkin: size {choice.size}" in text
    assert "By the high bust and its finished girth" in text
    assert "Body, cm Ease in S Ease in M Ease in L Ease wanted Fits" in text
    assert "Bust 94.0" in text


def test_a_blend_a_size_made_again_and_what_was_noticed_are_there_in_inches_too() -> None:
    patterns = demo_patterns()
    fuller = replace(WEARER, measurements={**WEARER.measurements, "waist_girth": Measurement("waist_girth", 715.0)})
    jerkin = choose_size(patterns["jerkin"], fuller, sort="jerkin", cut="semi-fitted")
    cape = choose_size(patterns["cape"], WEARER, sort="cape", cut="over-garment")
    assert jerkin.blend
    assert cape.grade
    text = sheet(sizes={"jerkin": jerkin, "cape": cape}, settings=Settings(units=Unit.INCH))
    assert f"Or blend sizes: {jerkin.blend_words}." in text
    assert "Body, in" in text
    assert "Size L is made again from its neighbours first." in text
    assert "Size L is not on the paper any more." in text


def test_where_no_size_can_be_told_it_is_said() -> None:
    choice = choose_size(demo_patterns()["hood"], body("bare", stature=1700.0), sort="hood", cut="close")
    text = sheet(sizes={"hood": choice})
    assert "hood: no size can be told" in text
    assert "Take the head." in text


def test_a_dress_form_has_its_table_how_to_pad_it_and_what_it_does_not_tell() -> None:
    form = body("agnes", form=True, bust_girth=880.0, waist_girth=700.0, hip_girth=1030.0)
    text = sheet(form=compare_form(form, WEARER, wadding=8.0))
    assert "full bust 88.0 94.0 6.0 pad 19 mm thick over the front" in text
    assert "hip 103.0 101.0 −2.0 2.0 cm too large" in text
    assert "How to pad it" in text
    assert "What a fitting on it does not tell" in text


def test_without_sizes_and_a_form_there_is_no_sheet() -> None:
    assert SHEETS[Scope.COSTUME]["sizes"](Results("The Tide", "Wearer", Settings())) == ()


def test_of_many_sizes_those_next_to_the_chosen_one_are_shown() -> None:
    every = tuple(InSize(str(size), 900.0, 50.0, Verdict.GOOD) for size in range(6, 22, 2))
    level = LevelSizes("hip", "Hip", "hip_girth", 850.0, 850.0, None, every)
    assert shown_sizes(SizeChoice("p", "12", levels=(level,))) == ("8", "10", "12", "14", "16")
    assert shown_sizes(SizeChoice("p", "6", levels=(level,))) == ("6", "8", "10", "12", "14")
    assert shown_sizes(SizeChoice("p", "20", levels=(level,))) == ("12", "14", "16", "18", "20")
