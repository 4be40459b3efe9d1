"""Paper typed in at the sheet's own page: saved as it is typed, each version kept that would be
lost."""

import json
import re

import pytest

from builder.shop import loading
from tests.desk.conftest import HERE, PLAN, RECORD
from tests.recorded import approve, data_of, phone

NAME = "2026-03-14-5c0a7e11"


def at_time(second: int, value: str) -> list[str]:
    return [value, f"2026-03-14T09:00:{second:02}.000Z"]


@pytest.fixture
def save(recorded):
    """Saves a record of which these fields were typed; the status and the sentence."""
    def saved(head: dict | None = None, **typed: list[str]):
        made = phone(data_of(recorded.procedures), record=NAME, from_paper=True,
                     date="2026-03-14", typed=typed) | (head or {})
        answer = recorded.post("record", {"token": recorded.desk.token.text,
                                          "record": json.dumps(made, indent=1) + "\n"})
        return answer.status_code, answer.text
    return saved


def held(at) -> dict:
    return json.loads((at.procedures / f"records/{NAME}.json").read_text(encoding="utf-8"))


def kept(at) -> list[str]:
    return sorted(path.name for path in at.root.glob("kept/records/*"))


def test_what_is_typed_is_saved_and_stands(recorded, save):
    """Under the record's own name; further fields and digits add to it, and nothing is kept
    aside."""
    assert save(a=at_time(1, "3.0")) == (200, f"Saved as {NAME}.json in procedures/records/.")
    assert save(a=at_time(2, "3.002"), b=at_time(3, "yes"))[0] == 200
    assert held(recorded)["typed"]["a"][0] == "3.002" and kept(recorded) == []
    assert NAME in recorded.get("").text


def test_what_is_changed_or_taken_back_is_kept(recorded, save):
    """The version that stood there, each time."""
    save(a=at_time(1, "3.002"))
    assert save(a=at_time(2, "2.999"))[0] == 200
    assert save(a=at_time(3, ""))[0] == 200
    assert kept(recorded) == [f"{NAME}-2.json", f"{NAME}.json"]
    first = json.loads((recorded.root / f"kept/records/{NAME}.json").read_text(encoding="utf-8"))
    assert first["typed"]["a"][0] == "3.002"


def test_an_older_window_takes_nothing_back(recorded, save):
    """It is told to load the page again; the same once more is no change."""
    save(a=at_time(5, "3.002"), b=at_time(6, "yes"))
    for typed in ({"a": at_time(5, "3.002")}, {"a": at_time(4, "9"), "b": at_time(7, "no")}, {}):
        code, said = save(**typed)
        assert code == 409 and "Another window has typed something later" in said
    assert save(a=at_time(5, "3.002"), b=at_time(6, "yes"))[0] == 200
    assert held(recorded)["typed"]["b"][0] == "yes" and kept(recorded) == []


@pytest.mark.parametrize("head, says", [
    ({"from_paper": False}, "Only a record from finished paper"),
    ({"record": "../../x"}, "Only a record from finished paper"),
    ({"record": "2026-03-14-5c0a7e11/../x"}, "Only a record from finished paper"),
    ({"record": ["2026-03-14-5c0a7e11"]}, "Only a record from finished paper")])
def test_what_is_no_record_from_paper_is_refused(recorded, save, head, says):
    """No other name is written, and nothing from the bench."""
    before = recorded.files()
    code, said = save(head)
    assert code == 409 and says in said and recorded.files() == before


@pytest.mark.parametrize("text", ["", "[]", "{", "null", '{"record": 1, "record": 2}', "[" * 5000])
def test_what_is_no_record_at_all_is_refused(recorded, text):
    """In a sentence."""
    before = recorded.files()
    answer = recorded.post("record", {"token": recorded.desk.token.text, "record": text})
    assert answer.status_code == 409 and recorded.files() == before


