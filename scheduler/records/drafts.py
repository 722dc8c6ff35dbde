"""Entries as they are told, on the command line, in a sheet or in a line of JSON: read, and nothing guessed.

A draft is not complete yet: what is left out follows from the farm and from what stands there by then.
"""

import json
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from scheduler.book.faults import Fault, FaultLog, quoted
from scheduler.book.names import meant
from scheduler.book.parse import YEARS
from scheduler.book.place import Cell
from scheduler.records import entries as kinds
from scheduler.records.entries import KINDS, Entry, Put, Spot
from scheduler.records.ground import Ground
from scheduler.records.yard import Refused

MOST_TEXT = 200
MOST_OF: Mapping[str, int] = {"note": 1000, "place": 20_000, "to": 20_000}
"""Characters of a field at most where it may have more; a large sowing names hundreds of slots."""

MOST = 1_000_000

TEXTS = ("lot", "crop", "seed_lot", "product", "customer", "delivery", "who", "note", "task")
NUMBERS = ("units", "plants", "left", "heads", "days")
ALWAYS = ("what", "when", "who", "note", "task", "corrects")
FIELDS = (*ALWAYS, *TEXTS[:6], "place", "to", *NUMBERS, "until", "lifted")
"""Everything that can be told of an entry."""

NEEDS: Mapping[str, tuple[str, ...]] = {
    kinds.SOWN: ("plants", "to"),
    kinds.GERMINATED: ("lot", "plants"),
    kinds.THINNED: ("lot",),
    kinds.MOVED: ("lot", "to"),
    kinds.LOST: ("lot", "plants"),
    kinds.CULLED: ("lot", "plants"),
    kinds.DISCARDED: ("lot or place",),
    kinds.CUT: ("lot", "heads"),
    kinds.DELIVERED: ("lot", "heads or plants"),
    kinds.TREATED: ("lot or place", "product", "days or until"),
    kinds.QUARANTINED: ("lot or place",),
    kinds.CLOSED: ("place",),
    kinds.RELEASED: ("lot or place",),
    kinds.WITHDRAWN: ("corrects",),
}
"""Kind of entry -> what must be told of it; of ``a or b`` at least one."""

MEANING: Mapping[str, str] = {
    "lot": "lot, the code of what it was done to",
    "plants": "plants, how many (of a sowing: cells)",
    "to": "to, where it came: a tier, a board zone, a row or positions of a bed",
    "heads": "heads, how many can be sold",
    "place": "place, where it was",
    "product": "product, what was applied",
    "days": "days until it may be cut",
    "until": "until, the last day of the interval",
    "when": "when, the day it was done",
}
"""What must be told -> what it says, in words."""

