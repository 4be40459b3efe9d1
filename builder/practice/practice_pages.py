"""Exercises → what pages show, and text for a terminal."""

from __future__ import annotations

import json

from builder.practice import exercise_sets
from builder.practice.bench import Bench
from builder.practice.criteria import CRITERIA
from builder.practice.exercise import LETTERS, Exercise
from builder.practice.bench_words import REMEMBERED, SLIPS
from builder.practice.exercise_sets import KINDS, ExerciseSet
from builder.practice.mistake_words import LESSONS, MISTAKES
from builder.shop.contents import Shop

SEEDS = range(1, 21)    # the sets that a site has; a terminal makes any
HOLDS = "By tolerance only, without a guard band, inside each meter’s own ambient band."
MOST_WRONG = 4          # mistakes that the answers name of a typed one
_EVERY = MISTAKES | SLIPS


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
    if exercise.ordered:
        return ", ".join(LETTERS[n].upper() for n in exercise.ordered.right)
    right = exercise.choices[exercise.right]
    if exercise.typed:
        return _filled(exercise, right.fields)
    if exercise.kind == "missing":
        return right.text
    return LETTERS[exercise.right] + ("" if exercise.kind == "drawing" else f": {right.text}")


def _filled(exercise: Exercise, fields: tuple[str, ...]) -> str:
    typed = exercise.typed
    return (" ".join(f"{name} {value}" for name, value in zip(typed.names, fields, strict=True))
            + f"\u00a0{typed.unit}")


def wrong(exercise: Exercise) -> list[tuple[str, str, str]]:
    """Of wrong answers, by letter or by what is typed: which mistake it is, and its code. A line
    that is correct is none, and neither is a gap where nothing is missing."""
    answers = [(_filled(exercise, choice.fields) if exercise.typed else LETTERS[n], choice.why,
              choice.mistake)
             for n, choice in enumerate(exercise.choices)
             if choice.mistake and choice.mistake not in ("sound", "gap")]
    return answers[:MOST_WRONG] if exercise.typed else answers


# ---------------------------------------------------------------- for the pages

def to_read() -> list[tuple[str, str, str]]:
    """Of what goes wrong at the bench: its code, and where it is prevented."""
    return [(code.removeprefix("bench-"), *_paragraph(code)) for code in SLIPS]


def shown(exercise_set: ExerciseSet) -> list[dict]:
    """What the templates show of each exercise."""
    return [{
        "number": n, "kind": e.kind, "title": title(e), "live": e.live, "given": e.given,
        "ask": e.ask, "typed": e.typed, "ordered": e.ordered, "head": e.head,
        "items": [(LETTERS[k].upper(), text) for k, text in enumerate(e.items)],
        "choices": [{"letter": LETTERS[k], "value": k, "text": c.text, "cells": c.cells,
                     "connection": c.connection} for k, c in enumerate(e.choices)],
        "answer": answer(e), "reasons": e.reasons,
        "wrong": [(which, why, *_paragraph(mistake)) for which, why, mistake in wrong(e)],
    } for n, e in enumerate(exercise_set.exercises, 1)]


def _paragraph(mistake: str) -> tuple[str, str]:
    """Where a mistake is prevented: the address among the lessons, and the lesson's title."""
    lesson, anchor = _EVERY[mistake][1]
    return f"{lesson}.html" + (f"#{anchor}" if anchor else ""), LESSONS[lesson]


def script(exercise_set: ExerciseSet) -> dict:
    """What a set's page knows of itself: none of its answers."""
    return {"seed": exercise_set.seed, "edition": exercise_set.edition,
            "next": exercise_set.seed % len(SEEDS) + 1,
            "exercises": [{"kind": e.kind,
                           **({"unit": e.typed.unit, "minus": e.typed.minus} if e.typed else {})}
                          for e in exercise_set.exercises]}


def answers_script(exercise_set: ExerciseSet) -> str:
    """The answers, as a script that the page adds when an answer is checked."""
    answers = {"seed": exercise_set.seed, "edition": exercise_set.edition,
               "exercises": [_known(e) for e in exercise_set.exercises]}
    return f"Bench.practice.answers={_as_script(answers)};\n"


def _known(e: Exercise) -> dict:
    if e.ordered:
        told = {"order": e.ordered.right,
                "rules": [[r.first, r.later, r.mistake, r.why] for r in e.ordered.rules]}
    else:
        told = {"right": e.right, "why": [c.why for c in e.choices],
                "mistakes": [c.mistake for c in e.choices]}
        if e.typed:
            told["fields"] = [c.fields for c in e.choices]
        if any(c.work for c in e.choices):
            told["work"] = [c.work for c in e.choices]
    return {**told, "answer": answer(e), "reasons": e.reasons}


def words_script() -> str:
    """`Bench.practice`, the same for every shop: what kinds and mistakes are called, which
    paragraph of a lesson prevents each, and what the trainee's path asks for."""
    words = {"kinds": {code: kind[0] for code, kind in KINDS.items()},
             "mistakes": {code: name for code, (name, _) in _EVERY.items()},
             "lessons": {code: paragraph for code, (_, paragraph) in _EVERY.items()},
             "at_bench": REMEMBERED, "sets": list(SEEDS), "length": exercise_sets.LENGTH,
             "criteria": [{"number": one.number, "when": one.when, "asked": one.asked,
                           "kinds": one.kinds, "row": one.row, "days": one.days,
                           "right": one.right} for one in CRITERIA]}
    return f"(window.Bench=window.Bench||{{}}).practice={_as_script(words)};\n"


def _as_script(data: dict) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


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
        if e.ordered:
            lines.append("   " + " ".join(["___"] * len(e.items)))
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
                  *(f"   {which}: {why}" for which, why, _ in wrong(e))]
    return lines
