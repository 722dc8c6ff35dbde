"""Text of one cell to its value: one parser a type, each of which refuses rather than guesses."""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from scheduler.book.faults import quoted
from scheduler.book.names import nearest
from scheduler.book.number_hints import NUMBER, number_hint, scale_hint
from scheduler.book.schema import CellRule, CellType
from scheduler.book.words import LETTERS, MONTHS, WEEKDAYS, as_read, listed

Value = str | int | Fraction | bool | date | tuple[str, ...] | frozenset[int] | None
"""What a cell can hold once parsed; None for a blank one."""

MOST_TEXT = 1000
YEARS = range(1990, 2200)
SERIALS = range(36_526, 73_051)
"""What a spreadsheet shows for days of 2000 to 2099 when they lost their format (1899-12-30 is 0)."""

DATE_FORM = "a date written year-month-day"
NUMBERS_OF_DATE = re.compile(r"([0-9]{1,4})[./ -]([0-9]{1,2})[./ -]([0-9]{1,4})")

WEEKDAY_NAMES = tuple(name.casefold() for name in WEEKDAYS)
WEEKDAY_WORDS = {
    **{name: day for day, name in enumerate(WEEKDAY_NAMES)},
    **{name[:LETTERS]: day for day, name in enumerate(WEEKDAY_NAMES)},
    "tues": 1,
    "weds": 2,
    "thur": 3,
    "thurs": 3,
}
EVERY_DAY = frozenset(range(7))

BOOK_UNITS = {kind: f" in the {kind}_unit of the settings" for kind in ("length", "mass")}
"""Kinds of unit that each book chooses for itself, as a range is told in them."""


class Refused(Exception):  # it is an answer, not an error of the program
    """A cell whose text cannot be taken; the caller knows its place."""

    def __init__(self, found: str, expected: str, code: str) -> None:
        """Keep what a fault needs besides the place."""
        super().__init__(f"found {found}; expected {expected}")
        self.found, self.expected, self.code = found, expected, code


def parse(text: str, rule: CellRule) -> Value:
    """Read the text of a cell; a blank one gives the default, or None.

    Raises:
        Refused: the text is not what the rule asks for, or is blank where something is required.
    """
    text = text.strip() or rule.default
    if not text:
        if rule.required:
            raise Refused("a blank cell", f"{rule.name}, such as {rule.example}", "blank")
        return None
    return PARSERS[rule.type](text, rule)


def parse_text(text: str, _rule: CellRule) -> str:
    """Take text; runs of spaces and line breaks become one space, accents one form."""
    text = " ".join(unicodedata.normalize("NFC", text).split())
    if len(text) > MOST_TEXT:
        raise Refused(f"{len(text)} characters", f"at most {MOST_TEXT}", "bad-text")
    if any(unicodedata.category(char) in ("Cc", "Cs") for char in text):
        raise Refused(f"control characters in {quoted(text)}", "text without them", "bad-text")
    return text


def parse_number(text: str, rule: CellRule) -> Fraction:
    """Take a decimal number with a point, exactly as written."""
    if not NUMBER.fullmatch(text):
        raise Refused(quoted(text), number_hint(text, "a number", rule), "bad-number")
    return _within(Fraction(text), text, rule)


def parse_whole(text: str, rule: CellRule) -> int:
    """Take a whole number; 12.0 is one, 12.5 is not."""
    if not NUMBER.fullmatch(text):
        raise Refused(quoted(text), number_hint(text, "a whole number", rule), "bad-number")
    number = Fraction(text)
    if number.denominator != 1:
        raise Refused(quoted(text), f"a whole number, such as {rule.example}", "bad-number")
    return int(_within(number, text, rule))


def parse_date(text: str, rule: CellRule) -> date:
    """Take a date written year-month-day."""
    if match := re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", text):
        year, month, day = (int(part) for part in match.groups())
        made = _make_date(year, month, day)
        if made is not None:
            return made
    raise Refused(quoted(text), _date_hint(text, rule), "bad-date")


def parse_yesno(text: str, _rule: CellRule) -> bool:
    """Take yes or no, also as a spreadsheet's TRUE or FALSE."""
    word = text.casefold()
    if word in ("yes", "y", "true"):
        return True
    if word in ("no", "n", "false"):
        return False
    raise Refused(quoted(text), "yes or no", "bad-choice")


def parse_choice(text: str, rule: CellRule) -> str:
    """Take one of the words that may stand there, in any case."""
    for choice in rule.choices:
        if choice.casefold() == text.casefold():
            return choice
    raise Refused(quoted(text), _choice_hint(text, rule.choices), "bad-choice")


def parse_list(text: str, rule: CellRule) -> tuple[str, ...]:
    """Take words with ``;`` between, each once."""
    words = [parse_text(part, rule) for part in text.split(";") if part.strip()]
    if rule.choices:
        words = [parse_choice(word, rule) for word in words]
    if not words:
        raise Refused(quoted(text), f"words with ; between, such as {rule.example}", "bad-list")
    for word in words:
        if words.count(word) > 1:
            raise Refused(f"{quoted(word)} twice", "each once", "bad-list")
    return tuple(words)


