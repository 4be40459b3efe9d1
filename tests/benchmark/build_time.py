"""What the whole build costs, beside the same sheets written by hand and beside the engine alone.

    python tests/benchmark/build_time.py [--sizes 50,200,800] [--runs 3] [--keep FOLDER]

For each number of procedures it makes three projects of the same engine, theme and settings:

ours     that many plans, each with a meter of its own, made from the demo's by other names,
         accuracies and values; the demo's standards, no records.
by hand  a Markdown page for each sheet with our sheet's prose and raw HTML tables, out of the menu,
         and a page that lists them. It has no pages of evidence, practice, meters or standards, no
         data, no scripts, no drawings, and not our plugin. It keeps our marks of what the search
         leaves out, which a person might well forget.
floor    the pages of "by hand", each with its heading only.

None has the lessons, and ours alone the glossary with the links to its terms. Builds alternate,
so that a machine that slows down slows all three. Each number is the median of the runs: CPU time
of the whole process (user and system), size of the site's files, and memory at its peak. Needs
`os.wait4`, so Linux or macOS. """

from __future__ import annotations

import argparse
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import astuple, dataclass
from decimal import Decimal
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

PROJECTS = ("ours", "by hand", "floor")


# ---------------------------------------------------------------- a shop of any size

PLANS = sorted((ROOT / "procedures/plans").glob("*.yaml"))
ACCURACY = re.compile(r"((?:accuracy|within): )([\d.]+)(?= (?:%|ppm))")
VOLTS_AND_AMPERES = re.compile(
    r"(function: [AD]C (?:voltage|current),.* apply: )([^,\[\]}]+|\[.*?\])")


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")


def varied(number: str, thousandths: int) -> str:
    """A little more or less, exactly."""
    return f"{(Decimal(number) * (1000 + thousandths) / 1000).normalize():f}"


def write_procedure(folder: Path, number: int) -> None:
    """One of the demo's plans and its meter under other names, with accuracies and applied values
    of their own, so that nothing that was computed for one procedure serves another."""
    chance, source = random.Random(number), PLANS[number % len(PLANS)]
    plan = source.read_text(encoding="utf-8")
    old = re.search(r"(?m)^meter: (\S+)", plan)[1]
    meter = (source.parents[1] / f"meters/{old}.yaml").read_text(encoding="utf-8")
    name = re.search(r"(?m)^name: (.+)", meter)[1]

    def renamed(text: str) -> str:
        return text.replace(old, f"{old}-{number}").replace(name, f"{name}-{number}")

    meter = ACCURACY.sub(lambda found: found[1] + varied(found[2], chance.randint(0, 40)), meter)
    plan = VOLTS_AND_AMPERES.sub(lambda found: found[1] + re.sub(
        r"[\d.]+", lambda value: varied(value[0], -chance.randint(0, 40)), found[2]), plan)
    write(folder / f"meters/{old}-{number}.yaml", renamed(meter))
    write(folder / f"plans/{renamed(source.stem)}.yaml", renamed(plan))


def make_ours(folder: Path, procedures: int) -> None:
    """A project with this repository's settings and pages, and a shop of that many procedures."""
    settings = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    write(folder / "mkdocs.yml", settings.replace("  - procedures\n",
                                                  "  - procedures: {lessons: no}\n"))
    write(folder / "site_src/index.md", (ROOT / "site_src/index.md").read_text(encoding="utf-8"))
    shutil.copytree(ROOT / "procedures/standards", folder / "procedures/standards")
    shutil.copy(ROOT / "procedures/workshop.yaml", folder / "procedures")
    for number in range(procedures):
        write_procedure(folder / "procedures", number)


# ---------------------------------------------------------------- the same by hand, and the floor

MENU = """\
nav:
  - Welcome: index.md
  - Procedures by meter: by-meter.md
  - How to use a sheet: using.md
  - Safety: safety.md

not_in_nav: |
  /procedures/*
"""
WRITTEN = ("index.md", "using.md", "safety.md")
LINK = r"\[([^\]]*)\]\(([^)#]+\.md)[^)]*\)(?: ?\{[^}]*\})?"
# What nobody writes by hand: scripts and page styles, the jump list, drawings and codes to scan,
# headings that only print, and what only scripts look for.
MACHINES = re.compile(
    r'<(script|style|nav|svg)\b.*?</\1>|<div class="scan">.*?</div>|<tr class="carry">.*?</tr>|'
    r' (?:aria|data-(?!search))[\w-]*(?:="[^"]*")?(?=[^<>]*>)', re.S)
EXPORT = """
import sys
from pathlib import Path
from builder.pages.export import export
written, problems = export(*map(Path, sys.argv[1:]))
sys.exit(None if written else "\\n".join(map(str, problems)))
"""


def by_hand(page: str, folder: str, names: set[str]) -> str:
    """A page as a person would write it. Of links to pages that aren't there, `names` being those
    that are, the text is left, and nothing of a line that is only such a link."""
    def is_dead(link: re.Match) -> bool:
        return os.path.normpath(os.path.join(folder, link[2])) not in names

    page = MACHINES.sub("", page)
    page = re.sub(r"<input\b[^>]*>", "☐", page)
    page = re.sub(rf"(?m)^(?:- )?{LINK}\n", lambda link: "" if is_dead(link) else link[0], page)
    page = re.sub(LINK, lambda link: link[1] if is_dead(link) else link[0], page)
    return re.sub(r"\n{3,}", "\n\n", page)


