"""Mutations of single cells, and of names that others refer to."""

from random import Random

from fuzz.base_books import Tables
from fuzz.spots import (
    SCHEMA,
    Touch,
    put,
    spots,
    text_of,
    touched,
)

from scheduler.book.schema import CellRule, CellType, Column

# --- cells ----------------------------------------------------------------------------------------

ODD_TEXTS = (
    "", " ", "x", "0", "-1", "1", "2", "1.5", "999", "1000000", "99999999999999", ".5", "5.", "+3", "-0",
    "yes", "no", "TRUE", "Mon", "Mon-Fri", "daily", "all", "2026-03-09", "2026-03-31", "2199-12-31", "=1+1",
    "@home", "'x", "a;b;c", ";", ";;", "a,b", '"', '""', "a\nb", "\u00e9", "e\u0301", "\u202bשלום", "🥬",
    "\ufeff", "\u200b", "\u00a0", "漢字", "\x1b[31m", "\x00", "_x0041_", "#REF!", "None", "nan", "%s", "{0}",
    "<b>", "&amp;", "..", "C:\\x", "Butterhead", "Basil", "Harbour Table", "North trough", "A" * 900,
    "FREQ=DAILY", "FREQ=WEEKLY;BYDAY=MO;COUNT=3", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "FREQ=SECONDLY",
)  # fmt: skip
NO_NUMBERS = (
    "abc",
    "1,5",
    "12 kg",
    "1e5",
    "--3",
    "NaN",
    "inf",
    "٣",
    "1.2.3",
    "0x1F",
    "1_000",
    "½",
    "12:30",
    "1/2",
)
NO_DATES = (
    "2026-02-30", "31.12.2026", "3/9/26", "tomorrow", "46118", "2026-3-2", "1850-01-01", "9999-12-31",
    "2026-03-02T00:00", "2026-00-10", "20260302", "2026-W10", "Mar 2",
)  # fmt: skip
NO_WEEKDAYS = ("Someday", "Mon-Wed-Fri", "8", "Mon Thx", "-", "Mon--Tue")


def any_text(draw: Random, tables: Tables) -> Touch | None:
    """Put any text into any cell."""
    found = spots(tables)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(ODD_TEXTS))
    return touched(spot.table)


def spoil_cell(draw: Random, tables: Tables) -> Touch | None:
    """Put into a cell what it may never hold."""
    found = [spot for spot in spots(tables) if _never(spot.rule)]
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, draw.choice(_never(spot.rule)))
    return touched(spot.table, spot.cell)


def _never(rule: CellRule) -> tuple[str, ...]:
    """Return texts that no cell of a rule may hold; none where any text may stand."""
    if rule.type in (CellType.WHOLE, CellType.NUMBER):
        beyond = () if rule.bounds is None else (f"{int(rule.bounds[1]) + 1}", f"{int(rule.bounds[0]) - 1}")
        return (*NO_NUMBERS, *beyond, *(("1.5",) if rule.type is CellType.WHOLE else ()))
    if rule.type is CellType.DATE:
        return NO_DATES
    if rule.type is CellType.WEEKDAYS:
        return NO_WEEKDAYS
    if rule.type in (CellType.CHOICE, CellType.YESNO) or rule.choices:
        return ("xyzzy", "-", "yes and no", "1;2")
    if isinstance(rule, Column) and rule.refers_to in SCHEMA.tables and rule.type is CellType.TEXT:
        return ("No such thing", "xyzzy")
    return ("A" * 1001,)


def blank_cell(draw: Random, tables: Tables) -> Touch | None:
    """Blank a cell; one that must be filled is spoilt by it, unless its row is blank then."""
    found = spots(tables, filled=True)
    if not found:
        return None
    spot = draw.choice(found)
    put(tables, spot, "")
    row = tables[spot.table][spot.row]
    certain = spot.rule.required and not spot.rule.default and any(row) and spot.table != "settings"
    return touched(spot.table, spot.cell if certain else None)


def other_choice(draw: Random, tables: Tables) -> Touch | None:
    """Choose another of the words that may stand in a cell."""
    found = [spot for spot in spots(tables, CellType.CHOICE, CellType.YESNO, CellType.WEEKDAYS)]
    if not found:
        return None
    spot = draw.choice(found)
    if spot.rule.type is CellType.WEEKDAYS:
        text = draw.choice(("Mon", "Tue Fri", "daily", "Mon-Sat", "Sun", "Wednesday, Thursday", "fri to mon"))
    else:
        text = draw.choice(spot.rule.choices or ("yes", "no", "TRUE", "False"))
    put(tables, spot, draw.choice((text, text.upper(), f" {text} ")))
    return touched(spot.table)


# --- names ----------------------------------------------------------------------------------------


def rename_key(draw: Random, tables: Tables) -> Touch | None:
    """Rename what others may refer to, in its own table alone."""
    found = [spot for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule) == "key"]
    if not found:
        return None
    spot = draw.choice(found)
    old = text_of(tables, spot)
    put(
        tables,
        spot,
        draw.choice((old + "x", old.upper(), old.lower(), f"{old}  1", old[:1], old.replace(" ", "-"))),
    )
    return touched(spot.table)


def rename_everywhere(draw: Random, tables: Tables) -> Touch | None:
    """Give a thing another name wherever it stands: long, of other letters, or like a formula."""
    found = [spot for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule) == "key"]
    if not found:
        return None
    old = text_of(tables, draw.choice(found))
    new = draw.choice(
        ("Zoë's 漢字 🥬", "=SUM(A1)", "n" * 200, "a/b\\c:d", "<i>x</i> & y", "-5", "[red]x[/red]", "%d {}")
    )
    hit = set()
    for spot in spots(tables, CellType.TEXT, CellType.LIST, filled=True):
        parts = [part.strip() for part in text_of(tables, spot).split(";")]
        if old in parts:
            put(tables, spot, ";".join(new if part == old else part for part in parts))
            hit.add(spot.table)
    return Touch(tables=frozenset(hit))


def other_name(draw: Random, tables: Tables) -> Touch | None:
    """Refer to another thing of the book, of the right kind or not."""
    found = [
        spot for spot in spots(tables, CellType.TEXT, CellType.LIST) if _refers(spot.rule) not in ("", "key")
    ]
    names = [
        text_of(tables, spot) for spot in spots(tables, CellType.TEXT, filled=True) if _refers(spot.rule)
    ]
    if not found or not names:
        return None
    spot = draw.choice(found)
    fits = [
        tables[spot.table][row][spot.column]
        for row in range(1, len(tables[spot.table]))
        if spot.column < len(tables[spot.table][row])
    ]
    put(tables, spot, draw.choice((draw.choice(names), draw.choice(fits), draw.choice(fits).swapcase())))
    return touched(spot.table)


def _refers(rule: CellRule) -> str:
    return rule.refers_to if isinstance(rule, Column) else ""
