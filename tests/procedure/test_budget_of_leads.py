"""What leads bring into a budget: as they are taken off, left in, or known."""

import math
from fractions import Fraction as F

import pytest

from tests.procedure.test_bench_leads import (BOX, BY_PAIR, BY_SKUA, CERTIFIED, SKUA, tried)
from tests.small_shop import the_procedure


def lines(point) -> dict[str, float]:
    return {one.name: one.contribution for one in point.sure.components}


@pytest.mark.parametrize("known, standards, own", [
    # 0.01 % of 83.4 mΩ and 1 mΩ at k = 2; half of 0.1 mΩ
    (BY_SKUA, [BOX, SKUA], {"leads, Skua, its accuracy": (0.0001 * 0.0834 + 0.001) / 2,
                            "leads, Skua, its resolution": 0.00005 / math.sqrt(3)}),
    (BY_PAIR, [BOX, CERTIFIED], {"leads, Pair 7, its accuracy": 0.001}),
    (BY_PAIR, [BOX, CERTIFIED | {"artifacts": [CERTIFIED["artifacts"][0] | {"drift": "3 mohm"}]}],
     {"leads, Pair 7, its accuracy": 0.001, "leads, Pair 7, its drift": 0.003 / math.sqrt(3)})])
def test_known_leads(known, standards, own, tmp_path):
    """Each line by hand: what they were read or certified with, plugged again (10 mΩ), and their
    copper from 18 to 28 °C: 2 m of 26 mΩ, 0.00393 per degree. Of leads together there is nothing
    else but the display; at a part its own accuracy comes first."""
    shop = tried(tmp_path, known, {"apply": ["0 ohm", "10 ohm"]}, "500 ohm", standards=standards)
    together, part, _ = the_procedure(shop).points
    copper = F(2) * F("0.026") * F("0.00393") * 10
    wanted = own | {"leads, plugged again": 0.01 / math.sqrt(3),
                    "leads, as warm as the bench may be": float(copper) / math.sqrt(3),
                    "resolution of the display, half a count": 0.05 / math.sqrt(3)}
    assert lines(together) == pytest.approx(wanted, rel=1e-12)
    assert lines(part) == pytest.approx({"Auk box, its accuracy": 0.0005} | wanted, rel=1e-12)
    assert together.sure.uncertainty.u == pytest.approx(
        math.sqrt(sum(one ** 2 for one in wanted.values())), rel=1e-12)
