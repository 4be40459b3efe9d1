"""Files of boxes, reference meters and coils, and plans that use them, with random mistakes:
problems, never a traceback."""

import copy
import json
import random

import jsonschema
import pytest

from builder.pages import render
from tests import committed
from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load_with, meter, plan, range_,
                              reference, row, standard)

SCHEMA = committed.schema("procedure-data")
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
BAND = [row("1 % + 3 counts", frequency="40 Hz to 1 kHz")]
METER = meter(
    {"function": "AC current", "clamp": "yes",
     "ranges": [range_("60 A", "10 mA", BAND, lowest="3 A")]},
    function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
             range_("6 kohm", "1 ohm", "0.7 % + 2 counts"), relative="press REL"),
    function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"), method="charged",
             relative="press REL"),
    function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"), input_resistance="1 Mohm"),
    function("AC voltage", range_("6 V", "1 mV", BAND, lowest="0.3 V"), crest_factor="3",
             responds="mean"),
    function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"), thermocouple="K",
             display="20 000 counts", ranging="manual"),
    function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"), sensitivity="0.5 V"))
PLAN = plan(
    {"function": "AC current", "apply": ["30 A", "54 A"], "frequency": "50 Hz"},
    {"function": "resistance", "apply": "recommended", "zero": "subtract"},
    {"function": "resistance", "apply": "100 ohm", "zero": "relative", "force_range": "6 kohm"},
    {"function": "capacitance", "apply": "20 nF", "compare_on": "a film capacitor",
     "zero": "relative"},
    {"function": "DC voltage", "apply": "3 V", "compare_on": "a bench supply"},
    {"function": "DC voltage", "apply": "4 V"},
    {"function": "AC voltage", "apply": "2 V", "frequency": "50 Hz"},
    {"function": "AC voltage", "apply": "2 V", "frequency": "50 Hz", "wave": "square"},
    {"function": "AC voltage", "apply": "2 V", "frequency": "50 Hz", "find": "bandwidth"},
    {"function": "temperature", "apply": ["0 degC", "500 degC"]},
    {"function": "frequency", "apply": "1 kHz", "level": "3 V"},
    {"function": "frequency", "apply": "1 kHz", "level": "3 V", "find": "sensitivity"},
    leads=LEADS, junction=JUNCTION,
    accepted=[{"what": "out of reach", "function": "DC voltage", "because": "x"}],
    as_of="2026-11-25")
STANDARDS = [
    standard({}, outputs=[
        {"output": "DC voltage", "terminals": ["HI", "LO"], "output_resistance": "50 ohm",
         "rows": [{"values": "0 V to 10 V", "within": "50 ppm + 2 uV", "drives": "20 mA"}]},
        *({"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
           "rows": [{"values": "0 V to 10 V", "frequency": "10 Hz to 20 kHz", "within": "0.1 %"}]}
          for wave in ("sine", "square")),
        {"output": "AC current", "terminals": ["I HI", "I LO"],
         "rows": [{"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz", "within": "0.1 %"}]},
        {"output": "frequency", "terminals": ["HI", "LO"],
         "rows": [{"values": "1 Hz to 10 kHz", "level": "0.1 V to 10 V", "within": "5 ppm"}]}]),
    box(("100 ohm", "100.003 ohm", "5 mohm", "1 mohm"), ("300 ohm", "300.02 ohm", "25 mohm"),
        ("5 kohm", "5.0003 kohm", "50 ppm")),
    reference(("DC voltage",
               {"values": "0 V to 10 V", "range": "10 V", "resolution": "10 uV",
                "within": "35 ppm of reading + 5 ppm of range + 2 counts", "drift": "10 ppm"}),
              ("capacitance", {"values": "0 nF to 1 mF", "resolution": "1 pF", "within": "0.4 %"},
               {"method": "charged"}), calibrated="2026-06-30"),
    coil(on_at_most="60 s", off_at_least="180 s")]
RULES = ["simple acceptance", "guard band of U", "guard band by multiplier M", "guard band of 5 U"]
HOSTILE = ["", "0", "-1", "1", "0 V", "-3 V", "1e18 V", "1e-18 V", "0.000000000000000001 ohm",
           "1e15 ohm", "5 kohm to 1 ohm", "0 to 1", "1 V to 1 V", "NaN", "inf", "1/3 V", "0,5 V",
           "1 degF", "-300 degC",
           "1e9 degC", "{{ x }}", "<b>x</b>", "a|b", "é\u202ex", "x" * 401, "yes", "no",
           "recommended", "leads", "none", "its zero setting", "relative", "artifact", "coil",
           "reference meter", "K", "J", "resistance",
           "temperature", "continuity", "duty cycle", "AC+DC current", "100 % + 100 counts",
           "0.0001 counts", "k = 2", "99 %", "plain limits", "2026-11-25", "0.75 mm2", [], {}, [[]],
           ["1 V", "2 V"], {"x": "y"}, [{}], True, 7, 0.1, None]


