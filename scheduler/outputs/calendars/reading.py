"""How a calendar file that was written here before is read again.

Not by icalendar: its release 7.3.2 takes a backslash before a capital N for a line break, so that a text
would not be known again; and one event damaged by hand should be left aside rather than the whole file.
Only what is written here is read: an event with anything else in place of a known value is nobody's.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from scheduler.outputs.calendars.entries import Entry, Part
from scheduler.outputs.calendars.identity import Published
from scheduler.outputs.calendars.writing import FARM, PARTS, File
from scheduler.outputs.words import plain

LARGEST_SEQUENCE = 2**31 - 2
"""The largest whole number of a calendar file (RFC 5545, 3.3.8), with room for one more."""

_CALENDAR = {"UID": "[0-9a-f-]{36}", FARM: "[0-9a-f-]{36}", "NAME": ".+"}

_EVENT = {
    "UID": r"[0-9a-f-]{36}@raftway\.invalid",
    "DTSTART": r"(?:19|20|21)\d{6}",
    "DTSTAMP": r"\d{8}T\d{6}Z",
    "SEQUENCE": r"\d{1,10}",
    "STATUS": "CONFIRMED|CANCELLED",
    "CATEGORIES": "[a-z]+",
    "SUMMARY": ".+",
    "DESCRIPTION": ".*",
    PARTS: r"[0-9a-f]+\.[0-9a-f]+(?: [0-9a-f]+\.[0-9a-f]+)*",
}
"""Lines that an event written here has, and what stands in them."""

_TRIGGER = re.compile(r"P0D|PT(?:(\d{1,2})H)?(?:(\d{1,2})M)?")


@dataclass(slots=True)
class _Block:
    """What stands between BEGIN and END: values of its lines by name, and blocks within."""

    name: str
    values: dict[str, str] = field(default_factory=dict)
    blocks: list["_Block"] = field(default_factory=list)
    doubled: bool = False


def read(data: bytes) -> File | None:
    """Return a file that was written here; None when it is damaged as a whole or another program's.

    Events that are damaged or not ours are left out; of several with one name the last changed one counts.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None
    calendar = _calendar(re.split(r"\r?\n", re.sub(r"\r?\n[ \t]", "", text)))
    if calendar is None or not _has(calendar, _CALENDAR):
        return None
    found: dict[str, Published] = {}
    for block in calendar.blocks:
        event = _event(block) if block.name == "VEVENT" else None
        if event is not None and (event.uid not in found or event.sequence > found[event.uid].sequence):
            found[event.uid] = event
    return File(
        uid=calendar.values["UID"],
        farm=calendar.values[FARM],
        title=_text(calendar.values["NAME"]),
        events=tuple(found.values()),
    )


def _calendar(lines: Iterable[str]) -> _Block | None:
    """Return the first calendar of a file's lines; None when blocks do not open and close in pairs."""
    root = _Block("")
    open_blocks = [root]
    for line in lines:
        head, _, value = line.partition(":")
        name, inmost = head.partition(";")[0].upper(), open_blocks[-1]
        if name == "BEGIN":
            inmost.blocks.append(_Block(value.strip()))
            open_blocks.append(inmost.blocks[-1])
        elif name == "END":
            if inmost.name != value.strip() or inmost is root:
                return None
            open_blocks.pop()
        else:
            inmost.doubled |= name in inmost.values
            inmost.values.setdefault(name, value)
    whole = len(open_blocks) == 1 and root.blocks and root.blocks[0].name == "VCALENDAR"
    return root.blocks[0] if whole else None


def _has(block: _Block, lines: Mapping[str, str]) -> bool:
    """Say whether a block has each of some lines, as they are written here, and no line twice."""
    whole = all(re.fullmatch(rule, block.values.get(name, "")) for name, rule in lines.items())
    return whole and not block.doubled


def _event(block: _Block) -> Published | None:
    values = block.values
    if not _has(block, _EVENT):
        return None
    try:
        day = date.fromisoformat(values["DTSTART"])
        stamp = datetime.strptime(values["DTSTAMP"], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    except ValueError:
        return None
    if int(values["SEQUENCE"]) > LARGEST_SEQUENCE:
        return None
    entry = Entry(
        kind=values["CATEGORIES"],
        day=day,
        title=_text(values["SUMMARY"]),
        text=_text(values["DESCRIPTION"]),
        parts=frozenset(Part(*each.split(".")) for each in values[PARTS].split(" ")),
        names=(),
        alarm=_alarm(block),
    )
    return Published(
        uid=values["UID"],
        entry=entry,
        sequence=int(values["SEQUENCE"]),
        stamp=stamp,
        cancelled=values["STATUS"] == "CANCELLED",
    )


def _alarm(block: _Block) -> int | None:
    """Return the minutes after midnight of an event's alarm; None without one."""
    for alarm in block.blocks:
        at = _TRIGGER.fullmatch(alarm.values.get("TRIGGER", ""))
        if at is not None:
            return 60 * int(at[1] or 0) + int(at[2] or 0)
    return None


def _text(value: str) -> str:
    """Take the backslashes off a text (RFC 5545, 3.3.11), and signs that should not be in it."""
    text = re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], value)
    return "\n".join(plain(line) for line in text.split("\n"))
