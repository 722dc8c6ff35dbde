"""Rules of repetition as RFC 5545 writes them (3.3.10), for things that are done on whole days."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from scheduler.book.faults import quoted
from scheduler.book.names import nearest
from scheduler.book.parse import Refused
from scheduler.book.words import listed

EXAMPLE = "FREQ=WEEKLY;BYDAY=MO,TH"
MOST_INTERVAL = 1000
WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
PARTS = (
    "FREQ", "INTERVAL", "COUNT", "UNTIL", "BYMONTH", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO", "BYDAY",
    "BYSETPOS", "WKST",
)  # fmt: skip
OF_HOURS = ("BYHOUR", "BYMINUTE", "BYSECOND", "HOURLY", "MINUTELY", "SECONDLY")
NUMBERS = {"BYMONTH": 12, "BYMONTHDAY": 31, "BYYEARDAY": 366, "BYWEEKNO": 53, "BYSETPOS": 366}
"""Part that is a list of numbers -> the highest; all but BYMONTH may count from the end, below 0."""

ONLY_WITH = {
    "BYMONTHDAY": ("DAILY", "MONTHLY", "YEARLY"),
    "BYYEARDAY": ("YEARLY",),
    "BYWEEKNO": ("YEARLY",),
}
"""Part -> the frequencies it may stand with (the table of 3.3.10)."""

MOST_IN_SET = {"DAILY": 1, "WEEKLY": 7, "MONTHLY": 31}
"""Frequency -> most days that BYSETPOS picks from; a day beyond would be looked for to the year 9999."""

LONGEST_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """A rule that keeps RFC 5545.

    Attributes:
        text: the rule in capitals, without UNTIL.
        until: last day it may fall on; None when the rule does not say.
    """

    text: str
    until: date | None


def parse_repeat(text: str) -> Repeat:
    """Read a rule; capitals and spaces are forgiven, and so is RRULE: before it.

    Raises:
        Refused: the first fault of the rule; see :func:`repeat_faults` for all of them.
    """
    for fault in repeat_faults(text):
        raise fault
    parts = _parts(text)
    until = parts.pop("UNTIL", "")
    kept = ";".join(f"{name}={value}" for name, value in parts.items())
    return Repeat(text=kept, until=_until(until))


def repeat_faults(text: str) -> list[Refused]:
    """Return every fault of a rule."""
    words = _plain(text).split(";")
    names = [word.partition("=")[0] for word in words]
    if "FREQ" not in _parts(text):
        said = re.split(r"[^A-Z]+", text.upper())
        example = next((f"FREQ={word}" for word in said if word in FREQUENCIES), EXAMPLE)
        return [_bad(quoted(text), f"FREQ= and how often, such as {example}")]
    faults = [
        _bad(quoted(word), _unknown(name))
        for word, name in zip(words, names, strict=True)
        if name not in PARTS
    ]
    faults += [_bad(f"{name} twice", "each part once") for name in PARTS if names.count(name) > 1]
    faults += [_bad(quoted(word), f"'{word}=' and its value") for word in words if word in PARTS]
    if faults:
        return faults
    parts = _parts(text)
    faults = [fault for name, value in parts.items() for fault in _value_faults(name, value, parts)]
    return faults or list(_together(parts))


def _plain(text: str) -> str:
    return "".join(text.upper().split()).removeprefix("RRULE:").strip(";")


def _parts(text: str) -> dict[str, str]:
    return dict(word.split("=", 1) for word in _plain(text).split(";") if "=" in word)


def _bad(found: str, expected: str) -> Refused:
    return Refused(found, expected, "bad-rule")


def _unknown(name: str) -> str:
    if name in OF_HOURS:
        return "parts that are of whole days: chores have no hour"
    near = nearest(name, PARTS)
    return f"'{near}='?" if near else f"parts such as {EXAMPLE} (RFC 5545, 3.3.10)"


def _value_faults(name: str, value: str, parts: Mapping[str, str]) -> Iterator[Refused]:
    if name in NUMBERS:
        yield from _number_faults(name, value)
    elif name == "BYDAY":
        yield from _day_faults(value, parts)
    elif not CHECKED[name](value):
        yield _bad(quoted(f"{name}={value}"), EXPECTED[name])


def _until(value: str) -> date | None:
    """Return the day of UNTIL; None when it is not one."""
    match = re.fullmatch(r"([0-9]{4})([0-9]{2})([0-9]{2})", value)
    try:
        return date(*(int(part) for part in match.groups())) if match else None
    except ValueError:
        return None


CHECKED: Mapping[str, Callable[[str], bool]] = {
    "FREQ": lambda value: value in FREQUENCIES,
    "INTERVAL": lambda value: bool(re.fullmatch(r"[0-9]{1,4}", value)) and 1 <= int(value) <= MOST_INTERVAL,
    "COUNT": lambda value: bool(re.fullmatch(r"[0-9]{1,5}", value)) and int(value) >= 1,
    "UNTIL": lambda value: _until(value) is not None,
    "WKST": lambda value: value in WEEKDAYS,
}
EXPECTED = {
    "FREQ": "FREQ=DAILY, WEEKLY, MONTHLY or YEARLY",
    "INTERVAL": f"a whole number from 1 to {MOST_INTERVAL}, such as INTERVAL=2",
    "COUNT": "how many times in all, such as COUNT=10",
    "UNTIL": "a day without an hour, such as UNTIL=20261231",
    "WKST": f"a day of the week, one of {', '.join(WEEKDAYS)}",
}


def _number_faults(name: str, value: str) -> Iterator[Refused]:
    most, signed = NUMBERS[name], name != "BYMONTH"
    for word in value.split(","):
        match = re.fullmatch(r"([+-]?)([0-9]{1,3})", word)
        if not match or not 1 <= int(match.group(2)) <= most or (match.group(1) == "-" and not signed):
            last = f", or -1 to -{most} from the end" if signed else ""
            yield _bad(quoted(f"{name}={word}"), f"1 to {most}{last}")


def _day_faults(value: str, parts: Mapping[str, str]) -> Iterator[Refused]:
    often = parts["FREQ"]
    most = {"MONTHLY": 5, "YEARLY": 53}.get(often, 0)
    for word in value.split(","):
        match = re.fullmatch(r"([+-]?[0-9]{1,2})?([A-Z]+)", word)
        number, day = (match.group(1) or "", match.group(2)) if match else ("", "")
        expected = ""
        if day not in WEEKDAYS:
            expected = f"'{number}{day[:2]}'?" if day[:2] in WEEKDAYS else ", ".join(WEEKDAYS)
        elif number and not most:
            expected = f"{day} alone: only months and years number their weekdays"
        elif number and not 1 <= abs(int(number)) <= most:
            expected = f"a number from 1 to {most}, or from -1 to -{most} from the end"
        elif number and "BYWEEKNO" in parts:
            expected = f"{day} alone beside BYWEEKNO"
        if expected:
            yield _bad(quoted(f"BYDAY={word}"), expected)


def _together(parts: Mapping[str, str]) -> Iterator[Refused]:
    """Yield what is wrong between parts that are right by themselves."""
    often = parts["FREQ"]
    for name, fits in ONLY_WITH.items():
        if name in parts and often not in fits:
            yield _bad(f"{name} with FREQ={often}", f"FREQ={listed(fits, 'or')}")
    if "COUNT" in parts and "UNTIL" in parts:
        yield _bad("COUNT beside UNTIL", "one of the two alone")
    if "BYSETPOS" in parts and not any(name.startswith("BY") and name != "BYSETPOS" for name in parts):
        yield _bad("BYSETPOS alone", "the days it picks from beside it, such as BYDAY=MO")
    most = MOST_IN_SET.get(often)
    if most and all(abs(int(word)) > most for word in parts.get("BYSETPOS", "1").split(",")):
        expected = (
            f"{most}, or -{most} from the end, at most" if most > 1 else "1, for a day has one day alone"
        )
        yield _bad(f"BYSETPOS={parts['BYSETPOS']} with FREQ={often}", expected)
    if "BYMONTH" in parts and "BYMONTHDAY" in parts:
        months = [int(word) for word in parts["BYMONTH"].split(",")]
        days = [abs(int(word)) for word in parts["BYMONTHDAY"].split(",")]
        if min(days) > max(LONGEST_MONTH[month - 1] for month in months):
            found = f"BYMONTH={parts['BYMONTH']};BYMONTHDAY={parts['BYMONTHDAY']}"
            yield _bad(quoted(found), "a day that some of these months have")
