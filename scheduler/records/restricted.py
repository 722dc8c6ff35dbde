"""Places and lots that are closed or quarantined, and for how long."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Restricted:
    """A quarantine or closure.

    Attributes:
        what: quarantined or closed.
        places, lot: what it is of.
        first, last: its days; ``last`` None while no end is known.
        number: of its entry.
        note: why, in their own words.
    """

    what: str
    places: tuple[str, ...]
    lot: str
    first: date
    last: date | None
    number: int
    note: str

    def holds(self, day: date) -> bool:
        """Say whether it holds on a day."""
        return self.first <= day and (self.last is None or day <= self.last)
