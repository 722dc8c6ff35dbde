"""Scenario files: what is read, what is refused and where that is told."""

from datetime import date

import pytest
from scenarios import changed_of, one, scenario

from scheduler.book.faults import BookFaults
from scheduler.scenario.apply import ALL_AT_ONCE, MAKERS
from scheduler.scenario.kinds import FILE, load_kinds
from scheduler.scenario.read import read_scenario, scenario_of_options
from scheduler.scenario.scenario import together

EAST = """
name = "A third trough"
from = 2026-04-06
cost = 100
cost_per_week = 7.5

[[change]]
do = "add trough"
trough = "East trough"
cost = 4200.55

[[change]]
do = "Add-Equipment"
name = "36-hole raft"
more = 12
cost = 300
"""


def faults_of(text):
    try:
        scenario(text)
    except BookFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


def test_a_file_has_a_name_a_first_day_prices_and_changes(tmp_path):
    path = tmp_path / "third.toml"
    path.write_text(EAST, encoding="utf-8")
    found = read_scenario(path)
    assert (found.name, found.source, found.cost, found.cost_per_week) == (
        "A third trough",
        "third.toml",
        4600_55,
        7_50,
    )
    assert [change.start for change in found.changes] == [date(2026, 4, 6), None], "rafts have no day"
    assert found.start == date(2026, 4, 6)
    assert scenario(one("add equipment", name="36-hole raft", more=1)).start is None
    assert scenario(EAST.replace("from = 2026-04-06", "")).start is None


def test_a_change_s_own_day_counts_before_the_file_s(tmp_path):
    text = "from = 2026-04-06\n" + one("orders", percent=5, from_=date(2026, 5, 4))
    assert scenario(text).start == date(2026, 5, 4)


def test_without_a_name_it_is_called_like_its_file(tmp_path):
    path = tmp_path / "more rows.toml"
    path.write_text(one("orders", percent=5), encoding="utf-8")
    assert read_scenario(path).name == "more rows"


def test_changes_of_the_command_line_are_read_like_those_of_a_file():
    found = scenario_of_options(['do = "orders", percent = 5', 'do = "drop crop", crop = "Basil"'])
    assert [change.kind for change in found.changes] == ["orders", "drop crop"]
    with pytest.raises(BookFaults) as faults:
        scenario_of_options(["do = orders", 'do = "orders", percent = "many"'])
    assert str(faults.value) == (
        "command line: change 1, column 6: found 'orders'; expected text in quotation marks, a number, "
        "a date such as 2026-06-01, true, false or a list"
    )
    with pytest.raises(BookFaults, match="command line: change 1 .orders., percent: found 'many'"):
        scenario_of_options(['do = "orders", percent = "many"'])


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "east.toml: found 0 changes; expected 1 to 200, each under [[change]]"),
        (
            'change = "x"',
            "east.toml, change: found something else than tables; expected [[change]] above each",
        ),
        (
            "[[change]]\ntrough = 'x'",
            "east.toml: change 1, do: found no kind of change; expected one of 'add row'",
        ),
        (
            '[[change]]\ndo = "add throughs"',
            "east.toml: change 1, do: found 'add throughs'; expected 'add trough'?",
        ),
        (
            one("widen trough"),
            "east.toml: change 1 (widen trough), trough: found a blank cell; expected trough, such as",
        ),
        (
            one("widen trough", trough="N", with_=4),
            "east.toml: change 1 (widen trough), with: found unknown key; expected 'width'?",
        ),
        (
            one("add equipment", name="x", more=1, from_=date(2026, 4, 6)),
            "east.toml: change 1 (add equipment), from: found a day; expected no day: this kind",
        ),
        (
            one("orders", percent=5).replace("5", "2026-04-06T10:00:00"),
            "east.toml: change 1 (orders), percent: found a date with a time as a value; expected text",
        ),
        (
            "colour = 1\n" + one("orders", percent=5),
            "east.toml, colour: found unknown key; expected one of 'name'",
        ),
        (
            f'name = "{"x" * 41}"\n' + one("orders", percent=5),
            "east.toml, name: found 41 characters; expected at most 40: it heads a column",
        ),
    ],
)
def test_what_cannot_be_taken_is_told_with_its_key(text, fault):
    assert faults_of(text)[0].startswith(fault)


def test_all_faults_of_a_file_are_told_at_once():
    text = one("orders", percent="x") + one("drop crop") + one("tidy")
    assert len(faults_of(text)) == 3


