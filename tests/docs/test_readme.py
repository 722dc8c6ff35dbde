"""README.md is true: tables, commands, sessions, the worked book and its figures are those of the code."""

import csv
import re
import runpy
import shlex
from collections import Counter
from fractions import Fraction
from importlib import import_module
from pathlib import Path

import pytest

from crops.library import cards
from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.book.schema import load_schema
from scheduler.cli import exits
from scheduler.cli.main import COMMANDS
from scheduler.farm.build import build_farm
from scheduler.farm.from_book.crops import seed_share
from scheduler.farm.places import trough_shape
from scheduler.farm.units import WHOLE_SHARE, needed_for, share_down

ROOT = Path(__file__).resolve().parents[2]
RENDER = runpy.run_path(str(Path(__file__).with_name("render.py")))
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
PROSE = re.sub(r"```.*?```", "", TEXT, flags=re.DOTALL)
MARKED = {found.group("name"): found.group() for found in RENDER["MARKED"].finditer(TEXT)}
SESSIONS = [found.group() for found in RENDER["SESSION"].finditer(TEXT)]
REFRESH = "python tests/docs/render.py writes it again"


@pytest.fixture(scope="module")
def rendered():
    """The README with every table and session made anew."""
    return RENDER["rendered"](TEXT)


@pytest.fixture
def worked(tmp_path):
    """The book that the README writes step by step, as a folder."""
    for name, contents in RENDER["worked_book"](TEXT).items():
        (tmp_path / name).write_text(contents, encoding="utf-8")
    return tmp_path


def test_every_made_table_and_session_is_as_it_would_be_made_now(rendered):
    assert set(MARKED) == set(RENDER["MADE"])
    assert len(SESSIONS) >= 4
    assert rendered == TEXT, REFRESH


def test_a_stale_table_is_noticed(rendered):
    stale = TEXT.replace("| `weeks` |", "| `fortnights` |", 1)
    assert stale != TEXT
    assert RENDER["rendered"](stale) == rendered


def command_lines():
    """Return every raftway command of the README, in sessions, blocks and running text."""
    blocks = re.findall(r"```(?:console|text)\n(.*?)```", TEXT, flags=re.DOTALL)
    lines = [line.removeprefix("$ ") for block in blocks for line in block.splitlines()]
    lines += re.findall(r"`(raftway [^`]+)`", PROSE)
    return sorted({line for line in lines if line.startswith("raftway ")})


@pytest.mark.parametrize("line", command_lines())
def test_a_command_and_its_options_exist(line):
    _, name, *arguments = shlex.split(line)
    assert name in COMMANDS
    command = getattr(import_module(f"scheduler.cli.{name}_command"), name)
    known = {option for parameter in command.params for option in parameter.opts} | {"--help"}
    assert {each for each in arguments if each.startswith("--")} <= known


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_its_row_with_an_example(name):
    assert re.search(rf"^\| `{name}` \| .+ \| `raftway {name}[^`]*` \|$", TEXT, flags=re.MULTILINE)


def test_every_exit_code_is_told_and_no_other():
    section = TEXT.split("### Exit codes")[1].split("\n## ")[0]
    told = {int(code) for code in re.findall(r"^\| (\d+) \|", section, flags=re.MULTILINE)}
    assert told == {value for name, value in vars(exits).items() if isinstance(value, int)}


def test_what_the_table_of_places_in_a_book_names_is_there():
    rows = TEXT.split("### Where it goes in your book")[1].split("\n#")[0]
    schema = load_schema()
    known = {"boards", "pause"} | {table.name for table in schema.tables.values()}
    known |= {column.name for table in schema.tables.values() for column in table.columns}
    named = re.findall(r"`([a-z_]+)`", rows)
    assert len(named) > 20
    assert [name for name in named if name not in known | set(schema.settings)] == []


def test_the_worked_book_is_sound_and_its_orders_can_be_reached(worked):
    farm = build_farm(read_book(worked))
    assert farm.name == "Tansy Reach"
    assert [place.name for place in farm.places if place.belongs_to == "Long trough"] == [
        "Long trough boards",
        "Long trough 1",
        "Long trough 2",
    ]
    assert "Shelf A 2" in [place.name for place in farm.places]