def parse_weekdays(text: str, rule: CellRule) -> frozenset[int]:
    """Take days of the week, 0 for Monday: ``Mon Thu``, ``Mon-Fri``, ``Monday, Thursday`` or ``daily``."""
    plain = text.casefold()
    if " ".join(plain.split()) in ("daily", "every day"):
        return EVERY_DAY
    plain = re.sub(r"\s*(?:-|\u2013|\bto\b)\s*", "-", plain)
    days: set[int] = set()
    for word in re.split(r"[\s,;/&+]+|\band\b", plain):
        if word:
            days |= _weekday_range(word, text, rule)
    if not days:
        raise Refused(quoted(text), f"days of the week, such as {rule.example}", "bad-weekdays")
    return frozenset(days)


def _weekday_range(word: str, text: str, rule: CellRule) -> set[int]:
    ends = [WEEKDAY_WORDS.get(part.rstrip(".")) for part in word.split("-")]
    if len(ends) > 2 or None in ends:
        found = quoted(text) if word == text.casefold() else f"{quoted(word)} in {quoted(text)}"
        raise Refused(found, f"days of the week, such as {rule.example}", "bad-weekdays")
    first, last = ends[0] or 0, ends[-1] or 0
    return {(first + step) % 7 for step in range((last - first) % 7 + 1)}


def _within(number: Fraction, text: str, rule: CellRule) -> Fraction:
    bounds = rule.bounds
    if bounds and not bounds[0] <= number <= bounds[1]:
        low, high = (f"{float(bound):g}" if bound < 10**6 else str(bound) for bound in bounds)
        unit = BOOK_UNITS.get(rule.unit, f" ({as_read(rule.unit)})" if rule.unit else "")
        raise Refused(quoted(text), f"{low} to {high}{unit}{scale_hint(number, rule)}", "out-of-range")
    return number


def _make_date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day) if year in YEARS else None
    except ValueError:
        return None


def _with_a_name(text: str) -> date | None:
    """Return a date whose month stands as a word, such as 1 Mar 2026 or March 1st, 2026; None for others."""
    month = r"(?P<month>[A-Za-z]{3,9})\.?"
    day, year = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?", r"(?P<year>[0-9]{4}|[0-9]{2})"
    for form in (f"{day}[ -]*{month},?[ -]*{year}", f"{month}[ -]*{day},?[ -]+{year}"):
        found = re.fullmatch(rf"(?:[A-Za-z]{{3,9}},? +)?{form}", text)
        names = [name for name in MONTHS if found and name.casefold().startswith(found["month"].casefold())]
        if found and len(names) == 1:
            year_told = int(found["year"])
            since = 2000 if year_told < 100 else 0
            return _make_date(year_told + since, MONTHS.index(names[0]) + 1, int(found["day"]))
    return None


def lost_date_hint(serial: int) -> str | None:
    """Return what is expected of a number that may be a date without its format; None where it is none.

    ``serial`` counts the days from the one a spreadsheet calls 0, 30 December 1899.
    """
    if serial not in SERIALS:
        return None
    meant = date(1899, 12, 30) + timedelta(days=serial)
    return f"{DATE_FORM}; a date that lost its format in a spreadsheet would be {meant.isoformat()}"


def _date_hint(text: str, rule: CellRule) -> str:
    example = f"{DATE_FORM}, such as {rule.example}"
    if text.isascii() and text.isdigit() and len(text) < 8:
        return lost_date_hint(int(text)) or example
    found = dates_meant(text)
    if found:
        return f"{DATE_FORM}: {' or '.join(found)}"
    return f"a day that exists, written year-month-day, such as {rule.example}" if found == [] else example


def dates_meant(text: str) -> list[str] | None:
    """Return the days that text stands for, written year-month-day; none where there is no such day.

    None where it has not the form of a date at all.
    """
    numbers = NUMBERS_OF_DATE.fullmatch(text)
    if not numbers:
        named = _with_a_name(text)
        return [named.isoformat()] if named else None
    first, middle, last = (int(part) for part in numbers.groups())
    if first > 31:
        options = [_make_date(first, middle, last)]
    else:
        year = last + 2000 if last < 100 else last
        options = [_make_date(year, middle, first), _make_date(year, first, middle)]
    return sorted({option.isoformat() for option in options if option})


def _choice_hint(text: str, choices: tuple[str, ...]) -> str:
    near = nearest(text, choices)
    options = listed(choices, "or")
    return f"{options} (did you mean {near}?)" if near else options


PARSERS: dict[CellType, Callable[[str, CellRule], Value]] = {
    CellType.TEXT: parse_text,
    CellType.WHOLE: parse_whole,
    CellType.NUMBER: parse_number,
    CellType.DATE: parse_date,
    CellType.YESNO: parse_yesno,
    CellType.CHOICE: parse_choice,
    CellType.LIST: parse_list,
    CellType.WEEKDAYS: parse_weekdays,
}
