"""One room and the solvents let go in it: the air it takes, the level it comes to, what is left, what to beware."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.materials import material
from witnessmark.quantities import AirChanges, Airflow, Percent, Range, Span, Vapour, Volume, say
from witnessmark.sources import Figure, Input, Working, given, rule, work

from . import air
from .caution import Caution, Level


@dataclass(frozen=True)
class Poured:
    """One solvent and how much of it goes; `limit` is the level to keep to where somebody chose one."""

    solvent: str
    amount: Volume
    limit: Vapour | None = None


@dataclass(frozen=True)
class RoomAir:
    """What the vapour in a room comes to, and what it takes to thin it.

    `health` and `fire` are the air for each, None where nobody printed a limit; `changes` the greater of them as air
    changes. `peak` is the room's average at the end with `flow`, `left` some time after; `shut` in a room kept shut.
    Where a fan is there, `again` is how long until the room is down to what is aimed at, fit to sand, light the stove
    and work on in, and `clear` until others may sleep above it. `index` is what the vapours come to together against
    what is aimed at; `day` the most over eight hours.
    """

    health: Working[Airflow] | None
    fire: Working[Airflow] | None
    changes: Working[AirChanges] | None
    flow: Airflow
    peak: Working[Vapour]
    left: Working[Vapour] | None
    shut: Working[Vapour]
    again: Working[Span] | None
    clear: Working[Span] | None
    index: Working[float] | None
    day: Working[Vapour]
    aims: tuple[Vapour | None, ...]
    mixing: float
    cautions: tuple[Caution, ...]
    warnings: tuple[str, ...]
    poured: tuple[Poured, ...] = ()


def air_of_room(
    poured: Sequence[Poured],
    over: Input,
    room: Input,
    mixing: Input | None = None,
    fan: Input | None = None,
    after: Input | None = None,
) -> RoomAir:
    """Everything about one room. Without a fan the level is that with the air the sum asks for.

    Raises NoVapourFigures for a solvent nobody put figures to, BadRoom for a room or a time of nothing.
    """
    warnings: list[str] = []
    factor = mixing or _usual(rule("safety", "mixing"))
    found = [air.solvent_named(one.solvent) for one in poured]
    solvents = [solvent for solvent, _ in found]
    for one, (solvent, row) in zip(poured, found, strict=True):
        if row != one.solvent:
            warnings.append(f"{solvent.name} is reckoned by the vapour figures of {material(row).name}")
    releases = [_release(one, solvent, over) for one, solvent in zip(poured, solvents, strict=True)]
    released = work(air.all_released, **{f"of_{number}": one for number, one in enumerate(releases, 1)})
    aims = [_aim(one, solvent, warnings) for one, solvent in zip(poured, solvents, strict=True)]
    health, fire = _for_health(releases, aims, factor), _for_fire(solvents, releases, warnings)
    needed = max((one for one in (health, fire) if one), key=lambda one: one.value, default=None)
    still = given("still air", Airflow(0))
    flow: Input = fan or needed or still
    known = {"mixing": factor, "room": room}
    shut = work(air.build_up, release=released, flow=still, over=over, **known)
    peak = work(air.build_up, release=released, flow=flow, over=over, **known)
    shares = [one.value / released.value for one in releases]
    index = _index(peak, shares, aims)
    changes = work(air.air_changes_of, flow=needed, room=room) if needed else None
    warnings += _warnings(solvents, changes, index if fan else None)
    warnings.append(f"mixing factor {say(factor.value)}; a room's average says nothing of the air before your face")
    return RoomAir(
        health,
        fire,
        changes,
        flow.value,
        peak,
        work(air.decay, first=peak, flow=flow, after=after, **known) if after else None,
        shut,
        # Of air that nobody has, these two would say nothing.
        _clear(peak, aims, shares, fan, known, Percent(100)) if fan else None,
        _clear(peak, aims, shares, fan, known, rule("safety", "fit_to_sleep").value) if fan else None,
        index,
        _day(peak, over),
        tuple(aim.value if aim else None for aim in aims),
        float(factor.value),
        cautions_of_room([(one, shut.value * share) for one, share in zip(solvents, shares, strict=True)]),
        tuple(warnings),
        tuple(poured),
    )


def _usual(figure: Figure) -> Figure:
    """The usual alone, so that the air and the level it leads to speak of the same room."""
    value = figure.value.usual if isinstance(figure.value, Range) else figure.value
    return Figure(figure.name, value, figure.standing, figure.source_key, figure.note)


def _release(one: Poured, solvent: air.Solvent, over: Input) -> Working[Airflow]:
    vapour = work(
        air.vapour_of, amount=given("--amount", one.amount), density=solvent.density, molar_mass=solvent.molar_mass,
        molar_volume=rule("safety", "molar_volume"),
    )  # fmt: skip
    return work(air.release_of, vapour=vapour, over=over)


def _aim(one: Poured, solvent: air.Solvent, warnings: list[str]) -> Input | None:
    """The limit given as it stands, else a share of the lowest printed; None where nobody printed one."""
    if one.limit is not None:
        return given("--limit", one.limit)
    lowest = solvent.lowest_limit
    if lowest is None:
        warnings.append(f"no limit was found for {solvent.name}: no air for health is said; give --limit")
        return None
    who, figure = lowest
    share = rule("safety", "aim_share")
    warnings.append(
        f"{solvent.name}: aimed at {say(share.value)} of {say(figure.value)}, the lowest limit printed ({who}, "
        f"{figure.standing.words})"
    )
    return work(air.aimed_at, limit=figure, share=share)


def _for_health(
    releases: Sequence[Working[Airflow]], aims: Sequence[Input | None], mixing: Input
) -> Working[Airflow] | None:
    flows = [
        work(air.flow_for_health, release=release, aim=aim, mixing=mixing)
        for release, aim in zip(releases, aims, strict=True)
        if aim is not None
    ]
    return _together(flows) if len(flows) == len(aims) else None


def _for_fire(
    solvents: Sequence[air.Solvent], releases: Sequence[Working[Airflow]], warnings: list[str]
) -> Working[Airflow] | None:
    safety, warmth = _usual(rule("safety", "fire_safety")), rule("safety", "fire_warmth")
    flows = [
        work(air.flow_for_fire, release=release, explosive_limit=one.explosive_limit, safety=safety, warmth=warmth)
        for one, release in zip(solvents, releases, strict=True)
        if one.explosive_limit is not None
    ]
    if len(flows) == len(solvents):
        return _together(flows)
    warnings.append("no explosive limit was found for one of them: no air for fire is said")
    return None


def _together(flows: Sequence[Working[Airflow]]) -> Working[Airflow]:
    if len(flows) == 1:
        return flows[0]
    return work(air.flow_for_all, **{f"for_{number}": one for number, one in enumerate(flows, 1)})


def _index(
    peak: Working[Vapour], shares: Sequence[float], aims: Sequence[Input | None]
) -> Working[float] | None:  # fmt: skip
    limits = [aim.value for aim in aims if aim is not None]
    if len(limits) < len(aims):
        return None
    levels = tuple(peak.value * share for share in shares)
    return work(
        air.mixture_index, levels=given("each at its peak", levels), limits=given("each aimed at", tuple(limits))
    )


def _clear(
    peak: Working[Vapour], aims: Sequence[Input | None], shares: Sequence[float], flow: Input, known: dict[str, Input],
    share: Percent,
) -> Working[Span] | None:  # fmt: skip
    """How long until the room is down to a share of what is aimed at; None in still air, where it never is."""
    if None in aims or flow.value <= Airflow(0):
        return None
    index = sum(part / aim.value.parts_per_million for part, aim in zip(shares, aims, strict=True) if aim is not None)
    last = given("a share of what is aimed at", Vapour(share.percent / 100 / index))
    return work(air.time_to_clear, first=peak, last=last, flow=flow, **known)


def _day(peak: Working[Vapour], over: Input) -> Working[Vapour]:
    """At most, over eight hours, for whoever is there while it goes and leaves when it is done."""
    day = rule("safety", "day")
    times = given("time there", (min(over.value, day.value),))
    return work(air.day_average, levels=given("the peak", (peak.value,)), times=times, day=day)


def _warnings(
    solvents: Sequence[air.Solvent], changes: Working[AirChanges] | None, index: Working[float] | None
) -> list[str]:
    said = []
    for one in solvents:
        if one.lowest_limit and one.lowest_limit[1].value < rule("safety", "dilution_from").value:
            said.append(f"{one.name} is too harmful to thin with air alone: draw it off where it arises")
        if one.no_safe_level:
            said.append(f"NIOSH takes {one.name} to cause cancer, with no safe level: take another solvent")
    if changes and changes.value > rule("safety", "most_air_changes").value:
        said.append("no window or small fan gives that much air: go down the ladder instead")
    if index is not None and index.value > 1:
        said.append("with that fan the room passes what is aimed at: go down the ladder")
    return said


def cautions_of_room(levels: Sequence[tuple[air.Solvent, Vapour]]) -> tuple[Caution, ...]:
    """What a room shut up with these vapours would come to: dangerous to life and health, or on the way to fire.

    `levels`: each solvent with its level, as the room's average.
    """
    found = []
    deadly = [
        (one, level) for one, level in levels if one.immediately_dangerous and level >= one.immediately_dangerous.value
    ]  # fmt: skip
    if deadly:
        names = " and ".join(one.name for one, _ in deadly)
        figure = deadly[0][0].immediately_dangerous
        source = figure.source_key if figure else ""
        says = f"Don't do this in a room kept shut: {names} would come to a level dangerous to life and health."
        cites = tuple(one.key for one, _ in deadly)
        found.append(Caution("deadly_when_shut", Level.STOP, says, "occupational hygienist", source, "", cites))
    watch: Percent = rule("safety", "fire_watch").value
    # Le Chatelier: the shares of their explosive limits add up.
    share = sum(
        level.parts_per_million / (one.explosive_limit.value.percent * 1e4)
        for one, level in levels
        if one.explosive_limit is not None
    )
    if share >= watch.percent / 100:
        says = (
            f"Don't do this in a room kept shut: the vapour comes to {share * 100:.0f} % of what explodes, "
            "and far more near the floor. No flame, stove or switch."
        )
        cites = tuple(one.key for one, _ in levels)
        found.append(Caution("fire_when_shut", Level.STOP, says, "fire officer", "trade_common_practice", "", cites))
    return tuple(found)
