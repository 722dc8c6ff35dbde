"""Equipment and crops of a book: routes, shares and work in whole numbers."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from crops.emergence import kind_of_card, none_from
from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell
from scheduler.book.rows import Row
from scheduler.farm.crops import Crop, Handling, Minutes, Stage, StageKind
from scheduler.farm.farm import Equipment
from scheduler.farm.from_book.beds import BedBook, bed_book, bed_stage, check_curves, is_bed_crop
from scheduler.farm.from_book.codes import build_codes
from scheduler.farm.from_book.coolers import crating
from scheduler.farm.from_book.days import FOREVER, START, Season
from scheduler.farm.from_book.figures import GRAMS, Figures
from scheduler.farm.from_book.greens import (
    TrayFigures,
    comes_as_plugs,
    fitting_trays,
    good_share,
    is_bought,
    is_carded,
    is_cut_in_trays,
    tray_figures,
)
from scheduler.farm.from_book.places import Layout
from scheduler.farm.growth.picking import Picking
from scheduler.farm.growth.stages import may_stand
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import CENT, WHOLE_SHARE, hundredths_up

PERCENT = 100


def build_equipment(book: Book, log: FaultLog) -> dict[str, Equipment]:
    """Return every kind of tray, board, raft and dome by name."""
    found = {}
    for row in book.rows("equipment"):
        item, name = row.text("item"), row.text("name")
        holes, rows = row.whole_or_none("holes") or 0, row.whole_or_none("rows") or 1
        if holes and holes % rows:
            log.add(
                row.cell("rows"),
                f"{rows} rows",
                f"a number that divides the {holes} cells evenly",
                "bad-rows",
            )
        found[name] = Equipment(
            name=name,
            item=item,
            holes=holes,
            rows=rows,
            owned=row.whole("owned"),
            wash_days=row.whole("wash_days"),
        )
    return found


def build_crops(
    book: Book, season: Season, layout: Layout, equipment: Mapping[str, Equipment], log: FaultLog
) -> dict[str, Crop]:
    """Return every crop by name, in the order of the book; what is wrong goes to the log.

    Sowing windows without a last day run on past the end; the calendar stops them.
    """
    has_zones = bool(layout.zones or book.rows("board_zones") or _troughs_of(book, "boards"))
    codes, windows = build_codes(book, log), _windows(book, season)
    counts = bool(book.rows("coolers")), book.settings.text("mass_unit")
    builder = _CropBuilder(layout, equipment, codes, windows, has_zones, *counts, bed_book(book))
    crops: dict[str, Crop] = {}
    for row in book.rows("crops"):
        crops[row.text("crop")] = builder.build(Figures(row, log), log)
    check_curves(book, crops, log)
    _check_stage_places(book, layout, crops.values(), log)
    return crops


def _troughs_of(book: Book, holds: str) -> list[Row]:
    return [row for row in book.rows("troughs") if row.text("holds") == holds]


def _check_stage_places(book: Book, layout: Layout, crops: Iterable[Crop], log: FaultLog) -> None:
    if not book.rows("shelves"):
        log.add(Cell("shelves"), "no shelf", "at least one: every crop starts in trays", "no-place")
        return
    on_rafts = [crop for crop in crops if crop.ends_in(StageKind.RAFT)]
    if on_rafts and not _troughs_of(book, "rafts"):
        expected = f"at least one: '{on_rafts[0].name}' ends there"
        log.add(Cell("troughs"), "no trough that holds rafts", expected, "no-place")
    for crop in crops:
        tiers = (place for place in layout.places if place.kind is PlaceKind.TIER)
        if not any(may_stand(crop, tier) for tier in tiers):
            kept = "nursery_tiers" if crop.is_cut_in_trays else "greens_tiers"
            found = f"no tier left for the trays of '{crop.name}'"
            log.add(book.rows("shelves")[0].cell(kept), found, "a tier that is not kept", "no-place")


def _windows(book: Book, season: Season) -> dict[str, list[tuple[int, int]]]:
    windows: dict[str, list[tuple[int, int]]] = {}
    for row in book.rows("sowing_windows"):
        windows.setdefault(row.text("crop"), []).append(season.period(row))
    return {crop: sorted(periods) for crop, periods in windows.items()}


@dataclass(frozen=True, slots=True)
class _CropBuilder:
    """What all crops of a farm share."""

    layout: Layout
    equipment: Mapping[str, Equipment]
    codes: Mapping[str, str]
    windows: Mapping[str, list[tuple[int, int]]]
    has_zones: bool
    has_coolers: bool
    mass_unit: str
    beds: BedBook

    def build(self, figures: Figures, log: FaultLog) -> Crop:
        """Build one crop."""
        row, cuts = figures.row, _cuts(figures)
        picking = self.beds.picking(figures, log) if is_bed_crop(figures) else None
        lanes = self._lanes(figures, picking, log)
        tray, *others = (
            self._route(figures, lanes, log) if picking is None else self._bed_route(figures, picking, log)
        )
        seed = tray_figures(figures, self.equipment.get(tray.unit), self.mass_unit, log)
        germination, good = good_share(figures, seed)
        share = seed_share(germination, 1 if seed.weighed else seed.seeds, good)
        margin = row.number_of("margin_percent") * PERCENT // 1
        return Crop(
            name=row.text("crop"),
            code=self.codes.get(row.text("crop"), ""),
            variety=row.text("variety"),
            card=row.text("card"),
            route=(replace(tray, survival=_counted_on(row, share, margin, log)), *others),
            cuts=cuts,
            cut_interval=figures.days("cut_interval") if cuts > 1 else 0,
            saleable=figures.share("saleable_percent"),
            lanes=lanes,
            sowing=tuple(self.windows.get(row.text("crop"), [(START, FOREVER)])),
            seed_share=share,
            margin=margin,
            handling=_handling(figures, seed, self.mass_unit),
            minutes=_minutes(figures),
            own_figures=figures.own(),
            heat_limit=figures.hundredths_or_none("heat_limit"),
            crating=crating(figures, log) if self.has_coolers else None,
            seed_heat=None if comes_as_plugs(figures) else _seed_heat(row.text("card")),
            grams=seed.grams,
            sown_by_mass=seed.weighed,
            bought=is_bought(figures, log),
            picking=picking,
        )

    def _lanes(self, figures: Figures, picking: Picking | None, log: FaultLog) -> frozenset[str]:
        """Return the lanes a crop may float in: none where it ends in beds or trays."""
        row = figures.row
        if picking is None and not is_cut_in_trays(figures):
            return self._lanes_named(row, log)
        if row.is_given("lanes"):
            where = "picked in beds" if picking else "cut in its trays"
            found = f"rows for '{row.text('crop')}', which is {where}"
            log.add(row.cell("lanes"), found, "a blank cell", "not-in-rows")
        return frozenset()

    def _lanes_named(self, row: Row, log: FaultLog) -> frozenset[str]:
        """Return the lanes that a row names by trough or lane: all of them where it names none."""
        words = row.words("lanes")
        if not words:
            return frozenset(name for names in self.layout.lanes.values() for name in names)
        lanes: set[str] = set()
        for word in words:
            found = self.layout.lanes_named(word)
            lanes.update(found)
            stem = re.sub(r" [0-9]+$", "", word)
            trough = self.layout.troughs.get(word) or self.layout.troughs.get(stem)
            if not found and trough is not None:
                names = self.layout.lanes.get(trough.name)
                expected = f"'{names[0]}' to '{names[-1]}'" if names else "a trough that holds rafts"
                log.add(row.cell("lanes"), f"'{word}'", expected, "unknown-name")
        return frozenset(lanes)

    def _bed_route(self, figures: Figures, picking: Picking, log: FaultLog) -> tuple[Stage, ...]:
        return self._stage(figures, StageKind.TRAY, _days_in_trays(figures), log), bed_stage(figures, picking)

    def _route(self, figures: Figures, lanes: frozenset[str], log: FaultLog) -> tuple[Stage, ...]:
        """Return the stages of a crop; what its trays leave is known only with their cells."""
        if is_cut_in_trays(figures):
            return (self._stage(figures, StageKind.TRAY, self._tray_days(figures, log), log),)
        stages = [self._stage(figures, StageKind.TRAY, _days_in_trays(figures), log)]
        if _has_boards(figures):
            if not self.has_zones:
                found = f"boards for '{figures.row.text('crop')}' and no place for them"
                expected = "a row in board_zones, a trough that holds boards, or days_board 0"
                log.add(figures.row.cell("days_board"), found, expected, "no-place")
            days = (figures.days("days_board"), figures.whole("wait_board"))
            stages.append(self._stage(figures, StageKind.BOARD, days, log))
        days = (figures.days("days_raft"), figures.whole("harvest_window"))
        stages.append(self._stage(figures, StageKind.RAFT, days, log, lanes))
        return tuple(stages)

    def _tray_days(self, figures: Figures, log: FaultLog) -> tuple[int, int]:
        """Return days to the first cut and the harvest window of a crop that is cut in its trays.

        A card of a crop that moves on has days until it may do so, which is not when it may be sold.
        """
        row = figures.row
        if figures.card is not None and not is_carded(figures) and not row.is_given("days_tray"):
            found = f"no days_tray, and card {figures.card.name} has those of a crop that moves on"
            expected = f"days from sowing to the first cut or sale of '{row.text('crop')}' in its trays"
            log.add(row.cell("days_tray"), found, expected, "missing-figure")
        return figures.days("days_tray"), figures.whole("harvest_window")

    def _stage(
        self,
        figures: Figures,
        kind: StageKind,
        days: tuple[int, int],
        log: FaultLog,
        lanes: frozenset[str] = frozenset(),
    ) -> Stage:
        unit = self._unit(figures, kind, log)
        column = f"survival_{kind}_percent"
        return Stage(
            kind=kind,
            unit=unit.name if unit else "",
            plants_per_unit=self._plants(figures, kind, unit, lanes, log) if unit else 1,
            days=days[0],
            wait=days[1],
            survival=figures.share(column) if kind is not StageKind.TRAY else 0,
        )

    def _unit(self, figures: Figures, kind: StageKind, log: FaultLog) -> Equipment | None:
        row, name = figures.row, figures.row.text(kind)
        if name:
            unit = self.equipment[name]
            if unit.item != kind:
                log.add(row.cell(kind), f"'{name}', which is a {unit.item}", f"a {kind}", "wrong-item")
                return None
            return unit
        owned = [unit for unit in self.equipment.values() if unit.item == kind]
        # with one kind alone, what is wrong with it is told of it
        fitting = fitting_trays(figures, owned) if kind is StageKind.TRAY and len(owned) > 1 else owned
        if len(fitting) == 1:
            return fitting[0]
        names = " or ".join(f"'{unit.name}'" for unit in fitting)
        found = f"no {kind} named for '{row.text('crop')}'" if fitting else f"no {kind} in equipment"
        expected = names or f"a {kind} in equipment for '{row.text('crop')}'"
        if owned and not fitting:
            found = f"no tray of 1 cell in equipment for '{row.text('crop')}'"
            expected = "a tray of 1 cell (an open tray), or a tray named and yield_per_tray 0"
        log.add(row.cell(kind), found, expected, "which-equipment")
        return None

    def _plants(
        self, figures: Figures, kind: StageKind, unit: Equipment, lanes: frozenset[str], log: FaultLog
    ) -> int:
        """Return cells of a tray, or the holes planted of a board or raft."""
        if kind is StageKind.TRAY:
            return max(1, unit.holes)
        column = f"plants_per_{kind}"
        given = figures.row.whole_or_none(column)
        if given is not None:
            if unit.holes and given > unit.holes:
                expected = f"at most the {unit.holes} holes of '{unit.name}'"
                log.add(figures.row.cell(column), f"{given} plants", expected, "too-many-plants")
            return given
        density = figures.of_card(f"plants_per_m2_{kind}")
        if density is None:
            return max(1, unit.holes)
        areas = self._areas(kind, lanes)
        if len(areas) > 1:
            found = f"no {column} and {kind}s of more than one size"
            log.add(figures.row.cell(column), found, f"{column} of {figures.row.text('crop')}", "which-size")
        if not areas:
            return max(1, unit.holes)
        return max(1, min(unit.holes, density * areas.pop() // 1))

    def _areas(self, kind: StageKind, lanes: frozenset[str]) -> set[Fraction]:
        """Return the areas, in square metres, of the boards or of the rafts a crop may float on."""
        troughs = self.layout.troughs.values()
        if kind is StageKind.BOARD:
            return {trough.raft_area for trough in troughs if trough.name in self.layout.zones}
        return {
            trough.raft_area
            for trough in troughs
            if lanes.intersection(self.layout.lanes.get(trough.name, ()))
        }


def _days_in_trays(figures: Figures) -> tuple[int, int]:
    """Return the days in trays of a crop that moves on, and how long it may wait; plugs come grown."""
    if comes_as_plugs(figures):
        return 0, figures.row.whole_or_none("wait_tray") or 0
    return figures.days("days_tray"), figures.whole("wait_tray")


def _cuts(figures: Figures) -> int:
    """Return how often a crop is cut: once in its trays, unless its row or a card of greens says more."""
    if is_cut_in_trays(figures) and not is_carded(figures):
        return figures.row.whole_or_none("cuts") or 1
    return figures.whole("cuts")


def _counted_on(row: Row, share: int, margin: int, log: FaultLog) -> int:
    """Return the share of cells whose seedlings a plan counts on: what is sown as a margin is taken off."""
    counted = share * WHOLE_SHARE // (WHOLE_SHARE + margin)
    if counted < 1:
        log.add(
            row.cell("crop"), "no seedling to count on", "better germination and survival", "no-seedlings"
        )
    return counted


def _has_boards(figures: Figures) -> bool:
    """Say whether a crop goes over boards: the row's own days decide, then the card's route."""
    own = figures.row.whole_or_none("days_board")
    if own is not None:
        return own > 0
    if figures.card is None:
        figures.number("days_board")  # without a card the row must say it, if only 0
        return False
    return "board" in figures.card.route


def seed_share(germination: Fraction, seeds: int, survival: Fraction) -> int:
    """Return the share of cells that give a good seedling, in parts of ten thousand, rounded down.

    At least one of a cell's ``seeds`` comes up (``germination`` percent each), and what comes up is good
    enough to move on (``survival`` percent).
    """
    empty = (1 - min(Fraction(1), germination / PERCENT)) ** seeds
    return WHOLE_SHARE * (1 - empty) * survival / PERCENT // 1


def _seed_heat(card: str) -> int | None:
    """Return the air from which no seed of a card came up where that was tried, hundredths of a degree C."""
    kind = kind_of_card(card)
    none = None if kind is None else none_from(kind)
    return None if none is None else round(none * CENT)


def _handling(figures: Figures, seed: TrayFigures, mass_unit: str) -> Handling:
    price = figures.row.number_of("seed_cost") * CENT
    if seed.weighed:  # of a thousand grams, as elsewhere of a thousand seeds
        price = price * 1000 / GRAMS[mass_unit]
    if comes_as_plugs(figures):  # they come grown
        return Handling(keeping_days=figures.whole("keeping_days"), seed_cost=price // 1)
    return Handling(
        seeds_per_cell=seed.seeds,
        soak_hours=figures.hundredths("soak_hours"),
        dark_days=figures.whole("dark_days"),
        dome_days=figures.whole("dome_days"),
        # where one seed lies in a cell there is nothing to thin
        thin_day=figures.whole("thin_day") if seed.seeds > 1 and not seed.weighed else 0,
        keeping_days=figures.whole("keeping_days"),
        seed_cost=price // 1,
    )


def _sowing_minutes(figures: Figures) -> int:
    """Return the work to sow a tray; of plugs that to unpack one, which no card knows."""
    if not comes_as_plugs(figures):
        return figures.hundredths("sow_minutes")
    return hundredths_up(figures.row.number_or_none("sow_minutes") or Fraction(0))


def _minutes(figures: Figures) -> Minutes:
    return Minutes(
        sow=_sowing_minutes(figures),
        board=figures.hundredths("board_minutes"),
        raft=figures.hundredths("raft_minutes"),
        cut=figures.hundredths("cut_minutes"),
        wash=figures.hundredths("wash_minutes"),
        bed=figures.own_hundredths("bed_minutes"),
        pick=figures.own_hundredths("pick_minutes"),
        clear=figures.own_hundredths("clear_minutes"),
    )
