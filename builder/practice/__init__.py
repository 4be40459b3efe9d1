"""Exercises, a module a kind: each takes what a shop has and a generator, and gives an exercise or
None."""