def paths(value, at=()):
    yield at
    for key, one in value.items() if isinstance(value,
                                                dict) else enumerate(value) if isinstance(
                                                        value, list) else ():
        yield from paths(one, (*at, key))


def found(value, path):
    for key in path:
        value = value[key]
    return value


def mutated(files: list, chance: random.Random) -> list:
    """One to three mistakes: another value, one from elsewhere in these files, a key less, an entry
    twice, a key more."""
    files = copy.deepcopy(files)
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        # the first, a plain source, is tried in other tests
        which = chance.choice((0, 1, 1, 2, 2, 3, 3, 4, 4))
        path = chance.choice([p for p in paths(files[which]) if p])
        holder, key = found(files[which], path[:-1]), path[-1]
        how = chance.randrange(6)
        if how == 0:
            del holder[key]
        elif how == 1 and isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        elif how == 2 and isinstance(holder, dict):
            other = chance.choice(
                [p[-1] for f in files for p in paths(f) if p and isinstance(p[-1], str)])
            holder[other] = chance.choice(HOSTILE)
        elif how in (3, 4):
            donor = chance.choice(files)
            holder[key] = copy.deepcopy(found(donor, chance.choice([p for p in paths(donor) if p])))
        else:
            holder[key] = chance.choice(HOSTILE)
    return files


def tried(folder, chance: random.Random):
    files = mutated([*STANDARDS, PLAN | {"decision_rule": chance.choice(RULES)}], chance)
    *standards, planned = files
    shop = load_with(folder, METER, planned,
                     *({**s, "standard": n} for s, n in zip(
                         standards, ("petrel", "auk-box", "skua", "scoter-coil"), strict=True)))
    assert shop.errors or shop.procedures
    for problem in shop.problems:
        assert str(problem) and problem.place.line >= 1
    for procedure in shop.procedures.values():
        VALIDATOR.validate(json.loads(json.dumps(procedure.data)))
        render.render(shop)
    return shop


def test_without_a_mistake_it_is_whole(tmp_path):
    """The project that is spoiled below is right as it stands, under each decision rule."""
    for n, rule in enumerate(RULES):
        shop = load_with(tmp_path / str(n), METER, PLAN | {"decision_rule": rule}, *STANDARDS)
        assert not shop.errors and shop.procedures, "\n".join(map(str, shop.errors))


@pytest.mark.parametrize("seed", range(4))
def test_random_mistakes_end_in_problems(seed, tmp_path):
    """Every mutation gives problems at a place or a procedure with valid data and pages."""
    chance = random.Random(seed)
    right = sum(bool(tried(tmp_path / str(n), chance).procedures) for n in range(60))
    assert 2 <= right < 60


@pytest.mark.parametrize("value",
                         ["", "0", "-3 V", "1e18 V", "1/3 V", "-300 degC", "x" * 401, "recommended",
                          [], {}, [[]], ["1 V", "2 V"], [{}], True, 7, None], ids=repr)
def test_each_hostile_value_in_each_new_key(value, tmp_path):
    """Every key of 'leads', 'junction', 'coil', a measure and a certified value at once, and then
    the keys themselves, hold this."""
    def spoiled(one: dict) -> dict:
        return {key: value for key in one}
    auk, skua, scoter = STANDARDS[1:]
    inside = [auk
              | {
                  "artifacts": [
                      auk["artifacts"][0] | {
                          "values": [spoiled(auk["artifacts"][0]["values"][0])]}]},
              skua
              | {
                  "measures": [
                      skua["measures"][0] | {"rows": [spoiled(skua["measures"][0]["rows"][0])]}]},
              scoter | {"coil": spoiled(scoter["coil"])}]
    whole = [auk | {"artifacts": value}, skua | {"measures": value}, scoter | {"coil": value}]
    for n, (leads, junction,
            standards) in enumerate([(spoiled(LEADS), spoiled(JUNCTION), inside),
                                     (value, value, whole)]):
        assert load_with(tmp_path / str(n), METER, PLAN | {"leads": leads, "junction": junction},
                         STANDARDS[0], *standards).errors


def test_a_source_and_a_meter_with_one_terminal(tmp_path):
    """Terminals that don't pair off with jacks are listed, on a thermocouple input too."""
    alone = STANDARDS[0] | {
        "outputs": [{**one, "terminals": ["OUT"]} for one in STANDARDS[0]["outputs"]]}
    shop = load_with(tmp_path, METER, PLAN, alone, *STANDARDS[1:])
    group = shop.procedures["lapwing-yearly"].groups[0]
    assert "Leads: plain copper, meter V, COM; Petrel OUT" in group.opening
