"""A document as LibreOffice reads it and saves it again, without a window.

Tests that use this carry ``@pytest.mark.office``.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

from programs import needed

FILTERS = {
    "pdf": "pdf",
    "xlsx": "xlsx:Calc MS Excel 2007 XML",
    # commas, quotation marks, UTF-8, from the first line, no formats, cells as shown, every sheet a file
    "csv": "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1",
}
"""Form -> LibreOffice's name for it."""

LONGEST = 180
"""Seconds a conversion may take before the test fails."""

_profiles: list[Path] = []


def office_to(path: Path, form: str, folder: Path | None = None) -> list[Path]:
    """Convert a document and return the files made.

    Args:
        path: the document.
        form: ``pdf``, ``xlsx`` or ``csv``; csv gives a file for each sheet, called ``name-sheet.csv``.
        folder: where the files go; beside the document, in a folder called after the form, unless given.

    Raises:
        AssertionError: LibreOffice made nothing of it.
    """
    folder = folder or path.parent / form
    command = [needed("office"), f"-env:UserInstallation={_profile().as_uri()}", "--headless"]
    command += ["--convert-to", FILTERS[form], "--outdir", str(folder), str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=LONGEST)
    made = sorted(folder.glob(f"{path.stem}*.{form}"))
    assert done.returncode == 0, done.stderr
    assert made, done.stdout + done.stderr
    return made


def close() -> None:
    """Remove the profile."""
    while _profiles:
        shutil.rmtree(_profiles.pop(), ignore_errors=True)


def _profile() -> Path:
    """Return the profile of this process: to make one takes longer than to convert.

    LibreOffice hands a second call over to one that runs with the same profile; here one ends before another.
    """
    if not _profiles:
        _profiles.append(Path(tempfile.mkdtemp(prefix="raftway-office-")))
    return _profiles[0]
