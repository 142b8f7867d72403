"""Colour: photographs and readings go in, measured colour and its error come out."""
