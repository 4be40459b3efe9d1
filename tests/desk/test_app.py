"""The desk's pages in a small shop: each does what its command does."""

import re

import pytest

from builder import cli
from builder.shop import loading
from tests.desk.conftest import PLAN, RECORD
from tests.recorded import data_of, put, record


def in_folder(at, name: str) -> list[str]:
    return sorted(path.name for path in (at.procedures / name).glob("*"))


def buttons(at) -> dict[str, str]:
    """The next steps of today, by what they are about."""
    found = re.findall(r'<b>([^<]*)</b>.*?<a class="next" href="([^"]*)">', at.get("").text, re.S)
    return dict(found)


def test_today_stands_in_the_frame_of_the_site(at):
    """Its menu, its styles; its scripts without the one that reloads what somebody types into."""
    page = at.get("").text
    assert "<nav>menu</nav>" in page and "site /404.html" not in page
    assert "<title>Today</title>" in page and "livereload" not in page
    assert at.client.get("/index.html", base_url="http://127.0.0.1:8000").text.count("livereload")


def test_each_thing_has_its_next_step(recorded):
    """A sheet that nobody approved, a record that nobody finished."""
    steps = buttons(recorded)
    assert steps["Lapwing 1, yearly"] == f"/desk/approve?name={PLAN}"
    assert steps["Lapwing 1, serial no. 0147"] == f"/desk/finish?name={RECORD}"


def test_what_is_missing_in_a_record_keeps_it_in_work(recorded):
    """It isn't offered for finishing until everything is read."""
    data = data_of(recorded.procedures)
    put(recorded.procedures, f"{RECORD}.yaml", record(data, {"dcv-600V-540.0V": "-"}))
    page = recorded.get("").text
    assert f"/reports/{RECORD}.html" in page and "/desk/finish?name=" not in page


def test_approving_shows_first_and_then_freezes(at, monkeypatch):
    """The same file as the command writes."""
    shown = at.get(f"approve?name={PLAN}")
    assert "No approved sheet is in force." in shown.text
    assert in_folder(at, "approved") == []
    done = at.post("approve", at.fill(f"approve?name={PLAN}", by=" T. Askew "))
    (name,) = in_folder(at, "approved")
    assert done.status_code == 200 and f"{name}: revision 1, " in done.text
    ours = (at.procedures / "approved" / name).read_bytes()
    (at.procedures / "approved" / name).unlink()
    monkeypatch.setattr(cli, "PROCEDURES", at.procedures)
    assert cli.main(["approve", PLAN, "--by", "T. Askew"]) == 0
    assert (at.procedures / "approved" / name).read_bytes() == ours
    assert "Every sheet is approved as it is." in at.get("").text


def test_the_second_window_sees_that_something_changed(at):
    """Two windows with the same sheet: the plan changed between; the second one writes nothing and
    shows how it is now."""
    old = at.fill(f"approve?name={PLAN}", by="T. Askew")
    plan = at.procedures / f"plans/{PLAN}.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("3 V", "2 V", 1), encoding="utf-8")
    answer = at.post("approve", old)
    assert answer.status_code == 409 and "This has changed since you looked" in answer.text
    assert in_folder(at, "approved") == []
    again = at.post("approve", at.fill(f"approve?name={PLAN}", by="T. Askew"))
    assert again.status_code == 200 and len(in_folder(at, "approved")) == 1
    assert at.post("approve", old).status_code == 409      # decided meanwhile
    assert len(in_folder(at, "approved")) == 1


def test_finishing_shows_the_report_as_it_will_print(recorded):
    """With its number; then freezes just that."""
    shown = recorded.get(f"finish?name={RECORD}").text
    assert "Issue 1, finished by (as typed below) on" in shown and "540.4" in shown
    done = recorded.post("finish", recorded.fill(f"finish?name={RECORD}", by="T. Askew"))
    assert done.status_code == 200, done.text
    assert in_folder(recorded, "finished") == [f"{RECORD}.1.json"]
    assert f'href="/reports/{RECORD}.html"' in done.text
    assert recorded.get(f"finish?name={RECORD}").status_code == 409


