"""The largest farm raftway is meant for: 400 rows, 40 crops, 200 customers, 104 weeks; what its outputs cost.

big.py book FOLDER       write its book; plan it with raftway plan FOLDER --out PLAN --seconds 300
big.py first BOOK        its first plan step by step: processor seconds, memory so far, rows and faults
big.py outputs PLAN      make every output of the plan once more: processor seconds, memory and bytes of each
big.py opened PLAN       open them with Chromium, LibreOffice and icalendar, print, and tell the same
big.py asked BOOK PLAN   ask what a crew asks every day: processor seconds and memory of each
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TypeVar

from trials.books import book_at, write_tables
from trials.families import FAMILIES, Case, resized
from watched import watched

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.model.answers.solution import decided
from scheduler.model.build import build
from scheduler.model.first.by_date import by_date
from scheduler.model.first.line_up import line_up
from scheduler.model.first.start import idle
from scheduler.model.goals import blend
from scheduler.model.options.frame import season
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import MOST_SOURCES
from scheduler.model.solver.engine import Engine
from scheduler.outputs.calendars import calendar_files
from scheduler.outputs.csv_folder import table_files
from scheduler.outputs.drawings.trough import troughs
from scheduler.outputs.everything import PAGES
from scheduler.outputs.saved import open_plan
from scheduler.plan.audit import audit
from scheduler.plan.layout import lay_out

CASE = Case(family=resized(FAMILIES["huge"], 104, None, None), load=85, orders="steady", seed=1)
SCALE = 980.0
"""Scale of the amounts at which the farm is loaded by 85 % of its steady week."""

WHO = "Heron Copper Sedge Weir Plover Osier Trivet Marsh Teal Alder Spoon Reed Lapwing Quarry Lantern Mill"
WHO += " Otter Fern Cobble Harbour"
WHERE = "Table Ladle Kitchen House Canteen Market School Box Hall Corner"
CUSTOMERS = [f"{who} {where}" for who in WHO.split() for where in WHERE.split()]

MEGA = 1_000_000

COMMAND = "from scheduler.cli.main import main; main()"
"""The command line of this checkout, for Python."""

ROWS = ("lots", "units", "contents", "positions", "cuts", "fills", "demands", "tasks", "chains", "use")
"""Tables of a plan whose rows are counted."""

Made = TypeVar("Made")


def main(arguments: list[str]) -> None:
    """Do what the command line asks for."""
    match arguments:
        case ["book", folder]:
            _say(str(write_tables(book_at(CASE, SCALE, CUSTOMERS), Path(folder))))
        case ["first", book]:
            _first(Path(book))
        case ["outputs", plan]:
            _outputs(Path(plan))
        case ["opened", plan]:
            _opened(Path(plan))
        case ["asked", book, plan]:
            _asked(Path(book), Path(plan))
        case _:
            _say(str(__doc__))


def _first(path: Path) -> None:
    """Go the way to a first plan, one step after the other, and tell what each takes."""
    farm = _step("reading book and farm", lambda: build_farm(read_book(path)))
    engine = Engine(SolveSettings(seconds=86_400, workers=1))
    frame = replace(season(farm), sources=MOST_SOURCES)
    line = _step("lining up", lambda: line_up(frame, engine.check))
    if line is None:
        raise SystemExit("the rows of this farm are not lined up")
    built = _step("writing the model", lambda: build(frame, line.bundles, line.homes, engine.check))
    _step("its goal", lambda: built.model.minimize(blend(built.chosen)))
    parts = _step("reading it back", lambda: Parts(built.model, engine.check))
    empty = idle(engine, built, parts, 60)
    if empty is None:
        raise SystemExit("no answer that sows nothing")
    best = _step("scoring", lambda: Incumbent(built, parts, empty))
    best.take(_step("delivery by delivery", lambda: by_date(engine, best)))
    plan = _step("rows of the plan", lambda: lay_out(farm, decided(built.chosen, best.values), (), {}))
    faults = _step("audit", lambda: audit(farm, plan))
    proto = built.model.proto
    _say(f"{len(proto.variables):,} variables, {len(proto.constraints):,} constraints, {len(faults)} faults")
    _say(f"units short: firm {best.units_short(1):,}, flexible {best.units_short(2):,}")
    _say(", ".join(f"{len(getattr(plan, name)):,} {name}" for name in ROWS))


def _step(name: str, make: Callable[[], Made]) -> Made:
    began = resource.getrusage(resource.RUSAGE_SELF)
    made = make()
    ended = resource.getrusage(resource.RUSAGE_SELF)
    seconds = ended.ru_utime + ended.ru_stime - began.ru_utime - began.ru_stime
    _say(f"{name:<22} {seconds:8.1f} s  {ended.ru_maxrss / 1024:7,.0f} MiB")
    return made


def _outputs(folder: Path) -> None:
    began = resource.getrusage(resource.RUSAGE_SELF)
    farm, plan = open_plan(folder)
    ended = resource.getrusage(resource.RUSAGE_SELF)
    seconds = ended.ru_utime + ended.ru_stime - began.ru_utime - began.ru_stime
    _say(f"{'reading the folder':<22} {seconds:8.1f} s  {ended.ru_maxrss / 1024:7,.0f} MiB")
    makers: dict[str, Callable[[], Mapping[str, bytes]]] = {
        "tables": lambda: table_files(farm.calendar, plan),
        "calendars": lambda: calendar_files(farm, plan, {}),
    }
    for name, make in PAGES.items():

        def made(
            name: str = name, make: Callable[..., bytes | Mapping[str, bytes]] = make
        ) -> Mapping[str, bytes]:
            found = make(farm, plan)
            return {name: found} if isinstance(found, bytes) else found

        makers[name] = made
    for name, make in makers.items():
        _say(f"{name:<22} {_measured(make)}")


def _measured(make: Callable[[], Mapping[str, bytes]]) -> str:
    """Make files in a process of its own, which begins with the plan read, and tell what that took."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        began = resource.getrusage(resource.RUSAGE_SELF)
        files = make()
        ended = resource.getrusage(resource.RUSAGE_SELF)
        sizes = [len(each) for each in files.values()]
        seconds = ended.ru_utime + ended.ru_stime - began.ru_utime - began.ru_stime
        told = f"{seconds:8.1f} s  {ended.ru_maxrss / 1024:7,.0f} MiB"
        if sizes:
            told += f"  {len(sizes):5,} files  {sum(sizes) / MEGA:8.1f} MB"
            told += f", the largest {max(sizes) / MEGA:.1f} MB"
        os.write(writing, told.encode())
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as said:
        told = said.read()
    os.waitpid(child, 0)
    return told or "failed"


