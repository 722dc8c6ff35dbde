"""Makes the parts of README.md that must not drift: tables of the schema, and what commands print.

``python tests/docs/render.py`` writes them into README.md again; the tests only compare.
"""

import csv
import io
import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path

from rich.console import Console

from scheduler.book.book import read_book
from scheduler.book.schema import CellRule, CellType, Column, load_schema
from scheduler.book.words import as_read
from scheduler.cli.plan_command import written
from scheduler.farm.build import build_farm
from scheduler.outputs.csv_folder import read_plan
from scheduler.outputs.summary import print_summary
from scheduler.plan.columns import columns as plan_columns
from scheduler.reference import shared_folder
from scheduler.scenario.kinds import load_kinds

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
EXAMPLE = ROOT / "examples" / "alder-quay"
PLAN = EXAMPLE / "plan"

MARKED = re.compile(r"(<!-- made: (?P<name>[a-z ]+) -->\n).*?(<!-- end -->)", re.DOTALL)
SESSION = re.compile(r"```console\n(?P<text>.*?)```", re.DOTALL)
FILE = re.compile(r"^`(?P<name>[a-z_]+\.csv)`\n\n```csv\n(?P<text>.*?)```", re.DOTALL | re.MULTILINE)
WORKED_BOOK = "my-farm"
"""The folder that the README's own CSV blocks are written into before its commands run."""

TYPES = {
    CellType.TEXT: "text",
    CellType.WHOLE: "whole number",
    CellType.NUMBER: "number",
    CellType.DATE: "date",
    CellType.YESNO: "yes or no",
    CellType.CHOICE: "one of",
    CellType.LIST: "words with ; between",
    CellType.WEEKDAYS: "days of the week",
}
NAMES = {
    "key": "a name of its own",
    "crop_cards": "name of a card",
    "place": "name of a place",
    "lane": "names of troughs or rows, ; between",
}
PLAN_TYPES = {
    "text": "text",
    "whole": "whole number",
    "number": "number",
    "date": "date",
    "yesno": "yes or no",
    "money": "money, two decimals",
    "minutes": "minutes, two decimals",
    "area": "square metres, two decimals",
}


def rendered(text: str) -> str:
    """Return a README with every made table and every terminal session as it is now."""
    text = MARKED.sub(_made, text)
    with tempfile.TemporaryDirectory() as folder:
        _stage(text, Path(folder))
        return SESSION.sub(lambda found: _session(found.group("text"), Path(folder)), text)


def _made(found: re.Match[str]) -> str:
    name = found.group("name")
    if name == "plan summary" and not PLAN.is_dir():
        return found.group()  # the example has not been planned yet: what stands there stays
    return found.group(1) + MADE[name]() + found.group(3)


def worked_book(text: str) -> dict[str, str]:
    """Return file name -> contents of the book that the README writes step by step."""
    return {found.group("name"): found.group("text") for found in FILE.finditer(text)}


def _stage(text: str, folder: Path) -> None:
    """Make a folder in which the README's commands find the examples and the worked book."""
    (folder / "examples").symlink_to(ROOT / "examples", target_is_directory=True)
    book = folder / WORKED_BOOK
    book.mkdir()
    for name, contents in worked_book(text).items():
        (book / name).write_text(contents, encoding="utf-8")


def _session(text: str, folder: Path) -> str:
    commands = [line.removeprefix("$ ") for line in text.splitlines() if line.startswith("$ ")]
    shown = "".join(f"$ {command}\n{output_of(command, folder)}" for command in commands)
    return f"```console\n{shown}```"


