"""Pages of ``raftway crops``: the list, one card, and cards side by side, 80 columns wide."""

import dataclasses
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from rich.console import Console
from rich.table import Table
from rich.text import Text

from crops.arithmetic import area_for, days_hole_held, seeds_to_sow
from crops.emergence import days_to_emergence, kind_of_card, none_from
from crops.library import Card, Figure, figure_names
from crops.rows import MARKS, NO_SOURCE
from scheduler.book.words import as_read
from scheduler.outputs.screen import WIDTH
from scheduler.outputs.words import counted

WEAK = "~"
"""Stands behind a figure that is only remembered or estimated."""

SOIL = (10, 15, 20, 25, 30)
"""Degrees C of the soil for which the days to emergence are told."""

SHARE = "fraction"
"""Unit of the figures that the library has as shares of one."""

STAGE_DAYS = ("days_tray", "days_board", "days_raft", "days_bed")


def number(value: float | None) -> str:
    """Write a number without a needless decimal point; empty for None."""
    return "" if value is None else f"{value:g}"


def _amounts(figure: Figure) -> tuple[str, str, str]:
    """Return low, typical and high as they are told: shares in percent, as a book has them."""
    times = 100 if figure.unit == SHARE else 1
    values = (figure.low, figure.typical, figure.high)
    low, typical, high = (number(None if value is None else value * times) for value in values)
    return low, typical, high


def _unit(figure: Figure) -> str:
    return "percent" if figure.unit == SHARE else as_read(figure.unit)


def _print(parts: Iterable[Table | Text], *, styled: bool) -> str:
    """Lay out tables and texts; without ``styled`` no line ends in blanks and nothing is coloured."""
    console = Console(
        file=io.StringIO(), width=WIDTH, force_terminal=styled, color_system="auto" if styled else None
    )
    with console.capture() as capture:
        for part in parts:
            console.print(part)
    return "\n".join(line.rstrip() for line in capture.get().splitlines()) + "\n"


def _table(columns: Sequence[tuple[str, int, bool]]) -> Table:
    """Return an empty table with (heading, width, is a number) for each column."""
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False)
    for heading, width, is_number in columns:
        table.add_column(
            Text(heading), width=width, justify="right" if is_number else "left", overflow="fold"
        )
    return table


def _stage_days(card: Card) -> str:
    """Return the days of the stages in order, such as ``12 + 10 + 14``."""
    days = (card.value(name) for name in STAGE_DAYS)
    return " + ".join(number(value) for value in days if value is not None)


def listing(cards: Sequence[Card], *, styled: bool) -> str:
    """Return the list of cards, one line each."""
    if not cards:
        return "No crop of the library is like that.\n"
    table = _table(
        [
            ("card", 25, False),
            ("group", 10, False),
            ("stage days", 12, False),
            ("total", 5, True),
            ("window", 6, True),
            ("keeps", 5, True),
            ("harvest", 9, False),
        ]
    )
    for card in cards:
        figures = (number(card.value(name)) for name in ("days_total", "harvest_window", "keeping_days"))
        cells = (card.name, card.group, _stage_days(card), *figures, card.harvest)
        table.add_row(*map(Text, cells))
    foot = Text(
        f"{counted(len(cards), 'crop')}. Days from seed to first harvest, harvest window and keeping in days."
    )
    return _print([table, Text(), foot], styled=styled)


def _origin(figure: Figure) -> str:
    """Return the mark of a figure and, where there is one, its source."""
    return figure.evidence if figure.source_id == NO_SOURCE else f"{figure.evidence} {figure.source_id}"


def _figure_table(card: Card) -> Table:
    """Return the figures of one card under their headings."""
    table = _table(
        [
            ("", 21, False),
            ("low", 4, True),
            ("typical", 7, True),
            ("high", 4, True),
            ("unit", 9, False),
            ("mark and source", 30, False),
        ]
    )
    names = figure_names()
    for section, figures in groupby(card.figures.values(), key=lambda figure: names[figure.name].section):
        if section == "route":
            continue
        table.add_row(Text(section.upper(), style="bold"))
        for figure in figures:
            cells = (names[figure.name].label, *_amounts(figure), _unit(figure), _origin(figure))
            table.add_row(*map(Text, cells))
    return table


def _notes(card: Card) -> list[Text]:
    """Return what each figure holds for and its note, one paragraph each."""
    lines = [Text(), Text("What each figure holds for", style="bold")]
    for figure in card.figures.values():
        said = "; ".join(part for part in (figure.conditions, figure.note) if part)
        if said:
            lines.append(Text(f"{figure_names()[figure.name].label}: {said}"))
    return lines


