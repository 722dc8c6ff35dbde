"""Days from sowing to emergence by soil temperature, and never a day count beside a 'none'."""

import difflib
from collections.abc import Mapping
from functools import cache

from crops.published import table


@cache
def _days() -> Mapping[str, Mapping[float, float]]:
    """Return for each kind of seed the days by degrees C, only where seed came up."""
    found: dict[str, dict[float, float]] = {}
    for row in table("emergence_days"):
        days = found.setdefault(row["kind"], {})
        if row["outcome"] == "emerged":
            days[float(row["temperature_c"])] = float(row["value"])
    return found


@cache
def _steps() -> tuple[float, ...]:
    """Return the temperatures of the table's columns in degrees C, rising."""
    return tuple(sorted({float(row["temperature_c"]) for row in table("emergence_days")}))


def kinds() -> tuple[str, ...]:
    """Return the kinds of seed in the table, in its order."""
    return tuple(_days())


def days_to_emergence(kind: str, temperature_c: float) -> float | None:
    """Return the days from sowing to emergence at a steady soil temperature.

    The table's own figure at its temperatures, a straight line between two neighbouring ones, and
    None wherever the table says that none came up or was not tested: a day count is never made up.
    Days alone do not say that a sowing succeeds: lettuce at 30 C comes up in 3 days, but sparsely.

    Args:
        kind: one of `kinds`.
        temperature_c: degrees C.

    Raises:
        LookupError: the table has no such kind; the message offers the nearest.

    References:
        Harrington & Minges 1954, University of California, seed half an inch deep
        (read in copies; harrington_minges_1954 in shared/reference/sources.csv).
    """
    if kind not in _days():
        near = difflib.get_close_matches(kind.lower(), kinds(), n=2)
        hint = f"; did you mean {' or '.join(near)}?" if near else f"; it has {', '.join(kinds())}"
        raise LookupError(f'the emergence table has no "{kind}"{hint}')
    days = _days()[kind]
    below = max((step for step in _steps() if step <= temperature_c), default=None)
    above = min((step for step in _steps() if step >= temperature_c), default=None)
    if below is None or above is None or below not in days or above not in days:
        return None
    if below == above:
        return days[below]
    part = (temperature_c - below) / (above - below)
    return days[below] + part * (days[above] - days[below])


KIND_OF_CARD = {
    "spinach": "spinach",
    "parsley_flat": "parsley",
    "parsley_curly": "parsley",
    "celery_cutting": "celery",
    "beet_greens": "beet",
    "scallion": "onion",
}
"""Cards whose seed is of a kind in the table; lettuces are told by the beginning of their names."""


def kind_of_card(name: str) -> str | None:
    """Return the kind of seed in the table that a card of the library sows; None when it has none."""
    return "lettuce" if name.startswith("lettuce_") else KIND_OF_CARD.get(name)


def none_from(kind: str) -> float | None:
    """Return the lowest temperature, in degrees C, above those of the best days at which none came up.

    None where the table ends, or was not tested, before that. Between the last day count and this figure
    nothing is known.

    Raises:
        KeyError: the table has no such kind.
    """
    last = max(_days()[kind])
    above = min((step for step in _steps() if step > last), default=None)
    outcomes = {
        float(row["temperature_c"]): row["outcome"] for row in table("emergence_days") if row["kind"] == kind
    }
    return above if above is not None and outcomes[above] == "none" else None