def test_the_fault_that_is_shown_is_the_one_that_is_told(worked):
    orders = worked / "orders.csv"
    orders.write_text(orders.read_text().replace("2026-06-02", "02/06/2026", 1))
    with pytest.raises(BookFaults) as told:
        read_book(worked)
    assert f"```text\n{told.value.faults[0]}\n```" in TEXT


@pytest.mark.parametrize(
    ("width", "length", "raft", "along", "rows", "slots"),
    [(2500, 12000, (600, 1200), False, 2, 20), (4, 40, (2, 4), True, 2, 10)],
)
def test_the_troughs_of_the_text_have_the_rows_and_slots_it_says(width, length, raft, along, rows, slots):
    shape = trough_shape(width, length, raft, along=along)
    assert (shape.rows, shape.slots) == (rows, slots)
    assert f"{rows} rows of {slots} slots" in PROSE


def test_the_worked_losses_are_those_of_the_arithmetic():
    counted_on = seed_share(Fraction(95), 1, Fraction(90)) * WHOLE_SHARE // (WHOLE_SHARE + 1000)
    heads = 9700 * 9800 // WHOLE_SHARE
    for step, count in (
        ("share of cells to count on", f"{counted_on / 100:g} percent"),
        ("cells to sow for a board of 72", needed_for(72, counted_on)),
        ("seedlings counted on from a tray of 98 cells", share_down(98, counted_on)),
        ("plants that leave a board of 72", share_down(72, 9700)),
        ("heads sold of 69 plants on rafts", share_down(69, heads)),
    ):
        assert re.search(rf"^\| {step}[^|]*\| {re.escape(str(count))} \|$", TEXT, flags=re.MULTILINE), step


def test_the_crop_library_is_as_large_as_it_says_and_its_marks_are_counted_right():
    marks = Counter(figure.evidence for card in cards() for figure in card.figures.values())
    assert f"{len(cards())} crops with {sum(marks.values()):,} figures" in PROSE
    told = dict(re.findall(r"^\| ([A-Z][A-Z0-9 -]+) \| .+ \| ([0-9,]+) \|$", PROSE, flags=re.MULTILINE))
    assert {mark: told.get(mark) for mark in marks} == {mark: f"{count}" for mark, count in marks.items()}


def test_links_within_the_project_lead_somewhere():
    headings = {
        RENDER["anchor_of"](heading) for heading in re.findall(r"^#+ (.+)$", PROSE, flags=re.MULTILINE)
    }
    links = re.findall(r"\]\(([^)]+)\)", PROSE)
    assert links
    for link in links:
        assert link[1:] in headings if link.startswith("#") else (ROOT / link).is_file(), link


def test_its_contents_lead_to_every_section_once():
    contents = TEXT.split("On this page")[1].split("\n# ")[0]
    links = re.findall(r"\]\(#([^)]+)\)", contents)
    sections = re.findall(r"^##? (.+)$", PROSE, flags=re.MULTILINE)[1:]
    assert len(links) == len(set(links))
    assert sorted({RENDER["anchor_of"](section) for section in sections} - set(links)) == []


def test_the_sources_it_names_are_in_the_lists_of_sources():
    listed = ""
    for path in ("crops/sources.csv", "shared/reference/sources.csv"):
        with (ROOT / path).open(encoding="utf-8", newline="") as file:
            listed += " ".join(
                row["authors"] + row["title"] + row["publisher"] for row in csv.DictReader(file)
            )
    section = TEXT.split("## Sources")[1].split("\n## ")[0]
    entries = re.findall(r"^- (\w+)", section, flags=re.MULTILINE)
    assert len(entries) >= 5
    assert [name for name in entries if name not in listed] == []


def test_the_notebook_lines_run_as_they_stand(monkeypatch):
    monkeypatch.chdir(ROOT)
    (block,) = re.findall(r"```python\n(.*?)```", TEXT, flags=re.DOTALL)
    names: dict[str, object] = {}
    exec(block, names)
    assert list(names["orders"]["order"])[0] == "HT-1"
    assert set(names["deliveries"]["state"]) <= {"filled", "short", "too early", "out of reach"}
