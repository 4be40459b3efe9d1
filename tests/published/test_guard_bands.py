"""What guard bands do, by whole sweeps; single values are in `builder.published.risks`. The
sureness words are those of `builder.published.base`."""

from builder.compute.statistics.decision import MULTIPLIER, multiplier
from builder.published.risks import HANDBOOK, acceptance, risks

SHARES = [0.30 + n * 0.005 for n in range(140)]   # 0.30 to 0.995
RATIOS = [1 + n * 0.125 for n in range(73)]       # 1 to 10


def test_no_guard_band_where_the_multiplier_is_negative():
    """At a test uncertainty ratio of 4.6 the M of the handbook to ANSI/NCSL Z540.3 is negative, so
    A/T is 1 (formula second hand, numbers computed)."""
    assert multiplier(tur=4.6) < 0 and acceptance(MULTIPLIER, 4.6) == 1


def test_the_multiplier_keeps_false_accepts_under_two_percent():
    """For a centred normal prior, the M of the handbook to ANSI/NCSL Z540.3 keeps the global
    false-accept risk under 2 % for every test uncertainty ratio of 1 to 10 and every share of 0.30
    to 0.995 in tolerance (formula second hand, property computed); and the page of published values
    shows the worst of them."""
    worst, tur, share = max((risks(tur, share, MULTIPLIER)[0], tur, share) for tur in RATIOS
                            for share in SHARES)
    assert worst < 0.02
    (shown,) = [value for value in HANDBOOK.values if "where it is worst" in value.what]
    assert shown.what.endswith(
        f"at TUR {tur:g} and {share:.0%} in tolerance".replace(
            "%", " %")) and shown.should_be == f"{worst * 100:.2f} %"
