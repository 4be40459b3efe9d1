"""Records taken in: doubles vanish, others are asked about, faulty ones say what and where; nothing
is written outside of the shop."""

import io
import json
import os
import re

import pytest

from builder.desk import inside
from builder.files.problems import Wrong
from tests.desk.conftest import RECORD
from tests.recorded import data_of, phone, put, record


@pytest.fixture
def drop(recorded):
    """Drops files, by their names, on the inbox; gives the page that answers."""
    token = recorded.desk.token.text

    def dropped(**files: str | bytes):
        held = [(io.BytesIO(one if isinstance(one, bytes) else one.encode()),
                 name.replace("_", ".")) for name, one in files.items()]
        return recorded.post("inbox", {"token": token, "file": held})
    return dropped


def records(at) -> list[str]:
    return sorted(path.name for path in (at.procedures / "records").iterdir()
                  if path.name.startswith(("20", "phone")))


def inbox(at) -> list[str]:
    return sorted(os.listdir(at.root / "inbox"))


def decide(at, what: str):
    return at.post("inbox", at.fill("inbox", do=what))


def from_phone(at, **head) -> str:
    return json.dumps(phone(data_of(at.procedures), serial="0152", date="2026-03-13") | head)


def test_what_is_new_is_taken_in_byte_for_byte(recorded, drop):
    """From a phone, under its name; the inbox is empty again."""
    text = from_phone(recorded)
    answer = drop(phone_json=text)
    assert "phone.json is now procedures/records/phone.json: Lapwing 1, serial no. 0152" in (
        answer.text)
    assert (recorded.procedures / "records/phone.json").read_text(encoding="utf-8") == text
    assert inbox(recorded) == []


def test_the_same_once_more_vanishes(recorded, drop):
    """However it is named and set, and however often it comes."""
    text = from_phone(recorded)
    drop(phone_json=text)
    again = json.dumps(json.loads(text), indent=2)
    answer = drop(other_json=again, phone_json=text)
    assert answer.text.count("says what procedures/records/phone.json says already") == 2
    assert records(recorded) == [f"{RECORD}.yaml", "phone.json"] and inbox(recorded) == []


def test_of_two_in_one_drop_the_second_is_looked_at_beside_the_first(recorded, drop):
    """It says something else: it is asked about."""
    answer = drop(a_json=from_phone(recorded), b_json=from_phone(recorded, place="elsewhere"))
    assert "which one counts?" in answer.text and inbox(recorded) == ["b.json"]


def test_another_one_of_the_same_is_asked_about(recorded, drop):
    """Replaced by a button, and what stood here is kept; or left out, and kept as well."""
    drop(phone_json=from_phone(recorded))
    first = (recorded.procedures / "records/phone.json").read_bytes()
    other = from_phone(recorded, place="bench 9")
    drop(again_json=other)
    assert "says something else" in recorded.get("inbox").text
    assert "1 file in the inbox" in recorded.get("").text
    decide(recorded, "leave")
    assert (recorded.root / "kept/inbox/again.json").read_text(encoding="utf-8") == other
    assert (recorded.procedures / "records/phone.json").read_bytes() == first
    drop(again_json=other)
    answer = decide(recorded, "replace")
    assert "what stood there is kept/records/phone.json" in answer.text
    assert (recorded.procedures / "records/phone.json").read_text(encoding="utf-8") == other
    assert (recorded.root / "kept/records/phone.json").read_bytes() == first
    assert inbox(recorded) == []


def test_the_second_window_replaces_nothing_that_it_did_not_see(recorded, drop):
    """The record was mended between the look and the button."""
    drop(phone_json=from_phone(recorded))
    drop(again_json=from_phone(recorded, place="bench 9"))
    form = recorded.fill("inbox", do="replace")
    mended = from_phone(recorded, place="bench 10")
    put(recorded.procedures, "phone.json", mended)
    assert "has changed since you looked: nothing was done" in recorded.post("inbox", form).text
    assert (recorded.procedures / "records/phone.json").read_text(encoding="utf-8") == mended


def test_what_is_faulty_stays_and_says_where(recorded, drop):
    """With file, line and hint; it can be put aside."""
    text = from_phone(recorded).replace('"serial": "0152"', '"serial": ""')
    answer = drop(phone_json=text, broken_yaml="procedure: [", notes_txt="hello")
    assert re.search(r"inbox/phone\.json:\d+:\d+: error: ", answer.text)
    assert re.search(r"inbox/broken\.yaml:1:", answer.text)
    assert "no record&#39;s file" in answer.text
    assert inbox(recorded) == ["broken.yaml", "phone.json"]
    assert records(recorded) == [f"{RECORD}.yaml"]
    decide(recorded, "leave")
    assert inbox(recorded) == ["phone.json"]


