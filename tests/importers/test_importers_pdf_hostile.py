"""PDF files that are broken, locked, endless or far too large: a clear error, and nothing hangs."""

import zlib

import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pdf_papers import by_hand, front, operators, sizes_drawn, tiled
from pikepdf import Array, Dictionary, Name

from firsthand.errors import BadInput, FirsthandError
from firsthand.importers.pdf import import_pdf


def refused(file, words):
    with pytest.raises(BadInput, match=words) as caught:
        import_pdf(file)
    assert str(file.parent) not in str(caught.value)


@pytest.mark.parametrize("data", [b"%PDF-1.7\n", b"not a PDF at all", b"%PDF-1.4\n%%EOF", bytes(2000)])
def test_what_is_no_pdf_is_refused(tmp_path, data):
    file = tmp_path / "no.pdf"
    file.write_bytes(data)
    refused(file, "PDF")


def test_missing_and_empty_files_are_named(tmp_path):
    refused(tmp_path / "missing.pdf", "missing.pdf")
    (tmp_path / "empty.pdf").write_bytes(b"")
    refused(tmp_path / "empty.pdf", "empty")


def test_thousands_of_pages_are_refused(tmp_path):
    document = pikepdf.new()
    for _ in range(1001):
        document.add_blank_page(page_size=(100, 100))
    document.save(tmp_path / "many.pdf")
    refused(tmp_path / "many.pdf", "1001 pages")


def test_pages_of_no_sensible_size_are_refused(tmp_path):
    by_hand(tmp_path / "wide.pdf", operators(front()), MediaBox=Array([0, 0, 10_000_000, 10]))
    refused(tmp_path / "wide.pdf", "page 1")
    by_hand(tmp_path / "unit.pdf", operators(front()), UserUnit=1e6)
    refused(tmp_path / "unit.pdf", "page 1")


def form(document, content, **entries):
    stream = document.make_stream(content)
    stream.stream_dict = Dictionary(Type=Name.XObject, Subtype=Name.Form, BBox=[-9999, -9999, 9999, 9999], **entries)
    return document.make_indirect(stream)


def test_a_form_that_draws_itself_is_refused(tmp_path):
    document = by_hand(tmp_path / "x.pdf", "/A Do", save=False)
    one, two = form(document, b"/B Do"), form(document, b"/A Do")
    one.Resources = Dictionary(XObject=Dictionary(B=two))
    two.Resources = Dictionary(XObject=Dictionary(A=one))
    document.pages[0].obj["/Resources"] = Dictionary(XObject=Dictionary(A=one))
    document.save(tmp_path / "circle.pdf")
    refused(tmp_path / "circle.pdf", "draws itself")


def test_forms_too_deep_and_forms_that_multiply_are_refused(tmp_path):
    for calls, depth, words in ((1, 40, "deep"), (60, 8, "forms to be drawn")):
        document = by_hand(tmp_path / "x.pdf", "/F Do", save=False)
        inner = form(document, b"0 0 m 9 9 l S " * 5)
        for _ in range(depth):
            inner = form(document, b"/F Do " * calls, Resources=Dictionary(XObject=Dictionary(F=inner)))
        document.pages[0].obj["/Resources"] = Dictionary(XObject=Dictionary(F=inner))
        document.save(tmp_path / "deep.pdf")
        refused(tmp_path / "deep.pdf", words)


def test_a_stream_that_unfolds_without_end_is_refused(tmp_path):
    document = by_hand(tmp_path / "x.pdf", "", save=False)
    packed = zlib.compress(b" " * 200_000_000, 9)
    stream = document.make_stream(packed)
    stream.stream_dict = Dictionary(Filter=Name.FlateDecode)
    document.pages[0].obj["/Contents"] = stream
    document.save(tmp_path / "bomb.pdf", compress_streams=False)
    refused(tmp_path / "bomb.pdf", "unfolds")


def test_many_states_and_wild_numbers_are_refused(tmp_path):
    by_hand(tmp_path / "q.pdf", "q " * 5000 + operators(front()))
    refused(tmp_path / "q.pdf", "states")
    by_hand(tmp_path / "big.pdf", "1 0 m 99999999999999 1 l S")
    refused(tmp_path / "big.pdf", "number")


@pytest.mark.parametrize(
    "content",
    [
        "",
        "Q Q Q EMC EMC",
        "m l c h S",
        "(a) 1 m 2 [3] l S",
        "/X Do /Y gs /OC /Z BDC S",
        "1 0 0 1 cm 0 0 m S W n",
        "0 0 m 5 5 l",
    ],
)
def test_pages_without_an_outline_are_told_so(tmp_path, content):
    by_hand(tmp_path / "odd.pdf", content)
    refused(tmp_path / "odd.pdf", "odd.pdf")


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sound")
    tiled(folder / "front.pdf", sizes_drawn([((0, 0, 0), ()), ((1, 0, 0), (3, 2))]), labels=["A1", "B1", "A2", "B2"])
    pikepdf.open(folder / "front.pdf").save(
        folder / "plain.pdf", stream_decode_level=pikepdf.StreamDecodeLevel.all, compress_streams=False
    )
    return (folder / "front.pdf").read_bytes(), (folder / "plain.pdf").read_bytes()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_damaged_files_are_read_or_refused(tmp_path, sound, data):
    """Bytes changed, left out and put in; nothing else than an error of our own may come of it."""
    bytes_ = bytearray(sound[data.draw(st.integers(0, 1))])
    for _ in range(data.draw(st.integers(1, 12))):
        at = data.draw(st.integers(0, len(bytes_) - 1))
        what = data.draw(st.sampled_from(["change", "cut", "put", "end"]))
        if what == "change":
            bytes_[at] = data.draw(st.integers(0, 255))
        elif what == "cut":
            del bytes_[at : at + data.draw(st.integers(1, 40))]
        elif what == "put":
            bytes_[at:at] = data.draw(
                st.sampled_from([b"q ", b" 1e99 ", b"-", b"<<", b"]", b"/F1 Do ", b"BI ID ", b"(", b" 0 0 0 0 c "])
            )
        elif len(bytes_) > 500:
            del bytes_[max(400, at) :]
        if not bytes_:
            return
    file = tmp_path / "fuzz.pdf"
    file.write_bytes(bytes(bytes_))
    try:
        found = import_pdf(file)
    except FirsthandError:
        return
    assert all(one.outline.is_closed and one.outline.area > 0 for one in found.proposals)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.sampled_from(
            ["q", "Q", "1 0 0 1 5 5 cm", "0 0 0 0 0 0 cm", "10 10 m", "90 10 l", "90 90 l", "10 90 l", "h", "S", "f", "B*",
             "W n", "0 0 50 50 re", "-5 0 5 5 99 0 c", "7 7 9 9 v", "1 2 3 4 y", "[] 0 d", "[1 2] 0 d", "[-1] 0 d", "0.5 g",
             "/P cs", "/P scn", "/OC /L BDC", "EMC", "/F Do", "BT /F1 9 Tf (a) Tj ET", "1 w", "-3 w", "1 1 1 RG"]
        ),
        max_size=60,
    )
)  # fmt: skip
def test_any_operators_in_any_order(tmp_path, words):
    file = tmp_path / "any.pdf"
    by_hand(file, "\n".join(words))
    try:
        import_pdf(file)
    except FirsthandError:
        return
