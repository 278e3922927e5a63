"""A typed plan becomes a file and the file the same plan again, in YAML and in JSON, and both are judged alike."""

from __future__ import annotations

import json
import string
from collections.abc import Iterator
from dataclasses import Field, dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planlint.judge.judge import judge, judge_plan, plan_of, plan_schema
from planlint.judge.result import Place, Result, Verdict
from planlint.plan.build import build
from planlint.plan.kinds import KINDS, terminal_names
from planlint.plan.model import About, Acceptance, End, Plan, Segment, Terminations, Wire
from planlint.plan.quantity import BASES, Dimension, Quantity, QuantityError, parse
from planlint.plan.unbuild import plan_data, quantity_text
from planlint.plan.units import SPELLINGS
from planlint.plan.values import NOT_STATED, ORIGINAL, NotApplicable, distance, fuse_or_none
from planlint.plan.vehicle import Customer, Vehicle, Zone
from planlint.plan.work import STEPS, Check, Document, Hole, Mount, Part, Photo, Step
from planlint.rulebook.load import shipped_rulebook
from planlint.rulebook.model import Severity
from planlint.text.encoding import UNPRINTABLE
from planlint.text.reader import read
from planlint.text.scalars import NotFiniteError, plain
from planlint.text.shape import check_shape
from planlint.text.write import plan_text

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").rglob("*.plan.yaml"))

# --- quantities, as people write them

_GAUGES = (*(str(size) for size in range(1, 41)), "1/0", "2/0", "3/0", "4/0", "0", "00")


@st.composite
def amounts(draw: st.DrawFn, dimension: Dimension) -> str:
    """One number with a unit of the dimension, in any spelling; lengths also in feet and inches."""
    unit = draw(st.sampled_from(sorted(SPELLINGS[dimension])))
    if unit in ("AWG", "awg"):
        return f"{draw(st.sampled_from(_GAUGES))} {unit}"
    number = draw(st.integers(0, 999)) if draw(st.booleans()) else draw(st.integers(0, 10**9 - 1))
    places = draw(st.integers(0, 9))
    text = f"{number}.{draw(st.integers(0, 10**places - 1)):0{places}d}" if places else str(number)
    if unit == "ft" and draw(st.booleans()):
        return f"{number} ft {draw(st.integers(0, 11))}.{draw(st.integers(0, 999))} in"
    below_zero = dimension is Dimension.TEMPERATURE and number < 200 and draw(st.booleans())
    return f"{'-' * below_zero}{text} {unit}"


@st.composite
def quantities(draw: st.DrawFn, dimension: Dimension) -> Quantity:
    """A quantity that some text stands for: one amount or a range, each end in a unit of its own, with or without basis."""
    ends = [draw(amounts(dimension)) for _ in range(draw(st.sampled_from((1, 1, 2))))]
    ends.sort(key=lambda end: parse(end, dimension).low)
    basis = draw(st.sampled_from(("", *(f" {word}" for word in sorted(BASES)))))
    text = "..".join(ends) + basis
    assume(len(text) <= 60)
    return parse(text, dimension)


DIMENSIONS = tuple(Dimension)
BY_UNIT = (Dimension.VOLTAGE, Dimension.CURRENT, Dimension.RESISTANCE, Dimension.TEMPERATURE, Dimension.TIME)


@settings(max_examples=400)
@given(st.sampled_from(DIMENSIONS).flatmap(quantities))
def test_every_quantity_has_a_text_that_is_read_as_the_same(quantity: Quantity) -> None:
    """Values, the unit to show them in and the basis come back exactly: no digit is lost on the way."""
    assert parse(quantity_text(quantity), quantity.dimension) == quantity


@pytest.mark.parametrize(
    ("written", "again"),
    [
        ("0.150 m", "0.15 m"),
        ("17 ft 6 in", "17.5 ft"),
        ("17 ft 5 in measured", "17 ft 5 in measured"),
        ("2 m..400 cm", "200..400 cm"),
        ("7 in..1 ft", "0 ft 7 in..1 ft"),
        ("2..4 m estimated", "2..4 m estimated"),
        ("-40 °F", "-40 F"),
        ("0 AWG", "1/0 AWG"),
        ("8..4 awg", "8..4 AWG"),
        ("4 AWG..25 mm²", "4 AWG..25 mm2"),
    ],
)
def test_a_quantity_is_written_as_a_person_would(written: str, again: str) -> None:
    """The shortest number in the plan's own unit; feet and inches and two units only where one will not do."""
    dimension = next(one for one in (Dimension.LENGTH, Dimension.AREA, Dimension.TEMPERATURE) if _fits(written, one))
    assert quantity_text(parse(written, dimension)) == again


