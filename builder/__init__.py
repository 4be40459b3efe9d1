"""Turns what a shop writes in procedures/ into verification procedures."""

__version__ = "0.1.0"
