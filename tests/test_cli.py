"""The commands of a terminal: what may be typed, check, limits, export and schema; and the files
that they read and write."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

import builder
from builder import cli
from builder.formats import schemas
from builder.shop import loading
from tests import small_shop as shop
from tests.conftest import METERS, PAGES, ROOT, SHEETS, parse

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                      shop.range_("60 V", "10 mV", "0.4 % + 2 counts"), dial="V DC")
OHMS = shop.function("resistance", shop.range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
AC = shop.function("AC voltage",
                   shop.range_("6 V", "1 mV",
                               [shop.row("1.2 % + 5 counts", frequency="40 Hz to 400 Hz"),
                                shop.row("2.5 % + 5 counts", frequency="400 Hz to 1 kHz")],
                               lowest="5 % of range"))
DIODE = {"function": "diode test", "jacks": shop.JACKS}
LEFT_OUT = [{"function": name, "because": "not part of this test"}
            for name in ("resistance", "AC voltage", "diode test")]
GOOD = {"meters/lapwing-1.yaml": shop.meter(VOLTS, OHMS, AC, DIODE),
        "standards/petrel.yaml": shop.standard(),
        "plans/lapwing-yearly.yaml": shop.plan({"function": "DC voltage", "apply": ["3 V", "30 V"]},
                                               left_out=LEFT_OUT)}


@pytest.fixture
def command(tmp_path, monkeypatch, capsys):
    """Runs a command on a small shop: its exit code, what it printed, and what it said beside
    that."""
    shop.write(tmp_path / "procedures", GOOD)
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "procedures")

    def run(*arguments: str, **files) -> tuple[int, str, str]:
        shop.write(tmp_path / "procedures", files)
        code = cli.main(list(arguments))
        return (code, *capsys.readouterr())
    return run


def as_program(*arguments: str, **variables: str) -> subprocess.CompletedProcess:
    """A command on the demo, past the start that makes an environment."""
    return subprocess.run([sys.executable, "-c",
                           "import sys; from builder import cli; sys.exit(cli.main(sys.argv[1:]))",
                           *arguments],
                          cwd=ROOT, env=os.environ | variables, capture_output=True, timeout=60)


# ---------------------------------------------------------------- nobody reads on

@pytest.mark.parametrize("start, arguments, code", [
    ("__main__.start", ["limits", "dunlin-60", "DC voltage", "3 V"], 0),
    ("cli.main", ["limits", "dunlin-60", "DC voltage", "3 V", "--reads", "4 V"], 3),
    ("__main__.start", ["--help"], 0)])
def test_a_reader_that_goes_away_ends_it_quietly(start, arguments, code):
    """As behind '| head': no traceback, and the work's own exit code. The pipe is closed before a
    byte is read, so that no clock decides."""
    reading, writing = os.pipe()
    os.close(reading)
    program = ("import sys; from builder import __main__, cli; "
               "__main__.make_ready = lambda extra: None; __main__.is_inside = lambda: True; "
               f"sys.exit({start}(sys.argv[1:]))")
    with os.fdopen(writing, "wb") as gone:
        done = subprocess.run([sys.executable, "-c", program, *arguments], cwd=ROOT, stdout=gone,
                              stderr=subprocess.PIPE, timeout=60,
                              env=os.environ | {"PYTHONUNBUFFERED": ""})
    assert (done.returncode, done.stderr) == (code, b"")


# ---------------------------------------------------------------- what may be typed

COMMANDS = list(cli._parsers(cli.AS_MODULE)[1])


def test_the_readme_names_every_command():
    """Nothing can be typed that nobody can read about."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert [name for name in COMMANDS if f"python3 -m builder {name}" not in text] == []


