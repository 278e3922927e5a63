"""Fills in what a plan says once for many elements: `defaults`, `groups` of wires, and `segment` of a zone.

What an element states itself goes first, `not stated` included; then its groups (of two the one named later), then its
zone, then the defaults. The vehicle maker's own parts and cables (`factory: true`) take over nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from planlint.frozen import frozen
from planlint.text.places import Path

Json = dict[str, Any]
Shared = tuple[Path, Any]


@frozen
class Filled:
    """A plan's data with everything filled in; `origins` say where each value stands that an element took over."""

    data: Json
    origins: Mapping[Path, Path]


def fill(data: Json) -> Filled:
    """Return the data of a plan with its defaults filled in. Mappings that take over nothing are shared, not copied."""
    zones = [zone for zone in data.get("zones") or () if isinstance(zone, dict) and "segment" in zone]
    both = any(
        _inner(((), wire), "ends", "both")[1]
        for wire in _mapping(data.get("wires")).values()
        if "ends" in _mapping(wire)
    )
    if not (data.get("defaults") or data.get("groups") or zones or both):
        return Filled(data=data, origins={})
    filler = _Filler(data)
    filled = dict(data)
    for section in ("nodes", "wires", "holes", "mounts"):
        if isinstance(data.get(section), dict):
            filled[section] = {name: filler.element(section, name, item) for name, item in data[section].items()}
    for section in ("steps", "tests", "parts"):
        if isinstance(data.get(section), list):
            filled[section] = [item and filler.element(section, at, item) for at, item in enumerate(data[section])]
    return Filled(data=filled, origins=filler.origins)


class _Filler:
    def __init__(self, data: Json) -> None:
        self.origins: dict[Path, Path] = {}
        self._defaults = _mapping(data.get("defaults"))
        self._groups = _mapping(data.get("groups"))
        self._zones = {
            zone["name"]: (("zones", index, "segment"), zone.get("segment"))
            for index, zone in enumerate(data.get("zones") or ())
            if isinstance(zone, dict) and "name" in zone
        }

    def element(self, section: str, name: str | int, item: Any) -> Any:
        """Return an element of a section with what it takes over."""
        path: Path = (section, name)
        if item is not None and not isinstance(item, dict):
            return item
        item = item or {}
        if item.get("factory") is True:
            return item
        if section == "nodes":
            return self._node(path, item)
        if section == "wires":
            return self._wire(path, item)
        return self._over(path, item, [self._default(section.removesuffix("s"))])

    def _default(self, key: str) -> Shared:
        return ("defaults", key), self._defaults.get(key)

    def _node(self, path: Path, item: Json) -> Json:
        node = self._over(path, item, [self._default(str(item.get("kind")))])
        if item.get("kind") != "distribution" or not isinstance(node.get("outputs"), dict):
            return node
        outputs = {
            name: self._over((*path, "outputs", name), _mapping(output), [self._default("block-output")])
            for name, output in node["outputs"].items()
        }
        return {**node, "outputs": outputs}

    def _wire(self, path: Path, item: Json) -> Json:
        named = item.get("group") or ()
        groups = [named] if isinstance(named, str) else named
        shared = [self._default("wire"), *((("groups", name), self._groups.get(name)) for name in groups)]
        wire = dict(self._over(path, item, shared, but=("ends",)))
        ends = {}
        for side in ("from", "to"):
            above = [self._default("end"), *(_inner(one, "ends", key) for one in shared for key in ("both", side))]
            above.append(_inner((path, item), "ends", "both"))
            own = _mapping(_mapping(item.get("ends")).get(side))
            ends[side] = self._over((*path, "ends", side), own, above)
        if any(ends.values()):
            wire["ends"] = {**_mapping(wire.get("ends")), **{side: end for side, end in ends.items() if end}}
        if isinstance(wire.get("route"), list):
            wire["route"] = [self._segment((*path, "route", i), part) for i, part in enumerate(wire["route"])]
        return wire

    def _segment(self, path: Path, part: Any) -> Any:
        if not isinstance(part, dict) or "through" in part:
            return part
        zone = self._zones.get(str(part.get("zone")), ((), None))
        return self._over(path, part, [self._default("segment"), zone])

    def _over(self, path: Path, own: Json, shared: Iterable[Shared], but: tuple[str, ...] = ()) -> Json:
        """Return the element's own fields over the shared ones, of which the later go before the earlier."""
        merged: Json = {}
        for at, fields in shared:
            for key, value in _mapping(fields).items():
                if value is not None and key != "kind" and key not in but and own.get(key) is None:
                    merged[key] = value
                    self.origins[(*path, key)] = (*at, key)
        return {**own, **merged} if merged else own


def _mapping(value: Any) -> Json:
    return value if isinstance(value, dict) else {}


def _inner(shared: Shared, *keys: str) -> Shared:
    path, value = shared
    for key in keys:
        path, value = (*path, key), _mapping(value).get(key)
    return path, value
