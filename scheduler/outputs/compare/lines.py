"""The lines of a comparison as text, the same on the screen and on paper."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm.crops import StageKind
from scheduler.farm.units import CENT
from scheduler.outputs.words import hours_in_text, plain
from scheduler.plan.views.compared import CaseTotals, Comparison, UseLine, UseOf
from scheduler.plan.views.reached import KINDS
from scheduler.plan.words import done_word, sum_nouns

STAGES = {
    StageKind.TRAY: "cells in trays",
    StageKind.BOARD: "plants on boards",
    StageKind.RAFT: "plants on rafts",
    StageKind.BED: "plants in beds",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: what it is, and a text for each farm."""

    label: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Lines under a heading, with what is to be known about them."""

    title: str
    note: str
    lines: tuple[Line, ...]


def delivered_title(comparison: Comparison) -> str:
    """Return the title of the block of what is delivered and harvested, in the farm's own words."""
    return f"Deliveries filled, units and {sum_nouns(comparison.farm)}"


def blocks(comparison: Comparison) -> tuple[Block, ...]:
    """Return all blocks of a comparison."""
    return (
        Block(title=delivered_title(comparison), note="", lines=tuple(_delivered(comparison))),
        Block(title="Money", note=MONEY_NOTE, lines=tuple(_money(comparison))),
        Block(title="Work, water and plants", note=MEANS_NOTE, lines=tuple(_means(comparison))),
        Block(title="Places", note=USE_NOTE, lines=_uses(comparison.places)),
        Block(title="Trays, boards and rafts owned", note=USE_NOTE, lines=_uses(comparison.equipment)),
    )


MONEY_NOTE = (
    "At the prices of the book: what deliveries bring, less seed, filling trays, boards and rafts, and "
    "hours. Prices of slots, waste and lots only choose between plans and are left out."
)
MEANS_NOTE = "Means of all days of the plan; room on the water is that of the slots for rafts and boards."
USE_NOTE = "Slots or units in use on the fullest day of those there are, then on an average day."


def _delivered(comparison: Comparison) -> Iterator[Line]:
    for kind in KINDS:
        if any(kind in totals.asked for totals in comparison.totals):
            yield Line(label=kind, cells=tuple(_filled(t, kind) for t in comparison.totals))
    yield _numbers("units delivered", comparison, lambda totals: totals.filled)
    yield _numbers("units short", comparison, lambda totals: totals.missing)
    farm = comparison.farm
    yield _numbers(f"{sum_nouns(farm)} {done_word(farm)}", comparison, lambda totals: totals.heads)


def _filled(totals: CaseTotals, kind: str) -> str:
    asked = totals.asked.get(kind)
    return "none" if asked is None else f"{asked.complete:,} of {asked.deliveries:,}"


def _money(comparison: Comparison) -> Iterator[Line]:
    unit = plain(comparison.farm.currency) or "money"
    told: tuple[tuple[str, Callable[[CaseTotals], Fraction]], ...] = (
        (f"deliveries bring ({unit})", lambda totals: totals.brought),
        (f"seed, filling, hours ({unit})", lambda totals: totals.paid),
        (f"left of it ({unit})", lambda totals: totals.brought - totals.paid),
    )
    for label, of in told:
        yield _numbers(label, comparison, lambda totals, of=of: round(of(totals) / CENT))  # type: ignore[misc]


def _means(comparison: Comparison) -> Iterator[Line]:
    weeks = max(1, len(comparison.spans))
    told: list[tuple[str, Callable[[CaseTotals], str]]] = [
        ("hours a week", lambda totals: hours_in_text(totals.minutes / weeks)),
        ("hours of the busiest week", lambda totals: hours_in_text(totals.busiest)),
        ("room on the water (m²)", lambda totals: _tenths(totals.water.there)),
        ("of it in use (m²)", lambda totals: _tenths(totals.water.used)),
    ]
    for label, of in told:
        yield Line(label=label, cells=tuple(of(totals) for totals in comparison.totals))
    for kind, name in STAGES.items():
        cells = tuple(
            f"{round(t.standing[kind].mean):,}, most {t.standing[kind].most:,}" for t in comparison.totals
        )
        if any(t.standing[kind].most for t in comparison.totals):
            yield Line(label=name, cells=cells)


def _uses(lines: Sequence[UseLine]) -> tuple[Line, ...]:
    return tuple(
        Line(label=plain(line.name), cells=tuple(use_text(use) for use in line.uses)) for line in lines
    )


def use_text(use: UseOf | None) -> str:
    """Return ``17 of 18, 84 %``; a dash where there is no such place."""
    return "-" if use is None else f"{use.peak.used:,} of {use.peak.there:,}, {percent(use.mean)}"


def percent(share: Fraction) -> str:
    """Return a share in whole percent, full only when it is full and nothing only when it is nothing."""
    whole = round(share * 100)
    if share and not whole:
        return "under 1 %"
    return "99 %" if share < 1 and whole >= 100 else f"{whole} %"


def _numbers(label: str, comparison: Comparison, of: Callable[[CaseTotals], int]) -> Line:
    """Return numbers, each but the first with what it is more or less than the first."""
    first, *others = (of(totals) for totals in comparison.totals)
    return Line(label=label, cells=(f"{first:,}", *(f"{each:,} ({signed(each - first)})" for each in others)))


def signed(number: int) -> str:
    """Return a number with its sign, ``same`` for 0."""
    return f"{number:+,}" if number else "same"


def _tenths(number: Fraction) -> str:
    return f"{float(number):,.1f}"
