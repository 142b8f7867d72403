"""The night the clocks change: working hours are the wall's, waits are elapsed.

The transitions are the IANA time zone database's, read through Python's zoneinfo: London goes from 01:00 UTC on
28 March 2027 to British Summer Time, Chicago at 08:00 UTC on 14 March 2027 to daylight time and back at 07:00 UTC on
7 November 2027.
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from witnessmark.quantities import Span, Temperature
from witnessmark.schedule import Job, days_for
from witnessmark.shop import shop_from
from witnessmark.treatment import Cure, Wait


def shop(zone, night="18 °C"):
    return shop_from(
        f'[shop]\nname = "x"\nzone = "{zone}"\ngallon = "us"\n[[person]]\nname = "Ann"\nbench_fraction = 1.0\n'
        f'hours = {{ mon-sun = "8:00-12:00, 13:00-17:00" }}\n[[room]]\nname = "a"\nnight_temperature = "{night}"\n',
        "shop.toml",
    )


def utc(text):
    return datetime.fromisoformat(f"{text}+00:00")


@pytest.mark.parametrize(
    ("zone", "before", "morning_before", "morning_after"),
    [
        ("Europe/London", "2027-03-27T08:00", "08:00", "07:00"),
        ("America/Chicago", "2027-03-13T14:00", "14:00", "13:00"),
        ("America/Chicago", "2027-11-06T13:00", "13:00", "14:00"),
    ],
)
def test_the_shop_opens_by_the_wall_clock(zone, before, morning_before, morning_after):
    # Nine hours' work: one in the morning after the clocks changed.
    slots = days_for([Job("strip", 540)], shop(zone), utc(before))["strip"]
    assert slots[0].start.strftime("%H:%M") == morning_before
    assert slots[-1].start.strftime("%H:%M") == morning_after
    assert slots[-1].start.astimezone(ZoneInfo(zone)).hour == 8
    assert sum((slot.end - slot.start for slot in slots), timedelta()) == timedelta(hours=9)


def waited(zone, begun, hours, night="18 °C", warm=None):
    """When a job begins that waits so long for one of an hour, in the shop's own time."""
    wait = Wait(Span.hours(hours), Span.hours(hours), None, Cure.TOUCH, warm and Temperature(warm), "")
    days = days_for([Job("coat", 60, wait=wait), Job("next", 30, after=("coat",))], shop(zone, night), utc(begun))
    return days["next"][0].start.astimezone(ZoneInfo(zone))


def test_a_wait_is_elapsed_and_so_ends_an_hour_later_on_the_wall_in_spring():
    # 15:00 to 16:00 on Saturday, then 24 h: 17:00 summer time on Sunday, which is closing; so Monday.
    assert waited("Europe/London", "2027-03-27T15:00", 24) == datetime(2027, 3, 29, 8, tzinfo=ZoneInfo("Europe/London"))
    # An hour less of waiting is just in time.
    assert waited("Europe/London", "2027-03-27T15:00", 23).strftime("%d %H:%M") == "28 16:00"


def test_a_wait_ends_an_hour_earlier_on_the_wall_in_autumn():
    # 8:00 to 9:00 central daylight time on Saturday; 24 h later it is 8:00 standard time on Sunday.
    assert waited("America/Chicago", "2027-11-06T13:00", 24).strftime("%d %H:%M") == "07 08:00"


def test_in_the_cold_only_open_hours_count_and_they_are_nine_on_either_day():
    # From 9:00 on Saturday eight hours until 17:00, then four more from 8:00 summer time; 12:00 is lunch, so 13:00.
    begin = waited("Europe/London", "2027-03-27T08:00", 12, night="5 °C", warm=15)
    assert begin.strftime("%d %H:%M") == "28 13:00"
    assert begin.astimezone(UTC).hour == 12
