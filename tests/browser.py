"""A page as a browser shows and prints it; whatever it asks for beside itself is refused and listed.

One Chromium serves all tests of a process; it is started by the first page and closed with the session.
Tests that use this carry ``@pytest.mark.chromium``.
"""

import re
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, Playwright, Route, sync_playwright
from programs import needed

PHONE = 390
"""Width of a phone, in CSS pixels (common practice, no source)."""

OPTIONS = [
    "--no-sandbox",  # the tests may run as root
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND",  # what a route cannot see, such as a preconnect, goes nowhere
]

_running: list[tuple[Playwright, Browser]] = []


@dataclass(frozen=True)
class Opened:
    """A page that was opened.

    Attributes:
        page: playwright's page.
        outside: every address it asked for beside itself, all refused.
        errors: what its scripts and its console complained of.
    """

    page: Page
    outside: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def is_wider_than_its_window(self) -> bool:
        """Say whether one must scroll sideways."""
        return bool(self.page.evaluate("document.documentElement.scrollWidth > innerWidth"))

    def picture(self, **options: Any) -> bytes:
        """Return the whole page as PNG."""
        return self.page.screenshot(full_page=True, **options)

    def pdf(self, *, backgrounds: bool = False) -> bytes:
        """Return the page as it prints on A4, or on the paper its own ``@page`` names.

        Browsers leave out backgrounds unless asked; a page whose colours matter has to say so itself.
        """
        return self.page.pdf(format="A4", prefer_css_page_size=True, print_background=backgrounds)


@contextmanager
def page_of(source: str | Path, width: int = 1200, **options: Any) -> Iterator[Opened]:
    """Open a page from the disk, as a grower would.

    Args:
        source: path of a file, or a whole page as text.
        width: of the window, CSS pixels.
        options: more of playwright's ``new_context``, such as ``color_scheme="dark"``.
    """
    settings: dict[str, Any] = {"viewport": {"width": width, "height": 900}, "offline": True, **options}
    with tempfile.TemporaryDirectory() as folder:
        path = source if isinstance(source, Path) else Path(folder) / "page.html"
        if isinstance(source, str):
            path.write_text(source, encoding="utf-8")
        address = path.resolve().as_uri()
        context = _browser().new_context(**settings)
        try:
            opened = Opened(context.new_page())

            def answer(route: Route) -> None:
                asked = route.request.url
                if re.sub("#.*", "", asked) == address or asked.startswith(("data:", "blob:")):
                    route.continue_()
                else:
                    opened.outside.append(asked)
                    route.abort()

            opened.page.on("console", lambda said: said.type == "error" and opened.errors.append(said.text))
            opened.page.on("pageerror", lambda error: opened.errors.append(str(error)))
            context.route("**/*", answer)
            opened.page.goto(address)
            yield opened
        finally:
            context.close()


def to_pdf(source: str | Path, *, backgrounds: bool = False) -> bytes:
    """Return a page as it prints."""
    with page_of(source) as opened:
        return opened.pdf(backgrounds=backgrounds)


def pdf_texts(pdf: bytes) -> list[str]:
    """Return the text of each page of a PDF, laid out as it is printed."""
    command = [needed("pdftotext"), "-layout", "-", "-"]
    done = subprocess.run(command, input=pdf, capture_output=True, check=True, timeout=60)
    return done.stdout.decode().split("\f")[:-1]


def pdf_pictures(pdf: bytes, folder: Path, dots: int = 80) -> list[Path]:
    """Write each page of a PDF to a folder as PPM, ``dots`` an inch, and return the files in order.

    Packed as PNG they would take ten times as long.
    """
    command = [needed("pdftoppm"), "-r", str(dots), "-", str(folder / "page")]
    subprocess.run(command, input=pdf, capture_output=True, check=True, timeout=120)
    return sorted(folder.glob("page*.ppm"))


def close() -> None:
    """End the browser."""
    while _running:
        playwright, browser = _running.pop()
        browser.close()
        playwright.stop()


def _browser() -> Browser:
    if not _running:
        path = needed("chromium")
        playwright = sync_playwright().start()
        _running.append((playwright, playwright.chromium.launch(executable_path=path, args=OPTIONS)))
    return _running[0][1]
