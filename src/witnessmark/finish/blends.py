"""Blends of solvents: where one stands, how far from what it must dissolve and from what it must spare.

Two maps. Hansen's has three parameters and a sphere round a polymer; where no sphere was found Teas' triangle stands
in, whose regions are inner estimates over the solvents known to dissolve a thing. Both blend by volume. They are
guides to what to try on a hidden spot, not promises: most Teas triples and two of the spheres are from memory, water,
swelling and time are on neither map.

Source: `teas.csv`, `teas_regions.csv`, `hansen_spheres.csv`.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from witnessmark.documents import Refused
from witnessmark.materials import family_of, fits, material
from witnessmark.quantities import Money, Percent, Temperature, Volume
from witnessmark.sources import Figure, Row, Standing, formula, given, rule, table, weakest, work
from witnessmark.sources import Working as Sum

_TEAS = Figure("volume-weighted mean", None, Standing.PUBLISHED, "distlist_1989", "Teas fractions of a blend")
_HANSEN = Figure("Ra² = 4Δd² + Δp² + Δh²", None, Standing.FROM_MEMORY, "hansen_handbook", "distance of two points")

Triple = tuple[float, float, float]


class BadBlend(Refused):
    """A blend that can't be placed on either map, and why."""


@dataclass(frozen=True)
class Pour:
    """One solvent of a blend and its share by volume."""

    solvent: str
    share: Percent


@dataclass(frozen=True)
class Distance:
    """How far a blend stands from one material, in one state of it where there are several.

    `by` is “hansen” or “teas”; `distance` is from the middle, in MPa½ or in points of the triangle; `reach` how far
    from the middle it is still dissolved; `inside` whether this blend should act on it. `wanted`: dissolve or spare.
    """

    material: str
    state: str
    wanted: str
    by: str
    distance: float
    reach: float
    inside: bool
    standing: Standing
    working: Sum[float]

    @property
    def margin(self) -> float:
        """How far outside its reach the blend stands, as a share of it; negative inside."""
        return self.distance / self.reach - 1


def _row_of(name: str, solvent: str) -> Row:
    rows = {row.key: row for row in table("finish", name, "material_key")}
    found = next((key for key in (solvent, family_of(solvent)) if key in rows), None)
    if found is None:
        raise BadBlend(
            f"{material(solvent).name} is not in {name}: nobody's parameters for it were found. "
            "Leave it out, or take a solvent that is, such as ethanol or white spirit."
        )
    return rows[found]


def shares_of(parts: Sequence[tuple[str, float]]) -> tuple[Pour, ...]:
    """Parts by volume as shares of a hundred, a solvent named twice once. Raises BadBlend for nothing to share."""
    total = sum(part for _, part in parts)
    if total <= 0 or any(part < 0 for _, part in parts):
        raise BadBlend("A blend has parts of more than nothing, such as “ethanol 70, white spirit 30”.")
    together: dict[str, float] = {}
    for solvent, part in parts:
        together[solvent] = together.get(solvent, 0) + part
    return tuple(Pour(solvent, Percent(part / total * 100)) for solvent, part in together.items() if part)


@formula("blend = Σ share × its parameter", source=_TEAS)
def blended(shares: Sequence[Percent], parameters: Sequence[float]) -> float:
    """One parameter of a blend, Teas or Hansen: the mean by volume."""
    total = sum(share.percent for share in shares)
    return sum(share.percent * one for share, one in zip(shares, parameters, strict=True)) / total


@formula("distance = √(Δd² + Δp² + Δh²), in points of the triangle")
def teas_distance(one: Triple, other: Triple) -> float:
    """How far apart two points of the triangle are."""
    return float(math.dist(one, other))


