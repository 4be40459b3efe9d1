"""Spoiled files of every kind: what must hold for each stands in tests/fuzz.py. Random ones from a
seed, and by hand what would do the most harm: markup, marks that turn the writing, paths, size,
depth, and numbers out of this world.

The random part has 60 cases, in the long form 1000; FUZZ_CASES=20000 makes it so many, FUZZ_SEED
others. Of those by hand, which try each field of each kind of file, every seventh is in the
ordinary run and all are in the long form."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from dataclasses import replace

import pytest
import yaml

from builder.files.cache import Cache
from builder.files.problems import Wrong
from builder.numbers import units
from builder.shop import loading
from tests import fuzz, fuzz_shop

SEED = os.environ.get("FUZZ_SEED", "1")
CASES = [int(os.environ["FUZZ_CASES"])] if "FUZZ_CASES" in os.environ else [
    60, pytest.param(1000, marks=pytest.mark.long)]


@pytest.mark.parametrize("cases", CASES)
def test_no_mistake_in_a_file_changes_a_limit_in_silence(cases):
    """A process of its own, whose memory is its own: every case holds, and enough of them come to
    pages to mean something."""
    done = subprocess.run([sys.executable, "-m", "tests.fuzz", SEED, str(cases)], cwd=fuzz.ROOT,
                          stdin=subprocess.DEVNULL, capture_output=True, text=True,
                          encoding="utf-8",
                          env=os.environ | {"PYTHONPATH": str(fuzz.ROOT)}, timeout=300 + cases)
    assert done.stdout, done.stderr[-3000:]
    found = json.loads(done.stdout)
    assert not found["failed"] and done.returncode == 0, json.dumps(found, indent=1)[:5000]
    assert found["megabytes"] <= fuzz.MEGABYTES
    became = found["became"]
    assert (became["shown"] > cases / 10 and became["refused"] > cases / 4
            and became["same"] > cases / 20), became


@pytest.fixture(params=[7, pytest.param(1, marks=pytest.mark.long)])
def every(request) -> int:
    """Every how many of the cases are tried."""
    return request.param


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    return fuzz.parts(tmp_path_factory.mktemp("parts"))


@pytest.fixture(scope="module")
def clamp(parts):
    """The smallest of the demo's sheets."""
    return next(part for part in parts if "turnstone-c-yearly" in part.shop.procedures)


# ---------------------------------------------------------------- is the watchman awake

@pytest.mark.parametrize("typed, other",
                         [("accuracy: 0.5 % + 2 counts", "accuracy: 0.5 % + 3 counts"),
                          ("resolution: 0.1 ohm", "resolution: 0.2 ohm"),
                          ("within: 2.0 % + 5 counts", "within: 2.1 % + 5 counts")])
def test_a_limit_that_is_not_the_files_is_seen(clamp, typed, other):
    """The second reader, given a file that differs in one digit from the one that was computed,
    says so."""
    (procedure,) = clamp.shop.procedures.values()
    text = clamp.texts["meters/turnstone-c.yaml"]
    fuzz.check_against_the_file(procedure, yaml.load(text, fuzz.LOADER))
    spoiled = (re.sub(r"(accuracy: |within: |resolution: )(\d+)", lambda m: m[1] + m[2] + "0", text)
               if typed not in text else text.replace(typed, other))
    with pytest.raises(AssertionError):
        fuzz.check_against_the_file(procedure, yaml.load(spoiled, fuzz.LOADER))


def test_a_limit_that_differs_alone_is_seen(clamp, monkeypatch):
    """A builder that takes 'counts' for half as many passes neither the second reader nor, where
    that one sleeps, the comparison of pages."""
    from builder.formats import accuracy
    plain = accuracy.AccuracyText.of
    monkeypatch.setattr(accuracy.AccuracyText, "of", lambda self,
                        *more: accuracy.Accuracy(
                            **{
                                **{n: getattr(plain(self, *more), n)
                                   for n in ("percent_of_reading", "percent_of_range", "fixed")},
                                "counts": plain(self, *more).counts / 2}))
    name = "meters/turnstone-c.yaml"
    with pytest.raises(AssertionError, match="times what the file says|tolerances are|low|\\("):
        # Nothing of this is to be kept for the tests that follow.
        fuzz.check_case(replace(clamp, kept=Cache()), name, clamp.texts[name].encode())


