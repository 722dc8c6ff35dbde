"""Farms to compare: the book as it is, and the book with each scenario put on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click

from scheduler.book.book import typed_book
from scheduler.book.faults import Note
from scheduler.book.names import meant, plain
from scheduler.book.raw import RawBook
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.plan.views.compared import same_days
from scheduler.scenario.apply import changed
from scheduler.scenario.read import read_scenario, scenario_of_options
from scheduler.scenario.scenario import Scenario, together

AS_IT_IS = "as it is"
MOST = 7
"""Scenarios beside the book: more lines in one chart cannot be told apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One farm to compare.

    Attributes:
        name: what it is called.
        farm: the farm.
        raw: the grids of its book.
        scenario: what is changed; None for the book as it is.
        notes: what is odd about it, with the key of the scenario or the cell; of scenarios only what is new.
    """

    name: str
    farm: Farm
    raw: RawBook
    scenario: Scenario | None
    notes: tuple[Note, ...]


def read_scenarios(
    files: Sequence[Path], changes: Sequence[str], *, all_at_once: bool, most: int | None = MOST
) -> list[Scenario]:
    """Read scenarios from files and from the command line; ``most`` None lets any number pass.

    Raises:
        BookFaults: one has a fault; it is told with its key.
        click.UsageError: there is none, there are too many, or two are called alike.
    """
    found = [read_scenario(path) for path in files]
    if changes:
        found.append(scenario_of_options(changes))
    if not found:
        raise click.UsageError("nothing to compare with: give a scenario by --with or a change by --change")
    if all_at_once and len(found) > 1:
        found.append(together(found))
    if most is not None and len(found) > most:
        raise click.UsageError(
            f"{len(found)} scenarios; give at most {most}, for more do not fit side by side"
        )
    names = [plain(AS_IT_IS), *(plain(each.name) for each in found)]
    for each in found:
        if names.count(plain(each.name)) > 1:
            raise click.UsageError(
                f"{each.source}: another farm is called {each.name!r} too; name it otherwise"
            )
    return found


def candidates(raw: RawBook, scenarios: Sequence[Scenario], today: date | None) -> list[Candidate]:
    """Return the farm of a book, and that of each scenario.

    Raises:
        BookFaults: the book has faults, or would have them.
        click.UsageError: a scenario plans other days than the book.
    """
    book = typed_book(raw)
    farm = build_farm(book, today=today)
    usual = {(note.code, note.text) for note in advice(farm, book)}
    found = [Candidate(name=AS_IT_IS, farm=farm, raw=raw, scenario=None, notes=())]
    for scenario in scenarios:
        made = changed(raw, [scenario])
        with made.told():
            book = made.book()
            farm = build_farm(book, today=today)
        if not same_days(found[0].farm, farm):
            raise click.UsageError(
                f"{scenario.source}: leave first_day and weeks as they are, to compare the same days"
            )
        notes = tuple(
            Note(place=made.place_of(note.place), text=note.text, code=note.code)
            for note in _new(advice(farm, book), usual)
        )
        found.append(Candidate(name=scenario.name, farm=farm, raw=made.raw, scenario=scenario, notes=notes))
    return found


def held_against(found: Sequence[Candidate], name: str | None) -> list[Candidate]:
    """Return the farms with the one first that the others are held against; the book's own without a name.

    Raises:
        click.UsageError: none is called so.
    """
    if name is None:
        return list(found)
    first = [each for each in found if plain(each.name) == plain(name)]
    if not first:
        raise click.UsageError(f"no farm is called {name!r}; expected {meant(name, [f.name for f in found])}")
    return [*first, *(each for each in found if each is not first[0])]


def _new(notes: Sequence[Note], usual: set[tuple[str, str]]) -> list[Note]:
    return [note for note in notes if (note.code, note.text) not in usual]
