"""A phone that imports one file after another, as RFC 5546 (2.1.5) asks: by UID, SEQUENCE, then DTSTAMP."""

from icalendar import Calendar


class Phone:
    """What a phone shows after the files it took in; ``ignored`` counts changes it did not believe."""

    def __init__(self):
        self._events = {}
        self.ignored = 0

    def take(self, data: bytes) -> None:
        for event in Calendar.from_ical(data).events:
            uid, rank = str(event["UID"]), (int(event["SEQUENCE"]), event.DTSTAMP)
            old = self._events.get(uid)
            if old is None or rank > old[0]:
                self._events[uid] = (rank, event)
            elif rank < old[0] or _seen(event) != _seen(old[1]):
                self.ignored += 1

    def shows(self, first_day) -> list[tuple]:
        """Return (day, title) of what is on from a day on and not called off."""
        return sorted(
            (event.start, str(event["SUMMARY"]))
            for _, event in self._events.values()
            if event.start >= first_day and event["STATUS"] != "CANCELLED"
        )

    def uids(self) -> set[str]:
        return set(self._events)


def _seen(event):
    """What a reader of the calendar could tell apart."""
    alarms = [alarm.to_ical() for alarm in event.subcomponents]
    return (event.start, event.end, event["SUMMARY"], event["DESCRIPTION"], event["STATUS"], alarms)
