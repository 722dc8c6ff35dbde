"""An earlier entry told anew, so that another can stand in for it."""

import json
from collections.abc import Container, Mapping
from typing import Any

from scheduler.book.names import nearest
from scheduler.book.words import listed
from scheduler.records import entries as kinds
from scheduler.records.drafts import Hints
from scheduler.records.entries import Entry, in_force
from scheduler.records.yard import Refused

NUMBERS = ("plants", "left")
"""What a task tells as the plan has it, and what stands may change."""


def number_of(name: str, entries: Mapping[int, Entry]) -> int:
    """Return the number of the entry that a name means: its number, its ``op``, or the task it was told by.

    Args:
        name: as it was typed.
        entries: number -> entry, all of them.

    Raises:
        Refused: there is none, or several entries of that task hold.
    """
    number = next((number for number, entry in entries.items() if entry.op == name), 0)
    number = number or (int(name) if name.isascii() and name.isdigit() and len(name) < 10 else 0)
    if number in entries:
        return number
    of_task = [number for number, entry in entries.items() if name and entry.task == name]
    holding = [each.number for each in in_force(entries.items()) if each.number in of_task]
    if len(holding) > 1:
        found = f"'{name}', of which entries {listed([str(number) for number in sorted(holding)])} tell"
        raise Refused("corrects", found, "the number of one of them", "several-entries")
    if of_task:
        return holding[0] if holding else of_task[-1]
    expected = "the number of an entry, as list shows it, or the task it was told by"
    raise Refused(
        "corrects", f"entry '{name}', which there is not", expected + _meant(name, entries), "no-entry"
    )


def _meant(name: str, entries: Mapping[int, Entry]) -> str:
    """Return what may be meant by a task that tells no entry: entries of its lot, or else a task like it."""
    words = name.casefold().split()
    if len(words) < 2:
        return ""
    of_lot = [each for each in in_force(entries.items()) if each.entry.lot.casefold() in words]
    if of_lot:
        told = [f"{each.number} ({each.entry.what})" for each in of_lot]
        return f"; of {of_lot[0].entry.lot} there are {listed(told)}"
    near = nearest(name, [entry.task for entry in entries.values() if entry.task])
    return f": '{near}'?" if near else ""


def as_it_was(entry: Entry, mended: Container[str] = ()) -> tuple[dict[str, Any], Hints | None]:
    """Return what was told of an entry, field by field, and hints where it was told by a task.

    The words of a task are the plan's; in their place stand the numbers that the entry came to, and what was
    thrown away is looked for where the entry found it. Of a delivery whose units or heads are mended the
    other number is left out, for it follows from the one.

    Args:
        entry: the earlier entry.
        mended: fields that are told anew.
    """
    given: dict[str, Any] = json.loads(entry.given)
    if entry.what == kinds.DELIVERED:
        for name, other in (("plants", "heads"), ("heads", "plants")):
            if name in mended:
                given.pop(other, None)
    if not entry.task:
        return given, None
    given |= {name: getattr(entry, name) for name in NUMBERS if name in given}
    if entry.what == kinds.MOVED:
        # how many the plan left behind is not among its words
        given["left"] = entry.left
    if entry.what != kinds.CULLED:
        # what a task told of slots is still only where the plan had it
        return given, Hints(mended=frozenset(name for name in NUMBERS if name in mended))
    return given, None if "place" in mended else Hints(was=entry)