# ------------------------------------------------------ ways to write a number that mean two things

@pytest.mark.parametrize("typed",
                         ["０.４ V", "٤ V", "४ V", "߄ V", "𝟜 V", "4٣ V", "0 500 mV", "00 500 mV",
                          "1_000 V", "0x10 V", "0o17 V", "12:30 V", "1,5 V", "1'000 V",
                          "1.000.000 V", "1 00 V", "½ V", "4² V", "1e999999 V", "1e-999999 V",
                          "–4 V", "－4 V", "--4 V",
                          "+-4 V", "1/2 V", "Infinity V", "nan V", "1e V", "1e3e3 V",
                          "9" * 19 + " V", "0." + "0" * 30 + "1 V"])
def test_no_number_that_can_be_read_in_two_ways(typed):
    """Digits of other scripts, other bases, other minus signs, groups that may be a lost point:
    refused, never guessed."""
    with pytest.raises(Wrong):
        units.quantity(typed)


@pytest.mark.parametrize("typed, value",
                         [("010 V", 10), ("1e3 V", 1000), ("1E-3 V", "0.001"), ("20 000 V", 20000),
                          ("−4 V", -4), ("+4 V", 4), (".5 V", "0.5"), ("007.50 V", "7.5")])
def test_what_a_person_means_by_it(typed, value):
    """A leading zero makes no octal number, an exponent is one, and both minus signs are."""
    assert units.quantity(typed).value == units.Fraction(value)


# ---------------------------------------------------------------- each field of each kind of file

MARKUP = (
    """<script>window.harm=1</script><b>&amp;</b> {{ 7*7 }} {% raw %} </style></td> """
    """*a* [e](javascript:f) ![g](h) # | `d` \\""")
PATHS = ["../../../etc/passwd", "/etc/passwd", "C:\\windows\\con", "con", "NUL", "a/b", ".", "..",
         "~/x", "%2e%2e%2f", "x\\y", "file:///etc/passwd"]
TURNED = ["\u202e7410", "\u2067x\u2069", "a\u200fb", "\u200b", "\x00", "\x1b[31m", "\ufeff"]
NUMBERS = ["1e999999 V", "-1e999999", "1e-999999 V", "1e18 V", "1e-18 V", "9" * 400 + " V",
           "0." + "0" * 400 + "1 V", "0", "-0 V"]


def fields(text: str) -> list[tuple]:
    """A place of each kind of value in a file: a list stands for its first entry, and a record's
    steps for the first of their form. Of the many in what a phone hands over, each third."""
    data = json.loads(text) if text.startswith("{") else yaml.load(text, fuzz.LOADER)
    found = {}
    for path in fuzz._paths(data):
        if path and not isinstance(fuzz._found(data, path), (dict, list)):
            found.setdefault(tuple("" if re.match(r"\d+(\.\d+ |$)", str(step)) else step
                                   for step in path), path)
    return list(found.values())[::3 if text.startswith("{") else 1]


def with_value(text: str, path: tuple, value, ensure_ascii: bool = False) -> bytes:
    data = json.loads(text) if text.startswith("{") else yaml.load(text, fuzz.LOADER)
    fuzz._found(data, path[:-1])[path[-1]] = value
    return json.dumps(data, ensure_ascii=ensure_ascii).encode("utf-8", "surrogatepass")


def kinds(parts) -> list[tuple]:
    """One file of each kind: the part that it stands in, and its name."""
    clamp, reports = (next(part for part in parts if name in "".join(part.texts))
                      for name in ("meters/turnstone-c", "2026-03-12"))
    phone = next(part for part in parts if any("as-found" in name for name in part.texts))
    return [
        *((clamp, name) for name in clamp.texts
          if name not in ("standards/gannet-r.yaml", "standards/fulmar.yaml")),
        (reports, "workshop.yaml"), (reports, "records/2026-03-12-dunlin-60-0147.yaml"),
        *((phone, name) for name in phone.texts if "as-found" in name)]


