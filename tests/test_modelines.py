"""Plans and rule files of the repository tell an editor their schema, which is there where they say."""

from __future__ import annotations

from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parent.parent
MODELINE = "# yaml-language-server: $schema="
PLANS = sorted((CHECKOUT / "examples").rglob("*.yaml"))
RULES = sorted((CHECKOUT / "rules").rglob("*.yaml"))
FILES = [(path, "plan.schema.json") for path in PLANS] + [(path, "rule.schema.json") for path in RULES]


def modelines(text: str) -> list[str]:
    """Return the paths named by modelines at the head of a file: its first line, or the next where the first says
    what a faulty plan is expected to raise."""
    head = [line for line in text.splitlines()[:2] if not line.startswith("# Expected: ")]
    return [line.removeprefix(MODELINE) for line in head[:1] if line.startswith(MODELINE)]


def test_plans_and_rules_are_found() -> None:
    """The test below speaks of files that exist: sound plans, faulty plans and rules."""
    folders = {path.parent.relative_to(CHECKOUT).parts[0:2] for path, _ in FILES}
    assert {("examples",), ("examples", "faulty"), ("rules", "protection")} <= folders


@pytest.mark.parametrize(("path", "schema"), FILES, ids=[path.relative_to(CHECKOUT).as_posix() for path, _ in FILES])
def test_a_file_begins_with_the_way_to_its_schema(path: Path, schema: str) -> None:
    """The path is relative, so that it holds in every checkout, and leads from the file's own folder to its schema."""
    found = modelines(path.read_text(encoding="utf-8"))
    assert [(path.parent / name).resolve() for name in found] == [CHECKOUT / "schemas" / schema]
    assert (CHECKOUT / "schemas" / schema).is_file()
    assert not Path(found[0]).is_absolute()


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (f"{MODELINE}../a.json\nplan: 1\n", ["../a.json"]),
        (f"# Expected: a at b (error)\n{MODELINE}../a.json\n", ["../a.json"]),
        (f"# About this plan.\n{MODELINE}../a.json\n", []),
        (f"plan: 1\n{MODELINE}../a.json\n", []),
        ("plan: 1\n", []),
        ("", []),
    ],
)
def test_a_missing_modeline_is_noticed(text: str, found: list[str]) -> None:
    """A modeline counts at the head of the file only, where editors look for it."""
    assert modelines(text) == found
