"""Puts the data of all rule files into a wheel as one JSON file, which loads a hundred times as fast as their YAML."""

import json
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class RulesHook(BuildHookInterface):  # type: ignore[type-arg]
    """Reads the rule files as planlint itself does; a file that cannot be read stops the build."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Add the file to a wheel; an editable install reads the YAML, which may change under it."""
        if self.target_name != "wheel" or version == "editable":
            return
        root = Path(self.root)
        sys.path.insert(0, str(root))
        from planlint.text.reader import read

        data = {}
        for path in sorted((root / "rules").rglob("*.yaml")):
            reading = read(path.read_bytes())
            if reading.document is None:
                raise SystemExit(f"{path}: {reading.problems[0].message}")
            data[path.relative_to(root).as_posix()] = reading.document.data
        folder = Path(tempfile.mkdtemp())
        (folder / "rules.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
        build_data["force_include"][str(folder / "rules.json")] = "planlint/_rules.json"
