"""Which calendar files a plan gets: all work, one file a kind of work, one a customer."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from scheduler.farm.farm import Farm
from scheduler.outputs.calendars.customers import delivery_entries
from scheduler.outputs.calendars.entries import OTHER, WEEK, nothing_to_do, week_entries, work_entries
from scheduler.outputs.calendars.identity import Published, calendar_uid
from scheduler.outputs.calendars.publish import published
from scheduler.outputs.calendars.reading import read
from scheduler.outputs.calendars.writing import File, write
from scheduler.outputs.file_names import file_name
from scheduler.outputs.words import WORK, plain
from scheduler.plan.rows import Plan
from scheduler.plan.views.customer_days import CustomerDay, customer_days
from scheduler.plan.views.weeks_total import weeks_total

TASKS = "tasks.ics"
"""The file with all work; the others stand in :data:`CALENDARS`."""

CALENDARS = "calendars"

KINDS = (WEEK, *WORK, OTHER)
"""Kinds of events of the crew, each with a file of its name."""

MINUTES_IN_DAY = 24 * 60

DELIVERIES = f"{CALENDARS}/deliveries-{{}}.ics"
"""A customer's file."""

_OWN_NAME = re.compile(rf"{CALENDARS}/deliveries-[a-z0-9-]+\.ics")


def calendar_files(
    farm: Farm, plan: Plan, before: Mapping[str, bytes], alarm_minutes: int | None = None
) -> dict[str, bytes]:
    """Return the calendar files of a plan's reported days by name; the same for the same plan.

    Args:
        farm: names the calendars; its ``today`` at 00:00 UTC is the time of every change.
        plan: its tasks, hours and demands; keys of tasks must differ.
        before: the files published last time by name, others among them; files of another farm and what
            is damaged are left aside.
        alarm_minutes: minutes after midnight at which phones of the crew ring for each event, None for
            not at all; customers' files never ring.

    Raises:
        ValueError: two tasks have the same key, or the alarm is not within one day.
    """
    if alarm_minutes is not None and not 0 <= alarm_minutes < MINUTES_IN_DAY:
        raise ValueError(f"an alarm at {alarm_minutes} minutes is not within one day")
    known = _known(farm, before)
    fresh = week_entries(farm, weeks_total(farm, plan), alarm_minutes)
    fresh += work_entries(farm, plan.tasks, alarm_minutes)
    events = published(farm, fresh or [nothing_to_do(farm)], _crew_events(known))
    files = {TASKS: _crew_file(farm, events)}
    for kind in KINDS:
        own = [event for event in events if event.entry.kind == kind]
        if own:
            files[_kind_file(kind)] = _crew_file(farm, own, kind)
    files.update(_customer_files(farm, customer_days(farm, plan), known))
    return files


def _kind_file(kind: str) -> str:
    return f"{CALENDARS}/{kind}.ics"


def _known(farm: Farm, before: Mapping[str, bytes]) -> dict[str, File]:
    """Return the files of this farm that were published last time, by name."""
    ours = {TASKS, *map(_kind_file, KINDS)}
    files = {
        name: read(data) for name, data in sorted(before.items()) if name in ours or _OWN_NAME.fullmatch(name)
    }
    farm_uid = calendar_uid(farm.name)
    return {name: file for name, file in files.items() if file is not None and file.farm == farm_uid}


def _crew_events(known: Mapping[str, File]) -> list[Published]:
    """Return all events of the crew published last time, also where one of the files was lost."""
    latest: dict[str, Published] = {}
    for name in (TASKS, *map(_kind_file, KINDS)):
        for event in known[name].events if name in known else ():
            if event.uid not in latest or event.sequence > latest[event.uid].sequence:
                latest[event.uid] = event
    return list(latest.values())


def _crew_file(farm: Farm, events: Iterable[Published], kind: str = "") -> bytes:
    own, of_farm = calendar_uid(farm.name, "calendar", kind), calendar_uid(farm.name)
    title = f"{plain(farm.name)} tasks"
    return write(
        File(
            uid=own if kind else of_farm,
            farm=of_farm,
            title=f"{title}: {kind}" if kind else title,
            events=tuple(events),
        )
    )


def _customer_files(
    farm: Farm, days: Iterable[CustomerDay], known: Mapping[str, File]
) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of each customer's file, and of those who get nothing any more."""
    theirs: dict[str, list[CustomerDay]] = defaultdict(list)
    for day in days:
        if plain(day.customer).strip():
            theirs[day.customer].append(day)
    old = {file.uid: name for name, file in known.items() if _OWN_NAME.fullmatch(name)}
    taken = set(old.values())
    for customer in sorted(theirs):
        uid = calendar_uid(farm.name, "deliveries", customer)
        # a file keeps its name, whoever comes or goes beside it
        name = old.pop(uid, None) or file_name(DELIVERIES, customer, taken)
        taken.add(name)
        title = f"{plain(farm.name)} deliveries: {plain(customer)}"
        before = known[name].events if name in known else ()
        events = published(farm, delivery_entries(farm, theirs[customer]), before)
        yield name, write(_file(farm, uid, title, events))
    for uid, name in sorted(old.items()):
        events = published(farm, [], known[name].events)
        if events:
            yield name, write(_file(farm, uid, known[name].title, events))


def _file(farm: Farm, uid: str, title: str, events: Iterable[Published]) -> File:
    return File(uid=uid, farm=calendar_uid(farm.name), title=title, events=tuple(events))