MAY: Mapping[str, tuple[str, ...]] = {
    kinds.SOWN: ("lot", "crop", "units", "seed_lot"),
    kinds.GERMINATED: ("place",),
    kinds.THINNED: ("place", "plants"),
    kinds.MOVED: ("place", "units", "plants", "left", "lifted"),
    kinds.LOST: ("place", "lifted"),
    kinds.CULLED: ("place", "lifted"),
    kinds.DISCARDED: ("heads", "lifted"),
    kinds.CUT: ("place", "plants", "left", "lifted"),
    kinds.DELIVERED: ("product", "customer", "delivery"),
    kinds.TREATED: (),
    kinds.QUARANTINED: ("until",),
    kinds.CLOSED: ("until",),
    kinds.RELEASED: (),
    kinds.WITHDRAWN: (),
}
"""Kind of entry -> what else may be told of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry as it was told.

    Attributes:
        entry: what is known of it, without the units that plants came into.
        aims: places and slots they came into, as told.
        units: units they came into, None when not told.
        corrects: number or ``op`` of the entry it stands in for; empty for none.
        hints: what a plan adds, see :class:`Hints`; None for what a person told.
        cells: field -> where it was told.
        where: where the whole was told.
    """

    entry: Entry
    aims: tuple[Spot, ...] = ()
    units: int | None = None
    corrects: str = ""
    hints: "Hints | None" = None
    cells: Mapping[str, Cell] = field(default_factory=dict)
    where: Cell

    def fault(self, refused: Refused) -> Fault:
        """Return what was refused as a fault, told where the field was told."""
        place = self.cells.get(refused.name, self.where)
        return Fault(place=place, found=refused.found, expected=refused.expected, code=refused.code)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A tray, board or raft that the plan lets stand where it throws others of a lot away.

    Attributes:
        unit, lot, place: its name, what is kept in it and where.
        plants: how many of them.
    """

    unit: str
    lot: str
    place: str
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hints:
    """What the plan says of a task; where it does not fit what stands there, that counts.

    Attributes:
        staying: plants that the plan leaves where they stood, and plants that leave; None where all stay
            that were not moved. Rows that the plan numbers apart count together.
        alone: the same of the lot's own row alone, for records that have these rows as lots of their own.
        beside: the other rows.
        planned: fields whose figures are the plan's own, not counted.
        puts: units that the plan has the plants come into; none where it does not say so for sure.
        emptied: kinds of the units of which the plan throws away all of the lot, ``tray`` or ``board`` for
            each; none where some of it stays.
        rafts_emptied: how many rafts there are of which the plan throws away all of the lot.
        kept: what the plan lets stand in units of these kinds when it throws away others of the lot.
        units: whole sale units that a lot brings to a delivery, with what is left over of the lots before it;
            None where that is not said.
        due, wanted: day and number of the plan.
        after: the tasks before it that take plants of the lot from where it does: what the plan leaves there
            is left only once they are done.
        boarded_by: the task that sets the lot on boards, where the plan takes it from these.
        was: the entry that is corrected; None for none.
        mended: fields that its correction names: none of them follows from another.
    """

    staying: tuple[int, int] | None = None
    alone: tuple[int, int] | None = None
    beside: tuple[str, ...] = ()
    planned: frozenset[str] = frozenset()
    puts: tuple[Put, ...] = ()
    emptied: tuple[str, ...] = ()
    rafts_emptied: int = 0
    kept: tuple[Kept, ...] = ()
    units: int | None = None
    due: date | None = None
    wanted: int | None = None
    after: tuple[str, ...] = ()
    boarded_by: str = ""
    was: Entry | None = None
    mended: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Words of an entry, and where they stand.

    Attributes:
        op: name of the entry.
        given: field -> value.
        cells: field -> where it was told.
        where: where the whole was told.
        hints: what a plan adds.
    """

    op: str
    given: Mapping[str, Any]
    where: Cell
    cells: Mapping[str, Cell] = field(default_factory=dict)
    hints: Hints | None = None


def draft_of(told: Told, ground: Ground, log: FaultLog) -> Draft | None:
    """Read an entry; None when something is wrong with it, which then stands in the log."""
    hints = told.hints or Hints()
    given = {name: value for name, value in told.given.items() if value not in (None, "")}
    blank = Draft(entry=Entry(op=told.op, what="", day=date.min), where=told.where, cells=told.cells)
    read, wrong = _values(given, ground)
    log.extend(blank.fault(each) for each in wrong)
    if wrong:
        return None
    day, at = read.get("when", (date.min, ""))
    entry = replace(
        blank.entry,
        what=read["what"],
        day=day,
        at=at,
        place=read.get("place", ()),
        until=_until(read, day),
        plants=read.get("plants"),
        left=read.get("left"),
        heads=read.get("heads"),
        lifted=read.get("lifted", False),
        due=hints.due,
        wanted=hints.wanted,
        given=json.dumps(given, ensure_ascii=False, sort_keys=True, default=str),
        **{name: read.get(name, "") for name in TEXTS},
    )
    if entry.until is not None and entry.until < day and "days" not in read:
        expected = f"{day}, the day of the entry, or later"
        log.extend([blank.fault(Refused("until", str(entry.until), expected, "backward-dates"))])
        return None
    return replace(
        blank,
        entry=entry,
        aims=read.get("to", ()),
        units=read.get("units"),
        corrects=read.get("corrects", ""),
        hints=told.hints,
    )


def _values(given: Mapping[str, Any], ground: Ground) -> tuple[dict[str, Any], list[Refused]]:
    """Return what the fields say, and what is wrong with them or missing."""
    read, wrong = dict[str, Any](), []
    for name, value in given.items():
        try:
            read[name] = _read(name, value, ground)
        except Refused as refused:
            wrong.append(refused)
    return read, [*wrong, *_form_faults(given)]


def _until(read: Mapping[str, Any], day: date) -> date | None:
    """Return the last day of an interval, as told or so many days on."""
    if "days" in read:
        # three days after Monday it may be cut on Thursday: Wednesday is the last day it may not
        return day + timedelta(days=read["days"] - 1)
    return read.get("until")


