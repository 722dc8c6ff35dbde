"""What was probably meant by text that is no number, or by a number on another scale."""

import re
import unicodedata
from fractions import Fraction

from scheduler.book.schema import CellRule
from scheduler.book.words import LETTERS, MONTHS

NUMBER = re.compile(r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})")
SPAN = re.compile(r"[0-9]{1,2}(?:(?:to|and|[-\u2013,;/&])[0-9]{1,2})+")
"""Several months as numbers, such as 4-9."""

MOST_PERCENT = 300
"""Percentages above this are not taken for a pace."""

MOST_FAHRENHEIT = 130
"""Numbers above this are not taken for degrees Fahrenheit."""


def number_hint(text: str, what: str, rule: CellRule) -> str:
    """Return what is expected instead of ``text``, with the number it most likely stands for."""
    squeezed = re.sub(r"\s", "", text)
    if hint := _of_the_unit(squeezed.casefold(), what, rule) or _commas(squeezed, what):
        return hint
    if NUMBER.fullmatch(squeezed):
        return f"{what} without spaces: {squeezed}"
    if found := re.fullmatch(r"([+-]?[0-9]{1,12}),([0-9]{1,2})[^0-9.,-]{1,4}", squeezed):
        return f"{what} alone, with a decimal point and without a unit: {found[1]}.{found[2]}"
    match = re.match(r"[+-]?[0-9]{1,12}(?:\.[0-9]{1,12})?(?=\s*[^0-9.,_\s])", text)
    if match and not re.fullmatch(r"[0-9.+-]+e[+-]?[0-9]+", squeezed.casefold()):
        return f"{what} alone, without a unit: {match.group()}"
    if unicodedata.category(squeezed[0]) == "Sc" and NUMBER.fullmatch(squeezed[1:]):
        return f"{what} alone, without a sign: {squeezed[1:]}"
    return f"{what}, such as {rule.example}"


def _of_the_unit(text: str, what: str, rule: CellRule) -> str | None:
    """Return the hint for words and forms that only one unit has."""
    months = [name[:LETTERS].casefold() for name in MONTHS]
    if rule.unit == "month" and (len(set(re.findall("|".join(months), text))) > 1 or SPAN.fullmatch(text)):
        return f"the number of one month, such as {rule.example}: each month has a row of its own"
    if rule.unit == "month" and text[:LETTERS] in months:
        return f"the number of the month: {months.index(text[:LETTERS]) + 1}"
    if rule.unit == "hours" and (clock := re.fullmatch(r"([0-9]{1,3}):([0-5][0-9])(?::00)?", text)):
        hours = Fraction(int(clock.group(1)) * 60 + int(clock.group(2)), 60)
        return f"hours as a decimal number: {float(round(hours, 2)):g}"
    if rule.unit == "degrees" and (
        place := re.fullmatch(r"([0-9]+(?:\.[0-9]+)?)(?:\u00b0|deg)?([ns])", text)
    ):
        return f"degrees, south of the equator negative: {'-' * (place.group(2) == 's')}{place.group(1)}"
    if rule.unit == "rank" and rule.bounds:
        return f"{what} from {rule.bounds[0]} to {rule.bounds[1]}, such as {rule.example}"
    return None


def _commas(squeezed: str, what: str) -> str | None:
    if re.fullmatch(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?", squeezed):
        plain = squeezed.replace(",", "")
        if squeezed.count(",") == 1 and "." not in squeezed:
            decimal = squeezed.replace(",", ".")
            return f"{what} without a comma: {plain}, or {decimal} if a decimal point was meant"
        return f"{what} without commas: {plain}"
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", squeezed):
        return f"{what} with a decimal point, not a comma: {squeezed.replace(',', '.')}"
    return None


def scale_hint(number: Fraction, rule: CellRule) -> str:
    """Return what a number out of its bounds means on the scale of its column; empty when unknown."""
    if rule.unit == "pace" and 1 < number <= MOST_PERCENT:
        return f": {float(number / 100):g} for {float(number):g} percent"
    if rule.unit == "percent" and 0 < number < 1:
        return f": {float(number * 100):g} for a share of {float(number):g}"
    if rule.unit == "°C" and rule.bounds and rule.bounds[1] < number <= MOST_FAHRENHEIT:
        return f": {float(round((number - 32) * 5 / 9, 1)):g} for {float(number):g} degrees Fahrenheit"
    return ""
