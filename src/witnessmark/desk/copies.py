"""A copy of the whole shop, taken while everybody works: one file to keep in another house."""

import shutil
import tempfile
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from witnessmark.documents import Refused
from witnessmark.record import backed_up, the_shop

from .clock import now
from .door import owners_only

_NOTED = "last-backup"  # in the data folder: when a copy was last taken from here


def last_taken() -> datetime | None:
    """When a copy was last taken from the desk."""
    try:
        return datetime.fromisoformat((settings.DATA / _NOTED).read_text("ascii").strip())
    except (OSError, ValueError):
        return None


@owners_only
@require_POST
def backup(request: HttpRequest) -> HttpResponseBase:
    """Everything as one file."""
    at = now()
    whole = tempfile.TemporaryFile(dir=settings.DATA)  # noqa: SIM115 (the answer closes it once it is sent)
    try:
        with tempfile.TemporaryDirectory(dir=settings.DATA, prefix=".copy-") as beside:
            out = Path(beside) / "backup.zip"
            backed_up(settings.DATA, out, at)
            with out.open("rb") as written:
                shutil.copyfileobj(written, whole)
        (settings.DATA / _NOTED).write_text(at.isoformat(), "ascii")
    except (Refused, OSError) as reason:
        whole.close()
        messages.error(request, f"No copy was taken: {reason}")
        return redirect("shop")
    whole.seek(0)
    day = at.astimezone(the_shop().shop.zone_info).date().isoformat()
    return FileResponse(whole, as_attachment=True, filename=f"witnessmark-{day}.zip", content_type="application/zip")
