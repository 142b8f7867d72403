"""Odds: candidates and readings go in; probabilities and the next best look come out."""
