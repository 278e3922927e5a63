"""`planlint check` from the outside: exit codes, outputs, and that a user's file is never lost."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from small_world import ACCEPTED, BROKEN, SOUND, UNCHECKED, UNREADABLE, WARNED, small_rulebook

from planlint.cli import check as checking
from planlint.cli.exits import BROKEN as EXIT_BROKEN
from planlint.cli.exits import READY as EXIT_READY
from planlint.cli.exits import UNCHECKED as EXIT_UNCHECKED
from planlint.cli.exits import UNREADABLE as EXIT_UNREADABLE
from planlint.cli.main import run
from planlint.judge import judge as judging
from planlint.rulebook.evaluate import judge_case
from planlint.rulebook.load import RulebookError
from planlint.shipped import ShippedDataMissingError

PLANS = {
    "sound": SOUND,
    "warned": WARNED,
    "accepted": ACCEPTED,
    "broken": BROKEN,
    "unchecked": UNCHECKED,
    "unreadable": UNREADABLE,
}


@pytest.fixture(autouse=True)
def cars(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder with one plan of each kind, in which the command runs with the rules of the small world."""
    book = small_rulebook()
    monkeypatch.setattr(judging, "shipped_rulebook", lambda: book)
    monkeypatch.chdir(tmp_path)
    for name, text in PLANS.items():
        (tmp_path / f"{name}.plan.yaml").write_text(text, encoding="utf-8")
    yield tmp_path


def plans(*names: str) -> list[str]:
    """The file names of plans."""
    return [f"{name}.plan.yaml" for name in names]


def test_the_exit_codes_are_an_interface() -> None:
    """Scripts rely on these numbers."""
    assert (EXIT_READY, EXIT_BROKEN, EXIT_UNREADABLE, EXIT_UNCHECKED) == (0, 1, 2, 3)


@pytest.mark.parametrize(
    ("names", "options", "code"),
    [
        (["sound"], [], EXIT_READY),
        (["accepted"], [], EXIT_READY),
        (["broken"], [], EXIT_BROKEN),
        (["unreadable"], [], EXIT_UNREADABLE),
        (["unchecked"], [], EXIT_UNCHECKED),
        (["missing"], [], EXIT_UNREADABLE),
        (["warned"], [], EXIT_READY),
        (["warned"], ["--fail-at", "warning"], EXIT_BROKEN),
        (["warned"], ["--fail-at", "note"], EXIT_BROKEN),
        (["broken"], ["--fail-at", "never"], EXIT_READY),
        (["unchecked"], ["--fail-at", "never"], EXIT_READY),
        (["unreadable"], ["--fail-at", "never"], EXIT_UNREADABLE),
        # Several plans: the first of 2, 1, 3, 0 that occurs, in whatever order they stand.
        (["sound", "unchecked"], [], EXIT_UNCHECKED),
        (["unchecked", "broken"], [], EXIT_BROKEN),
        (["broken", "unchecked"], [], EXIT_BROKEN),
        (["unreadable", "broken", "unchecked", "sound"], [], EXIT_UNREADABLE),
        (["sound", "unchecked", "broken", "unreadable"], [], EXIT_UNREADABLE),
        (["broken", "missing", "sound"], ["--fail-at", "never"], EXIT_UNREADABLE),
    ],
)
def test_the_exit_code_is_that_of_the_worst_plan(names: list[str], options: list[str], code: int) -> None:
    """One code for each verdict; for several plans the first of 2, 1, 3, 0."""
    assert run(["check", *plans(*names), *options]) == code


def test_never_failing_changes_no_verdict(capsys: pytest.CaptureFixture[str]) -> None:
    """`--fail-at never` turns the code into 0; the report still says that the plan is broken."""
    code = run(["check", *plans("broken"), "--fail-at", "never"])
    assert (code, "Verdict: broken; 1 error" in capsys.readouterr().out) == (EXIT_READY, True)


