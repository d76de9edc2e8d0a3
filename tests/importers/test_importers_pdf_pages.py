"""Pages as the standard allows them, written by hand: layers, units, turned pages, boxes, forms, colours.

Clauses of ISO 32000-1 stand beside each.
"""

import pikepdf
import pytest
from pdf_papers import MM, by_hand, front, operators, strayed, turned
from pikepdf import Array, Dictionary, Name

from firsthand.errors import BadInput
from firsthand.importers import import_svg  # noqa: F401 (the rooms of all importers load together)
from firsthand.importers.pdf import import_pdf, pages_as_pictures

TRUE = 0.05
STEPS = (0.0, 6.0, 12.0)


def only(file, **options):
    (one,) = import_pdf(file, **options).proposals
    return one


def grouped(document, names, off=()):
    """Optional content groups, some off by default (8.11)."""
    groups = [document.make_indirect(Dictionary(Type=Name.OCG, Name=name)) for name in names]
    document.Root.OCProperties = Dictionary(
        OCGs=Array(groups), D=Dictionary(Order=Array(groups), OFF=Array([groups[k] for k in off]))
    )
    return groups


def test_layers_are_sizes_those_that_are_off_too(tmp_path):
    file = tmp_path / "layers.pdf"
    content = "\n".join(f"/OC /L{k} BDC {operators(front(g))} EMC" for k, g in enumerate(STEPS))
    document = by_hand(file, content, save=False)
    groups = grouped(document, ["S", "M", "L"], off=(1, 2))
    document.pages[0].obj["/Resources"] = Dictionary(Properties=Dictionary({f"/L{k}": g for k, g in enumerate(groups)}))
    document.save(file)
    found = {one.size: one for one in import_pdf(file).proposals}
    assert set(found) == {"S", "M", "L"}
    assert all(strayed(found[size].outline, front(g)) < TRUE for size, g in zip("SML", STEPS, strict=True))


def test_membership_dictionaries_and_the_layers_of_forms(tmp_path):
    """8.11.2.2, and /OC of a form: table 95."""
    file = tmp_path / "membership.pdf"
    document = by_hand(file, f"/OC /M BDC {operators(front(0))} EMC /F Do /G Do", save=False)
    small, middle, large = grouped(document, ["38", "40", "42"])

    def form(grow, layer):
        stream = document.make_stream(operators(front(grow)).encode())
        stream.stream_dict = Dictionary(Type=Name.XObject, Subtype=Name.Form, BBox=[-1000, -1000, 1000, 1000], OC=layer)
        return stream

    document.pages[0].obj["/Resources"] = Dictionary(
        Properties=Dictionary(M=Dictionary(Type=Name.OCMD, OCGs=Array([small]), P=Name.AnyOn)),
        XObject=Dictionary(F=form(6, middle), G=form(12, Dictionary(Type=Name.OCMD, VE=Array([Name.And, large])))),
    )
    document.save(file)
    found = {one.size: one for one in import_pdf(file).proposals}
    assert set(found) == {"38", "40", "42"}
    assert strayed(found["40"].outline, front(6)) < TRUE


