"""Calendar files (RFC 5545): the crew's work for phones, one file a kind of work, one a customer.

``entries`` says what an event tells, ``identity`` which event of the file published last time it is,
``publish`` what becomes of its number and of events that are gone; ``writing`` and ``reading`` know what
a file looks like, ``files`` which of them there are.
"""

from scheduler.outputs.calendars.files import CALENDARS, MINUTES_IN_DAY, TASKS, calendar_files

__all__ = ["CALENDARS", "MINUTES_IN_DAY", "TASKS", "calendar_files"]
