"""The order of steps against a stitcher's list and against public-domain dressmaking texts.

Without a source named beside it a rule is common practice.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import replace

import pytest
from tests.steps.small_garments import FABRICS, costume, jerkin, shirt, skirt

from firsthand.pattern import Garment
from firsthand.steps import Machines, Place, Step, check_steps, costume_steps, garment_steps

Steps = Mapping[str, Step]


def by_id(*garments: Garment) -> Steps:
    made = {garment.id: garment for garment in garments}
    return {step.id: step for step in costume_steps(made, FABRICS, Machines())}


def ahead(steps: Steps, name: str) -> set[str]:
    """Everything that must be done before a step."""
    found: set[str] = set()
    todo = list(steps[name].after)
    while todo:
        one = todo.pop()
        if one not in found:
            found.add(one)
            todo += steps[one].after
    return found


def matching(steps: Steps, *words: str) -> list[str]:
    return [name for name in steps if all(word in name for word in words)]


@pytest.fixture(scope="module")
def whole() -> Steps:
    return by_id(*costume().values())


def test_ids_are_unique_and_the_list_itself_is_a_valid_order(whole: Steps) -> None:
    done: set[str] = set()
    for step in costume_steps(costume(), FABRICS, Machines()):
        assert step.id not in done
        assert set(step.after) <= done
        done.add(step.id)


def test_after_is_not_longer_than_it_need_be(whole: Steps) -> None:
    """No step names one that follows from another that it names."""
    for step in whole.values():
        for name in step.after:
            assert not any(name in ahead(whole, other) for other in step.after if other != name)


def test_each_seam_is_sewn_once(whole: Steps) -> None:
    for garment in costume().values():
        for seam in garment.seams:
            sewn = [step for step in whole.values() if step.id == f"{garment.id}/seam/{seam.id}"]
            assert len(sewn) == 1
            assert sewn[0].seams == (seam.id,)
            assert sewn[0].length > 0


def test_the_same_garments_give_the_same_steps() -> None:
    assert costume_steps(costume(), FABRICS, Machines()) == costume_steps(costume(), FABRICS, Machines())


# the stitcher's list ----------------------------------------------------------------------------------------


def test_fabric_is_shrunk_laid_cut_marked_before_anything_is_sewn(whole: Steps) -> None:
    for step in whole.values():
        if step.garment and step.place in (Place.MACHINE, Place.OVERLOCKER) and step.parts:
            before = ahead(whole, step.id)
            for fabric in {costume()[step.garment].roles[part.split()[-1]] for part in step.parts if "no." not in part}:
                assert f"fabric/{fabric}/lay" in before
                assert not FABRICS[fabric].preshrunk or f"fabric/{fabric}/preshrink" in before
                assert f"{step.garment}/mark/{fabric}" in before or FABRICS[fabric].fusible


def test_every_part_is_cut_exactly_once_and_before_it_is_used(whole: Steps) -> None:
    cut = [part for step in whole.values() if "/cut " in step.id for part in step.parts]
    parts = [f"{garment.id}/{part.id}" for garment in costume().values() for part in garment.parts]
    assert sorted(cut) == sorted(parts)


def test_no_part_is_sewn_before_it_is_fused(whole: Steps) -> None:
    assert matching(whole, "/fuse/") == ["shirt/fuse/cuff", "jerkin/fuse/front", "skirt/fuse/band"]
    for fuse in (whole[name] for name in matching(whole, "/fuse/")):
        outer = {part for part in fuse.parts if not part.endswith("interfacing")}
        assert outer
        for step in whole.values():
            if step.place is Place.MACHINE and outer & set(step.parts):
                assert fuse.id in ahead(whole, step.id)


def test_stitch_and_iron_are_tried_before_the_first_seam_of_each_fabric(whole: Steps) -> None:
    for step in whole.values():
        if step.garment and step.place is Place.MACHINE and step.fabric:
            assert f"fabric/{step.fabric}/stitch test" in ahead(whole, step.id)
        if step.garment and step.place is Place.IRON and step.parts and "fuse" not in step.id:
            assert f"fabric/{step.fabric}/press test" in ahead(whole, step.id)
    assert "fabric/fusible/fuse test" in ahead(whole, "jerkin/fuse/front")


def test_no_hem_before_its_side_seams(whole: Steps) -> None:
    for hem in (*matching(whole, "shirt/hem/"), *matching(whole, "skirt/hem/")):
        garment = hem.split("/", 1)[0]
        assert {f"{garment}/press/side right", f"{garment}/press/side left"} <= ahead(whole, hem)


def test_no_sleeve_before_its_shoulder(whole: Steps) -> None:
    for hand in ("right", "left"):
        assert f"shirt/press/shoulder {hand}" in ahead(whole, f"shirt/seam/sleeve {hand}")


def test_a_sleeve_in_the_round_goes_in_when_side_and_underarm_are_closed(whole: Steps) -> None:
    before = ahead(whole, "shirt/seam/sleeve right")
    assert {"shirt/press/side right", "shirt/press/underarm right"} <= before


def test_a_sleeve_set_in_flat_comes_before_the_long_seam_that_crosses_it() -> None:
    steps = by_id(shirt(sleeves_flat=True))
    assert "shirt/press/sleeve right" in ahead(steps, "shirt/seam/side and underarm right")
    assert "shirt/press/shoulder right" in ahead(steps, "shirt/seam/sleeve right")
    assert check_steps(shirt(sleeves_flat=True)) == ()


def test_no_buttonhole_before_its_edge_is_finished(whole: Steps) -> None:
    before = ahead(whole, "shirt/buttonholes/cuff right")
    assert "shirt/fell/cuff.join right no. 2" in before, "the inner side of the cuff is felled over its seam"
    assert {"shirt/turn/cuff edge right", "shirt/press/cuff right"} <= before
    assert "shirt/buttonholes/cuff right" in ahead(whole, "shirt/buttons/cuff right")


def test_seams_are_pressed_before_they_are_crossed(whole: Steps) -> None:
    crossed = {
        "skirt/seam/waist": ["skirt/press/side right", "skirt/press/side left"],
        "shirt/binding/front.neck right": ["shirt/press/shoulder right", "shirt/press/shoulder left"],
        "jerkin/binding/front.armhole right": ["jerkin/press/shoulder right", "jerkin/press/side right"],
    }
    for name, seams in crossed.items():
        assert set(seams) <= ahead(whole, name)


def test_neatening_follows_sewing_and_comes_before_pressing_open(whole: Steps) -> None:
    for name in matching(whole, "/neaten/"):
        seam = name.replace("/neaten/", "/seam/")
        assert seam in ahead(whole, name)
        assert name in ahead(whole, name.replace("/neaten/", "/press/"))


def test_staystitching_and_darts_before_the_seams_of_their_parts(whole: Steps) -> None:
    before = ahead(whole, "jerkin/seam/side right")
    assert {"jerkin/staystitch/front", "jerkin/staystitch/back", "jerkin/press dart/front dart"} <= before


def test_pleats_are_laid_before_the_cuff_and_the_cuff_is_made_before_it_goes_on(whole: Steps) -> None:
    before = ahead(whole, "shirt/seam/cuff left")
    assert {"shirt/press pleats/sleeve wrist", "shirt/turn/cuff edge left"} <= before


def test_a_bias_hem_hangs_for_a_day(whole: Steps) -> None:
    """NMSU Guide C-314: hang for 24 hours before marking the hem, the more so on bias."""
    (hang,) = matching(whole, "skirt/hang/")
    assert whole[hang].wait == 24 * 60
    assert hang in ahead(whole, hang.replace("/hang/", "/hem/"))
    assert not matching(by_id(skirt()), "/hang/"), "a straight hem does not drop"


def test_everything_is_done_before_the_last_press(whole: Steps) -> None:
    for garment in costume():
        own = {step.id for step in whole.values() if step.garment == garment}
        assert own - ahead(whole, f"{garment}/last press") == {f"{garment}/last press"}


# public-domain texts ----------------------------------------------------------------------------------------


def test_shirt_in_the_order_of_garments_for_girls(whole: Steps) -> None:
    """*Garments for Girls*, Shirt Waist parts 2-3 (chestofbooks.com): shoulder seam, sleeve, then band and buttonholes."""
    order = ["shirt/seam/shoulder right", "shirt/seam/sleeve right", "shirt/by hand"]
    for one, two in itertools.pairwise(order):
        assert one in ahead(whole, two)
    assert "shirt/seam/cuff right" in ahead(whole, "shirt/buttonholes/cuff right")


def test_gathers_in_the_order_of_watson(whole: Steps) -> None:
    """Kate Heintz Watson, *Textiles and Clothing* (1907): divide and mark, gather, pin to the band at the marks, stitch."""
    order = ["skirt/quarter/waist", "skirt/gather/waist", "skirt/seam/waist"]
    for one, two in itertools.pairwise(order):
        assert one in ahead(whole, two)


def test_waist_in_the_order_of_baldt(whole: Steps) -> None:
    """Laura I. Baldt, *Clothing for Women*, tailored waist: underarm and shoulder seams first, then the bottom."""
    (hem,) = matching(whole, "shirt/hem/")
    assert {"shirt/seam/side right", "shirt/seam/side left"} <= ahead(whole, hem)


# said by the pattern ----------------------------------------------------------------------------------------


def with_after(garment: Garment, **after: tuple[str, ...]) -> Garment:
    seams = tuple(replace(seam, after=after.get(seam.id.replace(" ", "_"), seam.after)) for seam in garment.seams)
    return replace(garment, seams=seams)


def test_what_the_pattern_says_is_kept() -> None:
    garment = with_after(shirt(), shoulder_right=("side right",), side_left=("underarm left",))
    steps = by_id(garment)
    assert "shirt/press/side right" in ahead(steps, "shirt/seam/shoulder right")
    assert "shirt/press/underarm left" in ahead(steps, "shirt/seam/side left")
    assert check_steps(garment) == ()


def test_what_the_pattern_says_wins_over_habit() -> None:
    """Flat before round is a habit: a pattern may set the sleeve in before the side seam is closed."""
    garment = with_after(shirt(), side_right=("sleeve right",))
    steps = by_id(garment)
    assert "shirt/press/sleeve right" in ahead(steps, "shirt/seam/side right")
    assert check_steps(garment) == ()


def test_a_circle_is_named_and_left_out() -> None:
    """The shoulder cannot come after the sleeve that runs across its end."""
    garment = with_after(shirt(), shoulder_right=("sleeve right",))
    (found,) = check_steps(garment)
    assert found.code == "steps-cycle"
    assert found.where == ("shirt", "shoulder right")
    assert "shoulder right" in found.message
    assert "sleeve right" in found.message
    assert "'sleeve right'" in found.remedy
    steps = by_id(garment)
    assert "shirt/press/shoulder right" in ahead(steps, "shirt/seam/sleeve right")


def test_a_circle_of_what_is_said_alone() -> None:
    garment = with_after(skirt(), side_right=("side left",), side_left=("side right",))
    (found,) = check_steps(garment)
    assert found.code == "steps-cycle"
    assert "side right" in found.message
    assert "side left" in found.message


def test_a_seam_after_itself() -> None:
    (found,) = check_steps(with_after(skirt(), side_right=("side right",)))
    assert "itself" in found.message


def test_after_a_seam_that_is_not_there() -> None:
    (found,) = check_steps(with_after(skirt(), side_right=("yoke",)))
    assert found.code == "steps-after-unknown"
    assert "yoke" in found.message


# one garment ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("make", [shirt, jerkin, skirt])
def test_a_garment_by_itself_has_the_same_steps_but_for_the_fabrics(make: Callable[[], Garment]) -> None:
    garment = make()
    alone = {step.id for step in garment_steps(garment, FABRICS, Machines())}
    together = {step.id for step in costume_steps({garment.id: garment}, FABRICS, Machines())}
    assert alone == {name for name in together if not name.startswith("fabric/")}
