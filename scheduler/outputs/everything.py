"""Everything a plan folder holds: tables, a copy of the book, and what is printed, shown and sent.

Same book and plan, same bytes. Only the calendars also look at those published last time, so that a phone
moves its entries instead of showing them twice.
"""

import platform
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from scheduler import __version__
from scheduler.book.faults import BookFaults
from scheduler.book.plain_copy import book_digest
from scheduler.farm.farm import Farm
from scheduler.outputs.calendars import CALENDARS, MINUTES_IN_DAY, TASKS, calendar_files
from scheduler.outputs.csv_folder import LARGEST_FILE, note_file, read_note, table_files
from scheduler.outputs.folder import NOTE, check_target, replace_folder
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.rows import Plan

BOOK = "book"
"""Folder of the copy of the book."""

Maker = Callable[[Farm, Plan], bytes | Mapping[str, bytes]]
"""Makes one file, or several by their names."""

Page = Callable[[], AbstractContextManager[object]]
"""What stands around the making of a page."""


class NotAllMade(Exception):  # the word is the message
    """Some files could not be made for a fault of raftway; the others are written.

    Attributes:
        faults: what could not be made -> why.
    """

    def __init__(self, faults: Mapping[str, BaseException]) -> None:
        """Keep the faults."""
        self.faults = dict(faults)
        told = "; ".join(f"{name}: {type(why).__name__}: {why}" for name, why in self.faults.items())
        super().__init__(f"could not make {told}")


class StoppedBetween(KeyboardInterrupt):
    """The plan is written, but Ctrl-C was pressed while its pages were made.

    Attributes:
        left: what was not made.
    """

    def __init__(self, left: Sequence[str]) -> None:
        """Keep what was not made."""
        self.left = tuple(left)
        super().__init__(f"Stopped before {', '.join(self.left)}.")


