"""What a database complains of, in words: what befell it, what became of the writing, what to do next."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

import sqlalchemy as sa


class RecordsFailed(Exception):  # it is an answer, not an error of the program
    """The database cannot be read or written; the message says why and what to do."""


@contextmanager
def failures(name: str) -> Iterator[None]:
    """Turn what a database complains of into words.

    Args:
        name: how the records are called in a message.

    Raises:
        RecordsFailed: it complained.
    """
    try:
        yield
    except (sa.exc.DBAPIError, sqlite3.Error) as error:
        # the driver's own where it is asked past the library, as for the way a file is written
        raise RecordsFailed(f"{name}: {_in_words(getattr(error, 'orig', None) or error)}") from None


def _in_words(error: BaseException) -> str:
    """Return what an error of a driver means: by its code, which no language of a server changes, or text."""
    said = " ".join(str(error).split())
    code = getattr(error, "sqlstate", None) or ""
    for known in (code, code[:2]):
        if known in CODES:
            return CODES[known].format(said=said)
    if missing := MISSING.search(said):
        return f"the file {missing[1]} is not there; {NOTHING}, put it there, or name another in the address"
    for sign, words in COMPLAINTS.items():
        if sign in said:
            return words.format(said=said)
    return f"the database says: {said}; {NOTHING}, so mend this and try again"


MISSING = re.compile(r'file "([^"]+)"(?:: No such file or directory| does not exist| not found)')
"""What is said of a file of one's own that a connection asks for, such as a certificate."""

LET_IN = "the server does not let you in ({said}); see that user and password are right, or "
NOTHING = "nothing was written"
RESTORE = "restore a backup"
RIGHT = "ask whoever runs the server for the right to use it"
LOST = (
    "the connection was lost; try again, and if something was being written, look with "
    "raftway record BOOK list whether it is there: all of it is, or nothing"
)
NO_DATABASE = "there is no database of that name; make it with createdb, or see that its name is right"
WAITED = f"someone else has been writing for too long; {NOTHING}, try again"
BUSY = f"the server takes no more connections now; {NOTHING}, try again later"
FULL = f"the disk is full; {NOTHING}, make room and try again"

CODES = {
    "08": LOST,
    "57P01": LOST,
    "57P02": LOST,
    "57P03": f"the server is starting or stopping; {NOTHING}, try again in a minute",
    "57014": f"the server broke this off ({{said}}); {NOTHING}, try again",
    "25006": f"it may only be read; {NOTHING}, name the server that takes writers",
    "28": LET_IN + RIGHT,
    "3D000": NO_DATABASE,
    "3F000": f"the user has no schema to keep tables in; {RIGHT}",
    "42501": f"the user may not do this ({{said}}); {NOTHING}, {RIGHT}",
    "42P01": f"a part of the records is missing ({{said}}); {RESTORE}",
    "42703": f"a part of the records is missing ({{said}}); {RESTORE}",
    "58P01": f"the server misses a file of its own ({{said}}); {NOTHING}, ask whoever runs the server",
    "53100": FULL,
    "53200": f"the server has no memory left; {NOTHING}, try again later",
    "53300": BUSY,
    "40": WAITED,
    "55P03": WAITED,
}
"""Code of PostgreSQL (SQLSTATE), or the class it begins with -> what it means; ``{said}`` is its own text."""

NO_ANSWER = "the database does not answer; start it, or see that its address is right"
NO_HOST = "there is no such host; see that its name is right and the network works"

COMPLAINTS = {
    "database is locked": WAITED,
    "disk is full": FULL,
    "disk I/O error": f"the disk does not take it; {NOTHING}, name a file on another",
    "readonly database": "it may not be written to; name another place, or ask its owner",
    "unable to open database file": "the file cannot be opened; see that its folder is there and may be used",
    "file is not a database": "this is no file of records; name another",
    "database disk image is malformed": f"the file is damaged; {RESTORE}",
    "no such table": CODES["42P01"],
    "no such column": CODES["42P01"],
    "Connection refused": NO_ANSWER,
    "on socket": NO_ANSWER,
    "Unix domain socket": NO_ANSWER,
    "timeout expired": NO_ANSWER,
    "No route to host": NO_ANSWER,
    "Network is unreachable": NO_ANSWER,
    "resolve host": NO_HOST,
    "translate host name": NO_HOST,
    "invalid port": "a port is a number from 1 to 65535; mend the address",
    "invalid connection option": "the address asks for something unknown ({said}); leave that out",
    "bad value for": "the address asks for something that cannot be ({said}); mend it",
    "no password supplied": "the server asks for a password; set it in PGPASSWORD or in ~/.pgpass",
    "password authentication failed": CODES["28"],
    "pg_hba.conf": CODES["28"],
    "FATAL: role": CODES["28"],
    "permission denied for database": CODES["28"],
    "FATAL: database": NO_DATABASE,
    "too many clients": BUSY,
    "too many connections": BUSY,
    "remaining connection slots": BUSY,
    "starting up": CODES["57P03"],
    "shutting down": CODES["57P03"],
    "closed the connection": LOST,
    "closed unexpectedly": LOST,
    "connection is closed": LOST,
    "connection is lost": LOST,
    "Connection reset": LOST,
    "Connection timed out": LOST,
    "could not receive data": LOST,
    "could not send data": LOST,
    "SYSCALL": LOST,
    "SSL": "server and address do not agree on encryption ({said}); say another sslmode in the address",
}
"""Part of a complaint -> what it means, where no code tells it, as before there is a connection."""