@pytest.mark.parametrize("quarter", [0, 90, 180, 270, -90])
def test_turned_pages_are_read_as_they_are_seen(tmp_path, quarter):
    """Rotate turns clockwise: table 30."""
    by_hand(tmp_path / "turned.pdf", operators(front()), Rotate=quarter)
    found = only(tmp_path / "turned.pdf").outline
    assert strayed(found, turned(front(), -quarter // 90)) < TRUE


def test_a_page_may_have_its_own_unit(tmp_path):
    """UserUnit: table 30."""
    by_hand(tmp_path / "unit.pdf", operators(front()), UserUnit=2)
    found = only(tmp_path / "unit.pdf").outline
    assert found.bounds.width == pytest.approx(2 * front().bounds.width, abs=0.1)


def test_boxes_need_not_begin_at_nothing(tmp_path):
    box = [-100 * MM, -50 * MM, 400 * MM, 600 * MM]
    by_hand(tmp_path / "box.pdf", operators(front()), MediaBox=Array(box), CropBox=Array([0, 0, 360 * MM, 550 * MM]))
    assert strayed(only(tmp_path / "box.pdf").outline, front()) < TRUE


@pytest.mark.parametrize(
    ("name", "wide", "high"), [("A4", 210, 297), ("A3", 297, 420), ("A2", 420, 594), ("A1", 594, 841), ("A0", 841, 1189)]
)
def test_pages_have_the_sizes_of_iso_216(tmp_path, name, wide, high):
    """A line from edge to edge of the sheet comes in as long as ISO 216:2007 says."""
    by_hand(tmp_path / "page.pdf", f"1 1 {wide - 2} {high - 2} re S", size=(wide, high))
    box = only(tmp_path / "page.pdf").outline.bounds
    assert (box.width, box.height) == pytest.approx((wide - 2, high - 2), abs=0.01)


def test_colours_of_every_sort_tell_sizes_apart(tmp_path):
    """Grey, RGB, four inks, a spot ink: 8.6."""
    file = tmp_path / "inks.pdf"
    ways = ["0.5 G", "1 0 0 RG", "0 1 0 0 K", "/CS /Spot CS 1 SCN".replace("/CS /Spot CS", "/Spot CS")]
    content = "\n".join(f"q {way} {operators(front(6.0 * k))} Q" for k, way in enumerate(ways))
    document = by_hand(file, content, save=False)
    function = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 0.8, 0, 0], N=1)
    document.pages[0].obj["/Resources"] = Dictionary(
        ColorSpace=Dictionary(Spot=Array([Name.Separation, Name("/Plum"), Name.DeviceCMYK, function]))
    )
    document.save(file)
    found = {one.size: one for one in import_pdf(file).proposals}
    assert len(found) == 4
    assert all(strayed(found[f"size {k + 1}"].outline, front(6.0 * k)) < TRUE for k in range(4))


def test_dashes_from_a_graphics_state_and_forms_with_a_matrix(tmp_path):
    file = tmp_path / "state.pdf"
    document = by_hand(file, f"q /E gs {operators(front(6))} Q /F Do", save=False)
    form = document.make_stream(operators(front()).encode())
    form.stream_dict = Dictionary(Subtype=Name.Form, BBox=[-900, -900, 900, 900], Matrix=[1, 0, 0, 1, 0.0, 0.0])
    document.pages[0].obj["/Resources"] = Dictionary(
        ExtGState=Dictionary(E=Dictionary(D=Array([Array([3, 2]), 0]))), XObject=Dictionary(F=form)
    )
    document.save(file)
    found = import_pdf(file).proposals
    assert sorted(one.size for one in found) == ["size 1", "size 2"]


def test_an_outline_on_the_fold_is_closed_by_the_fold_line(tmp_path):
    outline = front()
    open_part = operators(outline.between(0, outline.length - 1 - outline.segments[-1].length + 1)).replace("h S", "S")
    fold = f"[8 2 1 2] 0 d {outline.segments[-1].a.x} {outline.segments[-1].a.y} m {outline.start.x} {outline.start.y} l S"
    by_hand(tmp_path / "fold.pdf", f"{open_part}\n{fold}")
    assert strayed(only(tmp_path / "fold.pdf").outline, outline) < TRUE


def test_pictures_are_handed_on(tmp_path):
    file = tmp_path / "picture.pdf"
    document = by_hand(file, "q 400 0 0 560 10 10 cm /I Do Q", save=False)
    image = document.make_stream(bytes(range(256)) * 3)
    image.stream_dict = Dictionary(
        Type=Name.XObject, Subtype=Name.Image, Width=16, Height=16, ColorSpace=Name.DeviceRGB, BitsPerComponent=8
    )
    document.pages[0].obj["/Resources"] = Dictionary(XObject=Dictionary(I=image))
    document.save(file)
    found = import_pdf(file)
    assert found.proposals == ()
    assert [f.code for f in found.findings] == ["pdf-pictures"]
    (page,) = pages_as_pictures(file, 50)
    assert page.mm_per_pixel == pytest.approx(25.4 / 50, rel=0.01)
    assert page.image.shape[2] == 3
    with pytest.raises(BadInput):
        pages_as_pictures(file, 300, pages=[2])
    with pytest.raises(BadInput):
        pages_as_pictures(file, float("nan"))


def test_a_password_is_asked_for_and_an_empty_one_tried(tmp_path):
    document = by_hand(tmp_path / "plain.pdf", operators(front()))
    document.save(tmp_path / "owner.pdf", encryption=pikepdf.Encryption(owner="o", user=""))
    assert strayed(only(tmp_path / "owner.pdf").outline, front()) < TRUE
    document.save(tmp_path / "user.pdf", encryption=pikepdf.Encryption(owner="o", user="u"))
    with pytest.raises(BadInput, match="password"):
        import_pdf(tmp_path / "user.pdf")
