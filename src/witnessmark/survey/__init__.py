"""The survey: what was seen, measured, wished and decided of one piece."""
