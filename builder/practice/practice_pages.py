"""Exercises → what pages show, and text for a terminal."""

from __future__ import annotations

from builder.practice import exercise_sets
from builder.practice.bench import Bench
from builder.practice.exercise import LETTERS, Exercise
from builder.practice.exercise_sets import KINDS, ExerciseSet
from builder.practice.mistake_words import NAMES
from builder.shop.contents import Shop

SEEDS = range(1, 21)    # the sets that a site has; a terminal makes any
HOLDS = "By tolerance only, without a guard band, inside each meter’s own ambient band."


def sets(shop: Shop) -> list[ExerciseSet]:
    bench = Bench(shop)
    return [exercise_sets.make(bench, seed) for seed in SEEDS]


def named(one: ExerciseSet) -> str:
    return f"Practice, set {one.seed}"


def title(exercise: Exercise) -> str:
    return KINDS[exercise.kind][0]


def answer(exercise: Exercise) -> str:
    """The right answer in a line: its letter, where there is one to choose, and its text, where
    that isn't a whole paragraph."""
    right = exercise.choices[exercise.right]
    if exercise.typed:
        return _filled(exercise, right.fields)
    return LETTERS[exercise.right] + ("" if exercise.kind == "drawing" else f": {right.text}")


def _filled(exercise: Exercise, fields: tuple[str, ...]) -> str:
    typed = exercise.typed
    return (" ".join(f"{name} {value}" for name, value in zip(typed.names, fields, strict=True))
            + f"\u00a0{typed.unit}")


def wrong(exercise: Exercise) -> list[tuple[str, str]]:
    """Each wrong answer, by its letter or by what would be typed, and which mistake it is. A line
    that holds is none."""
    return [(_filled(exercise, choice.fields) if exercise.typed else LETTERS[n], choice.why)
            for n, choice in enumerate(exercise.choices)
            if choice.mistake and choice.mistake != "sound"]


# ---------------------------------------------------------------- for the pages

def shown(exercise_set: ExerciseSet) -> list[dict]:
    """What the templates show of each exercise."""
    return [{
        "number": n, "kind": e.kind, "title": title(e), "live": e.live, "given": e.given,
        "ask": e.ask, "typed": e.typed, "head": e.head,
        "items": [(LETTERS[k].upper(), text) for k, text in enumerate(e.items)],
        "choices": [{"letter": LETTERS[k], "value": k, "text": c.text, "cells": c.cells,
                     "connection": c.connection} for k, c in enumerate(e.choices)],
        "answer": answer(e), "reasons": e.reasons, "wrong": wrong(e),
    } for n, e in enumerate(exercise_set.exercises, 1)]


def script(exercise_set: ExerciseSet) -> dict:
    """What the page's script must know: the right answers, and what to say to the others."""
    return {"seed": exercise_set.seed, "next": exercise_set.seed % len(SEEDS) + 1, "exercises": [{
        "right": e.right, "answer": answer(e), "reasons": e.reasons,
        "why": [c.why for c in e.choices],
        "mistakes": [NAMES.get(c.mistake, "") for c in e.choices],
        **({"fields": [c.fields for c in e.choices], "unit": e.typed.unit} if e.typed else {}),
    } for e in exercise_set.exercises]}


# ---------------------------------------------------------------- for a terminal

def exercise_set(shop: Shop, seed: int) -> ExerciseSet:
    """The set of any seed from 1 to `exercise_sets.HIGHEST`."""
    return exercise_sets.make(Bench(shop), seed)


def as_text(made: ExerciseSet) -> list[str]:
    lines = [f"{named(made)} (edition {made.edition})", HOLDS]
    for n, e in enumerate(made.exercises, 1):
        lines += ["", f"{n}. {title(e)}" + (" (live)" if e.live else ""),
                  *(f"   {word}: {text}" for word, text in e.given)]
        lines += [f"   {LETTERS[k].upper()}  {text}" for k, text in enumerate(e.items)]
        lines.append(f"   {e.ask}")
        if e.typed:
            lines.append(
                "   " + " ".join(f"{name} ________" for name in e.typed.names) + f" {e.typed.unit}")
            continue
        for k, choice in enumerate(e.choices):
            text = ("; ".join(f"{word.lower()} {cell}"
                              for word, cell in zip(e.head, choice.cells, strict=True))
                    if choice.cells else choice.text)
            lines.append(f"   {LETTERS[k]}  {text}")
    return lines + ([""] if made.left_out else []) + list(made.left_out)


def answers_as_text(one: ExerciseSet) -> list[str]:
    lines = [f"Answers to practice, set {one.seed} (edition {one.edition})"]
    for n, e in enumerate(one.exercises, 1):
        lines += ["", f"{n}. {title(e)}: {answer(e)}", *(f"   {line}" for line in e.reasons),
                  *(f"   {which}: {why}" for which, why in wrong(e))]
    return lines
