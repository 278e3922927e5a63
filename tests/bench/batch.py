"""Benchmark: judging 1,000 plans of about 150 lines against PyYAML composing the same texts. Run it by hand."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable
from statistics import median
from typing import Any

import yaml
from made import FAMILIES, many_plans

from planlint.judge.judge import judge


def seconds(work: Callable[[str], Any], texts: list[str]) -> float:
    """Return the processor time in s that some work on all texts takes."""
    start = time.process_time()
    for text in texts:
        work(text)
    return time.process_time() - start


def compose(text: str) -> Any:
    """Parse a text to nodes, as the C parser of PyYAML does."""
    return yaml.compose(text, Loader=yaml.CSafeLoader)


def whole(text: str) -> Any:
    """Judge a text."""
    return judge(text.encode(), "x")


def compare(title: str, texts: list[str], rounds: int) -> None:
    """Print the time a plan of both, and the ratio of one run and of the best runs, over interleaved rounds."""
    pairs = [(seconds(compose, texts), seconds(whole, texts)) for _ in range(rounds)]
    ratios = [ours / theirs for theirs, ours in pairs]
    best = [min(times) / len(texts) * 1e3 for times in zip(*pairs, strict=True)]
    print(
        f"{title:14} {len(texts):5} plans: compose {best[0]:6.2f} ms, judge {best[1]:6.2f} ms, "
        f"ratio {median(ratios):.2f} (median of {rounds} rounds), {best[1] / best[0]:.2f} (of the best)"
    )


def main(count: int = 1000, rounds: int = 5) -> None:
    """Run the benchmark."""
    plans = many_plans(count)
    texts = [text for _, text in plans]
    results = [whole(text) for text in texts]
    print(f"lines: {min(t.count(chr(10)) for t in texts)} to {max(t.count(chr(10)) for t in texts)};", end=" ")
    print("verdicts:", dict(Counter(result.verdict.value for result in results)))
    compare("all", texts, rounds)
    for family in FAMILIES:
        compare(family, [text for name, text in plans if name == family], rounds)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
