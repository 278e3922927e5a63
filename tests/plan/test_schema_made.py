"""The shipped schema of plans is the one that the dataclasses make; PLANLINT_REWRITE_SCHEMA=1 writes it anew."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from planlint.plan.schema import plan_schema
from planlint.shipped import schema_text

FILE = Path(__file__).parents[2] / "schemas" / "plan.schema.json"


def written(value: Any, indent: int = 0, width: int = 118) -> str:
    """JSON in which what fits on a line stands on one."""
    one = json.dumps(value, ensure_ascii=False)
    if len(one) + indent <= width or not isinstance(value, (dict, list)) or not value:
        return one
    pad, end = " " * (indent + 2), "\n" + " " * indent
    if isinstance(value, dict):
        items = [f"{pad}{json.dumps(k)}: {written(v, indent + 2, width - len(k) - 4)}" for k, v in value.items()]
        return "{\n" + ",\n".join(items) + end + "}"
    return "[\n" + ",\n".join(pad + written(item, indent + 2, width) for item in value) + end + "]"


def test_the_shipped_schema_is_the_one_that_the_dataclasses_make() -> None:
    """Each field is described beside its reader; the file that editors and checks read must say the same."""
    made = written(plan_schema()) + "\n"
    if os.environ.get("PLANLINT_REWRITE_SCHEMA"):
        FILE.write_text(made, encoding="utf-8")
    assert json.loads(schema_text("plan.schema.json")) == plan_schema()
    assert FILE.read_text(encoding="utf-8") == made
