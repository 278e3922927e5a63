"""Frozen, slotted, keyword-only dataclasses that take a fifth of the time to define.

`dataclasses` writes and compiles six functions for every class, 2 ms for one of fifteen fields: with a hundred classes a
process would spend half its time on that before it reads a plan. Here all classes share these functions. A class of which
every plan makes hundreds stays an ordinary dataclass: an `__init__` of its own is quicker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, fields
from typing import Any, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True, kw_only_default=True)
def frozen(cls: type[T]) -> type[T]:
    """Make a class a frozen, slotted, keyword-only dataclass. Fields have a default value or none; no factories."""
    for name in _SHARED:
        setattr(cls, name, _Shared.__dict__[name])
    made = dataclass(init=False, repr=False, eq=False, slots=True, kw_only=True)(cls)
    given = fields(made)  # type: ignore[arg-type]
    made.__given__ = tuple(one.name for one in given)  # type: ignore[attr-defined]
    # A slot's own function sets it quicker than `object.__setattr__`, which looks for the slot each time.
    made.__slot__ = tuple((one.name, one.default, getattr(made, one.name).__set__) for one in given)  # type: ignore[attr-defined]
    return made


class _Shared:
    """The methods of all such classes.

    `__given__` are the names of a class's fields, `__slot__` each with its default and the function that sets it.
    """

    __given__: tuple[str, ...]
    __slot__: tuple[tuple[str, Any, Callable[[Any, Any], None]], ...]

    def __init__(self, **given: Any) -> None:
        for name, default, put in self.__slot__:
            value = given.pop(name, default)
            if value is MISSING:
                raise TypeError(f"{type(self).__name__} lacks {name}")
            put(self, value)
        if given:
            raise TypeError(f"{type(self).__name__} has no {', '.join(given)}")

    def __eq__(self, other: object) -> bool:
        return _values(self) == _values(other) if type(other) is type(self) else NotImplemented

    def __hash__(self) -> int:
        return hash(_values(self))

    def __repr__(self) -> str:
        told = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__given__)
        return f"{type(self).__name__}({told})"

    def __setattr__(self, name: str, value: Any) -> None:
        raise FrozenInstanceError(f"{type(self).__name__}.{name} is fixed")

    def __delattr__(self, name: str) -> None:
        raise FrozenInstanceError(f"{type(self).__name__}.{name} is fixed")

    def __reduce__(self) -> tuple[Any, ...]:
        return _rebuilt, (type(self), {name: getattr(self, name) for name in self.__given__})


_SHARED = ("__init__", "__eq__", "__hash__", "__repr__", "__setattr__", "__delattr__", "__reduce__")


def _values(one: Any) -> tuple[Any, ...]:
    return tuple([getattr(one, name) for name in one.__given__])


def _rebuilt(cls: type[T], given: dict[str, Any]) -> T:
    return cls(**given)