def _fits(text: str, dimension: Dimension) -> bool:
    try:
        parse(text, dimension)
    except QuantityError:
        return False
    return True


def test_a_quantity_that_no_text_stands_for_is_refused() -> None:
    """A third of a metre has no decimal text: a neighbour would be another plan."""
    with pytest.raises(ValueError, match=r"no text in m stands for exactly 0\.333"):
        quantity_text(Quantity(dimension=Dimension.LENGTH, low=1 / 3, high=1 / 3, unit="m"))


# --- texts, of which some look like something else

ODD = (
    *("", " ", "on", "No", "y", "~", "null", "true", "FALSE", "1:30", "1:30:00", "0o7", "0x1F", "0b1", "07", "08"),
    *("1e3", "1.5E3", "-1", "+.5", "1.", "1_000", ".inf", "-.INF", ".nan", "1e999", "2031-05-31", "=", "<<", "none"),
    *(
        "none-near",
        "- a",
        "? a",
        "a: b",
        "a #b",
        "#",
        "&a",
        "*a",
        "!a",
        "%a",
        "@a",
        "`a`",
        "'",
        '"',
        "\\",
        "[a]",
        "{a}",
    ),
    *("|", ">", "---", "...", "--- a", "a ", " a", "a:", ":", ",", "a\nb", "a\n\n b\n", "\n", "\t", "a\tb", "a\r\nb"),
    *(r"\ud83d\ude00", "\U0001f600", "Ω 4 Ω", "\u00a0", "a\u00a0", "'a\nb'", "x" * 300, "long words " * 30),
)
TEXTS = st.sampled_from(ODD) | st.text(
    st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\u2028\u2029\ufeff\ufffe\uffff"), max_size=12
)
STATED_TEXTS = TEXTS.filter(lambda text: text != NOT_STATED)
NAMES = st.sampled_from(
    ("on", "no", "null", "true", "5", "08", "1e3", "0o7", "0x1f", "1-2", "0b1", "not-stated", "none", "x" * 200)
) | st.text(string.ascii_lowercase + string.digits, min_size=1, max_size=6)


@settings(max_examples=300)
@given(st.lists(STATED_TEXTS | st.integers() | st.booleans() | st.none()), st.lists(NAMES, unique=True))
def test_whatever_looks_like_something_else_is_read_as_it_was_written(values: list[Any], names: list[str]) -> None:
    """Texts and names stay texts, numbers, truth values and nothing stay what they are."""
    data: dict[str, Any] = {
        "plan": 1,
        **dict.fromkeys(names, "x"),
        "values": values,
        "inner": dict.fromkeys(names, values),
    }
    reading = read(plan_text(data).encode())
    assert reading.problems == () and reading.document is not None
    assert repr(reading.document.data) == repr(data)


@given(st.text(st.sampled_from("0189+-.eExo:_nNaAfFtTrRuUlLsSyY~ "), max_size=5))
def test_a_text_stands_without_quotes_only_where_both_versions_of_yaml_read_text(text: str) -> None:
    """YAML 1.2.2, section 10.3.2, is this reader's; other programs may read a plan by YAML 1.1, as PyYAML does."""
    import yaml

    written = plan_text({"x": text})
    assert yaml.safe_load(written) == {"x": text}
    bare = written.removeprefix("x: ").removesuffix("\n")
    assert bare != text or _is_text(bare)


def _is_text(bare: str) -> bool:
    try:
        return isinstance(plain(bare), str)
    except NotFiniteError:
        return False


@pytest.mark.parametrize("text", ["a\x07b", "\x85", "\u2028", "\ud800", "\ufeff"])
def test_a_character_that_no_plan_may_contain_is_not_written(text: str) -> None:
    """The reader would refuse the file: better no file than one that cannot be read."""
    assert UNPRINTABLE.search(text)
    with pytest.raises(ValueError, match="expected only characters that print"):
        plan_text({"title": text})