def test_the_help_lists_every_command(capsys):
    """Exit code 0, a line a command; without any command the same with exit code 2."""
    assert cli.main(["--help"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("usage: python3 -m builder [-h]")
    assert re.findall(r"^    ([\w-]+)\s+[A-Z]", text, re.M) == COMMANDS
    assert cli.main([]) == 2
    assert capsys.readouterr() == (text, "")


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help_with_an_example_that_parses(name, capsys):
    """Exit code 0, a sentence on what it does, and an example that is no wrong usage; under another
    name it says that one."""
    assert cli.main([name, "--help"]) == 0
    text = capsys.readouterr().out
    assert text.startswith(f"usage: python3 -m builder {name} [-h]")
    assert re.search(r"\n\n[A-Z][^\n]+(\n[^\n]+)*\.\n\n", text)
    (example,) = re.findall(r"^example: python3 -m builder (.+)\n\Z", text, re.M | re.S)
    assert cli.parse(shlex.split(example)).do.__name__ == name.replace("-", "_")
    assert cli.main([name, "-h"], "sheets") == 0
    assert capsys.readouterr().out.split() == text.replace("python3 -m builder", "sheets").split()


@pytest.mark.parametrize("word, hint", [("biuld", "did you mean 'build'?"),
                                        ("xyzzy", "there are build, serve, test, ")])
def test_an_unknown_command_gets_the_nearest(word, hint, capsys):
    """Exit code 2; all of them where none is near."""
    assert cli.main([word, "more"]) == 2
    assert f"unknown command '{word}': {hint}" in capsys.readouterr().err


def test_the_version(capsys):
    """The builder's own."""
    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out == builder.__version__ + "\n"


@pytest.mark.parametrize("typed, runs", [
    ([], ["-n", "auto", "--dist", "loadfile"]),
    (["--quick"], ["-m", "quick"]),
    (["-k", "half_count", "-x"], ["-k", "half_count", "-x"]),
    (["tests/a.py", "-k", "not b", "-xvs", "--tb=short"],
     ["tests/a.py", "-k", "not b", "-xvs", "--tb=short"]),
    (["--quick", "-x", "tests"], ["-m", "quick", "-x", "tests"]),
    (["--long"], ["-m", "long", "-n", "auto", "--dist", "loadfile"])])
def test_the_tests_run_as_pytest_is_asked(typed, runs, monkeypatch):
    """All processors where nothing is named or only the quick or the long ones; else what is typed,
    in its order."""
    run = []
    monkeypatch.setattr(cli, "_module", lambda *arguments: run.append(arguments) or 7)
    assert cli.main(["test", *typed]) == 7
    assert run == [("pytest", *runs)]


@pytest.mark.parametrize("codes", [(0, 0), (1, 0), (0, 2)])
def test_lint_runs_both_and_fails_with_either(codes, monkeypatch):
    """The second isn't left out where the first finds something."""
    run = []
    monkeypatch.setattr(cli, "_module",
                        lambda *arguments: run.append(arguments) or codes[len(run) - 1])
    assert cli.main(["lint"]) == max(codes)
    assert [arguments[0] for arguments in run] == ["ruff", "mypy"]


# ---------------------------------------------------------------- check

BAD_PLAN = {
    "plans/lapwing-yearly.yaml": shop.plan({"function": "DC voltage", "apply": "3 A"},
                                           {"function": "DC voltage", "apply": "70 V"},
                                           left_out=LEFT_OUT)}


def test_check_says_that_all_is_well(command):
    """Without problems: one line with the number of files, exit code 0; beside it a line a plan on
    its standards."""
    code, out, err = command("check")
    assert code == 0 and re.fullmatch(r"lapwing-yearly: .* test uncertainty ratio.*\n", err)
    assert (
        out
        == "No problems in the files of 1 plan(s), 1 meter(s), 1 standard(s) and 0 record(s).\n")


def test_check_lists_every_problem_in_order(command):
    """Problems of several files come in one run, sorted by file and line, with the line, a mark and
    a hint; exit code 1."""
    code, out, err = command("check", **BAD_PLAN,
                             **{"meters/whinchat-2.yaml": "meter: whinchat-2\nname: [\n",
                                "standards/merlin.yaml": "standard: other\n"})
    assert (code, err) == (1, "")
    places = re.findall(r"^(\S+?):(\d+):(\d+): (error|warning): ", out, re.M)
    assert places == sorted(places, key=lambda place: (place[0], int(place[1]), int(place[2])))
    assert {place[0] for place in places} == {"procedures/meters/whinchat-2.yaml",
                                              "procedures/standards/merlin.yaml",
                                              "procedures/plans/lapwing-yearly.yaml"}
    assert "'3 A' is a current, a point of DC voltage needs volts" in out
    assert "hint: did you mean '3 V'?" in out
    assert re.search(r"^ +\d+ \| .*3 A.*\n +\| +\^+$", out, re.M)
    assert re.search(r"^\d+ errors$", out, re.M)


def test_check_as_json_says_the_same(command):
    """The JSON has a record for each problem of the text, with the same places and sentences; exit
    code 1."""
    code, out, _ = command("check", "--format", "json", **BAD_PLAN)
    records = json.loads(out)
    assert code == 1
    text = command("check", "--format", "text")[1]
    assert [f"{r['file']}:{r['line']}:{r['column']}: {r['severity']}: {r['problem']}"
            for r in records] == re.findall(r"^procedures/.*$", text, re.M)
    assert set(records[0]) >= {"file", "line", "column", "length", "severity", "code", "problem",
                               "hint"}
    assert all(r["severity"] == "error" and r["line"] >= 1 and r["column"] >= 1 for r in records)


def test_check_as_json_is_an_empty_list_when_all_is_well(command):
    """Exit code 0 and nothing to read."""
    code, out, _ = command("check", "--format", "json")
    assert (code, json.loads(out)) == (0, [])


def test_check_ends_well_with_warnings_only(command):
    """A warning is shown and is no failure."""
    code, out, _ = command("check", **{"meters/notes.txt": "mine"})
    assert code == 0
    assert "warning: only files named" in out
    assert out.rstrip().endswith("1 warning")


@pytest.mark.parametrize("arguments",
                         [["--format"], ["--format", "xml"], ["--form", "json"], ["dunlin-60"],
                          ["--format", "json", "more"]])
def test_check_explains_its_use(command, arguments):
    """Anything else than its one option is answered with the usage, exit code 2."""
    code, out, err = command("check", *arguments)
    assert (code, out) == (2, "")
    assert err.startswith("usage: python3 -m builder check [-h] [--shop DIR]")
    assert "\npython3 -m builder check: error: " in err


def test_check_without_a_folder(command, tmp_path):
    """A missing folder is a problem, not a traceback."""
    shutil.rmtree(tmp_path / "procedures")
    code, out, err = command("check")
    assert (code, err) == (1, "")
    assert "error: there is no such folder" in out


def test_the_demo_has_no_problems():
    """The demo's own files are right, warnings included."""
    assert loading.load_shop(ROOT / "procedures").problems == []


def test_a_record_with_an_error_in_it_is_not_said_to_be_missing(command):
    """`report` of its name says its error."""
    code, out, err = command("report", "broken", **{"records/broken.yaml": "record: ["})
    assert (code, out) == (1, "")
    assert "records/broken.yaml:1:" in err and "no such record" not in err


# ---------------------------------------------------------------- limits

def test_limits_answers_in_five_lines(command):
    """Meter and function, the range and its accuracy, tolerance, tolerance limits, accepted
    readings."""
    code, out, err = command("limits", "lapwing-1", "DC voltage", "3 V")
    assert (code, err) == (0, "")
    assert out.replace("\u00a0", " ").splitlines() == [
        "Lapwing 1, DC voltage, at 18 to 28 °C, simple acceptance",
        "3.000 V on the 6 V range, ±(0.4 % + 2 counts)",
        "Tolerance: 0.4 % × 3.000 V + 2 × 0.001 V = 0.012 V + 0.002 V = 0.014 V",
        "Tolerance limits: 2.986 V and 3.014 V",
        "Accepted, in steps of 0.001 V: 2.986 V to 3.014 V"]


@pytest.mark.parametrize("function, value, frequency, accepted", [
    ("dc VOLTAGE", "3V", None, "2.986 V to 3.014 V"),
    ("DC voltage", "-3 V", None, "−3.014 V to −2.986 V"),
    ("DC voltage", "-3V", None, "−3.014 V to −2.986 V"),
    ("DC voltage", "-0.3V", None, "−0.303 V to −0.297 V"),
    ("DC voltage", "−3 V", None, "−3.014 V to −2.986 V"),
    ("DC voltage", "3000 mV", None, "2.986 V to 3.014 V"),
    ("DC voltage", "3", None, "2.986 V to 3.014 V"),  # all of its ranges are in volts
    ("AC voltage", "3", "50", "2.959 V to 3.041 V"),
    ("DC voltage", "30 V", None, "29.86 V to 30.14 V"),
    ("DC voltage", "0 V", None, "−0.002 V to 0.002 V"),
    ("AC voltage", "3 V", "50 Hz", "2.959 V to 3.041 V"),
    ("AC voltage", "3 V", "400 Hz", "2.959 V to 3.041 V"),
    ("AC voltage", "3 V", "0.5 kHz", "2.920 V to 3.080 V"),
    ("resistance", "300 Ω", None, "296.8 Ω to 303.2 Ω"),
    ("resistance", "0.3 kOhm", None, "296.8 Ω to 303.2 Ω"),
])
def test_limits_works_out_the_accepted_readings(command, function, value, frequency, accepted):
    """Own examples, by hand: any spelling of function and value, both signs, the row of the
    frequency."""
    code, out, _ = command("limits", "lapwing-1", function, value,
                           *([frequency] if frequency else []))
    lines = out.replace("\u00a0", " ").splitlines()
    assert (code, len(lines)) == (0, 5)
    assert lines[-1].split(": ", 1)[1] == accepted


@pytest.mark.parametrize("arguments, said", [
    (["lapwing", "DC voltage", "3 V"],
     "there is no meter 'lapwing'.\nhint: did you mean 'lapwing-1'?"),
    (["lapwing-1", "DC volt", "3 V"],
     "Lapwing 1 has no function 'DC volt'.\nhint: did you mean 'DC voltage'?"),
    (["lapwing-1", "diode test", "3 V"], "'diode test' has no accuracy table"),
    (["lapwing-1", "duty cycle", "3"], "has no function"),
    (["lapwing-1", "DC voltage", "volts"], "'volts' doesn't start with a number"),
    (["lapwing-1", "DC voltage", "3,0 V"], "can be read in two ways"),
    (["lapwing-1", "DC voltage", "3 A"], "'3 A' is a current, DC voltage needs volts"),
    (["lapwing-1", "DC voltage", "3 VV"], "'VV' is not a unit known here"),
    (["lapwing-1", "DC voltage", "3 V", "50 Hz"], "has no frequency beside its value"),
    (["lapwing-1", "DC voltage", "70 V"], "beyond the highest reading"),
    (["lapwing-1", "DC voltage", "1001 V"], "more than this input bears"),
    (["lapwing-1", "AC voltage", "3 V"], "AC voltage needs a frequency"),
    (["lapwing-1", "AC voltage", "3 V", "3 V"], "'3 V' is no frequency"),
    (["lapwing-1", "AC voltage", "3 V", "2 kHz"], "covers 2 kHz"),
    (["lapwing-1", "AC voltage", "-3 V", "50 Hz"], "shows no minus"),
    (["lapwing-1", "AC voltage", "0.1 V", "50 Hz"], "below the lowest specified value"),
    (["lapwing-1", "", "", ""], "has no function"),
])
def test_limits_says_why_there_are_none(command, arguments, said):
    """A wrong question gets one sentence and a hint, exit code 1, and no number."""
    code, out, err = command("limits", *arguments)
    assert (code, out) == (1, "")
    assert said in err.replace("\u00a0", " ")
    assert "Traceback" not in err


@pytest.mark.parametrize("arguments",
                         [[], ["lapwing-1"], ["lapwing-1", "DC voltage"],
                          ["lapwing-1", "DC voltage", "3 V", "50 Hz", "more"]])
def test_limits_explains_its_use(command, arguments):
    """Too few or too many words: the usage with an example, exit code 2."""
    code, out, err = command("limits", *arguments)
    assert (code, out) == (2, "")
    assert err.startswith("usage: python3 -m builder limits [-h] METER FUNCTION VALUE [FREQUENCY]")


def test_limits_of_a_meter_whose_file_is_wrong(command):
    """The problems of its file are the answer."""
    broken = json.dumps(GOOD["meters/lapwing-1.yaml"]).replace("0.4 % + 2 counts", "0.4 furlongs")
    code, out, err = command("limits", "lapwing-1", "DC voltage", "3 V",
                             **{"meters/lapwing-1.yaml": broken})
    assert (code, out) == (1, "")
    assert "the meter's file has problems" in err and "procedures/meters/lapwing-1.yaml:" in err


def test_limits_does_not_mind_mistakes_elsewhere(command):
    """Another meter's or a plan's mistakes don't hide the answer."""
    code, out, _ = command("limits", "lapwing-1", "DC voltage", "3 V", **BAD_PLAN,
                           **{"meters/whinchat-2.yaml": "meter: ["})
    assert (code, len(out.splitlines())) == (0, 5)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_limits_prints_on_a_terminal_without_these_signs(encoding):
    """Where the terminal knows no minus sign or ohm, the answer still comes, and no traceback."""
    done = as_program("limits", "dunlin-60", "DC voltage", "-3 V", PYTHONIOENCODING=encoding,
                      PYTHONUTF8="0")
    assert b"UnicodeEncodeError" not in done.stderr
    assert done.returncode == 0
    assert b"3.014" in done.stdout


@pytest.mark.parametrize("reads, code", [("3.014 V", 0), ("3.015 V", 3), ("2.985", 3), ("OL", 3),
                                         ("70 V", 1)])
def test_limits_says_by_its_exit_code_what_became_of_a_reading(command, reads, code):
    """Like a report: 0 within the limits, 3 not; 1 where nothing could be said."""
    assert command("limits", "lapwing-1", "DC voltage", "3 V", "--reads", reads)[0] == code


def test_limits_of_a_time_since_adjustment(command):
    """That of the plan, not always the longest; a time that the file doesn't have is refused with
    those that it has."""
    meter = {"meters/lapwing-1.yaml": shop.meter(shop.function("DC voltage", shop.range_(
        "6 V", "1 mV", [{"within_since": {"90 days": "0.1 % + 2 counts",
                                          "1 year": "0.4 % + 2 counts"}}])))}
    asked = "limits", "lapwing-1", "DC voltage", "3 V"
    for more, time, accepted in (([], "1 year", "2.986 V to 3.014 V"),
                                 (["--verified-against", "3 months"], "90 days", None),
                                 (["--verified-against", "90 days"], "90 days",
                                  "2.995 V to 3.005 V")):
        code, out, err = command(*asked, *more, **meter)
        if accepted is None:
            assert (code, out) == (1, "") and err == (
                "Lapwing 1 has no accuracy for 3 months since adjustment.\n"
                "hint: one of: 90 days, 1 year\n")
            continue
        lines = out.replace("\u00a0", " ").splitlines()
        assert (code, f"limits of {time} since adjustment" in lines[0]) == (0, True)
        assert lines[-1].split(": ", 1)[1] == accepted
    code, _, err = command(*asked, "--verified-against", "1 year", **GOOD)
    assert code == 1 and "states none by time since adjustment" in err


# ---------------------------------------------------------------- export

@pytest.fixture(scope="module")
def exported(tmp_path_factory) -> Path:
    """The demo as a folder of pages."""
    target = tmp_path_factory.mktemp("export") / "new" / "deeper"
    assert cli.main(["export", str(target)]) == 0
    return target


def test_export_writes_pages_files_and_style(exported):
    """Every page as Markdown, the data, and the style sheet; nothing of the engine."""
    files = {path.relative_to(exported).as_posix() for path in exported.rglob("*")
             if path.is_file()}
    assert files >= {f"{page}.md" for page in PAGES}
    assert files >= {f"data/procedures/{name}.json" for name in SHEETS} | {
        f"data/meters/{name}.json" for name in METERS} | {"assets/bench.css"}
    for path in exported.rglob("*.md"):
        text = path.read_text(encoding="utf-8")
        assert "{%" not in text and "<!--block" not in text and "\r" not in text


def test_export_takes_an_empty_folder_and_says_what_the_pages_need(exported, tmp_path, capsys):
    """A folder that is there and empty is as good as none. It prints the folder and the settings
    that another engine needs, all extensions of Markdown that mkdocs.yml has; the same input gives
    the same bytes."""
    (tmp_path / "empty").mkdir()
    assert cli.main(["export", str(tmp_path / "empty")]) == 0
    (listed,) = re.findall(r"^markdown_extensions:\n((?:  - .*\n)+)",
                           (ROOT / "mkdocs.yml").read_text(encoding="utf-8"), re.M)
    extensions = re.findall(r"^  - (\w+)", listed, re.M)
    assert len(extensions) == listed.count("\n") > 3
    out = capsys.readouterr().out
    for wanted in (str(tmp_path / "empty"), "use_directory_urls: false",
                   "assets/bench.css", *extensions):
        assert wanted in out
    one, two = ({path.relative_to(folder): path.read_bytes() for path in folder.rglob("*")
                 if path.is_file()} for folder in (exported, tmp_path / "empty"))
    assert one == two


@pytest.mark.parametrize("theme", [
    "mkdocs", pytest.param("material", marks=pytest.mark.long)])
def test_an_export_builds_to_the_same_limits_without_the_plugin(exported, demo, tmp_path, theme):
    """Plain MkDocs with the named settings, and neither plugin nor style sheet, shows each sheet's
    rows as they are."""
    (tmp_path / "mkdocs.yml").write_text(
        f"site_name: Elsewhere\ndocs_dir: {json.dumps(str(exported))}\nuse_directory_urls: "
        f"false\ntheme: {theme}\nplugins: []\n"
        "markdown_extensions: [attr_list, md_in_html, toc]\nvalidation: {links: {not_found: warn, "
        "anchors: warn}}\n", encoding="utf-8")
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    build(load_config(str(tmp_path / "mkdocs.yml"), site_dir=str(tmp_path / "site"), strict=True))
    for name in SHEETS:
        here = parse((tmp_path / f"site/procedures/{name}.html").read_text(encoding="utf-8"))
        there = demo.page(f"procedures/{name}")
        rows = [[[cell.text for cell in row.all("td")] for table in page.all("table")
                 if "data-search-exclude" in table.attributes for row in table.all("tr")]
                for page in (here, there)]
        assert rows[0] == rows[1]
        assert [row["id"] for table in here.all("table.points")
                for row in table.one("tbody").all("tr") if "between" not in row.classes] == [
                    point["id"] for point in json.loads(here.by_id("procedure-data").raw)["points"]]
        styles = [[style.raw for style in page.all("style") if "@page" in style.raw]
                  for page in (here, there)]
        assert styles[0] == styles[1] != []
        assert [link["href"] for link in here.all("a")
                if (link["href"] or "").startswith("#group-")][:1] == ["#group-1"]
        assert here.by_id("group-1").tag == "h2"


def test_export_refuses_a_folder_that_is_not_empty(tmp_path, capsys):
    """It says so, changes nothing, and ends with 1."""
    (tmp_path / "mine.md").write_text("mine", encoding="utf-8")
    assert cli.main(["export", str(tmp_path)]) == 1
    assert "is not an empty folder" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["mine.md"]
    assert cli.main(["export", str(tmp_path / "mine.md")]) == 1
    assert (tmp_path / "mine.md").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("inside", ["site_src/out", "procedures/out", "builder/templates/out",
                                    "site_src/../procedures/out"])
def test_export_refuses_a_folder_among_the_sources(capsys, inside):
    """What it writes would be read as source the next time."""
    assert cli.main(["export", str(ROOT / inside)]) == 1
    assert "lies among the sources" in capsys.readouterr().err
    assert not (ROOT / inside).exists()


def test_an_export_with_mistakes_says_what_is_missing(command, tmp_path):
    """The problems, exit code 1, and a page in the place of what depends on them."""
    code, out, err = command("export", str(tmp_path / "out"), **BAD_PLAN)
    assert code == 1 and "generated pages and those of site_src are in" in out
    assert "'3 A' is a current" in err
    assert "# Missing: " in (tmp_path / "out/procedures/lapwing-yearly.md").read_text("utf-8")
    told = parse((tmp_path / "out/problems.md").read_text("utf-8")).one("pre.problems").text
    assert "'3 A' is a current" in told


def test_an_export_without_a_folder_to_read_writes_nothing(command, tmp_path):
    """The problem and exit code 1."""
    (tmp_path / "procedures/records").symlink_to("nowhere")
    code, out, err = command("export", str(tmp_path / "out"))
    assert (code, out) == (1, "") and "this link leads to no folder" in err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("arguments", [[], ["a", "b"]])
def test_export_explains_its_use(command, arguments):
    """It takes one folder."""
    code, out, err = command("export", *arguments)
    assert (code, out) == (2, "")
    assert "usage: python3 -m builder export [-h] [--shop DIR] DIR" in err


# ---------------------------------------------------------------- schema

def test_schema_writes_the_schemas_and_names_them(tmp_path, monkeypatch, capsys):
    """One file for each kind, its path printed, exit code 0."""
    monkeypatch.setattr(cli, "ROOT", tmp_path)
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "procedures")
    assert cli.main(["schema"]) == 0
    named = capsys.readouterr().out.split()
    assert sorted(named) == sorted(path.relative_to(tmp_path).as_posix()
                                   for path in (tmp_path / "procedures/.schema").iterdir())
    assert {f"procedures/.schema/{kind}.schema.json"
            for kind in ("meter", "plan", "standard")} <= set(named)


@pytest.mark.parametrize("command", ["schema", "build", "serve"])
def test_commands_without_arguments_refuse_them(command, capsys):
    """A word too many ends with 2 before anything is done."""
    assert cli.main([command, "more"]) == 2
    assert f"{command}: error: unrecognized arguments: more" in capsys.readouterr().err


@pytest.mark.parametrize("kind", sorted(schemas.MODELS))
def test_the_committed_schemas_are_current(kind):
    """Each schema in the tree is the one that the models give; `python3 -m builder schema` writes
    it."""
    assert schemas.file(ROOT / "procedures", kind).read_text("utf-8") == schemas.text(kind)


class CoreLoader(yaml.SafeLoader):
    """YAML as an editor reads it: the core types of YAML 1.2, so no dates, no `on`, no base
    sixty."""


CoreLoader.yaml_implicit_resolvers = {}
for tag, pattern, first in (("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
                            ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
                            ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789"),
                            ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?",
                             "-+0123456789.")):
    CoreLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(rf"^(?:{pattern})$"),
                                     list(first))

