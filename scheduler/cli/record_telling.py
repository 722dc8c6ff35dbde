"""What the options of ``raftway record`` tell, and the sheets, lines and tasks it is pointed at."""

import json
import sys
import uuid
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.opening import check_same_farm
from scheduler.cli.records_opening import log_of, today
from scheduler.cli.telling import as_wrong_use, typed
from scheduler.cli.values import DAY, day_told
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.book.faults import FaultLog
    from scheduler.farm.farm import Farm
    from scheduler.records.drafts import Told
    from scheduler.records.tasks import Tasks

AS_PLANNED = "planned"
"""How the source of entries begins that were told as the plan has them."""

OPTIONS: tuple[tuple[str, Any, str], ...] = (
    ("--lot", str, "Lot code; of sown it is made from crop and day where it is left out."),
    ("--crop", str, "Crop that was sown."),
    ("--place", str, 'Where it stood, such as "North trough 1" or "Shelf A 1 slots 1-2".'),
    ("--to", str, "Where it came: a tier, a board zone, or a row of rafts."),
    ("--units", click.IntRange(0), "Trays, boards or rafts it came into, or that changed their place."),
    ("--plants", click.IntRange(0), "Plants; sown: cells; germinated, thinned: seedlings; delivered: units."),
    ("--left", click.IntRange(0), "Plants that stayed where they were; cut: that stay to grow again."),
    ("--heads", click.IntRange(0), "Heads that can be sold."),
    ("--seed-lot", str, "Lot of the seed; several with ; between."),
    ("--product", str, "What was delivered, or what was applied."),
    ("--customer", str, "Who got it."),
    ("--delivery", str, 'Which delivery, such as "HT-1 2026-04-21".'),
    ("--days", click.IntRange(0, 366), "Days after a treatment before it may be cut, as the label says."),
    ("--until", DAY, "Last day of a closure, a quarantine or a treatment's interval."),
    ("--who", str, "Who did it.  [also from RAFTWAY_WHO]"),
    ("--note", str, "Anything else."),
    ("--counted", click.IntRange(0), "What was counted of a task that is done."),
)


