"""What a step's vapour does to the room it is done in, as the shop's document has it."""

import math
from dataclasses import replace

from witnessmark.quantities import Airflow, Length, Span, Volume, high
from witnessmark.safety import ON_A_CARD, Level, RoomAir, air_of_task, cautions_of_task
from witnessmark.schedule import Minutes
from witnessmark.shop import Room, Shop
from witnessmark.treatment import Step


def finishing_room(shop: Shop) -> Room | None:
    """The room a finish is taken to be laid in: the smallest of those whose sides are known, where vapour is worst."""
    sided = [room for room in shop.room if sides_of(room)]
    return min(sided, key=lambda room: math.prod(side.millimetres for side in sides_of(room)), default=None)


def sides_of(room: Room) -> tuple[Length, ...]:
    """Its length, width and height; nothing where one of them is not known."""
    sides = [side.value for side in (room.length, room.width, room.height) if side is not None and side.known]
    return tuple(sides) if len(sides) == 3 else ()


def air_of_step(step: Step, minutes: Minutes, shop: Shop) -> RoomAir | None:
    """The air of one session of it; None where it lets nothing go, or no room has its sides written down."""
    room = finishing_room(shop)
    if room is None:
        return None
    amounts = [(need.material, high(need.amount.value)) for need in step.needs]
    poured = [(key, amount * (1 / step.sessions)) for key, amount in amounts if isinstance(amount, Volume)]
    fan = Airflow(room.fan_m3_per_h or 0)
    return air_of_task(poured, Span(minutes.p50 / step.sessions), sides_of(room), fan)


def minding_the_air(step: Step, air: RoomAir | None) -> Step:
    """The step with what the room as it stands comes to among its cautions: Stop first, no more than are read."""
    if air is None:
        return step
    bound = sorted((*cautions_of_task(air), *step.cautions), key=lambda one: one.level is not Level.STOP)
    return replace(step, cautions=tuple(bound[:ON_A_CARD]))