def _form_faults(given: Mapping[str, Any]) -> list[Refused]:
    """Say what is missing, and what does not go with this kind of entry."""
    what = given.get("what")
    if what is None:
        return [
            Refused("what", "an entry without what was done", f"what, {meant('', NEEDS, most=20)}", "blank")
        ]
    if not isinstance(what, str) or what not in NEEDS:
        return []
    faults = []
    for needed in (*NEEDS[what], "when"):
        names = needed.split(" or ")
        if not any(name in given for name in names):
            said = " or ".join(name.replace("_", " ") for name in names)
            meaning = ", or ".join(MEANING.get(name, name.replace("_", " ")) for name in names)
            faults.append(Refused(names[0], f"'{what}' without {said}", meaning, "blank"))
    usual = {name for needed in NEEDS[what] for name in needed.split(" or ")}
    allowed = {*usual, *MAY[what], *ALWAYS}
    for name in given:
        if name in FIELDS and name not in allowed:
            expected = f"it left out: it does not go with '{what}'"
            faults.append(Refused(name, name.replace("_", " "), expected, "not-for"))
    return faults


def _read(name: str, value: Any, ground: Ground) -> Any:
    if name not in FIELDS:
        raise Refused(name, quoted(str(name)), meant(str(name), FIELDS, most=30), "unknown-field")
    if name == "crop":
        return _crop(_text(name, value), ground)
    if name in ("place", "to"):
        return ground.spots(_text(name, value), name)
    return _reader_of(name)(name, value)


def _reader_of(name: str) -> Callable[[str, Any], Any]:
    if name in NUMBERS:
        return _whole
    own: dict[str, Callable[[str, Any], Any]] = {
        "what": lambda _, value: _kind(value),
        "when": _moment,
        "until": _date,
        "lifted": _yes,
        "corrects": lambda _, value: str(value)[:MOST_TEXT],
    }
    return own.get(name, _text)


def _yes(name: str, value: Any) -> bool:
    if isinstance(value, bool):
        return value
    raise Refused(name, quoted(str(value)), "true or false", "bad-yesno")


def _crop(name: str, ground: Ground) -> str:
    if name not in ground.farm.crops:
        raise Refused("crop", quoted(name), meant(name, ground.farm.crops), "no-crop")
    return name


def _kind(value: Any) -> str:
    if isinstance(value, str) and value in NEEDS:
        return value
    expected = meant(str(value), NEEDS, most=len(KINDS))
    raise Refused("what", quoted(str(value)), expected, "unknown-kind")


def _text(name: str, value: Any) -> str:
    if not isinstance(value, str):
        raise Refused(name, quoted(str(value)), "text", "bad-text")
    text = " ".join(unicodedata.normalize("NFC", value).split())
    most = MOST_OF.get(name, MOST_TEXT)
    if len(text) > most:
        raise Refused(name, f"{len(text)} characters", f"at most {most}", "bad-text")
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text):
        raise Refused(name, f"{quoted(text)}, with signs that are no text", "text", "bad-text")
    return text


def _whole(name: str, value: Any) -> int:
    if isinstance(value, str) and re.fullmatch(r"[0-9]{1,7}", value.strip()):
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int):
        raise Refused(name, quoted(str(value)), "a whole number, such as 36", "bad-whole")
    if not 0 <= value <= MOST:
        raise Refused(name, str(value), f"0 to {MOST}", "out-of-range")
    return value


def _date(name: str, value: Any) -> date:
    text = str(value)
    try:
        found = date.fromisoformat(text) if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else None
    except ValueError:
        found = None
    if found is None or found.year not in YEARS:
        raise Refused(name, quoted(text), "a date, such as 2026-03-02", "bad-date")
    return found


def _moment(name: str, value: Any) -> tuple[date, str]:
    """Read a day, or a time with its offset from UTC: the day is the one that stands there.

    A time without an offset is refused: in the night the clocks go back it would be two times.
    """
    if isinstance(value, str) and "T" in value:
        try:
            when = datetime.fromisoformat(value)
        except ValueError:
            when = None
        if when is None or when.tzinfo is None or when.year not in YEARS:
            expected = "a date, or a time with its offset such as 2026-03-29T03:30:00+02:00"
            raise Refused(name, quoted(value), expected, "bad-time")
        return when.date(), utc_text(when)
    return _date(name, value), ""


def utc_text(when: datetime) -> str:
    """Write a time that knows its zone as UTC, to the second: ``2026-03-29T01:30:00Z``."""
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
