"""The shop's days: steps go in, minutes and dates come out."""
