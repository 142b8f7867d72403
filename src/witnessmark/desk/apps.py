"""The desk as an app of Django."""

from django.apps import AppConfig


class DeskConfig(AppConfig):
    name = "witnessmark.desk"
    label = "desk"
    verbose_name = "The desk"
