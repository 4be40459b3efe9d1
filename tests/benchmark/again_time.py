"""What a build costs where little has changed, beside one from nothing, an earlier builder and the
engine alone.

    git worktree add --detach ../before COMMIT
    python tests/benchmark/again_time.py ../before [--procedures 200] [--reports 400]
                                         [--meters 40] [--runs 3] [--keep FOLDER]

before   an earlier builder's own benchmark: a shop of so many procedures, built by it from nothing.
first    the same shop, with the two checks that plans must have since, built from nothing.
second   that once more, with nothing changed.
edit     the same shop while serving: what it takes to load and build again after a meter was
         edited; beside it the engine alone with as many pages that have a heading only.
reports  a shop of so many finished reports of so many meters, copies of one of the demo's under
         other serial numbers and dates: built from nothing, and after one new finished report.

Each number is CPU time of a whole process, user and system, but for the edit, where it is that of
the second of two builds in one process. Builds alternate, so that a machine that slows down slows
all; the median of the runs counts. Needs `os.wait4`, so Linux or macOS. """

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmark import build_time  # noqa: E402 - runs as a program too

MAKE = """
import sys
from pathlib import Path
from tests.benchmark.build_time import make_ours
make_ours(Path(sys.argv[1]), int(sys.argv[2]), 1, "")
"""
ENTRY = "[mkdocs.plugins]\nprocedures = builder.plugin:ProceduresPlugin\n"
NAME = "verification-procedures"
# Two builds in one process as 'serve' makes them, the second after an edit of a file that is named,
# or after none; prints the CPU time of the second.
SERVED = """
import resource, sys
from pathlib import Path
from mkdocs.commands.build import build
from mkdocs.config import load_config
def spent():
    own = resource.getrusage(resource.RUSAGE_SELF)
    return own.ru_utime + own.ru_stime
for n in range(2):
    start = spent()
    config = load_config("mkdocs.yml", strict=False, site_dir="served")
    config.site_url = "http://127.0.0.1:8000/"
    if n == 0:
        config.plugins.on_startup(command="serve", dirty=False)
    build(config)
    for name in sys.argv[1:]:
        path = Path(name)
        path.write_text(path.read_text(encoding="utf-8").replace("dial: V DC", "dial: DC V"),
                        encoding="utf-8")
print(spent() - start)
"""


# ---------------------------------------------------------------- the shops

def make_before(folder: Path, tree: Path, procedures: int) -> Path:
    """The earlier builder's shop, and where Python finds that builder as a plugin of the engine."""
    environment = build_time.ENVIRONMENT | {"PYTHONPATH": str(tree)}
    subprocess.run([sys.executable, "-c", MAKE, str(folder), str(procedures)], cwd=tree,
                   env=environment, check=True)
    found = folder.parent / "plugin"
    info = found / f"{NAME.replace('-', '_')}-0.dist-info"
    build_time.write(info / "METADATA", f"Metadata-Version: 2.1\nName: {NAME}\nVersion: 0\n")
    build_time.write(info / "entry_points.txt", ENTRY)
    return found


def make_now(folder: Path, before: Path) -> None:
    """The same shop, with the checks that plans must have since, under today's settings."""
    build_time.make_ours(folder, 0)
    shutil.rmtree(folder / "procedures")
    shutil.copytree(before / "procedures", folder / "procedures")
    for path in (folder / "procedures/plans").glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        build_time.write(path, text.replace("\n  - leads\n",
                                            "\n  - leads\n  - leads wiggled\n  - battery door\n"))


def make_floor(folder: Path, now: Path) -> None:
    """As many pages as that shop's site has, each with a heading only, without our plugin."""
    settings = (now / "mkdocs.yml").read_text(encoding="utf-8")
    settings = re.sub(r"(?m)^  - procedures: .*\n", "", settings)
    build_time.write(folder / "mkdocs.yml", re.sub(
        r"(?ms)^nav:\n.*?^not_in_nav: \|\n(?:  .*\n)+", lambda _: "", settings) + (
            "\nnav: [index.md]\nnot_in_nav: |\n  /*/*\n  /*.md\n"))
    for page in (now / "site").rglob("*.html"):
        name = page.relative_to(now / "site").with_suffix(".md")
        if name.name != "404.md":
            build_time.write(folder / "site_src" / name, f"# {name.stem}\n")


