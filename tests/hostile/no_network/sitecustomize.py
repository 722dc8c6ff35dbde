"""Loaded by every Python that is begun with this folder on its path: sockets to other machines are refused.

Each try is written into the file that RAFTWAY_TRIED names, so that one that is caught somewhere is told too.
Sockets between processes of one machine (AF_UNIX) are allowed: workers of a pool talk through them.
"""

import os
import socket
import sys
from pathlib import Path

ASKS = ("socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr", "socket.getnameinfo")


def refuse(event: str, given: tuple[object, ...]) -> None:
    if event == "socket.__new__":
        family = given[1]
        tried = family not in (-1, socket.AF_UNIX)
    else:
        tried = event in ASKS
    if tried:
        with Path(os.environ["RAFTWAY_TRIED"]).open("a") as file:
            file.write(f"{event} {given[1:]}\n")
        raise OSError(f"no network: {event}")


sys.addaudithook(refuse)
