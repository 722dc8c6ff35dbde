"""A plan written down by hand, a farm with its places, and random plans for round trips."""

import types
import typing
from dataclasses import replace
from functools import cache

from farms import FIRST_DAY, make_farm
from hypothesis import strategies as st

from scheduler.farm.calendar import Calendar, Work
from scheduler.farm.farm import Equipment, Farm
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.plan import rows
from scheduler.plan.columns import Column, columns

EVERY_DAY = {work: frozenset(range(7)) for work in Work}
CALENDAR = Calendar(
    first_day=FIRST_DAY, days=28, span=60, work_days=EVERY_DAY, closed={work: frozenset() for work in Work}
)


def small_farm(*, name: str = "Alder Quay", today: int = 0) -> Farm:
    """Two tiers, a board zone and two rows, with trays and rafts."""
    places = (
        ("Shelf A 1", "Shelf A", PlaceKind.TIER, 4),
        ("Shelf A 2", "Shelf A", PlaceKind.TIER, 4),
        ("North trough boards", "North trough", PlaceKind.ZONE, 6),
        ("North trough 1", "North trough", PlaceKind.LANE, 9),
        ("North trough 2", "North trough", PlaceKind.LANE, 9),
    )
    return replace(
        make_farm(),
        name=name,
        currency="EUR",
        calendar=CALENDAR,
        today=today,
        places=tuple(
            Place(name=each, belongs_to=owner, kind=kind, slots=Steps(((-100, slots),)))
            for each, owner, kind, slots in places
        ),
        equipment={
            "98-cell tray": Equipment(
                name="98-cell tray", item="tray", holes=98, rows=7, owned=10, wash_days=1
            ),
            "36-hole raft": Equipment(
                name="36-hole raft", item="raft", holes=36, rows=1, owned=20, wash_days=1
            ),
        },
    )


def task(key: str, day: int, work: str, **changes: object) -> rows.TaskRow:
    """One task of one lot."""
    given: dict[str, object] = {
        "key": key,
        "day": day,
        "work": work,
        "lot": "BUT-260302",
        "crop": "Butterhead",
        "units": 2,
        "unit_kind": "98-cell tray",
        "plants": 196,
        "where": "",
        "to": "Shelf A 1",
        "note": "",
    }
    return rows.TaskRow(**(given | changes))


def demand(name: str, day: int, **changes: object) -> rows.DemandRow:
    """One firm delivery, filled unless changed."""
    given: dict[str, object] = {
        "demand": name,
        "order": "R1",
        "customer": "Harbour Table",
        "product": "Leaf lettuce",
        "day": day,
        "last": day,
        "amount": 24,
        "filled": 24,
        "state": "filled",
        "firm": True,
        "target": False,
        "priority": 2,
        "price": 240,
        "earliest": 20,
        "reason": "",
        "reported": True,
    }
    return rows.DemandRow(**(given | changes))


def small_plan(**tables: tuple[object, ...]) -> rows.Plan:
    """A plan of one lot with one row or so in each table; ``tables`` replace whole tables."""
    given: dict[str, tuple[object, ...]] = {
        "lots": (
            rows.LotRow(
                lot="BUT-260302",
                crop="Butterhead",
                origin="sown",
                sown=0,
                cells=196,
                seeds=196,
                plants=176,
                discarded=0,
                overdue=False,
            ),
        ),
        "units": (
            rows.UnitRow(unit="T1", kind="98-cell tray", item="tray", enters=0, emptied=7, leaves=7),
            rows.UnitRow(unit="R1", kind="36-hole raft", item="raft", enters=7, emptied=20, leaves=21),
        ),
        "contents": (
            rows.ContentRow(
                unit="T1", lot="BUT-260302", plants=98, rows=7, enters=0, leaves=7, from_day=None
            ),
        ),
        "positions": (rows.PositionRow(unit="T1", place="Shelf A 1", slot=1, enters=0, until=7),),
        "cuts": (rows.CutRow(unit="R1", lot="BUT-260302", day=20, number=1, plants=36, heads=34),),
        "fills": (
            rows.FillRow(demand="R1 2026-03-22", crop="Butterhead", lot="BUT-260302", cut_day=20, heads=24),
        ),
        "demands": (demand("R1 2026-03-22", 20),),
        "use": (
            rows.UseRow(place="Shelf A 1", day=0, used=2, slots=4),
            rows.UseRow(place="Shelf A 2", day=0, used=1, slots=4),
            rows.UseRow(place="North trough 1", day=7, used=9, slots=9),
        ),
        "equipment": (rows.EquipmentRow(kind="98-cell tray", day=0, in_use=2, washing=1, owned=10),),
        "hours": (rows.HoursRow(day=0, work="sow", minutes=120_05, crew=None),),
        "tasks": (task("sow BUT-260302", 0, "sow"),),
        "chains": (),
        "seed": (rows.SeedRow(crop="Butterhead", variety="green", day=0, cells=196, seeds=196, cost=235),),
        "goals": (
            rows.GoalRow(level=1, goal="firm deliveries", value=0.0, unit="EUR", bound=0.0, status="proven"),
        ),
        "own_figures": (rows.FigureRow(crop="Butterhead", figure="days_raft", value="10"),),
    }
    return rows.Plan(**(given | tables), made={"seed": 1, "seconds": 2.5, "stopped": False, "note": None})


def any_value(column: Column) -> st.SearchStrategy[object]:
    """Any value a column may hold, far beyond what a farm would have."""
    texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
    kinds: dict[str, st.SearchStrategy[object]] = {
        "text": texts if column.blank else texts.filter(lambda text: text.strip() != ""),
        "whole": st.integers(-(10**12), 10**12),
        "number": st.floats(allow_nan=False),
        "date": st.integers(-3000, 3000),
        "money": st.integers(-(10**9), 10**9),
        "minutes": st.integers(-(10**9), 10**9),
        "area": st.integers(-(10**9), 10**9),
        "yesno": st.booleans(),
    }
    value = kinds[column.type]
    return st.none() | value if column.blank and column.type != "text" else value


@cache
def _any_rows(table: str) -> st.SearchStrategy[list[object]]:
    """A few rows of anything; made once, for making strategies takes longer than drawing from them."""
    given = {column.column: any_value(column) for column in columns()[table]}
    return st.lists(st.builds(rows.TABLES[table], **given), max_size=2)


@st.composite
def any_plan(draw: st.DrawFn) -> rows.Plan:
    """Any plan: a few rows of anything in every table."""
    tables = {table: tuple(draw(_any_rows(table))) for table in columns()}
    return rows.Plan(**tables, made={"seed": draw(st.integers(0, 9))})


def kinds_of(annotation: object) -> tuple[set[type], bool]:
    """Return the types of an annotation and whether it may be None."""
    parts = typing.get_args(annotation) if isinstance(annotation, types.UnionType) else (annotation,)
    return {part for part in parts if part is not type(None)}, type(None) in parts
