"""What ``raftway record`` is told: by options, and by the sheets, lines and tasks it is pointed at."""

import sys
import uuid
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.correcting import in_place_of
from scheduler.cli.opening import check_same_farm
from scheduler.cli.record_options import NAMES, given_by
from scheduler.cli.records_opening import log_of, today
from scheduler.cli.telling import as_wrong_use, near
from scheduler.cli.values import day_told
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.book.faults import FaultLog
    from scheduler.farm.farm import Farm
    from scheduler.records.drafts import Told
    from scheduler.records.tasks import Done, Tasks


def told_of(
    farm: "Farm", where: tuple[Path, str | None], asked: tuple[str, str], said: Mapping[str, Any]
) -> "tuple[list[Told], str]":
    """Return the entries that are told, and what they are called in the records."""
    from scheduler.book.faults import FaultLog
    from scheduler.book.place import Cell
    from scheduler.records.drafts import Told
    from scheduler.records.lines import told_in_lines
    from scheduler.records.sheets import told_in_sheet

    (word, name), log = asked, FaultLog()
    if word == "sheet":
        path = _existing(name)
        told, source = told_in_sheet(path, tasks_of(farm, said), log), path.name
    elif word == "lines":
        if name == "-" and sys.stdin is None:  # as where whoever began the command has closed it
            raise click.UsageError("nothing can be read from -, for it is closed; name a file of entries")
        data = sys.stdin.buffer.read() if name == "-" else _existing(name).read_bytes()
        source = "lines" if name == "-" else Path(name).name
        told = told_in_lines(data, source, tasks_of(farm, said) if said["plan"] else None, log)
    elif word == "planned":
        told, source = _as_planned(farm, where, name, said), f"planned {name}"
    elif word == "done":
        told, source = _task_done(farm, where, (name, log), said), f"done {name}"
    else:
        hints = None
        if word in ("correct", "withdraw"):
            given, hints = in_place_of(farm, where, (word, name), said, today())
        else:
            given = given_by(said) | {"when": said["when"] or today(), "what": word}
        cells = {field: Cell("--" + field.replace("_", "-")) for field in (*NAMES, *given)}
        cells |= {"when": Cell("--on"), "corrects": Cell(word)}
        op = said["op"] or f"entry {uuid.uuid4().hex}"
        told = [Told(op=op, given=given, where=Cell(word), cells=cells, hints=hints)]
        source = f"record {word}"
    log.raise_if_any()
    return told, source


def _task_done(
    farm: "Farm", where: tuple[Path, str | None], asked: "tuple[str, FaultLog]", said: Mapping[str, Any]
) -> "list[Told]":
    from scheduler.book.place import Cell
    from scheduler.records.misspelt import task_meant
    from scheduler.records.turns import out_of_turn

    (key, log), tasks = asked, tasks_of(farm, said)
    if key not in tasks.by_key:
        expected = f"a task of the plan: {task_meant(key, tasks.by_key)}"
        log.add(Cell("done"), f"'{key}'", expected, "no-task")
        return []
    told = list(tasks.told(done_of(key, said)))
    if not told:
        click.echo(f"Of '{key}' nothing is recorded: it leaves no trace in what stands where.")
    for line in out_of_turn(tasks, key, {each.entry.op for each in log_of(*where, farm, begun=False)}):
        click.echo(plain(line), err=True)
    return told


def done_of(key: str, said: Mapping[str, Any]) -> "Done":
    """Return a task that is told by itself, with the options over it."""
    from scheduler.book.place import Cell
    from scheduler.records.tasks import Done

    return Done(
        key=key,
        when=said["when"],
        counted=said["counted"],
        who=said["who"] or "",
        seed_lot=said["seed_lot"] or "",
        note=said["note"] or "",
        where=Cell(f"done {key}"),
        cells={"counted": Cell("--counted"), "when": Cell("--on"), "seed_lot": Cell("--seed-lot")},
    )


def _as_planned(
    farm: "Farm", where: tuple[Path, str | None], name: str, said: Mapping[str, Any]
) -> "list[Told]":
    """Return the tasks through a day of which nothing is recorded, as planned."""
    from scheduler.book.place import Cell
    from scheduler.records.compare import not_recorded
    from scheduler.records.tasks import Done

    with as_wrong_use(ValueError):
        last = day_told(name)
    tasks = tasks_of(farm, said)
    if last > today():
        begins = tasks.farm.calendar.first_day
        so = (
            f"so is {begins}, on which the plan begins" if begins > today() else f"name a day up to {today()}"
        )
        raise click.UsageError(f"{last} is still to come; {so}")
    entries = [each.entry for each in log_of(*where, farm, begun=False)]
    due = not_recorded(tasks, entries, tasks.farm.calendar.day_of(last))
    done = [Done(key=task.key, who=said["who"] or "", where=Cell(task.key)) for task in due]
    return [
        told
        for each in sorted(done, key=lambda each: tasks.by_key[each.key].day)
        for told in tasks.told(each)
    ]


def tasks_of(farm: "Farm", said: Mapping[str, Any]) -> "Tasks":
    """Return the tasks of the plan.

    Raises:
        click.UsageError: none is named, or that of another farm.
    """
    from scheduler.outputs.saved import open_plan
    from scheduler.records.tasks import Tasks

    if said["plan"] is None:
        raise click.UsageError("name the plan whose tasks these are with --plan")
    planned, plan = open_plan(said["plan"])
    check_same_farm(said["plan"], planned.name, farm.name)
    return Tasks(planned, plan)


def _existing(name: str) -> Path:
    path = Path(name)
    if not path.is_file():
        beside = sorted(each.name for each in path.parent.iterdir()) if path.parent.is_dir() else []
        raise click.UsageError(f"{name} is not a file{near(path.name, beside) or '; name one that is there'}")
    return path
