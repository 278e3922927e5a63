"""Benchmark: judging the same plans by another commit and by this checkout, as a ratio of interleaved rounds.

Run it by hand: `python tests/bench/before_after.py COMMIT [--groups A,B] [--but RULE,RULE] [--plans N] [--rounds N]`. The
plans are the other commit's own; it judges them by all its rules, this one by those of the groups, but for those named.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median, quantiles
from typing import Any

CHECKOUT = Path(__file__).resolve().parents[2]


class Judge:
    """A process that judges by the planlint of one folder, for as many rounds as it is asked."""

    def __init__(self, root: Path, texts: list[str], groups: str = "", but: str = "") -> None:
        command = [sys.executable, __file__, "--serve", str(root), groups, but]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self.readable: list[bool] = self.ask(texts)

    def ask(self, texts: list[str]) -> Any:
        """Return what the process answers to some texts."""
        assert self._process.stdin and self._process.stdout
        print(json.dumps(texts), file=self._process.stdin, flush=True)
        return json.loads(self._process.stdout.readline())

    def seconds(self) -> float:
        """Return the processor time in s of judging the readable texts once."""
        return float(self.ask([]))


def serve(root: str, groups: str, but: str) -> None:
    """Judge by the planlint at `root`: of the texts on a line say which can be read, then time those on each empty one."""
    sys.path.insert(0, root)
    from planlint.judge.judge import judge
    from planlint.rulebook.load import shipped_rulebook

    rules = shipped_rulebook().rules
    kept = groups.split(",") if groups else {rule.group for rule in rules}
    rules = tuple(rule for rule in rules if rule.group in kept and rule.id not in but.split(","))
    texts: list[bytes] = []
    for line in sys.stdin:
        if given := json.loads(line):
            texts = [text.encode() for text in given]
            print(
                json.dumps([judge(text, "x", rules=rules).verdict.value != "unreadable" for text in texts]), flush=True
            )
            continue
        start = time.process_time()
        for text in texts:
            judge(text, "x", rules=rules)
        print(time.process_time() - start, flush=True)


def plans_of(before: Path, count: int) -> list[str]:
    """Return plans that the other commit makes for its benchmarks: a later plan may say what it cannot read."""
    program = f"import json, made; print(json.dumps([text for _, text in made.many_plans({count})]))"
    paths = {"PYTHONPATH": f"{before}:{before / 'tests' / 'bench'}"}
    command = [sys.executable, "-P", "-c", program]
    made = subprocess.run(command, env=os.environ | paths, check=True, capture_output=True, text=True)
    texts: list[str] = json.loads(made.stdout)
    return texts


def compare(before: Path, options: argparse.Namespace) -> None:
    """Print the time a plan of both and the ratio over interleaved rounds, of plans that both can read."""
    texts = plans_of(before, options.plans)
    old, new = Judge(before, texts), Judge(CHECKOUT, texts, options.groups, options.but)
    both = [text for text, a, b in zip(texts, old.readable, new.readable, strict=True) if a and b]
    assert both, "none of these plans is read by both"
    old.ask(both), new.ask(both)
    pairs = [(old.seconds(), new.seconds()) for _ in range(options.rounds)]
    ratios = [ours / theirs for theirs, ours in pairs]
    middle = [median(times) / len(both) * 1e3 for times in zip(*pairs, strict=True)]
    low, _, high = quantiles(ratios)
    print(
        f"{len(both)} plans, {options.rounds} rounds: {options.commit} {middle[0]:.2f} ms, here {middle[1]:.2f} ms a plan; "
        f"ratio {median(ratios):.2f}, half of the rounds between {low:.2f} and {high:.2f}"
    )


def main() -> None:
    """Run the benchmark."""
    if sys.argv[1:2] == ["--serve"]:
        serve(*sys.argv[2:])
        return
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("commit")
    parser.add_argument("--groups", default="")
    parser.add_argument("--but", default="")
    parser.add_argument("--plans", type=int, default=100)
    parser.add_argument("--rounds", type=int, default=30)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        archive = subprocess.run(["git", "archive", options.commit], cwd=CHECKOUT, check=True, capture_output=True)
        subprocess.run(["tar", "-x"], cwd=folder, input=archive.stdout, check=True)
        compare(Path(folder), options)


if __name__ == "__main__":
    main()
