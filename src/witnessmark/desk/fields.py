"""A field of a form: its label, its hint, what is written, and what is amiss beside it.

Made in Python and not from a template: the bench has some twenty of them, and they were a third of its time.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

_NOTHING = mark_safe("")
_AMISS = mark_safe('<svg class="m red" aria-hidden="true" focusable="false"><use href="#m-short"/></svg>')


@dataclass(frozen=True)
class Field:
    """One field. `kind`: text, area, choice, radio, tick, or a type of an input; `may` follows the label."""

    id: str
    key: str
    label: str
    value: object = ""
    hint: str = ""
    fault: str = ""
    may: str = ""
    kind: str = "text"
    options: Sequence[tuple[str, str]] = ()
    short: bool = False
    inputmode: str = ""
    complete: str = ""
    accept: str = ""
    required: bool = False
    focus: bool = False

    def html(self) -> SafeString:
        """The field as it stands on a page."""
        match self.kind:
            case "radio":
                return self._radio()
            case "tick":
                return self._tick()
            case "area":
                widget = format_html('<textarea id="{}" name="{}"{}>{}</textarea>', self.id, self.key, self._ties(),
                                     self.value)  # fmt: skip
            case "choice":
                widget = format_html('<select id="{}" name="{}"{}>{}</select>', self.id, self.key, self._ties(),
                                     choices(self.options, self.value))  # fmt: skip
            case _:
                widget = self._input()
        return around(self.id, self.label, self.may, self.hint, widget, self.fault)

    def _input(self) -> SafeString:
        said: list[tuple[str, object]] = [("id", self.id), ("name", self.key), ("type", self.kind or "text")]
        if self.kind not in ("file", "password"):
            said.append(("value", self.value))
        extra = (("class", "short" if self.short else ""), ("inputmode", self.inputmode), ("accept", self.accept),
                 ("autocomplete", self.complete))  # fmt: skip
        said += [(name, word) for name, word in extra if word]
        return format_html("<input{}{}>", format_html_join("", ' {}="{}"', said), self._ties())

    def _ties(self) -> SafeString:
        """What ties the widget to its hint and its fault, for whoever hears the page."""
        told = (("required", self.required), ("autofocus", self.focus), ('aria-invalid="true"', bool(self.fault)))
        said = "".join(f" {word}" for word, there in told if there)
        by = " ".join(f"{self.id}-{what}" for what in ("hint", "fault") if getattr(self, what))
        return mark_safe(said) + (format_html(' aria-describedby="{}"', by) if by else _NOTHING)

    def _radio(self) -> SafeString:
        required = mark_safe(" required" if self.required else "")
        rows = [
            (self.key, option, mark_safe(" checked") if option == self.value else _NOTHING, required, words)
            for option, words in self.options
        ]
        row = '<label><input type="radio" name="{}" value="{}"{}{}> {}</label>'
        return format_html(
            '<fieldset class="field"{}><legend>{}{}</legend>{}<div class="choose">{}</div>{}</fieldset>',
            format_html(' aria-describedby="{}-fault"', self.id) if self.fault else _NOTHING, self.label,
            _may(self.may), format_html('<p class="hint">{}</p>', self.hint) if self.hint else _NOTHING,
            format_html_join("", row, rows), _fault(f"{self.id}-fault", self.fault),
        )  # fmt: skip

    def _tick(self) -> SafeString:
        box = '<label class="tick"><input type="checkbox" name="{}" value="yes"{}{}> {}</label>'
        return format_html(
            '<div class="field">' + box + "{}{}</div>",
            self.key, mark_safe(" checked") if self.value else _NOTHING,
            format_html(' aria-describedby="{}-hint"', self.id) if self.hint else _NOTHING, self.label,
            _hint(f"{self.id}-hint", self.hint), _fault(f"{self.id}-fault", self.fault),
        )  # fmt: skip


def around(ident: str, label: object, may: str, hint: str, widget: SafeString, fault: str) -> SafeString:
    """A widget in its place: label above, hint between, fault beneath."""
    return format_html(
        '<div class="field"><label for="{}">{}{}</label>{}{}{}</div>',
        ident, label, _may(may), _hint(f"{ident}-hint", hint), widget, _fault(f"{ident}-fault", fault),
    )  # fmt: skip


def choices(options: Sequence[tuple[str, str]], value: object) -> SafeString:
    """The options of a choice; a list of all pieces stands on a page several times."""
    rows = ((option, mark_safe(" selected") if option == value else _NOTHING, words) for option, words in options)
    return format_html_join("", '<option value="{}"{}>{}</option>', rows)


def _may(may: str) -> SafeString:
    return format_html(' <span class="may">{}</span>', may) if may else _NOTHING


def _hint(ident: str, hint: str) -> SafeString:
    return format_html('<p class="hint" id="{}">{}</p>', ident, hint) if hint else _NOTHING


def _fault(ident: str, fault: str) -> SafeString:
    return format_html('<p class="fault" id="{}">{}<span>{}</span></p>', ident, _AMISS, fault) if fault else _NOTHING