def _worked(card: Card) -> list[Text]:
    """Return what follows from the typical figures by plain sums."""
    lines = []
    raft, density, interval = (
        card.value(name) for name in ("days_raft", "plants_per_m2_raft", "cut_interval")
    )
    if raft is not None and density is not None:
        held = days_hole_held(raft, int(card.value("cuts") or 1), interval or 0)
        area = area_for(100 / 7, [(held, density)])
        lines.append(f"A raft hole is held {number(held)} days, from setting the plant to the last cut.")
        lines.append(f"Setting 100 plants a week takes {area:.1f} m² of raft.")
    germination = card.value("germination_percent_typical")
    if germination is not None and (card.value("seeds_per_cell") or 0) == 1:
        lines.append(f"For 100 to come up, sow {seeds_to_sow(100, germination)} cells.")
    lines += _emergence(card)
    return [Text(), Text("Worked out from these figures", style="bold"), *map(Text, lines)] if lines else []


def _emergence(card: Card) -> Iterator[str]:
    """Yield how soon seed of this kind comes up in soil of some temperatures, as published."""
    kind = kind_of_card(card.name)
    if kind is None:
        return
    days = {degrees: days_to_emergence(kind, degrees) for degrees in SOIL}
    told = [f"{number(day)} at {degrees} °C" for degrees, day in days.items() if day is not None]
    least = none_from(kind)
    none = "" if least is None else f", none from {number(least)} °C"
    yield (
        f"Days until seed of {kind} comes up, half an inch deep: {', '.join(told)}{none} (Harrington & "
        "Minges 1954, seen in copies; days do not say how much of it comes up)."
    )


def _evidence(card: Card) -> list[Text]:
    """Return what the marks mean, the weak figures and the sources in full."""
    used = {figure.evidence for figure in card.figures.values()}
    lines = [Text(), Text("Marks", style="bold")]
    lines += [Text(f"{mark}: {meaning}") for mark, meaning in MARKS.items() if mark in used]
    labels = [figure_names()[figure.name].label for figure in card.weak_figures()]
    lines += [Text(), Text("Weak figures (MEMORY or ESTIMATE): replace these first", style="bold")]
    lines.append(Text(", ".join(labels) if labels else "none"))
    sources = card.sources_used()
    lines += [Text(), Text("Sources", style="bold")]
    lines += [Text(f"{source.source_id}: {source.citation}") for source in sources] or [Text("none")]
    return lines


def card_page(card: Card, *, notes: bool, styled: bool) -> str:
    """Return one card in full: figures with their origin, weak figures and sources."""
    head = [
        Text(f"{card.title} ({card.name})", style="bold"),
        Text(f"{card.group}; {card.route}; {card.harvest}; sold by: {card.sale_pack}"),
    ]
    if card.note:
        head.append(Text(card.note))
    parts: list[Table | Text] = [*head, Text(), _figure_table(card), *_worked(card)]
    if notes:
        parts += _notes(card)
    return _print([*parts, *_evidence(card)], styled=styled)


def _cell(figure: Figure | None) -> str:
    """Return a figure for a narrow column: ``12 (11-14)``, with a sign behind a weak one."""
    if figure is None:
        return "-"
    low, typical, high = _amounts(figure)
    spread = f" ({low}-{high})" if low and high and low != high else ""
    return typical + (WEAK if figure.is_weak else "") + spread


def side_by_side(cards: Sequence[Card], *, styled: bool) -> str:
    """Return two to four cards in columns, typical value and bounds of each figure."""
    room = (WIDTH - 32) // len(cards) - 1
    columns = [("", 21, False), *((card.title, min(room, 22), False) for card in cards), ("unit", 9, False)]
    table = _table(columns)
    for word in ("route", "harvest"):
        table.add_row(Text(word), *(Text(getattr(card, word)) for card in cards))
    for name, said in figure_names().items():
        figures = [card.figures.get(name) for card in cards]
        units = dict.fromkeys(_unit(figure) for figure in figures if figure is not None)
        if said.section != "route" and units:
            cells = (said.label, *map(_cell, figures), " or ".join(units))
            table.add_row(*map(Text, cells))
    foot = Text(f"{WEAK} from memory or an estimate; in brackets low-high; - not on that card.")
    return _print([table, Text(), foot], styled=styled)


def as_json(cards: Sequence[Card], *, whole: bool) -> str:
    """Return cards as JSON text.

    Args:
        cards: the cards.
        whole: with every figure and the sources used; otherwise the typical values only.
    """
    rows = []
    for card in cards:
        row: dict[str, object] = {
            key: getattr(card, key)
            for key in ("name", "title", "group", "route", "harvest", "sale_pack", "note")
        }
        if whole:
            row["figures"] = {name: dataclasses.asdict(figure) for name, figure in card.figures.items()}
            row["sources"] = [dataclasses.asdict(source) for source in card.sources_used()]
        else:
            row["figures"] = {name: figure.typical for name, figure in card.figures.items()}
        rows.append(row)
    return json.dumps(rows, indent=2, ensure_ascii=False)
