"""The command as a process of its own: streams that close or fill up, and the same bytes in every process."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from small_world import BROKEN, SOUND

COMMAND = [sys.executable, "-c", "from planlint.cli.start import main; main()"]


def start(arguments: list[str], folder: Path, **options: object) -> subprocess.Popen[bytes]:
    """The command running in a folder."""
    options = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **options}
    return subprocess.Popen([*COMMAND, *arguments], cwd=folder, **options)  # type: ignore[call-overload,no-any-return]


@pytest.fixture
def cars(tmp_path: Path) -> Path:
    """A folder with many plans, whose report is longer than a pipe holds."""
    for number in range(60):
        (tmp_path / f"{number:02}.plan.yaml").write_text(UNREAD, encoding="utf-8")
    return tmp_path


UNREAD = SOUND.replace("gauge: 4 AWG", "gauge: 4").replace("length: ", "lenght: ")


def test_a_reader_that_leaves_is_no_error(cars: Path) -> None:
    """With `| head -1` the command ends silently, and its code is still that of the plans."""
    with start(["check", "."], cars) as process:
        assert process.stdout is not None and process.stderr is not None
        first = process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()
        code = process.wait(60)
    assert (first, said, code) == (b"00.plan.yaml\n", b"", 2)


def test_files_are_written_though_the_reader_leaves(cars: Path) -> None:
    """A report that goes to a file is whole, whatever becomes of standard output."""
    with start(["check", ".", "--output", "text", "--output", "json:report.json"], cars) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        assert (process.stderr.read(), process.wait(60)) == (b"", 2)
    assert (cars / "report.json").read_bytes().endswith(b"}\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_is_told(cars: Path) -> None:
    """A report that cannot be written to standard output is told in one message."""
    with Path("/dev/full").open("wb") as full, start(["check", "00.plan.yaml"], cars, stdout=full) as process:
        assert process.stderr is not None
        said = process.stderr.read().decode()
        code = process.wait(60)
    assert (
        code,
        said.count("\n"),
        said.startswith("Error: the report could not be written to standard output"),
    ) == (
        2,
        1,
        True,
    )


def test_a_closed_standard_output_is_told(cars: Path) -> None:
    """Started without a standard output, the command says so instead of failing."""
    script = 'exec "$@" >&-'
    done = subprocess.run(
        ["sh", "-c", script, "sh", *COMMAND, "check", "00.plan.yaml"],
        cwd=cars,
        stderr=subprocess.PIPE,
        check=False,
    )
    assert (
        done.returncode,
        b"standard output: it is closed" in done.stderr,
        b"Traceback" in done.stderr,
    ) == (
        2,
        True,
        False,
    )


def test_the_same_plan_gives_the_same_bytes_in_every_process(tmp_path: Path) -> None:
    """Neither the order of hashing nor the locale nor the terminal's width changes a byte of the report."""
    (tmp_path / "a.plan.yaml").write_text(BROKEN, encoding="utf-8")
    seen = set()
    for seed, columns in (("0", "40"), ("1", "200"), ("2", "80")):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "COLUMNS": columns}
        with start(["check", ".", "--output", "json:r.json", "--output", "text"], tmp_path, env=environment) as process:
            out, err = process.communicate(timeout=60)
        assert (out != b"", err) == (True, b"")
        seen.add((out, (tmp_path / "r.json").read_bytes()))
    assert len(seen) == 1


def test_a_stream_of_few_characters_gets_a_report(tmp_path: Path) -> None:
    """Where standard output can only show ASCII the other characters are replaced, and nothing fails."""
    (tmp_path / "a.plan.yaml").write_text(BROKEN.replace("Small demo car", "小さな車"), encoding="utf-8")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    with start(["check", "a.plan.yaml"], tmp_path, env=environment) as process:
        out, err = process.communicate(timeout=60)
    assert (out.split(b"\n")[1], err, out.isascii()) == (b"????", b"", True)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_of_reports_are_the_same_everywhere(end: str, tmp_path: Path) -> None:
    """Reports end their lines with LF, whatever the plan's line ends."""
    (tmp_path / "a.plan.yaml").write_bytes(BROKEN.replace("\n", end).encode())
    with start(["check", "a.plan.yaml"], tmp_path) as process:
        out, _ = process.communicate(timeout=60)
    assert (b"\r" in out, b"\nSmall demo car\n" in out) == (False, True)
