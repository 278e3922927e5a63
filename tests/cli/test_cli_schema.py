"""`planlint schema` prints the shipped schemas as they are, and refuses other names in words."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from planlint.cli.exits import READY, UNREADABLE
from planlint.cli.main import run

SCHEMAS = Path(__file__).parents[2] / "schemas"
COMMAND = [sys.executable, "-c", "from planlint.cli.start import main; main()", "schema"]


def printed(*arguments: str) -> bytes:
    """What the command writes, as a process of its own whose standard output is for plain ASCII only."""
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run([*COMMAND, *arguments], capture_output=True, env=environment, timeout=60, check=True)
    assert done.stderr == b""
    return done.stdout


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The last line said of wrong arguments; nothing may be printed."""
    code = run(["schema", *arguments])
    said = capsys.readouterr()
    assert (code, said.out) == (UNREADABLE, "")
    return said.err.splitlines()[-1]


@pytest.mark.parametrize("name", ["plan", "rule", "policy", "report"])
def test_a_schema_is_printed_byte_for_byte(name: str) -> None:
    """Saved from standard output it is the shipped file, whatever characters the terminal can show."""
    assert printed(name) == (SCHEMAS / f"{name}.schema.json").read_bytes()


def test_the_schema_of_plans_is_the_usual_one() -> None:
    """Without a name it is the one that most people want."""
    assert printed() == printed("plan")


def test_every_shipped_schema_can_be_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """The command knows as many schemas as are shipped."""
    names = {path.name.removesuffix(".schema.json") for path in SCHEMAS.iterdir()}
    assert {name: run(["schema", name]) for name in names} == dict.fromkeys(("plan", "rule", "policy", "report"), READY)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("name", ["plan", "rule", "policy", "report"])
def test_what_is_printed_is_a_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """It is valid JSON and meets the published metaschema of the draft that it names (JSON Schema 2020-12)."""
    assert run(["schema", name]) == READY
    schema = json.loads(capsys.readouterr().out)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize(
    ("name", "end"),
    [
        ("pln", "did you mean `plan`?"),
        ("Report", "did you mean `report`?"),
        ("rules", "did you mean `rule`?"),
        ("", "expected plan, rule, policy or report"),
        ("../plan", "did you mean `plan`?"),
    ],
)
def test_an_unknown_schema_is_refused(name: str, end: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Another name is wrong use: it is quoted, and the nearest or all names are told."""
    assert refused(capsys, name) == f"Error: there is no schema `{name}`; {end}"


def test_one_schema_at_a_time(capsys: pytest.CaptureFixture[str]) -> None:
    """Two schemas in one stream would be no JSON."""
    assert "unexpected extra argument (rule)" in refused(capsys, "plan", "rule")


def test_help_tells_what_each_schema_is_for(capsys: pytest.CaptureFixture[str]) -> None:
    """The help names the choices, the usual one and what each describes."""
    code = run(["schema", "--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert (code, said.startswith("Usage: planlint schema [OPTIONS] [plan|rule|policy|report] ")) == (READY, True)
    assert "`plan` (the default) is for plans, `rule` for rule files, `policy` for a shop" in said


def test_the_list_of_commands_names_it_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """What the command does fits on its line of the main help."""
    assert run(["--help"]) == READY
    assert "  schema  Print the JSON Schema of plans, rules, house policies or reports.\n" in capsys.readouterr().out


@pytest.mark.parametrize("name", ["rule", "policy"])
def test_every_example_in_a_schema_of_files_is_valid(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What an editor shows beside a field must be what the field takes."""
    assert run(["schema", name]) == READY
    schema = json.loads(capsys.readouterr().out)
    shown = [(part, example) for part in parts_of(schema) for example in part.get("examples", ())]
    assert shown
    wrong = []
    for part, example in shown:
        judge = jsonschema.Draft202012Validator({**part, "$defs": schema.get("$defs", {})})
        wrong += [] if judge.is_valid(example) else [example]
    assert wrong == []


def parts_of(schema: Any) -> Iterator[dict[str, Any]]:
    """Every schema inside a schema, conditions and examples left out."""
    if isinstance(schema, list):
        for item in schema:
            yield from parts_of(item)
    if isinstance(schema, dict):
        if "description" in schema or "title" in schema:
            yield schema
        for key, inner in schema.items():
            if key not in ("examples", "enum", "const", "if", "required"):
                yield from parts_of(inner)
