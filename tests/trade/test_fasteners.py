"""Threads and kinds of fasteners read from free texts."""

from __future__ import annotations

import pytest

from planlint.trade.fasteners import cuts_own_thread, holds_down, keeps_tight, thread

# ISO 261: M6, M8 and M10 are 6, 8 and 10 mm. ASME B1.1: 1/4 in is 6.35 mm, 5/16 in is 7.94 mm, 3/8 in is 9.53 mm, and
# no. 10 is 0.190 in, no. 8 is 0.164 in (from memory).
THREADS = [
    ("M8 stud", 8.0),
    ("m8 stud", 8.0),
    ("M 10 bolt", 10.0),
    ("M8x1.25 bolt with weld nut", 8.0),
    ("4 x M6 bolts", 6.0),
    ("8 mm stud", 8.0),
    ("4.2 mm self-tapping screw", 4.2),
    ("1/4-20 bolt", 6.35),
    ('5/16" stud', 7.9375),
    ("3/8 in through bolt", 9.525),
    ("no. 10 sheet-metal screw", 4.826),
    ("#8 screw", 4.1656),
    ("M8 bolt, M6 nut insert", 6.0),
    ("10 mm bolt", None),
    ("M8 x 25 mm bolt", 8.0),
    ("20 mm bolt", None),
    ("stud", None),
    ("a good bolt", None),
    ("stud, 25 mm2 lug", None),
    ("lug for 1/0 AWG", None),
    ("stud 20 mm long", None),
    ("no washer", None),
]
KINDS = [
    ("M8 stud", False),
    ("M8 bolt with weld nut", False),
    ("M6 screw", False),
    ("M6 machine screw in a nut insert", False),
    ("self-tapping screw", True),
    ("selftapping screw 5 mm", True),
    ("sheet-metal screw", True),
    ("sheet screw, no. 10", True),
    ("self-drilling M6 screw", True),
    ("drywall screw", True),
    ("screw", None),
    ("clamp", None),
]
LOCKS = [
    ("M8 stud with serrated washer", True),
    ("M8 bolt with weld nut", True),
    ("M8 bolt, toothed washer", True),
    ("M8 nut insert", True),
    ("M8 stud, star washer and lock nut", True),
    ("M8 stud with spring washer", True),
    ("M8 bolt with plain washer", False),
    ("M8 bolt, no washer", False),
    ("M8 stud without serrated washer", False),
    ("M8 stud without a lock washer, weld nut", True),
    ("M8 stud", None),
    ("M8 bolt and nut", None),
]
OWNERS = [
    ("seat belt bolt, 7/16 in", "belt"),
    ("belt anchor bolt", "belt"),
    ("bolt of the buckle", "belt"),
    ("child-seat anchor bolt", "belt"),
    ("rear seat bolt M10", "seat"),
    ("bolt of the front seat", "seat"),
    ("seat rail stud", "seat"),
    ("M8 stud under the seat", None),
    ("M8 stud", None),
    ("belt-driven tool", None),
]


@pytest.mark.parametrize(("text", "mm"), THREADS)
def test_a_thread_is_read_or_left_unknown(text: str, mm: float | None) -> None:
    """Metric, inch and numbered threads give their nominal diameter; no other number is taken for one."""
    found = thread(text)
    assert found is None if mm is None else found == pytest.approx(mm / 1000)


@pytest.mark.parametrize(("text", "expected"), KINDS)
def test_a_screw_that_cuts_its_own_thread_is_known_by_its_name(text: str, expected: bool | None) -> None:
    """Tapping, sheet and building screws cut their own thread, bolts and studs do not, `screw` alone does not tell."""
    assert cuts_own_thread(text) is expected


@pytest.mark.parametrize(("text", "expected"), LOCKS)
def test_what_keeps_a_joint_tight_is_read_or_left_unknown(text: str, expected: bool | None) -> None:
    """Serrated and spring washers and nuts that cannot turn do; plain washers do not; silence is no answer."""
    assert keeps_tight(text) is expected


@pytest.mark.parametrize(("text", "expected"), OWNERS)
def test_a_bolt_of_a_seat_or_belt_is_known_by_its_name(text: str, expected: str | None) -> None:
    """A bolt that holds a belt or a seat is told by words; a place under the seat is no seat bolt."""
    assert holds_down(text) == expected


# Words of the trade for what holds a person or a seat, and the distance to one, which is no such bolt (common practice).
@pytest.mark.parametrize(
    ("text", "held"),
    [
        ("bolt of the rear seat belt", "belt"),
        ("seatbelt bolt", "belt"),
        ("isofix bolt", "belt"),
        ("bolt of the safety belt", "belt"),
        ("front seat M10 bolt", "seat"),
        ("bolt of the rear bench", "seat"),
        ("M8 stud with serrated washer, 60 mm from the belt anchor", None),
        ("M8 stud, 10 cm beside the seat rail", None),
    ],
)
def test_belt_and_seat_in_other_words(text: str, held: str | None) -> None:
    """A bolt is known by what it holds, not by what stands near it."""
    assert holds_down(text) == held
