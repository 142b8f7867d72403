"""The full-text table that pieces are found by."""

from typing import ClassVar

from django.db import migrations

from witnessmark.record.finding import WORDS_TABLE


class Migration(migrations.Migration):
    dependencies: ClassVar = [("record", "0002_refusals")]
    operations: ClassVar = [migrations.RunSQL(WORDS_TABLE, "DROP TABLE IF EXISTS record_words")]
