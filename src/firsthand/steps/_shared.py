"""Works that serve several garments: each fabric shrunk, tried, laid and cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from firsthand.fabric import Advice, Fabric
from firsthand.pattern import Part
from firsthand.steps._times import minutes
from firsthand.steps._view import INNER, View
from firsthand.steps._work import BACK, Work, label
from firsthand.steps.model import Place, SetUp, Step

__all__ = ["sharing"]

AT_ONCE = 16
"""So many parts are cut in one step, about forty minutes (common practice)."""

BLADE = "A rotary blade is closed whenever it is put down; cut away from the hand on the ruler."


def sharing(views: Mapping[str, View]) -> Iterator[Work]:
    """The works on each fabric that the garments use, in the order in which they first need it."""
    uses: dict[str, dict[str, list[Part]]] = {}
    cloth: dict[str, tuple[Fabric, Advice]] = {}
    for garment, view in views.items():
        for part in view.garment.parts:
            fabric = view.fabrics[part.role]
            if fabric.id:
                uses.setdefault(fabric.id, {}).setdefault(garment, []).append(part)
                cloth.setdefault(fabric.id, (fabric, view.told[part.role]))
    for name, by_garment in uses.items():
        yield from _fabric(*cloth[name], {garment: tuple(parts) for garment, parts in by_garment.items()})


def _fabric(fabric: Fabric, told: Advice, uses: Mapping[str, tuple[Part, ...]]) -> Iterator[Work]:
    inner = all(part.role in INNER for parts in uses.values() for part in parts)
    if fabric.preshrunk:
        yield _on(
            fabric,
            "preshrink",
            "prepare",
            f"Preshrink the {fabric.name}",
            Place.TABLE,
            minutes("preshrink"),
            wait=told.drying,
            instruction=f"{told.preshrink[:1].upper()}{told.preshrink[1:]}.",
        )
    yield from _cutting(fabric, told, uses)
    if fabric.fusible:
        yield _on(
            fabric,
            "fuse test",
            "test",
            f"Try the {fabric.name} on scraps",
            Place.IRON,
            minutes("fuse test"),
            caution=BACK,
            heat=told.heat,
            instruction="On a square of each fabric it goes on: look for bond, bubbles and marks of glue when cold.",
        )
        return
    yield _on(
        fabric,
        "press test",
        "test",
        f"Try the iron on {fabric.name}",
        Place.IRON,
        minutes("press test"),
        heat=told.heat,
        instruction=f"On a scrap, cool first, up to {told.heat}. The cloth's own label wins."
        if told.heat_limit
        else told.heat + ".",
        caution=BACK,
    )
    if not inner:
        setup = SetUp(told.seam_stitch, told.stitch_length, told.needle, told.foot, fabric.colour or "neutral")
        yield _on(
            fabric,
            "stitch test",
            "test",
            f"Try the stitch on {fabric.name}",
            Place.MACHINE,
            minutes("stitch test"),
            setup=setup,
            instruction="Two layers, along and across the grain: tension, puckers"
            + (", and pull it as far as the cloth goes." if told.stretches else "."),
        )


def _cutting(fabric: Fabric, told: Advice, uses: Mapping[str, tuple[Part, ...]]) -> Iterator[Work]:
    count = sum(len(parts) for parts in uses.values())
    yield _on(
        fabric,
        "lay",
        "cut",
        f"Lay out the {fabric.name}",
        Place.TABLE,
        minutes("lay", count=count),
        uses=uses,
        instruction=f"All {count} parts as in the diagram{', all tops one way' if told.nap else ''}. {told.pins.capitalize()}.",
    )
    for garment, parts in uses.items():
        rounds = [parts[start : start + AT_ONCE] for start in range(0, len(parts), AT_ONCE)]
        for number, some in enumerate(rounds, start=1):
            name = garment if len(rounds) == 1 else f"{garment} {number}"
            yield _on(
                fabric,
                f"cut {name}",
                "cut",
                f"Cut {name} from the {fabric.name}",
                Place.TABLE,
                minutes("cut", count=len(some)),
                uses={garment: some},
                caution=BLADE,
                instruction=f"Tick off each: {', '.join(label(part) for part in some)}.",
            )


def _on(
    fabric: Fabric,
    act: str,
    stage: str,
    title: str,
    place: Place,
    time: float,
    *,
    instruction: str,
    uses: Mapping[str, tuple[Part, ...]] | None = None,
    setup: SetUp | None = None,
    heat: str = "",
    wait: float = 0.0,
    caution: str = "",
) -> Work:
    ids = tuple(f"{garment}/{part.id}" for garment, parts in (uses or {}).items() for part in parts)
    step = Step(
        id=f"fabric/{fabric.id}/{act}",
        garment="",
        stage=stage,
        title=title,
        place=place,
        minutes=time,
        instruction=instruction,
        setup=setup or SetUp(heat=heat),
        parts=ids,
        wait=wait,
        fabric=fabric.id,
        caution=caution,
    )
    kind = "cut" if act.startswith("cut ") else act
    chain = f"fabric/{fabric.id}" if act in ("preshrink", "lay") else f"fabric/{fabric.id}/{act}"
    return Work(step, kind, chain, fabrics=(fabric.id,))
