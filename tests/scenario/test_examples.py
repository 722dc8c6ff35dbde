"""The scenarios beside the first example: sound, and doing what their remarks say."""

from pathlib import Path

import pytest
from scenarios import slots

from scheduler.book.book import read_raw, typed_book
from scheduler.farm.build import build_farm
from scheduler.farm.places import PlaceKind
from scheduler.scenario.apply import changed
from scheduler.scenario.read import read_scenario

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay"
FILES = sorted((EXAMPLE / "scenarios").glob("*.toml"))
JUNE = 91
"""Day number of 1 June 2026."""


def farm_of(name):
    raw = read_raw(EXAMPLE / "book")
    typed_book(raw)
    made = changed(raw, [read_scenario(EXAMPLE / "scenarios" / f"{name}.toml")])
    with made.told():
        return build_farm(made.book())


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_every_scenario_gives_a_farm(path):
    assert farm_of(path.stem).places


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
