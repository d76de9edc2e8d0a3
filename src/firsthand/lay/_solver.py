"""The engine for open single layers: the spyrrow solver, in processes of its own that can be ended."""

from __future__ import annotations

import contextlib
import json
import math
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path as File
from typing import Any

import numpy as np

from firsthand.lay._problem import MANY, Kind, Pose, Problem, Solution, Spot, settled
from firsthand.lay._shapes import Polygon, inflated, simplified, turned

__all__ = ["Solver", "SolverFailed"]

_SCALE = 1000.0
"""The width in the solver's numbers: it computes with single precision."""
_SLACK = 1e-4
"""How much wider the strip is made for it: it fails on a shape as wide as the strip. Settling takes it back."""
_GRACE = 2.0
"""How long it may run over its time before it is ended, s."""

_SETTLING = 3.0
"""How long settling what it found may take, s, and a fifth of its own time."""

_WORKER = File(__file__).with_name("_worker.py")


class SolverFailed(Exception):
    """The solver gave nothing that could be used; its own words are the message."""


@dataclass
class _Run:
    """One process and the best it has told so far."""

    process: subprocess.Popen[str]
    width: float
    best: dict[str, Any] | None = None
    words: str = ""

    def listen(self) -> None:
        assert self.process.stdout is not None
        with contextlib.suppress(ValueError):  # closed while we read: it was ended
            for line in self.process.stdout:
                with contextlib.suppress(json.JSONDecodeError):  # cut off while it wrote
                    self.best = json.loads(line)

    def overhear(self) -> None:
        assert self.process.stderr is not None
        with contextlib.suppress(ValueError):
            for line in self.process.stderr:
                self.words = line.strip() or self.words


