"""From a typed name to a key: first as written, then more and more forgiving, never by guessing."""

import re
import unicodedata
from collections.abc import Callable, Container, Iterable, Mapping
from difflib import get_close_matches

SHOWN = 6  # choices a message can carry and still be read at the bench


class UnknownName(ValueError):
    """A name no table has. `found` is what was typed, `nearest` the closest names that are known."""

    def __init__(self, found: str, nearest: Iterable[str], what: str, why: str = "") -> None:
        self.found, self.nearest = found, list(nearest)
        said = why or (f"“{found}” is not a {what} we know." if found.strip() else f"No {what} was named.")
        meant = f" Nearest: {', '.join(self.nearest)}." if self.nearest else ""
        super().__init__(f"{said}{meant} Write its usual name, or its key from the tables.")


class AmbiguousName(ValueError):
    """A name that could be several things. `choices` are names that would each be understood."""

    def __init__(self, found: str, choices: Iterable[str], what: str) -> None:
        self.found, self.choices = found, list(choices)
        more = "" if len(self.choices) <= SHOWN else f" or {len(self.choices) - SHOWN} more"
        super().__init__(
            f"“{found}” could be more than one {what}: {'; '.join(self.choices[:SHOWN])}{more}. Write which."
        )


def words_in(text: str) -> list[str]:
    """The words of a name, bare: lower case, no accents, apostrophes or hyphens, each in the singular."""
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    plain = re.sub(r"['’`]", "", plain.replace("&", " and "))
    return [_singular(word) for word in re.findall(r"[a-z0-9]+", plain)]


def _singular(word: str) -> str:
    # Rough on purpose: both sides of a comparison go through it, so “meths” and “species” meet themselves.
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if re.search(r"(ch|sh|x|ss|z)es$", word):
        return word[:-2]
    return word[:-1] if len(word) > 3 and re.search(r"[^su]s$", word) else word


def _as_written(text: str) -> str:
    return " ".join(text.casefold().split())


def _run_together(text: str) -> str:
    return "".join(words_in(text))


def _in_any_order(text: str) -> str:
    return " ".join(sorted(words_in(text)))


def _without_brackets(text: str) -> str:
    return re.sub(r"\s*\([^)]*\)", "", text)


class Names:
    """The names of one table: by key, the name to show first, then all other spellings.

    `spare` are words that add nothing: “oak boards” and “solid oak” are oak.
    """

    def __init__(self, what: str, spellings: Mapping[str, list[str]], spare: Iterable[str] = ()) -> None:
        self.what, self.spellings, self._spare = what, spellings, set(spare)
        said = [(text, key) for key, texts in spellings.items() for text in texts]
        keys = [(key, key) for key in spellings]
        bare = [(_without_brackets(text), key) for text, key in said]
        # Names before keys: “redwood” is a word of two trades, the key of that spelling only the sequoia.
        self._tiers = [
            (form, _index(form, pairs))
            for form in (_as_written, _run_together, _in_any_order)
            for pairs in (said, keys, bare)
        ]
        self._said = [*said, *((key.replace("_", " "), key) for key in spellings), *bare]

    def find(self, text: str, allowed: Container[str]) -> str:
        """The key this names, among the allowed. Raises UnknownName or AmbiguousName."""
        words = [word for word in words_in(text) if word not in self._spare]
        without_region = re.sub(r"\s*\((UK|US)\)\s*$", "", text, flags=re.IGNORECASE)
        for typed in (text, without_region, " ".join(words)):
            for form, index in self._tiers:
                keys = [key for key in index.get(form(typed), ()) if key in allowed]
                if len(keys) == 1:
                    return keys[0]
                if keys:
                    raise AmbiguousName(text, (self.spellings[key][0] for key in keys), self.what)
        part = _one_each(
            (said, key) for said, key in self._known(allowed) if words and set(words) <= set(words_in(said))
        )
        if len(part) > 1:
            raise AmbiguousName(text, part.values(), self.what)
        nearest = _one_each([*((said, key) for key, said in part.items()), *self._close_to(words, allowed)])
        raise UnknownName(text, list(nearest.values())[:3], self.what)

    def nearest_keys(self, key: str) -> list[str]:
        """Keys spelt like this one."""
        return get_close_matches(key.casefold(), self.spellings, n=3)

    def _known(self, allowed: Container[str]) -> list[tuple[str, str]]:
        return [(said, key) for said, key in self._said if key in allowed]

    def _close_to(self, words: list[str], allowed: Container[str]) -> list[tuple[str, str]]:
        forms: dict[str, tuple[str, str]] = {}
        for said, key in self._known(allowed):
            forms.setdefault(" ".join(words_in(said)), (said, key))
        return [forms[form] for form in get_close_matches(" ".join(words), forms, n=6)]


def _index(form: Callable[[str], str], pairs: list[tuple[str, str]]) -> dict[str, list[str]]:
    index: dict[str, list[str]] = {}
    for text, key in pairs:
        keys = index.setdefault(form(text), [])
        if key not in keys:
            keys.append(key)
    index.pop("", None)
    return index


def _one_each(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Key to the first spelling of it that was met."""
    first: dict[str, str] = {}
    for text, key in pairs:
        first.setdefault(key, text)
    return first
