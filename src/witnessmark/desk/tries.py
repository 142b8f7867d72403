"""How often something secret may be guessed at from one place: ten times in a quarter of an hour.

Counted in the memory of the one process that serves; a restart, which is the owner's act, forgets.
"""

from django.core.cache import cache

TRIES = 10
REST = 15 * 60  # seconds


def may_try(what: str, whence: str = "") -> bool:
    """Counts a try and says whether it is still allowed."""
    key = f"tries {what} {whence}".replace(" ", "-")
    cache.add(key, 0, REST)
    try:
        return cache.incr(key) <= TRIES
    except ValueError:  # its quarter of an hour ended between the two
        return True


def forget_tries(what: str, whence: str = "") -> None:
    cache.delete(f"tries {what} {whence}".replace(" ", "-"))
