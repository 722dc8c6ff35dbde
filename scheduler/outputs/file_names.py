"""Names of files made of a grower's own words, safe on every disk."""

import hashlib
import re
import unicodedata
from collections.abc import Collection
from pathlib import PurePosixPath

LONGEST = 40
"""Letters of a name that go into the name of a file."""

DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(10))}
)
"""Names under which Windows knows devices, whatever ending a file has."""


def file_name(form: str, name: str, taken: Collection[str]) -> str:
    """Return a name for a file, such as ``deliveries-cafe-zoe.ics`` for ``Café Zoë``.

    Letters outside a to z lose their marks or become hyphens. Where nothing is left, too much, or what is
    taken or means a device, digits of the name's digest stand at the end.

    Args:
        form: the whole, with ``{}`` for the name.
        name: the grower's word.
        taken: names of files that are used already.

    Raises:
        ValueError: all that it could be called are taken.
    """
    bare = unicodedata.normalize("NFKD", name.casefold()).encode("ascii", "ignore").decode()
    slug = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")
    made = form.format(slug)
    if slug and PurePosixPath(made).stem not in DEVICES and len(slug) <= LONGEST and made not in taken:
        return made
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()
    for length in range(8, len(digest) + 1):
        made = form.format(f"{slug[:LONGEST].strip('-')}-{digest[:length]}".strip("-"))
        if made not in taken:
            return made
    raise ValueError(f"no file name is left for {name!r}")
