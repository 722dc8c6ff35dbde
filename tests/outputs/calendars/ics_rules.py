"""Rules of calendar files (RFC 5545), read off the bytes alone; shares no code with what writes them.

``faults(data)`` returns what is wrong, in words; nothing for a sound file. Only what the project writes is
known: all-day events with or without one alarm.
"""

import re
from collections import Counter
from dataclasses import dataclass, field

LONGEST_LINE = 75
ONCE = {
    "VCALENDAR": ("PRODID", "VERSION", "UID", "NAME", "X-WR-CALNAME", "REFRESH-INTERVAL"),
    "VEVENT": ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE", "STATUS", "TRANSP"),
    "VALARM": ("ACTION", "DESCRIPTION", "TRIGGER"),
}
AT_MOST_ONCE = {
    "VCALENDAR": ("CALSCALE", "METHOD"),
    "VEVENT": ("DESCRIPTION", "LAST-MODIFIED", "CREATED", "CLASS", "DURATION", "RRULE", "ORGANIZER", "URL"),
    "VALARM": ("DURATION", "REPEAT"),
}
FORMS = {
    "VERSION": r"2\.0",
    "UID": r"\S+",
    "DTSTAMP": r"\d{8}T\d{6}Z",
    "LAST-MODIFIED": r"\d{8}T\d{6}Z",
    "DTSTART": r"\d{8}",
    "DTEND": r"\d{8}",
    "SEQUENCE": r"\d+",
    "STATUS": "CONFIRMED|CANCELLED|TENTATIVE",
    "TRANSP": "TRANSPARENT|OPAQUE",
    "ACTION": "DISPLAY",
    "TRIGGER": r"P0D|PT(?=\d)(?:\d+H)?(?:\d+M)?",
    "REFRESH-INTERVAL": r"PT\d+H",
}
PARAMETERS = {"DTSTART": "VALUE=DATE", "DTEND": "VALUE=DATE", "REFRESH-INTERVAL": "VALUE=DURATION"}
TEXTS = {"SUMMARY", "DESCRIPTION", "NAME", "X-WR-CALNAME"}
TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,nN])*")


@dataclass
class Part:
    kind: str
    lines: list = field(default_factory=list)
    parts: list = field(default_factory=list)

    def all(self, name):
        return [value for each, _, value in self.lines if each == name]


def faults(data: bytes) -> list[str]:
    found = [*_line_faults(data)]
    if not found:
        calendar, found = _tree(data.decode().replace("\r\n ", "").split("\r\n")[:-1])
        if not found:
            found = [*_calendar_faults(calendar)]
    return found


def _line_faults(data):
    if not data.endswith(b"\r\n"):
        yield "the last line has no end"
    if re.search(rb"\r(?!\n)|(?<!\r)\n", data):
        yield "a line ends in something else than CRLF"
    for number, line in enumerate(data.removesuffix(b"\r\n").split(b"\r\n"), 1):
        if len(line) > LONGEST_LINE:
            yield f"line {number} has {len(line)} octets"
        if line in (b"", b" "):
            yield f"line {number} is empty"
        if re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line):
            yield f"line {number} has a control sign"
        try:
            line.decode()
        except UnicodeDecodeError:
            yield f"line {number} is cut within a letter"


def _tree(lines):
    root = Part("")
    stack = [root]
    for line in lines:
        head, colon, value = line.partition(":")
        name, *parameters = head.split(";")
        if not colon or not re.fullmatch(r"[A-Z0-9-]+", name):
            return root, [f"no name before {line[:40]!r}"]
        if name == "BEGIN":
            stack[-1].parts.append(Part(value))
            stack.append(stack[-1].parts[-1])
        elif name == "END":
            if stack.pop().kind != value or not stack:
                return root, [f"END:{value} closes something else"]
        else:
            stack[-1].lines.append((name, ";".join(parameters), value))
    if len(stack) > 1 or root.lines or [part.kind for part in root.parts] != ["VCALENDAR"]:
        return root, ["not one whole calendar"]
    return root.parts[0], []


def _calendar_faults(calendar):
    yield from _part_faults(calendar)
    if not calendar.parts:
        yield "a calendar without any event"
    if calendar.all("METHOD"):
        yield "METHOD asks for an ORGANIZER"
    for event in calendar.parts:
        if event.kind != "VEVENT":
            yield f"an unknown {event.kind}"
        yield from _part_faults(event)
        yield from _event_faults(event)
    uids = Counter(uid for event in calendar.parts for uid in event.all("UID"))
    yield from (f"{uid} {number} times" for uid, number in uids.items() if number > 1)


def _part_faults(part):
    counts = Counter(name for name, _, _ in part.lines)
    for name in ONCE.get(part.kind, ()):
        if counts[name] != 1:
            yield f"{counts[name]} x {name} in {part.kind}"
    for name in AT_MOST_ONCE.get(part.kind, ()):
        if counts[name] > 1:
            yield f"{counts[name]} x {name} in {part.kind}"
    for name, parameters, value in part.lines:
        if parameters != PARAMETERS.get(name, ""):
            yield f"{name} with {parameters or 'no parameter'}"
        if not re.fullmatch(FORMS.get(name, ".*"), value):
            yield f"{name} is {value[:40]!r}"
        if name in TEXTS and not TEXT.fullmatch(value):
            yield f"{name} has a sign without its backslash"


def _event_faults(event):
    start, end = "".join(event.all("DTSTART")), "".join(event.all("DTEND"))
    if end <= start:
        yield f"from {start} to {end}: no day at all"
    if event.all("DURATION"):
        yield "both DTEND and DURATION"
    if "" in event.all("SUMMARY"):
        yield "an event that says nothing"
    if event.parts and event.all("STATUS") == ["CANCELLED"]:
        yield "what is called off rings"
    for alarm in event.parts:
        if alarm.kind != "VALARM":
            yield f"an unknown {alarm.kind} in an event"
        yield from _part_faults(alarm)