def test_keys_keep_their_order_and_lines_are_not_folded() -> None:
    """A plan is read by people too: one line a value, in the order of the data."""
    data: dict[str, Any] = {
        "plan": 1,
        "title": "long words " * 30,
        "nodes": {"b": {"kind": "bus"}, "a": {}},
        "holes": [],
    }
    expected = f"plan: 1\ntitle: '{'long words ' * 30}'\nnodes:\n  b:\n    kind: bus\n  a: {{}}\nholes: []\n"
    assert plan_text(data) == expected


# --- plans, made from what the dataclasses declare

PLAIN: dict[str, st.SearchStrategy[Any]] = {
    **{dimension.value: quantities(dimension) for dimension in Dimension},
    "quantity": st.sampled_from(BY_UNIT).flatmap(quantities),
    "distance": quantities(Dimension.LENGTH) | st.just(distance("none-near", (), [])),
    "fuse-rating-or-none": quantities(Dimension.CURRENT) | st.just(fuse_or_none("none", (), [])),
    "text": STATED_TEXTS,
    "flag": st.booleans(),
    "count": st.integers(1, 10**12),
    "date": st.dates().map(str),
}
REASONS = TEXTS.filter(bool).map(lambda reason: NotApplicable(reason=reason))
# Fields of words that name something of the plan, by what they name; lists of names name elements where nothing is said.
REFERS = {
    "zone": "zones",
    "open_to": "zones",
    "through": "holes",
    "precharge": "steps",
    "after": "steps",
    "enclosure": "elements",
    "resistance_to": "elements",
    "tied_to": "elements",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """Draws records field by field; `names` are those that a field may refer to, `every` states every field."""

    draw: st.DrawFn
    names: dict[str, tuple[str, ...]]
    every: bool

    def record(self, cls: type, path: tuple[str | int, ...] = (), **own: Any) -> Any:
        """A record of the class with what the plan says of it beside its fields, and fields stated at random."""
        hints = get_type_hints(cls)
        if cls is Terminations and not self.every:
            # What is stated for both ends has gone to each of them once the plan is read.
            own["both"] = None
        for entry in fields(cls):
            if "convert" in entry.metadata and entry.name not in own and self._states(entry):
                at = (*path, ORIGINAL.get(entry.name, entry.name))
                own[entry.name] = self._value(entry.name, entry.metadata["schema"], hints[entry.name], at)
        return cls(**({} if cls is About else {"path": path}), **own)

    def listed(self, cls: type, path: tuple[str | int, ...]) -> tuple[Any, ...]:
        """Some records of the class in a list."""
        least = 2 if self.every else 0
        count = self.draw(st.integers(least, 2))
        return tuple(
            self._segment((*path, i)) if cls is Segment else self.record(cls, (*path, i)) for i in range(count)
        )

    def _segment(self, path: tuple[str | int, ...]) -> Segment:
        """A stretch, or a hole passed through: never both."""
        passes = bool(path[-1]) if self.every else self.draw(st.booleans())
        if passes:
            others = {entry.name: entry.default for entry in fields(Segment) if entry.name not in ("path", "through")}
            return self.record(Segment, path, **others)  # type: ignore[no-any-return]
        return self.record(Segment, path, through=None)  # type: ignore[no-any-return]

    def _states(self, entry: Field[Any]) -> bool:
        return self.every or entry.metadata["required"] or self.draw(st.booleans())

    def _value(self, name: str, schema: Any, hint: Any, path: tuple[str | int, ...]) -> Any:
        """A value for a field, by what its schema asks for."""
        ref = schema.get("$ref", "").removeprefix("#/$defs/")
        pool = self.names[REFERS.get(name, "elements")]
        if ref == "names":
            return (
                tuple(self.draw(st.lists(st.sampled_from(pool), min_size=int(self.every), max_size=3))) if pool else ()
            )
        if ref:
            named = ref == "text" and name in REFERS and pool
            return self._or_not(st.sampled_from(pool) if named else PLAIN[ref])
        if "enum" in schema:
            return self.draw(st.sampled_from(schema["enum"]))
        if "anyOf" in schema:
            return self._or_not(st.sampled_from([word for word in schema["anyOf"][0]["enum"] if word != NOT_STATED]))
        return self._contained(schema["then"], hint, path)

    def _or_not(self, values: st.SearchStrategy[Any]) -> Any:
        """Mostly a value, sometimes the reason why there is none."""
        return self.draw(REASONS if self.draw(st.integers(0, 7)) == 7 else values)

    def _contained(self, then: Any, hint: Any, path: tuple[str | int, ...]) -> Any:
        """What a list or mapping holds."""
        items = then.get("items", {})
        if "enum" in items:
            return tuple(self.draw(st.lists(st.sampled_from(items["enum"]), min_size=int(self.every), max_size=3)))
        if (ref := items.get("$ref", "").removeprefix("#/$defs/")) in PLAIN:
            return self._or_not(
                st.lists(PLAIN[ref] | st.none() | REASONS, min_size=int(self.every), max_size=3).map(tuple)
            )
        cls: type = next(part for part in parts_of(hint) if hasattr(part, "__dataclass_fields__"))
        if items:
            return self.listed(cls, path)
        if "$ref" in then:
            return self.record(cls, path)
        names = keys(then["propertyNames"])
        drawn = self.draw(st.lists(names, min_size=int(self.every), max_size=2, unique=True))
        return tuple(self.record(cls, (*path, name), name=name) for name in drawn)


def parts_of(hint: Any) -> Iterator[Any]:
    """The classes that a type is made of."""
    yield hint
    for part in get_args(hint):
        yield from parts_of(part)


def keys(schema: Any) -> st.SearchStrategy[str]:
    """Keys of a mapping that fit this schema: any name, or what its pattern asks for."""
    pattern = schema.get("pattern", "").replace(r"(?!\n)", "")
    return st.from_regex(pattern, fullmatch=True).filter(str.isascii) if pattern else NAMES


def kinds_of_zone(name: str) -> st.SearchStrategy[str]:
    """A kind of zone; its name where the file says no kind."""
    return st.sampled_from([name, *plan_schema()["$defs"]["zone"]["properties"]["kind"]["enum"]])


WITH_TERMINALS = [kind for kind, it in KINDS.items() if it.terminals]


@st.composite
def typed_plans(draw: st.DrawFn, *, whole: tuple[str, ...] = ()) -> Plan:
    """A plan that could stand in a file, of any kinds of node and any work; with the kinds of `whole`, one of each and
    every field of every class stated."""
    every = bool(whole)
    some = [draw(st.sampled_from(WITH_TERMINALS)), *draw(st.lists(st.sampled_from(list(KINDS)), max_size=2))]
    kinds = list(whole) or some
    counts = [2] * 4 if every else [draw(st.integers(0, 2)) for _ in range(4)]
    many = len(kinds) + sum(counts)
    names = iter(draw(st.lists(NAMES, min_size=many, max_size=many, unique=True)))
    zones, wires, holes, mounts = (tuple(next(names) for _ in range(count)) for count in counts)
    parts = tuple(names)
    steps = tuple(draw(st.lists(NAMES, min_size=int(every), max_size=2)))
    known = {"zones": zones, "holes": holes, "steps": (*steps, *STEPS), "elements": (*parts, *zones, *wires)}
    make = Maker(draw=draw, names={**known, "elements": (*known["elements"], *holes, *mounts)}, every=every)
    nodes = tuple(
        make.record(KINDS[kind].node, ("nodes", name), name=name, kind=kind)
        for name, kind in zip(parts, kinds, strict=True)
    )
    # The builder takes `customer: {}` for no customer at all, so one of whom nothing is known stands in no file.
    customer = make.record(Customer, ("customer",))
    return Plan(
        title=draw(TEXTS),
        scope=draw(st.sampled_from(("whole", "electrical"))),
        about=make.record(About),
        vehicle=make.record(Vehicle, ("vehicle",)),
        customer=customer if customer != Customer(path=("customer",)) else None,
        zones=tuple(
            make.record(Zone, ("zones", at), name=n, kind=draw(kinds_of_zone(n))) for at, n in enumerate(zones)
        ),
        nodes=nodes,
        wires=tuple(wire(make, name, nodes) for name in wires),
        holes=by_name(make, Hole, "holes", holes),
        mounts=by_name(make, Mount, "mounts", mounts),
        steps=(*(make.record(Step, ("steps", i), name=n) for i, n in enumerate(steps)),) or none(make),
        tests=make.listed(Check, ("tests",)) or none(make),
        parts=make.listed(Part, ("parts",)) or none(make),
        documents=make.listed(Document, ("documents",)) or none(make),
        photos=make.listed(Photo, ("photos",)) or none(make),
        accepted=tuple(
            make.record(Acceptance, ("accepted", at), rule=draw(NAMES), subject=draw(NAMES))
            for at in range(2 if every else draw(st.integers(0, 2)))
        ),
        origins={},
    )


def none(make: Maker) -> tuple[Any, ...] | None:
    """A section without elements: left out, or `none`."""
    return make.draw(st.sampled_from([None, ()]))


def by_name(make: Maker, cls: type, section: str, names: tuple[str, ...]) -> tuple[Any, ...] | None:
    """The elements of a section that have these names."""
    return tuple(make.record(cls, (section, name), name=name) for name in names) or none(make)


def wire(make: Maker, name: str, nodes: tuple[Any, ...]) -> Any:
    """A wire between any two terminals of the nodes."""
    ends = {"from_": ("wires", name, "from"), "to": ("wires", name, "to")}
    return make.record(Wire, ("wires", name), name=name, **{at: end(make, path, nodes) for at, path in ends.items()})


def end(make: Maker, path: tuple[str | int, ...], nodes: tuple[Any, ...]) -> End:
    """Any terminal of any node."""
    node = make.draw(st.sampled_from([node for node in nodes if KINDS[node.kind].terminals]))
    terminal = make.draw(st.sampled_from(terminal_names(node)))
    return End(path=path, node=node.name, terminal=terminal.replace("*", make.draw(st.sampled_from(("1", "left-2")))))


# --- there and back


def as_json(data: dict[str, Any]) -> str:
    """JSON text as other programs write it, with escapes."""
    return json.dumps(data)


def as_json_for_people(data: dict[str, Any]) -> str:
    """JSON text laid out on lines, without escapes."""
    return json.dumps(data, ensure_ascii=False, indent=2)


WRITERS = (plan_text, as_json, as_json_for_people)


def plan_in(text: str) -> Plan:
    """The plan that a text says, which must be readable, of the right shape and without faults."""
    reading = read(text.encode())
    assert reading.document is not None, (reading.problems, text)
    assert check_shape(reading.document, plan_schema()) == ()
    building = build(reading.document.data)
    assert building.faults == ()
    return building.plan


def comes_back(plan: Plan) -> None:
    """Demand that a plan is the same after it went through a text of each sort, places in the data included."""
    data = plan_data(plan)
    for write in WRITERS:
        again = plan_in(write(data))
        assert again == replace(plan, origins={}), write.__name__
        assert plan_data(again) == data


def declared(cls: Any) -> Iterator[tuple[str, str]]:
    """The fields that a class declares for the file, and those of the classes that they hold."""
    hints = get_type_hints(cls)
    for entry in fields(cls):
        if "convert" in entry.metadata:
            yield cls.__name__, entry.name
            for part in parts_of(hints[entry.name]):
                if is_dataclass(part) and part not in (Quantity, NotApplicable):
                    yield from declared(part)


def stated(value: Any) -> Iterator[tuple[str, str]]:
    """The fields that are neither unknown nor empty, by their classes, in a value and in all that it holds."""
    if isinstance(value, tuple):
        for item in value:
            yield from stated(item)
    elif is_dataclass(value) and not isinstance(value, (Quantity, NotApplicable)):
        for entry in fields(value):
            inner = getattr(value, entry.name)
            if "convert" in entry.metadata and inner not in (None, ()):
                yield type(value).__name__, entry.name
            yield from stated(inner)


WORK = (Hole, Mount, Step, Check, Part, Document, Photo)
ROOTS = (About, Vehicle, Customer, Zone, Wire, Acceptance, *WORK)
# All kinds of node at once are more than hypothesis draws for one example.
SHARES = [tuple(KINDS)[share::4] for share in range(4)]


@settings(max_examples=60)
@given(typed_plans())
def test_a_plan_comes_back_from_a_file(plan: Plan) -> None:
    """Plan, data, text, reader, schema, builder: an equal plan, by YAML and by JSON."""
    comes_back(plan)


@pytest.mark.parametrize("kinds", SHARES, ids=[shares[0] for shares in SHARES])
@settings(max_examples=2)
@given(data=st.data())
def test_every_field_of_every_class_comes_back(kinds: tuple[str, ...], data: st.DataObject) -> None:
    """No field is forgotten on either way: all of them are stated here, and each is in the data."""
    plan = data.draw(typed_plans(whole=kinds))
    assert set(stated(plan)) == {
        field for cls in (*ROOTS, *(KINDS[kind].node for kind in kinds)) for field in declared(cls)
    }
    comes_back(plan)


@pytest.mark.parametrize("section", ["holes", "mounts", "steps", "tests", "parts", "documents", "photos"])
def test_a_section_that_is_missing_is_not_one_with_nothing_in_it(section: str) -> None:
    """`none` is a statement, a missing section is unchecked: neither may become the other."""
    bare = build({"plan": 1, "nodes": {"x": {"kind": "bus"}}}).plan
    assert section not in plan_data(bare)
    empty = build({"plan": 1, "nodes": {"x": {"kind": "bus"}}, section: "none"}).plan
    assert (getattr(bare, section), getattr(empty, section)) == (None, ())
    assert plan_data(empty)[section] == "none"
    comes_back(bare)
    comes_back(empty)


SAID: list[tuple[str, Any, Any]] = [
    ("none", NotApplicable(reason="no fuse"), "none"),
    ("other reason", NotApplicable(reason="fusible link"), {"not_applicable": "fusible link"}),
]


@pytest.mark.parametrize(("name", "value", "written"), SAID, ids=[row[0] for row in SAID])
def test_a_word_of_the_format_is_written_as_the_word(name: str, value: Any, written: Any) -> None:
    """What the file says in one word is not written as a reason, and any other reason is kept."""
    data = {"plan": 1, "nodes": {"b": {"kind": "distribution", "outputs": {"out-1": {"fuse": written}}}}}
    plan = build(data).plan
    assert plan.nodes[0].outputs[0].fuse == value, name  # type: ignore[attr-defined]
    assert plan_data(plan)["nodes"] == data["nodes"]


def test_values_taken_over_are_written_out() -> None:
    """Defaults, groups and zones are gone from the data; each element says for itself what it took over."""
    data = {
        "plan": 1,
        "zones": [{"name": "cabin", "segment": {"support": "300 mm"}}],
        "defaults": {"fuse": {"family": "anl"}, "wire": {"material": "copper"}},
        "groups": {"power": {"gauge": "4 AWG"}},
        "nodes": {"f": {"kind": "fuse"}},
        "wires": {"w": {"from": "f.line", "to": "f.load", "group": "power", "route": [{"zone": "cabin"}]}},
    }
    building = build(data)
    assert building.faults == () and building.plan.origins
    made = {"gauge": "4 AWG", "material": "copper", "route": [{"zone": "cabin", "support": "300 mm"}]}
    assert plan_data(building.plan) == {
        "plan": 1,
        "scope": "whole",
        "zones": [{"name": "cabin"}],
        "nodes": {"f": {"kind": "fuse", "family": "anl"}},
        "wires": {"w": {"from": "f.line", "to": "f.load", **made}},
    }
    comes_back(building.plan)


# --- judged alike


def told(value: Any) -> Any:
    """All that a result says but where in the text it stands: of a place its name and its words remain."""
    if isinstance(value, Place):
        return value.name, value.message
    if isinstance(value, tuple):
        return tuple(told(item) for item in value)
    if is_dataclass(value):
        return tuple((entry.name, told(getattr(value, entry.name))) for entry in fields(value))
    return value


def judged(text: str) -> Result:
    """The result of a text that can be read and judged."""
    result = judge(text.encode(), "x")
    assert result.verdict is not Verdict.UNREADABLE, (result.findings, text)
    return result


def judged_alike(plan: Plan) -> None:
    """Demand that every spelling of a plan has the same verdict, findings, gaps and assumptions."""
    first, *others = (told(judged(write(plan_data(plan)))) for write in WRITERS)
    assert others == [first] * len(others)


@settings(max_examples=25)
@given(typed_plans())
def test_json_and_yaml_of_a_plan_are_judged_alike(plan: Plan) -> None:
    """How a plan is spelt is no property of the plan."""
    judged_alike(plan)


@pytest.mark.parametrize("path", EXAMPLES, ids=[path.name for path in EXAMPLES])
def test_an_example_comes_back_and_is_judged_as_before(path: Path) -> None:
    """The shipped plans, sound and faulty, lose nothing on the way; that they took values over is told of no more."""
    document = read(path.read_bytes()).document
    assert document is not None
    plan, problems = plan_of(document)
    assert plan is not None, problems
    comes_back(plan)
    judged_alike(plan)
    before = judge_plan(replace(plan, origins={}), document, "x", shipped_rulebook().rules, Severity.ERROR)
    assert told(judged(plan_text(plan_data(plan)))) == told(before)


def test_every_example_was_asked() -> None:
    """The list above is made from a folder: an empty one would prove nothing."""
    assert len(EXAMPLES) >= 18
