"""What is out with others, and whether a promised day can be kept: other people's waits set the real end."""

from collections.abc import Iterator
from datetime import date, datetime

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.shop import Shop


def away_in(daybook: DayBook, shop: Shop, *piece: str) -> tuple[str, ...]:
    """What was sent and has not come back, one line each, the longest away first. `piece`: its id, its code."""
    out: dict[tuple[str, str], Entry] = {}
    for entry in daybook.on_piece(*piece):
        if entry.what is What.SENT:
            out[_what(entry)] = entry
        elif entry.what is What.BACK:
            out = {what: sent for what, sent in out.items() if not _answers(entry, sent)}
    return tuple(_says(entry, shop) for entry in sorted(out.values(), key=lambda entry: entry.happened))


def _what(entry: Entry) -> tuple[str, str]:
    return entry.part, entry.step.id if entry.step else ""


def _answers(back: Entry, sent: Entry) -> bool:
    """Whether this coming back is of that sending: of the same part or step, or of whatever that person had."""
    if back.part or back.step:
        return _what(back) == _what(sent)
    return not back.to or back.to == sent.to


def _says(entry: Entry, shop: Shop) -> str:
    what = entry.part or (entry.step.trade_name if entry.step else "the piece")
    day = entry.happened.astimezone(shop.shop.zone_info)
    line = f"{what}, with {entry.to or 'somebody'} since {day.day} {day:%B}"
    return f"{line}: {entry.note}" if entry.note else line


def late_for(promised: date | None, likely: datetime | None, safe: datetime | None, shop: Shop) -> Iterator[str]:
    """What to say of a promised day that the work may not keep."""
    if promised is None or likely is None or safe is None:
        return
    zone = shop.shop.zone_info
    likely_day, safe_day = likely.astimezone(zone).date(), safe.astimezone(zone).date()
    if likely_day > promised:
        late = f"Promised for {_day(promised)}, and likely done {_day(likely_day)}: tell the owner"
        yield f"{late}. Safe to say {_day(safe_day)}."
    elif safe_day > promised:
        yield f"Promised for {_day(promised)}, likely kept, but four times in five it is done by {_day(safe_day)} only."


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"
