"""How long the main job takes and what memory it needs: ``python -m benchmarks``.

Each row is measured in fresh processes. ``cold`` means a new workroom without a cache (the machine's own file cache is as it
is). Memory is the greatest sum of the resident memory of the process and all its children, sampled every 20 ms.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.table import Table


@dataclass(frozen=True)
class Run:
    """One measured process."""

    seconds: float
    megabytes: float


def _tree(root: int) -> set[int]:
    parents = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except (FileNotFoundError, ProcessLookupError):
            continue
        parents[int(stat.parent.name)] = int(fields[1])
    found = {root}
    while more := {pid for pid, parent in parents.items() if parent in found} - found:
        found |= more
    return found


def _resident(pids: set[int]) -> float:
    total = 0
    for pid in pids:
        try:
            total += int(Path(f"/proc/{pid}/statm").read_text().split()[1])
        except (FileNotFoundError, ProcessLookupError):
            continue
    return total * 4096 / 1e6


def measure(command: Sequence[str], allowed: Sequence[int] = (0,)) -> Run:
    """Run a command to its end and measure it; raises if it fails."""
    began = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    most = 0.0
    while process.poll() is None:
        if Path("/proc").is_dir():
            most = max(most, _resident(_tree(process.pid)))
        time.sleep(0.02)
    seconds = time.perf_counter() - began
    if process.returncode not in allowed:
        raise RuntimeError(f"{' '.join(command)} ended with {process.returncode}")
    return Run(seconds, most)


def median_seconds(command: Sequence[str], times: int) -> Run:
    """The median of several runs, timed without sampling memory."""
    seconds = []
    for _ in range(times):
        began = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
        seconds.append(time.perf_counter() - began)
    return Run(statistics.median(seconds), 0.0)


def main() -> None:
    """Measure and print one table."""
    options = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    options.add_argument("--times", type=int, default=7, help="runs behind each median")
    times = options.parse_args().times
    firsthand = [sys.executable, "-m", "firsthand"]
    with tempfile.TemporaryDirectory() as folder:
        demo = str(Path(folder) / "demo")
        help_ = median_seconds([*firsthand, "--help"], times)
        cold = measure([*firsthand, "demo", demo])
        warm = median_seconds([*firsthand, "make", demo], times)
    rows = [
        ("firsthand --help", help_.seconds, 0.35, "s"),
        ("firsthand demo (write and make all, cold)", cold.seconds, 60.0, "s"),
        ("firsthand make, again (warm)", warm.seconds, 1.0, "s"),
        ("greatest memory of the cold run", cold.megabytes, 700.0, "MB"),
    ]
    table = Table("what", "measured", "target", "", title=None, box=None)
    for what, measured, target, unit in rows:
        table.add_row(what, f"{measured:.2f} {unit}", f"under {target:g} {unit}", "met" if measured < target else "MISSED")
    Console().print(table)


if __name__ == "__main__":
    main()
