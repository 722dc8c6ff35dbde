"""How events are written down: all-day events as RFC 5545 and 7986 ask for."""

import re
from dataclasses import dataclass
from datetime import timedelta
from typing import cast

from icalendar import STATUS, TRANSP, Alarm, Calendar, Event, vDuration, vText

from scheduler.outputs.calendars.identity import Published

ASK_AGAIN = timedelta(hours=6)
"""How often a subscribed phone should look for changes."""

PARTS = "X-RAFTWAY-PARTS"
"""What an event is about, in digests."""

FARM = "X-RAFTWAY-FARM"
"""The farm a calendar is of, as the name of its calendar of all work."""


class _Text(vText):
    """Text whose signs are escaped as RFC 5545, 3.3.11, asks for.

    icalendar 7.3.2 writes a backslash before a capital N as a line break, and both signs are lost.
    """

    def to_ical(self) -> bytes:
        """Return the text as it stands in a file, not yet folded."""
        return re.sub(r"([\\;,])", r"\\\1", self).replace("\n", "\\n").encode()


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """One calendar file: its own name and that of the farm, its title, and its events in order."""

    uid: str
    farm: str
    title: str
    events: tuple[Published, ...]


def write(file: File) -> bytes:
    """Return the file's bytes; the same for the same contents."""
    # without a name of its own the library would give it a random one
    calendar = Calendar.new(prodid="-//raftway//farm tasks//EN", calscale="GREGORIAN", uid=file.uid)
    calendar.add("NAME", _Text(file.title))
    calendar.add("X-WR-CALNAME", _Text(file.title))
    # the library's own setter leaves out the VALUE that RFC 7986, 5.7, asks for
    calendar.add("REFRESH-INTERVAL", vDuration(ASK_AGAIN), parameters={"VALUE": "DURATION"})
    calendar.add("X-PUBLISHED-TTL", vDuration(ASK_AGAIN))
    calendar.add(FARM, vText(file.farm))
    for event in file.events:
        calendar.add_component(_event(event))
    return cast(bytes, calendar.to_ical())


def _event(published: Published) -> Event:
    entry = published.entry
    event = Event.new(
        uid=published.uid,
        start=entry.day,
        end=entry.day + timedelta(days=1),
        categories=[entry.kind],
        # or a day of tasks would show the crew as busy
        transparency=TRANSP.TRANSPARENT,
        status=STATUS.CANCELLED if published.cancelled else STATUS.CONFIRMED,
        stamp=published.stamp,
        last_modified=published.stamp,
        sequence=published.sequence,
    )
    event.add("SUMMARY", _Text(entry.title))
    event.add("DESCRIPTION", _Text(entry.text))
    event.add(PARTS, vText(" ".join(sorted(f"{part.thing}.{part.like}" for part in entry.parts))))
    if entry.alarm is not None:
        event.add_component(_alarm(entry.title, entry.alarm))
    return event


def _alarm(said: str, minutes: int) -> Alarm:
    """Return an alarm; on an all-day event the clock starts at midnight where the phone is."""
    alarm = Alarm()
    alarm.add("ACTION", "DISPLAY")
    alarm.add("DESCRIPTION", _Text(said))
    alarm.add("TRIGGER", timedelta(minutes=minutes))
    return alarm
