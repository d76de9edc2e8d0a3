"""Lists, plan cards, buy list and findings, read back as text."""

from __future__ import annotations

from dataclasses import replace

import pypdfium2 as pdfium
import pytest

from firsthand.buy import BuyLine, BuyList
from firsthand.findings import Block, Finding, Severity
from firsthand.geometry.drawing import Recorder
from firsthand.pattern import PartState
from firsthand.plan import Plan, PlanCard
from firsthand.sheets import SHEETS, Results, Scope, Settings, SheetFile, make_sheets
from firsthand.sheets._flow import TICK, Column, Flow
from firsthand.sheets._paper import paper
from firsthand.steps import Place, Step
from firsthand.units import Unit


def words(file: SheetFile) -> str:
    """All text of a PDF on one line."""
    pages = (page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(file.data))
    return " ".join(" ".join(pages).split())


def made(results: Results, scope: Scope, name: str) -> SheetFile:
    """The one file of a sheet."""
    return SHEETS[scope][name](results)[0]


def test_cutting_list_goes_fabric_by_fabric(results: Results) -> None:
    text = words(made(results, Scope.GARMENT, "cutting-list"))
    assert "Shell (Slate melton)" in text
    assert "2 Back 1 on the fold 64.6 × 24.5 cm (half)" in text
    assert "5 Sash 1 180.0 × 16.0 cm no outline yet" in text
    assert "Contrast (no fabric chosen)" in text


def test_what_waits_is_said_on_the_cutting_list(results: Results) -> None:
    fit = results.fits["jerkin"]
    parts = tuple(replace(part, state=PartState.HELD_BACK) if part.piece == "sleeve" else part for part in fit.garment.parts)
    wait = Finding("torn", Severity.FAULT, "The front is torn.", ("jerkin",), blocks=(Block("cut", "jerkin/front"),))
    now = replace(results, fits={"jerkin": replace(fit, garment=replace(fit.garment, parts=parts))}, findings=(wait,))
    text = words(made(now, Scope.GARMENT, "cutting-list"))
    assert "hold back until the fitting" in text
    assert "wait: The front is torn." in text


def test_what_forbids_cutting_all_of_it_is_said_once_at_the_top(results: Results) -> None:
    wait = Finding("scale", Severity.FAULT, "It is a copy at 97 %", remedy="Scale it.", blocks=(Block("cut", "jerkin"),))
    text = words(made(replace(results, findings=(wait,)), Scope.GARMENT, "cutting-list"))
    assert text.count("It is a copy at 97 %.") == 1
    assert text.index("Do not cut yet: It is a copy") < text.index("1 Front")


def test_marking_list_counts_marks(results: Results) -> None:
    text = words(made(results, Scope.GARMENT, "marking-list"))
    assert "1 notch and 1 double notch armhole" in text
    assert "waist dart hem, 2.4 cm wide" in text
    assert "4 buttonholes" in text
    assert "knife pleat two wrist, 1.2 cm deep, laid towards the start" in text


def test_interfacing_list_cautions_about_the_iron(results: Results) -> None:
    text = words(made(results, Scope.GARMENT, "interfacing-list"))
    assert "4 Shoulder tab 2 interfacing (Fusible canvas) shell" in text
    assert "hot iron" in text


def test_fit_sheet_shows_both_tables(results: Results) -> None:
    text = words(made(results, Scope.GARMENT, "fit"))
    assert "waist 82.0 cm 97.2 cm 15.2 cm 94.0 cm 12.0 cm 6.0 to 12.0 cm good" in text
    assert "chest – 101.0 cm – 101.0 cm – – not known" in text
    inches = words(made(replace(results, settings=Settings(units=Unit.INCH)), Scope.GARMENT, "fit"))
    assert "waist 32¼ in" in inches


def test_fit_sheet_says_where_the_garment_ends_before_a_level(results: Results) -> None:
    fit = results.fits["jerkin"]
    ended = replace(fit.after[1], note="the garment ends above this level")
    short = replace(results, fits={"jerkin": replace(fit, after=(fit.after[0], ended))})
    assert "chest: the garment ends above this level." in words(made(short, Scope.GARMENT, "fit"))