class Solver:
    """Runs the solver beside the program.

    Parameters
    ----------
    problem
        Without fold edges.
    seconds, seed
        How long, and the first seed; each process has its own.
    processes
        How many run at once, each with one thread.

    Examples
    --------
    Started, polled and gathered::

        with Solver(problem, seconds=4, seed=1, processes=2) as solver:
            while solver.running:
                solver.wait(0.1)
            best = solver.gather()
    """

    def __init__(self, problem: Problem, *, seconds: float, seed: int, processes: int) -> None:
        self._problem = problem
        self._settling = _SETTLING + 0.2 * seconds
        self._ends = time.monotonic() + seconds + _GRACE
        self._centres = [_centre(kind) for kind in problem.kinds]
        self._kinds = [_told(k, kind, problem, self._centres[k]) for k, kind in enumerate(problem.kinds)]
        self._runs = [self._start(seconds, seed + k, slack=k % 2 == 0) for k in range(max(1, processes))]
        self._threads = [
            threading.Thread(target=task, daemon=True) for run in self._runs for task in (run.listen, run.overhear)
        ]
        for thread in self._threads:
            thread.start()

    def __enter__(self) -> Solver:
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    def _start(self, seconds: float, seed: int, *, slack: bool) -> _Run:
        strip = self._problem.width + self._problem.gap
        tallest = max(min(pose.height for pose in kind.poses) for kind in self._problem.kinds) + self._problem.gap
        width = strip * (1 + _SLACK) if slack or tallest > strip * (1 - _SLACK) else strip
        task = {"kinds": self._kinds, "width": width * self._factor, "seconds": seconds, "seed": seed, "threads": 1}
        pipe = subprocess.PIPE
        process = subprocess.Popen(
            [sys.executable, "-P", str(_WORKER)], stdin=pipe, stdout=pipe, stderr=pipe, text=True, encoding="utf-8"
        )
        assert process.stdin is not None
        with contextlib.suppress(BrokenPipeError):
            process.stdin.write(json.dumps(task))
            process.stdin.close()
        return _Run(process, width)

    @property
    def _factor(self) -> float:
        return _SCALE / (self._problem.width + self._problem.gap)

    @property
    def running(self) -> bool:
        """Whether a process still runs within its time."""
        return time.monotonic() < self._ends and any(run.process.poll() is None for run in self._runs)

    @property
    def length(self) -> float:
        """The best length told so far; infinite before the first."""
        told = [run.best["length"] for run in self._runs if run.best]
        return min(told, default=math.inf) / self._factor - self._problem.gap

    def wait(self, seconds: float) -> None:
        """Wait a little, or until the first process ends."""
        busy = next((run for run in self._runs if run.process.poll() is None), None)
        if busy is not None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                busy.process.wait(seconds)

    def end(self) -> None:
        """End all processes; what they told is kept."""
        for run in self._runs:
            if run.process.poll() is None:
                run.process.kill()
            run.process.wait()
        for thread in self._threads:
            thread.join(1.0)
        for run in self._runs:
            for pipe in (run.process.stdout, run.process.stderr):
                if pipe is not None:
                    pipe.close()

    def gather(self, check: Callable[[Solution], bool] = lambda _: True) -> Solution:
        """The best settled solution that passes a check.

        Raises
        ------
        SolverFailed
            If there is none.
        """
        self.end()
        told = sorted((run.best for run in self._runs if run.best), key=lambda best: float(best["length"]))
        found: list[Solution] = []
        late = time.monotonic() + self._settling
        for best in told:
            if not found or self._problem.count <= MANY:
                found += [solution for solution in [self._exact(self._spots(best), late)] if check(solution)]
        if not found:
            raise SolverFailed("; ".join(run.words for run in self._runs if run.words) or "no lay was found")
        return min(found, key=lambda solution: solution.length)

    def _exact(self, spots: list[Spot], late: float) -> Solution:
        rough = Solution(tuple(spots), max(spot.x + spot.pose.high[0] for spot in spots))
        return settled(self._problem, spots, late) or rough

    def _spots(self, best: dict[str, Any]) -> list[Spot]:
        return [self._spot(int(name), rotation, x, y) for name, rotation, x, y in best["placed"]]

    def _spot(self, k: int, rotation: float, x: float, y: float) -> Spot:
        kind, half = self._problem.kinds[k], self._problem.gap / 2
        base = kind.poses[0].turn
        turn = base + math.radians(rotation)
        pose = _free_pose(self._problem, kind, turn) if kind.free else _nearest(kind.poses, turn)
        cx, cy = turned(self._centres[k][None, :], pose.turn - base)[0]
        return Spot(k, pose, x / self._factor - cx - half, y / self._factor - cy - half)


def _centre(kind: Kind) -> Polygon:
    """Middle of the shape in its first pose: single precision is kept for the shape itself."""
    shape = kind.poses[0].shape
    return np.asarray((shape.min(axis=0) + shape.max(axis=0)) / 2)


def _told(k: int, kind: Kind, problem: Problem, centre: Polygon) -> dict[str, Any]:
    factor = _SCALE / (problem.width + problem.gap)
    base = kind.poses[0]
    same_side = [pose for pose in kind.poses if pose.mirrored == base.mirrored]
    turns = None if kind.free else [math.degrees(pose.turn - base.turn) for pose in same_side]
    polygon = ((base.shape - centre) * factor).tolist()
    return {"id": str(k), "polygon": polygon, "demand": len(kind.names), "turns": turns}


def _nearest(poses: Sequence[Pose], turn: float) -> Pose:
    same_side = [pose for pose in poses if pose.mirrored == poses[0].mirrored]
    return min(same_side, key=lambda pose: abs(math.remainder(pose.turn - turn, 2 * math.pi)))


def _free_pose(problem: Problem, kind: Kind, turn: float) -> Pose:
    base, turn = kind.poses[0], math.remainder(turn, 2 * math.pi)
    true = turned(kind.polygon, turn, mirrored=base.mirrored)
    slim = simplified(turned(kind.slim, turn, mirrored=base.mirrored), problem.slimness)
    low, high = true.min(axis=0), true.max(axis=0)
    box = ((float(low[0]), float(low[1])), (float(high[0]), float(high[1])))
    return replace(base, turn=turn, shape=inflated(slim, problem.gap / 2), low=box[0], high=box[1])
