"""The generator of the exercises: the published one, so that a seed means the same for ever."""

from __future__ import annotations

from collections import Counter

from builder.compute.exact.draw import Draw
from builder.published.base import AGREES, SECOND_HAND
from builder.published.tables import GENERATOR


def test_the_generator_is_the_published_one():
    """SplitMix64's first values for 1234567, as its public-domain source gives them (second hand),
    so that no Python changes a set."""
    (first,) = GENERATOR.values
    assert first.result().outcome == AGREES and first.sure == SECOND_HAND
    assert Draw(7, "a").mixed(range(6)) == Draw(7,
                                                "a").mixed(range(6)) != Draw(7, "b").mixed(range(6))
    assert sorted(Draw(3).mixed("abcdef")) == list("abcdef")


def test_the_first_values_of_the_seed_nothing():
    """SplitMix64 from 0, whole 64 bits, as they are widely printed (from memory)."""
    draw = Draw(0)
    assert [draw.below(1 << 64) for _ in range(3)] == [
        0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F]


def test_a_label_starts_a_stream_of_its_own():
    """Another kind of exercise moves none of those before it; a seed is taken to 64 bits."""
    def first(*given):
        draw = Draw(*given)
        return [draw.below(1000) for _ in range(6)]
    streams = [first(7), first(7, "a"), first(7, "b"), first(7, "ab"), first(8), first(8, "a")]
    assert all(one != other for n, one in enumerate(streams) for other in streams[:n])
    assert first(7, "a") == first(7, "a") and first((1 << 64) + 7) == first(7)


def test_a_label_moves_the_state_by_each_of_its_bytes():
    """Worked out apart: 31 times the state, the byte and one, then a step of the generator, all
    modulo 2⁶⁴."""
    gamma, state = 0x9E3779B97F4A7C15, 7
    for byte in b"ohm":
        state = (31 * state + byte + 1 + gamma) % 2 ** 64
    assert Draw(7, "ohm").below(1 << 64) == Draw(state).below(1 << 64)


def test_every_order_comes_up_about_as_often():
    """6000 times three things: each of the six orders 1000 times, within five standard deviations
    (146); one of them 2000 times each."""
    draw, orders, ones = Draw(2026), Counter(), Counter()
    for _ in range(6000):
        orders[tuple(draw.mixed("abc"))] += 1
        ones[draw.one("abc")] += 1
    assert len(orders) == 6 and all(abs(n - 1000) < 146 for n in orders.values()), orders
    assert len(ones) == 3 and all(abs(n - 2000) < 183 for n in ones.values()), ones
