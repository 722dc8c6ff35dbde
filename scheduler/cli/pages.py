"""Pages put on the terminal: as wide as it is, up to 80 columns, and in plain text into a file or a pipe."""

import shutil
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from scheduler.outputs.show.page import Part


def show_page(parts: "Iterable[Part]") -> None:
    """Print the parts of a page; nothing is printed where one of them raises."""
    from scheduler.outputs.screen import WIDTH
    from scheduler.outputs.show.page import rendered

    styled = sys.stdout.isatty()
    width = shutil.get_terminal_size().columns if styled else WIDTH
    click.echo(rendered(parts, width=width, styled=styled), nl=False)
