"""The buy list: fabric, thread, haberdashery, needles, budget."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.steps.small_garments import FABRICS, costume, jerkin, ref, shirt, skirt

from firsthand.buy import BuyLine, BuyList, buy_list, check_budget
from firsthand.buy._fabric import up_to_step
from firsthand.errors import GeometryError
from firsthand.fabric import Fabric, ShelfItem
from firsthand.findings import Block
from firsthand.lay import FabricLays, Lay, Way
from firsthand.pattern import Closure, ClosureKind, Garment, Haberdashery, Hand
from firsthand.steps import Machines, Place, SetUp, Step, costume_steps


def laid(**lengths: float) -> dict[str, FabricLays]:
    return {name: FabricLays(name, (Lay(name, Way.OPEN, 1400.0, length, (), ()),)) for name, length in lengths.items()}


def bought(
    *garments: Garment, fabrics: dict[str, Fabric] | None = None, shelf: Iterable[ShelfItem] = (), **lengths: float
) -> BuyList:
    made = {garment.id: garment for garment in garments}
    return buy_list(made, fabrics or FABRICS, laid(**lengths), (), shelf)


def line(found: BuyList, word: str) -> BuyLine:
    (only,) = [one for one in found.lines if word in one.what]
    return only


def codes(found: BuyList) -> list[str]:
    return [finding.code for finding in found.findings]


# fabric -----------------------------------------------------------------------------------------------------


def test_fabric_is_bought_before_it_shrinks_and_up_to_the_step() -> None:
    """1.88 m laid in linen that loses 6 %: 1.88 / 0.94 = 2.00 m."""
    found = line(bought(skirt(), linen=1880.0, fusible=100.0), "Shirt linen")
    assert found.needed == pytest.approx(2000.0)
    assert found.to_buy == pytest.approx(2000.0)
    more = line(bought(skirt(), linen=1881.0, fusible=100.0), "Shirt linen")
    assert more.to_buy == pytest.approx(2100.0)
    assert any("0.940" in word for word in more.why)


def test_fabric_that_is_not_shrunk_is_bought_as_laid() -> None:
    fabrics = {**FABRICS, "linen": replace(FABRICS["linen"], preshrunk=False)}
    assert line(bought(skirt(), fabrics=fabrics, linen=1880.0), "Shirt linen").needed == 1880.0


def test_the_shelf_comes_first() -> None:
    fabrics = {**FABRICS, "linen": replace(FABRICS["linen"], on_hand=2500.0, price=12.0)}
    plenty = bought(skirt(), fabrics=fabrics, linen=1880.0, fusible=100.0)
    assert line(plenty, "Shirt linen").to_buy == 0.0
    assert line(plenty, "Shirt linen").cost == 0.0
    fabrics["linen"] = replace(fabrics["linen"], on_hand=1500.0)
    short = bought(skirt(), fabrics=fabrics, linen=1880.0, fusible=100.0)
    assert line(short, "Shirt linen").to_buy == pytest.approx(500.0)
    assert line(short, "Shirt linen").cost == pytest.approx(6.0)
    (said,) = [finding for finding in short.findings if finding.code == "buy-fabric-short"]
    assert "⟨500 mm⟩ short" in said.message


def test_a_shortage_is_not_told_twice() -> None:
    fabrics = {**FABRICS, "linen": replace(FABRICS["linen"], on_hand=1500.0)}
    lays = laid(linen=1880.0)
    first = bought(skirt(), fabrics=fabrics, linen=1880.0).findings[0]
    told = {"linen": replace(lays["linen"], findings=(replace(first, code="fabric-short"),))}
    assert "buy-fabric-short" not in codes(buy_list({"skirt": skirt()}, fabrics, told, (), ()))


def test_a_fabric_without_a_lay_is_listed_with_its_amount_unknown() -> None:
    found = bought(skirt(), fusible=100.0)
    assert not line(found, "Shirt linen").known
    (said,) = [finding for finding in found.findings if finding.code == "fabric-length-unknown"]
    assert said.blocks == (Block("buy", "linen"),)


def test_interfacing_is_told_from_fabric() -> None:
    found = bought(jerkin(), melton=1000.0, twill=1000.0, fusible=400.0)
    assert {one.what: one.sort for one in found.lines if one.sort in ("fabric", "interfacing")} == {
        "Slate melton": "fabric", "Lining twill": "fabric", "Fusible": "interfacing",
    }  # fmt: skip
    assert line(found, "Slate melton").garments == ("jerkin",)


def test_a_shrinkage_nobody_measured_is_named() -> None:
    assert "shrink-assumed" in codes(bought(jerkin(), melton=1000.0, twill=1000.0, fusible=400.0))
    assert "shrink-assumed" not in codes(bought(skirt(), linen=1000.0))


@given(st.floats(0, 1e6), st.sampled_from([1.0, 50.0, 100.0, 250.0, 914.4]))
def test_the_shop_s_step(length: float, step: float) -> None:
    """Enough, by less than one step, and a whole number of steps."""
    got = up_to_step(length, step)
    assert length - 1e-5 * step <= got < length + step
    assert math.isclose(got / step, round(got / step), abs_tol=1e-9)


# thread -----------------------------------------------------------------------------------------------------


def sewn(stitch: str, metres: float, colour: str = "red", place: Place = Place.MACHINE, minutes: float = 60.0) -> Step:
    set_up = SetUp(stitch, 2.5, "universal 80/12" if place is Place.MACHINE else "", "", colour)
    return Step(f"{stitch} {metres} {colour}", "coat", "seams", "Sew", place, minutes, setup=set_up, length=metres * 1000)


@pytest.mark.parametrize(("metres", "spools"), [(34.0, 1), (35.0, 2), (69.0, 2), (70.0, 3)])
def test_spools_of_lockstitch(metres: float, spools: int) -> None:
    """2.5 times the seam and 15 % more, on spools of 100 m: 34.78 m of seam to a spool."""
    assert line(buy_list({}, {}, {}, [sewn("straight", metres)], ()), "thread").to_buy == spools


def test_stitches_of_one_colour_go_together_and_colours_do_not() -> None:
    steps = [sewn("straight", 20), sewn("narrow zigzag", 10), sewn("straight", 20, "blue")]
    found = buy_list({}, {}, {}, steps, ())
    assert line(found, "red").to_buy == 2, "20 x 2.5 + 10 x 5.5 = 105 m, 121 with waste"
    assert line(found, "blue").to_buy == 1


def test_thread_on_the_shelf() -> None:
    shelf = [ShelfItem("a", "thread", colour="Red", length=30_000), ShelfItem("b", "thread", colour="red", count=1)]
    assert line(buy_list({}, {}, {}, [sewn("straight", 34)], shelf), "thread").to_buy == 0
    assert line(buy_list({}, {}, {}, [sewn("straight", 50)], shelf), "thread").to_buy == 1


def test_an_overlocker_takes_three_cones() -> None:
    found = buy_list({}, {}, {}, [sewn("3-thread overlock", 5, place=Place.OVERLOCKER)], [ShelfItem("c", "cone", "", "red", 2)])
    assert (line(found, "cone").needed, line(found, "cone").on_hand, line(found, "cone").to_buy) == (3, 2, 1)


def test_needles_wear_out() -> None:
    """A new one every 6 to 8 hours: extradisciplinary.com."""
    steps = [sewn("straight", 1, minutes=8 * 60), sewn("straight", 2, minutes=60)]
    found = buy_list({}, {}, {}, steps, [ShelfItem("n", "needles", "universal 80/12", count=1)])
    assert (line(found, "needle").needed, line(found, "needle").to_buy) == (2, 1)


def test_the_steps_of_a_costume_give_thread_in_every_colour() -> None:
    steps = costume_steps(costume(), FABRICS, Machines())
    found = buy_list(costume(), FABRICS, laid(linen=3000, melton=1500, twill=1500, fusible=500), steps, ())
    colours = {one.what for one in found.lines if one.sort == "thread"}
    assert {"thread, white, spool of 100 m", "thread, slate, spool of 100 m", "overlocker cone, white"} <= colours
    assert all(one.to_buy >= 0 and one.needed >= 0 and one.why for one in found.lines)


# haberdashery -----------------------------------------------------------------------------------------------


def test_haberdashery_is_counted_and_taken_from_the_shelf_once() -> None:
    other = replace(shirt(), id="other")
    shelf = [ShelfItem("tin", "buttons", "11 mm", "horn", count=3)]
    found = line(bought(shirt(), other, shelf=shelf), "button")
    assert (found.needed, found.on_hand, found.to_buy) == (4, 3, 1)
    assert found.garments == ("shirt", "other")
    assert any("14 mm" in word for word in found.why), "11 mm across and 3 mm thick"


def test_length_is_taken_from_the_shelf() -> None:
    found = line(bought(jerkin(), shelf=[ShelfItem("c", "cord", "4 mm", length=1500)]), "cord")
    assert (found.unit, found.needed, found.on_hand, found.to_buy) == ("length", 2000.0, 1500.0, 500.0)


def test_another_size_is_not_taken() -> None:
    assert line(bought(jerkin(), shelf=[ShelfItem("e", "eyelet", "8 mm", count=50)]), "eyelet").to_buy == 12


def test_what_a_closure_needs_and_no_list_names() -> None:
    assert line(bought(skirt()), "hook").to_buy == 1


def test_numbers_that_agree_are_quiet() -> None:
    assert "button-count" not in codes(bought(shirt()))
    assert "eyelet-count" not in codes(bought(jerkin()))


def test_buttons_and_buttonholes_that_differ() -> None:
    closures = tuple(replace(closure, count=2) for closure in shirt().closures)
    found = [finding for finding in bought(replace(shirt(), closures=closures)).findings if finding.code == "button-count"]
    assert [finding.message.split(": ")[-1] for finding in found] == [
        "2 buttons for 1 buttonholes", "2 buttons for 1 buttonholes", "2 buttons listed, 4 close something",
    ]  # fmt: skip


def test_eyelets_that_differ() -> None:
    closures = (replace(jerkin().closures[0], count=5),)
    found = bought(replace(jerkin(), closures=closures))
    assert codes(found).count("eyelet-count") == 2


def test_buttons_only_for_show_are_asked_about() -> None:
    garment = replace(skirt(), haberdashery=(Haberdashery("button", 6, size="24 line"),))
    assert "button-count" in codes(bought(garment))
    assert any("18 mm" in word for word in line(bought(garment), "button").why), "24 lines are 15.24 mm, and 3 mm thick"


def test_a_closure_sold_by_length_without_one_is_not_known() -> None:
    closure = Closure("neck", ClosureKind.DRAWSTRING, (ref("front.neck", Hand.RIGHT),))
    assert not line(bought(replace(shirt(), closures=(closure,))), "cord").known


# money ------------------------------------------------------------------------------------------------------


def test_budget() -> None:
    priced = BuyList(
        (BuyLine("fabric", "melton", "length", 1, 0, 1, 45.0), BuyLine("fabric", "linen", "length", 1, 0, 1, 20.0))
    )
    assert check_budget(priced, 65.0) == ()
    assert check_budget(priced, 0) == ()
    (found,) = check_budget(priced, 50.0, currency="EUR")
    assert (found.code, found.message) == ("over-budget", "EUR 65.00 to buy, EUR 15.00 over the budget")
    assert "melton" in found.remedy


@pytest.mark.parametrize("budget", [-1.0, math.nan, math.inf])
def test_budgets_without_sense(budget: float) -> None:
    with pytest.raises(GeometryError):
        check_budget(BuyList(()), budget)


def test_missing_prices_are_said() -> None:
    assert "prices-unknown" in codes(bought(skirt(), linen=1000.0))
    assert codes(buy_list({}, {}, {}, (), ())) == []


def test_a_shelf_without_sense() -> None:
    with pytest.raises(GeometryError):
        buy_list({}, {}, {}, (), [ShelfItem("x", "cord", length=math.nan)])
    with pytest.raises(GeometryError):
        buy_list({}, {}, {}, (), [ShelfItem("x", "button", count=-1)])
