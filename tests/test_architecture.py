"""The shape of the house: which room may use which, where libraries and disk enter, how long things are."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

import networkx as nx
import pytest

import planlint

CHECKOUT = Path(__file__).resolve().parent.parent

# From upstream to downstream. A room uses rooms above it; rooms on one line do not see each other.
ROOMS = (
    ("text",),
    ("plan",),
    ("trade",),
    ("graph",),
    ("facts",),
    ("rulebook",),
    ("judge",),
    ("pages",),
    ("report", "school", "workshop"),
    ("cli", "editor"),
)
FLOOR = {room: floor for floor, rooms in enumerate(ROOMS, start=1) for room in rooms}
GROUND = frozenset({"planlint", "planlint.shipped", "planlint.frozen"})  # used by every room, use none

# Third-party library -> the one room through which it enters.
DOORS = {
    "yaml": "text",
    "jsonschema": "text",
    "jsonschema_rs": "text",
    "networkx": "graph",
    "jinja2": "pages",
    "click": "cli",
    "pygls": "editor",
}

MODULE_LINES = 300
FUNCTION_LINES = 40
DATACLASS_OPTIONS = {"frozen", "slots", "kw_only"}
# Working values that never leave their module: filled as a walk goes on, then forgotten.
DATACLASS_EXCEPTIONS = frozenset({"planlint/graph/reach.py:_Step", "planlint/text/build.py:Builder"})
DISK_MODULES = frozenset({"planlint/shipped.py", "planlint/trade/tables.py"})  # loaders of packaged data
DISK_CALLS = frozenset(
    {
        *("open", "read_text", "write_text", "read_bytes", "write_bytes", "mkdir", "unlink", "rmdir"),
        *("iterdir", "glob", "rglob", "listdir", "scandir", "is_file", "is_dir"),
    }
)
# Evaluation is never needed; a computed import would hide from the checks below.
FORBIDDEN_CALLS = frozenset({"eval", "exec", "__import__", "import_module"})
TOP_LEVEL = frozenset(
    {"README.md", "DEVELOPERS.md", "pyproject.toml", "planlint", "rules", "schemas", "tests", "examples"}
)
HEAVY = frozenset({"jsonschema", "jinja2", "numpy", "scipy", "asyncio"})  # never needed to start


def module_name(path: str) -> str:
    """The dotted name of a module: "planlint/text/read.py" is planlint.text.read."""
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def room_of(module: str) -> str:
    """The room of a dotted module name; empty for the ground floor."""
    return "" if module in GROUND else [*module.split("."), ""][1]


def imports(path: str, source: str) -> Iterator[tuple[int, str]]:
    """Line and dotted target of every import, lazy ones and those for type checking included."""
    package = module_name(path).split(".")
    if not path.endswith("/__init__.py"):
        package.pop()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else []
            base = [*above, *(node.module or "").split(".")] if node.module else above
            yield from ((node.lineno, ".".join([*base, alias.name])) for alias in node.names)


def resolve(target: str, modules: Iterable[str]) -> str:
    """The longest known module that an import target names: itself, or the one that holds the name."""
    return max((m for m in modules if f"{target}.".startswith(f"{m}.")), key=len, default="")


def import_graph(sources: dict[str, str]) -> nx.DiGraph[str]:
    """Modules of planlint as nodes, an edge from each to every one that it imports."""
    modules = {module_name(path) for path in sources}
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(modules)
    for path, source in sources.items():
        found = {resolve(target, modules) for _, target in imports(path, source)}
        graph.add_edges_from((module_name(path), target) for target in found - {""})
    return graph


def cycles(sources: dict[str, str]) -> list[str]:
    """Groups of modules that import each other."""
    graph = import_graph(sources)
    knots = [sorted(knot) for knot in nx.strongly_connected_components(graph) if len(knot) > 1]
    return sorted([" <-> ".join(knot) for knot in knots] + [f"{m} <-> itself" for m, _ in nx.selfloop_edges(graph)])


def back_arrows(sources: dict[str, str]) -> list[str]:
    """Imports that go against the order of rooms."""
    arrows = sorted(import_graph(sources).edges)
    return [f"{user} may not use {used}" for user, used in arrows if not may_use(user, used)]


def may_use(user: str, used: str) -> bool:
    """Whether one module may import another by the order of rooms."""
    if used in GROUND:
        return user != used
    here, there = room_of(user), room_of(used)
    return here == there != "" or FLOOR.get(there, len(FLOOR)) < FLOOR.get(here, 0)


def homeless(sources: dict[str, str]) -> list[str]:
    """Modules that stand neither in a room nor on the ground floor."""
    modules = sorted(module_name(path) for path in sources)
    return [module for module in modules if module not in GROUND and room_of(module) not in FLOOR]


def strange_libraries(path: str, source: str) -> list[str]:
    """Third-party libraries that enter elsewhere than through their own room."""
    room = room_of(module_name(path))
    tops = [(line, target.split(".")[0]) for line, target in imports(path, source)]
    foreign = [(line, top) for line, top in tops if top not in sys.stdlib_module_names and top != "planlint"]
    return [f"{path}:{line}: {top}" for line, top in foreign if room == "" or DOORS.get(top) != room]


def long_module(path: str, source: str) -> list[str]:
    """The module, when it is longer than a module may be."""
    count = len(source.splitlines())
    return [f"{path}: {count} lines"] if count > MODULE_LINES else []


def long_functions(path: str, source: str) -> list[str]:
    """Functions and methods longer than a function may be, from `def` to their last line."""
    found = (n for n in ast.walk(ast.parse(source)) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef))
    lengths = ((n, (n.end_lineno or n.lineno) - n.lineno + 1) for n in found)
    return [f"{path}:{n.lineno}: {n.name} has {count} lines" for n, count in lengths if count > FUNCTION_LINES]


def untold_purpose(path: str, source: str) -> list[str]:
    """The module, unless its first line is one whole sentence that says what it is for."""
    body = ast.parse(source).body
    lines = (ast.get_docstring(ast.parse(source), clean=False) or "").split("\n")
    told = bool(body) and body[0].lineno == 1 and lines[0].rstrip().endswith((".", "?", "!"))
    return [] if told and not "".join(lines[1:2]).strip() else [f"{path}: first line is not one sentence"]


def loose_dataclasses(path: str, source: str) -> list[str]:
    """Dataclasses that are not frozen, slotted and keyword-only."""
    classes = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ClassDef)]
    found = [f"{path}:{c.name}" for c in classes if any(map(is_loose, c.decorator_list))]
    return [name for name in found if name not in DATACLASS_EXCEPTIONS]


def is_loose(decorator: ast.expr) -> bool:
    """Whether a decorator makes a dataclass without all three options."""
    return is_dataclass(decorator) and not turned_on(decorator) >= DATACLASS_OPTIONS


def is_dataclass(decorator: ast.expr) -> bool:
    """Whether a decorator is `dataclass`, called or not, by whatever path."""
    return called_name(decorator.func if isinstance(decorator, ast.Call) else decorator) == "dataclass"


def turned_on(decorator: ast.expr) -> set[str]:
    """The options that a decorator call sets to a literal True."""
    keywords = decorator.keywords if isinstance(decorator, ast.Call) else []
    return {k.arg for k in keywords if k.arg and isinstance(k.value, ast.Constant) and k.value.value is True}


def called_name(function: ast.expr) -> str:
    """The last word of what is called: `a.b.open(...)` and `open(...)` are both open."""
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def calls(path: str, source: str, names: frozenset[str]) -> list[str]:
    """Calls of functions or methods with one of the given names."""
    found = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call))
    return [f"{path}:{c.lineno}: {called_name(c.func)}" for c in found if called_name(c.func) in names]


def disk_access(path: str, source: str) -> list[str]:
    """Calls that touch the disk, outside the command line and the loaders of packaged data."""
    allowed = path in DISK_MODULES or room_of(module_name(path)) == "cli"
    return [] if allowed else calls(path, source, DISK_CALLS)


def forbidden_calls(path: str, source: str) -> list[str]:
    """Calls that evaluate text as code or compute what to import."""
    return calls(path, source, FORBIDDEN_CALLS)


def strangers(tracked: Iterable[str]) -> list[str]:
    """What stands at the top of the repository and has no place there."""
    tops = {path.split("/")[0] for path in tracked}
    return sorted(top for top in tops if not top.startswith(".") and top not in TOP_LEVEL)


def loaded_by(statement: str, folder: Path) -> set[str]:
    """Names of all modules that a fresh interpreter holds after a statement."""
    # The same planlint as in this process, whether it is a wheel or the checkout.
    environment = os.environ | {"PYTHONPATH": str(Path(planlint.__file__).resolve().parent.parent)}
    program = f"import sys\n{statement}\nprint(*sys.modules)"
    command = [sys.executable, "-P", "-c", program]
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


SOURCES = {
    path.relative_to(CHECKOUT).as_posix(): path.read_text(encoding="utf-8")
    for path in sorted((CHECKOUT / "planlint").rglob("*.py"))
}
HOUSE_CHECKS = (cycles, back_arrows, homeless)
MODULE_CHECKS = (
    strange_libraries,
    long_module,
    long_functions,
    untold_purpose,
    loose_dataclasses,
    disk_access,
    forbidden_calls,
)


def test_there_is_a_house_to_check() -> None:
    """The checks below see the modules of every kind, so that none passes for want of anything to read."""
    assert {"planlint/__init__.py", "planlint/shipped.py", "planlint/cli/main.py"} <= SOURCES.keys()


@pytest.mark.parametrize("check", HOUSE_CHECKS, ids=lambda check: check.__name__)
def test_the_house_keeps_its_order(check: Callable[[dict[str, str]], list[str]]) -> None:
    """Text becomes plan, plan becomes graph, and so on: no import goes back."""
    assert check(SOURCES) == []


@pytest.mark.parametrize("check", MODULE_CHECKS, ids=lambda check: check.__name__)
def test_every_module_keeps_the_habits(check: Callable[[str, str], list[str]]) -> None:
    """Each habit that one module can break alone holds in all of them."""
    assert [complaint for path, source in SOURCES.items() for complaint in check(path, source)] == []


def test_the_top_level_holds_nothing_else() -> None:
    """The repository's first page shows the few entries that the design names."""
    git = shutil.which("git")
    if git is None or not (CHECKOUT / ".git").exists():
        pytest.skip("git or its records are absent, as in a source archive")
    command = [git, "-c", "safe.directory=*", "-C", str(CHECKOUT), "ls-files"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    tracked = done.stdout.splitlines()
    assert "planlint/__init__.py" in tracked
    assert strangers(tracked) == []


def test_starting_the_command_imports_nothing_heavy(tmp_path: Path) -> None:
    """What is imported is counted, since counts repeat on every machine and times do not."""
    assert loaded_by("import planlint.cli.start, planlint.cli.main", tmp_path) & HEAVY == set()


# The checks themselves: each finds its fault in a small bad source, and is silent beside it.
# Paths are below planlint/.

BAD_HOUSES = [
    (cycles, {"text/a.py": "import planlint.text.b", "text/b.py": "from . import a"},
     ["planlint.text.a <-> planlint.text.b"]),
    (cycles, {"text/a.py": "def f():\n from .b import x", "text/b.py": "from .a import f"},
     ["planlint.text.a <-> planlint.text.b"]),
    (cycles, {"text/__init__.py": "from .a import f", "text/a.py": "from planlint.text import g"},
     ["planlint.text <-> planlint.text.a"]),
    (cycles, {"text/a.py": "from .a import f"}, ["planlint.text.a <-> itself"]),
    (cycles, {"text/__init__.py": "from .a import f", "text/a.py": "from . import b", "text/b.py": ""}, []),
    (back_arrows, {"text/a.py": "from planlint.plan.b import x", "plan/b.py": ""},
     ["planlint.text.a may not use planlint.plan.b"]),
    (back_arrows, {"text/a.py": "from planlint.plan.b import x", "plan/__init__.py": ""},
     ["planlint.text.a may not use planlint.plan"]),
    (back_arrows, {"report/a.py": "def f():\n from ..school import b", "school/b.py": ""},
     ["planlint.report.a may not use planlint.school.b"]),
    (back_arrows, {"shipped.py": "import planlint.text.a", "text/a.py": ""},
     ["planlint.shipped may not use planlint.text.a"]),
    (back_arrows, {"__init__.py": "from .text.a import f", "text/a.py": ""},
     ["planlint may not use planlint.text.a"]),
    (back_arrows, {"text/a.py": "import planlint.attic.b", "attic/b.py": ""},
     ["planlint.text.a may not use planlint.attic.b"]),
    (back_arrows, {"cli/a.py": "import planlint.text.b, planlint.shipped, planlint", "text/b.py": "",
                   "shipped.py": "", "__init__.py": ""}, []),
    (homeless, {"attic/a.py": "", "b.py": "", "text/c.py": "", "shipped.py": "", "__init__.py": ""},
     ["planlint.attic.a", "planlint.b"]),
]  # fmt: skip

BAD_MODULES = [
    (strange_libraries, "plan/a.py", "import yaml", ["plan/a.py:1: yaml"]),
    (strange_libraries, "text/a.py", "import os\ndef f():\n import numpy.linalg", ["text/a.py:3: numpy"]),
    (strange_libraries, "shipped.py", "from yaml import x", ["shipped.py:1: yaml"]),
    (strange_libraries, "text/a.py", "import yaml.reader, json, planlint\nfrom . import b", []),
    (long_module, "text/a.py", "x = 1\n" * 301, ["text/a.py: 301 lines"]),
    (long_module, "text/a.py", "x = 1\n" * 300, []),
    (long_functions, "text/a.py", "@d\ndef f():\n" + " x = 1\n" * 40, ["text/a.py:2: f has 41 lines"]),
    (long_functions, "text/a.py", "class A:\n async def f(self):\n" + "  x = 1\n" * 40,
     ["text/a.py:2: f has 41 lines"]),
    (long_functions, "text/a.py", "@d\ndef f():\n" + " x = 1\n" * 39, []),
    (untold_purpose, "a.py", "", ["a.py: first line is not one sentence"]),
    (untold_purpose, "a.py", "x = 1", ["a.py: first line is not one sentence"]),
    (untold_purpose, "a.py", '# why\n"""Reads plans."""', ["a.py: first line is not one sentence"]),
    (untold_purpose, "a.py", '"""\nReads plans.\n"""', ["a.py: first line is not one sentence"]),
    (untold_purpose, "a.py", '"""Reads plans.\nAnd more.\n"""', ["a.py: first line is not one sentence"]),
    (untold_purpose, "a.py", '"""Reads plans.\n\nAnd more.\n"""', []),
    (loose_dataclasses, "a.py", "@dataclass\nclass A: pass", ["a.py:A"]),
    (loose_dataclasses, "a.py", "@dataclasses.dataclass(frozen=True, slots=True)\nclass A: pass", ["a.py:A"]),
    (loose_dataclasses, "a.py", "@dataclass(frozen=True, slots=no, kw_only=True)\nclass A: pass", ["a.py:A"]),
    (loose_dataclasses, "a.py", "@dataclass(frozen=True, slots=True, kw_only=True)\nclass A: pass", []),
    (disk_access, "text/a.py", "open('x')", ["text/a.py:1: open"]),
    (disk_access, "trade/a.py", "path.read_text()", ["trade/a.py:1: read_text"]),
    (disk_access, "cli/a.py", "path.write_text('x')", []),
    (disk_access, "trade/tables.py", "path.read_text()", []),
    (forbidden_calls, "a.py", "eval('1')", ["a.py:1: eval"]),
    (forbidden_calls, "a.py", "builtins.exec('1')", ["a.py:1: exec"]),
    (forbidden_calls, "a.py", "importlib.import_module(name)", ["a.py:1: import_module"]),
    (forbidden_calls, "a.py", "re.compile('x')\nevaluate(1)", []),
]  # fmt: skip


@pytest.mark.parametrize(("check", "sources", "expected"), BAD_HOUSES)
def test_a_disordered_house_is_found(
    check: Callable[[dict[str, str]], list[str]], sources: dict[str, str], expected: list[str]
) -> None:
    """Each check of the whole house names the fault, and only the fault."""
    assert check({f"planlint/{path}": source for path, source in sources.items()}) == expected


@pytest.mark.parametrize(("check", "path", "source", "expected"), BAD_MODULES)
def test_a_bad_module_is_found(
    check: Callable[[str, str], list[str]], path: str, source: str, expected: list[str]
) -> None:
    """Each check of one module names the fault, and only the fault."""
    found = check(f"planlint/{path}", source)
    assert found == [f"planlint/{complaint}" for complaint in expected]


def test_every_check_is_shown_to_fail() -> None:
    """No check stands without a bad source that it finds."""
    shown = {case[0] for case in BAD_HOUSES if case[-1]} | {case[0] for case in BAD_MODULES if case[-1]}
    assert shown == {*HOUSE_CHECKS, *MODULE_CHECKS}


def test_a_stranger_at_the_top_is_found() -> None:
    """A new file or folder at the top is named; dot-entries are free."""
    assert strangers(["README.md", "notes.txt", "attic/a.py", ".ci/run", "planlint/x.py"]) == [
        "attic",
        "notes.txt",
    ]


def test_a_heavy_import_is_seen(tmp_path: Path) -> None:
    """The count of imports sees a library that is loaded."""
    assert loaded_by("import asyncio", tmp_path) & HEAVY == {"asyncio"}
