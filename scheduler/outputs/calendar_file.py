"""The tasks as a calendar file (RFC 5545) of all-day events for the crew's phones.

One event a day and kind of work: a phone shows a handful of lines for a day, and opening one gives the
list of lots. An event is known by the first key among its tasks and not by its date, so it moves with them.
Publishing again over an older file raises SEQUENCE of changed events only and says which were cancelled.
"""

import contextlib
import uuid
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, cast

from icalendar import STATUS, TRANSP, Calendar, Event, vDuration, vText

from scheduler.farm.farm import Farm
from scheduler.outputs.words import LOCAL, WORK, headline, plain, task_line, work_order
from scheduler.plan.rows import TaskRow

NAMES = uuid.uuid5(uuid.NAMESPACE_URL, "urn:raftway:tasks")
"""Every event's name hangs on it: never change it."""

ASK_AGAIN = timedelta(hours=6)
"""How often a subscribed phone should look for changes."""

KEEP_OLD = timedelta(days=28)
"""How long past and cancelled events stay in the file, so that an imported copy can still be corrected."""

_OWN_TIMES = ("DTSTAMP", "LAST-MODIFIED", "SEQUENCE")


def calendar_file(farm: Farm, tasks: Sequence[TaskRow], before: bytes | None = None) -> bytes:
    """Return the calendar file of a plan's reported days.

    Args:
        farm: names the calendar; its ``today`` at 00:00 UTC is the time of every change.
        tasks: the plan's tasks; keys must differ.
        before: the file published last time, if any.

    Raises:
        ValueError: two tasks have the same key.
    """
    now = _now(farm)
    name = f"{plain(farm.name)} tasks"
    own_uid = str(uuid.uuid5(NAMES, farm.name))
    published = _published(before, own_uid)
    events: list[Event] = []
    for event in _events(farm, tasks):
        events.append(_dated(event, published.pop(str(event["UID"]), None), now))
    left_over = (_left_over(old, now) for old in published.values())
    events.extend(event for event in left_over if event is not None)
    calendar = Calendar.new(prodid="-//raftway//farm tasks//EN", name=name, calscale="GREGORIAN", uid=own_uid)
    if "X-WR-CALNAME" not in calendar:
        calendar.add("X-WR-CALNAME", name)
    calendar.add("REFRESH-INTERVAL", vDuration(ASK_AGAIN), parameters={"VALUE": "DURATION"})
    calendar.add("X-PUBLISHED-TTL", vDuration(ASK_AGAIN))
    for event in sorted(events, key=lambda each: (_first_day(each), str(each["UID"]))):
        calendar.add_component(event)
    return cast(bytes, calendar.to_ical())


def _now(farm: Farm) -> datetime:
    return datetime.combine(farm.date_of(farm.today), time(), UTC)


def _events(farm: Farm, tasks: Iterable[TaskRow]) -> list[Event]:
    groups: dict[tuple[int, str], list[TaskRow]] = defaultdict(list)
    keys: set[str] = set()
    for task in tasks:
        if task.key in keys:
            raise ValueError(f"two tasks have the key {task.key!r}")
        keys.add(task.key)
        if task.day < farm.calendar.days:
            groups[task.day, task.work].append(task)
    ordered = sorted(groups, key=lambda group: (group[0], work_order(group[1])))
    return [_event(farm, day, work, groups[day, work]) for day, work in ordered]


def _event(farm: Farm, day: int, work: str, tasks: list[TaskRow]) -> Event:
    first = min(task.key for task in tasks)
    cautions = WORK[work].cautions if work in WORK else ()
    lines = [task_line(task) for task in tasks]
    if cautions:
        lines += ["", " ".join((*cautions, LOCAL))]
    return Event.new(
        uid=f"{uuid.uuid5(NAMES, f'{farm.name}|{work}|{first}')}@raftway.invalid",
        summary=headline(work, tasks),
        description="\n".join(lines),
        start=farm.date_of(day),
        end=farm.date_of(day + 1),
        categories=[work],
        transparency=TRANSP.TRANSPARENT,
        status=STATUS.CONFIRMED,
        stamp=_now(farm),
    )


def _dated(event: Event, old: Event | None, now: datetime) -> Event:
    """Give an event the time and number of its last change."""
    same = old is not None and _content(old) == _content(event)
    number = 0 if old is None else int(old.get("SEQUENCE", 0)) + (not same)
    _stamp(event, old.DTSTAMP if old is not None and same and old.DTSTAMP else now, number)
    return event


def _stamp(event: Event, when: datetime, number: int) -> None:
    for name in _OWN_TIMES:
        event.pop(name, None)
    event.add("DTSTAMP", when)
    event.add("LAST-MODIFIED", when)
    event.add("SEQUENCE", number)


def _left_over(old: Event, now: datetime) -> Event | None:
    """Return what becomes of a published event that the plan no longer has: past, cancelled, or gone."""
    day = _first_day(old)
    if day < (now - KEEP_OLD).date():
        return None
    if day >= now.date() and old.status != STATUS.CANCELLED:
        old["SUMMARY"] = vText(f"Cancelled: {old.get('SUMMARY', '')}")
        old.status = STATUS.CANCELLED
        _stamp(old, now, int(old.get("SEQUENCE", 0)) + 1)
    return old


def _content(event: Event) -> dict[str, Any]:
    return {name: event[name].to_ical() for name in event if name not in _OWN_TIMES}


def _first_day(event: Event) -> date:
    start = event.start
    return start.date() if isinstance(start, datetime) else start


def _published(before: bytes | None, own_uid: str) -> dict[str, Event]:
    """Return the events published last time by UID; none when the file is damaged or another farm's."""
    found: dict[str, Event] = {}
    if before is not None:
        with contextlib.suppress(ValueError, KeyError):
            calendar = Calendar.from_ical(before)
            if str(calendar.get("UID")) == own_uid:
                found = {str(event["UID"]): event for event in calendar.events}
    return found
