"""Meters and plans as text: what `check` would say of it, the limits, and what fits at the cursor;
first files by a button."""

import json

import pytest

from builder.desk import completing
from builder.desk.shop_files import opened
from builder.files.problems import as_json
from builder.shop import loading
from tests.desk.conftest import PLAN

NAMES = {"meters": ["dunlin-60", "lapwing-1"], "standards": ["fulmar", "petrel"]}


def text_of(at, name: str) -> str:
    return (at.procedures / f"{name}.yaml").read_text(encoding="utf-8")


def form_of(at, name: str, text: str, **more: str) -> dict:
    return {"token": at.desk.token.text, "file": name, "text": text.replace("\n", "\r\n"),
            "seen": opened(at.root, name).seen} | more


@pytest.mark.parametrize("name, old, new", [
    ("meters/lapwing-1", "0.4 % + 2 counts", "0.4 V + 2"), (f"plans/{PLAN}", "3 V", "3 kV"),
    ("meters/lapwing-1", '"functions":', '"functions"'), (f"plans/{PLAN}", "petrel", "pertel"),
    ("meters/lapwing-1", '"range": "6 V"', '"range": "60 V"')])
def test_the_problems_are_those_of_check(at, name, old, new):
    """The same that the folder gives with the file written, those of other files included."""
    text = text_of(at, name)
    assert old in text
    shown = at.post("beside", form_of(at, name, text.replace(old, new, 1))).text
    assert text_of(at, name) == text
    path = at.procedures / f"{name}.yaml"
    before = loading.load_shop(at.procedures).problems
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    after = loading.load_shop(at.procedures).problems
    told = json.loads(as_json(after))
    own = [one for one in told if one["file"] == f"procedures/{name}.yaml"]
    for one in own:
        assert f'data-line="{one["line"]}" data-column="{one["column"]}"' in shown
    assert shown.count("data-line=") == len(own)
    fresh = [one for one in after if one not in before
             and one.place.file != f"procedures/{name}.yaml" and one.severity == "error"]
    assert shown.count("✗ elsewhere") == len(fresh) and own + fresh


def test_limits_and_pictures_follow_the_text(at):
    """0.4 % of 5.4 V and 2 counts are 23.6 mV: 5.377 V to 5.423 V; with 10 counts 5.369 V to
    5.431 V."""
    name, text = "meters/lapwing-1", text_of(at, "meters/lapwing-1")
    shown = at.post("beside", form_of(at, name, text)).text.replace("\u00a0", " ")
    assert "5.377 to 5.423 V" in shown and "accuracy-lines" in shown
    shown = at.post("beside", form_of(at, name, text.replace("0.4 % + 2 counts",
                                                             "0.4 % + 10 counts"))).text
    assert "5.369 to 5.431" in shown and "5.377" not in shown
    plan = at.post("beside", form_of(at, f"plans/{PLAN}", text_of(at, f"plans/{PLAN}"))).text
    assert "2.986 to 3.014" in plan


def test_a_text_is_saved_whole_with_its_line_ends(at):
    """As they were, and with its mark at the start; the last one is kept."""
    path = at.procedures / "meters/lapwing-1.yaml"
    text = text_of(at, "meters/lapwing-1")
    path.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    old = path.read_bytes()
    new = "# Ω by hand\n" + text
    answer = at.post("text", form_of(at, "meters/lapwing-1", new))
    assert answer.status_code == 200 and "was saved" in answer.text
    assert path.read_bytes() == b"\xef\xbb\xbf" + new.replace("\n", "\r\n").encode()
    assert (at.root / "kept/meters/lapwing-1.yaml").read_bytes() == old


def test_a_text_with_mistakes_is_saved_only_when_asked_again(at):
    """What one works on for several days has some; until then nothing is written, and what was
    typed stays."""
    name, before = "meters/lapwing-1", at.files()
    text = text_of(at, name).replace("0.4 % + 2 counts", "…", 1)
    answer = at.post("text", form_of(at, name, text))
    assert answer.status_code == 409 and at.files() == before
    assert "This is to be filled in" in answer.text
    assert 'value="anyway"' in answer.text
    assert at.post("text", form_of(at, name, text, do="look")).status_code == 200
    assert at.files() == before
    assert at.post("text", form_of(at, name, text, do="anyway")).status_code == 200
    assert text_of(at, name) == text


def test_the_second_window_keeps_its_text(at):
    """And writes nothing, however often it tries."""
    name, text = "meters/lapwing-1", text_of(at, "meters/lapwing-1")
    second = form_of(at, name, text + "# two\n")
    assert at.post("text", form_of(at, name, text + "# one\n")).status_code == 200
    for more in ({}, {"do": "anyway"}):
        answer = at.post("text", second | more)
        assert answer.status_code == 409 and "has changed since you opened it" in answer.text
        assert "# two" in answer.text and f'value="{second["seen"]}"' in answer.text
    assert text_of(at, name) == text + "# one\n"


@pytest.mark.parametrize("text", ["</textarea><script>alert(1)</script>", "a: '<script>x'\n", "\t",
                                  "", "[" * 5000, "&a [*a]", "\n\n", "😀: \ufffd"])
def test_whatever_is_typed_is_answered(at, text):
    """Nothing of it is run, and nothing ends the desk."""
    form = form_of(at, "meters/lapwing-1", text, before=text, after=text)
    for page in ("beside", "fits", "text"):
        answer = at.post(page, form)
        assert answer.status_code in (200, 409), answer.text
        assert "<script>alert" not in answer.text and "Traceback" not in answer.text


