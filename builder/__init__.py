"""Turns what a shop writes in procedures/ into verification procedures."""

__version__ = "0.3.0"
