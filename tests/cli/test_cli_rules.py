"""`planlint why` and `planlint rules`, and what is refused in a shop's own rule files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from small_world import rule_file

from planlint.cli.exits import READY, UNREADABLE
from planlint.cli.main import run
from planlint.judge.unreadable import TITLES
from planlint.rulebook.load import shipped_rulebook


def verify(folder: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Exit code and words of verifying a folder; nothing may be said elsewhere."""
    code = run(["rules", "--verify", str(folder)])
    said = capsys.readouterr()
    assert (said.err, "Traceback" in said.out) == ("", False)
    return code, " ".join(said.out.split())


def put(folder: Path, name: str, text: str | bytes) -> None:
    """A file in a folder."""
    data = text.encode() if isinstance(text, str) else text
    (folder / name).write_bytes(data)


@pytest.mark.parametrize("rule", [*(one.id for one in shipped_rulebook().rules), *TITLES])
def test_every_id_of_a_finding_is_explained(rule: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`why` knows every rule and every id that a finding of the file itself bears."""
    code = run(["why", rule])
    assert (code, rule in capsys.readouterr().out) == (READY, True)


def test_the_rules_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """`rules` counts and lists the rules in force."""
    code = run(["rules"])
    assert (code, f"{len(shipped_rulebook().rules)} rules in force" in capsys.readouterr().out) == (
        READY,
        True,
    )


def test_sound_rules_are_verified(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of sound rules ends with 0 and says how many there are."""
    put(tmp_path, "cable-long.yaml", rule_file().text)
    assert verify(tmp_path, capsys) == (READY, "Sound: 1 rule.")


SOUND = rule_file().text
# Each replaces one piece of a sound rule file; what must be said of it, and its line.
BAD_RULES = {
    "unknown fact": ("{length: {at_most", "{lenght: {at_most", 5, "Did you mean `length`?"),
    "unknown operator": ("at_most: {setting", "at_mots: {setting", 5, "Did you mean `at_most`?"),
    "unknown setting": ("{setting: longest}", "{setting: longst}", 5, "Did you mean `longest`?"),
    "unknown placeholder": ("{length} long", "{lenght} long", 8, "Did you mean `length`?"),
    "unknown setting in what is asked": ("than {longest}.", "than {longst}.", 9, "Did you mean `longest`?"),
    "fact in what is asked": (
        "than {longest}.",
        "than {length}.",
        9,
        "Found the placeholder `length`, which there is not.",
    ),
    "nothing asked": ('asks: "No cable is longer than {longest}."\n', "", 1, "Found no `asks`"),
    "wrong unit": ("value: 10 m", "value: 10 A", 6, "expected a length"),
    "missing unit": ("value: 10 m", "value: 10", 6, "expected a length"),
    "unknown key": ("tier: 1", "teir: 1", 14, "Did you mean `tier`?"),
    "missing else": (", else: error}", "}", 5, "Found no `else`"),
    "unknown severity": ("else: error", "else: eror", 5, "Did you mean `error`?"),
    "unknown subject": ("about: wire", "about: wier", 3, "Did you mean `wire`?"),
    "unused setting": ("{setting: longest}", "10 m", 6, "which no condition uses"),
    "wrong name": ("rule: cable-long", "rule: cable-lang", 1, "Name the file `cable-lang.yaml`."),
    "unknown rule": (
        "tier: 1",
        "tier: 1\nconsequence_of: [main-fuse-to-far]",
        15,
        "Did you mean `main-fuse-too-far`?",
    ),
    "no fault": ("  - {set: {length: 99 m}, how_common: often}", "  []", 17, "expected at least 1 item"),
    "no yaml": ("title:", "title: [", 3, "inside the `[` opened in line 2"),
}


@pytest.mark.parametrize("name", BAD_RULES)
def test_a_bad_rule_is_refused_with_its_line(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a rule file cannot mean is refused: file, line, and what was probably meant."""
    old, new, line, words = BAD_RULES[name]
    assert old in SOUND
    put(tmp_path, "cable-long.yaml", SOUND.replace(old, new, 1))
    code, said = verify(tmp_path, capsys)
    assert (code, f"cable-long.yaml line {line}:" in said, words in said, "Refused:" in said) == (
        UNREADABLE,
        True,
        True,
        True,
    ), said


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("empty.yaml", b"", "Found nothing"),
        ("list.yaml", b"- a", "Found a list"),
        ("bytes.yaml", b"rule: \xff", "line 1: Found the byte 0xFF"),
        ("nul.yaml", b"rule: \x00", "line 1: Found U+0000"),
        ("other.yml", SOUND.encode(), "rule files end in .yaml; name it other.yaml"),
        ("deep.yaml", b"[" * 5000, "Found"),
    ],
)
def test_what_is_no_rule_file_is_refused(
    name: str, content: bytes, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty files, lists, bytes that are no text and wrong endings are told by file."""
    put(tmp_path, name, content)
    code, said = verify(tmp_path, capsys)
    assert (code, name in said, words in said) == (UNREADABLE, True, True), said


def test_a_pipe_among_rule_files_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Verifying never waits for a pipe, and the sound files beside it are still read."""
    os.mkfifo(tmp_path / "pipe.yaml")
    put(tmp_path, "cable-long.yaml", SOUND)
    code, said = verify(tmp_path, capsys)
    assert (code, "it is a pipe or a device" in said, "1 problem in 2 rule files" in said) == (
        UNREADABLE,
        True,
        True,
    )


def test_a_folder_without_rules_is_wrong_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder that holds no rule file is probably the wrong one."""
    code = run(["rules", "--verify", str(tmp_path)])
    said = capsys.readouterr()
    assert (code, said.out, "found no rule file" in said.err) == (UNREADABLE, "", True)
