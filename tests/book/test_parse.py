"""Cells to values: what is taken, and that nothing but a refusal ever comes of other text."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.parse import Refused, Value, parse
from scheduler.book.schema import CellRule, CellType, load_schema


def rule(kind: CellType, allowed: str = "", default: str = "", *, required: bool = False) -> CellRule:
    return CellRule(
        name="amount",
        type=kind,
        unit="",
        required=required,
        default=default,
        allowed=allowed,
        description="",
        example="24",
    )


WHOLE, NUMBER, DATE = rule(CellType.WHOLE, "0..300"), rule(CellType.NUMBER), rule(CellType.DATE)
YESNO, WEEKDAYS, LIST = rule(CellType.YESNO), rule(CellType.WEEKDAYS), rule(CellType.LIST)
CHOICE, TEXT = rule(CellType.CHOICE, "firm|flexible"), rule(CellType.TEXT)


def taken(text: str, cell_rule: CellRule) -> Value | Refused:
    try:
        return parse(text, cell_rule)
    except Refused as refused:
        return refused


ALL_RULES = [WHOLE, NUMBER, DATE, YESNO, WEEKDAYS, LIST, CHOICE, TEXT]


@pytest.mark.parametrize(
    ("cell_rule", "text", "value"),
    [
        (WHOLE, "12", 12),
        (WHOLE, " 12.0 ", 12),
        (WHOLE, "0", 0),
        (WHOLE, "300", 300),
        (NUMBER, "0.6", Fraction(3, 5)),
        (NUMBER, ".5", Fraction(1, 2)),
        (NUMBER, "-2.", Fraction(-2)),
        (DATE, "2028-02-29", date(2028, 2, 29)),
        (YESNO, "Yes", True),
        (YESNO, "FALSE", False),
        (CHOICE, "FIRM", "firm"),
        (LIST, "South trough; North trough 2;", ("South trough", "North trough 2")),
        (WEEKDAYS, "Mon Thu", frozenset({0, 3})),
        (WEEKDAYS, "monday, Thurs.", frozenset({0, 3})),
        (WEEKDAYS, "Mon-Fri", frozenset(range(5))),
        (WEEKDAYS, "Sat - Mon and Wed", frozenset({5, 6, 0, 2})),
        (WEEKDAYS, "Tue to Thu; Sun", frozenset({1, 2, 3, 6})),
        (WEEKDAYS, "daily", frozenset(range(7))),
        (TEXT, "Harbour\n  Table", "Harbour Table"),
        (TEXT, "Cafe\u0301", "Caf\u00e9"),
        (TEXT, "007", "007"),
        (TEXT, "NA", "NA"),
        (WHOLE, "", None),
    ],
)
def test_a_cell_is_taken_as_meant(cell_rule: CellRule, text: str, value: Value) -> None:
    assert parse(text, cell_rule) == value


@pytest.mark.parametrize(
    ("cell_rule", "text"),
    [
        (WHOLE, "301"),
        (WHOLE, "-1"),
        (WHOLE, "12.5"),
        (WHOLE, "1_000"),
        (WHOLE, "\u0661\u0662"),
        (WHOLE, "9" * 5000),
        (NUMBER, "inf"),
        (NUMBER, "NaN"),
        (NUMBER, "1e3"),
        (NUMBER, "0x10"),
        (NUMBER, "1,5"),
        (DATE, "86400"),
        (DATE, "2026-02-29"),
        (DATE, "2026-3-2"),
        (DATE, "20260302"),
        (DATE, "0026-03-02"),
        (DATE, "2026-03-02 00:00"),
        (YESNO, "1"),
        (CHOICE, "firmly"),
        (LIST, ";"),
        (LIST, "a; a"),
        (WEEKDAYS, "Mon-Wed-Fri"),
        (WEEKDAYS, "M T"),
        (WEEKDAYS, "-"),
        (TEXT, "a\x00b"),
        (TEXT, "x" * 1001),
    ],
)
def test_a_cell_is_refused_rather_than_guessed(cell_rule: CellRule, text: str) -> None:
    with pytest.raises(Refused):
        parse(text, cell_rule)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("31.12.2026", "a date written year-month-day: 2026-12-31"),
        ("12/31/26", "a date written year-month-day: 2026-12-31"),
        ("2026/3/2", "a date written year-month-day: 2026-03-02"),
        ("2 Mar 2026", "a date written year-month-day: 2026-03-02"),
        ("2-Mar-26", "a date written year-month-day: 2026-03-02"),
        ("Mon 2 March 2026", "a date written year-month-day: 2026-03-02"),
        ("March 2nd, 2026", "a date written year-month-day: 2026-03-02"),
        ("Sept 2 2026", "a date written year-month-day: 2026-09-02"),
        ("31 Feb 2026", "a date written year-month-day, such as 24"),
        ("2 Ma 2026", "a date written year-month-day, such as 24"),
        ("2 March", "a date written year-month-day, such as 24"),
    ],
)
def test_a_date_in_another_form_is_offered_as_iso(text: str, expected: str) -> None:
    with pytest.raises(Refused) as refused:
        parse(text, DATE)
    assert refused.value.expected == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1,234,567.5", "a number without commas: 1234567.5"),
        ("1 200", "a number without spaces: 1200"),
        ("12,55", "a number with a decimal point, not a comma: 12.55"),
        ("30 days", "a number alone, without a unit: 30"),
        ("$4", "a number alone, without a sign: 4"),
        ("\u00a32.10", "a number alone, without a sign: 2.10"),
        ("R1", "a number, such as 24"),
    ],
)
def test_a_number_in_another_form_is_offered_plain(text: str, expected: str) -> None:
    with pytest.raises(Refused) as refused:
        parse(text, NUMBER)
    assert refused.value.expected == expected


A_ROW = "each month has a row of its own"


@pytest.mark.parametrize(
    ("column", "text", "expected"),
    [
        ("pace.month", "Nov", "the number of the month: 11"),
        ("pace.month", "January", "the number of the month: 1"),
        ("pace.month", "April 2026", "the number of the month: 4"),
        ("pace.month", "Apr-Sep", f"the number of one month, such as 1: {A_ROW}"),
        ("light.month", "April to October", f"the number of one month, such as 12: {A_ROW}"),
        ("pace.month", "4 - 9", f"the number of one month, such as 1: {A_ROW}"),
        ("pace.month", "4.5", "a whole number, such as 1"),
        ("pace.pace", "70", "0.05 to 3 (pace): 0.7 for 70 percent"),
        ("pace.pace", "0", "0.05 to 3 (pace)"),
        ("crew.hours", "5:30", "hours as a decimal number: 5.5"),
        ("crew.hours", "5:70", "a number alone, without a unit: 5"),
        ("orders.priority", "high", "a whole number from 1 to 5, such as 1"),
        ("orders.price", "\u00a3 2.10", "a number alone, without a sign: 2.10"),
        ("crops.germination_percent", "0.75", "1 to 100 (percent): 75 for a share of 0.75"),
        ("crops.germination_percent", "0", "1 to 100 (percent)"),
    ],
)
def test_what_was_meant_is_offered_in_the_form_of_the_column(column: str, text: str, expected: str) -> None:
    table, name = column.split(".")
    with pytest.raises(Refused) as refused:
        parse(text, load_schema().tables[table].column(name))
    assert refused.value.expected == expected


def test_a_blank_cell_takes_its_default_and_a_required_one_is_refused() -> None:
    assert parse("  ", rule(CellType.WHOLE, default="7")) == 7
    with pytest.raises(Refused, match="a blank cell; expected amount, such as 24"):
        parse("", rule(CellType.WHOLE, required=True))


@given(st.sampled_from(ALL_RULES), st.text(max_size=60))
def test_any_text_is_taken_or_refused(cell_rule: CellRule, text: str) -> None:
    outcome = taken(text, cell_rule)
    if isinstance(outcome, Refused):
        assert all((outcome.found, outcome.expected, outcome.code))


DIGITS = st.text("0123456789,.-+/ _eE:;%", min_size=1, max_size=24)


@given(st.sampled_from([WHOLE, NUMBER, DATE]), DIGITS)
def test_anything_like_a_number_or_date_is_taken_or_refused(cell_rule: CellRule, text: str) -> None:
    outcome = taken(text, cell_rule)
    assert outcome is None or isinstance(outcome, (int, Fraction, date, Refused))


@given(st.dates(date(1990, 1, 1), date(2199, 12, 31)))
def test_every_iso_date_comes_back(day: date) -> None:
    assert parse(day.isoformat(), DATE) == day


@given(st.frozensets(st.integers(0, 6), min_size=1))
def test_every_set_of_weekdays_comes_back(days: frozenset[int]) -> None:
    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    assert parse(", ".join(names[day] for day in days), WEEKDAYS) == days


@given(st.decimals(min_value=0, max_value=10**6, places=4))
def test_a_decimal_number_is_kept_exactly(number: object) -> None:
    assert parse(str(number), NUMBER) == Fraction(str(number))


def test_every_example_and_default_of_the_schema_is_taken_by_its_own_rule() -> None:
    schema = load_schema()
    columns = [column for table in schema.tables.values() for column in table.columns]
    for cell_rule in [*columns, *schema.settings.values()]:
        for text in (cell_rule.example, cell_rule.default):
            if text:
                assert parse(text, cell_rule) is not None
