"""The one place that finds the data files in ``shared/``."""

from pathlib import Path


def shared_folder() -> Path:
    """Return the folder of schema and reference tables: in a wheel inside the package, else beside it.

    Raises:
        FileNotFoundError: neither is there, so the installation is broken.
    """
    here = Path(__file__).resolve().parent
    for folder in (here / "_shared", here.parent / "shared"):
        if (folder / "schema" / "tables.csv").is_file():
            return folder
    raise FileNotFoundError("shared/schema/tables.csv is not installed; install raftway again")
