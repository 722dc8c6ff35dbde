"""The small book with scenarios put on it, for tests."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from helpers import write_book

from scheduler.book.book import read_raw, typed_book
from scheduler.book.faults import BookFaults
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.scenario.apply import Changed, changed
from scheduler.scenario.read import parse_scenario
from scheduler.scenario.scenario import Scenario


def scenario(text: str, source: str = "east.toml") -> Scenario:
    """Return a scenario written as TOML."""
    return parse_scenario(text, source, source.removesuffix(".toml"))


def one(do: str, **keys: object) -> str:
    """Return one change as TOML; a date is written as one, ``from_`` is ``from``."""
    return "[[change]]\n" + "".join(
        f"{name.rstrip('_')} = {_toml(value)}\n" for name, value in {"do": do, **keys}.items()
    )


def _toml(value: object) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(_toml(each) for each in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if isinstance(value, (int, float, date)) else f'"{value}"'


def changed_of(
    folder: Path, *texts: str, settings: Mapping[str, str | None] | None = None, **tables: str
) -> Changed:
    """Return the small book with scenarios put on it."""
    raw = read_raw(write_book(folder, settings, **tables))
    typed_book(raw)
    return changed(raw, [scenario(text, f"s{number}.toml") for number, text in enumerate(texts, start=1)])


def farm_with(
    folder: Path, *texts: str, settings: Mapping[str, str | None] | None = None, **tables: str
) -> Farm:
    """Return the farm of the small book with scenarios put on it."""
    made = changed_of(folder, *texts, settings=settings, **tables)
    with made.told():
        return build_farm(made.book())


def faults_with(
    folder: Path, *texts: str, settings: Mapping[str, str | None] | None = None, **tables: str
) -> list[str]:
    """Return the faults of scenarios, or of the small book with them."""
    try:
        farm_with(folder, *texts, settings=settings, **tables)
    except BookFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


def slots(farm: Farm, kind: PlaceKind, day: int = 0) -> dict[str, int]:
    """Return the slots of each place of a kind on a day."""
    return {place.name: place.slots.on(day) for place in farm.places_of(kind)}