@formula("distance = √(4 Δd² + Δp² + Δh²), in MPa½", source=_HANSEN)
def hansen_distance(one: Triple, other: Triple) -> float:
    """How far apart two points are on Hansen's map."""
    return math.sqrt(4 * (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2)


def teas_of(blend: Sequence[Pour]) -> tuple[Sum[float], Sum[float], Sum[float]]:
    """fd, fp and fh of a blend. Raises BadBlend where one of its solvents has no triple."""
    return _mean(blend, "teas", "teas_fd_pct", "teas_fp_pct", "teas_fh_pct")


def hansen_of(blend: Sequence[Pour]) -> tuple[Sum[float], Sum[float], Sum[float]] | None:
    """Hansen's three for a blend; None where one of its solvents has none."""
    columns = ("hansen_delta_d_mpa05", "hansen_delta_p_mpa05", "hansen_delta_h_mpa05")
    if any(_row_of("teas.csv", pour.solvent).number(columns[0]) is None for pour in blend):
        return None
    return _mean(blend, "hansen", *columns)


def _mean(blend: Sequence[Pour], group: str, *columns: str) -> tuple[Sum[float], Sum[float], Sum[float]]:
    rows = [_row_of("teas.csv", pour.solvent) for pour in blend]
    shares = given("blend", tuple(pour.share for pour in blend))
    found = []
    for column in columns:
        numbers = tuple(row.number(column) for row in rows)
        cited = [row.standing(group) for row in rows]
        sources = dict.fromkeys(key for _, keys in cited for key in keys.split(";") if key)
        name = " | ".join(f"{row.table}:{row.key}:{column}" for row in rows)
        standing = weakest(standing for standing, _ in cited)
        found.append(work(blended, shares=shares, parameters=Figure(name, numbers, standing, ";".join(sources))))
    return found[0], found[1], found[2]


def sum_of_fractions(blend: Sequence[Pour]) -> float:
    """fd + fp + fh: a hundred, or a triple was misprinted."""
    return float(sum(part.value for part in teas_of(blend)))


def distances(blend: Sequence[Pour], material_key: str, wanted: str) -> tuple[Distance, ...]:
    """How far the blend is from one material, by Hansen where a sphere was found, else by Teas, one for each state.

    Raises BadBlend where neither map has it.
    """
    sphere = next(
        (row for row in table("finish", "hansen_spheres.csv", "material_key") if row.key == material_key), None
    )
    hansen = hansen_of(blend)
    if sphere is not None and hansen and (radius := sphere.number("radius_mpa05")):
        middle = tuple(sphere.number(f"delta_{axis}_mpa05") for axis in "dph")
        standing, source = sphere.standing()
        centre = Figure(f"{sphere.table}:{sphere.key}", middle, standing, source)
        far = work(hansen_distance, one=_point(hansen), other=centre)
        worst = weakest([standing, *(part.standing for part in hansen)])
        return (
            Distance(material_key, "", wanted, "hansen", far.value, radius, far.value <= radius, worst, far),
        )  # fmt: skip
    regions = [row for row in table("finish", "teas_regions.csv") if _speaks_of(row, material_key)]
    if not regions:
        raise BadBlend(
            f"{material(material_key).name} is on neither map: no sphere and no region was found. They have "
            f"{', '.join(material(key).name for key in on_a_map())}."
        )
    return tuple(_by_teas(blend, row, material_key, wanted) for row in regions)


def _by_teas(blend: Sequence[Pour], row: Row, material_key: str, wanted: str) -> Distance:
    teas = teas_of(blend)
    standing, source = row.standing()
    middle = tuple(row.number(f"centroid_{axis}_pct") or 0.0 for axis in ("fd", "fp", "fh"))
    far = work(teas_distance, one=_point(teas), other=Figure(f"{row.table}:{row.key}", middle, standing, source))
    inside = all(
        (row.number(f"{axis}_min_pct") or 0) <= part.value <= (row.number(f"{axis}_max_pct") or 0)
        for axis, part in zip(("fd", "fp", "fh"), teas, strict=True)
    )
    # Its regions rest on triples that are mostly from memory, whatever the sum that was done with them.
    worst = weakest([standing, *(part.standing for part in teas), Standing.FROM_MEMORY])
    return Distance(material_key, row["state"], wanted, "teas", far.value, _reach(row), inside, worst, far)


def _reach(row: Row) -> float:
    """The region as a circle: from its middle to the farthest of the solvents it was drawn from."""
    middle = tuple(row.number(f"centroid_{axis}_pct") or 0.0 for axis in ("fd", "fp", "fh"))
    solvents = [_row_of("teas.csv", key) for key in row.keys_in("solvent_keys")]
    points = [tuple(one.number(f"teas_{axis}_pct") or 0.0 for axis in ("fd", "fp", "fh")) for one in solvents]
    return max(math.dist(middle, point) for point in points)


def _point(parts: tuple[Sum[float], Sum[float], Sum[float]]) -> Figure:
    """The three parameters of a blend as one input."""
    sources = dict.fromkeys(
        key
        for part in parts
        for _, item in part.inputs
        if isinstance(item, Figure)
        for key in item.source_key.split(";")
    )
    return Figure(
        "blend: " + " | ".join(part.id for part in parts), tuple(part.value for part in parts),
        weakest(part.standing for part in parts), ";".join(sources),
    )  # fmt: skip


def _speaks_of(row: Row, material_key: str) -> bool:
    return fits(row["material_key"], material_key)


def on_a_map() -> tuple[str, ...]:
    """Every material one of the maps has."""
    spheres = [row.key for row in table("finish", "hansen_spheres.csv", "material_key") if row.number("radius_mpa05")]
    regions = [row["material_key"] for row in table("finish", "teas_regions.csv")]
    return tuple(dict.fromkeys([*regions, *spheres]))


def flash_point_of(blend: Sequence[Pour]) -> Figure | None:
    """The flash point of whichever part flashes first: a blend is no safer. None where one of them has none known.

    Water and the chlorinated solvents are left out: they have none.
    """
    figures = []
    for pour in blend:
        row = _row_of("teas.csv", pour.solvent)
        figure = row.figure("flash_point_min_c", Temperature, "flash_point")
        if figure is None and row.key not in _NEVER_FLASHES:
            return None
        if figure is not None:
            figures.append(figure)
    return min(figures, key=lambda figure: figure.value, default=None)


_NEVER_FLASHES = {"water", "carbon_tetrachloride", "trichloroethane_111", "dichloromethane"}


def evaporation_of(blend: Sequence[Pour]) -> Figure | None:
    """How fast it goes, n-butyl acetate being 1: the slowest part, which is what stays in the film. None unknown."""
    found = [
        _row_of("teas.csv", pour.solvent).figure("evaporation_rate_nbuac_1", float, "evaporation") for pour in blend
    ]  # fmt: skip
    known = [figure for figure in found if figure is not None]
    return min(known, key=lambda figure: figure.value, default=None) if len(known) == len(found) else None


@formula("a litre of it = Σ share × price ÷ size of the tin")
def price_of_litre(shares: Sequence[Percent], prices: Sequence[Money], tins: Sequence[Volume]) -> Money:
    """What a litre of a blend costs, by the prices of its solvents' tins, in step with `shares`."""
    total = prices[0] * 0
    for share, price, tin in zip(shares, prices, tins, strict=True):
        total = total + price * share.percent / (100 * tin.litres)
    return total


def cost_of_blend(blend: Sequence[Pour], tins: Mapping[str, tuple[Money, Volume]]) -> Sum[Money] | None:
    """What a litre costs from these tins, each its price and its size; None where one of its solvents has none."""
    if any(pour.solvent not in tins or tins[pour.solvent][1].litres <= 0 for pour in blend):
        return None
    bought = [tins[pour.solvent] for pour in blend]
    return work(
        price_of_litre, shares=given("blend", tuple(pour.share for pour in blend)),
        prices=given("cupboard.price", tuple(price for price, _ in bought)),
        tins=given("cupboard.sold_in", tuple(tin for _, tin in bought)),
    )  # fmt: skip


@dataclass(frozen=True)
class Offered:
    """A blend of the shelf that should dissolve what it must; `spares`: its least margin from what it must spare."""

    blend: tuple[Pour, ...]
    spares: float
    dissolves: float


def mildest(shelf: Iterable[str], dissolve: str, spare: Sequence[str], at_most: int = 3) -> tuple[Offered, ...]:
    """The blends of one or two solvents of the shelf that dissolve the one and stay farthest from the others.

    In steps of a tenth by volume, the mildest first: the greatest distance from whatever of `spare` is nearest, and
    among equals the one that needs fewer solvents. Solvents without parameters are passed over.
    """
    known = [key for key in dict.fromkeys(shelf) if _has_triple(key)]
    step = int(rule("finish", "blend_step").value.percent)
    tried: list[tuple[Pour, ...]] = [(Pour(key, Percent(100)),) for key in known]
    tried += [
        (Pour(one, Percent(share)), Pour(other, Percent(100 - share)))
        for one, other in combinations(known, 2)
        for share in range(step, 100, step)
    ]
    found = []
    for blend in tried:
        wanted = distances(blend, dissolve, "dissolve")
        if all(one.inside for one in wanted):
            away = [one.margin for key in spare for one in distances(blend, key, "spare")]
            found.append(Offered(blend, min(away, default=math.inf), max(one.margin for one in wanted)))
    found.sort(key=lambda offered: (-offered.spares, len(offered.blend), offered.dissolves))
    return tuple(found[:at_most])


def _has_triple(key: str) -> bool:
    try:
        _row_of("teas.csv", key)
    except BadBlend:
        return False
    return True
