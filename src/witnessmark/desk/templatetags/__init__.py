"""What templates say in one word: tape, marks, drawers, drawings."""