@pytest.mark.parametrize("data", [b"\xff\xfea", b"name = 1 2"])
def test_bytes_and_lines_that_cannot_be_read_are_told(tmp_path, data):
    path = tmp_path / "east.toml"
    path.write_bytes(data)
    with pytest.raises(BookFaults, match="found (bytes that are not|'2' after a value)"):
        read_scenario(path)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("a = 1\nname East", "line 2, column 6: found 'East'; expected an equals sign between a key"),
        ("name = ", "line 1, column 8: found nothing more after 'name ='; expected text in quotation marks"),
        ("a = 1\na = 2", "line 2, column 6: found 'a = 2', which stands a second time; expected each key"),
        ("[[change]\n", "line 1, column 9: found ']'; expected the brackets that end a heading"),
        ('name = "East\n', "line 1, column 13: found text that does not end, in 'name = \"East'; expected"),
        (
            "from = 2026-13-01",
            "line 1, column 12: found '-13-01' after a value; expected one line",
        ),
        ("from = 2026-02-30", "line 1, column 8: found '2026-02-30'; expected a date of the calendar"),
        ('name = "C:\\east"', "line 1, column 13: found text that does not end, in"),
        ("list = [1, 2", "line 1, column 13: found nothing more after 'list = [1, 2'; expected a comma"),
        ("= 4", "line 1, column 1: found '= 4'; expected a key such as width"),
    ],
)
def test_text_that_is_no_toml_is_told_with_line_column_and_what_may_stand_there(text, fault):
    (told,) = faults_of(text)
    assert told.startswith(f"east.toml, {fault}")


def test_what_no_line_can_be_named_for_is_told_with_the_file():
    (told,) = faults_of("a = " + "[" * 5000)
    assert told.startswith("east.toml: found values nested too deep, or a number far too long; expected")


def test_a_file_of_another_kind_is_refused(tmp_path):
    path = tmp_path / "east.csv"
    path.write_text("x")
    with pytest.raises(BookFaults, match=r"name ends in '\.csv'; expected one in \.toml"):
        read_scenario(path)


MIX = {
    "a": one("add trough", trough="East trough", from_=date(2026, 3, 16)) + one("orders", percent=20),
    "b": one("widen trough", trough="North trough") + one("orders", percent=-5, from_=date(2026, 4, 6)),
    "c": one("add trough", trough="Annex") + one("add equipment", name="36-hole raft", more=3),
    "d": one("widen trough", trough="North trough", width=8, from_=date(2026, 5, 4))
    + one("add equipment", name="36-hole raft", more=4),
}


def test_in_whatever_order_scenarios_stand_the_book_is_the_same(tmp_path):
    targets = "product,amount\nButterhead head,40\n"
    one_way = changed_of(tmp_path, *MIX.values(), targets=targets)
    for texts in (list(MIX.values())[::-1], [MIX[key] for key in "cadb"], ["".join(MIX.values())]):
        assert changed_of(tmp_path, *texts, targets=targets).raw == one_way.raw
    assert one_way.book().rows("troughs")[0].number_of("width") == 8


def test_several_scenarios_as_one_are_the_same_whatever_their_order():
    parts = [scenario(text, f"{name}.toml") for name, text in MIX.items()]
    assert together(parts) == together(parts[::-1])
    assert together(parts[:2]).name == "a + b"


def test_every_kind_of_change_is_documented_made_and_gives_an_example_of_each_key():
    kinds = {name for name in load_kinds() if name != FILE}
    assert kinds == {*MAKERS, *ALL_AT_ONCE}
    orders = [kind.order for kind in load_kinds().values()]
    assert sorted(set(orders)) == orders
    for kind in load_kinds().values():
        assert kind.description
        for rule in kind.keys.values():
            assert rule.description
            assert rule.example


def test_headings_with_stars_units_and_remarks_are_understood(tmp_path):
    raw = changed_of(tmp_path, one("orders", percent=5), orders=ORDERS_WITH_REMARKS).book()
    assert raw.rows("orders")[0].text("customer") == "Harbour Table"


ORDERS_WITH_REMARKS = (
    "order*,(mine),customer,product,amount (units),weekdays\nR1,x,Harbour Table,Butterhead head,12,Fri\n"
)


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("{ feet = 8 }", "a table"),
        ("2026-06-01T10:00:00", "a date with a time"),
        ("10:00:00", "a time"),
        ("[[8], [9]]", "a list of other things"),
    ],
)
def test_a_value_that_no_cell_holds_is_told_in_words(value, told):
    with pytest.raises(BookFaults) as caught:
        scenario_of_options([f'do = "widen trough", trough = "North trough", width = {value}'])
    assert str(caught.value).startswith(
        f"command line: change 1 (widen trough), width: found {told} as a value; expected text, a number"
    )


def test_a_key_in_two_spellings_is_told_and_neither_is_chosen():
    with pytest.raises(BookFaults) as caught:
        scenario_of_options(['do = "widen trough", trough = "North trough", width = 8, Width = 9'])
    assert str(caught.value) == (
        "command line: change 1 (widen trough), Width: found width again; expected each key once"
    )


def test_a_price_is_rounded_to_the_nearest_hundredth_and_half_a_one_up():
    text = "cost = 0.125\ncost_per_week = 0.124\n" + one("add equipment", name="36-hole raft", more=1)
    found = scenario(text)
    assert (found.cost, found.cost_per_week) == (13, 12)
