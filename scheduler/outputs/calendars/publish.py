"""Publishing over an older file: numbers rise where something changed, and what is gone is called off.

A changed event gets a higher SEQUENCE and a new DTSTAMP, an unchanged one keeps both. An event that the plan
no longer has stays in the file as cancelled, since an imported copy cannot be taken back otherwise.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

from scheduler.farm.farm import Farm
from scheduler.outputs.calendars.entries import Entry, titled
from scheduler.outputs.calendars.identity import Published, matched, new_uid

KEEP_OLD = timedelta(days=28)
"""How long past events, and events that were called off, stay in the file for those who import it."""

CANCELLED = "Cancelled: "


def now(farm: Farm) -> datetime:
    """Return the time of every change: the farm's today at 00:00 UTC, since nothing here asks a clock."""
    return datetime.combine(farm.date_of(farm.today), time(), UTC)


def published(farm: Farm, fresh: Sequence[Entry], old: Sequence[Published]) -> list[Published]:
    """Return what the new file holds, by day, then in the order given.

    Args:
        farm: gives names and the time of change.
        fresh: the plan's events, in the order they should stand in.
        old: the events published last time; names must differ.
    """
    when = now(farm)
    known = matched(fresh, old, when.date())
    taken = {event.uid for event in old}
    born = when.date() if old else None
    events = []
    for at, entry in enumerate(fresh):
        before = known.get(at)
        uid = before.uid if before else new_uid(farm.name, entry, born, taken)
        taken.add(uid)
        events.append(_dated(uid, entry, before, when))
    used = {event.uid for event in events}
    left_over = (_left_over(event, when) for event in old if event.uid not in used)
    events += [event for event in left_over if event is not None]
    return sorted(events, key=lambda event: event.entry.day)


def _dated(uid: str, entry: Entry, before: Published | None, when: datetime) -> Published:
    """Give an event the number and time of its last change."""
    if before is None:
        return Published(uid=uid, entry=entry, sequence=0, stamp=when, cancelled=False)
    if not before.cancelled and before.entry.says_the_same(entry):
        return replace(before, entry=entry)
    return Published(uid=uid, entry=entry, sequence=before.sequence + 1, stamp=when, cancelled=False)


def _left_over(event: Published, when: datetime) -> Published | None:
    """Return what becomes of an event that the plan no longer has: past, called off, or gone."""
    if event.cancelled:
        return event if event.stamp >= when - KEEP_OLD else None
    if event.entry.day < when.date():
        return event if event.entry.day >= (when - KEEP_OLD).date() else None
    called_off = replace(event.entry, title=titled(CANCELLED + event.entry.title), alarm=None)
    return Published(uid=event.uid, entry=called_off, sequence=event.sequence + 1, stamp=when, cancelled=True)
