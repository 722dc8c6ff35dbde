"""Rows of a work sheet from the seed to the transplant boards."""

from collections.abc import Iterable

from markupsafe import Markup

from scheduler.book.words import plural
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.report.row import Row, row, shared
from scheduler.outputs.report.say import code, joined, one_day, own, several, unbroken, where
from scheduler.outputs.words import counted, day_in_text
from scheduler.plan.views.ledger import Stack
from scheduler.plan.views.lines import Care, Moving, SettingOut, Soaking, Sowing
from scheduler.plan.words import cell_word, seed_in_words, seed_word


def sowing(line: Sowing, farm: Farm) -> Row:
    """Return the row of seed that goes into trays."""
    notes, crop = [], farm.crops[line.crop]
    if line.soaked is not None:
        hours = _hours(line.soak_hours)
        notes.append(Markup("seed in water from {}, {}").format(one_day(farm, line.soaked), hours))
    if line.light_on is not None:
        notes.append(Markup("in the dark until {}").format(one_day(farm, line.light_on)))
    if line.domes_off is not None:
        notes.append(Markup("dome on until {}").format(one_day(farm, line.domes_off)))
    return row(
        (line.crop, line.lot),
        plural(cell_word(farm, line.crop)),
        (
            several(line.cells, cell_word(farm, line.crop)),
            Markup(_seeds(crop, line)),
        ),
        source=[_seed(line.variety)],
        target=[each for stack in line.targets for each in _sown(stack, cell_word(farm, line.crop))],
        note=notes,
    )


def _seeds(crop: Crop, line: Sowing) -> str:
    if crop.bought:
        return f"{seed_in_words(crop, line.seeds)}, bought in: unpack them, nothing is sown"
    each = "tray" if crop.sown_by_mass else "cell"
    return f"{seed_in_words(crop, line.seeds)}, {line.seeds_per_cell} in each {each}"


def _seed(variety: str) -> Markup:
    return Markup("seed: {}").format(own(variety)) if variety else Markup("seed")


def _sown(stack: Stack, word: str) -> Iterable[Markup]:
    yield where(stack.spot)
    trays = len(stack.units)
    many, each = (f"{counted(trays, 'tray')}, ", " in each") if trays > 1 else ("", "")
    held = f"{many}{_rows_of_cells(stack)}{each}" if word == "cell" else counted(trays, word)
    yield Markup("{} ({})").format(held, code(stack.kind))
    yield from shared(stack)


def _rows_of_cells(stack: Stack) -> str:
    """Return what one tray holds of a lot: whole rows where it was sown by rows."""
    if not stack.rows:
        return counted(stack.plants, "cell")
    return f"{counted(stack.rows, 'row')} of {counted(stack.plants // stack.rows, 'cell')}"


def _hours(hundredths: int) -> str:
    whole, rest = divmod(hundredths, CENT)
    return f"{whole}.{rest:02d}".rstrip("0") + " hours" if rest else counted(whole, "hour")


def soaking(line: Soaking, farm: Farm) -> Row:
    """Return the row of seed that is put into water."""
    return row(
        (line.crop, line.lot),
        plural(seed_word(farm.crops[line.crop])),
        (several(line.seeds, seed_word(farm.crops[line.crop])),),
        source=[_seed(line.variety)],
        target=["into water"],
        note=[
            Markup("{} in water, then sown on {}").format(_hours(line.soak_hours), one_day(farm, line.sown))
        ],
    )


def care(line: Care, farm: Farm) -> Row:
    """Return the row of trays that are uncovered or thinned."""
    notes: list[Markup | str] = ["bring into the light"] if line.light_on else []
    if line.domes_off and line.dome_until is None:
        notes.append("take the dome off")
    elif line.dome_until is not None:
        stays = f"stays on until {day_in_text(farm, line.dome_until)}, for another lot in the tray"
        if line.domed:
            spots = joined((where(stack.spot) for stack in line.domed), "; ")
            notes += ["take the dome off", Markup("not in {}: there it {}").format(spots, stays)]
        else:
            notes.append(f"dome {stays}")
    word = cell_word(farm, line.crop)
    trays = [several(line.units, "tray")] if line.units and word == "cell" else []
    return row(
        (line.crop, line.lot),
        plural(word),
        (*trays, unbroken(counted(line.cells, word))),
        source=[each for stack in line.sources for each in (where(stack.spot), *shared(stack))],
        note=notes or ["leave one seedling in each cell"],
    )


def onto_boards(line: SettingOut, farm: Farm) -> Row:
    """Return the row of plants that are set on boards."""
    return row(
        (line.crop, line.lot),
        "plants",
        how_many(line),
        source=taken_from(line),
        target=[each for stack in line.targets for each in _onto(stack, alone=len(line.targets) == 1)],
        note=the_best(line),
    )


def _onto(stack: Stack, *, alone: bool) -> Iterable[Markup]:
    yield where(stack.spot)
    if len(stack.units) > 1:
        yield Markup("{} on each").format(counted(stack.plants, "plant"))
    elif not alone:
        yield Markup(counted(stack.plants, "plant"))
    yield from shared(stack)


def how_many(line: SettingOut) -> tuple[Markup, ...]:
    """Return the plants that are set out, and onto how many boards or rafts of which kind."""
    kinds = joined(code(kind) for kind in dict.fromkeys(stack.kind for stack in line.targets))
    number = len({unit for stack in line.targets for unit in stack.units})
    onto = Markup("onto {} ({})").format(unbroken(counted(number, line.targets[0].item)), kinds)
    return several(line.plants, "plant"), onto


def taken_from(line: SettingOut) -> Iterable[Markup]:
    """Yield where plants that are set out come from, and what stands there of their lot."""
    yield from the_sources(line.sources)


def the_sources(sources: Iterable[Stack]) -> Iterable[Markup]:
    """Yield trays or boards that plants come from, and what they hold of their lot."""
    for stack in sources:
        yield where(stack.spot)
        held = _rows_of_cells(stack) if stack.rows else counted(stack.plants, "plant")
        each = f" in each {stack.item}" if len(stack.units) > 1 else ""
        yield Markup("{}{}").format(held, each)


def the_best(line: SettingOut) -> Iterable[str]:
    """Yield how many of those that stand there are set out; nothing where that is not known."""
    if line.standing:
        best = "the best " if line.plants < line.standing else ""
        what = counted(line.standing, "cell" if line.cells else "plant")
        yield f"{best}{line.plants:,} of {what} there"


def moving(line: Moving, farm: Farm) -> Row:
    """Return the row of a tray or board that gets another slot."""
    return row(
        (line.kind, ""),
        f"{line.item}s",
        (several(1, line.item),),
        source=[where(line.source)],
        target=[where(line.target)],
        note=[Markup("holds {}").format(joined(code(lot) for lot in line.lots)), "its slot closes"],
    )