def output_of(command: str, folder: Path) -> str:
    """Return what a ``raftway`` command prints, run in a folder on a screen of 80 columns."""
    name, *arguments = shlex.split(command)
    if name != "raftway":
        raise ValueError(f"the README runs {name}, which is not raftway")
    done = subprocess.run(
        [sys.executable, "-c", "from scheduler.cli.main import main; main()", *arguments],
        cwd=folder,
        env={**os.environ, "COLUMNS": "80", "NO_COLOR": "1", "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    return "".join(f"{line.rstrip()}\n" for line in done.stdout.splitlines())


def book_tables() -> str:
    """Return every table of a book but the settings, column by column."""
    parts = []
    for table in load_schema().tables.values():
        needed = "must be there" if table.required else "may be left out"
        heading = f"#### `{table.name}`: {table.title}\n\n{table.description}.\nThis table {needed}.\n\n"
        if table.name == "settings":
            heading += "Its columns are `setting` and `value`; "
            heading += "the settings have [a list of their own](#every-setting).\n\n"
            parts.append(heading)
            continue
        parts.append(heading + _cell_table("column", table.columns) + "\n")
    return "\n" + "".join(parts)


def list_of_book_tables() -> str:
    """Return what each table of a book holds, in a line that leads to its columns."""
    tables = load_schema().tables.values()
    return _list_of((table.name, table.title, table.description) for table in tables)


def list_of_plan_tables() -> str:
    """Return what each table of a plan holds, in a line that leads to its columns."""
    rows = _plan_titles().values()
    return _list_of((f"tables/{row['table']}.csv", row["title"], row["description"]) for row in rows)


def _list_of(tables: Iterable[tuple[str, str, str]]) -> str:
    lines = ["| table | holds |", "| --- | --- |"]
    for name, title, description in tables:
        lines.append(f"| [`{name}`](#{anchor_of(f'`{name}`: {title}')}) | {_escaped(description)} |")
    return "\n" + "\n".join(lines) + "\n\n"


def anchor_of(heading: str) -> str:
    """Return the name under which a page made of Markdown is entered at a heading."""
    return re.sub(r"[^a-z0-9_ -]", "", heading.lower()).replace(" ", "-")


def settings() -> str:
    """Return every setting."""
    return "\n" + _cell_table("setting", load_schema().settings.values()) + "\n"


def _cell_table(first: str, rules: Iterable[CellRule]) -> str:
    lines = [f"| {first} | holds | blank | meaning | example |", "| --- | --- | --- | --- | --- |"]
    for rule in rules:
        blank = "not allowed" if rule.required else f"means {rule.default}" if rule.default else "allowed"
        cells = (f"`{rule.name}`", _holds(rule), blank, rule.description, f"`{rule.example}`")
        lines.append(f"| {' | '.join(_escaped(cell) for cell in cells)} |")
    return "\n".join(lines) + "\n"


def _holds(rule: CellRule) -> str:
    refers = rule.refers_to if isinstance(rule, Column) else ""
    if refers:
        return NAMES.get(refers, f"a name from `{refers}`")
    said = TYPES[rule.type]
    if rule.choices:
        listed = ", ".join(f"`{choice}`" for choice in rule.choices)
        return f"{said} {listed}" if rule.type is CellType.CHOICE else f"{said}, of {listed}"
    if rule.allowed:
        said += " " + rule.allowed.replace("..", " to ")
    return f"{said} ({as_read(rule.unit)})" if rule.unit else said


def plan_tables() -> str:
    """Return every table of a plan, column by column."""
    parts, titles = [], _plan_titles()
    for table, columns in plan_columns().items():
        lines = ["| column | holds | blank | meaning |", "| --- | --- | --- | --- |"]
        for column in columns:
            blank = "possible" if column.blank else "never"
            holds = PLAN_TYPES[column.type]
            if column.unit and column.type in ("whole", "number"):
                holds += f" ({as_read(column.unit)})"
            lines.append(f"| `{column.column}` | {holds} | {blank} | {_escaped(column.description)} |")
        title = titles[table]
        head = f"#### `tables/{table}.csv`: {title['title']}\n\n{title['description']}.\n\n"
        parts.append(head + "\n".join(lines) + "\n\n")
    return "\n" + "".join(parts)


def _plan_titles() -> dict[str, dict[str, str]]:
    """Return table -> its row of the list of plan tables."""
    with (shared_folder() / "schema" / "plan_tables.csv").open(newline="", encoding="utf-8") as file:
        return {row["table"]: row for row in csv.DictReader(file)}


def kinds_of_change() -> str:
    """Return every kind of change a scenario may hold, with its keys."""
    lines = ["| change | from a day on | what it does | keys |", "| --- | --- | --- | --- |"]
    # the first are the keys of the file itself
    for kind in list(load_kinds().values())[1:]:
        keys = [f"`{rule.name}`" for rule in kind.keys.values() if rule.name not in ("from", "cost")]
        table = kind.columns_of
        if table:
            keys.append("any column of the table" if table == "*" else f"any column of `{table}`")
        cells = (f"`{kind.name}`", "yes" if kind.dated else "no", kind.description, ", ".join(keys))
        lines.append(f"| {' | '.join(_escaped(cell) for cell in cells)} |")
    return "\n" + "\n".join(lines) + "\n\n"


def _escaped(text: str) -> str:
    return text.replace("|", "\\|")


def plan_summary() -> str:
    """Return what ``raftway plan`` printed for the plan that lies beside the first example."""
    made = json.loads((PLAN / "plan.json").read_text(encoding="utf-8"))["made"]
    farm = build_farm(read_book(EXAMPLE / "book"), today=date.fromisoformat(made["today"]))
    screen = Console(file=io.StringIO(), width=80, color_system=None)
    with screen.capture() as shown:
        found = read_plan(PLAN, farm.calendar)
        print_summary(screen, farm, found)
    command = f"raftway plan examples/{EXAMPLE.name}/book --out plan --seconds {made['seconds']:g}"
    options = "".join(
        f" --{name} {made[name]}"
        for name, usual in (("workers", 2), ("seed", 1))
        if made[name] != usual and not made["deterministic"]
    )
    options += " --deterministic" if made["deterministic"] else ""
    lines = [
        f"$ {command}{options}",
        *shown.get().splitlines(),
        *written(Path("plan"), farm, found),
    ]
    return "\n```text\n" + "".join(f"{line.rstrip()}\n" for line in lines) + "```\n\n"


THROWN = ROOT / "tests" / "fuzz" / "results.csv"


def thrown() -> str:
    """Return what the long tests threw at raftway when that was last kept, lines of one name added up."""
    sums: dict[str, tuple[int, int, str]] = {}
    with THROWN.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            number, also, on = sums.get(row["thrown"], (0, 0, ""))
            sums[row["thrown"]] = (number + int(row["number"]), also + int(row["also"]), max(on, row["on"]))
    lines = ["| thrown at it | number | of these | on |", "| --- | --- | --- | --- |"]
    for name, (number, also, on) in sums.items():
        what, _, of = name.partition(", of which so many ")
        told = f"{also:,} {of}" if of else ""
        lines.append(f"| {what} | {number:,} | {told} | {on} |")
    return "\n" + "\n".join(lines) + "\n\n"


MADE: dict[str, Callable[[], str]] = {
    "book tables": book_tables,
    "list of book tables": list_of_book_tables,
    "list of plan tables": list_of_plan_tables,
    "settings": settings,
    "plan tables": plan_tables,
    "plan summary": plan_summary,
    "kinds of change": kinds_of_change,
    "thrown": thrown,
}


if __name__ == "__main__":
    README.write_text(rendered(README.read_text(encoding="utf-8")), encoding="utf-8")