def test_markup_in_any_field_is_text_or_refused(parts, every, monkeypatch):
    """On no page and in no file of data does a tag, a script or a template's sign stand as it was
    typed."""
    shown, pages = 0, []
    plain = fuzz.RENDERED
    monkeypatch.setattr(fuzz, "RENDERED", lambda shop: pages.append(plain(shop)) or pages[-1])
    for part, name in kinds(parts):
        for path in fields(part.texts[name])[::every]:
            pages.clear()
            fuzz.check_case(part, name, with_value(part.texts[name], path, MARKUP))
            for site in pages:
                for page, text in {**site.pages,
                                   **{n: t for n, t in site.files.items()
                                      if n.startswith("data/") and n.endswith(".js")}}.items():
                    outside = re.sub(r"<script type=\"application/json\".*?</script>", "", text,
                                     flags=re.S)
                    for raw in ("<script>window", "<b>&amp;</b>", "</style></td>"):
                        assert raw not in text, (name, path, page)
                    shown += "window.harm" in outside
    assert shown > 30 / every


def test_marks_that_turn_the_writing_are_refused_everywhere(parts, every):
    """As they are and as escapes, in every field of every kind, also in what a phone hands over."""
    for part, name in kinds(parts):
        for n, path in enumerate(fields(part.texts[name])[::every]):
            value = TURNED[n % len(TURNED)]
            if name.endswith(".json") and value in ("a\u200fb", "\u200b", "\ufeff"):
                continue    # a phone's keyboard may put these into a note; they turn nothing
            assert fuzz.check_case(part, name,
                                   with_value(part.texts[name], path, value,
                                              n % 2 == 0)) == "refused", (name, path, value)


def test_no_name_leads_out_of_its_folder(parts, every):
    """A path or a device's name in a field is text or refused; in a name it is refused."""
    for part, name in kinds(parts):
        for n, path in enumerate(fields(part.texts[name])[::3 * every]):
            fuzz.check_case(part, name, with_value(part.texts[name], path, PATHS[n % len(PATHS)]))
    for part, name in kinds(parts):
        key = {"meters": "meter", "standards": "standard", "plans": "plan",
               "records": "record"}.get(name.split("/")[0])
        for value in PATHS[::2 + every] if key else []:
            assert fuzz.check_case(part, name,
                                   with_value(part.texts[name], (key,), value)) == "refused", (
                                       name, value)


@pytest.mark.parametrize("size", ["10 MB", "900 kB of one sign", "a million points", "100 000 deep",
                                  "100 000 keys"])
