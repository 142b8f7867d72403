"""The record: keeps document revisions, the day book and photographs; no arithmetic here."""
