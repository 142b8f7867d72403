"""Papers: a plan goes in, pages come out (treatment record, tags, cards, sheets)."""
