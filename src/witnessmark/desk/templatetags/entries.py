"""Ids for the entries that the forms of a page may make: `{% load entries %}`."""

from django import template

from witnessmark.desk.daybook_posts import fresh_id

register = template.Library()


@register.simple_tag
def fresh_entry() -> str:
    """An id for one form's entry: tapped twice, it counts once."""
    return fresh_id()
