"""Calendar files as other programs read them: icalendar, vobject, and libical's table of restrictions."""

import ctypes
import re

import vobject
from icalendar import Calendar


def by_icalendar(data: bytes) -> list[tuple]:
    """Return (uid, day, title, text) of each event; the parser must have found no error."""
    calendar = Calendar.from_ical(data)
    assert [part.errors for part in calendar.walk() if part.errors] == []
    return [
        (str(event["UID"]), event.start, str(event["SUMMARY"]), str(event["DESCRIPTION"]))
        for event in calendar.events
    ]


def by_vobject(data: bytes) -> list[tuple]:
    """Return (uid, day, title, text) of each event; vobject must find it valid."""
    calendar = vobject.readOne(data.decode(), validate=False, allowQP=False)
    calendar.validate(raiseException=True)
    return [
        (event.uid.value, event.dtstart.value, event.summary.value, event.description.value)
        for event in calendar.vevent_list
    ]


class Libical:
    """libical through ctypes: it parses, then judges by the restrictions of RFC 5545 and 5546."""

    def __init__(self, path: str) -> None:
        self._lib = ctypes.CDLL(path)
        for name in ("icalparser_parse_string", "icalcomponent_as_ical_string"):
            getattr(self._lib, name).restype = ctypes.c_void_p
        for name in (
            "icalcomponent_as_ical_string",
            "icalrestriction_check",
            "icalcomponent_count_errors",
            "icalcomponent_free",
        ):
            getattr(self._lib, name).argtypes = [ctypes.c_void_p]

    def faults(self, data: bytes) -> list[str]:
        """Return what libical has against a file; it writes that into the file as X-LIC-ERROR."""
        component = self._lib.icalparser_parse_string(ctypes.c_char_p(data))
        if not component:
            return ["libical cannot read it"]
        sound = self._lib.icalrestriction_check(component)
        errors = self._lib.icalcomponent_count_errors(component)
        text = ctypes.string_at(self._lib.icalcomponent_as_ical_string(component)).decode()
        self._lib.icalcomponent_free(component)
        told = re.findall(r"X-LIC-ERROR[^\r]*(?:\r\n [^\r]*)*", text)
        return told or [f"{errors} errors, sound: {sound}"] * (errors > 0 or not sound)
