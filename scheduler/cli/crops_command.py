"""``raftway crops``: look through the crop library."""

import sys
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.completing import cards

if TYPE_CHECKING:
    from crops.library import Card

GROUPS = ("lettuce", "green", "herb", "flower", "microgreen", "bed crop")
ROUTES = ("tray", "tray > raft", "tray > board > raft", "tray > bed")
MOST_SIDE_BY_SIDE = 4


def _route(_context: click.Context, _parameter: click.Parameter, text: str | None) -> str | None:
    """Read a route however its stages are separated: ``tray>raft``, ``tray raft``, ``tray-raft``."""
    if text is None:
        return None
    stages = "".join(letter if letter.isalpha() else " " for letter in text.lower()).split()
    route = " > ".join(stages)
    if route not in ROUTES:
        raise click.BadParameter(f'"{text}" is not a route; give one of {", ".join(ROUTES)}')
    return route


@click.command(epilog="Example: raftway crops --group herb --sort days")
@click.argument("names", nargs=-1, metavar="[CARD]...", shell_complete=cards)
@click.option("--group", type=click.Choice(GROUPS), help="List only this group.")
@click.option(
    "--route", callback=_route, metavar="STAGES", help='List only this route, such as "tray > raft".'
)
@click.option(
    "--days-at-most",
    type=click.IntRange(min=1),
    metavar="DAYS",
    help="List only crops that come to their first harvest in so many days from seed.",
)
@click.option(
    "--sort",
    type=click.Choice(["library", "name", "days", "keeping"]),
    default="library",
    show_default=True,
    help="Order of the list: keeping puts those that keep longest first.",
)
@click.option(
    "--notes", is_flag=True, help="On a single card, print what each figure holds for, and its notes."
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")
@click.pass_context
def crops(
    context: click.Context, /, names: tuple[str, ...], *, notes: bool, as_json: bool, **choice: Any
) -> None:
    """Look through the crop library.

    Without CARD it lists the crops; one CARD prints it with the source of each
    figure; two to four are set side by side.
    """
    from scheduler.cli import crops_pages

    filters = {key: value for key, value in choice.items() if value not in (None, "library")}
    if names and filters:
        raise click.UsageError("give crop cards or filters of the list, not both", context)
    if notes and len(names) != 1:
        raise click.UsageError("--notes goes with one crop card; name just one", context)
    if len(names) > MOST_SIDE_BY_SIDE and not as_json:
        raise click.UsageError(
            f"at most {MOST_SIDE_BY_SIDE} crop cards fit side by side; name fewer", context
        )
    found = _named(names, context) if names else _listed(filters)
    if as_json:
        click.echo(crops_pages.as_json(found, whole=bool(names)))
    elif not names:
        click.echo(crops_pages.listing(found, styled=sys.stdout.isatty()), nl=False)
    elif len(found) == 1:
        click.echo(crops_pages.card_page(found[0], notes=notes, styled=sys.stdout.isatty()), nl=False)
    else:
        click.echo(crops_pages.side_by_side(found, styled=sys.stdout.isatty()), nl=False)


def _named(names: tuple[str, ...], context: click.Context) -> "list[Card]":
    """Return the cards named, each once.

    Raises:
        click.UsageError: a name is not in the library.
    """
    from crops.library import card

    try:
        return [card(name) for name in dict.fromkeys(names)]
    except LookupError as unknown:
        raise click.UsageError(str(unknown), context) from unknown


def _listed(filters: dict[str, Any]) -> "list[Card]":
    """Return the cards that pass the filters, in the order asked for."""
    from crops.library import cards

    most = filters.get("days_at_most")
    found = [
        card
        for card in cards()
        if filters.get("group") in (None, card.group)
        and filters.get("route") in (None, card.route)
        and (most is None or (card.value("days_total") or 0) <= most)
    ]
    order = {
        "name": lambda card: card.name,
        "days": lambda card: card.value("days_total"),
        "keeping": lambda card: -(card.value("keeping_days") or 0),
    }
    key = order.get(filters.get("sort", ""))
    return sorted(found, key=key) if key else found
