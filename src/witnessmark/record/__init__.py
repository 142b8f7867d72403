"""The record: documents, day-book entries and photographs come in and are kept; what lists need is kept beside them.

Truth is three things: immutable revisions of each survey and of the shop, the append-only day book (the database
itself refuses UPDATE and DELETE on both), and photographs by SHA-256. All else is projected from them in the same
transaction and made again by `rebuild`. No arithmetic here.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .backing_up import Damaged as Damaged
    from .backing_up import backed_up as backed_up
    from .backing_up import restored as restored
    from .bench import HERE as HERE
    from .bench import bench_now as bench_now
    from .bench import daybook_here as daybook_here
    from .bench import plans_here as plans_here
    from .bench import post_calendar as post_calendar
    from .bench import small_jobs as small_jobs
    from .finding import first_of_each as first_of_each
    from .finding import found as found
    from .giving_out import given_out as given_out
    from .giving_out import piece_meant as piece_meant
    from .keeping import BothChanged as BothChanged
    from .keeping import Posted as Posted
    from .keeping import brought_back as brought_back
    from .keeping import keep_shop as keep_shop
    from .keeping import keep_survey as keep_survey
    from .keeping import last_cursor as last_cursor
    from .keeping import new_id as new_id
    from .keeping import post_entries as post_entries
    from .keeping import shop_checked as shop_checked
    from .keeping import survey_checked as survey_checked
    from .models import DayBookEntry as DayBookEntry
    from .models import Kind as Kind
    from .models import PairedPhone as PairedPhone
    from .models import PairingCode as PairingCode
    from .models import PaperKept as PaperKept
    from .models import PaperState as PaperState
    from .models import Person as Person
    from .models import Photograph as Photograph
    from .models import PlanKept as PlanKept
    from .models import Revision as Revision
    from .models import Role as Role
    from .models import StockRow as StockRow
    from .models import Token as Token
    from .papers_kept import PLAN_PAPERS as PLAN_PAPERS
    from .papers_kept import paper_file as paper_file
    from .papers_kept import papers_wanted as papers_wanted
    from .people import LastOwner as LastOwner
    from .people import NoSuchPerson as NoSuchPerson
    from .people import keep_person as keep_person
    from .people import person_named as person_named
    from .people import person_with as person_with
    from .people import shut_out as shut_out
    from .people import token_for as token_for
    from .photograph_folder import Album as Album
    from .photograph_folder import NoSuchPhotograph as NoSuchPhotograph
    from .photographs import album as album
    from .photographs import keep_photograph as keep_photograph
    from .pictures import LIMITS as LIMITS
    from .pictures import SIZES as SIZES
    from .pictures import BadPicture as BadPicture
    from .pictures import Taken as Taken
    from .pictures import picture_in as picture_in
    from .projecting import rebuild as rebuild
    from .reading import NoSuchPiece as NoSuchPiece
    from .reading import NoSuchState as NoSuchState
    from .reading import daybook_for as daybook_for
    from .reading import daybook_of as daybook_of
    from .reading import entries_of as entries_of
    from .reading import history_of as history_of
    from .reading import latest as latest
    from .reading import plan_made as plan_made
    from .reading import plan_of as plan_of
    from .reading import plans_kept as plans_kept
    from .reading import shop_revision as shop_revision
    from .reading import survey_of as survey_of
    from .reading import the_shop as the_shop
    from .taking_in import taken_in as taken_in
    from .tasks import start_worker as start_worker

# Django must be set up before its models are read: this package is named by the settings themselves.
_LATER = {
    "backing_up": ("Damaged", "backed_up", "restored"),
    "bench": ("HERE", "bench_now", "daybook_here", "plans_here", "post_calendar", "small_jobs"),
    "finding": ("first_of_each", "found"),
    "giving_out": ("given_out", "piece_meant"),
    "keeping": (
        "BothChanged", "Posted", "brought_back", "keep_shop", "keep_survey", "last_cursor", "new_id", "post_entries",
        "shop_checked", "survey_checked",
    ),
    "models": (
        "DayBookEntry", "Kind", "PairedPhone", "PairingCode", "PaperKept", "PaperState", "Person", "Photograph",
        "PlanKept", "Revision", "Role", "StockRow", "Token",
    ),
    "papers_kept": ("PLAN_PAPERS", "paper_file", "papers_wanted"),
    "people": ("LastOwner", "NoSuchPerson", "keep_person", "person_named", "person_with", "shut_out", "token_for"),
    "photograph_folder": ("Album", "NoSuchPhotograph"),
    "photographs": ("album", "keep_photograph"),
    "pictures": ("LIMITS", "SIZES", "BadPicture", "Taken", "picture_in"),
    "projecting": ("rebuild",),
    "reading": (
        "NoSuchPiece", "NoSuchState", "daybook_for", "daybook_of", "entries_of", "history_of", "latest", "plan_made",
        "plan_of", "plans_kept", "shop_revision", "survey_of", "the_shop",
    ),
    "taking_in": ("taken_in",),
    "tasks": ("start_worker",),
}  # fmt: skip
_HOMES = {name: module for module, names in _LATER.items() for name in names}

__all__ = [
    "HERE",
    "LIMITS",
    "PLAN_PAPERS",
    "SIZES",
    "Album",
    "BadPicture",
    "BothChanged",
    "Damaged",
    "DayBookEntry",
    "Kind",
    "LastOwner",
    "NoSuchPerson",
    "NoSuchPhotograph",
    "NoSuchPiece",
    "NoSuchState",
    "PairedPhone",
    "PairingCode",
    "PaperKept",
    "PaperState",
    "Person",
    "Photograph",
    "PlanKept",
    "Posted",
    "Revision",
    "Role",
    "StockRow",
    "Taken",
    "Token",
    "album",
    "backed_up",
    "bench_now",
    "brought_back",
    "daybook_for",
    "daybook_here",
    "daybook_of",
    "entries_of",
    "first_of_each",
    "found",
    "given_out",
    "history_of",
    "keep_person",
    "keep_photograph",
    "keep_shop",
    "keep_survey",
    "last_cursor",
    "latest",
    "new_id",
    "paper_file",
    "papers_wanted",
    "person_named",
    "person_with",
    "picture_in",
    "piece_meant",
    "plan_made",
    "plan_of",
    "plans_here",
    "plans_kept",
    "post_calendar",
    "post_entries",
    "rebuild",
    "restored",
    "shop_checked",
    "shop_revision",
    "shut_out",
    "small_jobs",
    "start_worker",
    "survey_checked",
    "survey_of",
    "taken_in",
    "the_shop",
    "token_for",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
