"""Benchmark: one `planlint check` process against one that only imports its libraries, from an installed wheel.

Run it by hand: `python tests/bench/process.py [PYTHON] [ROUNDS]`. PYTHON is that of an environment in which the wheel is
installed; without it a fresh one is made in a temporary folder.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
import venv
from pathlib import Path
from statistics import median

CHECKOUT = Path(__file__).resolve().parents[2]
PLAN = CHECKOUT / "examples" / "show-wagon.plan.yaml"
IMPORTS = "import yaml, click, jsonschema_rs, networkx"


def fresh(folder: Path) -> Path:
    """Return the Python of a new environment with the wheel of the checkout installed."""
    venv.create(folder, with_pip=True)
    python = folder / "bin" / "python"
    subprocess.run([python, "-m", "pip", "install", "--quiet", str(CHECKOUT)], check=True)
    return python


def seconds(command: list[str]) -> float:
    """Return the time in s that a process takes from start to end."""
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd=tempfile.gettempdir())
    return time.perf_counter() - start


def compare(python: Path, rounds: int) -> None:
    """Print the times of both processes and their ratio over interleaved rounds."""
    check = [str(python.with_name("planlint")), "check", str(PLAN)]
    imports = [str(python), "-c", IMPORTS]
    seconds(check), seconds(imports)
    pairs = [(seconds(imports), seconds(check)) for _ in range(rounds)]
    middle = [median(times) * 1e3 for times in zip(*pairs, strict=True)]
    best = [min(times) * 1e3 for times in zip(*pairs, strict=True)]
    print(
        f"imports {middle[0]:.0f} ms, check {middle[1]:.0f} ms (medians of {rounds}), best {best[0]:.0f} and "
        f"{best[1]:.0f} ms, ratio {median(ours / theirs for theirs, ours in pairs):.2f}, of the best {best[1] / best[0]:.2f}"
    )


def main(python: str = "", rounds: str = "30") -> None:
    """Run the benchmark."""
    if python:
        compare(Path(python), int(rounds))
        return
    with tempfile.TemporaryDirectory() as folder:
        compare(fresh(Path(folder)), int(rounds))


if __name__ == "__main__":
    main(*sys.argv[1:])
