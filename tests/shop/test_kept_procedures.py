"""A procedure that was computed before: what lists show of it is known, all else is computed."""

from dataclasses import fields

import pytest

from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.procedure import assemble
from builder.procedure.sheet import Procedure
from builder.procedure.sheet_text import sheet_text
from builder.shop import kept_procedures, loading
from builder.shop.kept_procedures import KeptProcedure
from tests import small_shop as shop

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
SMALL = {"meters/lapwing-1.yaml": shop.meter(VOLTS), "standards/petrel.yaml": shop.standard(),
         "plans/lapwing-yearly.yaml": shop.plan({"function": "DC voltage",
                                                 "apply": ["3 V", "-3 V"]})}


@pytest.fixture
def load(tmp_path, monkeypatch):
    """Loads the small shop, and says how many procedures that computed."""
    folder = tmp_path / "procedures"
    shop.write(folder, SMALL)
    shop.complete(folder, loading.load_shop(folder))
    compute = assemble.compute

    def again(**changes):
        shop.write(folder, changes)
        calls = []
        monkeypatch.setattr(assemble, "compute", lambda *given: calls.append(1) or compute(*given))
        kept = Cache(forgetful=True, texts=KeptTexts(tmp_path))
        return loading.load_shop(folder, kept=kept), calls
    return again


def test_it_is_what_was_computed(load):
    """Every attribute, by one computation at most."""
    first, calls = load()
    assert len(calls) == 1
    second, calls = load()
    one, other = (made.procedures["lapwing-yearly"] for made in (first, second))
    assert isinstance(other, KeptProcedure) and not isinstance(one, KeptProcedure)
    assert kept_procedures.listed(one) == kept_procedures.listed(other)
    assert (one.id, one.title, one.revision, one.summary, one.meter, one.standards, one.plan) == (
        other.id, other.title, other.revision, other.summary, other.meter, other.standards,
        other.plan)
    assert one.sheet_data.as_data() == other.sheet_data.as_data()
    assert first.problems == second.problems
    assert not calls
    assert sheet_text(other) == sheet_text(one)
    for field in fields(Procedure):
        assert getattr(other, field.name) is not None or getattr(one, field.name) is None
    assert len(calls) == 1


@pytest.mark.parametrize("file", SMALL)
def test_an_edit_computes_it_again(load, tmp_path, file):
    """Of any file that it is made from."""
    load()
    path = tmp_path / "procedures" / file
    _, calls = load(**{file: path.read_text(encoding="utf-8") + "\n# looked at\n"})
    assert len(calls) == 1
    _, calls = load()
    assert not calls


def test_problems_stay(load, tmp_path):
    """Those of a plan that can't be computed too; and with the same places."""
    path = tmp_path / "procedures/plans/lapwing-yearly.yaml"
    text = path.read_text(encoding="utf-8")
    assert "petrel" in text
    wrong = {"plans/lapwing-yearly.yaml": text + "\nleft_out:\n  - {function: DC voltage, "
             "values: 1 V to 2 V, because: no}\n"}
    first, _ = load(**wrong)
    second, _ = load()
    assert first.problems and list(map(str, first.problems)) == list(map(str, second.problems))
    assert first.procedures.keys() == second.procedures.keys()


def test_without_a_folder_all_is_computed(tmp_path):
    folder = tmp_path / "procedures"
    shop.write(folder, SMALL)
    for _ in range(2):
        made = loading.load_shop(folder)
        assert not any(isinstance(one, KeptProcedure) for one in made.procedures.values())
    assert not (tmp_path / ".cache").exists()