def test_size_and_depth_are_refused_quickly(parts, every, size):
    """In every kind of file: a problem, within seconds, of a readable length."""
    for n, (part, name) in enumerate(kinds(parts)):
        text = part.texts[name]
        as_json = name.endswith(".json")
        if size == "10 MB":
            cases = [text.encode() + b"\n#" + b"x" * 10_000_000,
                     b'{"a": "' + b"x" * 10_000_000 + b'"}']
        elif size == "100 000 deep":
            cases = [b'{"a": ' + sign[:1] * 100_000 + sign[1:] * 100_000 + b"}"
                     for sign in (b"[]", b"{}")] + [b'{"a": ' + b'{"a": ' * 100_000] + (
                         [] if as_json
                         else [b"a: " + b"- " * 100_000,
                               b"".join(b" " * n + b"a:\n" for n in range(1200))])
        elif size == "100 000 keys":
            cases = [b"{" + b", ".join(b'"k%d": 1' % n for n in range(many)) + b"}"
                     for many in (6_000, 70_000)]
            cases += [b'{"points": [' + b", ".join([b'{"function": "x"}'] * many) + b"]}"
                      for many in (4_000, 30_000)]
        else:
            paths = fields(text)
            sign = "." if size == "a million points" else "x9(+é "[len(name) % 6]
            cases = [with_value(text, path, sign * 900_000)
                     for path in paths[::max(1, len(paths) // 6)]]
        for case in cases[n % every % len(cases)::every]:
            started = time.process_time()
            assert fuzz.check_case(part, name, case) == "refused", (name, size)
            assert time.process_time() - started < 6, (name, size)


def test_numbers_out_of_this_world(parts, every):
    """Huge, tiny, endless and no numbers at all in a field: refused, or shown as they are."""
    for part, name in kinds(parts):
        for n, path in enumerate(fields(part.texts[name])[::every]):
            fuzz.check_case(part, name,
                            with_value(part.texts[name], path, NUMBERS[n % len(NUMBERS)]))


# ---------------------------------------------------------------- what the long run found

@pytest.mark.parametrize("key", ["meter", "standards", "plan", "decision_rule", "points", "title"])
def test_a_misspelt_key_never_makes_a_plan_vanish(clamp, key):
    """The key that is then missing is no reason to say nothing."""
    name = "plans/turnstone-c-yearly.yaml"
    (clamp.folder / name).write_text(re.sub(rf"^{key}:", f"{key}z:", clamp.texts[name], flags=re.M),
                                     encoding="utf-8")
    shop = loading.load_shop(clamp.folder)
    (clamp.folder / name).write_text(clamp.texts[name], encoding="utf-8")
    assert [one.code for one in shop.errors] == ["unknown-key"], "\n".join(map(str, shop.problems))


def test_a_record_that_is_nested_too_deep_is_a_problem(parts):
    """Deeper than places are looked for, but not too deep for the standard library."""
    part, name = kinds(parts)[-1]
    for depth in (59, 61, 200, 900, 100_000):
        text = part.texts[name].rstrip()[
            :-1] + ', "x": ' + "[" * depth + "]" * depth + ', "serial": ""}'
        fuzz.check_case(part, name, text.encode())


@pytest.mark.parametrize("field, change",
                         [("high_counts", lambda v: v + 1000), ("low_counts", lambda v: v - 1),
                          ("high", lambda v: v.replace("3", "8")),
                          ("low", lambda v: v.replace("2", "1"))])
@pytest.mark.parametrize("band", ["accept", "tolerance_limits"])
def test_a_changed_limit_in_a_record_is_a_problem(parts, band, field, change):
    """A reading is judged by counts, and the report prints numbers: one that was changed alone is
    no limit of this sheet."""
    part, name = kinds(parts)[-1]
    data = json.loads(part.texts[name])
    point = next(one for one in data["judged_by"]["points"]
                 if one["accept"] and "2" in one["accept"]["low"] and "3" in one["accept"]["high"])
    point[band][field] = change(point[band][field])
    assert fuzz.check_case(part, name, json.dumps(data).encode()) == "refused"


@pytest.mark.parametrize("field, value", [("slope", "0.5"), ("offset", None), ("resolution", None),
                                          ("apply", None)])
def test_a_changed_accuracy_in_a_record_is_a_problem(parts, field, value):
    """Its limits would not follow from it."""
    part, name = kinds(parts)[-1]
    data = json.loads(part.texts[name])
    point = next(one for one in data["judged_by"]["points"] if one["tolerance_limits"]
                 and not one["expected"] and not one["apply"].startswith("0"))
    point[field] = value or "7" + point[field]
    assert fuzz.check_case(part, name, json.dumps(data).encode()) == "refused"


def test_the_leads_that_a_limit_rests_on_are_in_its_evidence(clamp):
    """The reading of the leads alone has a limit, and the sheet's evidence says of what leads."""
    name = "plans/turnstone-c-yearly.yaml"
    assert fuzz.check_case(clamp, name,
                           clamp.texts[name].replace(
                               "contacts: 40 mohm", "contacts: 400 mohm").encode()) == "shown"
    (procedure,) = clamp.shop.procedures.values()
    assert any("1\u202fm each of 0.75\u202fmm², contacts at most 40\u202fmΩ"
               in note.replace("\u00a0", "\u202f") for note in procedure.notes), procedure.notes


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """The small shop with a file of every kind."""
    return fuzz.whole(tmp_path_factory.mktemp("whole"))


def test_each_kind_of_file_is_spoilt(whole):
    kinds_of_files = {name.split("/")[0].removesuffix(".yaml") + name[name.rindex("."):]
                      for name in whole.texts}
    assert kinds_of_files == {
        "meters.yaml", "standards.yaml", "plans.yaml", "records.yaml", "records.json",
        "records.csv", "past.csv", "checks-between.yaml", "approved.json", "finished.json",
        "register.yaml", "workshop.yaml"}
    for name, text in whole.texts.items():
        assert fuzz.check_case(whole, name, text.encode()) == "same", name


@pytest.mark.parametrize("name, before, after", [
    ("register.yaml", "owner: engine", "owner: engines"),
    ("checks-between/petrel-3-v.yaml", "'2026-02-07':", "'2026-01-07':"),
    ("past/before.csv", "0148;;2019-12-09", "0147;;2019-12-09"),
    ("records/2025-03-12-typed.yaml", "place: bench 2", "place: bench 3")])
def test_what_is_lost_is_seen(whole, name, before, after):
    """A shop that reads less than stands in a file does not pass."""
    spoilt = whole.texts[name].replace(before, after)
    assert spoilt != whole.texts[name]
    assert fuzz.check_case(whole, name, spoilt.encode()) in ("shown", "refused")
    shop = loading.load_shop(whole.folder)
    lost = {"register.yaml": lambda: shop.register.meters.pop(),
            "checks-between/petrel-3-v.yaml":
                lambda: shop.checks_between["petrel-3-v"].readings.popitem(),
            "past/before.csv": lambda: shop.past["lapwing-1", "0148"].pop(),
            "records/2025-03-12-typed.yaml": lambda: shop.records.popitem()}
    fuzz_shop.check_nothing_lost(shop, whole.shop, name, whole.texts[name].encode())
    lost[name]()
    with pytest.raises(AssertionError, match="lost"):
        fuzz_shop.check_nothing_lost(shop, whole.shop, name, whole.texts[name].encode())


def test_a_group_in_the_place_of_a_word_is_a_problem(whole):
    """Where one word may stand for a list of them, a group of keys ended 'check' in a traceback."""
    text = whole.texts["workshop.yaml"]
    for typed in ("{x: y}", "[{x: y}]", "fly", "[[review]]", "[review, fly]"):
        case = re.sub(r"may: \[.*?\]", f"may: {typed}", text)
        assert case != text
        assert fuzz.check_case(whole, "workshop.yaml", case.encode()) == "refused", typed
    (whole.folder / "workshop.yaml").write_text(
        re.sub(r"may: \[.*?\]", "may: fly", text), encoding="utf-8")
    (wrong,) = loading.load_shop(whole.folder).errors
    (whole.folder / "workshop.yaml").write_text(text, encoding="utf-8")
    assert "'fly' is not one of the words" in wrong.sentence


def test_results_of_a_meter_that_nobody_knows_have_a_line(whole):
    """Neither in the register nor with a record: the page of the shop's meters could not be made,
    nor any other."""
    name = "past/before.csv"
    case = whole.texts[name].replace("0148;lapwing-1", "9999;lapwing-1")
    assert fuzz.check_case(whole, name, case.encode()) == "shown"


@pytest.mark.parametrize("field, value", [("rectangles", ["0 V"]), ("rectangles", ["-1 mV"]),
                                          ("normal", "-1 mV"), ("u", "0 V")])
def test_an_uncertainty_of_nothing_in_a_record_is_a_problem(whole, field, value):
    """A report divided by it."""
    name = "records/2026-03-12-phone.json"
    data = json.loads(whole.texts[name])
    point = next(one for one in data["judged_by"]["points"] if one["unit"] == "V")
    assert point["uncertainty"]["rectangles"]
    point["uncertainty"][field] = value
    assert fuzz.check_case(whole, name, json.dumps(data).encode()) == "refused"
