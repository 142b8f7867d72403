"""A piece that lies apart: what tests of its pages do with it, in a few words."""

import io
import re

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

import pieces
from witnessmark.plan import ApartNow, apart_now
from witnessmark.record import daybook_of, new_id, survey_of

PAGE = 200


def picture(colour: str = "sienna", size: tuple[int, int] = (64, 48), form: str = "JPEG") -> io.BytesIO:
    made = io.BytesIO()
    Image.new("RGB", size, colour).save(made, form)
    made.seek(0)
    made.name = f"{colour}.{form.lower()}"
    return made


def entry() -> str:
    return new_id(pieces.NOW)


def new_part(client: Client, piece: str, **said: str) -> HttpResponse:
    return client.post(reverse("new_part", args=[piece]), {"entry": entry()} | said)


def off(client: Client, piece: str, code: str, **said: str) -> HttpResponse:
    return client.post(reverse("off", args=[piece, code]), {"entry": entry()} | said)


def back(client: Client, piece: str, code: str, **said: str) -> HttpResponse:
    return client.post(reverse("back", args=[piece, code]), {"entry": entry()} | said)


def codes(piece: str) -> list[str]:
    return [part.code for part in survey_of(piece).part]


def now(piece: str) -> ApartNow:
    return apart_now(survey_of(piece), daybook_of(piece), pieces.shop())


def text(response: HttpResponse) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))
