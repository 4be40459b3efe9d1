"""Thermocouple voltages against printed tables, and against another program; single published
values are in `builder.published.thermometers`."""

import re
from fractions import Fraction as F

import pytest
import thermocouple_its90

from builder.compute.exact.thermocouple import TYPES, emf, sensitivity
from builder.published.thermometers import millivolts
from tests.conftest import ROOT


def printed() -> dict[str, dict[int, str]]:
    """By type, what NIST's ITS-90 Thermocouple Database (SRD 60; the tables of NIST Monograph 175)
    prints at every whole degree. Second hand: copied from the copies in the source distribution of
    thermocouple-its90, as the file's head says."""
    text = (ROOT / "tests/published/its90_tables.txt").read_text(encoding="utf-8")
    tables: dict[str, dict[int, str]] = {}
    for part in re.split(r"^type ", text, flags=re.M)[1:]:
        kind, *lines = part.splitlines()
        tables[kind] = {int(line.partition(":")[0]) + n: value for line in lines
                        for n, value in enumerate(line.partition(": ")[2].split())}
    return tables


PRINTED = printed()


@pytest.mark.parametrize("kind", TYPES)
def test_every_printed_value(kind):
    """All 12 026 values of the eight tables, each to its last figure: a coefficient with a wrong
    digit that matters anywhere would show."""
    low, high = TYPES[kind]
    assert sorted(PRINTED[kind]) == list(range(int(low), int(high) + 1))
    for celsius, value in PRINTED[kind].items():
        ours = millivolts(emf(kind=kind, celsius=F(celsius)))
        assert F(ours) == F(value), (celsius, ours, value)


def test_as_many_as_there_are():
    assert set(PRINTED) == set(TYPES)
    assert sum(map(len, PRINTED.values())) == 12_026


@pytest.mark.parametrize("kind", TYPES)
def test_every_whole_degree(kind):
    """Voltage and derivative at every whole degree of each type's whole span, against the package
    thermocouple-its90, which is a copy made by others of NIST's database (NIST Monograph 175,
    second hand). To the printed microvolt, and far closer: what the tables can't show, joints,
    slopes and arithmetic."""
    reference = thermocouple_its90.get(kind)
    assert tuple(map(float, TYPES[kind])) == tuple(map(float, reference.range))
    for celsius in range(int(TYPES[kind][0]), int(TYPES[kind][1]) + 1):
        volts = emf(kind=kind, celsius=F(celsius))
        assert F(millivolts(volts)) == F(f"{reference.emf(celsius):.3f}"), celsius
        assert abs(float(volts) * 1000 - reference.emf(celsius)) < 1e-9, celsius
        assert abs(float(sensitivity(kind=kind, celsius=F(celsius))) * 1000
                   - reference.seebeck(celsius)) < 1e-10, celsius
