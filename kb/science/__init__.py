"""Formulas and constants: pure functions, units in the names, a source beside every number."""
