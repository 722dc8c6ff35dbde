"""Days to emergence by soil temperature.

Source of every figure: Harrington & Minges 1954, University of California (READ-2, three copies).
"""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crops.emergence import days_to_emergence, kinds
from crops.library import card
from crops.published import table

ROWS = table("emergence_days")
GIVEN = [(row["kind"], float(row["temperature_c"]), float(row["value"])) for row in ROWS if row["value"]]
BLANK = [(row["kind"], float(row["temperature_c"])) for row in ROWS if not row["value"]]


def test_the_table_is_whole() -> None:
    assert len(kinds()) == 15
    assert len(ROWS) == 15 * 9
    assert {row["outcome"] for row in ROWS} == {"emerged", "none", "not tested"}
    assert all((row["outcome"] == "emerged") == bool(row["value"]) for row in ROWS)


@pytest.mark.parametrize(
    ("temperature", "days"),
    [(0, 49), (5, 15), (10, 7), (15, 4), (20, 3), (25, 2), (30, 3), (35, None), (40, None)],
)
def test_lettuce_emerges_as_published_and_not_at_all_at_35(temperature: float, days: float | None) -> None:
    assert days_to_emergence("lettuce", temperature) == days


@pytest.mark.parametrize(("kind", "temperature", "days"), GIVEN)
def test_the_tables_own_figures_come_back(kind: str, temperature: float, days: float) -> None:
    assert days_to_emergence(kind, temperature) == days


@pytest.mark.parametrize(("kind", "temperature"), BLANK)
def test_no_day_count_stands_where_or_beside_where_the_table_has_none(kind: str, temperature: float) -> None:
    assert days_to_emergence(kind, temperature) is None
    assert days_to_emergence(kind, temperature - 0.1) is None
    assert days_to_emergence(kind, temperature + 0.1) is None


@pytest.mark.parametrize("kind", kinds())
def test_days_fall_to_the_best_temperature_and_then_rise_or_end(kind: str) -> None:
    days = [value for name, _, value in GIVEN if name == kind]
    best = days.index(min(days))
    assert all(first >= second for first, second in itertools.pairwise(days[: best + 1]))
    assert all(first <= second for first, second in itertools.pairwise(days[best:]))


def test_between_two_figures_a_straight_line_is_drawn() -> None:
    assert days_to_emergence("lettuce", 17.5) == 3.5
    assert days_to_emergence("onion", 12.5) == 10
    assert days_to_emergence("spinach", 6) == pytest.approx(23 - 11 / 5)


@pytest.mark.parametrize("temperature", [-0.1, 40.1, 100, float("nan")])
def test_outside_the_table_there_is_no_figure(temperature: float) -> None:
    assert days_to_emergence("lettuce", temperature) is None
    assert days_to_emergence("turnip", temperature) is None


def test_an_unknown_kind_is_met_with_the_nearest() -> None:
    with pytest.raises(LookupError) as caught:
        days_to_emergence("letuce", 20)
    assert str(caught.value) == 'the emergence table has no "letuce"; did you mean lettuce?'
    with pytest.raises(LookupError, match="it has lettuce, spinach"):
        days_to_emergence("zzz", 20)


@given(kind=st.sampled_from(kinds()), temperature=st.floats(-5, 45))
def test_no_figure_lies_outside_its_two_neighbours(kind: str, temperature: float) -> None:
    days = days_to_emergence(kind, temperature)
    if days is not None:
        below = days_to_emergence(kind, temperature // 5 * 5)
        above = days_to_emergence(kind, -(-temperature // 5) * 5)
        assert below is not None
        assert above is not None
        assert min(below, above) <= days <= max(below, above)


@pytest.mark.parametrize("name", ["lettuce_butterhead", "lettuce_romaine"])
def test_lettuce_cards_take_the_emergence_of_15_to_25_degrees(name: str) -> None:
    figure = card(name).figures["days_germination"]
    published = [days_to_emergence("lettuce", temperature) for temperature in (25, 20, 15)]
    assert [figure.low, figure.typical, figure.high] == published
