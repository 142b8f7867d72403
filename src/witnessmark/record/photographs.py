"""Photographs of the shop: the file into the folder first, then what is known of it into the record."""

import io
from datetime import datetime

from django.conf import settings

from .models import Photograph
from .photograph_folder import Album
from .pictures import Stream, Taken
from .reading import the_shop

FOLDER = "photographs"


def album() -> Album:
    """The shop's photographs, in its data folder."""
    return Album(settings.DATA / FOLDER)


def keep_photograph(photograph: bytes | Stream, who: str, at: datetime) -> Taken:
    """Keeps a photograph, durably, and says what it is; twice is once. Raises BadPicture, and then nothing is kept."""
    stream = io.BytesIO(photograph) if isinstance(photograph, bytes) else photograph
    taken = album().keep(stream, the_shop().shop.zone_info)
    Photograph.objects.get_or_create(
        sha256=taken.sha256,
        defaults={
            "media": taken.media, "size": taken.size, "width": taken.width, "height": taken.height,
            "taken": taken.taken, "added": at, "who": who,
        },
    )  # fmt: skip
    return taken