def test_amending_needs_a_change_and_a_reason(recorded):
    """What is different is shown first."""
    recorded.post("finish", recorded.fill(f"finish?name={RECORD}", by="T. Askew"))
    refused = recorded.get(f"amend?name={RECORD}")
    assert refused.status_code == 409 and "Nothing has changed" in refused.text
    put(recorded.procedures, f"{RECORD}.yaml",
        record(data_of(recorded.procedures), place="bench 3"))
    assert buttons(recorded)["Lapwing 1, serial no. 0147"] == f"/desk/amend?name={RECORD}"
    form = recorded.fill(f"amend?name={RECORD}", by="T. Askew", because="  ")
    answer = recorded.post("amend", form)
    assert answer.status_code == 409 and "Every line is needed" in answer.text
    assert "bench 3" in answer.text
    assert recorded.post("amend", form | {"because": "the bench was mistyped"}).status_code == 200
    assert in_folder(recorded, "finished") == [f"{RECORD}.1.json", f"{RECORD}.2.json"]


def test_several_at_once(recorded):
    """Two records are finished by one name and one button."""
    data = data_of(recorded.procedures)
    put(recorded.procedures, "another.yaml", record(data, serial="0152"))
    page = recorded.get("").text
    assert page.count('type="checkbox"') == 2 and "See and finish those" in page
    form = recorded.fill(f"finish?name={RECORD}&name=another", by="T. Askew")
    assert len(form["seen"]) == 2
    assert recorded.post("finish", form).status_code == 200
    assert in_folder(recorded, "finished") == [f"{RECORD}.1.json", "another.1.json"]


def test_out_of_use_with_reason_and_who_was_told(at):
    """A sheet's revision; a second window that would do it once more is told."""
    at.post("approve", at.fill(f"approve?name={PLAN}", by="T. Askew"))
    (link,) = re.findall(r'href="/desk/(withdraw\?name=[^"]*)"', at.get("withdraw").text)
    form = at.fill(link, by="T. Askew", because="a wrong range", told="all ships")
    assert at.post("withdraw", form | {"told": ""}).status_code == 409
    done = at.post("withdraw", form)
    assert "what is printed is a draft" in done.text
    assert len(in_folder(at, "approved")) == 2
    assert at.post("withdraw", form).status_code == 409
    assert len(in_folder(at, "approved")) == 2


def test_only_listed_names_decide(at):
    """Where the workshop's file lists who may; the list is offered."""
    (at.procedures / "workshop.yaml").write_text(
        "name: Bench\naddress: [Shed 4]\nauthorised:\n  - {name: T. Askew, may: [approve]}\n",
        encoding="utf-8")
    assert '<option value="T. Askew">' in at.get(f"approve?name={PLAN}").text
    answer = at.post("approve", at.fill(f"approve?name={PLAN}", by="Somebody"))
    assert answer.status_code == 409 and "is not listed in workshop.yaml" in answer.text
    assert in_folder(at, "approved") == []


@pytest.mark.parametrize("typed, to", [
    ("0147", f"/procedures/{PLAN}.html#serial=0147"),
    (" 0147 ", f"/procedures/{PLAN}.html#serial=0147")])
def test_a_serial_number_opens_its_sheet(recorded, typed, to):
    """Filled in."""
    answer = recorded.get("open", query_string={"serial": typed})
    assert (answer.status_code, answer.headers["Location"]) == (302, to)


def test_a_serial_number_that_nobody_knows(recorded):
    """It is said, and the sheets are offered with it."""
    page = recorded.get("open", query_string={"serial": "W 99"}).text
    assert "No meter here has this serial number" in page
    assert f"/procedures/{PLAN}.html#serial=W%2099" in page


def test_damaged_frozen_files_stop_every_decision(recorded):
    """As they stop the commands."""
    recorded.post("finish", recorded.fill(f"finish?name={RECORD}", by="T. Askew"))
    path = recorded.procedures / f"finished/{RECORD}.1.json"
    path.write_bytes(path.read_bytes().replace(b"540.4", b"540.3"))
    answer = recorded.get(f"approve?name={PLAN}")
    assert answer.status_code == 409 and "mend these first" in answer.text.lower()
    assert recorded.get("").status_code == 200      # and today says it
    assert loading.load_shop(recorded.procedures).frozen_problems
