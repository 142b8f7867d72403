"""Finding pieces: by surname, code or any word of theirs, or how one begins. One function, one full-text table."""

import hashlib
import re

from django.db import connection

from witnessmark.daybook import Stage

from .models import StockRow

# prefix: an index for the first letters, so that what is found while typing is found at once.
WORDS_TABLE = (
    "CREATE VIRTUAL TABLE IF NOT EXISTS record_words USING fts5("
    "piece UNINDEXED, words, tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3')"
)
_MOST_WORDS = 8
# What is here comes before what is out; a code before a word.
_FOUND = """
SELECT row.* FROM record_words JOIN record_stockrow AS row ON row.piece = record_words.piece
WHERE record_words.words MATCH %s
ORDER BY lower(row.code) = %s DESC, row.stage = 'out', row.touched DESC LIMIT %s
"""
# The first of one stage: what is promised comes first, by its day, then what was touched last; job cards stand apart.
_FIRST = """
SELECT * FROM (SELECT * FROM record_stockrow WHERE stage = %s AND job = '' AND promised IS NOT NULL
ORDER BY promised, touched DESC LIMIT %s)
"""
_THEN = """
SELECT * FROM (SELECT * FROM record_stockrow WHERE stage = %s AND job = '' AND promised IS NULL
ORDER BY touched DESC LIMIT %s)
"""
_LAST_OUT = """
SELECT * FROM (SELECT * FROM record_stockrow WHERE stage = %s AND job = '' ORDER BY touched DESC LIMIT %s)
"""


def first_of_each(most: int, last_out: int) -> list[StockRow]:
    """The first pieces of every stage, so many each, asked for at once; of those that are out the last."""
    here = [stage.value for stage in Stage if stage is not Stage.OUT]
    asked = [one for stage in here for one in ((_FIRST, stage, most), (_THEN, stage, most))]
    asked.append((_LAST_OUT, Stage.OUT.value, last_out))
    values = [value for _, stage, number in asked for value in (stage, number)]
    rows: dict[str, list[StockRow]] = {}
    for row in StockRow.objects.raw(" UNION ALL ".join(sql for sql, _, _ in asked), values):
        rows.setdefault(row.stage, []).append(row)
    return [row for standing in rows.values() for row in standing[:most]]


def found(words: str, limit: int = 12) -> list[StockRow]:
    """The pieces that have all these words, or words that begin so; the one whose code it is first."""
    said = re.findall(r"[^\W_]+", words.lower())[:_MOST_WORDS]
    if not said:
        return []
    wanted = " ".join(f'"{word}"*' for word in said)
    return list(StockRow.objects.raw(_FOUND, [wanted, words.strip().lower(), limit]))


def keep_words(piece: str, words: str) -> None:
    """What a piece may be found by from now on."""
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT OR REPLACE INTO record_words (rowid, piece, words) VALUES (%s, %s, %s)",
            [_row_number(piece), piece, words],
        )


def forget_words() -> None:
    """Nothing can be found any more, till its words are kept again."""
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM record_words")


def _row_number(piece: str) -> int:
    """A full-text row is quickly reached by its number only: one made from the id, the same every time."""
    return int.from_bytes(hashlib.sha256(piece.encode()).digest()[:8], "big") >> 1
