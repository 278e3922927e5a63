"""A real language server completes, explains and checks plans by the shipped schema, as an editor shows it.

The server is yaml-language-server, from npm. Without it these tests are skipped; PLANLINT_TEST_EDITOR=1 demands them.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from lsp import LanguageServer

CHECKOUT = Path(__file__).resolve().parents[2]
SCHEMA = CHECKOUT / "schemas" / "plan.schema.json"
EXAMPLES = sorted((CHECKOUT / "examples").rglob("*.plan.yaml"))
RULES = sorted((CHECKOUT / "rules").rglob("*.yaml"))
PROGRAM = shutil.which("yaml-language-server")
DEMANDED = os.environ.get("PLANLINT_TEST_EDITOR") == "1"
# Nothing may be fetched: what the server knows of plans comes from the schema in the checkout.
SETTINGS = {
    "yaml": {
        "validate": True,
        "hover": True,
        "completion": True,
        "schemaStore": {"enable": False},
        "kubernetesCRDStore": {"enable": False},
    }
}
HEAD = f"# yaml-language-server: $schema={SCHEMA.as_uri()}\nplan: 1\n"

pytestmark = pytest.mark.skipif(
    PROGRAM is None and not DEMANDED,
    reason="needs yaml-language-server on the PATH: npm install -g yaml-language-server",
)


@pytest.fixture(scope="module")
def server() -> Iterator[LanguageServer]:
    """One server for all documents of this module."""
    assert PROGRAM is not None, "PLANLINT_TEST_EDITOR=1 demands yaml-language-server, which is not on the PATH"
    with LanguageServer([PROGRAM, "--stdio"], SETTINGS) as started:
        yield started


def ask_at_mark(server: LanguageServer, method: str, folder: Path, text: str) -> Any:
    """What the server answers at the place of the mark `^` in a plan that begins with the modeline."""
    before, _, after = (HEAD + text).partition("^")
    uri = server.open(folder / "car.plan.yaml", before + after)
    place = {"line": before.count("\n"), "character": len(before.rpartition("\n")[2])}
    return server.ask(method, {"textDocument": {"uri": uri}, "position": place})


def completed(server: LanguageServer, folder: Path, text: str) -> dict[str, str]:
    """What is offered at the mark, with the text that each offer would put there."""
    offered = ask_at_mark(server, "textDocument/completion", folder, text)["items"]
    return {item["label"]: item["insertText"] for item in offered}


def keys_of(kind: str) -> set[str]:
    """The keys that the schema gives a kind of node."""
    return set(json.loads(SCHEMA.read_text(encoding="utf-8"))["$defs"][kind]["properties"])


FUSE, BATTERY = keys_of("fuse"), keys_of("battery")


@pytest.mark.parametrize(
    ("node", "stated"),
    [
        ("\n    kind: fuse\n    ^\n", {"kind"}),
        ("\n    kind: fuse\n    ra^\n", {"kind"}),
        ("\n    kind: fuse\n    family: strip\n    ^\nwires: {}\n", {"kind", "family"}),
        (" {kind: fuse, family: strip, ra^}\n", {"kind", "family"}),
    ],
    ids=["block", "begun", "followed", "flow"],
)
def test_a_fuse_is_offered_the_fields_of_a_fuse(
    node: str, stated: set[str], server: LanguageServer, tmp_path: Path
) -> None:
    """Inside a node of kind `fuse` its fields are offered, none of another kind, and none that is stated already."""
    offered = completed(server, tmp_path, f"nodes:\n  main-fuse:{node}")
    assert set(offered) == FUSE - stated
    assert {"rating", "family"} - stated <= set(offered)
    assert {"chemistry", "cold_cranking"} <= BATTERY - set(offered)


def test_a_battery_is_offered_the_fields_of_a_battery(server: LanguageServer, tmp_path: Path) -> None:
    """The same place in a node of another kind has other fields."""
    offered = completed(server, tmp_path, "nodes:\n  main:\n    kind: battery\n    ^\n")
    assert set(offered) == BATTERY - {"kind"}


def test_the_sections_of_a_plan_are_offered(server: LanguageServer, tmp_path: Path) -> None:
    """At the top level the sections are offered; none brings a text that is no plan."""
    offered = completed(server, tmp_path, "nodes:\n  main: {kind: fuse}\n^")
    assert {"title", "zones", "wires", "holes", "mounts", "steps", "tests", "accepted"} <= set(offered)
    assert {"plan", "nodes"} & set(offered) == set()
    assert [text for text in offered.values() if "[object" in text or "none" in text] == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("nodes:\n  main:\n    kind: ^\n", {"battery", "fuse", "amp", "ground-point"}),
        ("nodes:\n  main: {kind: ^}\n", {"battery", "fuse", "amp", "ground-point"}),
        ("nodes:\n  main:\n    kind: fuse\n    family: ^\n", {"blade", "anl", "strip", "not stated"}),
        ("scope: ^\n", {"electrical", "whole"}),
    ],
)
def test_the_words_of_a_field_are_offered(text: str, words: set[str], server: LanguageServer, tmp_path: Path) -> None:
    """Where a field takes one word of a list, the words are offered."""
    assert words <= set(completed(server, tmp_path, text))


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (
            "nodes:\n  main: {kind: battery, cold_cra^nking: 540 A}\n",
            ("$defs", "battery", "properties", "cold_cranking"),
        ),
        ("nodes:\n  main:\n    kind: fuse\n    rat^ing: 80 A\n", ("$defs", "fuse", "properties", "rating")),
        ("zo^nes: [{name: cabin}]\nnodes: {main: {kind: fuse}}\n", ("properties", "zones")),
    ],
    ids=["cold_cranking", "rating", "zones"],
)
def test_a_key_is_explained(text: str, path: tuple[str, ...], server: LanguageServer, tmp_path: Path) -> None:
    """Pointing at a key shows its description from the schema."""
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    for step in path:
        schema = schema[step]
    shown = ask_at_mark(server, "textDocument/hover", tmp_path, text)
    assert schema["description"] in shown["contents"]["value"].replace("\\", "")


def test_a_misspelt_key_is_marked(server: LanguageServer, tmp_path: Path) -> None:
    """The one complaint stands at the misspelt key, and names it."""
    text = HEAD + "nodes:\n  main-fuse:\n    kind: fuse\n    ratting: 80 A\n"
    (said,) = server.diagnostics(server.open(tmp_path / "misspelt.plan.yaml", text))
    assert "ratting" in said["message"]
    assert said["range"] == {"start": {"line": 5, "character": 4}, "end": {"line": 5, "character": 11}}


@pytest.mark.parametrize("path", EXAMPLES + RULES, ids=[p.relative_to(CHECKOUT).as_posix() for p in EXAMPLES + RULES])
def test_a_file_of_the_repository_has_nothing_marked(path: Path, server: LanguageServer) -> None:
    """Plans and rules fit their schema by their own modeline; the same file with one key too many does not."""
    text = path.read_text(encoding="utf-8")
    sound = server.open(path, text)
    spoilt = server.open(path.with_name(f"spoilt-{path.name}"), text + "no_such_key: 1\n")
    assert server.diagnostics(sound) == []
    assert [said["range"]["start"]["line"] for said in server.diagnostics(spoilt)] == [text.count("\n")]