def _given(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return the options that make an entry, those left out aside."""
    names = [name.removeprefix("--").replace("-", "_") for name, _, _ in OPTIONS if name != "--counted"]
    given = {name: said[name] for name in names if said[name] is not None}
    return given | ({"lifted": True} if said["lifted"] else {})


def told_of(
    farm: "Farm", where: tuple[Path, str | None], asked: tuple[str, str], said: Mapping[str, Any]
) -> "tuple[list[Told], str]":
    """Return the entries that are told, and what they are called in the records."""
    from scheduler.book.faults import FaultLog
    from scheduler.book.place import Cell
    from scheduler.records.drafts import Hints, Told
    from scheduler.records.lines import told_in_lines
    from scheduler.records.sheets import told_in_sheet

    (word, name), log = asked, FaultLog()
    if word == "sheet":
        path = _existing(name)
        told, source = told_in_sheet(path, _tasks(farm, said), log), path.name
    elif word == "lines":
        if name == "-" and sys.stdin is None:  # as where whoever began the command has closed it
            raise click.UsageError("nothing can be read from -, for it is closed; name a file of entries")
        data = sys.stdin.buffer.read() if name == "-" else _existing(name).read_bytes()
        source = "lines" if name == "-" else Path(name).name
        told = told_in_lines(data, source, _tasks(farm, said) if said["plan"] else None, log)
    elif word == "planned":
        told, source = _as_planned(farm, where, name, said), f"{AS_PLANNED} {name}"
    elif word == "done":
        told, source = _task_done(farm, where, (name, log), said), f"done {name}"
    else:
        given = _given(said) | {"when": said["when"] or today()}
        if word in ("correct", "withdraw"):
            given = _in_place_of(farm, where, (word, name), said)
        else:
            given["what"] = word
        cells = {field: Cell("--" + field.replace("_", "-")) for field in given}
        cells |= {"when": Cell("--on"), "corrects": Cell(word)}
        op = said["op"] or f"entry {uuid.uuid4().hex}"
        # what a task told of slots is still only where the plan had it
        hints = Hints() if "task" in given else None
        told = [Told(op=op, given=given, where=Cell(word), cells=cells, hints=hints)]
        source = f"record {word}"
    log.raise_if_any()
    return told, source


def _in_place_of(
    farm: "Farm", where: tuple[Path, str | None], asked: tuple[str, str], said: Mapping[str, Any]
) -> dict[str, Any]:
    """Return an earlier entry as it was told, with the options that are given over it."""
    word, name = asked
    day: date = said["when"] or today()
    if word == "withdraw":
        kept = {key: value for key, value in _given(said).items() if key in ("who", "note")}
        return kept | {"what": "withdrawn", "corrects": name, "when": day}
    old = next((each for each in log_of(*where, farm) if str(each.number) == name), None)
    if old is None:
        raise click.UsageError(
            f"there is no entry {name}; raftway record {typed(where[0])} list shows them all"
        )
    if not old.entry.given:
        raise click.UsageError(
            f"entry {name} was not told but found in the book; withdraw it, or tell what was lost or culled"
        )
    given: dict[str, Any] = json.loads(old.entry.given)
    if old.entry.what == "moved" and old.entry.task:
        # how many the plan left behind is not among the words of a task
        given.setdefault("left", old.entry.left)
    given |= _given(said)
    if said["when"] is not None:
        given["when"] = said["when"]
    if {"days", "until"} <= given.keys():
        given.pop("until" if said["days"] is not None else "days")
    return given | {"corrects": name}


def _task_done(
    farm: "Farm", where: tuple[Path, str | None], asked: "tuple[str, FaultLog]", said: Mapping[str, Any]
) -> "list[Told]":
    from scheduler.book.names import meant
    from scheduler.book.place import Cell
    from scheduler.records.tasks import Done
    from scheduler.records.turns import out_of_turn

    (key, log), tasks = asked, _tasks(farm, said)
    if key not in tasks.by_key:
        log.add(
            Cell("done"), f"'{key}'", f"a task of the plan: {meant(key, tasks.by_key, most=3)}", "no-task"
        )
        return []
    done = Done(
        key=key,
        when=said["when"],
        counted=said["counted"],
        who=said["who"] or "",
        seed_lot=said["seed_lot"] or "",
        note=said["note"] or "",
        where=Cell(f"done {key}"),
        cells={"counted": Cell("--counted"), "when": Cell("--on"), "seed_lot": Cell("--seed-lot")},
    )
    told = list(tasks.told(done))
    if not told:
        click.echo(f"Of '{key}' nothing is recorded: it leaves no trace in what stands where.")
    for line in out_of_turn(tasks, key, {each.entry.op for each in log_of(*where, farm, begun=False)}):
        click.echo(plain(line), err=True)
    return told


def _as_planned(
    farm: "Farm", where: tuple[Path, str | None], name: str, said: Mapping[str, Any]
) -> "list[Told]":
    """Return the tasks through a day of which nothing is recorded, as planned."""
    from scheduler.book.place import Cell
    from scheduler.records.compare import not_recorded
    from scheduler.records.tasks import Done

    with as_wrong_use(ValueError):
        last = day_told(name)
    if last > today():
        raise click.UsageError(f"{last} is still to come; name a day up to {today()}")
    tasks = _tasks(farm, said)
    entries = [each.entry for each in log_of(*where, farm, begun=False)]
    due = not_recorded(tasks, entries, tasks.farm.calendar.day_of(last))
    done = [Done(key=task.key, who=said["who"] or "", where=Cell(task.key)) for task in due]
    return [
        told
        for each in sorted(done, key=lambda each: tasks.by_key[each.key].day)
        for told in tasks.told(each)
    ]


def _tasks(farm: "Farm", said: Mapping[str, Any]) -> "Tasks":
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
        raise click.UsageError(f"{name} is not a file; name one that is there")
    return path
