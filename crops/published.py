"""Reads the published tables in ``shared/reference``: each row has value, unit, source and evidence."""

import csv
from collections.abc import Mapping
from functools import cache

from crops.rows import Source, sources_of
from scheduler.reference import shared_folder


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of one table, cell texts by column name.

    Args:
        name: file name without its ending, such as ``emergence_days``.

    Raises:
        FileNotFoundError: there is no such table.
    """
    with (shared_folder() / "reference" / f"{name}.csv").open(newline="", encoding="utf-8") as handle:
        return tuple(csv.DictReader(handle))


@cache
def reference_sources() -> Mapping[str, Source]:
    """Return every source of the published tables by its id, in file order."""
    return sources_of(table("sources"))