def test_a_record_that_was_taken_in_elsewhere_is_not_written_twice(recorded, save):
    """Its file has another name."""
    save(a=at_time(1, "3"))
    path = recorded.procedures / f"records/{NAME}.json"
    path.rename(path.with_name("from-the-other-bench.json"))
    code, said = save(a=at_time(2, "4"))
    assert code == 409 and "from-the-other-bench.json holds this record already" in said


def test_a_second_one_of_the_same_meter_day_and_state_is_refused(recorded, save):
    """`check` would leave it out."""
    code, said = save({"date": "2026-03-12"}, a=at_time(1, "3"))
    assert code == 409 and "is the record of the same meter, day and state already" in said
    assert RECORD in said and not (recorded.procedures / f"records/{NAME}.json").exists()


def test_a_tick_that_its_number_contradicts_is_refused(recorded, save):
    """With its step and the reason, before it is saved; a no beside the number is saved, and the
    yes before it stays."""
    def checks(*answers: str) -> dict:
        made = phone(data_of(recorded.procedures))["checks"]
        for one in made:
            if one["check"] == "Diode test":
                one |= {"good": answers[-1], "answers": [
                    {"answer": answer, "write": "1.2", "by": None, "at": None}
                    for answer in answers]}
        return {"checks": made}
    code, said = save(checks("yes"), a=at_time(1, "3"))
    assert code == 409 and said == (
        "Step 2.1 is ticked good, and the check asks for at least 0.4 V and at most 0.8 V, not "
        "1.2. The number decides: answer 'not good', or mend the number.")
    assert not (recorded.procedures / f"records/{NAME}.json").exists()
    assert save(checks("yes", "no"), a=at_time(1, "3"))[0] == 200
    shop = loading.load_shop(recorded.procedures)
    answer = shop.records[NAME].entries.answers["2.1"]
    assert (answer.good, [one.outside for one in answer.earlier]) == (False, [True])
    assert [one.code for one in shop.problems if NAME in one.place.file] == []


def test_a_link_in_its_place_is_not_written_through(recorded, save, tmp_path):
    """Where it leads nothing changes."""
    (tmp_path / "elsewhere.json").write_text("{}", encoding="utf-8")
    (recorded.procedures / f"records/{NAME}.json").symlink_to(tmp_path / "elsewhere.json")
    assert save(a=at_time(1, "3"))[0] == 409
    assert (tmp_path / "elsewhere.json").read_text(encoding="utf-8") == "{}"


def test_a_sheet_comes_with_the_script_of_the_desk(recorded):
    """In the place of the one that reloads it; other pages stay as they are."""
    sheet = recorded.client.get(f"/procedures/{PLAN}.html", base_url=HERE).text
    assert re.search(r'<script src="/desk/save\.js" data-desk="/desk/" data-token="[^"]+" '
                     r'data-epoch="1"></script></body>', sheet)
    assert "livereload(" not in sheet
    other = recorded.client.get("/reports/x.html", base_url=HERE).text
    assert "save.js" not in other and "livereload(" in other
    assert "sheet.shown.push" in recorded.get("save.js").text


def test_from_paper_each_revision_can_be_chosen(recorded):
    """Of a single one the sheet opens at once."""
    answer = recorded.get("open?serial=0147&paper=yes")
    assert answer.headers["Location"] == f"/procedures/{PLAN}.html#serial=0147&paper=yes"


def test_a_plan_that_nobody_approved_stands_behind_those_in_force(recorded):
    """Where several are offered for a meter."""
    approve(recorded.procedures)
    plans = recorded.procedures / "plans"
    text = (plans / f"{PLAN}.yaml").read_text(encoding="utf-8")
    (plans / "a-first.yaml").write_text(text.replace(PLAN, "a-first", 1), encoding="utf-8")
    for asked in ("open?serial=0147", "open?serial=0147&paper=yes"):
        page = recorded.get(asked).text
        found = re.findall(r'href="/procedures/([a-z-]+)\.html#', page)
        assert found == [PLAN, "a-first"]
