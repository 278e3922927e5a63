"""Where fitted electronics need an approval of their electromagnetic compatibility."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from planlint.trade.tables import table


def regulation_10_applies(region: str) -> bool | None:
    """Say whether UN Regulation 10 applies in a region by its name (from memory), None for one the table does not have."""
    return _regions().get(" ".join(region.casefold().split()))


@cache
def _regions() -> Mapping[str, bool]:
    rows = table("approval_regions", ("region", "applies"))
    return MappingProxyType({row["region"].casefold(): row["applies"] == "yes" for row in rows})
