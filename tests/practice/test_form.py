"""No exercise is passed by its form: what knows nothing of the work plays 300 sets, and on no kind
is it right more than ten in a hundred above chance."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Callable
from functools import cache

import pytest

from builder.drawing.connection_drawings import connection_picture
from builder.practice import exercise_sets
from builder.practice.bench import Bench
from builder.practice.exercise import Choice, Exercise

PLAYED, LEARNED_FROM = range(1, 301), range(1001, 1201)
MORE_THAN_CHANCE = 0.10
LINE = 34       # letters of a line on a phone


@pytest.fixture(scope="module")
def sets(demo_shop) -> Callable[[range], list[Exercise]]:
    bench = Bench(demo_shop)

    @cache
    def made(seeds: range) -> list[Exercise]:
        return [e for seed in seeds for e in exercise_sets.make(bench, seed).exercises]
    return made


# ---------------------------------------------------------------- what an option looks like

def text(choice: Choice) -> str:
    return " | ".join(choice.cells) or choice.text


def words(choice: Choice) -> list[str]:
    return (list(choice.cells) or choice.text.replace(",", " ").replace(".", " ").split())


def lines(choice: Choice) -> int:
    """Of its text on a phone, or of its drawing."""
    drawn = connection_picture(choice.connection).count("<") if choice.connection else 0
    return drawn + math.ceil(len(text(choice)) / LINE)


def likeness(e: Exercise, n: int) -> float:
    """How like the others an option is: the words that it has in common with each."""
    own = Counter(words(e.choices[n]))
    shared = 0.0
    for k, other in enumerate(e.choices):
        if k != n:
            its = Counter(words(other))
            shared += 2 * (own & its).total() / (own.total() + its.total())
    return shared / (len(e.choices) - 1)


_LOOKS: dict[int, tuple[Exercise, list[tuple[float, ...]]]] = {}


def looks(e: Exercise) -> list[tuple[float, ...]]:
    """Of each option: its place, its length, its lines, its likeness to the others."""
    if id(e) not in _LOOKS:     # with the exercise, so that no other gets its number
        _LOOKS[id(e)] = e, _looks(e)
    return _LOOKS[id(e)][1]


def _looks(e: Exercise) -> list[tuple[float, ...]]:
    return [(n, len(text(one)), lines(one), likeness(e, n)) for n, one in enumerate(e.choices)]


def ranks(e: Exercise) -> list[tuple[object, ...]]:
    """The looks of each option beside those of the others, and those of the exercise: what a rule
    can be fitted to."""
    its = looks(e)
    whole = (len(e.choices), len(e.given), e.live,
             sum(len(value) for _, value in e.given) // 60)
    found = []
    for n, own in enumerate(its):
        beside = [(sum(other[k] < own[k] for other in its),
                   sum(other[k] == own[k] for other in its)) for k in (1, 2, 3)]
        found.append((("place", n, len(its)), *(("rank", k, *one) for k, one in enumerate(beside)),
                      *(("whole", k, one, n) for k, one in enumerate(whole)),
                      ("figures", sum(letter.isdigit() for letter in text(e.choices[n]))),
                      ("signs", text(e.choices[n]).count("−"), text(e.choices[n]).count("no"))))
    return found


# ---------------------------------------------------------------- who plays by it

def highest(column: int) -> Callable[[Exercise], int]:
    return lambda e: max(range(len(e.choices)), key=lambda n: (looks(e)[n][column], -n))


def least(column: int) -> Callable[[Exercise], int]:
    return lambda e: min(range(len(e.choices)), key=lambda n: (looks(e)[n][column], n))


PLAYERS: dict[str, Callable[[Exercise], int]] = {
    "most alike": highest(3), "least alike": least(3), "longest": highest(1), "shortest": least(1),
    "most lines": highest(2), "fewest lines": least(2),
    "middle": lambda e: len(e.choices) // 2, "middle before": lambda e: (len(e.choices) - 1) // 2,
    "first": lambda e: 0, "last": lambda e: len(e.choices) - 1}


def fitted(learned_from: list[Exercise]) -> Callable[[Exercise], int]:
    """Counts how often each look went with the right option, of each kind by itself, and takes the
    option whose looks speak for it most (naive Bayes, each count one more than it is)."""
    right: dict = defaultdict(Counter)
    wrong: dict = defaultdict(Counter)
    for e in learned_from:
        for n, its in enumerate(ranks(e)):
            (right if n == e.right else wrong)[e.kind].update(its)
    total = Counter(e.kind for e in learned_from)

    def spoken_for(e: Exercise, its: tuple) -> float:
        kind, of = e.kind, total[e.kind]
        others = of * (len(e.choices) - 1)
        return sum(math.log((right[kind][one] + 1) / (of + 2))
                   - math.log((wrong[kind][one] + 1) / (others + 2)) for one in its)

    def play(e: Exercise) -> int:
        all_of_them = ranks(e)
        return max(range(len(e.choices)), key=lambda n: spoken_for(e, all_of_them[n]))
    return play


def scores(player: Callable[[Exercise], int], exercises: list[Exercise]) -> dict[str, float]:
    """Of each kind, how much more than chance is right, as a share of all."""
    found: dict[str, list[float]] = defaultdict(list)
    for e in exercises:
        found[e.kind].append((player(e) == e.right) - 1 / len(e.choices))
    return {kind: sum(every) / len(every) for kind, every in found.items()}


def test_no_choice_is_found_by_its_form(sets):
    """Most alike, longest, most lines, the middle and a rule fitted on 200 other sets: of each kind
    by itself. That they can find what is there to find: the test below."""
    chosen = [e for e in sets(PLAYED) if not e.typed and not e.ordered]
    learned = [e for e in sets(LEARNED_FROM) if not e.typed and not e.ordered]
    found = {name: scores(player, chosen)
             for name, player in (PLAYERS | {"fitted": fitted(learned)}).items()}
    for name, of in found.items():
        print(f"{name:14}", {kind: round(100 * score) for kind, score in sorted(of.items())})
    assert {e.kind for e in chosen} == {"judge", "range", "sheet", "missing", "drawing"}
    assert {(name, kind): score for name, of in found.items() for kind, score in of.items()
            if score > MORE_THAN_CHANCE} == {}


def test_these_players_find_a_form_that_is_there(sets):
    """Where the right option is moved to the front more often than chance has it, or is made the
    one most like the others, the players who look for that pass the bar."""
    drawn = [e for e in sets(PLAYED) if e.kind == "drawing"]

    def spoilt(e: Exercise) -> Exercise:
        right = e.choices[e.right]
        alone = [one for one in e.choices if one.mistake and " " not in one.mistake][:2]
        return type(e)(kind=e.kind, given=e.given, ask=e.ask, reasons=e.reasons,
                       choices=(right, *alone))

    made = [spoilt(e) for e in drawn]
    assert scores(PLAYERS["first"], made)["drawing"] > 0.5
    assert scores(fitted(made[::2]), made[1::2])["drawing"] > 0.5


def test_no_order_is_found_by_its_form(sets):
    """As listed, backwards, by the alphabet, by length: hardly any is an order that is right."""
    orders = [e for e in sets(PLAYED) if e.ordered]
    for by in (lambda e: range(len(e.items)), lambda e: range(len(e.items))[::-1],
               lambda e: sorted(range(len(e.items)), key=lambda n: e.items[n]),
               lambda e: sorted(range(len(e.items)), key=lambda n: len(e.items[n])),
               lambda e: sorted(range(len(e.items)), key=lambda n: -len(e.items[n]))):
        right = [not e.ordered.broken(list(by(e))) for e in orders]
        assert sum(right) <= MORE_THAN_CHANCE * len(right)


def test_a_kind_is_not_known_by_its_place(sets):
    """Each stands at every place of a set about as often as at any other."""
    at = defaultdict(Counter)
    for start in range(0, len(sets(PLAYED)), 10):
        for place, e in enumerate(sets(PLAYED)[start:start + 10]):
            at[e.kind][place] += 1
    for kind, places in at.items():
        assert len(places) == 10 and max(places.values()) < 2 * places.total() / 10, (kind, places)