def make_by_hand(folder: Path, ours: Path) -> None:
    """The sheets of `ours` as written by hand for the same settings without our plugin."""
    exported = folder / "exported"
    run([sys.executable, "-c", EXPORT, str(exported), str(ours), str(ours / "procedures")], ours)
    # but the page for records of sheets that are gone, which nobody writes by hand
    sheets = sorted(path.name for path in (exported / "procedures").glob("*.md")
                    if path.name != "as-begun_.md")
    names = {"by-meter.md", *WRITTEN, *(f"procedures/{name}" for name in sheets)}
    listed = "# Procedures by meter\n\n"
    for name in sorted(names - {"by-meter.md"}):
        text = by_hand((exported / name).read_text(encoding="utf-8"), os.path.dirname(name), names)
        write(folder / "site_src" / name, text)
        if name.startswith("procedures/"):
            listed += f"- [{heading(text)}]({name})\n"
    write(folder / "site_src/by-meter.md", listed)
    shutil.copytree(exported / "pictures", folder / "site_src/pictures")
    shutil.copytree(exported / "assets", folder / "site_src/assets",
                    ignore=shutil.ignore_patterns("*.js", "practice.css"))
    shutil.rmtree(exported)
    settings = (ours / "mkdocs.yml").read_text(encoding="utf-8")
    settings = re.sub(r"(?m)^  - procedures: .*\n", "", settings)
    write(folder / "mkdocs.yml", re.sub(r"(?ms)^nav:\n.*?^not_in_nav: \|\n(?:  .*\n)+",
                                        lambda _: MENU, settings))


def heading(page: str) -> str:
    return re.search(r"(?m)^# (.+)", page)[1]


def make_floor(folder: Path, hand: Path) -> None:
    """The pages of `hand`, each with its heading only."""
    shutil.copytree(hand, folder)
    for path in (folder / "site_src").rglob("*.md"):
        write(path, f"# {heading(path.read_text(encoding='utf-8'))}\n")


# ---------------------------------------------------------------- measuring

@dataclass(frozen=True)
class Cost:
    seconds: float  # of the processor
    site: int       # bytes
    memory: int     # bytes at the peak


COLUMNS = (("CPU time", "s", 1), ("site", "MB", 1e6), ("peak memory", "MB", 1e6))
PATHS = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
ENVIRONMENT = os.environ | {"NO_MKDOCS_2_WARNING": "1", "PYTHONPATH": PATHS}


def run(command: list[str], project: Path) -> tuple[float, int]:
    """CPU seconds and peak memory in bytes of a command; ends the program where it fails."""
    with tempfile.TemporaryFile("w+", encoding="utf-8") as output:
        process = subprocess.Popen(command, cwd=project, env=ENVIRONMENT, stdout=output,
                                   stderr=subprocess.STDOUT)
        # A child's peak starts at that of its parent: this script stays small.
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        output.seek(0)
        if process.returncode:
            sys.exit(f"{output.read()[-4000:]}\n{command[:4]} ended with {process.returncode}")
    return (usage.ru_utime + usage.ru_stime,
            usage.ru_maxrss * (1 if sys.platform == "darwin" else 1024))


def build(project: Path) -> Cost:
    """What a build from nothing costs."""
    shutil.rmtree(project / "site", ignore_errors=True)
    seconds, memory = run([sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"], project)
    return Cost(seconds, sum(path.stat().st_size for path in (project / "site").rglob("*")
                             if path.is_file()), memory)


def measure(folder: Path, procedures: int, runs: int) -> dict[str, Cost]:
    """The medians of each project's runs."""
    ours, hand, floor = (folder / name.replace(" ", "-") for name in PROJECTS)
    make_ours(ours, procedures)
    make_by_hand(hand, ours)
    make_floor(floor, hand)
    costs = [[build(project) for project in (ours, hand, floor)] for _ in range(runs)]
    return {name: Cost(*map(median, zip(*map(astuple, column), strict=True)))
            for name, column in zip(PROJECTS, zip(*costs, strict=True), strict=True)}


def table(procedures: int, costs: dict[str, Cost]) -> str:
    lines = [f"{f'{procedures} procedures':20}" + "".join(f"{f'{name}, {unit}':>17}"
                                                         for name, unit, _ in COLUMNS)]
    for name, cost in costs.items():
        lines.append(f"  {name:18}" + "".join(
            f"{value / one:17.1f}" for value, (_, _, one) in zip(astuple(cost), COLUMNS,
                                                                 strict=True)))
    for name in PROJECTS[1:]:
        lines.append(f"  {f'ours / {name}':18}" + "".join(
            f"{mine / other:17.2f}" for mine, other in zip(
                astuple(costs["ours"]), astuple(costs[name]), strict=True)))
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--sizes", default="50,200,800",
                        help="how many procedures, as a list (default: %(default)s)")
    parser.add_argument("--runs", type=int, default=3,
                        help="the median of so many counts (default: %(default)s)")
    parser.add_argument("--keep", type=Path, help="leave the projects in this new folder")
    options = parser.parse_args()
    for size in map(int, options.sizes.split(",")):
        with tempfile.TemporaryDirectory() as temporary:
            folder = (options.keep or Path(temporary)) / str(size)
            print(table(size, measure(folder, size, options.runs)), flush=True)


if __name__ == "__main__":
    main()
