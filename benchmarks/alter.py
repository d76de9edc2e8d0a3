"""How long a stack of alterations takes, and one take-in while its amount is being dragged: ``python -m benchmarks.alter``.

The garment has twelve drawn pieces: those of the demo's hose, jerkin, skirt, shirt and cape, put together in one garment with
all their seams, levels, notches and darts, and two darts more at the waist of the skirt. The stack is :data:`STACK`: a line
for each alteration, in which ``by`` is what one round is told apart by (0.1 mm, 0.2 mm, ...). It drives the first number of the
stack, so that no piece is in any round what it was in the round before and nothing that is remembered from there can help.

``cold`` is the first evaluation in a fresh process, imports apart; ``warm`` is the median and the worst of the rounds after it.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from firsthand.alter import ALTERATIONS, Alteration, StackResult, apply_stack
from firsthand.demo import demo_patterns
from firsthand.pattern import Dart, EdgeRef, Garment, Level, Pattern, Piece, Seam, Shape, make_garment

SIZE = "M"
TARGETS = {"stack": 50.0, "mixed stack": 50.0, "drag one seam": 10.0, "drag all seams": 10.0}
"""Milliseconds."""
PIECES = {
    "hose": ("front", "back"),
    "jerkin": ("front", "back"),
    "skirt": ("front", "back"),
    "shirt": ("front", "back", "sleeve", "cuff"),
    "cape": ("front", "back"),
}
ONE_SEAM = ("hose side",)
ALL_SEAMS = (
    "hose side", "hose inseam", "jerkin side", "skirt side", "shirt side", "cape shoulder",
)  # fmt: skip

Entry = tuple[str, Callable[[float], Mapping[str, object]]]
"""The kind of an alteration and its fields for a round."""

STACK: tuple[Entry, ...] = (
    ("scale", lambda by: {"printed": 100.0, "measured": 98.0 + by / 10}),
    ("lengthen", lambda by: {"amount": 25.0, "level": "hose thigh"}),
    ("take-in", lambda by: {"amount": 30.0, "seams": ("hose side",)}),
    ("take-in", lambda by: {"amount": 14.0, "seams": ("hose inseam",), "limb": True}),
    ("lengthen", lambda by: {"amount": -15.0, "level": "hose calf"}),
    ("lengthen", lambda by: {"amount": 12.0, "level": "jerkin waist"}),
    ("take-in", lambda by: {"amount": 24.0, "seams": ("jerkin side", "jerkin side lining")}),
    ("take-in", lambda by: {"amount": -16.0, "seams": ("skirt side",)}),
    ("lengthen", lambda by: {"amount": 20.0, "level": "shirt bust"}),
    ("lengthen", lambda by: {"amount": 30.0, "level": "skirt hip"}),
)
"""One line for each alteration, in order."""

MIXED: tuple[Entry, ...] = (
    ("scale", lambda by: {"printed": 100.0, "measured": 98.0 + by / 10}),
    ("lengthen", lambda by: {"amount": 25.0, "level": "hose thigh"}),
    ("take-in", lambda by: {"stations": (("level hose hip", 20.0), ("level hose calf", 8.0)), "seams": ("hose side",)}),
    ("seat", lambda by: {
        "piece": "hose back", "amount": 12.0, "centre": "crotch at 50 %", "hinge": "side at level hose hip",
    }),
    ("turn-dart", lambda by: {"piece": "jerkin front", "dart": "bust dart", "to": "hem at 50 %"}),
    ("hem", lambda by: {"amount": 30.0, "pieces": ("skirt front", "skirt back")}),
    ("flare", lambda by: {"amount": 60.0, "edges": ("cape front.hem", "cape back.hem"), "count": 2}),
    ("neckline", lambda by: {"depths": (("shirt front.neck", 15.0), ("shirt back.neck", 0.0))}),
    ("slash", lambda by: {
        "piece": "skirt front", "lines": (("hem at 15 %", "waist at 15 %"),), "spread": 20.0
    }),
    ("true", lambda by: {"seams": ("hose side",)}),
)  # fmt: skip
"""Ten different kinds."""


def stack(by: float) -> tuple[Alteration, ...]:
    """The alterations of one round."""
    return tuple(_made(kind, fields(by)) for kind, fields in STACK)


def mixed(by: float) -> tuple[Alteration, ...]:
    """Ten of different kinds."""
    return tuple(_made(kind, fields(by)) for kind, fields in MIXED)


def dragged(by: float, seams: tuple[str, ...]) -> tuple[Alteration, ...]:
    """One take-in as it is dragged: 1 mm more in each round."""
    return (_made("take-in", {"amount": 20.0 + 10 * by, "seams": seams}),)


def _made(kind: str, fields: Mapping[str, object]) -> Alteration:
    return ALTERATIONS[kind](**fields)


# the garment -------------------------------------------------------------------------------------------------


def garment() -> Garment:
    """Twelve drawn pieces with the seams between them."""
    patterns = demo_patterns()
    pieces: dict[str, Piece] = {}
    seams: list[Seam] = []
    levels: list[Level] = []
    for name, kept in PIECES.items():
        pattern = patterns[name]
        pieces |= {f"{name} {key}": _called(name, pattern.pieces[key]) for key in kept}
        seams += list(_seams(name, pattern, kept))
        levels += [replace(level, id=f"{name} {level.id}") for level in pattern.levels]
    whole = Pattern("overall", "Overall", (SIZE,), pieces, tuple(seams), tuple(levels))
    return make_garment(whole, SIZE, id="overall")


def _called(name: str, piece: Piece) -> Piece:
    shape = _darted(name, piece.sizes[SIZE])
    named = replace(shape, levels=tuple(replace(mark, level=f"{name} {mark.level}") for mark in shape.levels))
    return replace(piece, id=f"{name} {piece.id}", sizes={SIZE: named})


def _darted(name: str, shape: Shape) -> Shape:
    """A waist dart in each piece of the skirt."""
    if name != "skirt":
        return shape
    waist = shape.edge("waist").path
    at = waist.length / 2
    apex = waist.at(at) + waist.tangent_at(at).left * 90.0
    return replace(shape, darts=(*shape.darts, Dart("waist dart", "waist", at, 18.0, apex)))


def _seams(name: str, pattern: Pattern, kept: tuple[str, ...]) -> Iterator[Seam]:
    for seam in pattern.seams:
        if all(ref.piece in kept for ref in (*seam.a, *seam.b)):
            a, b = (tuple(_ref(name, ref) for ref in refs) for refs in (seam.a, seam.b))
            yield replace(seam, id=f"{name} {seam.id}", a=a, b=b, after=tuple(f"{name} {other}" for other in seam.after))


def _ref(name: str, ref: EdgeRef) -> EdgeRef:
    return replace(ref, piece=f"{name} {ref.piece}")


# measuring ---------------------------------------------------------------------------------------------------


def evaluated(before: Garment, alterations: tuple[Alteration, ...]) -> StackResult:
    """The garment after a stack; all of it must have been applied, or the time means nothing.

    Raises
    ------
    RuntimeError
        If an alteration was refused.
    """
    result = apply_stack(before, alterations)
    if len(result.records) != len(alterations):
        raise RuntimeError("; ".join(str(finding) for finding in result.findings))
    return result


JOBS: dict[str, Callable[[float], tuple[Alteration, ...]]] = {
    "stack": stack,
    "mixed stack": mixed,
    "drag one seam": lambda by: dragged(by, ONE_SEAM),
    "drag all seams": lambda by: dragged(by, ALL_SEAMS),
}


def timed(job: str, rounds: int) -> list[float]:
    """Milliseconds of each round, the first of them cold."""
    before = garment()
    took = []
    for number in range(rounds + 1):
        alterations = JOBS[job](number / 10)
        began = time.perf_counter()
        evaluated(before, alterations)
        took.append((time.perf_counter() - began) * 1000)
    return took


def main() -> None:
    """Measure each job in a process of its own and print a table."""
    options = argparse.ArgumentParser(prog="python -m benchmarks.alter", description=__doc__.partition("\n")[0])
    options.add_argument("--rounds", type=int, default=30)
    options.add_argument("--job", choices=sorted(JOBS), help="only this one, its numbers in plain lines")
    options.add_argument("--profile", action="store_true", help="where the time of the job goes")
    given = options.parse_args()
    if given.job and given.profile:
        with cProfile.Profile() as profile:
            timed(given.job, given.rounds)
        pstats.Stats(profile).sort_stats("tottime").print_stats(35)
    elif given.job:
        print("\n".join(f"{took:.3f}" for took in timed(given.job, given.rounds)))
    else:
        table(given.rounds)


def table(rounds: int) -> None:
    """All jobs."""
    drawn = garment()
    segments = sum(len(edge.path.segments) for piece in drawn.pieces.values() for edge in piece.drawn_shape.edges)
    print(
        f"{len(drawn.pieces)} pieces, {segments} segments, {len(drawn.seams)} seams; {len(STACK)} alterations; {rounds} rounds"
    )
    print(f"{'what':<18}{'cold ms':>10}{'median ms':>12}{'worst ms':>12}{'target':>10}")
    for job, target in TARGETS.items():
        command = [sys.executable, "-m", "benchmarks.alter", "--job", job, "--rounds", str(rounds)]
        answer = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        cold, *warm = (float(line) for line in answer.split())
        median = statistics.median(warm)
        met = "met" if median < target else "MISSED"
        print(f"{job:<18}{cold:>10.1f}{median:>12.1f}{max(warm):>12.1f}{target:>7g} ms  {met}")


if __name__ == "__main__":
    main()