FILES = sorted((ROOT / "procedures").rglob("*.yaml"))
KIND_OF = {"meters": "meter", "standards": "standard", "plans": "plan", "records": "paper-record",
           "checks-between": "check-between"}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_an_editor_finds_the_demo_files_right(path):
    """Each demo file fits the schema that its own first line names, which is the schema of its
    kind."""
    text = path.read_text(encoding="utf-8")
    named = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)[1]
    schema_file = (path.parent / named).resolve()
    assert schema_file == schemas.file(ROOT / "procedures",
                                       KIND_OF.get(path.parent.name, path.stem))
    schema = json.loads(schema_file.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    assert [f"{error.json_path}: {error.message}"
            for error in Draft202012Validator(schema).iter_errors(
                yaml.load(text, CoreLoader))] == []


@pytest.mark.parametrize("kind, change", [
    ("meter", {"colour": "red"}), ("meter", {"functions": "none"}),
    ("meter", {"functions": [{"function": "DC voltage"}]}), ("meter", {"meter": "Lapwing 1"}),
    ("plan", {"decision_rule": "by eye"}),
    ("plan", {"points": [{"function": "DC voltage", "aply": "3 V"}]}), ("plan", {"checks": [1]}),
    ("standard", {"kind": "magic"}), ("standard", {"outputs": [{"output": "DC voltage"}]}),
    ("standard", {"name": ["a"]}),
])
def test_an_editor_marks_mistakes(kind, change):
    """The schemas refuse unknown keys, missing ones, words not known here and values of the wrong
    shape."""
    right = {"meter": GOOD["meters/lapwing-1.yaml"], "plan": GOOD["plans/lapwing-yearly.yaml"],
             "standard": GOOD["standards/petrel.yaml"]}[kind]
    validator = Draft202012Validator(json.loads(schemas.text(kind)))
    assert list(validator.iter_errors(right)) == []
    assert list(validator.iter_errors(right | change)) != []


@pytest.mark.parametrize("kind", sorted(schemas.FILES))
def test_an_editor_explains_every_key(kind):
    """Each key of a schema says what it holds, or its name is the whole story; none offers null but
    that of a form, whose places may be empty."""
    schema = json.loads(schemas.text(kind))
    text = json.dumps(schema)
    assert ('"null"' in text) == (kind == "paper-record")
    for model in (schema, *schema.get("$defs", {}).values()):
        assert model.get("additionalProperties") is False


@pytest.mark.parametrize("kind", ["procedure", "meter"])
def test_the_data_beside_the_pages_fits_its_schema(demo, kind):
    """Every data file of the site fits the committed schema of its kind, and has no field that the
    schema doesn't name."""
    schema = json.loads(
        schemas.file(ROOT / "procedures", f"{kind}-data").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    files = sorted((demo.site / "data" / f"{kind}s").glob("*.json"))
    assert files
    closed = json.loads(json.dumps(schema),
                        object_hook=lambda one: one | {"additionalProperties": False}
                        if "properties" in one and one.get("type") == "object" else one)
    for path in files:
        found = json.loads(path.read_text(encoding="utf-8"))
        assert [f"{error.json_path}: {error.message}"
                for error in Draft202012Validator(schema).iter_errors(found)] == []
        assert [f"{error.json_path}: {error.message}"
                for error in Draft202012Validator(closed).iter_errors(found)] == []
        assert found["format"] == 1
        of_old = f"-{found.get('revision')}"    # of a sheet that was approved before
        assert found[kind] == path.stem.removesuffix(of_old)


# ---------------------------------------------------------------- what can't be written

CAPPED = """import resource, sys
from pathlib import Path
from builder import cli
cli.PROCEDURES = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (500, 500))
sys.exit(cli.main(sys.argv[2:]))
"""


@pytest.mark.skipif(os.name == "nt", reason="limits are set in another way there")
@pytest.mark.parametrize("words, says", [
    ("{mine} blank lapwing-yearly", r"\S+/lapwing-yearly-\w+\.json: File too large\."),
    ("{mine} draft lapwing-1 petrel", r"\S+/lapwing-1-draft\.yaml can't be written: File too "
     r"large\."),
    ("{demo} report 2026-03-12-dunlin-60-0147 --to {here}/out",
     r"\S+/out/2026-03-12-dunlin-60-0147\.html: File too large\."),
    ("{demo} export {here}/out", r"(?s).*: File too large\."),
], ids=["blank", "draft", "report", "export"])
def test_a_file_that_is_cut_off_leaves_a_sentence_and_no_half(words, says, tmp_path):
    """With a real limit, that ends the writing in the middle: exit code 1 and one sentence."""
    shop.write(tmp_path / "procedures", GOOD)
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    places = {"mine": tmp_path / "procedures", "demo": ROOT / "procedures", "here": tmp_path}
    done = subprocess.run([sys.executable, "-c", CAPPED,
                           *(word.format(**places) for word in words.split())],
                          cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout) == (1, "")
    assert re.fullmatch(says, done.stderr.strip()), done.stderr
    assert "Traceback" not in done.stderr
    assert {path for path in tmp_path.rglob("*") if path.is_file()} == before


def test_who_stops_reading_gets_no_traceback():
    """As 'check | head' does, whenever that ends."""
    with subprocess.Popen([sys.executable, "-c", "import sys; from builder import cli\n"
                           "sys.exit(cli.main(['practice', '7', '--answers']))"], cwd=ROOT,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        process.stdout.close()
        said = process.stderr.read().decode()
        assert (process.wait(60), said) == (1, "")
