"""Benchmark: judging a tree of 10,000 wires against one of 1,000 wires, a ring of 20 in both. Run it by hand."""

from __future__ import annotations

import sys
import time
from statistics import median

from made import tree_plan

from planlint.judge.judge import judge


def seconds(raw: bytes) -> float:
    """Return the processor time in s that judging a text takes."""
    start = time.process_time()
    judge(raw, "x")
    return time.process_time() - start


def main(rounds: int = 5) -> None:
    """Run the benchmark."""
    small, large = (tree_plan(wires).encode() for wires in (1_000, 10_000))
    for raw in (small, large):
        result = judge(raw, "x")
        print(len(raw), "bytes:", result.verdict.value, [finding.rule for finding in result.findings][:3])
    pairs = [(seconds(small), seconds(large)) for _ in range(rounds)]
    ratios = [theirs / ours for ours, theirs in pairs]
    best = [min(times) for times in zip(*pairs, strict=True)]
    print(
        f"1,000 wires {best[0]:.3f} s, 10,000 wires {best[1]:.3f} s, ratio {median(ratios):.1f} (median of {rounds} "
        f"rounds), {best[1] / best[0]:.1f} (of the best)"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
