"""The tables. Truth first (revisions, day book, photographs), then people, then what is projected for quick lists."""

from typing import Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models.functions import Lower


class Kind(models.TextChoices):
    """The documents that are kept as revisions."""

    SURVEY = "survey"
    SHOP = "shop"
    CALENDAR = "calendar"  # the days people have read
    TODAY = "today"  # one day's lists, frozen once looked at


class Revision(models.Model):
    """One state of one document, as JSON, never changed: the database refuses it."""

    kind = models.CharField(max_length=8, choices=Kind.choices)
    document = models.CharField(max_length=40)  # a survey's id; “shop”
    number = models.PositiveIntegerField()
    body = models.JSONField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField()
    why = models.CharField(max_length=400, blank=True)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["document", "number"], name="one_of_each_number")]

    def __str__(self) -> str:
        return f"{self.document} as of {self.number}"


class DayBookEntry(models.Model):
    """One entry of the day book, appended and never changed: the database refuses it.

    `cursor` counts up in the order in which entries arrived; `body` is the entry as `daybook.entry_in` reads it.
    """

    cursor = models.BigAutoField(primary_key=True)
    id = models.CharField(max_length=36, unique=True)
    what = models.CharField(max_length=16)
    who = models.CharField(max_length=200)
    piece = models.CharField(max_length=36, blank=True)
    jar = models.CharField(max_length=200, blank=True)  # the first jar it names
    timed = models.BooleanField(default=False)  # it says how long a step took: the shop's pace learns from it
    happened = models.DateTimeField()
    arrived = models.DateTimeField()
    corrects = models.CharField(max_length=36, blank=True)
    body = models.JSONField()

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["piece", "cursor"], name="entries_of_a_piece"),
            models.Index(fields=["what", "happened"], name="entries_of_a_kind"),
            models.Index(fields=["happened"], name="entries_by_day"),
            models.Index(fields=["timed", "cursor"], name="entries_timed", condition=models.Q(timed=True)),
            models.Index(fields=["jar", "cursor"], name="entries_of_a_jar", condition=~models.Q(jar="")),
            models.Index(fields=["corrects"], name="entries_corrected", condition=~models.Q(corrects="")),
        ]

    def __str__(self) -> str:
        return f"{self.what} by {self.who}, {self.id}"


class Photograph(models.Model):
    """What is known of a photograph whose file stands in the folder under its SHA-256."""

    sha256 = models.CharField(max_length=64, primary_key=True)
    media = models.CharField(max_length=40)
    size = models.PositiveBigIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken = models.DateTimeField(null=True, blank=True)
    added = models.DateTimeField()
    who = models.CharField(max_length=200)

    def __str__(self) -> str:
        return self.sha256


class Role(models.TextChoices):
    """What somebody may do: a reader looks, a helper works, an owner also decides on people, money and settings."""

    OWNER = "owner"
    HELPER = "helper"
    READER = "reader"


class People(BaseUserManager["Person"]):
    """Makes people: Django asks for such an object by the model."""

    def create_user(self, name: str, role: str, password: str | None = None, **_: Any) -> "Person":
        person = self.model(name=name, role=role)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def get_by_natural_key(self, username: str | None) -> "Person":
        return self.get(name__iexact=username)


class Person(AbstractBaseUser):
    """Somebody who may enter. Their name is how the shop's document and the day book know them."""

    name = models.CharField(max_length=200, unique=True)
    role = models.CharField(max_length=8, choices=Role.choices)
    is_active = models.BooleanField(default=True)
    made = models.DateTimeField(auto_now_add=True)
    lock = models.CharField(max_length=128, blank=True)  # the short code of a paired phone, hashed

    USERNAME_FIELD = "name"
    REQUIRED_FIELDS: ClassVar[list[str]] = []
    objects: ClassVar[People] = People()

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(Lower("name"), name="one_person_a_name")]

    def __str__(self) -> str:
        return self.name

    @property
    def may_work(self) -> bool:
        return self.role in (Role.OWNER, Role.HELPER)

    @property
    def owns(self) -> bool:
        return self.role == Role.OWNER


