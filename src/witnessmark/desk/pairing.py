"""The short code by which a phone is paired: read off one screen, typed on another, good once and not for long."""

import hashlib
import hmac
import secrets
from datetime import datetime, timedelta

# No 0 or O, no 1, I or L: they are taken for each other.
LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
CODE_LETTERS = 8  # 39 bits
CODE_GOOD_FOR = timedelta(minutes=10)  # with the door's ten tries in a quarter of an hour nobody guesses one


def new_code() -> str:
    """A code in two groups that can be read aloud."""
    letters = "".join(secrets.choice(LETTERS) for _ in range(CODE_LETTERS))
    return f"{letters[: CODE_LETTERS // 2]}-{letters[CODE_LETTERS // 2 :]}"


def kept_form(code: str, secret: str) -> str:
    """The form in which a code is kept: of no use to whoever reads it without the desk's secret."""
    return hmac.new(secret.encode(), _typed(code).encode(), hashlib.sha256).hexdigest()


def same_code(typed: str, kept: str, secret: str) -> bool:
    """Whether what was typed, in any case and spacing, is the code kept; takes as long either way."""
    return hmac.compare_digest(kept_form(typed, secret), kept)


def still_good(made: datetime, now: datetime) -> bool:
    return timedelta(0) <= now - made < CODE_GOOD_FOR


def _typed(code: str) -> str:
    return "".join(letter for letter in code.upper() if letter in LETTERS)