def versions_now() -> dict[str, str]:
    """Return the versions of raftway, Python and the solver that run now."""
    found = {"raftway": __version__, "python": platform.python_version()}
    try:
        found["ortools"] = version("ortools")
    except PackageNotFoundError:
        found["ortools"] = "not installed"
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """What the files follow besides book and plan; it stands in the note, so that they can be made again.

    Attributes:
        alarm_minutes: minutes after midnight at which phones of the crew ring, None for not at all.
        versions: program -> version that made the plan; those that run now unless given.
    """

    alarm_minutes: int | None = None
    versions: Mapping[str, str] = field(default_factory=versions_now)

    @classmethod
    def of_note(cls, note: Mapping[str, Any]) -> "Edition":
        """Return the edition a note tells of; what it does not tell is as for a new plan."""
        alarm, versions = note.get("alarm_minutes"), note.get("versions")
        return cls(
            alarm_minutes=alarm if alarm in range(MINUTES_IN_DAY) else None,
            versions=versions if isinstance(versions, dict) else versions_now(),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a plan folder is written.

    Attributes:
        since: folder of the plan whose calendars phones have by now; the folder itself unless given.
        page: stands around the making of each page, and may raise KeyboardInterrupt to leave it out.
        in_part: whether a folder is written without pages that were left out by KeyboardInterrupt.
    """

    since: Path | None = None
    page: Page = nullcontext
    in_part: bool = True


def write_plan(
    folder: Path,
    farm: Farm,
    plan: Plan,
    book: Mapping[str, bytes],
    edition: Edition,
    way: Way = Way(),
) -> None:
    """Write a plan folder, whole or not at all.

    A plan takes long to find, so it is not lost for a fault in one of its pages, nor for Ctrl-C while they
    are made: the rest is written then.

    Args:
        folder: a new or empty folder, or an older plan, which is replaced.
        farm: the farm.
        plan: its plan.
        book: the copy of the book.
        edition: what else the files follow.
        way: how it is written.

    Raises:
        FolderRefused: the folder holds something else.
        OSError: the disk did not take it; an older plan is still whole.
        NotAllMade: some files could not be made; calendars are those of the older plan then.
        StoppedBetween: the same, for they were not waited for.
        KeyboardInterrupt: nothing was written, as half a folder is not wanted.
    """
    check_target(folder)
    before = published(way.since or folder, farm)
    files, faults = _made(farm, plan, book, edition, (before, way.page))
    stopped = [name for name, why in faults.items() if isinstance(why, KeyboardInterrupt)]
    if stopped and not way.in_part:
        raise faults[stopped[0]]
    replace_folder(folder, files)
    if stopped:
        raise StoppedBetween(stopped)
    if faults:
        raise NotAllMade(faults)


def published(folder: Path, farm: Farm) -> dict[str, bytes]:
    """Return the calendar files of an older plan of the same farm; links and huge files are left aside."""
    try:
        if read_note(folder).get("farm") != farm.name:
            return {}
    except BookFaults:
        return {}
    paths = [folder / TASKS, *sorted((folder / CALENDARS).glob("*.ics"))]
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in paths
        if path.is_file() and not path.is_symlink() and path.stat().st_size <= LARGEST_FILE
    }


@nothing_collected()
def _made(
    farm: Farm,
    plan: Plan,
    book: Mapping[str, bytes],
    edition: Edition,
    how: tuple[Mapping[str, bytes], Page],
) -> tuple[dict[str, bytes], dict[str, BaseException]]:
    """Return the files that could be made, the note among them, and why others could not.

    ``how`` are the calendars published last time, and what stands around the making of a page.
    """
    before, page = how
    makers: dict[str, Maker] = {
        TASKS: lambda farm, plan: calendar_files(farm, plan, before, edition.alarm_minutes),
        **PAGES,
        **({"boxes": _boxes} if plan.boxes else {}),
    }
    # tables first, so that no page is begun where Ctrl-C is pressed while they are made
    files = table_files(farm.calendar, plan)
    pages, faults = _pages(farm, plan, makers, page)
    files.update({f"{BOOK}/{name}": contents for name, contents in book.items()})
    files.update(pages if TASKS not in faults else {**before, **pages})
    note = {
        "book_sha256": book_digest(book),
        "alarm_minutes": edition.alarm_minutes,
        "versions": dict(edition.versions),
        "written_with": f"raftway {__version__}",
    }
    files[NOTE] = note_file(plan, farm, files, note)
    return files, faults


def _pages(
    farm: Farm, plan: Plan, makers: Mapping[str, Maker], page: Page
) -> tuple[dict[str, bytes], dict[str, BaseException]]:
    """Return the files of each maker, and why others made none; Ctrl-C leaves out all that follow."""
    files: dict[str, bytes] = {}
    faults: dict[str, BaseException] = {}
    stopped: KeyboardInterrupt | None = None
    for name, make in makers.items():
        try:
            if stopped is not None:
                raise stopped
            with page():
                made = make(farm, plan)
            files.update({name: made} if isinstance(made, bytes) else made)
        except KeyboardInterrupt as pressed:
            stopped = faults[name] = pressed
        except Exception as fault:
            faults[name] = fault
    return files, faults


def _report(farm: Farm, plan: Plan) -> Mapping[str, bytes]:
    from scheduler.outputs.report.parted import report_files

    return report_files(farm, plan)


def _workbook(farm: Farm, plan: Plan) -> bytes:
    from scheduler.outputs.workbook import plan_workbook

    return plan_workbook(farm, plan)


def _labels(farm: Farm, plan: Plan) -> bytes:
    from scheduler.outputs.labels.page import default_sheet, labels_html

    return labels_html(farm, plan, default_sheet(farm)).encode()


def _boxes(farm: Farm, plan: Plan) -> dict[str, bytes]:
    from scheduler.outputs.boxes.page import box_files

    return box_files(farm, plan)


PAGES: dict[str, Maker] = {
    "report.html": _report,
    "plan.xlsx": _workbook,
    "labels.html": _labels,
}
"""File name -> what makes it, perhaps with others.

What these need is loaded when it is made, for it takes its time.
"""
