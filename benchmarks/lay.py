"""How dense lays come out, beside plain runs of the solver and the best known results.

Run it as ``python -m benchmarks.lay --seconds 20 [FILE ...]``; without files it takes those of the tests. A file is JSON
as ``lay_pieces`` takes it, with ``strip_width`` and, if known, ``best_known.density_pct`` beside the items.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from pathlib import Path
from typing import Any

from firsthand.lay import lay_pieces

DATA = Path(__file__).parents[1] / "tests" / "data" / "lay"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--seeds", type=int, default=1, help="how many seeds, from 1")
    parser.add_argument("--workers", type=int, default=2)
    given = parser.parse_args()
    print(f"{given.seconds:g} s, {given.workers} workers, seeds 1 to {given.seeds}; density in %, mean (least to most)")
    print(f"{'instance':<12}{'ours':>24}{'plain solver':>24}{'best known':>12}{'to best':>9}{'took s':>8}")
    for file in given.files or sorted(DATA.glob("*.json")):
        row(json.loads(file.read_text(encoding="utf-8")), file.stem, given.seconds, given.seeds, given.workers)


def row(data: dict[str, Any], name: str, seconds: float, seeds: int, workers: int) -> None:
    """One instance, both in turn for each seed so that a changing load meets both."""
    ours, plain, took = [], [], []
    for seed in range(1, seeds + 1):
        began = time.monotonic()
        ours.append(100 * lay_pieces(data, data["strip_width"], seconds=seconds, seed=seed, workers=workers)["density"])
        took.append(time.monotonic() - began)
        plain.append(100 * plain_solver(data, seconds, seed, workers))
    best = data.get("best_known", {}).get("density_pct")
    gap = f"{statistics.mean(ours) - best:+.2f}" if best else "-"
    known = f"{best:.2f}" if best else "-"
    print(f"{name:<12}{spread(ours):>24}{spread(plain):>24}{known:>12}{gap:>9}{max(took):>8.1f}", flush=True)


def plain_solver(data: dict[str, Any], seconds: float, seed: int, workers: int) -> float:
    """Density of the solver alone, for which the strip is made a hair wider where it must be."""
    from datetime import timedelta

    import spyrrow

    items = [
        spyrrow.Item(str(k), [tuple(p) for p in item["polygon"]], item["demand"], item["allowed_orientations"])
        for k, item in enumerate(data["items"])
    ]
    config = spyrrow.StripPackingConfig(total_computation_time=60, num_workers=workers, seed=seed)
    config.exploration_time = timedelta(seconds=0.8 * seconds)
    config.compression_time = timedelta(seconds=0.2 * seconds)
    return float(spyrrow.StripPackingInstance("plain", data["strip_width"], items).solve(config).density)


def spread(values: list[float]) -> str:
    """Mean, least and most."""
    return f"{statistics.mean(values):.2f} ({min(values):.2f} to {max(values):.2f})"


if __name__ == "__main__":
    main()
