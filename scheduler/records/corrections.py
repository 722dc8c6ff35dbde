"""An earlier entry told anew, so that another can stand in for it."""

import json
from typing import Any

from scheduler.records import entries as kinds
from scheduler.records.drafts import Hints
from scheduler.records.entries import Entry

NUMBERS = ("plants", "left")
"""What a task tells as the plan has it, and what stands may change."""


def as_it_was(entry: Entry, *, elsewhere: bool = False) -> tuple[dict[str, Any], Hints | None]:
    """Return what was told of an entry, field by field, and hints where it was told by a task.

    The words of a task are the plan's; in their place stand the numbers that the entry came to, and what was
    thrown away is looked for where the entry found it. ``elsewhere`` says that another place is told for it.
    """
    given: dict[str, Any] = json.loads(entry.given)
    if not entry.task:
        return given, None
    given |= {name: getattr(entry, name) for name in NUMBERS if name in given}
    if entry.what == kinds.MOVED:
        # how many the plan left behind is not among its words
        given["left"] = entry.left
    if entry.what != kinds.CULLED:
        # what a task told of slots is still only where the plan had it
        return given, Hints()
    return given, None if elsewhere else Hints(was=entry)
