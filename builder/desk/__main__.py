"""python -m builder.desk ARGUMENTS: the site engine as a program, as `python -m mkdocs ARGUMENTS`
runs it, with the desk around the site that it serves. The shop is the folder it is started in."""

from __future__ import annotations

import runpy
from pathlib import Path

from builder.desk import app
from builder.pages import engine

if __name__ == "__main__":
    engine.around = app.around(Path.cwd())
    runpy.run_module("mkdocs", run_name="__main__", alter_sys=True)