def test_buy_list_adds_up(costume: Results) -> None:
    text = words(made(costume, Scope.COSTUME, "buy-list"))
    assert "Slate melton, 148 cm wide 1.92 m – 2.00 m £46.00 Jerkin" in text
    assert "buttons, 15 mm 8 3 5 £2.50" in text
    assert "In all £48.50." in text
    unpriced = replace(costume, buy=BuyList((BuyLine("thread", "slate", "count", 2, 0, 2),)))
    assert "No prices are known." in words(made(unpriced, Scope.COSTUME, "buy-list"))


def test_plan_cards_say_set_up_and_care(costume: Results) -> None:
    text = words(made(costume, Scope.COSTUME, "plan-cards"))
    for said in ("Side seams 20 min", "Sat 1 May 2027", "First change: Thread the machine with slate.",
                 "Machine: straight stitch 2.5 mm, needle universal 90", "The iron is hot"):  # fmt: skip
        assert said in text, said


def test_many_cards_turn_pages_and_keep_whole(costume: Results) -> None:
    step = Step("s", "jerkin", "seams", "Sew", Place.MACHINE, 5.0, "Long words of instruction, again and again. " * 12)
    cards = tuple(PlanCard(k, f"card-{k}", "jerkin", f"Card number {k}", (step,)) for k in range(1, 31))
    file = made(replace(costume, plan=Plan(cards)), Scope.COSTUME, "plan-cards")
    assert 5 < file.pages < 16
    for page in pdfium.PdfDocument(file.data):
        text = page.get_textpage().get_text_bounded()
        assert text.count("Card number") == text.count("5 min") / 2  # each card's head is on the page of its step


def test_findings_come_worst_first(costume: Results) -> None:
    text = words(made(costume, Scope.COSTUME, "findings"))
    assert text.index("torn") < text.index("Side seam") < text.index("has nap")
    assert "Until then: do not print jerkin/tab." in text


def test_every_sheet_of_the_costume_is_made_once(costume: Results) -> None:
    files = make_sheets(costume, Scope.COSTUME)
    assert sorted(file.name for file in files) == [
        "buy-list.pdf", "faults.pdf", "findings.pdf", "lays/melton.pdf", "lays/melton.svg", "plan-cards.pdf",
    ]  # fmt: skip
    assert [file.data for file in make_sheets(costume, Scope.COSTUME)] == [file.data for file in files]


def test_a_table_repeats_its_head_on_the_next_page() -> None:
    flow = Flow(paper("A4"), "Long")
    flow.table((Column("", 1), Column("Thing", 9)), [(TICK, f"row {k}") for k in range(80)])
    assert len(flow.pages) == 3
    for tape in flow.pages:
        recorder = Recorder()
        tape.play(recorder)
        assert recorder.text.count('"Thing"') == 1
        baselines = [float(line.split(" at ")[1].split()[1]) for line in recorder.text.splitlines() if '"row' in line]
        assert min(baselines) >= 10.0


@pytest.mark.parametrize("text", ["", "    ", "\x00\n\t"])
def test_blank_names_do_no_harm(costume: Results, text: str) -> None:
    for scope in Scope:
        for file in make_sheets(replace(costume, costume=text, wearer=text), scope):
            assert file.data


def test_a_caution_is_said_once_on_each_card(costume: Results) -> None:
    step = Step("s", "jerkin", "press", "Press", Place.IRON, 5.0, parts=("jerkin/front left shell",), caution="Mind the iron.")
    cards = tuple(PlanCard(k, f"card-{k}", "jerkin", "Press", (step, replace(step, id="t"))) for k in (1, 2))
    text = words(made(replace(costume, plan=Plan(cards)), Scope.COSTUME, "plan-cards"))
    assert text.count("Mind the iron.") == 2
    assert "Parts: front left shell" in text
