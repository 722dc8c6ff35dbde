"""Publishing small plans, and looking into the files."""

from datetime import timedelta

from farms import FIRST_DAY
from icalendar import Calendar
from samples import small_farm, small_plan, task

from scheduler.outputs.calendars import calendar_files

MONDAY = (
    task("sow A", 0, "sow"),
    task("sow B", 0, "sow", lot="BAS-260302", crop="Basil", units=1, plants=98),
)


def sow(lot, day, crop="Butterhead"):
    """The sowing of one lot, whose code does not follow its day."""
    return task(f"sow {lot}", day, "sow", lot=lot, crop=crop)


def publish(*tasks, farm=None, before=None, alarm=None, **tables):
    """Publish a plan of these tasks, by default of nothing else; return the files."""
    plan = small_plan(**({"tasks": tasks, "demands": (), "hours": ()} | tables))
    return calendar_files(farm or small_farm(), plan, before or {}, alarm)


def events(data):
    """All events but those of weeks."""
    return [event for event in Calendar.from_ical(data).events if event.categories != ["week"]]


def weeks(data):
    return [event for event in Calendar.from_ical(data).events if event.categories == ["week"]]


def days(files, name="tasks.ics"):
    """UID -> (day number, number of changes, status) of all events but those of weeks."""
    return {
        str(event["UID"]): ((event.start - FIRST_DAY).days, int(event["SEQUENCE"]), str(event["STATUS"]))
        for event in events(files[name])
    }


def uid_on(files, day, work="sow"):
    """UID of the event of a day and kind of work that is on."""
    (uid,) = {
        str(event["UID"])
        for event in events(files["tasks.ics"])
        if event.start == FIRST_DAY + timedelta(days=day)
        and event.categories == [work]
        and event["STATUS"] == "CONFIRMED"
    }
    return uid


def unfolded(data):
    return data.decode().replace("\r\n ", "").split("\r\n")
