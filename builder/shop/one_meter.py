"""One meter alone, which is all that the limits of a value need."""

from __future__ import annotations

from pathlib import Path

from builder.file_rules import meters as meter_rules
from builder.file_rules.saying import nearest
from builder.files import yaml_text
from builder.files.problems import Wrong, as_text, errors
from builder.formats.meter import Meter
from builder.formats.validation import read_file
from builder.procedure.meter_function import MeterFunction

FOLDER = "meters"


def functions_of(meter: Meter) -> dict[str, MeterFunction]:
    """Each function by its title; for a meter without errors."""
    return {given.title: MeterFunction(meter, given) for given in meter.functions}


def read_functions(folder: Path, asked: str,
                   verified_against: str | None = None) -> dict[str, MeterFunction]:
    """The functions of one meter, by its file's name or by its own, from its own file: how large
    the shop is makes no difference. The others are looked through for their names only where no
    file is named so. `verified_against` is a time since adjustment, of those that the file states
    an accuracy for; the longest without it. Raises `Wrong` where there is no such meter or more
    than one, no such time, or where its file isn't right."""
    path = _file_of(folder, asked)
    document, meter, problems, whole = read_file(Meter, path,
                                                 f"{folder.name}/{FOLDER}/{path.name}")
    if document is not None and meter is not None:
        problems += meter_rules.meter(document, meter)
    if meter is None or not whole or errors(problems):
        raise Wrong("the meter's file has problems:\n" + as_text(errors(problems)))
    return functions_of(meter if verified_against is None else _since(meter, verified_against))


def _since(meter: Meter, verified_against: str) -> Meter:
    from builder.formats.stated import duration
    time, known = duration(verified_against), meter.times
    if time.days not in {one.days for one in known}:
        raise Wrong(f"{meter.name} has no accuracy for {time.text} since adjustment",
                    "one of: " + ", ".join(one.text for one in known) if known
                    else "its file states none by time since adjustment")
    return meter.since(time)


def _file_of(folder: Path, asked: str) -> Path:
    if not (folder / FOLDER).is_dir():
        raise Wrong(f"there is no folder {folder.name}/{FOLDER} here",
                    "call this in the folder that holds it, or write a first file there")
    paths = {path.stem: path for path in sorted((folder / FOLDER).glob("[!.]*.yaml"))}
    if asked in paths:
        return paths[asked]
    named = [path for path in paths.values() if _is_named(path, asked)]
    if len(named) > 1:
        raise Wrong(f"several meters have the name '{asked}'",
                    "name its file: " + " or ".join(path.stem for path in named))
    if not named:
        raise Wrong(f"there is no meter '{asked}'",
                    nearest(asked, paths) or f"no file is in {folder.name}/{FOLDER} yet")
    return named[0]


def _is_named(path: Path, asked: str) -> bool:
    """Whether a file gives its meter this name; only a file that mentions it is read as one."""
    try:
        content = yaml_text.content(path)
    except OSError:
        return False
    if asked.casefold() not in content.decode("utf-8", "replace").casefold():
        return False
    document, _ = yaml_text.read(path, path.name)
    name = document.data.get("name") if document else None
    return isinstance(name, str) and name.casefold() == asked.casefold()
