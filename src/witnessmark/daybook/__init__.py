"""The day book: what was done, appended and never erased."""
