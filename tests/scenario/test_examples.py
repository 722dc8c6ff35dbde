"""The scenarios beside the examples: sound, and doing what their remarks and pages say."""

import re
from datetime import date
from pathlib import Path

import pytest
from scenarios import slots

from scheduler.book.book import read_raw, typed_book
from scheduler.farm.build import build_farm
from scheduler.farm.places import PlaceKind
from scheduler.model.capacity.limit import Depth, limit_of
from scheduler.model.capacity.week import steady_week
from scheduler.model.settings import SolveSettings
from scheduler.scenario.apply import changed
from scheduler.scenario.read import read_scenario

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay"
KESTREL = EXAMPLE.parent / "kestrel-bend"
FILES = sorted(EXAMPLE.parent.glob("*/scenarios/*.toml"))
JUNE = 91
"""Day number of 1 June 2026."""


def farm_of(name, example=EXAMPLE):
    raw = read_raw(example / "book")
    typed_book(raw)
    made = changed(raw, [read_scenario(example / "scenarios" / f"{name}.toml")])
    with made.told():
        return build_farm(made.book())


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_every_scenario_gives_a_farm(path):
    assert farm_of(path.stem, path.parents[1]).places


def test_the_trough_opens_on_1_june_and_orders_rise_on_4_may():
    farm = farm_of("east-trough")
    lanes = [name for name in slots(farm, PlaceKind.LANE) if name.startswith("East")]
    assert [sum(slots(farm, PlaceKind.LANE, day)[lane] for lane in lanes) for day in (JUNE - 1, JUNE)] == [
        0,
        24,
    ]
    amounts = {demand.first: demand.amount for demand in farm.demands if demand.order == "SP-1"}
    assert {amounts[day] for day in amounts if day < 63} == {15}
    assert max(amounts.values()) == 21


def test_basil_may_stand_in_a_trough_like_the_one_it_keeps_to():
    assert "East trough 1" in farm_of("east-trough").crops["Basil"].lanes


def test_board_slots_become_raft_slots_while_boards_stand_there():
    farm = farm_of("boards-apart")
    zones = [slots(farm, PlaceKind.ZONE, day) for day in (JUNE - 1, JUNE)]
    assert zones[0] == {"North trough boards": 6, "South trough boards": 6, "Board trough boards": 0}
    assert zones[1] == {"North trough boards": 0, "South trough boards": 0, "Board trough boards": 8}
    rafts = [sum(slots(farm, PlaceKind.LANE, day).values()) for day in (JUNE - 1, JUNE)]
    assert rafts == [36, 48]


PAGE = (KESTREL / "README.md").read_text(encoding="utf-8")
BOUND = {"more-orders": "higher orders alone"} | {
    name: name.replace("-", " ") for name in ("fifth-trough", "third-shelf", "longer-board-trough")
}


@pytest.mark.parametrize("name", BOUND)
def test_the_bound_of_each_thing_to_build_is_that_of_its_page(name):
    farm = farm_of(name, KESTREL)
    week = steady_week(farm, None, farm.calendar.day_of(date(2027, 5, 12)), 1)
    (told,) = re.findall(rf"^\| {BOUND[name]} \| (\d+) \|", PAGE, re.MULTILINE)
    found = limit_of(week, SolveSettings(), Depth(whole=False, season=False), lambda _: None)
    assert f"{found.linear * found.amount:.0f}" == told
    assert f"The higher orders are {found.amount:.0f} units a week." in PAGE


@pytest.mark.parametrize("name", BOUND)
def test_the_prices_of_its_page_are_those_of_the_scenario(name):
    scenario = read_scenario(KESTREL / "scenarios" / f"{name}.toml")
    (told,) = re.findall(rf"^\| `{name}\.toml` \| .+ \| (.+) \|$", PAGE, re.MULTILINE)
    weekly = f" and {scenario.cost_per_week / 100:,.0f} a week" if scenario.cost_per_week else ""
    assert told == f"{scenario.cost / 100:,.0f}{weekly}"