# ---------------------------------------------------------------- what fits

@pytest.mark.parametrize("kind, before, after, fits, lacks", [
    ("meter", "meter: x\n", "\ndisplay: 7\n", "name: ", "display: "),
    ("meter", "meter: x\nspecification:\n  ho", "", "holds: ", "meter: "),
    ("meter", "functions:\n  - function: DC v", "\n", "DC voltage", "AC voltage"),
    ("meter", "functions:\n  - function: x\n    ranges:\n      - {range: 6 V, res", "",
     "resolution: ", "range: "),
    ("meter", "functions:\n  - function: x\n    ", "\n  - function: y\n", "ranges: ", "function: "),
    ("plan", "meter: ", "\nplan: x\n", "lapwing-1", "petrel"),
    ("plan", "standards: [fulmar, ", "", "petrel", "lapwing-1"),
    ("plan", "decision_rule: simp", "", "simple acceptance", "guard band of U"),
    ("plan", "points:\n  - function: DC voltage\n    ", "\nchecks: []\n", "apply: ", "checks: "),
    ("standard", "kind: ", "\n", "reference meter", "kind: "),
    ("register", 'meters:\n  - {serial: "0147", ', "}\n", "owner: ", "serial: ")])
def test_what_fits_at_a_place(kind, before, after, fits, lacks):
    """Keys that are there already don't; words are those of the schema, names those of files."""
    words = [word for word, _ in completing.fitting(kind, before, after, NAMES).words]
    assert fits in words and lacks not in words


@pytest.mark.parametrize("before", ["a: [}", "'", "# comment ", "maker: Saltmarsh", "x: {y: [",
                                    "functions:\n\t- "])
def test_where_nothing_is_known_nothing_is_offered(before):
    """A place that can't be read, free text, a comment."""
    assert completing.fitting("meter", before, "", NAMES).words == []


def test_what_fits_comes_as_data(at):
    """With how much of the word is typed, and what the place is for."""
    answer = at.post("fits", {"token": at.desk.token.text, "file": f"plans/{PLAN}",
                              "before": "plan: x\nstandards: [pet", "after": "]\n"})
    assert json.loads(answer.text) == {"words": [["petrel", ""]], "typed": 3, "says": ""}
    assert answer.headers["Content-Type"].startswith("application/json")


# ---------------------------------------------------------------- first files

def test_a_new_meter_and_its_text(at):
    """Written as the command writes it, and opened."""
    token = {"token": at.desk.token.text}
    answer = at.post("new-meter", token | {"name": "avocet-2", "kind": "pocket"})
    assert answer.status_code == 303
    assert answer.headers["Location"] == "/desk/text?file=meters/avocet-2"
    assert "accuracy: …" in at.get("text?file=meters/avocet-2").text
    before = at.files()
    for name, kind in (("avocet-2", "field"), ("../x", "field"), ("a b", "field"), ("new", "none"),
                       ("", "field")):
        answer = at.post("new-meter", token | {"name": name, "kind": kind})
        assert answer.status_code == 409 and at.files() == before


def test_a_first_plan_and_its_text(at):
    """By the standards in their order; what is wrong is said and nothing is written."""
    token = {"token": at.desk.token.text}
    answer = at.post("draft", token | {"meter": "lapwing-1", "first": "petrel",
                                       "standard": ["auk-box", "petrel"]})
    assert answer.status_code == 303, answer.text
    assert answer.headers["Location"] == "/desk/text?file=plans/lapwing-1-draft"
    assert "standards: [petrel, auk-box]" in text_of(at, "plans/lapwing-1-draft")
    before = at.files()
    for fields in ({"meter": "lapwing-1"}, {"meter": "lapwing-1", "first": "petrel"},
                   {"meter": "../x", "first": "petrel"}, {"meter": "petrel", "first": "petrel"}):
        answer = at.post("draft", token | fields)
        assert answer.status_code == 409 and "Nothing was written" in answer.text or \
            "at least one standard" in answer.text
        assert at.files() == before
    assert at.get("draft").status_code == at.get("new-meter").status_code == 303


def test_all_files_are_listed_with_what_may_be_done(at):
    """Forms for standards, text for all."""
    page = at.get("files").text
    for name in ("standards/petrel", "standards/auk-box"):
        assert f'href="/desk/values?file={name}"' in page
    for name in ("standards/petrel", "meters/lapwing-1", f"plans/{PLAN}"):
        assert f'href="/desk/text?file={name}"' in page
    assert "values?file=meters" not in page and 'href="/desk/files"' in at.get("").text
    shop = loading.load_shop(at.procedures)
    for title, name in ((shop.meters["lapwing-1"].name, "lapwing-1"),
                        (shop.procedures[PLAN].title, PLAN)):
        assert f"<b>{title}</b><small>{name}</small>" in page
    for path, where in (("files", "Files"), ("", "Today"), ("print", "To print")):
        assert at.get(path).text.count('aria-current="page"') == 1
        assert f'aria-current="page">{where}</a>' in at.get(path).text


def test_a_problem_of_today_leads_to_its_file(at):
    """To the text that holds it."""
    path = at.procedures / "meters/lapwing-1.yaml"
    path.write_text(text_of(at, "meters/lapwing-1").replace("2 counts", "2 cuonts", 1),
                    encoding="utf-8")
    page = at.get("").text
    assert 'href="/desk/text?file=meters/lapwing-1">Open the file</a>' in page
    assert "cuonts" in at.get("text?file=meters/lapwing-1").text