WRONG_USE = [
    ([], "Usage: planlint"),
    (["check"], "Missing argument"),
    (["chekc"], "Did you mean 'check'?"),
    (["check", ""], "found an empty path"),
    (["check", "a", "--output", "yaml"], "expected text or json"),
    (["check", "a", "--output", ""], "expected text or json"),
    (["check", "a", "--output", "text:"], "without a file"),
    (["check", "a", "--output", "json:a\0b"], "that no file can have"),
    (["check", "a", "--output", "text", "--output", "json"], "same place"),
    (["check", "a", "--output", "text:x", "--output", "json:./x"], "same place"),
    (["check", "a", "--fail-at", "bad"], "is not one of"),
    (["check", "a", "--bad\x1b[31m"], "No such option"),
    (["why"], "Missing argument"),
    (["why", "plan-formt"], "did you mean `plan-format`?"),
    (["why", "no\x1bsuch"], "`planlint rules` lists them"),
    (["rules", "--verify", "nowhere"], "there is no folder nowhere"),
    (["rules", "--verify", ""], "there is no folder"),
]


@pytest.mark.parametrize(("arguments", "words"), WRONG_USE)
def test_wrong_use_is_told_on_the_other_stream(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wrong use ends with 2 and words on standard error; standard output, which carries reports alone, stays
    empty."""
    code = run(arguments)
    said = capsys.readouterr()
    assert (code, said.out, words in said.err, "\x1b" in said.err) == (EXIT_UNREADABLE, "", True, False), said.err


@pytest.mark.parametrize("arguments", [["--help"], ["check", "-h"], ["--version"]])
def test_help_is_no_wrong_use(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Help and version go to standard output and end with 0."""
    assert (run(arguments), bool(capsys.readouterr().out)) == (EXIT_READY, True)


def test_each_output_goes_where_it_is_sent(cars: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Text to standard output, text and JSON to files, in one run; files are never coloured."""
    outputs = ["text", "text:report.txt", "json:report.json"]
    code = run(["check", *plans("broken"), *(part for one in outputs for part in ("--output", one))])
    out = capsys.readouterr().out
    data = json.loads((cars / "report.json").read_text(encoding="utf-8"))
    assert (code, (cars / "report.txt").read_text(encoding="utf-8"), data["plans"][0]["verdict"]) == (
        EXIT_BROKEN,
        out,
        "broken",
    )


def test_an_output_file_is_replaced_whole(cars: Path) -> None:
    """A longer report of before leaves nothing behind, and no temporary file stays."""
    (cars / "report.json").write_text("x" * 100_000, encoding="utf-8")
    before = {path.name for path in cars.iterdir()}
    assert run(["check", *plans("sound"), "--output", "json:report.json"]) == EXIT_READY
    assert json.loads((cars / "report.json").read_bytes())["report"] == 1
    assert {path.name for path in cars.iterdir()} == before


def test_a_report_keeps_a_link_and_its_permissions(cars: Path) -> None:
    """A report written through a link goes to the file behind it, which keeps who may read it."""
    (cars / "real.json").write_text("", encoding="utf-8")
    (cars / "real.json").chmod(0o600)
    (cars / "link.json").symlink_to("real.json")
    run(["check", *plans("sound"), "--output", "json:link.json"])
    assert ((cars / "link.json").is_symlink(), (cars / "real.json").stat().st_mode & 0o777) == (True, 0o600)
    assert json.loads((cars / "real.json").read_bytes())["report"] == 1


@pytest.mark.parametrize("target", ["nowhere/report.json", ".", "broken.plan.yaml/report.json", "x" * 300])
def test_an_output_that_cannot_be_written_is_told(target: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder that is not there, or a name that cannot be, ends with 2 and words."""
    code = run(["check", *plans("sound"), "--output", f"json:{target}"])
    said = capsys.readouterr()
    assert (code, said.out, "the report could not be written to" in said.err) == (EXIT_UNREADABLE, "", True)


def test_a_device_is_written_to_and_never_replaced(cars: Path) -> None:
    """A report sent to a device leaves it a device."""
    (cars / "nowhere").symlink_to("/dev/null")
    code = run(["check", *plans("sound"), "--output", "json:nowhere"])
    assert (code, (cars / "nowhere").is_char_device()) == (EXIT_READY, True)


def as_itself(_cars: Path) -> str:
    """The plan under its own name."""
    return "sound.plan.yaml"


def as_another_spelling(_cars: Path) -> str:
    """The plan by way of a folder and back."""
    return "./../" + _cars.name + "/sound.plan.yaml"


def as_a_link(cars: Path) -> str:
    """A link of another name to the plan."""
    (cars / "report.json").symlink_to("sound.plan.yaml")
    return "report.json"


def as_a_plan_that_is_not_judged(_cars: Path) -> str:
    """Another plan of the same folder."""
    return "broken.plan.yaml"


@pytest.mark.parametrize(
    "target",
    [as_itself, as_another_spelling, as_a_link, as_a_plan_that_is_not_judged],
    ids=lambda one: one.__name__,
)
@pytest.mark.parametrize("kind", ["text", "json"])
def test_a_report_never_takes_the_place_of_a_plan(
    target: Callable[[Path], str], kind: str, cars: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """However a plan is spelled as the output, it is refused in words and the plan stays as it was."""
    name = target(cars)
    code = run(["check", "sound.plan.yaml", "--output", f"{kind}:{name}"])
    said = capsys.readouterr()
    kept = {plan: (cars / f"{plan}.plan.yaml").read_text(encoding="utf-8") for plan in PLANS}
    assert (code, said.out, "would overwrite the plan" in said.err, kept) == (
        EXIT_UNREADABLE,
        "",
        True,
        PLANS,
    )


def test_a_plan_with_a_name_of_its_own_is_not_overwritten(cars: Path) -> None:
    """A plan that ends in no plan's ending is protected too, since it is judged."""
    (cars / "car.yaml").write_text(SOUND, encoding="utf-8")
    code = run(["check", "car.yaml", "--output", "text:car.yaml"])
    assert (code, (cars / "car.yaml").read_text(encoding="utf-8")) == (EXIT_UNREADABLE, SOUND)


def failing(error: BaseException) -> Callable[..., Any]:
    """A function that raises this error."""

    def fail(*_args: object, **_options: object) -> None:
        raise error

    return fail


def test_one_bad_plan_never_stops_the_others(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An error inside planlint at one plan is a finding of that plan; the next one is judged."""

    def failing_once(case: Any, rules: Any) -> Any:
        if len(case.plan.wires) == 3 and any("feed-rear" in w.name and w.length.high > 30 for w in case.plan.wires):
            raise ZeroDivisionError
        return judge_case(case, rules)

    monkeypatch.setattr(judging, "judge_case", failing_once)
    code = run(["check", *plans("broken", "sound")])
    said = capsys.readouterr()
    assert (code, said.err, "Traceback" in said.out) == (EXIT_UNREADABLE, "", False)
    for words in ("A fault of planlint itself", "ZeroDivisionError", "Verdict: ready (electrical only)"):
        assert words in said.out


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (RulebookError("rules/x.yaml: bad"), "the installation is damaged: rules/x.yaml: bad"),
        (
            ShippedDataMissingError("the folder rules/ was not found"),
            "the installation is damaged: the folder rules/",
        ),
        (RuntimeError("secret\x1b"), "planlint met a fault of its own (RuntimeError"),
        (KeyboardInterrupt(), "stopped before the end"),
    ],
)
def test_whatever_fails_ends_in_words(
    error: BaseException, words: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Damaged rules, a fault anywhere and an interruption end with 2 and a message, never with a
    traceback."""
    monkeypatch.setattr(checking, "judge", failing(error))
    code = run(["check", *plans("sound")])
    said = capsys.readouterr()
    assert (code, said.out, words in said.err, "Traceback" in said.err) == (EXIT_UNREADABLE, "", True, False)


COLOURS = [
    ({}, False),
    ({"NO_COLOR": "1"}, False),
    ({"FORCE_COLOR": "1"}, True),
    ({"FORCE_COLOR": ""}, False),
    ({"FORCE_COLOR": "1", "NO_COLOR": "0"}, False),
    ({"FORCE_COLOR": "1", "NO_COLOR": ""}, True),
]


@pytest.mark.parametrize(("environment", "coloured"), COLOURS)
def test_colour_is_asked_for_by_the_environment(
    environment: dict[str, str],
    coloured: bool,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Any non-empty NO_COLOR forbids colour, a non-empty FORCE_COLOR asks for it; without a terminal there
    is none."""
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    run(["check", *plans("broken")])
    assert ("\x1b[" in capsys.readouterr().out) is coloured


def test_the_terminal_changes_no_byte(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """The width of the terminal is not obeyed: the same plan gives the same report everywhere."""
    run(["check", *plans("broken")])
    first = capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", "40")
    run(["check", *plans("broken")])
    assert capsys.readouterr().out == first
