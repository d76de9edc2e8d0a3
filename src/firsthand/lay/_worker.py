"""The process that runs the solver: JSON in on standard input, a line of JSON out for each better lay.

It is run by its path, not imported, so that it starts fast and can be ended at any moment: the solver itself cannot be.
"""

from __future__ import annotations

import json
import sys
import threading
from datetime import timedelta
from typing import Any

import spyrrow


def _tell(solution: Any) -> None:
    placed = [(item.id, item.rotation, *item.translation) for item in solution.placed_items]
    sys.stdout.write(json.dumps({"length": solution.width, "placed": placed}) + "\n")
    sys.stdout.flush()


def _solve(task: dict[str, Any], queue: spyrrow.ProgressQueue, answer: list[Any]) -> None:
    items = [
        spyrrow.Item(kind["id"], [tuple(p) for p in kind["polygon"]], kind["demand"], kind["turns"]) for kind in task["kinds"]
    ]
    config = spyrrow.StripPackingConfig(total_computation_time=60, num_workers=task["threads"], seed=task["seed"])
    config.exploration_time = timedelta(seconds=0.8 * task["seconds"])
    config.compression_time = timedelta(seconds=0.2 * task["seconds"])
    try:
        answer.append(spyrrow.StripPackingInstance("lay", task["width"], items).solve(config, queue))
    except BaseException as error:  # a panic of the solver is not an Exception
        sys.stderr.write(f"{type(error).__name__}: {error}\n")


def main() -> int:
    """Read the task, tell of every better lay, end with the solver."""
    task = json.loads(sys.stdin.read())
    queue, answer = spyrrow.ProgressQueue(), list[Any]()
    thread = threading.Thread(target=_solve, args=(task, queue, answer), daemon=True)
    thread.start()
    best = float("inf")
    while thread.is_alive() or answer:
        thread.join(0.1)
        done = [(spyrrow.ReportType.Final, answer.pop())] if answer else []
        sound = [s for kind, s in [*queue.drain(), *done] if kind in _SOUND]
        shortest = min(sound, key=lambda solution: solution.width, default=None)
        if shortest is not None and shortest.width < best:
            best = shortest.width
            _tell(shortest)
    return 0 if best < float("inf") else 1


_SOUND = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)

if __name__ == "__main__":
    sys.exit(main())
