"""Templates and styles of the pages: one way to render them, everything escaped."""

from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape


@cache
def environment(package: str) -> Environment:
    """Return what renders the templates of a package; a name that is missing is an error."""
    return Environment(
        loader=PackageLoader(package),
        autoescape=select_autoescape(["html", "svg", "html.j2", "svg.j2"], default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def style_sheet(package: str, name: str) -> str:
    """Return one style sheet of a package."""
    return (files(package) / "templates" / name).read_text(encoding="utf-8")
