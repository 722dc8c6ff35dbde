"""Entries that stand in for earlier ones: what was told before, with the options over it."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.record_options import given_by
from scheduler.cli.records_opening import log_of
from scheduler.cli.telling import typed

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.records.drafts import Hints


def in_place_of(
    farm: "Farm", where: tuple[Path, str | None], asked: tuple[str, str], said: Mapping[str, Any], today: date
) -> "tuple[dict[str, Any], Hints | None]":
    """Return the fields of an entry in place of an earlier one, and hints where that was of a task.

    Raises:
        click.UsageError: there is none of that number, or it was not told.
    """
    from scheduler.records.corrections import as_it_was, number_of
    from scheduler.records.entries import CUT
    from scheduler.records.yard import Refused

    word, name = asked
    if word == "withdraw":
        kept = {key: value for key, value in given_by(said).items() if key in ("who", "note")}
        return kept | {"what": "withdrawn", "corrects": name, "when": said["when"] or today}, None
    entries = {each.number: each.entry for each in log_of(*where, farm)}
    try:
        number = number_of(name, entries)
    except Refused as refused:
        so = str(refused) if " " in name else f"there is no entry {name}"
        raise click.UsageError(f"{so}; raftway record {typed(where[0])} list shows them all") from None
    old = entries[number]
    if not old.given:
        raise click.UsageError(
            f"entry {number} was not told but found in the book; withdraw it, or tell what was lost or culled"
        )
    anew = given_by(said)
    if said["counted"] is not None:
        anew = {"heads" if old.what == CUT else "plants": said["counted"]} | anew
    given, hints = as_it_was(old, anew)
    given |= anew
    if said["when"] is not None:
        given["when"] = said["when"]
    if {"days", "until"} <= given.keys():
        given.pop("until" if said["days"] is not None else "days")
    return given | {"corrects": str(number)}, hints
