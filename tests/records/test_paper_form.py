"""The empty record for what was written on paper."""

from __future__ import annotations

import json
import re

import pytest

from builder import cli
from builder.files.problems import Wrong
from builder.records import paper_form
from builder.shop import loading
from tests.recorded import OTHER, data_of, only_problem, step


def test_the_form_for_paper_is_a_record_once_filled_in(made, monkeypatch):
    """`blank` writes a form whose places, filled in, make the same record; it overwrites
    nothing."""
    _, _, root = made()
    monkeypatch.setattr(cli, "PROCEDURES", root)
    data = data_of(root)
    assert cli.main(["blank", "lapwing-yearly"]) == 0 and cli.main(["blank", "lapwing-yearly"]) == 0
    forms = sorted(path.name for path in (root / "records").glob("new-*"))
    assert forms == ["new-lapwing-yearly-2.yaml", "new-lapwing-yearly.yaml"]
    text = (root / "records" / forms[1]).read_text(encoding="utf-8")
    for name, value in (("serial", "0147"), ("state", "as found"), ("date", "2026-03-12")):
        text = re.sub(rf"^{name}:", f"{name}: {value}", text, flags=re.M)
    line = f"  {step(data, '3.000 V')} 3.000 V:"
    assert line in text
    text = text.replace(line, f"{line} 3.002")
    (root / "records/a.yaml").write_text(text, encoding="utf-8")
    shop = loading.load_shop(root)
    assert not shop.errors and [j.verdict.readings for j in shop.records["a"].judged
                                if j.verdict] == [("3.002 V",)]
    # an empty form, and a record without conditions
    assert {p.code for p in shop.problems} == {"blank-record", "doubt"}
    assert cli.main(["blank", "gone"]) == 1 and cli.main(["blank"]) == 2
    beside = root / "records" / paper_form.data_name(data)
    beside.write_text("{}", encoding="utf-8")
    assert cli.main(["blank", "lapwing-yearly"]) == 1 and beside.read_text(encoding="utf-8") == "{}"


def test_an_empty_form_is_no_record_and_no_error(root):
    """A form as it was written is named, and nothing more; one with a serial number is asked for
    the rest."""
    form, _ = paper_form.write(data_of(root), root / "records")
    assert only_problem(root, OTHER).code == "blank-record"
    form.write_text(form.read_text(encoding="utf-8").replace("serial:", "serial: 5"),
                    encoding="utf-8")
    assert only_problem(root, OTHER).sentence.startswith("nothing stands here")


# ---------------------------------------------------------------- the form and the data beside it

def test_every_step_has_its_place(root):
    """A line for each step with its name and its limits; a step that wants something written down
    says what."""
    text = paper_form.form(data_of(root))
    lines = [" ".join(line.split()) for line in text.splitlines()]
    for line in ("# 1 By eye", "1.4 Leads:", "2.1 Diode test: # {yes: forward, V}",
                 "3.1 leads alone: # 0.0 to 0.5 Ohm, on 600 Ohm",
                 "5.2 -3.000 V: # -3.014 to -2.986 V, on 6 V",
                 "5.3 0.500 V: # write down only, on 6 V",
                 "petrel: {number: -} # certificate: P-1, due: 2030-01-01",
                 "6: # DC voltage, hazardous live, up to 540 V; at most 1 V"):
        assert line in lines, line
    assert "the sheet holds at 18 to 28 °C" in text


def test_a_comparison_has_two_places_and_a_sheet_without_live_groups_none(root):
    """The reference reading stands beside the meter's; nothing asks how a live group was closed
    where there is none."""
    data = data_of(root)
    data["groups"][5]["hazard"] = None
    data["points"][2] |= {"kind": "reference", "accept": None, "frequency": "1 kHz",
                          "reference": {"standard": "petrel", "on": "a part", "step": "0.001 V",
                                        "resolution": "0.001 V", "guard_band": None}}
    text = paper_form.form(data)
    assert "  5.1 3.000 V, 1 kHz: {reading: , reference: } # on 6 V\n" in text
    data["points"][2]["reference"]["twice"] = True
    assert "  5.1 3.000 V, 1 kHz: {reading: , reference: [-, -]}" in paper_form.form(data)
    assert "closed:" not in text


def test_a_title_of_several_lines_stays_a_comment(root):
    """Whatever stands in the shop's own words, no line of it becomes a key."""
    data = data_of(root)
    data["groups"][0]["title"] = "By eye\nserial: 7"
    assert "  # 1 By eye serial: 7\n" in paper_form.form(data)


def test_nothing_is_overwritten(root):
    """Each form has a name of its own, the data is written once, and other data under its name is
    a refusal that leaves it."""
    data, folder = data_of(root), root / "blank forms"
    first, beside = paper_form.write(data, folder)
    first.write_text("filled in", encoding="utf-8")
    second, again = paper_form.write(data, folder)
    assert [one.name for one in (first, second)] == ["new-lapwing-yearly.yaml",
                                                     "new-lapwing-yearly-2.yaml"]
    assert first.read_text(encoding="utf-8") == "filled in" and again == beside
    assert beside.name == f"lapwing-yearly-{data['revision']}.json"
    assert json.loads(beside.read_text(encoding="utf-8")) == data
    beside.write_text("{}", encoding="utf-8")
    with pytest.raises(Wrong, match="other contents"):
        paper_form.write(data, folder)
    assert beside.read_text(encoding="utf-8") == "{}" and len(list(folder.iterdir())) == 3
