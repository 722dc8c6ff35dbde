"""The cards of the crop library, read once from the tables beside this module."""

import csv
import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from crops.rows import NO_SOURCE, Figure, Source, figure_of, sources_of

__all__ = [
    "Card",
    "Figure",
    "FigureName",
    "Source",
    "card",
    "card_names",
    "cards",
    "cards_called",
    "figure_names",
    "sources",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureName:
    """What a figure is called on paper.

    Attributes:
        name: name in the tables, such as ``days_tray``.
        section: heading it stands under, such as ``days`` or ``keeping``.
        label: a few words of the trade, such as ``days in propagation``.
        meaning: one sentence.
    """

    name: str
    section: str
    label: str
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One crop of the library.

    Attributes:
        name: name in the tables, such as ``lettuce_butterhead``.
        title: name on paper, such as ``Butterhead lettuce``.
        group: lettuce, green, herb, flower, microgreen or bed crop.
        route: its stages in order, such as ``tray > board > raft``.
        harvest: cut once, cut again or picked.
        sale_pack: what one sale unit is, such as ``head`` or ``bunch``.
        note: what to know before growing it; may be empty.
        figures: its figures by name, read-only.
    """

    name: str
    title: str
    group: str
    route: str
    harvest: str
    sale_pack: str
    note: str
    figures: Mapping[str, Figure]

    def value(self, name: str) -> float | None:
        """Return the typical value of a figure, or None where the card has none."""
        figure = self.figures.get(name)
        return None if figure is None else figure.typical

    def weak_figures(self) -> list[Figure]:
        """Return the figures that are only remembered or estimated, in the order of the card."""
        return [figure for figure in self.figures.values() if figure.is_weak]

    def sources_used(self) -> list[Source]:
        """Return the publications its figures rest on, those named in notes included, in table order."""
        named = set()
        for figure in self.figures.values():
            named.add(figure.source_id)
            named.update(re.findall(r"\w+", figure.note))
        return [source for key, source in sources().items() if key in named and key != NO_SOURCE]


def _table(name: str) -> list[dict[str, str]]:
    """Read one of the tables beside this module."""
    with (Path(__file__).parent / name).open(newline="", encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


@cache
def sources() -> Mapping[str, Source]:
    """Return every source of the library by its id, in file order."""
    return sources_of(_table("sources.csv"))


@cache
def figure_names() -> Mapping[str, FigureName]:
    """Return what each figure is called, in the order a card is printed."""
    rows = (dict(row, name=row.pop("figure")) for row in _table("figure_names.csv"))
    return MappingProxyType({row["name"]: FigureName(**row) for row in rows})


@cache
def _by_name() -> Mapping[str, Card]:
    """Read all cards.

    Raises:
        ValueError: a figure has a fault, such as no source and no mark.
    """
    names, ids = figure_names(), sources()
    figures: dict[str, dict[str, Figure]] = {}
    for row in _table("figures.csv"):
        figures.setdefault(row["crop"], {})[row["figure"]] = figure_of(row, ids, names)
    found = {}
    for row in _table("cards.csv"):
        name = row.pop("card")
        own = figures[name]
        ordered = MappingProxyType({key: own[key] for key in names if key in own})
        found[name] = Card(name=name, figures=ordered, **row)
    return MappingProxyType(found)


def cards() -> tuple[Card, ...]:
    """Return every card, in file order."""
    return tuple(_by_name().values())


def card_names() -> tuple[str, ...]:
    """Return the name of every card, in file order."""
    return tuple(_by_name())


LEAST_LETTERS = 5
"""Letters of a word that alone may tell a card."""

MOST_ALIKE = 3
"""Cards that such a word may be in: one of more tells none of them."""


def cards_called(name: str) -> list[str]:
    """Return the card of this title, else cards whose name or title begins with these words, or name one.

    A word of which hardly any card has a title or a note, such as ``Batavia``, is enough.
    """
    wanted = _words(name)
    entitled = [card.name for card in cards() if _words(card.title) == wanted]
    if entitled or not wanted:
        return entitled
    begun = [
        card.name
        for card in cards()
        if any(_words(text)[: len(wanted)] == wanted for text in (card.name, card.title))
    ]
    return begun or _told_by_a_word(wanted)


def _words(text: str) -> list[str]:
    """Return the words and numbers of a text in small letters, without the signs between them."""
    return re.findall(r"[^\W_]+", text.casefold())


def _told_by_a_word(wanted: list[str]) -> list[str]:
    """Return the cards whose title or note has a word that hardly any other has."""
    words = {card.name: set(_words(f"{card.title} {card.note}")) for card in cards()}
    for word in wanted:
        having = [name for name, there in words.items() if len(word) >= LEAST_LETTERS and word in there]
        if 0 < len(having) <= MOST_ALIKE:
            return having
    return []


def card(name: str) -> Card:
    """Return the card of this name.

    Raises:
        LookupError: there is none; the message offers the names nearest to it.
    """
    found = _by_name().get(name)
    if found is None:
        near = cards_called(name) or difflib.get_close_matches(name.lower(), card_names(), n=3)
        hint = f"; did you mean {' or '.join(near)}?" if near else "; `raftway crops` lists them"
        raise LookupError(f'no crop card "{name}"{hint}')
    return found
