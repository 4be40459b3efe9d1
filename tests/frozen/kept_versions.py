"""Keeps what this version freezes, for the tests of all later ones: an approved sheet and the
report of a record that was judged by it, of a shop with a meter of three functions.

    python -m tests.frozen.kept_versions      # once, when a version is published; never again
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from datetime import date
from pathlib import Path

import builder
from builder.pages import finishing
from builder.shop import loading
from tests.recorded import approve, data_of, folder_with, put, record

KEPT = Path(__file__).parent / "kept"
FOLDERS = ("approved", "finished")


def keep(folder: Path) -> None:
    """Writes both into `folder`, which must be new."""
    with tempfile.TemporaryDirectory() as made:
        root = folder_with(Path(made))
        approve(root)
        put(root, "2026-03-12-lapwing-1-0147.yaml",
            record(data_of(root), {"5.2": "-3.018"}, date="2026-03-12"))
        shop = loading.load_shop(root)
        finishing.finish(shop, root, ["2026-03-12-lapwing-1-0147"], by="T. Askew",
                         on=date(2026, 3, 13))
        for name in FOLDERS:
            shutil.copytree(root / name, folder / "procedures" / name)


if __name__ == "__main__":
    version = KEPT / builder.__version__
    if version.exists():
        sys.exit(f"{version} is there already, and is never made anew")
    keep(version)
