"""An index for what of a stage was touched last, and for counting it."""

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [("record", "0005_papers_and_leases")]
    operations: ClassVar = [
        migrations.AddIndex(
            model_name="stockrow",
            index=models.Index(fields=["stage", "-touched", "job"], name="stock_lately_by_stage"),
        )
    ]
