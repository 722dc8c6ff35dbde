"""Names as someone types them: the name there is, or what could have been meant."""

import difflib
from collections.abc import Sequence

from scheduler.book.names import plain as without_case
from scheduler.outputs.words import plain

MOST = 12
"""Names that are listed whole; of more only the nearest are said."""
NEAREST = 5


class NotFound(Exception):
    """There is nothing of that name; the message says what there is."""


def named(asked: str, known: Sequence[str], what: str) -> str:
    """Return the name that is asked for; upper and lower case, hyphens and blanks count alike.

    Args:
        asked: as typed.
        known: the names there are.
        what: what they are names of, such as ``crop``.

    Raises:
        NotFound: none is called so.
    """
    if asked in known:
        return asked
    alike = [name for name in known if without_case(name) == without_case(asked)]
    if alike:
        return alike[0]
    if not known:
        raise NotFound(f"the plan has no {what}; raftway show PLAN lists what there is")
    near = _near(asked, known)
    if len(known) <= MOST:
        meant = f"; did you mean {plain(near[0])}?" if near else "."
        raise NotFound(f"no {what} '{plain(asked)}'{meant} There is {', '.join(map(plain, known))}.")
    listed = ", ".join(map(plain, near or list(known)[:NEAREST]))
    raise NotFound(
        f"no {what} '{plain(asked)}'; {'near it are' if near else 'there are, among others,'} {listed}."
    )


def _near(asked: str, known: Sequence[str]) -> list[str]:
    """Return names that begin like it, then those with its words in them, then those spelt nearly so."""
    wanted = without_case(asked)
    by_plain: dict[str, str] = {}
    for name in known:
        by_plain.setdefault(without_case(name), name)
    begin = [key for key in by_plain if wanted and key.startswith(wanted)]
    inside = [key for key in by_plain if wanted and f"_{wanted}_" in f"_{key}_"]
    close = difflib.get_close_matches(wanted[:200], list(by_plain), n=NEAREST, cutoff=0.6)
    return [by_plain[key] for key in dict.fromkeys([*begin, *inside, *close])][:NEAREST]
