"""Renews the pictures of the README from the real output: `python -m tests.pictures` in an
environment with the test extra, with Chromium and poppler-utils installed."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile

from playwright.sync_api import sync_playwright

from tests.conftest import FLAGS, ROOT, chromium

TARGET = ROOT / "site_src" / "pictures"
SHEET, PAGE = "procedures/whimbrel-200-yearly.html", "4"


def main() -> None:
    TARGET.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q", "-d", folder], cwd=ROOT,
                       check=True,
                       env={**os.environ, "NO_MKDOCS_2_WARNING": "1"})
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
            page = browser.new_page()
            page.goto(f"file://{folder}/{SHEET}")
            page.pdf(path=f"{folder}/sheet.pdf", format="A4")
            phone = browser.new_page(viewport={"width": 360, "height": 740},
                                     device_scale_factor=1.5)
            phone.goto(f"file://{folder}/{SHEET}#group-10")
            phone.evaluate("scrollBy(0, 460)")
            phone.screenshot(path=TARGET / "phone.png")
            browser.close()
        subprocess.run(["pdftoppm", "-r", "90", "-f", PAGE, "-l", PAGE, "-gray", "-png",
                        "-singlefile",
                        f"{folder}/sheet.pdf", str(TARGET / "sheet")], check=True)


if __name__ == "__main__":
    main()
