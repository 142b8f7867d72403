"""The database itself refuses to change or remove revisions and entries."""

from typing import ClassVar

from django.db import migrations

from witnessmark.record.refusals import sqlite_triggers


class Migration(migrations.Migration):
    dependencies: ClassVar = [("record", "0001_initial")]
    operations: ClassVar = [migrations.RunSQL([*sqlite_triggers()])]
