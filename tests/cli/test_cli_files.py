"""Which plans a command line names, and how files are read that are none."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path

import pytest
from small_world import SOUND

from planlint.cli.plans import files_below, plan_files, shown_path
from planlint.text.reader import BYTES_TO_READ


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(*names: str) -> None:
    """Sound plans of these names, with their folders."""
    for name in names:
        Path(name).parent.mkdir(parents=True, exist_ok=True)
        Path(name).write_text(SOUND, encoding="utf-8")


def named(*paths: str) -> list[str]:
    """The names of the files that paths stand for."""
    return [file.name for file in plan_files(paths)]


def test_a_folder_stands_for_the_plans_below_it() -> None:
    """Every plan below a folder is found, by name; other files and hidden folders are passed over."""
    write("b.plan.yaml", "a.plan.yml", "c.plan.json", "notes.yaml", "sub/d.plan.yaml", ".hidden/e.plan.yaml")
    assert named(".") == ["a.plan.yml", "b.plan.yaml", "c.plan.json", "sub/d.plan.yaml"]


def test_a_named_file_needs_no_ending() -> None:
    """A file that is named itself is judged whatever it is called."""
    write("car.txt")
    assert named("car.txt") == ["car.txt"]


@pytest.mark.parametrize(
    "paths",
    [
        ("a.plan.yaml", "a.plan.yaml"),
        ("a.plan.yaml", "./a.plan.yaml", "sub/../a.plan.yaml"),
        ("a.plan.yaml", "link.plan.yaml"),
        ("a.plan.yaml", "sub/.."),
    ],
)
def test_a_plan_named_twice_is_judged_once(paths: tuple[str, ...], here: Path) -> None:
    """Two spellings of one file, a link or its folder among them, are one plan."""
    write("a.plan.yaml")
    (here / "sub").mkdir()
    (here / "link.plan.yaml").symlink_to("a.plan.yaml")
    assert named(*paths) == ["a.plan.yaml"]


def test_two_plans_alike_are_two_plans() -> None:
    """Files that hold the same are judged each for itself."""
    write("a.plan.yaml", "b.plan.yaml")
    assert named("b.plan.yaml", "a.plan.yaml") == ["b.plan.yaml", "a.plan.yaml"]


def trouble(path: str) -> str:
    """Why the one file of a path cannot be read; its remedy must say something."""
    (file,) = plan_files((path,))
    assert bool(file.trouble) is bool(file.remedy) and not file.raw
    return file.trouble


def test_what_is_not_there_is_told(here: Path) -> None:
    """A missing file, a link to nowhere, a link to itself, a name with a NUL and an empty folder are each
    told in words."""
    (here / "dangling.plan.yaml").symlink_to("nowhere")
    (here / "loop.plan.yaml").symlink_to("loop.plan.yaml")
    (here / "empty").mkdir()
    assert [trouble(one) for one in ("x.yaml", "dangling.plan.yaml", "loop.plan.yaml", "a\0b", "empty")] == [
        "there is no file x.yaml",
        "there is no file dangling.plan.yaml",
        "the file loop.plan.yaml could not be read: " + os.strerror(40).lower(),
        "the file a\0b could not be read: its name is none that a file can have",
        "found no plan in the folder empty; expected a file that ends in .plan.yaml, .plan.yml, .plan.json",
    ]


def test_pipes_and_devices_are_refused(here: Path) -> None:
    """What may never end is not read: a pipe without a writer, a device."""
    os.mkfifo(here / "pipe.plan.yaml")
    assert [trouble("pipe.plan.yaml"), trouble("."), trouble("/dev/zero")] == [
        "the file pipe.plan.yaml could not be read: it is a pipe or a device, not a file",
        "the file pipe.plan.yaml could not be read: it is a pipe or a device, not a file",
        "the file /dev/zero could not be read: it is a pipe or a device, not a file",
    ]


def test_a_folder_that_cannot_be_read_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans in a closed folder are not judged, and that is said; the others are found."""
    write("a.plan.yaml", "closed/b.plan.yaml")
    real = os.scandir

    def scandir(path: str) -> object:
        if os.fspath(path).endswith("closed"):
            raise PermissionError(13, "Permission denied", os.fspath(path))
        return real(path)

    # Whoever builds this as the superuser may read every folder, so that its refusal is made up.
    monkeypatch.setattr(os, "scandir", scandir)
    assert [(file.name, file.trouble) for file in plan_files((".",))] == [
        ("a.plan.yaml", ""),
        ("closed", "the folder closed could not be read: permission denied; plans in it are not judged"),
    ]


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read every file")
def test_a_file_without_permission_is_told(here: Path) -> None:
    """A file that one may not read is told in words."""
    write("a.plan.yaml")
    (here / "a.plan.yaml").chmod(0)
    assert trouble("a.plan.yaml") == "the file a.plan.yaml could not be read: permission denied"


def test_links_to_folders_do_not_go_round(here: Path) -> None:
    """A folder that holds a link to itself is walked once."""
    write("sub/a.plan.yaml")
    (here / "sub" / "again").symlink_to("..")
    assert [str(path) for path in files_below(Path("sub"), (".plan.yaml",))] == ["sub/a.plan.yaml"]


@pytest.mark.skipif(sys.platform == "darwin", reason="file names are text there")
def test_a_name_that_is_no_text_is_shown_by_its_bytes(here: Path) -> None:
    """A file whose name is no UTF-8 is judged under a name that every report can hold."""
    Path(os.fsdecode(bytes(here) + b"/\xff.plan.yaml")).write_text(SOUND, encoding="utf-8")
    (file,) = plan_files((".",))
    assert (file.name, file.raw.decode()) == ("\\udcff.plan.yaml", SOUND)


def test_a_long_file_is_read_as_far_as_is_worth() -> None:
    """Of a huge file only so much is read as shows that it is too long."""
    Path("big.plan.yaml").write_bytes(b"#" * (BYTES_TO_READ + 10))
    assert len(plan_files(("big.plan.yaml",))[0].raw) == BYTES_TO_READ


class Closed:
    """A standard input whose reading fails."""

    @property
    def buffer(self) -> io.BytesIO:
        """Fails as a folder does that is given as standard input."""
        raise IsADirectoryError(21, "Is a directory")


@pytest.mark.parametrize(
    ("stream", "raw", "said"),
    [
        (io.TextIOWrapper(io.BytesIO(b"plan: 1")), b"plan: 1", ""),
        (None, b"", "standard input could not be read: it is closed"),
        (Closed(), b"", "standard input could not be read: is a directory"),
    ],
)
def test_standard_input_is_read_once(stream: object, raw: bytes, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """`-` given twice is one plan; a closed standard input is told in words."""
    monkeypatch.setattr(sys, "stdin", stream)
    assert [(file.name, file.raw, file.trouble) for file in plan_files(("-", "-"))] == [("-", raw, said)]


@pytest.mark.parametrize(("path", "shown"), [("a/b", "a/b"), ("\udcff", "\\udcff"), ("日本", "日本")])
def test_a_path_is_shown_as_text(path: str, shown: str) -> None:
    """Bytes that are no text become an escape, everything else stays."""
    assert shown_path(path) == shown