def _opened(folder: Path) -> None:
    """Open the pages that are largest of their kind, the workbook and the calendar of all work."""
    first = [largest[0] for largest in (_by_size(folder, "week-*"), _by_size(folder, "lots-*")) if largest]
    pages = [folder / "report.html", *first, *folder.glob("report/back.html"), folder / "labels.html"]
    with tempfile.TemporaryDirectory() as made:
        browser = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={made}/own"]
        for page in pages:
            pdf = Path(made) / f"{page.stem}.pdf"
            shown = [f"--screenshot={made}/{page.stem}.png", "--window-size=1280,2000"]
            address = page.absolute().as_uri()
            _run(f"{page.name} shown", [*browser, *shown, address])
            _run(f"{page.name} printed", [*browser, f"--print-to-pdf={pdf}", address], partial(_pages, pdf))
        shutil.copy(folder / "plan.xlsx", made)
        words = ["--headless", "--convert-to", "ods", "--outdir", made, f"{made}/plan.xlsx"]
        ods = Path(made) / "plan.ods"
        _run(
            "plan.xlsx opened",
            ["soffice", f"-env:UserInstallation=file://{made}/office", *words],
            lambda: "saved again" if ods.exists() else "not opened",
        )
    reader = (
        "import icalendar, sys\n"
        "read = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())\n"
        "print(len(read.events), 'events')"
    )
    _run("tasks.ics read", [sys.executable, "-c", reader, str(folder / "tasks.ics")])


def _by_size(folder: Path, name: str) -> list[Path]:
    return sorted(folder.glob(f"report/{name}.html"), key=lambda path: path.stat().st_size, reverse=True)


def _asked(book: Path, folder: Path) -> None:
    """Ask what a crew asks on a day in the middle of the plan, in a process for each question."""
    farm, plan = open_plan(folder)
    lot = plan.lots[len(plan.lots) // 2]
    day = farm.date_of(farm.calendar.days // 2).isoformat()
    place = troughs(farm)[0]
    customer = plan.demands[0].customer
    del plan
    questions = (
        ("week",),
        ("today",),
        ("lot", lot.lot),
        ("crop", lot.crop),
        ("customer", customer),
        ("short",),
        ("money",),
    )
    here = str(folder)
    with tempfile.TemporaryDirectory() as made:
        for words in (
            *(["show", here, *question, "--today", day] for question in questions),
            ["status", str(book), "--plan", here, "--today", day, "--records", f"{made}/none"],
            ["labels", here, "--from", day, "--out", f"{made}/labels.html"],
            ["draw", here, "trough", place, "--day", day, "--out", f"{made}/trough.svg"],
            ["draw", here, "flow", place, "--out", f"{made}/flow.svg"],
            ["audit", str(book), here],
        ):
            name = " ".join(word for word in words[:3] if word not in (here, str(book)))
            _run(name, [sys.executable, "-c", COMMAND, *words], lambda: "")


def _run(name: str, words: list[str], told: Callable[[], str] | None = None) -> None:
    used = watched(words)
    said = used.said.strip().splitlines()[-1:] if told is None else [told()]
    if used.code:
        said = [f"ended with {used.code}", *used.said.strip().splitlines()[-1:]]
    _say(f"{name:<22} {used.seconds:8.1f} s  {used.mib:7,.0f} MiB  {' '.join(said)}")


def _pages(pdf: Path) -> str:
    if not pdf.exists():
        return "not printed"
    told = subprocess.run(["pdfinfo", str(pdf)], capture_output=True, text=True, check=False).stdout
    number = next((line.split()[-1] for line in told.splitlines() if line.startswith("Pages:")), "?")
    return f"{number} pages, {pdf.stat().st_size / MEGA:.1f} MB"


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])
