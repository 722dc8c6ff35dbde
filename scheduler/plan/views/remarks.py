"""What a comparison shows that numbers side by side do not say: what stands empty, and what holds it back."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from scheduler.plan.views.compared import Comparison, UseLine
from scheduler.plan.views.opened import Opened

HALF = Fraction(1, 2)
"""New places used less than this, on average once they are open, count as left empty."""

TIGHT = Fraction(1, 2)
"""Places full on some day in so many of their weeks may hold back the others (estimate)."""

MOST_NAMED = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Empty:
    """New slots that stand half empty or more while deliveries are short.

    Attributes:
        case: number of the case.
        place: the place with the new slots.
        share: share of them in use on average since they opened.
        missing: sale units short in that case once something could be cut there.
        tight: what is fullest there beside it, as lines of use; empty where nothing is full.
    """

    case: int
    place: str
    share: Fraction
    missing: int
    tight: tuple[UseLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NothingShort:
    """Nothing is short in the first case, so that more places bring nothing with these orders."""

    case: int


Remark = Empty | NothingShort


def remarks(comparison: Comparison) -> tuple[Remark, ...]:
    """Return what is to be said of each case but the first, in order."""
    return tuple(remark for case in range(1, len(comparison.cases)) for remark in _of_case(comparison, case))


def _of_case(comparison: Comparison, case: int) -> Iterator[Remark]:
    base, totals = comparison.totals[0], comparison.totals[case]
    same_orders = comparison.cases[0].farm.demands == comparison.cases[case].farm.demands
    if totals.opened and same_orders and not base.missing:
        yield NothingShort(case=case)
        return
    for place in totals.opened:
        share, missing = since_it_opened(place), _missing(comparison, case, place)
        if share < HALF and missing:
            yield Empty(
                case=case,
                place=place.name,
                share=share,
                missing=missing,
                tight=_tight(comparison, case, place),
            )


def _missing(comparison: Comparison, case: int, place: Opened) -> int:
    """Return the units short from the first cut in a place on; from its opening where nothing is cut."""
    since = place.first_cut or place.opens
    if since is None:
        return 0
    return sum(line.missing[case] or 0 for line in comparison.shorts if line.day >= since)


def since_it_opened(place: Opened) -> Fraction:
    """Return the share of a place in use on average over the weeks it is open."""
    weeks = [share for share in place.weeks if share is not None]
    return sum(weeks, Fraction(0)) / len(weeks) if weeks else Fraction(0)


def _tight(comparison: Comparison, case: int, place: Opened) -> tuple[UseLine, ...]:
    lines = [line for line in (*comparison.places, *comparison.equipment) if line.name != place.name]
    full = [line for line in lines if _full(line, case) >= TIGHT]
    return tuple(sorted(full, key=lambda line: (-_full(line, case), line.name))[:MOST_NAMED])


def _full(line: UseLine, case: int) -> Fraction:
    """Return the share of its weeks in which a place is full on some day."""
    use = line.uses[case]
    return Fraction(use.full_weeks, use.weeks) if use is not None and use.weeks else Fraction(0)