class Token(models.Model):
    """A key of the API, kept as its SHA-256; the key itself is shown once."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="tokens")
    sha256 = models.CharField(max_length=64, unique=True)
    made = models.DateTimeField(auto_now_add=True)
    used = models.DateTimeField(null=True, blank=True)
    withdrawn = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"token of {self.person}"


class PairingCode(models.Model):
    """A one-time code by which a phone becomes somebody's, kept so that who reads it here can't use it."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="+")
    kept = models.CharField(max_length=64, unique=True)
    made = models.DateTimeField()

    def __str__(self) -> str:
        return f"pairing code of {self.person}"


class PairedPhone(models.Model):
    """A phone that stays entered for months and asks a short code, `Person.lock`, whenever it lay still."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="phones")
    name = models.CharField(max_length=60)
    made = models.DateTimeField()
    seen = models.DateTimeField()
    wrong = models.PositiveSmallIntegerField(default=0)  # codes in a row
    withdrawn = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.name} of {self.person}"


class StockRow(models.Model):
    """A piece as the lists show it: projected from its survey and its entries."""

    piece = models.CharField(max_length=36, primary_key=True)
    code = models.CharField(max_length=40, blank=True, db_index=True)
    title = models.CharField(max_length=200)
    kind = models.CharField(max_length=20)
    owner = models.CharField(max_length=200, blank=True)
    job = models.CharField(max_length=400, blank=True)  # a job card's one line
    stage = models.CharField(max_length=16)
    since = models.DateTimeField(null=True, blank=True)
    waits_on = models.CharField(max_length=400, blank=True)
    promised = models.DateField(null=True, blank=True)
    paid = models.BooleanField(default=False)
    minutes = models.FloatField(default=0)  # logged
    picture = models.CharField(max_length=64, blank=True)
    revision = models.PositiveIntegerField()
    cursor = models.BigIntegerField(default=0)  # of its last entry
    touched = models.DateTimeField()
    words = models.TextField(blank=True)  # all that it may be found by, in small letters

    class Meta:
        indexes: ClassVar = [
            models.Index(fields=["stage", "promised"], name="stock_by_stage"),
            models.Index(fields=["-touched"], name="stock_lately"),
            models.Index(fields=["stage", "-touched", "job"], name="stock_lately_by_stage"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.title}".strip()


class PlanKept(models.Model):
    """The plan of a piece and what it was made from: made again when one of those has changed."""

    piece = models.CharField(max_length=36, primary_key=True)
    made_from = models.CharField(max_length=200)
    at = models.DateTimeField()
    body = models.JSONField(null=True)
    refused = models.TextField(blank=True)  # why no plan could be made
    done = models.CharField(max_length=400, blank=True)
    next = models.CharField(max_length=400, blank=True)
    likely_day = models.DateField(null=True, blank=True)
    safe_day = models.DateField(null=True, blank=True)
    minutes_to_come = models.FloatField(null=True, blank=True)

    def __str__(self) -> str:
        return f"plan of {self.piece}"


class PaperState(models.TextChoices):
    """How far a paper is."""

    WAITING = "waiting"
    SETTING = "setting"
    READY = "ready"
    FAILED = "failed"


class PaperKept(models.Model):
    """A paper of a piece, set in the background: its files, and the plan they came from."""

    piece = models.CharField(max_length=36)
    which = models.CharField(max_length=40)
    state = models.CharField(max_length=8, choices=PaperState.choices, default=PaperState.WAITING)
    who = models.CharField(max_length=200)
    wanted = models.DateTimeField()
    made_from = models.CharField(max_length=200)
    files = models.JSONField(default=list)  # their names; they stand in `papers_folder`
    why = models.TextField(blank=True)  # it failed

    class Meta:
        indexes: ClassVar = [models.Index(fields=["piece", "which"], name="papers_of_a_piece")]

    def __str__(self) -> str:
        return f"{self.which} of {self.piece}, {self.state}"


class Lease(models.Model):
    """A task that a worker has in hand, till when unless it is heard of again, and how often it was begun."""

    task = models.CharField(max_length=36, primary_key=True)
    holder = models.CharField(max_length=64)
    until = models.DateTimeField()
    begun = models.PositiveSmallIntegerField(default=1)

    def __str__(self) -> str:
        return f"{self.task} with {self.holder} until {self.until:%H:%M:%S}"