def test_what_is_faulty_waits_once(recorded, drop):
    """However often it is dropped."""
    drop(broken_yaml="procedure: [")
    drop(again_yaml="procedure: [", broken_yaml="procedure: [")
    assert inbox(recorded) == ["broken.yaml"]


def test_a_typed_record_is_judged_by_the_data_beside_the_records(recorded, drop):
    """Those of a draft stand there, not in the inbox."""
    text = json.dumps(record(data_of(recorded.procedures), serial="0153"))
    assert "serial no. 0153" in drop(typed_yaml=text).text and inbox(recorded) == []


@pytest.mark.parametrize("given, name", [
    ("../../etc/x.json", "x.json"), ("C:\\temp\\My Record (1).JSON", "my-record-1.json"),
    (".hidden.json", "hidden.json"), ("a.yml", "a.yaml"), ("x" * 300 + ".csv", "x" * 80 + ".csv")])
def test_names_are_held_to_slugs(given, name):
    """A path's last part, in small letters."""
    assert inside.plain_name(given) == name


@pytest.mark.parametrize("given", ["x.sh", "json", ".json", "…….json", "x.json/", "", "a.json.exe"])
def test_what_is_no_records_name_is_refused(given):
    """Another ending, or nothing left."""
    with pytest.raises(Wrong):
        inside.plain_name(given)


def test_a_path_in_the_name_of_a_file_leads_nowhere(recorded, drop):
    """It lands in the inbox, under its last part."""
    drop(**{"../../../outside_json": "{"})
    assert inbox(recorded) == ["outside.json"]
    assert not (recorded.root.parent / "outside.json").exists()
    token = recorded.desk.token.text
    for name in ("../procedures/workshop.yaml", "../../x", "/etc/passwd", ".", ".."):
        answer = recorded.post("inbox", {"token": token, "do": "leave", "name": name, "seen": ""})
        assert answer.status_code == 409 and "There is no file" in answer.text


def test_a_link_in_the_inbox_is_not_followed(recorded, tmp_path):
    """Neither one to a file elsewhere, nor a pipe, which would wait for ever."""
    secret = tmp_path / "secret.json"
    secret.write_text("top secret", encoding="utf-8")
    (recorded.root / "inbox").mkdir()
    (recorded.root / "inbox/a.json").symlink_to(secret)
    if hasattr(os, "mkfifo"):
        os.mkfifo(recorded.root / "inbox/b.json")
    answer = recorded.post("inbox", {"token": recorded.desk.token.text})
    assert "is a link or no file" in answer.text and "top secret" not in answer.text
    assert records(recorded) == [f"{RECORD}.yaml"]


@pytest.mark.parametrize("name", ["inbox", "procedures/records", "kept"])
def test_a_folder_that_is_a_link_is_not_written_through(recorded, drop, tmp_path, name):
    """Nothing appears where it leads."""
    drop(phone_json=from_phone(recorded))
    drop(again_json=from_phone(recorded, place="bench 9"))
    form = recorded.fill("inbox", do="replace")
    elsewhere = tmp_path / "elsewhere"
    if (recorded.root / name).exists():
        (recorded.root / name).rename(elsewhere)
    else:
        elsewhere.mkdir()
    (recorded.root / name).symlink_to(elsewhere)
    before = recorded.files()
    answer = recorded.post("inbox", form)
    assert answer.status_code == 409 and "is a link" in answer.text
    assert recorded.files() == before


def test_a_frozen_folder_that_is_a_link_is_not_written_through(recorded, tmp_path):
    """A decision is refused."""
    (tmp_path / "elsewhere").mkdir()
    (recorded.procedures / "finished").symlink_to(tmp_path / "elsewhere")
    answer = recorded.post("finish", recorded.fill(f"finish?name={RECORD}", by="T. Askew"))
    assert answer.status_code == 409 and "is a link" in answer.text
    assert os.listdir(tmp_path / "elsewhere") == []


def test_two_writers_lose_nothing(recorded, drop):
    """Eight windows at once drop a record of the same name: each stands, whole, once."""
    import threading
    texts = [from_phone(recorded, serial=f"{n:04}", record=f"2026-03-13-{n:08x}")
             for n in range(200, 208)]
    threads = [threading.Thread(target=drop, kwargs={"phone_json": one}) for one in texts]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    held = [(recorded.procedures / "records" / name).read_text(encoding="utf-8")
            for name in records(recorded) if name.startswith("phone")]
    assert sorted(held) == sorted(texts) and inbox(recorded) == []


def test_two_windows_finish_once(recorded):
    """Both saw the same report; one file is written, and the other window is told."""
    import threading
    form = recorded.fill(f"finish?name={RECORD}", by="T. Askew")
    codes: list[int] = []
    threads = [threading.Thread(target=lambda: codes.append(
        recorded.post("finish", form).status_code)) for _ in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert sorted(codes) == [200, 409, 409, 409, 409, 409]
    assert os.listdir(recorded.procedures / "finished") == [f"{RECORD}.1.json"]