def make_reports(folder: Path, reports: int, meters: int) -> list[str]:
    """The demo's sheets with that many records of Dunlins, all but the last of them finished; gives
    the name of the last."""
    build_time.make_ours(folder, 0)
    shutil.rmtree(folder / "procedures")
    shutil.copytree(ROOT / "procedures", folder / "procedures", ignore=shutil.ignore_patterns(
        "records", "finished", "past", "register.yaml"))
    text = (ROOT / "procedures/records/2024-03-11-dunlin-60-0147.yaml").read_text(encoding="utf-8")
    names = []
    for number in range(reports):
        year, serial = 2025 - number // meters, f"{number % meters:04}"
        day = date(year, 1 + number % 12, 1 + number % 28).isoformat()
        names.append(f"{day}-dunlin-60-{serial}")
        own = re.sub(r"(?m)^serial: .*", f'serial: "{serial}"', text)
        own = re.sub(r"(?m)^date: .*", f"date: {day}", own)
        own = re.sub(r"(?m)^(received|issued|last_adjusted): .*\n", "", own)
        build_time.write(folder / f"procedures/records/{names[-1]}.yaml", own)
    return names


FINISH = """
import sys
from datetime import date
from pathlib import Path
from builder.pages import finishing
from builder.shop import loading
folder = Path("procedures").resolve()
finishing.finish(loading.load_shop(folder), folder, sys.stdin.read().split(),
                 by="T. Askew (invented)", on=date(2026, 11, 20))
"""


def finish(folder: Path, names: list[str]) -> None:
    subprocess.run([sys.executable, "-c", FINISH], cwd=folder, env=build_time.ENVIRONMENT,
                   input="\n".join(names), encoding="utf-8", check=True)


# ---------------------------------------------------------------- measuring

def built(project: Path, path: str = "") -> tuple[float, int]:
    """CPU seconds and peak memory of a build; `path` is where Python looks first."""
    shutil.rmtree(project / "site", ignore_errors=True)
    last = build_time.ENVIRONMENT
    build_time.ENVIRONMENT = last | ({"PYTHONPATH": path} if path else {})
    try:
        return build_time.run([sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet"],
                              project)
    finally:
        build_time.ENVIRONMENT = last


def served(project: Path, *edited: str) -> float:
    done = subprocess.run([sys.executable, "-c", SERVED, *edited], cwd=project, check=True,
                          env=build_time.ENVIRONMENT, stdout=subprocess.PIPE,
                          stderr=subprocess.DEVNULL, encoding="utf-8")
    return float(done.stdout.split()[-1])


def without_kept(project: Path) -> None:
    shutil.rmtree(project / ".cache", ignore_errors=True)


def procedures(folder: Path, tree: Path, size: int, runs: int) -> None:
    before, now, floor = folder / "before", folder / "now", folder / "floor"
    plugin = make_before(before, tree, size)
    make_now(now, before)
    meter = next((now / "procedures/meters").glob("*.yaml")).relative_to(now).as_posix()
    costs: dict[str, list[float]] = {}
    for _ in range(runs):
        costs.setdefault("before", []).append(built(before, f"{tree}{os.pathsep}{plugin}")[0])
        without_kept(now)
        costs.setdefault("first", []).append(built(now)[0])
        costs.setdefault("second", []).append(built(now)[0])
        if not floor.exists():
            make_floor(floor, now)
        costs.setdefault("edit", []).append(served(now, meter))
        costs.setdefault("floor", []).append(served(floor))
    one = {name: median(numbers) for name, numbers in costs.items()}
    print(f"{size} procedures, CPU s: " + ", ".join(f"{name} {value:.1f}"
                                                    for name, value in one.items()))
    for name, ours, other in (("first / before", "first", "before"),
                              ("second / before", "second", "before"),
                              ("second / first", "second", "first"),
                              ("edit / engine alone", "edit", "floor")):
        print(f"| {size} procedures: {name} | {one[ours] / one[other]:.2f} |", flush=True)


def reports(folder: Path, number: int, meters: int) -> None:
    project = folder / "reports"
    *names, last = make_reports(project, number + 1, meters)
    record = project / f"procedures/records/{last}.yaml"
    text = record.read_text(encoding="utf-8")
    record.unlink()
    finish(project, names)
    first, memory = built(project)
    build_time.write(record, text)
    finish(project, [last])
    again, less = built(project)
    print(f"{number} reports of {meters} meters, CPU s: first {first:.1f}, after one new "
          f"{again:.1f}; peak memory, MB: {memory / 1e6:.0f}, {less / 1e6:.0f}")
    print(f"| {number} finished reports: after one new / first | {again / first:.2f} |", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("before", type=Path, help="a checkout of the earlier builder")
    parser.add_argument("--procedures", type=int, default=200)
    parser.add_argument("--reports", type=int, default=400)
    parser.add_argument("--meters", type=int, default=40)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--keep", type=Path, help="leave the projects in this new folder")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = (options.keep or Path(temporary)).resolve()
        if options.procedures:
            procedures(folder, options.before.resolve(), options.procedures, options.runs)
        if options.reports:
            reports(folder, options.reports, options.meters)


if __name__ == "__main__":
    main()
