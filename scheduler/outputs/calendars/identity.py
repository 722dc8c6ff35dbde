"""Which event is which: a new plan's events are found again among those published last time.

An event belongs to its work and not to its date. Events of one kind of work are matched, live ones before
cancelled ones, in this order:

1. It stays the same event while something of what it is about stays on its day.
2. Otherwise it goes with what it is about to the day that has most of that, or the nearest of such days.
3. Otherwise the event of a day stays that day's event, whatever it is about now.
4. Otherwise it goes to work on the same crop, for the same standing order or the like, at most
   :data:`NEAR` days off: a lot that is sown a day later is another lot with another code.

What lies in the past is no longer moved. An event that is not found again is new. Its name comes from farm,
work and the first key among its tasks, so it is the same wherever the plan is published for the first time;
over an older file, the day of publishing joins them, which the event keeps wherever it goes.
"""

import uuid
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import chain, count

from scheduler.outputs.calendars.entries import Entry

NAMES = uuid.uuid5(uuid.NAMESPACE_URL, "urn:raftway:tasks")
"""Every name hangs on it: never change it."""

NEAR = 6
"""Days; a week off stands the next round of the same work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One event as it stands in a file.

    Attributes:
        uid: its name, for ever.
        entry: what it says; its ``names`` are empty when it comes from a file.
        sequence: how often it was changed.
        stamp: when it was changed last, UTC.
        cancelled: whether it is called off.
    """

    uid: str
    entry: Entry
    sequence: int
    stamp: datetime
    cancelled: bool


def calendar_uid(farm: str, *what: str) -> str:
    """Return the name of a farm's calendar: that of all work, or of ``what``."""
    return str(uuid.uuid5(NAMES, "|".join((farm, *what))))


def matched(fresh: Sequence[Entry], old: Sequence[Published], today: date) -> dict[int, Published]:
    """Return position of a new event -> the published event it is; those that are new are missing."""
    pairs = sorted(_pairs(fresh, old, today))
    found: dict[int, Published] = {}
    taken: set[int] = set()
    for *_, new, before in pairs:
        if new not in found and before not in taken:
            found[new] = old[before]
            taken.add(before)
    return found


def _pairs(fresh: Sequence[Entry], old: Sequence[Published], today: date) -> Iterator[tuple[int, ...]]:
    """Yield (cancelled, rule, shared things counted down, days apart, new, old) for all that could be one."""
    index = _Index(old)
    for new, entry in enumerate(fresh):
        things, likes = index.sharing(entry)
        for before in things.keys() | likes.keys():
            one = old[before]
            days = abs((entry.day - one.entry.day).days)
            rule = _rule(days, bool(things[before]), one.entry.day < today)
            # only a plan takes back what was called off: likeness is not enough for that
            if rule is not None and not (rule == _LIKE and one.cancelled):
                shared = likes[before] if rule == _LIKE else things[before]
                yield one.cancelled, rule, -shared, days, new, before


_STAYS, _GOES, _DAY, _LIKE = range(4)


def _rule(days: int, shares: bool, past: bool) -> int | None:
    """Return which of the four rules could make two events one."""
    if days == 0:
        return _STAYS if shares else _DAY
    if past:
        return None
    if shares:
        return _GOES
    return _LIKE if days <= NEAR else None


class _Index:
    """Published events by kind of work and what they are about."""

    def __init__(self, old: Iterable[Published]) -> None:
        self._things: dict[tuple[str, str], list[int]] = defaultdict(list)
        self._likes: dict[tuple[str, str, date], list[int]] = defaultdict(list)
        self._days: dict[tuple[str, date], list[int]] = defaultdict(list)
        for at, event in enumerate(old):
            entry = event.entry
            self._days[entry.kind, entry.day].append(at)
            for thing in {part.thing for part in entry.parts}:
                self._things[entry.kind, thing].append(at)
            for like in {part.like for part in entry.parts}:
                self._likes[entry.kind, like, entry.day].append(at)

    def sharing(self, entry: Entry) -> tuple[Counter[int], Counter[int]]:
        """Return how many things, and how many likes within a few days, old events share with a new one.

        Those of the same day are among the likes, with 0 where they share none.
        """
        things: Counter[int] = Counter()
        for thing in {part.thing for part in entry.parts}:
            things.update(self._things.get((entry.kind, thing), ()))
        likes: Counter[int] = Counter({at: 0 for at in self._days.get((entry.kind, entry.day), ())})
        days = [entry.day + timedelta(days=days) for days in range(-NEAR, NEAR + 1)]
        for like in {part.like for part in entry.parts}:
            for day in days:
                likes.update(self._likes.get((entry.kind, like, day), ()))
        return things, likes


def new_uid(farm: str, entry: Entry, born: date | None, taken: Collection[str]) -> str:
    """Return a name for a new event that no other event has.

    Args:
        farm: the farm's name.
        entry: gives the seeds.
        born: the day of publishing over an older file, None when there is none. Keys come again after months,
            and a phone that imported the old event would not believe a new one of the same name.
        taken: names of other events.
    """
    birth = f"|{born}" if born else ""
    numbers = chain([""], (f"|{number}" for number in count(2)))
    seeds = (f"{farm}|{name}{birth}{number}" for number in numbers for name in entry.names)
    uids = (f"{uuid.uuid5(NAMES, seed)}@raftway.invalid" for seed in seeds)
    return next(uid for uid in uids if uid not in taken)
