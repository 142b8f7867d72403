"""The record as an app of Django."""

from django.apps import AppConfig


class RecordConfig(AppConfig):
    name = "witnessmark.record"
    label = "record"
    verbose_name = "The record"
    default_auto_field = "django.db.models.BigAutoField"
